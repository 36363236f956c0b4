"""Files are written whole or not at all, only where asked, under names every system takes."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from survey.errors import SurveyError
from survey.sheets.files import DEVICES, LONGEST_SLUG, check_targets, slugs, write_files


def test_every_existing_target_is_named(tmp_path: Path) -> None:
    for name in ("a.csv", "b.csv"):
        (tmp_path / name).write_text("old")
    with pytest.raises(SurveyError, match="2 files cannot be written; nothing was done") as caught:
        check_targets([tmp_path / n for n in ("a.csv", "b.csv", "c.csv")], overwrite=False)
    assert [Path(fault.file).name for fault in caught.value.faults] == ["a.csv", "b.csv"]
    assert all("--overwrite" in fault.cure for fault in caught.value.faults)


def test_overwrite_lets_files_be_replaced(tmp_path: Path) -> None:
    target = tmp_path / "a.csv"
    target.write_text("old")
    check_targets([target], overwrite=True)
    write_files({target: b"new"})
    assert target.read_bytes() == b"new"


def test_a_folder_is_no_target_even_with_overwrite(tmp_path: Path) -> None:
    with pytest.raises(SurveyError, match="1 file cannot") as caught:
        check_targets([tmp_path], overwrite=True)
    assert "is a folder" in caught.value.faults[0].wanted


def test_a_target_below_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "plain").write_text("x")
    with pytest.raises(SurveyError, match="1 file cannot") as caught:
        check_targets([tmp_path / "plain" / "deep" / "a.csv"], overwrite=True)
    assert "is no folder" in caught.value.faults[0].wanted


def test_a_folder_that_may_not_be_written_to_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "access", lambda *_: False)  # root may write anywhere
    with pytest.raises(SurveyError, match="1 file cannot") as caught:
        check_targets([tmp_path / "a.csv"], overwrite=False)
    assert "may not be written to" in caught.value.faults[0].wanted


def test_folders_are_made_and_nothing_is_left_beside(tmp_path: Path) -> None:
    target = tmp_path / "new" / "deep" / "a.csv"
    write_files({target: b"1", target.with_name("b.csv"): b"2"})
    assert sorted(p.name for p in target.parent.iterdir()) == ["a.csv", "b.csv"]


def test_a_failure_leaves_every_target_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = tmp_path / "a.csv"
    kept.write_text("old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(SurveyError, match=r"a\.csv: cannot be written \(No space left on device\)"):
        write_files({kept: b"new", tmp_path / "b.csv": b"new"})
    assert [p.name for p in tmp_path.iterdir()] == ["a.csv"]
    assert kept.read_text() == "old"


def test_an_interrupt_leaves_no_part_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(_: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_files({tmp_path / "a.csv": b"new"})
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("name", "slug"),
    [
        ("North", "north"),
        ("Straße 3", "strasse-3"),
        ("CON", "con-wall"),
        ("LPT1", "lpt1-wall"),
        ("../../etc/passwd", "etc-passwd"),
        ("C:\\temp", "c-temp"),
        (".hidden", "hidden"),
        ("***", "unnamed"),
        ("東壁", "東壁"),
    ],
)
def test_slug_of_a_name(name: str, slug: str) -> None:
    assert slugs([name]) == (slug,)


@given(st.lists(st.text(max_size=120), max_size=12))
@example(["a" * 300, "A" * 300, "a" * 78 + "-2"])
@example(["é" * 60, "e\u0301" * 60])
@example(["con", "con-wall", "CON"])
def test_slugs_are_different_short_and_stay_in_their_folder(names: list[str]) -> None:
    found = slugs(names)
    assert len({slug.casefold() for slug in found}) == len(names)
    for slug in found:
        assert 0 < len(slug.encode()) <= LONGEST_SLUG
        assert slug not in DEVICES
        assert Path("folder", slug).resolve().parent == Path("folder").resolve()
        assert not slug.startswith((".", "-"))
        assert not set(slug) & set('<>:"/\\|?*$')
