"""Inch and millimetre: the same survey and the same plan, whichever unit is asked for.

Source: Thompson, A. and Taylor, B. N., *Guide for the Use of the International System of Units*,
NIST Special Publication 811 (2008), appendix B.8: 1 inch = 2.54 E-02 m and 1 foot = 3.048 E-01 m,
both exact.
"""

from __future__ import annotations

import dataclasses
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from plans import wavy_book, wavy_house
from survey.field.levelling import adjust
from survey.job import Job, JobInfo
from survey.lengths import INCHES_PER, Unit, from_unit, parse_length, to_unit
from survey.sheets.record import plan_record, survey_record
from survey.slab.judgement import judge

METRES_PER_INCH = Fraction(254, 10_000)
METRES_PER_FOOT = Fraction(3048, 10_000)
EXACT: dict[Unit, Fraction] = {
    "in": Fraction(1),
    "ft": METRES_PER_FOOT / METRES_PER_INCH,
    "mm": Fraction(1, 1000) / METRES_PER_INCH,
    "cm": Fraction(1, 100) / METRES_PER_INCH,
    "m": 1 / METRES_PER_INCH,
}
ROUNDED = 1e-6  # what a record may lose


@pytest.mark.parametrize("unit", EXACT)
def test_units_are_exact_to_the_last_digit(unit: Unit) -> None:
    assert INCHES_PER[unit] == float(EXACT[unit])


def test_a_foot_is_twelve_inches() -> None:
    assert EXACT["ft"] == 12


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("1", 25.4),
        ("1 ft", 304.8),
        ("92-5/8", 2352.675),
        ("1/16", 1.5875),
        ("4' 4-3/8\"", 1330.325),
    ],
)
def test_lengths_of_the_tape_in_millimetres(text: str, millimetres: float) -> None:
    assert to_unit(parse_length(text), "mm") == pytest.approx(millimetres, rel=1e-15)
    assert parse_length(f"{millimetres} mm") == pytest.approx(parse_length(text), rel=1e-15)


def test_a_length_survives_the_way_there_and_back() -> None:
    inches = np.arange(0.0, 400.0, 1 / 64)
    for unit in EXACT:
        np.testing.assert_allclose(from_unit(to_unit(inches, unit), unit), inches, rtol=4e-16)


def test_a_survey_in_millimetres_is_25_4_times_that_in_inches() -> None:
    heights = adjust(wavy_book("W", 160.0), Job().laser)
    inch = survey_record(judge(heights, Job()), Job())
    metric = survey_record(
        judge(heights, Job(info=JobInfo(unit="mm"))), Job(info=JobInfo(unit="mm"))
    )
    for one, other in zip(inch["spots"], metric["spots"], strict=True):
        assert one["surface"] == other["surface"]
        for key in ("station", "elevation", "sd"):
            assert other[key] == pytest.approx(25.4 * _number(one[key]), abs=26 * ROUNDED)


def test_a_plan_in_millimetres_is_25_4_times_that_in_inches() -> None:
    """Only the unit of the numbers changes: the plan itself is the same one."""
    house = wavy_house("W", 160.0, doors=(70.0,))
    info = dataclasses.replace(house.job.info, unit="mm")
    metric = dataclasses.replace(house, job=dataclasses.replace(house.job, info=info))
    one, other = (plan_record(each)["walls"][0] for each in (house, metric))
    for key in ("length", "top", "bottom", "gap", "line", "joists", "float"):
        found, exact = _numbers(other[key]), 25.4 * _numbers(one[key])
        np.testing.assert_allclose(found, exact, atol=26 * ROUNDED)
    assert one["k"] == other["k"]
    assert one["verdict"]["probability"] == other["verdict"]["probability"]


def _number(value: Any) -> float:
    assert isinstance(value, float)
    return value


def _numbers(value: Any) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Every number of a record, in its order."""
    if isinstance(value, dict):
        return np.concatenate([_numbers(each) for each in value.values()])
    if isinstance(value, list):
        return np.concatenate([_numbers(each) for each in value]) if value else np.empty(0)
    return np.array([value] if isinstance(value, float) else [])
