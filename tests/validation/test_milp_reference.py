"""Every line's optimum against HiGHS on 20 to 60 places: each goal in turn has the same value."""

from __future__ import annotations

import numpy as np
import pytest

from milp_programs import (
    bent_by_lp,
    draw_intervals,
    draw_places,
    extreme_slopes_by_lp,
    stabbed_by_milp,
    stepped_by_milp,
    strip_width_by_lp,
)
from survey.wall.bending import Corridor, keeps_limits, lowest_bent_line
from survey.wall.hulls import narrowest_strip, slope_range
from survey.wall.ladder import Ladder
from survey.wall.stabbing import fewest_settings
from survey.wall.stepping import fewest_runs

SIZES = (20, 33, 47, 60)
# HiGHS keeps each row to 1e-7; what it reports is asked to agree to ten times that.
AGREES = 1e-6


@pytest.mark.parametrize("count", SIZES)
@pytest.mark.parametrize("width", [0.2, 0.45])
@pytest.mark.parametrize("free", [(), (92.31, 92.625)], ids=["plain", "free values"])
def test_stepped(count: int, width: float, free: tuple[float, ...]) -> None:
    places = draw_places(np.random.default_rng(count), count, width=width, free=free)
    found = fewest_runs(
        places.low, places.high, places.peak, Ladder(step=places.step, free=places.free)
    )
    best = stepped_by_milp(places)
    assert len(found.runs) == best.runs > 1
    assert found.greatest_gap == pytest.approx(best.greatest_gap, abs=AGREES)
    assert found.breaks == best.breaks


@pytest.mark.parametrize("count", SIZES)
@pytest.mark.parametrize("draw", range(3))
@pytest.mark.parametrize("free", [(), (92.31, 92.625)], ids=["plain", "free values"])
def test_stabbing(count: int, draw: int, free: tuple[float, ...]) -> None:
    drawn = draw_intervals(np.random.default_rng([count, draw]), count, free=free)
    found = fewest_settings(drawn.low, drawn.high, Ladder(step=drawn.step, free=drawn.free))
    best = stabbed_by_milp(drawn)
    assert len(found.settings) == best.settings > 1
    assert found.values[~found.free].sum() == pytest.approx(best.total, abs=1e-4)


@pytest.mark.parametrize("count", SIZES)
def test_raked(count: int) -> None:
    rng = np.random.default_rng(count)
    x = 16.0 * np.arange(float(count))
    lower = 0.002 * x + rng.normal(0.0, 0.1, count)
    upper = lower + rng.uniform(0.0, 0.2, count)
    assert narrowest_strip(x, upper, lower).width == pytest.approx(
        strip_width_by_lp(x, upper, lower), abs=AGREES
    )
    steep = narrowest_strip(x, upper, lower, within=(0.003, 0.01))
    assert steep.slope >= 0.003
    assert steep.width == pytest.approx(
        strip_width_by_lp(x, upper, lower, within=(0.003, 0.01)), abs=AGREES
    )
    allowed = slope_range(x, upper, lower + 0.7)
    least, greatest = extreme_slopes_by_lp(x, upper, lower + 0.7)
    assert allowed.least < allowed.greatest
    # A limit may be missed by a millionth, so the range is wider, by a millionth an inch at most.
    assert allowed.least == pytest.approx(least, abs=AGREES)
    assert allowed.greatest == pytest.approx(greatest, abs=AGREES)


@pytest.mark.parametrize("count", SIZES)
@pytest.mark.parametrize("bend", [0.03, 0.16])
def test_parallel(count: int, bend: float) -> None:
    rng = np.random.default_rng(count)
    spaces = rng.choice([1.5, 10.0, 16.0], count, p=[0.1, 0.2, 0.7])
    x = np.asarray(np.cumsum(spaces), dtype=np.float64)
    base = rng.normal(0.0, 0.12, count)
    low = base + rng.uniform(1.0, 1.1, count)
    corridor = Corridor(x=x, at=x, low=low, high=base + 2.2, base=base, bend=bend)
    line = lowest_bent_line(corridor)
    best = bent_by_lp(x, low, base + 2.2, base, bend)
    assert best is not None
    assert line.short_by == 0.0
    assert keeps_limits(corridor, line.heights)
    assert line.greatest_gap == pytest.approx(best[0], abs=AGREES)
    # The greatest gap may be missed by 1e-7 in each program, which n heights may all use.
    assert line.heights.sum() == pytest.approx(best[1], abs=count * AGREES)


def test_parallel_has_no_line_where_the_program_has_none() -> None:
    x = 16.0 * np.arange(20.0)
    base = np.where(np.arange(20) == 10, 0.5, 0.0)
    low, high = base + 1.0, base + 1.2
    line = lowest_bent_line(Corridor(x=x, at=x, low=low, high=high, base=base, bend=0.05))
    assert bent_by_lp(x, low, high, base, 0.05) is None
    assert line.short_by > 0.0
    assert bent_by_lp(x, low, high + line.short_by + 1e-6, base, 0.05) is not None
    assert bent_by_lp(x, low, high + line.short_by - 1e-4, base, 0.05) is None
