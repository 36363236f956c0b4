"""Fewest settings against every set of rungs."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey.errors import SurveyError
from survey.wall.ladder import Ladder
from survey.wall.stabbing import Stabbing, fewest_settings

STEP = 0.5
FREE = (2.1, 4.0)
RUNGS = sorted({*(STEP * i for i in range(17)), *FREE})
Interval = tuple[float, float]

intervals = st.lists(
    st.tuples(st.integers(0, 60), st.integers(0, 15)).map(
        lambda t: (t[0] / 10, (t[0] + t[1]) / 10)
    ),
    min_size=1,
    max_size=7,
)


def solve(found: list[Interval], free: tuple[float, ...] = FREE) -> Stabbing:
    low, high = (np.array(column) for column in zip(*found, strict=True))
    return fewest_settings(low, high, Ladder(step=STEP, free=free))


def _held(interval: Interval, values: tuple[float, ...] | list[float]) -> list[float]:
    return [v for v in values if interval[0] - 1e-9 <= v <= interval[1] + 1e-9]


def best_by_trial(found: list[Interval]) -> tuple[int, float]:
    """Fewest multiples that stab all, and the greatest sum of values they allow."""
    multiples = [r for r in RUNGS if r % STEP == 0.0]
    for count in range(len(found) + 1):
        sums = [
            sum(max(_held(interval, chosen)) for interval in found)
            for chosen in combinations(multiples, count)
            if all(_held(interval, chosen) for interval in found)
        ]
        if sums:
            return count, max(sums)
    raise AssertionError("an interval holds no rung")


@settings(derandomize=True, database=None, deadline=None, max_examples=200)
@given(intervals, st.sampled_from([(), FREE]))
def test_optimum_equals_that_of_every_set_tried(
    found: list[Interval], free: tuple[float, ...]
) -> None:
    stabbing = solve(found, free)
    rungs = [r for r in RUNGS if r in free or r % STEP == 0.0]
    assert stabbing.impossible == tuple(i for i, f in enumerate(found) if not _held(f, rungs))
    for i, interval in enumerate(found):
        if i in stabbing.impossible:
            assert np.isnan(stabbing.values[i])
        elif _held(interval, free):
            assert stabbing.free[i]
            assert stabbing.values[i] == max(_held(interval, free))
    paid = [i for i, f in enumerate(found) if _held(f, rungs) and not _held(f, free)]
    count, total = best_by_trial([found[i] for i in paid])
    assert len(stabbing.settings) == count
    assert stabbing.values[paid].sum() == pytest.approx(total, abs=1e-9)
    assert {*stabbing.values[paid]} == {*stabbing.settings}
    assert all(_held(found[i], [stabbing.values[i]]) for i in paid)


def test_the_second_setting_is_placed_for_the_greatest_sum() -> None:
    # 7 for the last alone leaves the middle one at 2; 5 for both is a greater sum.
    found = [(0.0, 2.0), (1.0, 5.0), (4.0, 7.0)]
    assert solve(found, free=()).values.tolist() == [2.0, 5.0, 5.0]
    # With one more interval that 7 serves better, 7 is.
    found.append((4.5, 7.5))
    assert solve(found, free=()).values.tolist() == [2.0, 2.0, 7.0, 7.0]


def test_a_free_value_is_taken_before_a_greater_one_that_is_not() -> None:
    stabbing = solve([(2.0, 3.0), (2.9, 3.2)])
    assert stabbing.values.tolist() == [2.1, 3.0]
    assert stabbing.free.tolist() == [True, False]
    assert stabbing.settings == (3.0,)


def test_no_lower_end() -> None:
    found = [(-np.inf, 5.2), (-np.inf, 3.3)]
    assert solve(found, free=()).values.tolist() == [3.0, 3.0]
    assert solve(found).values.tolist() == [4.0, 2.1]


def test_no_intervals_need_no_setting() -> None:
    stabbing = fewest_settings(np.empty(0), np.empty(0), Ladder(step=1.0))
    assert stabbing.settings == ()
    assert stabbing.values.size == 0


def test_results_are_read_only() -> None:
    stabbing = solve([(1.0, 2.0)])
    with pytest.raises(ValueError, match="read-only"):
        stabbing.values[0] = 0.0


def test_what_is_no_interval_is_refused() -> None:
    with pytest.raises(SurveyError, match="one length"):
        fewest_settings(np.zeros(2), np.zeros(3), Ladder(step=1.0))
