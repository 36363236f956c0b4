"""A second way: every error tried as one more unknown of a dense adjustment by numpy.linalg.

The survey is adjusted once for each error, with a column for it beside those of beams and spots;
the amount, its sd and the fall of the weighted squares are compared with what the program takes
from its one adjustment.
"""

from __future__ import annotations

import numpy as np
import pytest

from survey.field.evidence import Evidence, allow, estimate, weigh
from survey.field.kicks import list_moments, moment_pattern, moment_statistics
from survey.field.outliers import sight_pattern, sight_statistics
from tied_surveys import Plan, adjusted, blunder, kick, walk


@pytest.fixture(scope="module")
def troubled() -> Evidence:
    rows = walk(np.random.default_rng(17), Plan(fresh=4))
    return weigh(adjusted(blunder(kick(rows, 14, 0.5), 0, "down", 0.75)))


def least_squares(found: Evidence, *patterns: np.ndarray) -> tuple[np.ndarray, np.ndarray, float]:
    """Amounts of the patterns, their sd, and the weighted sum of squares, all dense."""
    heights = found.heights
    observed, spots = heights.observations, heights.spots.name.size
    held = heights.solution.alone == 0.0
    n = observed.spot.size
    design = np.zeros((n, spots + len(heights.book.setups)))
    design[np.arange(n), observed.spot] = 1.0
    design[np.arange(n), spots + observed.setup] = -1.0
    fixed = design[:, :spots][:, held] @ heights.spots.elevation[held]
    design = np.delete(design, np.flatnonzero(held), axis=1)
    full = np.column_stack([*patterns, design]) / observed.sd[:, None]
    wanted = (observed.sign * observed.reading - fixed) / observed.sd
    solution, *_ = np.linalg.lstsq(full, wanted, rcond=None)
    cofactor = np.linalg.pinv(full.T @ full)
    count = len(patterns)
    square = float(np.sum((wanted - full @ solution) ** 2))
    return solution[:count], np.sqrt(np.diag(cofactor)[:count]), square


def test_each_reading_as_one_more_unknown(troubled: Evidence) -> None:
    statistic = sight_statistics(troubled)
    tested = np.flatnonzero(np.isfinite(statistic))
    assert tested.size > 20
    for sight in tested:
        pattern = sight_pattern(troubled, int(sight))
        amount, sd, square = least_squares(troubled, pattern)
        found = estimate(troubled, pattern)
        assert found is not None
        assert (found.amount, found.sd) == pytest.approx((amount[0], sd[0]), rel=1e-7)
        assert troubled.heights.vpv - square == pytest.approx(statistic[sight] ** 2, abs=1e-6)


def test_each_moment_as_one_more_unknown(troubled: Evidence) -> None:
    moments = list_moments(troubled)
    statistic = moment_statistics(moments, troubled)
    tested = np.flatnonzero(np.isfinite(statistic))
    assert tested.size > 20
    for moment in tested:
        pattern = moment_pattern(moments, troubled, int(moment))
        amount, sd, square = least_squares(troubled, pattern)
        assert statistic[moment] == pytest.approx(amount[0] / sd[0], rel=1e-6, abs=1e-7)
        assert troubled.heights.vpv - square == pytest.approx(statistic[moment] ** 2, abs=1e-6)


def test_two_errors_at_once(troubled: Evidence) -> None:
    """The amount of one with the other allowed for is that of both as unknowns."""
    moments = list_moments(troubled)
    beam = moment_pattern(
        moments, troubled, int(np.nanargmax(moment_statistics(moments, troubled)))
    )
    reading = sight_pattern(troubled, 0)
    amount, sd, _ = least_squares(troubled, beam, reading)
    for number, (one, other) in enumerate(((beam, reading), (reading, beam))):
        found = estimate(allow(troubled, other), one)
        assert found is not None
        assert (found.amount, found.sd) == pytest.approx((amount[number], sd[number]), rel=1e-7)
