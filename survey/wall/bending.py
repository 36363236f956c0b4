"""A bent line under limits: least greatest gap, then least heights, with so much bend a point.

The line is straight between the points x at which it may bend. Its second difference at an inner
point is twice the height of the chord from neighbour to neighbour over it, which for even spacing
is h[i-1] - 2 h[i] + h[i+1].
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import sparse
from scipy.optimize import linprog

from survey.errors import SurveyError
from survey.lengths import ON_A_STEP, snap
from survey.slab.kriging import FloatArray
from survey.wall.bridge import check_increasing

COARSE_TO_FINE = (1 / 2, 1 / 4, 1 / 8, 1 / 16)
SLACK = ON_A_STEP / 10  # what the solver may miss a row by is of this size


@dataclass(frozen=True, kw_only=True, eq=False)
class Corridor:
    """What a bent line must keep to.

    Attributes
    ----------
    x
        Points at which it may bend, increasing, shape (n,).
    at
        Places at which it is held, shape (m,); those past an end are held by the line drawn on.
    low, high
        Limits of its height there, shape (m,).
    base
        Heights its gap is measured from, shape (m,).
    bend
        Greatest second difference at the inner points, one number or shape (n - 2,).
    """

    x: FloatArray
    at: FloatArray
    low: FloatArray
    high: FloatArray
    base: FloatArray
    bend: FloatArray | float


@dataclass(frozen=True, kw_only=True, eq=False)
class BentLine:
    """Heights at the points x, shape (n,), and the greatest gap at the places held.

    `short_by` is by how much every upper limit had to be raised for there to be a line, 0 when
    the limits can be kept.
    """

    heights: FloatArray
    greatest_gap: float
    short_by: float


@dataclass(frozen=True, kw_only=True, eq=False)
class RoundedLine:
    """Lengths from the line up to another, rounded down to `step`, and the heights they leave.

    `step` is 0 where no step keeps the limits; the lengths are then not rounded.
    """

    step: float
    lengths: FloatArray
    heights: FloatArray


def lowest_bent_line(corridor: Corridor, *, reserve: float = 0.0) -> BentLine:
    """The line of least greatest gap and, of those, of the least sum of heights.

    Parameters
    ----------
    corridor
        What the line must keep to.
    reserve
        Limits are drawn in so that any height may rise by up to as much and still keep them.

    Raises
    ------
    SurveyError
        If the corridor is not made of numbers that go together, the reserve is more than the
        bend allows, or the places do not hold every point.

    >>> hump = np.array([0.0, 0.5, 0.0])
    >>> line = lowest_bent_line(Corridor(
    ...     x=np.array([0.0, 16.0, 32.0]), at=np.array([0.0, 16.0, 32.0]),
    ...     low=hump + 1.0, high=hump + 2.0, base=hump, bend=0.2,
    ... ))
    >>> line.heights.round(6).tolist(), round(line.greatest_gap, 6)
    ([1.4, 1.5, 1.4], 1.4)
    """
    _check(corridor, reserve)
    held = _interpolation(corridor.x, corridor.at)
    bends = _second_differences(corridor.x)
    bend = np.broadcast_to(corridor.bend, bends.shape[:1]) - 2.0 * reserve
    rows = sparse.vstack([-held, bends, -bends], format="csr")
    limits = np.concatenate((-corridor.low, bend, bend))
    high = corridor.high - reserve
    over_high = _least_rise(held, high, rows, limits)
    short_by = over_high if over_high > SLACK else 0.0
    high = high + short_by + SLACK
    all_rows = sparse.vstack([rows, held], format="csr")
    greatest = _least_rise(held, corridor.base, all_rows, np.append(limits, high))
    ceiling = np.minimum(high, corridor.base + greatest + SLACK)
    heights = _minimize(np.ones(corridor.x.size), all_rows, np.append(limits, ceiling))
    heights.setflags(write=False)
    return BentLine(
        heights=heights,
        greatest_gap=float((held @ heights - corridor.base).max()),
        short_by=short_by,
    )


def keeps_limits(corridor: Corridor, heights: FloatArray) -> bool:
    """Whether a line of these heights, shape (n,), keeps limits and bend to within a millionth."""
    at = _interpolation(corridor.x, corridor.at) @ heights
    bent = np.abs(_second_differences(corridor.x) @ heights)
    return bool(
        (at >= corridor.low - ON_A_STEP).all()
        and (at <= corridor.high + ON_A_STEP).all()
        and (bent <= np.asarray(corridor.bend) + ON_A_STEP).all()
    )


def round_lengths(
    corridor: Corridor,
    heights: FloatArray,
    over: FloatArray,
    *,
    steps: tuple[float, ...] = COARSE_TO_FINE,
) -> RoundedLine:
    """Round the lengths from the line up to `over` down to the first step that keeps the limits.

    A shorter length raises the line, so a step may fail by an upper limit or by the bend.

    Parameters
    ----------
    corridor
        What the line must keep to.
    heights, over
        The line, and what its lengths reach up to, at the points x, shape (n,).
    steps
        Steps to try, the coarsest first.

    >>> level = Corridor(x=np.array([0.0, 16.0]), at=np.array([0.0, 16.0]), low=np.zeros(2),
    ...     high=np.full(2, 0.2), base=np.zeros(2), bend=0.0)
    >>> found = round_lengths(level, np.zeros(2), np.array([90.3, 90.3]))
    >>> found.step, found.lengths.tolist()
    (0.25, [90.25, 90.25])
    """
    for step in steps:
        lengths = snap(over - heights, step, "down")
        if keeps_limits(corridor, over - lengths):
            return RoundedLine(step=step, lengths=lengths, heights=over - lengths)
    return RoundedLine(step=0.0, lengths=over - heights, heights=heights)


def _least_rise(
    held: sparse.csr_array, target: FloatArray, rows: sparse.csr_array, limits: FloatArray
) -> float:
    """The least t for which some line within the limits is nowhere more than t over `target`."""
    ones = sparse.csr_array(np.ones((held.shape[0], 1)))
    raised = sparse.hstack([held, -ones], format="csr")
    plain = sparse.hstack([rows, sparse.csr_array((rows.shape[0], 1))], format="csr")
    cost = np.zeros(held.shape[1] + 1)
    cost[-1] = 1.0
    all_rows = sparse.vstack([plain, raised], format="csr")
    return float(_minimize(cost, all_rows, np.append(limits, target))[-1])


def _minimize(cost: FloatArray, rows: sparse.csr_array, limits: FloatArray) -> FloatArray:
    found = linprog(  # type: ignore[call-overload]  # the stubs know of dense rows only
        cost, A_ub=rows, b_ub=limits, bounds=(None, None), method="highs"
    )
    if found.status != 0:
        raise SurveyError(f"the bent line could not be fitted: {found.message}")
    return np.asarray(found.x, dtype=np.float64)


def _interpolation(x: FloatArray, at: FloatArray) -> sparse.csr_array:
    """Matrix from heights at x to heights of the line at the places, shape (m, n)."""
    if x.size == 1:
        return sparse.csr_array(np.ones((at.size, 1)))
    left = np.clip(np.searchsorted(x, at, side="right") - 1, 0, x.size - 2)
    share = (at - x[left]) / (x[left + 1] - x[left])
    row = np.arange(at.size)
    return sparse.csr_array(
        (
            np.concatenate((1.0 - share, share)),
            (np.concatenate((row, row)), np.concatenate((left, left + 1))),
        ),
        shape=(at.size, x.size),
    )


def _second_differences(x: FloatArray) -> sparse.csr_array:
    """Matrix from heights at x to twice the chord's height over each inner point, (n - 2, n)."""
    inner = max(x.size - 2, 0)
    before, after = np.diff(x)[:inner], np.diff(x)[1:]
    both = before + after
    bands = [2.0 * after / both, np.full(inner, -2.0), 2.0 * before / both]
    row = np.arange(inner)
    return sparse.csr_array(
        (np.concatenate(bands), (np.tile(row, 3), np.concatenate((row, row + 1, row + 2)))),
        shape=(inner, x.size),
    )


def _check(corridor: Corridor, reserve: float) -> None:
    check_increasing(corridor.x, corridor.x)
    held = (corridor.at, corridor.low, corridor.high, corridor.base)
    if corridor.at.ndim != 1 or corridor.at.size == 0:
        raise SurveyError("a bent line must be held at one place at least")
    if any(values.shape != corridor.at.shape for values in held):
        raise SurveyError("limits and base need one number for every place")
    if not all(np.isfinite(values).all() for values in held):
        raise SurveyError("a place, a limit or the base is not finite")
    bend = np.asarray(corridor.bend)
    if bend.ndim and bend.shape != (max(corridor.x.size - 2, 0),):
        raise SurveyError("bend needs one number for every inner point, or one for all")
    if not (bend >= 2.0 * reserve).all():
        raise SurveyError("the bend allowed is less than twice the reserve")
