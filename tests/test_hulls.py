"""The narrowest strip and the slopes allowed, against every slope through two points."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey.errors import SurveyError
from survey.slab.kriging import FloatArray
from survey.wall.hulls import lower_hull, narrowest_strip, slope_range, upper_hull

sixteenths = st.integers(-32, 32).map(lambda i: i / 16)
rows = st.lists(
    st.tuples(st.integers(0, 40), sixteenths, st.integers(0, 40).map(lambda i: i / 16)),
    min_size=1,
    max_size=9,
)
Row = tuple[int, float, float]


def columns(found: list[Row]) -> tuple[FloatArray, FloatArray, FloatArray]:
    x, low, width = (np.array(column, dtype=np.float64) for column in zip(*found, strict=True))
    return x, low, low + width


def misses(x: FloatArray, over: FloatArray, under: FloatArray, slope: float) -> float:
    """max(over - m x) - min(under - m x), straight from the definition."""
    return float((over - slope * x).max() - (under - slope * x).min())


def pair_slopes(x: FloatArray, a: FloatArray, b: FloatArray) -> list[float]:
    apart = x[:, None] != x[None, :]
    rise, run = (a[:, None] - b[None, :])[apart], (x[:, None] - x[None, :])[apart]
    return [float(slope) for slope in rise / run]


@settings(derandomize=True, database=None, deadline=None, max_examples=200)
@given(rows, st.booleans())
def test_strip_is_the_narrowest_of_all_slopes_through_two_points(
    found: list[Row], spread: bool
) -> None:
    x, lower, upper = columns(found)
    if not spread:
        upper = lower
    tried = [0.0, *pair_slopes(x, upper, upper), *pair_slopes(x, lower, lower)]
    strip = narrowest_strip(x, upper, lower)
    assert strip.width == pytest.approx(min(misses(x, upper, lower, m) for m in tried), abs=1e-9)
    assert (strip.upper + strip.slope * x - upper).min() == pytest.approx(0.0, abs=1e-9)
    assert (lower - strip.lower - strip.slope * x).min() == pytest.approx(0.0, abs=1e-9)
    flattest = min(abs(m) for m in tried if misses(x, upper, lower, m) <= strip.width + 1e-9)
    assert abs(strip.slope) == pytest.approx(flattest, abs=1e-9)


@settings(derandomize=True, database=None, deadline=None, max_examples=200)
@given(rows)
def test_slopes_allowed_end_where_a_line_binds_between_two_limits(found: list[Row]) -> None:
    x, low, high = columns(found)
    allowed = slope_range(x, low, high)
    # Past an end of the range some lower and some upper limit cannot both be kept.
    kept = [m for m in [0.0, *pair_slopes(x, low, high)] if misses(x, low, high, m) <= 1e-9]
    assert allowed.feasible == bool(kept)
    if not kept:
        tried = [0.0, *pair_slopes(x, low, low), *pair_slopes(x, high, high)]
        assert allowed.short_by == pytest.approx(
            min(misses(x, low, high, m) for m in tried), abs=2e-6
        )
        assert misses(x, low, high, allowed.least) == pytest.approx(allowed.short_by, abs=2e-6)
    elif np.ptp(x) == 0.0:
        assert (allowed.least, allowed.greatest) == (-np.inf, np.inf)
    else:
        assert allowed.least == pytest.approx(min(kept), abs=3e-6)
        assert allowed.greatest == pytest.approx(max(kept), abs=3e-6)


def test_strip_within_slopes_stops_at_their_end() -> None:
    x = np.array([0.0, 10.0, 20.0])
    y = np.array([0.0, 2.0, 4.0])
    strip = narrowest_strip(x, y, y, within=(-0.1, 0.05))
    assert strip.slope == 0.05
    assert strip.width == pytest.approx(3.0)


def test_a_level_strip_is_taken_where_slopes_do_not_matter() -> None:
    x = np.array([0.0, 10.0, 20.0])
    strip = narrowest_strip(x, np.array([0.0, 1.0, 0.0]), np.array([0.0, -3.0, 0.0]))
    assert (strip.slope, strip.upper, strip.lower) == (0.0, 1.0, -3.0)


def test_one_place_gives_a_level_strip() -> None:
    strip = narrowest_strip(np.array([5.0]), np.array([2.0]), np.array([1.0]))
    assert (strip.slope, strip.width) == (0.0, 1.0)


def test_hulls_keep_the_outer_of_points_that_share_an_abscissa() -> None:
    x = np.array([2.0, 0.0, 2.0, 0.0, 1.0])
    y = np.array([1.0, 0.0, 3.0, 4.0, 3.5])
    assert upper_hull(x, y).tolist() == [3, 2]
    assert lower_hull(x, y).tolist() == [1, 0]


def test_limits_missed_by_a_millionth_are_kept_and_by_more_are_not() -> None:
    x = np.array([0.0, 10.0, 20.0])
    low, high = np.array([0.0, 1.0, 0.0]), np.array([0.0, 1.0, 0.0])
    assert slope_range(x, low, high + 1.0 - 5e-7).feasible
    assert slope_range(x, low, high + 1.0 - 5e-6).short_by == pytest.approx(4e-6, abs=1e-9)


def test_a_long_wall_of_readings_is_one_strip() -> None:
    x = np.arange(0.0, 720.0)
    rng = np.random.default_rng(5)
    y = 0.01 * x + rng.uniform(0.0, 0.25, x.size)
    strip = narrowest_strip(x, y, y)
    assert strip.slope == pytest.approx(0.01, abs=1e-3)
    assert strip.width == pytest.approx(misses(x, y, y, strip.slope), abs=1e-9)
    for slope in strip.slope + np.array([-1e-5, 1e-5]):
        assert misses(x, y, y, slope) >= strip.width - 1e-9


def test_what_is_no_point_is_refused() -> None:
    one = np.ones(1)
    with pytest.raises(SurveyError, match="at least one point"):
        narrowest_strip(np.empty(0), np.empty(0), np.empty(0))
    with pytest.raises(SurveyError, match="at least one point"):
        slope_range(one, one, np.ones(2))
    with pytest.raises(SurveyError, match="not finite"):
        slope_range(one, one, np.array([np.inf]))
    with pytest.raises(SurveyError, match="over the greatest"):
        narrowest_strip(one, one, one, within=(1.0, 0.0))
