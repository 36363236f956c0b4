"""Two-peg tests of a level.

Source: two published problems on the two-peg test, first with readings and answer, second with
its worked answer; both read, author and title not recorded. The sign and size of the error and
the corrected readings of the first are derived by hand from its readings.
"""

from __future__ import annotations

import numpy as np
import pytest

from survey.field.collimation import corrected, peg_error
from survey.job import PegTest

# Pegs 40 m apart, read from midway, then from 10 m beyond the second on the line through both.
FIRST = PegTest(near_1=1.476, near_2=1.432, far_1=1.556, far_2=1.472, d_near=10.0, d_far=50.0)
# Pegs C and D 100 m apart; F on the line, 120 m from C and 20 m from D.
SECOND = PegTest(near_1=2.0, near_2=3.0, far_1=1.50, far_2=2.75, d_near=20.0, d_far=120.0)


@pytest.mark.parametrize(
    ("peg", "error", "readings"),
    [(FIRST, 0.001, [1.506, 1.462]), (SECOND, -0.0025, [1.80, 2.80])],
    ids=["pegs 40 m apart", "pegs C and D"],
)
def test_error_and_corrected_readings(peg: PegTest, error: float, readings: list[float]) -> None:
    found = peg_error(peg, accuracy=0.0004)
    assert found.error == pytest.approx(error, abs=1e-9)
    assert not found.within
    far = corrected(
        np.array([peg.far_1, peg.far_2]),
        np.array([-1, -1]),
        np.array([peg.d_far, peg.d_near]),
        error=found.error,
    )
    assert far == pytest.approx(readings, abs=1e-9)


@pytest.mark.parametrize("peg", [FIRST, SECOND])
def test_corrected_readings_give_the_true_difference(peg: PegTest) -> None:
    error = peg_error(peg, accuracy=0.0004).error
    sign, distance = np.array([-1, -1]), np.array([peg.d_far, peg.d_near])
    far = corrected(np.array([peg.far_1, peg.far_2]), sign, distance, error=error)
    assert far[0] - far[1] == pytest.approx(peg.near_1 - peg.near_2, abs=1e-12)
