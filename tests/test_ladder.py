"""Rungs under and over a number."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey.errors import SurveyError
from survey.wall.ladder import Ladder, check_intervals

MILLIMETRE = 1 / 25.4


def test_a_millionth_off_a_rung_counts_as_on_it() -> None:
    ladder = Ladder(step=1 / 16, free=(92.6,))
    rungs = np.array([92.625, 92.6, 92.5625])
    assert ladder.down(rungs - 9e-7).tolist() == rungs.tolist()
    assert ladder.up(rungs + 9e-7).tolist() == rungs.tolist()
    clear = np.array([92.625 - 2e-6, 92.6 - 2e-6])
    assert ladder.down(clear).tolist() == [92.6, 92.5625]
    assert ladder.up(np.array([92.6, 92.625]) + 2e-6).tolist() == [92.625, 92.6875]


def test_a_free_value_on_a_multiple_is_that_rung() -> None:
    ladder = Ladder(step=1 / 16, free=(92.625 + 4e-7, 92.625))
    assert ladder.free_down(np.array([93.0, 92.625, 92.0])).tolist() == [92.625, 92.625, -np.inf]
    assert ladder.up(np.array([92.6])).tolist() == [92.625]


def test_infinities_stay() -> None:
    ladder = Ladder(step=0.5, free=(1.2,))
    assert ladder.up(np.array([-np.inf, 1.1])).tolist() == [-np.inf, 1.2]
    assert ladder.down(np.array([-np.inf])).tolist() == [-np.inf]


def test_zero_has_no_sign() -> None:
    ladder = Ladder(step=0.5)
    assert not np.signbit(ladder.up(np.array([-0.2]))).any()
    assert not np.signbit(ladder.down(np.array([-4e-7]))).any()


def test_a_ladder_without_rungs_is_refused() -> None:
    with pytest.raises(SurveyError, match="must be over 0, not 0"):
        Ladder(step=0.0)
    with pytest.raises(SurveyError, match="free value of a ladder"):
        Ladder(step=1.0, free=(np.nan,))


@settings(derandomize=True, database=None, deadline=None, max_examples=100)
@given(
    st.floats(min_value=0.0, max_value=200.0),
    st.sampled_from([1 / 16, 1 / 8, MILLIMETRE]),
    st.lists(st.floats(min_value=1.0, max_value=200.0), max_size=3),
)
def test_rungs_agree_with_a_list_of_them(x: float, step: float, free: list[float]) -> None:
    rungs = np.concatenate((np.arange(-2, round(203 / step)) * step, free))
    ladder = Ladder(step=step, free=tuple(free))
    down, up = ladder.down(np.array([x]))[0], ladder.up(np.array([x]))[0]
    assert down == pytest.approx(rungs[rungs <= x + 1e-6].max(), abs=1.1e-6)
    assert up == pytest.approx(rungs[rungs >= x - 1e-6].min(), abs=1.1e-6)
    assert ladder.down(np.array([up]))[0] == up
    assert ladder.up(np.array([down]))[0] == down


def test_what_is_no_interval_is_refused() -> None:
    one, two = np.ones(1), np.ones(2)
    with pytest.raises(SurveyError, match="one length"):
        check_intervals(one, two)
    with pytest.raises(SurveyError, match="lower end of an interval"):
        check_intervals(np.array([np.nan]), one)
    with pytest.raises(SurveyError, match="lower end of an interval"):
        check_intervals(np.array([np.inf]), one)
    with pytest.raises(SurveyError, match="is not finite"):
        check_intervals(one, np.array([np.inf]))
    with pytest.raises(SurveyError, match="is not finite"):
        check_intervals(one, one, np.array([np.nan]))
