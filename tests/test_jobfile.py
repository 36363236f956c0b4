"""Job files read as they stand: every key, every way to name a job, and what cannot be read."""

from __future__ import annotations

import dataclasses
import subprocess
import sys
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from jobfiles import EVERY_KEY, faults_of, read_text
from survey.errors import SurveyError
from survey.field.jobfile import LARGEST, read_job
from survey.field.jobwords import hints_of, key_of
from survey.job import LISTS, TABLES, Door, Job, Mark, Obstacle, PegTest, Section, Under, WallTest

SAMPLES = Path(__file__).resolve().parent.parent / "sample_surveys"


@pytest.fixture
def every_key(tmp_path: Path) -> Job:
    return read_text(EVERY_KEY, tmp_path)


EXPECTED: dict[str, dict[str, Any]] = {
    "info": {
        "name": "Invented house",
        "surveyed": date(2024, 9, 14),
        "unit": "in",
        "round": 0.0625,
        "readings": ("readings.csv", "day2.csv"),
        "leave_out": ("17:down",),
    },
    "laser": {
        "reading": 0.0625,
        "accuracy": 0.125 / 360,
        "peg_test": PegTest(
            near_1=48.0, near_2=50.0, far_1=51.0, far_2=53.125, d_near=120.0, d_far=720.0
        ),
        "wall_test": WallTest(distance=480.0, difference=-0.0625),
    },
    "travel": {"rise": 1.5, "drop": 1.0, "widest": 3.0, "allowance": 0.125, "confidence": 0.95},
    "frame": {
        "stud": "2x4",
        "thickness": 1.5,
        "width": 3.5,
        "spacing": 16.0,
        "top_plates": "auto",
        "precut": (92.625,),
        "build": "in place",
        "top": "straight",
        "bottom": "one length",
        "section": 144.0,
        "pull_up": 0.125,
        "screw_pull": 150.0,
        "share_top": "meeting",
        "joist_height": 96.5,
        "joist_sd": 0.25,
        "joist_scatter": 0.125,
    },
    "plate": {
        "size": "2x4",
        "thickness": 1.4375,
        "count": 2,
        "seal": 0.0,
        "anchor_spacing": 32.0,
        "anchor_limit": 200.5,
    },
    "slab": {
        "post_tension": "no",
        "tubes": "yes",
        "membrane": "unknown",
        "straightedge": 120.0,
        "tolerance": 0.25,
    },
    "spikes": {
        "lengths": (6.0, 8.0, 10.0),
        "spacing": 36.0,
        "shank": 0.265625,
        "hole": 0.328125,
        "pilot": 0.21875,
        "grip": 1.25,
        "fyb": 70_000.0,
    },
    "trim": {
        "drywall": 0.5,
        "drywall_bottom": 2.25,
        "filler_height": 3.0,
        "lap": 1.0,
        "base_height": 5.5,
        "flooring": 0.0,
        "jamb": "gauge",
    },
    "lumber": {
        "stock": (96.0, 120.0, 144.0, 192.0),
        "prices": (4.10, 5.35, 6.60, 9.0),
        "kerf": 0.125,
        "carry": 144.0,
    },
}


@pytest.mark.parametrize("table", EXPECTED)
def test_every_key_of_a_table_is_read(table: str, every_key: Job) -> None:
    record = getattr(every_key, table)
    assert {f.name: getattr(record, f.name) for f in dataclasses.fields(record)} == EXPECTED[table]


def test_every_table_that_may_repeat_is_read(every_key: Job) -> None:
    assert every_key.marks == (Mark(name="Bench", elevation=48.0, on="foundation"),)
    assert every_key.obstacles == (Obstacle(name="Duct", at=(80.0, 60.0), underside=90.0),)
    assert every_key.sections == (Section(name="2x8", thickness=1.5, width=7.25),)


def test_every_key_of_a_wall_is_read(every_key: Job) -> None:
    (wall,) = every_key.walls
    assert (wall.name, wall.start, wall.end, wall.length) == ("North", (0, 96), (160, 96), 160)
    assert (wall.from_, wall.face, wall.joists, wall.hang) == (
        "stair corner",
        "south",
        "along",
        "top",
    )
    assert (wall.blocking_drop, wall.slab_joints) == (1.5, (100.0, 120.5))
    assert wall.cross_fall == pytest.approx(1 / 16 / 12, abs=0)
    assert wall.read_offset == 1.0
    assert wall.door == (
        Door(at=60.0, width=34.5, height=82.5, leaf=32.0, swing="left", cover=0.25),
    )
    assert wall.under == (Under(from_=100.0, to=124.0, underside=84.0),)
    assert {table: dict(own) for table, own in wall.overrides.items()} == {
        "float": {"rise": 2.0},
        "frame": {"stud": "2x8", "precut": (104.625,)},
        "trim": {"drywall_bottom": "plate"},
        "spikes": {"lengths": (8.0,)},
    }


def test_every_key_given_is_recorded(every_key: Job) -> None:
    tables = {
        f"{t}.{key_of(name)}" for t, (_, record) in TABLES.items() for name in hints_of(record)
    }
    assert tables <= set(every_key.given)
    assert {"wall.North.from", "wall.North.float.rise", "mark.Bench.on"} <= set(every_key.given)
    assert set(every_key.given.values()) == {"job"}
    for heading, (_, record) in LISTS.items():
        keys = {key.rsplit(".", 1)[-1] for key in every_key.given if key.startswith(heading + ".")}
        wanted = {key_of(name) for name in hints_of(record)} - {"overrides"}
        assert wanted <= keys


def test_an_empty_file_is_a_job_of_defaults(tmp_path: Path) -> None:
    assert read_text("", tmp_path) == Job(folder=str(tmp_path))


def test_a_folder_without_job_file_is_a_job_of_defaults(tmp_path: Path) -> None:
    assert read_job(tmp_path) == Job(folder=str(tmp_path))


def test_a_readings_file_uses_the_job_file_beside_it_and_says_so(tmp_path: Path) -> None:
    text = '[job]\nreadings = ["a.csv"]\nleave_out = ["17", "b.csv:4:up"]\n[float]\nrise = 2'
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    (tmp_path / "b.csv").touch()
    job = read_job(tmp_path / "b.csv")
    assert (job.travel.rise, job.folder) == (2.0, str(tmp_path))
    assert (job.info.readings, job.info.leave_out) == (("b.csv",), ("b.csv:4:up",))
    assert job.given["job.readings"] == "option"
    assert [note.code for note in job.notes] == ["job-beside", "leave-out-elsewhere"]
    (tmp_path / "a.csv").touch()
    assert read_job(tmp_path / "a.csv").info.leave_out == ("17", "b.csv:4:up")


def test_a_readings_file_alone_is_a_job_of_defaults(tmp_path: Path) -> None:
    (tmp_path / "only.csv").touch()
    job = read_job(str(tmp_path / "only.csv"))
    assert (job.info.readings, job.notes, job.travel.rise) == (("only.csv",), (), 1.5)


def test_a_job_file_may_have_another_name(tmp_path: Path) -> None:
    (tmp_path / "wet.toml").write_text("[float]\nrise = 3", encoding="utf-8")
    assert read_job(tmp_path / "wet.toml").travel.rise == 3.0


@pytest.mark.parametrize("folder", ["quarry_house", "metric_cellar", "trouble"])
def test_the_samples_are_read(folder: str) -> None:
    assert read_job(SAMPLES / folder).walls


def test_a_metric_job_reads_plain_numbers_as_millimetres(tmp_path: Path) -> None:
    text = '[job]\nunit = "mm"\n[float]\nrise = 40\ndrop = "1-1/2\\""\n'
    text += '[laser]\naccuracy = "3 at 10 m"\n[[wall]]\nname = "N"\ncross_fall = 2'
    job = read_text(text, tmp_path)
    assert job.travel.rise == pytest.approx(40 / 25.4)
    assert job.travel.drop == 1.5
    assert job.laser.accuracy == pytest.approx(3e-4)
    assert job.walls[0].cross_fall == pytest.approx(2e-3)
    assert job.frame.precut == ()
    assert job.info.round == pytest.approx(1 / 25.4)


@pytest.mark.parametrize("start", ["\ufeff", ""])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_windows_text_is_read(start: str, end: str, tmp_path: Path) -> None:
    job = read_text(start + end.join(["[float]", "rise = 2", ""]), tmp_path)
    assert job.travel.rise == 2.0


def test_what_is_not_there_is_said(tmp_path: Path) -> None:
    for name in ("no", "no/job.toml", "a\0b", "x" * 5_000):
        with pytest.raises(SurveyError, match=r"no such file or folder|cannot be read"):
            read_job(tmp_path / name)


def test_a_folder_named_like_the_job_file_is_no_job_file(tmp_path: Path) -> None:
    (tmp_path / "job.toml").mkdir()
    assert read_job(tmp_path) == Job(folder=str(tmp_path))


def test_a_file_too_large_is_refused_with_its_size(tmp_path: Path) -> None:
    with pytest.raises(SurveyError, match=r"1,000,002 bytes; a job file has at most 1,000,000"):
        read_text("#" * LARGEST + "\r\n", tmp_path)


@pytest.mark.parametrize("encoding", ["utf-16", "cp1252"])
def test_other_encodings_are_refused(encoding: str, tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text('[job]\nname = "Müller"', encoding=encoding)
    with pytest.raises(SurveyError, match="is not UTF-8 text; save it as plain text"):
        read_job(tmp_path)


def test_faults_of_lines_and_of_values_come_together(tmp_path: Path) -> None:
    text = '[float]\nrise = 1-1/2\ndrop = "x1"\n'
    text += '[[wall]]\nname = "N"\nstart = [0, 0]\n[[mark]]\nname = "n"'
    lines = [fault.split(":")[0] for fault in faults_of(text, tmp_path)]
    assert lines == [
        'job.toml line 2 "rise = 1-1/2"',
        'job.toml [float] drop "x1"',
        'job.toml [[mark]] name "n"',
        'job.toml [[wall]] "N" end',
    ]


def test_no_pydantic_where_there_is_no_job_file(tmp_path: Path) -> None:
    code = (
        "import sys; from survey.field.jobfile import read_job;"
        f"read_job({str(tmp_path)!r}); print('pydantic' in sys.modules)"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "False"


def test_keys_dotted_without_end_are_refused(tmp_path: Path) -> None:
    assert faults_of("[float]\nrise." + "a." * 3_000 + "b = 1", tmp_path) == [
        "job.toml [float] rise: a length is wanted"
    ]
