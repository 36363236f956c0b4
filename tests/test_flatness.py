"""The straightedge against every bar laid by brute force, and what it says of odd lines."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey.errors import SurveyError
from survey.slab.flatness import straightedge

WAVE = [0, 0.05, 0.10, 0.05, -0.05, -0.10, -0.05, 0.05, 0.10, 0.05, 0]


def brute_gap(x: np.ndarray, y: np.ndarray, span: float) -> float:
    """Widest gap under any chord no longer than the bar: three loops, no cleverness."""
    widest = 0.0
    for i in range(x.size):
        for j in range(i + 1, x.size):
            if x[j] - x[i] > span + 1e-9:
                break
            chord = y[i] + (y[j] - y[i]) * (x[i : j + 1] - x[i]) / (x[j] - x[i])
            widest = max(widest, float(np.max(chord - y[i : j + 1])))
    return widest


@given(
    st.lists(st.tuples(st.integers(1, 9), st.integers(-20, 20)), min_size=1, max_size=25),
    st.integers(1, 80),
)
def test_gap_is_that_of_every_bar_tried(steps: list[tuple[int, int]], span: int) -> None:
    x = np.cumsum([float(step) for step, _ in steps])
    y = np.array([height / 16 for _, height in steps])
    found = straightedge(x, y, span)
    assert found.gap == pytest.approx(brute_gap(x, y, span), abs=1e-9)
    if found.gap > 0.0:
        left, right = found.contacts
        assert left < found.station < right
        assert found.between <= span
        chord = np.interp(x, [left, right], y[np.isin(x, [left, right])])
        inside = (x >= left) & (x <= right)
        assert np.all(chord[inside] >= y[inside] - 1e-9)


def test_wave_under_a_ten_foot_bar() -> None:
    # Derived by hand: the bar bridges the trough from crest to crest.
    found = straightedge(12.0 * np.arange(11), WAVE, 120.0)
    assert found.gap == pytest.approx(0.20)
    assert (found.station, found.contacts) == (60.0, (24.0, 96.0))


def test_a_short_bar_does_not_reach_both_crests() -> None:
    found = straightedge(12.0 * np.arange(11), WAVE, 48.0)
    assert found.gap == pytest.approx(0.15)
    assert found.contacts == (36.0, 84.0)


def test_a_crown_rocks_and_leaves_no_gap() -> None:
    x = np.arange(0.0, 121.0, 12.0)
    crowned = straightedge(x, 0.25 * (1 - ((x - 60) / 60) ** 2), 120.0)
    assert crowned.gap == 0.0
    assert crowned.contacts == (0.0, 0.0)
    assert crowned.crown == pytest.approx(0.25)
    assert crowned.crown_station == 60.0
    dished = straightedge(x, 0.25 * ((x - 60) / 60) ** 2, 120.0)
    assert dished.crown == 0.0
    assert dished.gap == pytest.approx(0.25)
    assert dished.contacts == (0.0, 120.0)


def test_a_crown_is_judged_by_bars_that_lie_wholly_on_the_line() -> None:
    x = np.arange(0.0, 241.0, 12.0)
    y = np.where(x > 180.0, -0.02 * (x - 180.0), 0.0)
    found = straightedge(x, y, 120.0)
    assert found.crown == pytest.approx(0.02 * 60 / 2)
    assert found.crown_station == 180.0


@pytest.mark.parametrize("count", [1, 2])
def test_too_few_stations_leave_no_gap(count: int) -> None:
    found = straightedge(np.arange(count), np.ones(count), 120.0)
    assert (found.gap, found.crown, found.between) == (0.0, 0.0, 0.0)


def test_slope_and_datum_do_not_matter() -> None:
    x = 12.0 * np.arange(11)
    found = straightedge(x, 7.0 + 0.03 * x + np.array(WAVE), 120.0)
    assert found.gap == pytest.approx(0.20)
    assert found.contacts == (24.0, 96.0)


def test_stations_all_on_one_chord_name_the_nearest_contacts() -> None:
    found = straightedge([0, 1, 2, 3, 4, 5, 6], [0, 0, 0, -0.1, 0, 0, 0], 6.0)
    assert found.contacts == (2.0, 4.0)


def test_bar_without_length_is_refused() -> None:
    with pytest.raises(SurveyError, match="its length must be above zero"):
        straightedge([0.0, 1.0], [0.0, 0.0], 0.0)
