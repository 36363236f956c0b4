"""F-numbers of lines whose answer follows by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from survey.errors import SurveyError
from survey.slab.f_numbers import combine, curvatures, f_numbers, rises

FEET = 12.0 * np.arange(31)


def test_sine_of_ten_feet_is_curved_and_dead_level() -> None:
    height = 0.125 * np.sin(2 * np.pi * FEET / 120.0)
    assert np.std(curvatures(height), ddof=1) == pytest.approx(0.0349463, abs=5e-8)
    found = f_numbers(FEET, height)
    assert found.flatness.value == pytest.approx(43.5907, abs=5e-5)
    assert found.levelness.value == math.inf


def test_ramp_is_flat_and_not_level() -> None:
    height = np.linspace(0.0, 0.6, 31)
    assert rises(height) == pytest.approx(np.full(21, 0.2))
    found = f_numbers(FEET, height)
    assert found.flatness.value == math.inf
    assert found.levelness.value == pytest.approx(62.5)


def test_zigzag() -> None:
    found = f_numbers(FEET, np.where(np.arange(31) % 2, 0.05, 0.0))
    assert found.flatness.value == pytest.approx(14.8099, abs=5e-5)
    assert (found.flatness.count, found.levelness.count) == (29, 21)


def test_other_spacing_is_an_estimate() -> None:
    every_inch = np.arange(0.0, 361.0)
    found = f_numbers(every_inch, 0.125 * np.sin(2 * np.pi * every_inch / 120.0))
    assert found.estimate
    assert found.flatness.value == pytest.approx(43.5907, abs=5e-4)


@pytest.mark.parametrize(
    ("count", "flat", "level", "name"),
    [
        (3, False, False, "too short to tell"),
        (4, True, False, "super flat"),
        (11, True, False, "super flat"),
        (12, True, True, "super flat"),
    ],
)
def test_short_lines_say_what_they_cannot_tell(
    count: int, flat: bool, level: bool, name: str
) -> None:
    found = f_numbers(FEET[:count], np.zeros(count))
    assert (found.flatness.known, found.levelness.known) == (flat, level)
    assert found.floor_class == name


def test_lines_weigh_as_their_differences() -> None:
    rng = np.random.default_rng(5)
    long, short = (f_numbers(FEET[:n], rng.normal(0, 0.05, n)) for n in (31, 14))
    found = combine([long, short, f_numbers(FEET[:3], np.zeros(3))])
    by_hand = (29 / long.flatness.value**2 + 12 / short.flatness.value**2) / 41
    assert found.flatness.value == pytest.approx(by_hand**-0.5)
    assert found.flatness.count == 41
    assert not found.estimate


def test_estimate_and_perfection_survive_combining() -> None:
    perfect = f_numbers(FEET, np.zeros(31))
    rough = f_numbers(np.arange(0.0, 361.0), np.zeros(361))
    assert combine([perfect, rough]).estimate
    assert combine([perfect, perfect]).flatness.value == math.inf
    assert not combine([f_numbers([0.0], [0.0])]).flatness.known


def test_no_line_is_refused() -> None:
    with pytest.raises(SurveyError, match="no line to take F-numbers of"):
        combine([])
