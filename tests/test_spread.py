"""Labels moved apart: in order, far enough, inside, and moved as little as can be."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from survey.sheets.drawings.spread import spread

PLACES = st.lists(st.floats(0.0, 10.0), min_size=1, max_size=30).map(sorted)


@given(PLACES, st.floats(0.01, 0.3))
def test_labels_keep_their_order_their_distance_and_the_edges(
    wanted: list[float], pitch: float
) -> None:
    found = np.array(spread(wanted, pitch, 0.0, 10.0))
    assert found.size == len(wanted)
    assert (np.diff(found) >= pitch - 1e-9).all()
    assert found[0] >= -1e-9
    assert found[-1] <= 10.0 + 1e-9


@given(PLACES, st.floats(0.01, 0.3))
def test_moves_are_the_least_as_scipy_finds_them(wanted: list[float], pitch: float) -> None:
    steps = pitch * np.arange(len(wanted))
    level = isotonic_regression(np.array(wanted) - steps).x
    best = np.clip(level, 0.0, 10.0 - steps[-1]) + steps
    np.testing.assert_allclose(spread(wanted, pitch, 0.0, 10.0), best, atol=1e-9)


def test_labels_that_have_room_stay() -> None:
    assert spread([1.0, 2.0, 3.0], 0.5, 0.0, 4.0) == (1.0, 2.0, 3.0)


def test_too_many_labels_stand_evenly() -> None:
    assert spread([1.0] * 5, 1.0, 0.0, 2.0) == pytest.approx((0.0, 0.5, 1.0, 1.5, 2.0))


def test_one_label_stays_inside() -> None:
    assert spread([-3.0], 1.0, 0.0, 2.0) == (0.0,)
