"""Fewest different values that serve many intervals, then the greatest values those allow."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey.slab.kriging import FloatArray, IntArray
from survey.wall.ladder import Ladder, check_intervals


@dataclass(frozen=True, kw_only=True, eq=False)
class Stabbing:
    """The value each interval takes, and the values that had to be set for them.

    Attributes
    ----------
    values
        One for each interval, shape (m,); nan for those in `impossible`.
    free
        Whether the interval takes a free value, shape (m,).
    settings
        The different values taken that are not free, increasing.
    impossible
        Intervals that hold no rung.
    """

    values: FloatArray
    free: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]
    settings: tuple[float, ...]
    impossible: tuple[int, ...]


def fewest_settings(low: FloatArray, high: FloatArray, ladder: Ladder) -> Stabbing:
    """Give every interval a rung in it, with the fewest different rungs that are not free.

    An interval that holds a free value takes the greatest one it holds. The others take the
    fewest values that will do and, among all such sets, those of the greatest sum over the
    intervals.

    Parameters
    ----------
    low, high
        Ends of the intervals, shape (m,); `low` may be minus infinity.
    ladder
        Values that may be taken, and those that are free.

    Raises
    ------
    SurveyError
        If the arrays are not alike or hold what is no number.

    References
    ----------
    The fewest points that stab intervals are found greedily by right ends (Gupta, Lee and Leung,
    "An optimal solution for the channel-assignment problem", *IEEE Transactions on Computers*
    28 (1979) [from memory]); the recursion here counts the same points and adds the values.

    >>> found = fewest_settings(
    ...     np.array([0.0, 1.0, 4.0, 9.0]), np.array([2.0, 5.0, 7.0, 9.5]),
    ...     Ladder(step=1.0, free=(9.25,)),
    ... )
    >>> found.values.tolist(), found.settings
    ([2.0, 5.0, 5.0, 9.25], (2.0, 5.0))
    """
    check_intervals(low, high)
    first, last = ladder.up(low), ladder.down(high)
    impossible = first > last
    uncut = ladder.free_down(last)
    free = ~impossible & np.isfinite(uncut) & (uncut >= first)
    paid = ~impossible & ~free
    values = np.where(free, uncut, np.nan)
    settings = np.empty(0)
    if paid.any():
        settings = _best_points(first[paid], last[paid])
        values[paid] = settings[np.searchsorted(settings, last[paid], side="right") - 1]
    values.setflags(write=False)
    free.setflags(write=False)
    return Stabbing(
        values=values,
        free=free,
        settings=tuple(settings.tolist()),
        impossible=tuple(np.flatnonzero(impossible).tolist()),
    )


def _best_points(first: FloatArray, last: FloatArray) -> FloatArray:
    """Fewest points with one in every interval, and of those the greatest sum of values taken.

    Only right ends need be tried: a point moved up to the next right end loses no interval. An
    interval takes the greatest chosen point not over its right end. So a point p followed by a
    point q serves the intervals that end from p up to before q, and q may be any point up to the
    least right end of the intervals that begin after p.
    """
    points = np.unique(last)
    ended = np.append(np.searchsorted(np.sort(last), points), last.size)
    reach = _reach(first, last, points)
    size = points.size
    count = np.zeros(size + 1, dtype=np.int64)
    total = np.zeros(size + 1)
    following = np.full(size + 1, size)
    for p in reversed(range(size)):
        ahead = slice(p + 1, int(reach[p]) + 1)
        fewest = count[ahead].min()
        taken = total[ahead] + points[p] * (ended[ahead] - ended[p])
        best = int(np.argmax(np.where(count[ahead] == fewest, taken, -np.inf)))
        count[p], total[p], following[p] = fewest + 1, taken[best], p + 1 + best
    chosen, p = [], 0
    while p < size:
        chosen.append(p)
        p = int(following[p])
    return points[chosen]


def _reach(first: FloatArray, last: FloatArray, points: FloatArray) -> IntArray:
    """For each point the index of the farthest that may follow; past the end if none need to."""
    order = np.argsort(first, kind="stable")
    least_end = np.append(np.minimum.accumulate(last[order][::-1])[::-1], np.inf)
    after = np.searchsorted(first[order], points, side="right")
    return np.searchsorted(points, least_end[after])
