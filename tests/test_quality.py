"""All that a survey says of itself, on the sample surveys whose faults are known."""

from __future__ import annotations

import dataclasses
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from books import Row, book_of
from survey.errors import SurveyError
from survey.field.jobfile import read_job
from survey.field.levelling import adjust
from survey.field.quality import Kick, Misread, Quality, judge_quality
from survey.field.readings import read_readings
from survey.job import Laser
from tied_surveys import Plan, adjusted, blunder, walk

SAMPLES = Path(__file__).parents[1] / "sample_surveys"


def quality_of(sample: str) -> Quality:
    job = read_job(SAMPLES / sample)
    return judge_quality(adjust(read_readings(job), job.laser))


def truth() -> dict[str, Any]:
    return tomllib.loads((SAMPLES / "trouble" / "truth.toml").read_text("utf-8"))


def test_trouble_names_the_bad_row() -> None:
    planted = truth()["blunder"][0]
    (finding,) = [f for f in quality_of("trouble").findings.found if isinstance(f.best, Misread)]
    assert len(finding.explanations) == 1
    found = finding.best
    assert isinstance(found, Misread)
    assert (found.place.row, found.place.file) == (planted["row"], planted["file"])
    assert (found.name, found.station, found.column) == ("Long", planted["station"], "down")
    assert found.amount == pytest.approx(planted["amount"], abs=3 * found.sd)


def test_trouble_finds_the_kick_between_the_rows_others_check() -> None:
    planted = truth()["kick"][0]
    (kick,) = quality_of("trouble").kicks
    assert kick.setup == planted["setup"]
    assert (kick.after.row, kick.before.row) == (21, 32)
    assert kick.after.row <= planted["after_row"] < planted["before_row"] <= kick.before.row
    assert kick.amount == pytest.approx(planted["amount"], abs=3 * kick.sd)


def test_trouble_says_nothing_else() -> None:
    quality = quality_of("trouble")
    assert [type(f.best) for f in quality.findings.found] == [Misread, Kick]
    assert [note.code for note in quality.notes] == ["misread", "kick", "uncheckable"]


def test_lost_set_up_is_refused_by_name() -> None:
    job = read_job(SAMPLES / "trouble" / "untied.csv")
    with pytest.raises(SurveyError, match=r"not tied together: group 1: D .*; group 2: E "):
        adjust(read_readings(job), job.laser)


@pytest.mark.parametrize("sample", ["quarry_house", "metric_cellar", "one_wall.csv"])
def test_clean_samples_are_not_accused(sample: str) -> None:
    quality = quality_of(sample)
    assert quality.findings.found == ()
    assert not [note for note in quality.notes if note.level != "note"]


def test_smallest_detectable_stands_by_the_critical_value_used() -> None:
    quality = judge_quality(adjusted(walk(np.random.default_rng(2), Plan(setups=4))))
    observed = quality.heights.observations
    assert quality.findings.critical > 3.3
    tested = observed.redundancy >= 0.05
    shift = quality.findings.critical + 0.841621
    expected = shift / 16.0 / np.sqrt(observed.redundancy[tested])
    np.testing.assert_allclose(quality.smallest_detectable[tested], expected, rtol=1e-6)
    np.testing.assert_array_equal(quality.uncheckable, np.flatnonzero(~tested))


def test_misread_lists_all_of_a_group() -> None:
    rows = walk(np.random.default_rng(3), Plan())
    at = next(i for i, row in enumerate(rows) if row.setup == "B" and row.up is not None)
    quality = judge_quality(adjusted(blunder(rows, at, "up", 0.75)))
    assert {error.place.setup for error in quality.misread} == {"A", "B"}
    assert {error.column for error in quality.misread} == {"up"}
    assert quality.kicks == ()


def test_the_order_of_files_and_names_does_not_matter() -> None:
    rows = blunder(walk(np.random.default_rng(4), Plan()), 14, "down", 0.75)
    renamed = [dataclasses.replace(row, setup=f"no. {row.setup}") for row in rows]
    one, two = judge_quality(adjusted(rows)), judge_quality(adjusted(renamed))
    assert [e.place.row for e in one.misread] == [e.place.row for e in two.misread] == [16]


def test_nothing_checked_says_nothing_here() -> None:
    rows = [Row(name="Long", station=x, down=50.0) for x in (0.0, 16.0)]
    quality = judge_quality(adjust(book_of(rows), Laser()))
    assert quality.notes == ()
    assert quality.uncheckable.tolist() == [0, 1]
    assert np.all(np.isnan(quality.smallest_detectable))


def test_arrays_are_read_only() -> None:
    quality = judge_quality(adjusted(walk(np.random.default_rng(5), Plan())))
    with pytest.raises(ValueError, match="read-only"):
        quality.uncheckable[0] = 1
