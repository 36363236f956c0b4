"""Lines over and under points, by convex hulls: the narrowest strip, the slopes allowed.

A line is `intercept + slope * x`. Points may come in any order, and several may share an x.

References
----------
de Berg, Cheong, van Kreveld and Overmars, *Computational Geometry*, 3rd ed. (2008), section 1.1:
hulls in O(n log n), an upper and a lower half. [The section's number is from memory.]
The gap f(m) = max(U - m x) - min(V - m x) is a sum of two maxima of functions linear in m, so it
is convex and bends only at slopes of the upper hull of U and of the lower hull of V.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey.errors import SurveyError
from survey.lengths import ON_A_STEP
from survey.slab.kriging import FloatArray, IntArray

SAME_WIDTH = 1e-9


@dataclass(frozen=True, kw_only=True)
class Strip:
    """Two parallel lines: `upper` over every U, `lower` under every V (intercepts)."""

    slope: float
    upper: float
    lower: float

    @property
    def width(self) -> float:
        """Distance of the two lines, upper - lower, measured upright."""
        return self.upper - self.lower


@dataclass(frozen=True, kw_only=True)
class SlopeRange:
    """Slopes for which some line keeps within limits.

    Where none does, `least` = `greatest` = the slope that misses by least, and `short_by` is by
    how much every upper limit would have to rise.
    """

    least: float
    greatest: float
    short_by: float

    @property
    def feasible(self) -> bool:
        """Whether there is a line within the limits."""
        return self.short_by == 0.0


def upper_hull(x: FloatArray, y: FloatArray) -> IntArray:
    """Indices of the vertices of the upper hull, from left to right.

    >>> upper_hull(np.array([0.0, 1.0, 2.0, 3.0]), np.array([0.0, 2.0, 1.0, 1.5])).tolist()
    [0, 1, 3]
    """
    xs, ys = x.tolist(), y.tolist()
    hull: list[int] = []
    for i in np.lexsort((y, x)).tolist():
        if hull and xs[hull[-1]] == xs[i]:
            hull.pop()
        while len(hull) > 1 and _not_over(xs, ys, (hull[-2], hull[-1], i)):
            hull.pop()
        hull.append(i)
    return np.array(hull, dtype=np.int64)


def _not_over(xs: list[float], ys: list[float], corner: tuple[int, int, int]) -> bool:
    """Whether the middle one of three points lies on or under the chord of the others."""
    a, b, c = corner
    return (xs[b] - xs[a]) * (ys[c] - ys[a]) >= (ys[b] - ys[a]) * (xs[c] - xs[a])


def lower_hull(x: FloatArray, y: FloatArray) -> IntArray:
    """Indices of the vertices of the lower hull, from left to right."""
    return upper_hull(x, -y)


def narrowest_strip(
    x: FloatArray,
    upper: FloatArray,
    lower: FloatArray,
    *,
    within: tuple[float, float] = (-np.inf, np.inf),
) -> Strip:
    """The narrowest strip with every U under its upper line and every V over its lower one.

    Parameters
    ----------
    x, upper, lower
        Abscissae and the points U and V, shape (n,).
    within
        Slopes allowed.

    Returns
    -------
    Strip
        Its width is the least over the slopes allowed, max(U - m x) - min(V - m x); among slopes
        that give it, the one nearest level.

    Raises
    ------
    SurveyError
        If there are no points, a number is not finite, or `within` is upside down.

    >>> y = np.array([0.0, 0.1, 0.4, 0.3])
    >>> found = narrowest_strip(np.array([0.0, 10.0, 20.0, 30.0]), y, y)
    >>> round(found.slope, 3), round(found.width, 3)
    (0.01, 0.2)
    """
    _check_points(x, upper, lower)
    if not within[0] <= within[1]:
        raise SurveyError("the least slope allowed is over the greatest")
    over, under = _hull_points(x, upper), _hull_points(x, -lower)
    slopes = np.unique(np.clip(_bends(over, under), *within))
    width = _support(over, slopes) + _support(under, -slopes)
    best = slopes[width <= width.min() + SAME_WIDTH]
    slope = best[[np.argmin(np.abs(best))]]
    return Strip(
        slope=float(slope[0]),
        upper=float(_support(over, slope)[0]),
        lower=-float(_support(under, -slope)[0]),
    )


def slope_range(x: FloatArray, low: FloatArray, high: FloatArray) -> SlopeRange:
    """Slopes m for which a line of slope m keeps low <= line <= high at every x.

    A limit missed by a millionth counts as kept.

    Parameters
    ----------
    x, low, high
        Abscissae and limits there, shape (n,).

    Raises
    ------
    SurveyError
        If there are no points or a number is not finite.

    >>> found = slope_range(np.array([0.0, 10.0]), np.array([0.0, 2.0]), np.array([1.0, 3.0]))
    >>> round(found.least, 3), round(found.greatest, 3)
    (0.1, 0.3)
    """
    _check_points(x, low, high)
    over, under = _hull_points(x, low), _hull_points(x, -high)
    slopes = _bends(over, under)
    missed = _support(over, slopes) + _support(under, -slopes) - ON_A_STEP
    kept = np.flatnonzero(missed <= 0.0)
    if kept.size == 0:
        nearest = float(slopes[np.argmin(missed)])
        return SlopeRange(least=nearest, greatest=nearest, short_by=float(missed.min()))
    span = float(np.ptp(x))
    return SlopeRange(
        least=-_last_kept(-slopes[::-1], missed[::-1], span),
        greatest=_last_kept(slopes, missed, span),
        short_by=0.0,
    )


def _last_kept(slopes: FloatArray, missed: FloatArray, span: float) -> float:
    """Greatest slope at which the convex `missed`, of slope `span` past its last bend, is <= 0."""
    k = int(np.flatnonzero(missed <= 0.0)[-1])
    if k + 1 < slopes.size:
        share = missed[k] / (missed[k] - missed[k + 1])
        return float(slopes[k] + share * (slopes[k + 1] - slopes[k]))
    return float(slopes[k] - missed[k] / span) if span > 0.0 else np.inf


def _hull_points(x: FloatArray, y: FloatArray) -> tuple[FloatArray, FloatArray]:
    hull = upper_hull(x, y)
    return x[hull], y[hull]


def _edge_slopes(hull: tuple[FloatArray, FloatArray]) -> FloatArray:
    return np.asarray(np.diff(hull[1]) / np.diff(hull[0]))


def _bends(over: tuple[FloatArray, FloatArray], under: tuple[FloatArray, FloatArray]) -> FloatArray:
    """Slopes at which the strip's width bends, and level, in order."""
    return np.unique(np.concatenate((_edge_slopes(over), -_edge_slopes(under), [0.0])))


def _support(hull: tuple[FloatArray, FloatArray], slopes: FloatArray) -> FloatArray:
    """max(y - m x) over the hull's vertices for every slope m."""
    touched = np.searchsorted(-_edge_slopes(hull), -slopes)
    return np.asarray(hull[1][touched] - slopes * hull[0][touched])


def _check_points(x: FloatArray, *heights: FloatArray) -> None:
    if x.ndim != 1 or x.size == 0 or any(y.shape != x.shape for y in heights):
        raise SurveyError("points need one height for every abscissa, and at least one point")
    if not all(np.isfinite(values).all() for values in (x, *heights)):
        raise SurveyError("a point has a coordinate that is not finite")
