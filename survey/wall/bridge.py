"""The edge of a lower hull over a given place, under many rows of points at once.

A line is `intercept + slope * x`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey.errors import SurveyError
from survey.slab.kriging import FloatArray, IntArray

BELOW = 1e-9


@dataclass(frozen=True, kw_only=True, eq=False)
class Bridge:
    """Lines that lie under all points and touch one on each side, one for each row of points.

    `left` and `right` are the indices of the points touched, the same point twice where there
    is only one.
    """

    slope: FloatArray
    intercept: FloatArray
    left: IntArray
    right: IntArray


def find_bridge(x: FloatArray, y: FloatArray, at: float) -> Bridge:
    """The edge of the lower hull over `at`, for every row of y at once.

    Parameters
    ----------
    x
        Abscissae, increasing, shape (n,).
    y
        Heights, shape (..., n); a row is a set of points.
    at
        Where the edge is wanted. A point just there counts as left of it; left or right of all
        points, the edge at that end is taken. A single point gives a level line.

    Raises
    ------
    SurveyError
        If x does not increase or a number is not finite.

    >>> edge = find_bridge(np.array([0.0, 4.0, 8.0, 12.0]), np.array([1.0, 0.0, 3.0, 0.4]), 6.0)
    >>> int(edge.left), int(edge.right), round(float(edge.slope), 3)
    (1, 3, 0.05)
    """
    check_increasing(x, y)
    rows = y.reshape(-1, x.size)
    if x.size == 1:
        left = right = np.zeros(rows.shape[0], dtype=np.int64)
        slope = np.zeros(rows.shape[0])
    else:
        left, right, slope = _walk_to_bridge(x, rows, np.searchsorted(x, at, side="right"))
    each = np.arange(rows.shape[0])
    shape = y.shape[:-1]
    return Bridge(
        slope=slope.reshape(shape),
        intercept=(rows[each, left] - slope * x[left]).reshape(shape),
        left=left.reshape(shape),
        right=right.reshape(shape),
    )


def _walk_to_bridge(
    x: FloatArray, rows: FloatArray, split: int | np.intp
) -> tuple[IntArray, IntArray, FloatArray]:
    """Touched points left and right of `split`, and slopes.

    From any chord over the split the point farthest below it takes the place of the chord's end
    on its side. The chord's height over the split falls at every turn, so this ends.
    """
    first_right = int(np.clip(split, 1, x.size - 1))
    each = np.arange(rows.shape[0])
    left = np.argmin(rows[:, :first_right], axis=1)
    right = first_right + np.argmin(rows[:, first_right:], axis=1)
    while True:
        slope = (rows[each, right] - rows[each, left]) / (x[right] - x[left])
        over_chord = rows - rows[each, left][:, None] - slope[:, None] * (x - x[left][:, None])
        lowest = np.argmin(over_chord, axis=1)
        below = over_chord[each, lowest] < -BELOW
        if not below.any():
            return left, right, slope
        left = np.where(below & (lowest < first_right), lowest, left)
        right = np.where(below & (lowest >= first_right), lowest, right)


def check_increasing(x: FloatArray, y: FloatArray) -> None:
    """Refuse abscissae that do not increase, or heights that do not go with them.

    Raises
    ------
    SurveyError
        If x is empty or does not increase, if the last axis of y is not as long as x, or if a
        number is not finite.
    """
    if x.ndim != 1 or x.size == 0 or y.shape[-1:] != x.shape:
        raise SurveyError("points need one height for every abscissa, and at least one point")
    if not (np.isfinite(x).all() and np.isfinite(y).all()):
        raise SurveyError("a point has a coordinate that is not finite")
    if (np.diff(x) <= 0.0).any():
        raise SurveyError("abscissae of points must increase")
