"""Highs and lows against scipy's topographic prominence."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.signal import find_peaks

from survey.slab.extremes import extremes, fall


@given(st.lists(st.integers(0, 40), min_size=3, max_size=30))
def test_inner_highs_have_the_prominence_scipy_gives(heights: list[int]) -> None:
    height = np.array(heights, dtype=float)
    station = np.arange(height.size, dtype=float)
    peaks, found = find_peaks(height, prominence=1.0)
    theirs = dict(zip(height[peaks], found["prominences"], strict=True))
    for extreme in extremes(station, height, least=1.0):
        at = int(extreme.station)
        inner = 0 < at < height.size - 1 and extreme.kind == "high"
        single = inner and height[at - 1] < height[at] > height[at + 1]
        if single and height[at] < height.max() and list(height[peaks]).count(height[at]) == 1:
            assert extreme.prominence == pytest.approx(theirs[height[at]])


def test_highest_and_lowest_are_always_named() -> None:
    station = np.linspace(0, 100, 11)
    found = extremes(station, 0.001 * station, least=0.5)
    assert [(e.kind, e.station) for e in found] == [("low", 0.0), ("high", 100.0)]
    assert found[0].prominence == pytest.approx(0.1)


def test_fall_is_the_least_squares_slope() -> None:
    station = np.array([0.0, 10.0, 30.0])
    assert fall(station, 1.0 - 0.02 * station) == pytest.approx(-0.02)
    assert fall(np.zeros(1), np.ones(1)) == 0.0
