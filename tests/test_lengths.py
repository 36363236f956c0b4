"""Lengths as people write them: the case table, round trips, and what is never accepted."""

from __future__ import annotations

import csv
import math
from pathlib import Path
from typing import get_args

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from survey.errors import SurveyError
from survey.lengths import (
    DENOMINATORS,
    INCHES_PER,
    Rounding,
    Unit,
    fraction,
    from_unit,
    parse_length,
    show,
    snap,
    to_unit,
)

CASES = Path(__file__).resolve().parent.parent / "shared" / "length_cases.csv"
UNITS: tuple[Unit, ...] = get_args(Unit)
SAFE = st.floats(min_value=-1e4, max_value=1e4, allow_nan=False)


def read_cases() -> list[dict[str, str]]:
    with CASES.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def unit_named(text: str) -> Unit:
    return next(unit for unit in UNITS if unit == text)


def parse_case(case: dict[str, str]) -> float:
    comma = case["decimal_comma"] == "yes"
    return parse_length(case["text"], unit_named(case["unit"]), decimal_comma=comma)


ACCEPTED = [case for case in read_cases() if case["inches"]]
REFUSED = [case for case in read_cases() if not case["inches"]]


def test_table_is_whole() -> None:
    assert len(ACCEPTED) >= 60
    assert len(REFUSED) >= 60
    assert all(bool(case["inches"]) != bool(case["refusal"]) for case in read_cases())
    assert {case["decimal_comma"] for case in read_cases()} == {"", "yes"}


@pytest.mark.parametrize("case", ACCEPTED, ids=lambda case: f"{case['text']}|{case['unit']}")
def test_accepted(case: dict[str, str]) -> None:
    assert parse_case(case) == pytest.approx(float(case["inches"]), abs=1e-9)


@pytest.mark.parametrize("case", REFUSED, ids=lambda case: f"{case['text']}|{case['unit']}")
def test_refused_in_its_own_words(case: dict[str, str]) -> None:
    with pytest.raises(SurveyError) as caught:
        parse_case(case)
    assert case["refusal"] in caught.value.message
    assert "\n" not in caught.value.message


def test_sixteenths_are_exact() -> None:
    for top in range(64):
        assert parse_length(f"52 {top}/64") == 52 + top / 64


@given(
    whole=st.integers(0, 9999), parts=st.integers(0, 63), denominator=st.sampled_from(DENOMINATORS)
)
@example(whole=0, parts=0, denominator=2)
def test_printed_fractions_read_back(whole: int, parts: int, denominator: int) -> None:
    x = whole + (parts % denominator) / denominator
    for value in (x, -x):
        assert parse_length(fraction(value, denominator), "mm") == value


@given(x=SAFE, denominator=st.sampled_from(DENOMINATORS))
@example(x=92.53125, denominator=16)
@example(x=-1 / 64, denominator=16)
def test_shown_lengths_read_back_to_the_step(x: float, denominator: int) -> None:
    for unit in UNITS:
        step = 1 / denominator if unit in ("in", "ft") else 1 / 25.4
        back = parse_length(show(x, unit, denominator=denominator))
        assert abs(back - x) <= step / 2 + 1e-9
    assert abs(parse_length(show(x, "mm", decimals=1)) - x) <= 0.05 / 25.4 + 1e-9


@given(x=st.floats(min_value=0, max_value=1e4), unit=st.sampled_from(UNITS))
def test_units_swap(x: float, unit: Unit) -> None:
    there = parse_length(f"{to_unit(x, unit):.9f} {unit}")
    assert there == pytest.approx(x, abs=1e-6)
    assert parse_length(f"{to_unit(x, unit):.9f}", unit) == there
    assert from_unit(to_unit(x, unit), unit) == pytest.approx(x, abs=1e-9)


def test_inch_is_25_4_mm() -> None:
    """NIST Special Publication 811, appendix B: 1 in = 25.4 mm exactly, 1 ft = 0.3048 m."""
    assert to_unit(1.0, "mm") == pytest.approx(25.4, abs=1e-12)
    assert to_unit(12.0, "m") == pytest.approx(0.3048, abs=1e-12)
    assert set(INCHES_PER) == set(UNITS)


@given(
    st.one_of(
        st.text(max_size=60),
        st.text(alphabet="0123456789 .,-/'\"infteme+_½⅜⁄′″\u00a0", max_size=20),
    )
)
@example("52\n")
@example("5\x00")
@example("K")
def test_any_text_is_a_finite_length_or_refused(text: str) -> None:
    for comma in (False, True):
        try:
            inches = parse_length(text, decimal_comma=comma)
        except SurveyError as error:
            assert error.message
        else:
            assert math.isfinite(inches)
            assert abs(inches) <= 1e6


def test_thousands_of_digits_are_refused() -> None:
    for text in ("9" * 1_000_000, "1/" * 500_000, " " * 1_000_000 + "52", "½" * 1_000_000):
        with pytest.raises(SurveyError, match="characters, too long"):
            parse_length(text)


@pytest.mark.parametrize(
    ("x", "denominator", "said"),
    [
        (92.625, 16, '92-5/8"'),
        (0.375, 16, '3/8"'),
        (0.0, 16, '0"'),
        (-0.5, 16, '-1/2"'),
        (-0.001, 16, '0"'),
        (95.99, 16, '96"'),
        (92.53125, 16, '92-9/16"'),
        (92.53125, 32, '92-17/32"'),
        (-92.625, 8, '-92-5/8"'),
    ],
)
def test_fraction(x: float, denominator: int, said: str) -> None:
    assert fraction(x, denominator) == said


def test_show() -> None:
    assert show(92.625, "ft") == '92-5/8"'
    assert show(92.625, "cm") == "2353 mm"
    assert show(-0.001, "mm") == "0 mm"
    assert show(-1.0, "mm", decimals=1) == "-25.4 mm"


def test_snap_keeps_what_is_on_a_step() -> None:
    ways: tuple[Rounding, ...] = get_args(Rounding)
    for steps in range(0, 2000, 7):
        on = steps / 16
        for x in (on, on + 5e-7, on - 5e-7):
            assert [snap(x, 1 / 16, way) for way in ways] == [on, on]


def test_snap_goes_down_or_to_the_nearest() -> None:
    assert snap(92.68, 1 / 16, "down") == 92.625
    assert snap(92.68, 1 / 16, "nearest") == 92.6875
    assert snap(92.624, 1 / 16, "down") == 92.5625
    assert snap(0.03125, 1 / 16, "nearest") == 0.0625
    assert snap(-0.01, 1 / 16, "down") == -0.0625


def test_snap_leaves_arrays_alone_and_answers_with_one() -> None:
    x = np.array([92.68, 92.624999999, -0.01])
    before = x.copy()
    down = snap(x, 1 / 16, "down")
    assert down.tolist() == [92.625, 92.625, -0.0625]
    assert x.tolist() == before.tolist()
    assert to_unit(x, "ft").tolist() == pytest.approx((before / 12).tolist())
