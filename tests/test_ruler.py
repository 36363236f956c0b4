"""Numbers as the reader sees them: one ladder, sums that add up in the digits printed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey.job import Job, JobInfo
from survey.lengths import parse_length
from survey.sheets.ruler import Ruler, close_sum, listed, percent, ruler_for
from survey.wall.studs import Part

INCHES, METRIC = Ruler(unit="in"), Ruler(unit="mm")


@given(
    st.lists(st.integers(1, 2000), min_size=1, max_size=6),
    st.sampled_from(
        [INCHES, METRIC, Ruler(unit="mm", decimals=1), Ruler(unit="in", denominator=32)]
    ),
)
def test_a_stack_on_any_ladder_is_closed_by_the_gap(steps: list[int], ruler: Ruler) -> None:
    names = ["float gap", "stud", "top plate", "slab plate", "seal", "space to joist"]
    parts = [Part(part=n, thickness=k / 16) for n, k in zip(names, steps, strict=False)]
    *terms, (_, total) = close_sum(parts, ruler)
    assert parse_length(total) == pytest.approx(sum(parse_length(x) for _, x in terms), abs=1e-9)
    true = sum(part.thickness for part in parts)
    assert parse_length(total) == pytest.approx(true, abs=ruler.step / 2 + 1e-9)


def test_words_for_numbers() -> None:
    assert percent(0.5) == "50.0 %"
    assert listed(["a"]) == "a"
    assert INCHES.said(0.0) == '0"'
    assert METRIC.fine(0.0625) == "1.6 mm"
    assert ruler_for(Job(info=JobInfo(unit="mm"), given={"job.unit": "job"})).unit == "mm"
