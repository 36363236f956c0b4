"""Runs of one value against every way to break the places into runs."""

from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey.errors import SurveyError
from survey.wall.ladder import Ladder
from survey.wall.stepping import Stepping, fewest_runs

STEP = 0.25
FREE = (1.1, 2.6)
RUNGS = sorted([*(STEP * i for i in range(40)), *FREE])
Place = tuple[float, float, float]

# In tenths, so that ends of intervals meet rungs, miss them and meet the free values between.
places = st.lists(
    st.tuples(st.integers(5, 40), st.integers(0, 15), st.integers(0, 12)).map(
        lambda t: (t[0] / 10, (t[0] + t[1]) / 10, (t[0] + t[1] + t[2]) / 10)
    ),
    min_size=1,
    max_size=7,
)


def solve(found: list[Place]) -> Stepping:
    low, high, peak = (np.array(column) for column in zip(*found, strict=True))
    return fewest_runs(low, high, peak, Ladder(step=STEP, free=FREE))


def every_stepping(found: list[Place]) -> list[tuple[int, float, tuple[int, ...]]]:
    """Runs, greatest gap and breaks of every way to break the places that works."""
    ways = []
    n = len(found)
    for count in range(n):
        for breaks in combinations(range(1, n), count):
            bounds = (0, *breaks, n)
            gaps = [_gap(found[a:b]) for a, b in pairwise(bounds)]
            if all(gap is not None for gap in gaps):
                ways.append((count + 1, max(gap for gap in gaps if gap is not None), breaks))
    return ways


def _gap(run: list[Place]) -> float | None:
    fitting = [r for r in RUNGS if all(a - 1e-9 <= r <= b + 1e-9 for a, b, _ in run)]
    return max(peak for _, _, peak in run) - max(fitting) if fitting else None


@settings(derandomize=True, database=None, deadline=None, max_examples=300)
@given(places)
def test_optimum_equals_that_of_every_way_tried(found: list[Place]) -> None:
    stepping = solve(found)
    ways = every_stepping(found)
    if not ways:
        assert stepping.impossible == tuple(
            i for i in range(len(found)) if _gap([found[i]]) is None
        )
        assert stepping.runs == ()
        return
    fewest = min(runs for runs, _, _ in ways)
    least = min(gap for runs, gap, _ in ways if runs == fewest)
    best = [breaks for runs, gap, breaks in ways if runs == fewest and gap <= least + 1e-9]
    assert len(stepping.runs) == fewest
    assert stepping.greatest_gap == pytest.approx(least, abs=1e-9)
    assert stepping.breaks in best
    for breaks in best:
        assert all(a <= b for a, b in zip(stepping.breaks, breaks, strict=True))


@settings(derandomize=True, database=None, deadline=None, max_examples=100)
@given(places)
def test_runs_cover_the_places_and_every_rung_between_their_bounds_fits(
    found: list[Place],
) -> None:
    stepping = solve(found)
    covered = [i for run in stepping.runs for i in range(run.start, run.stop)]
    assert covered == (list(range(len(found))) if not stepping.impossible else [])
    for run in stepping.runs:
        within = found[run.start : run.stop]
        fitting = [r for r in RUNGS if all(a - 1e-9 <= r <= b + 1e-9 for a, b, _ in within)]
        assert (run.lowest, run.highest) == (fitting[0], fitting[-1])
        assert run.peak == max(peak for _, _, peak in within)


def best_by_dynamic_program(found: list[Place]) -> tuple[int, float]:
    """Fewest runs, then least greatest gap, of the first j places for every j in turn."""
    best = [(0, -np.inf)]
    for stop in range(1, len(found) + 1):
        ways = []
        for start in range(stop):
            gap = _gap(found[start:stop])
            if gap is not None:
                ways.append((best[start][0] + 1, max(best[start][1], gap)))
        best.append(min(ways))
    return best[-1]


@pytest.mark.parametrize("draw", range(10))
def test_thirty_places_agree_with_a_dynamic_program(draw: int) -> None:
    rng = np.random.default_rng(draw)
    high = 5.0 + np.cumsum(rng.normal(0.0, 0.25, 30)).clip(-3.0, 3.0)
    low = high - rng.uniform(0.5, 1.5, 30)
    peak = high + rng.uniform(0.0, 2.0, 30)
    found = list(zip(low.tolist(), high.tolist(), peak.tolist(), strict=True))
    stepping = solve(found)
    runs, gap = best_by_dynamic_program(found)
    assert len(stepping.runs) == runs > 2
    assert stepping.greatest_gap == pytest.approx(gap, abs=1e-9)


def test_a_break_is_moved_for_the_narrower_gap() -> None:
    # The middle place may go with either neighbour. With the left one its peak of 9 meets the
    # value 2 and gapes 7; with the right one it meets 6 and gapes 3.
    stepping = fewest_runs(
        np.array([0.0, 0.0, 6.0]),
        np.array([2.0, 6.0, 8.0]),
        np.array([4.0, 9.0, 9.0]),
        Ladder(step=1.0),
    )
    assert stepping.breaks == (1,)
    assert [run.highest for run in stepping.runs] == [2.0, 6.0]
    assert stepping.greatest_gap == 3.0


def test_of_equal_steppings_the_break_is_nearest_the_start() -> None:
    stepping = fewest_runs(
        np.array([0.0, 0.0, 0.0, 5.0]),
        np.array([2.0, 8.0, 8.0, 8.0]),
        np.array([9.0, 8.0, 8.0, 8.0]),
        Ladder(step=1.0),
    )
    assert stepping.breaks == (1,)


def test_no_lower_end_is_one_run() -> None:
    low = np.full(3, -np.inf)
    stepping = fewest_runs(low, np.array([3.0, 2.2, 2.9]), np.full(3, 4.0), Ladder(step=0.5))
    assert [(run.lowest, run.highest) for run in stepping.runs] == [(-np.inf, 2.0)]


def test_no_places_have_no_runs() -> None:
    none = np.empty(0)
    assert fewest_runs(none, none, none, Ladder(step=1.0)) == Stepping(runs=(), impossible=())


def test_a_place_between_two_rungs_is_named() -> None:
    stepping = fewest_runs(np.array([1.0, 1.1]), np.array([2.0, 1.4]), np.ones(2), Ladder(step=0.5))
    assert stepping.impossible == (1,)
    assert stepping.greatest_gap == np.inf


def test_millimetre_rungs_are_told_apart_exactly() -> None:
    # 0.1 in is no multiple of a millimetre; equal rungs reached from unlike numbers still meet.
    step = 1 / 25.4
    low = np.array([2353 * step - 3e-7, 2350.2 * step])
    high = np.array([2353.9 * step, 2353 * step - 4e-7])
    stepping = fewest_runs(low, high, high, Ladder(step=step))
    assert len(stepping.runs) == 1
    assert stepping.runs[0].highest == 2353 * step


def test_what_is_no_number_is_refused() -> None:
    with pytest.raises(SurveyError, match="is not finite"):
        fewest_runs(np.zeros(1), np.ones(1), np.array([np.inf]), Ladder(step=1.0))
