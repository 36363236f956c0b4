"""The edge of the lower hull over a place, against every chord."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey.errors import SurveyError
from survey.wall.bridge import find_bridge
from survey.wall.hulls import lower_hull

heights = st.lists(st.integers(-40, 40).map(lambda i: i / 16), min_size=2, max_size=12)


@settings(derandomize=True, database=None, deadline=None, max_examples=200)
@given(heights, st.integers(0, 12), st.integers(0, 3))
def test_bridge_is_the_highest_line_under_all_points(
    found: list[float], place: int, shift: int
) -> None:
    y = np.array(found)
    x = np.cumsum(np.arange(1.0, y.size + 1))
    at = float(x[min(place, y.size - 2)]) + shift / 4
    edge = find_bridge(x, y, at)
    line = edge.intercept + edge.slope * x
    assert (y - line).min() >= -1e-9
    left, right = int(edge.left), int(edge.right)
    assert x[left] <= at < x[right]
    assert line[[left, right]] == pytest.approx(y[[left, right]], abs=1e-9)


def test_touched_points_are_neighbours_on_the_hull() -> None:
    rng = np.random.default_rng(3)
    x = 16.0 * np.arange(40.0)
    y = rng.normal(0.0, 0.2, (50, 40))
    edges = find_bridge(x, y, 312.0)
    for row, left, right in zip(y, edges.left, edges.right, strict=True):
        hull = lower_hull(x, row)
        k = int(np.searchsorted(x[hull], 312.0, side="right"))
        assert (hull[k - 1], hull[k]) == (left, right)


def test_a_point_at_the_place_counts_as_left_of_it() -> None:
    edge = find_bridge(np.array([0.0, 8.0, 16.0]), np.array([1.0, 0.0, 2.0]), 8.0)
    assert (int(edge.left), int(edge.right)) == (1, 2)


def test_a_place_past_the_points_takes_the_edge_at_that_end() -> None:
    x, y = np.array([0.0, 8.0, 16.0]), np.array([1.0, 0.0, 2.0])
    assert float(find_bridge(x, y, -5.0).slope) == -0.125
    assert float(find_bridge(x, y, 16.0).slope) == 0.25


def test_one_point_gives_a_level_line() -> None:
    edge = find_bridge(np.array([4.0]), np.array([[1.0], [2.0]]), 0.0)
    assert edge.slope.tolist() == [0.0, 0.0]
    assert edge.intercept.tolist() == [1.0, 2.0]


def test_what_does_not_increase_is_refused() -> None:
    with pytest.raises(SurveyError, match="must increase"):
        find_bridge(np.array([0.0, 0.0]), np.zeros(2), 0.0)
    with pytest.raises(SurveyError, match="not finite"):
        find_bridge(np.array([0.0, 1.0]), np.array([0.0, np.nan]), 0.0)
    with pytest.raises(SurveyError, match="one height for every abscissa"):
        find_bridge(np.array([0.0, 1.0]), np.zeros(3), 0.0)
