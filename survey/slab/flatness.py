"""How flat a line is under a straightedge, and what DIN 18202 allows.

A straightedge is laid down, not levelled: it rests on two high points, and the gap is what it
leaves between them. Where the line crowns under the bar it rests on one point and rocks; that is
no gap, and is given as what both ends stand off with the bar balanced.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from survey import standards
from survey.errors import SurveyError
from survey.lengths import from_unit, to_unit
from survey.slab.kriging import FloatArray, IntArray
from survey.slab.walked_line import walk

TOUCHES = 1e-9

Finish = Literal["unfinished", "finished"]


@dataclass(frozen=True, kw_only=True)
class StraightedgeGap:
    """The worst place under a straightedge.

    Attributes
    ----------
    span
        Length of the bar [in].
    gap, station, contacts
        Greatest gap, where it is, and the two stations the bar rests on there [in]. Where the bar
        leaves none, gap is 0 and the rest name the line's first station.
    crown, crown_station
        Greatest distance at which both ends stand off with the bar balanced on a crown, and the
        crown's station [in]; the bar rocks by twice as much at one end.
    """

    span: float
    gap: float
    station: float
    contacts: tuple[float, float]
    crown: float
    crown_station: float

    @property
    def between(self) -> float:
        """Distance between the contacts, by which DIN 18202 sets its limit [in]."""
        return self.contacts[1] - self.contacts[0]


def straightedge(
    stations: npt.ArrayLike, elevations: npt.ArrayLike, span: float
) -> StraightedgeGap:
    """Lay a straightedge everywhere along a line and find its worst place.

    Parameters
    ----------
    stations, elevations
        The line, shape (n,) [in]; stations ascending.
    span
        Length of the bar [in]; a line shorter than it is spanned whole.

    Raises
    ------
    SurveyError
        If the line is unfit or the span is not above zero.

    References
    ----------
    DIN 18202 and BS 8204-1 annex C: the bar rests on two high points and the gap is measured
    between them. Under a bar that is the upper convex hull of what lies beneath it.

    >>> ends = straightedge([0, 12, 24, 36, 48], [0.0, 0.0, -0.25, 0.0, 0.0], 48.0)
    >>> ends.gap, ends.station, ends.contacts
    (0.25, 24.0, (12.0, 36.0))
    """
    if not 0.0 < span < math.inf:
        raise SurveyError(f"straightedge of {span:g}: its length must be above zero")
    line = walk(stations, elevations)
    x, y = line.station, line.elevation
    reach = np.searchsorted(x, x + span + TOUCHES, side="right") - 1
    gap, first, at = _widest_gap(x, y, reach)
    crown, top = _highest_crown(x, y, reach)
    left, right = _contacts(x, y, first, at, int(reach[first])) if gap > 0.0 else (0, 0)
    return StraightedgeGap(
        span=span,
        gap=gap,
        station=float(x[at]),
        contacts=(float(x[left]), float(x[right])),
        crown=crown,
        crown_station=float(x[top]),
    )


def din_18202_limit(distance: float, *, finish: Finish = "finished") -> float:
    """Gap that DIN 18202 allows between two high points that far apart [in].

    Row 3 of its table 3 for finished floors, row 2 for unfinished ones; straight between the
    distances printed, rounded to whole millimetres, and held beyond the first and the last.

    >>> round(din_18202_limit(1000 / 25.4) * 25.4, 6)
    4.0
    """
    limits = {
        "finished": standards.DIN_18202_FINISHED,
        "unfinished": standards.DIN_18202_UNFINISHED,
    }[finish]
    metres = round(to_unit(distance, "m"), 9)
    allowed = np.interp(metres, standards.DIN_18202_SPANS.values, limits.values)
    return from_unit(float(math.floor(allowed + 0.5)), "mm")


def _widest_gap(x: FloatArray, y: FloatArray, reach: IntArray) -> tuple[float, int, int]:
    """Widest gap under chords no longer than the bar: how wide, the chord's start, the place.

    From station i, the chord that stands highest over station k is the steepest to any beyond k.
    """
    widest, first, at = TOUCHES, 0, 0
    for i in np.flatnonzero(reach > np.arange(x.size) + 1):
        ahead = slice(i + 1, int(reach[i]) + 1)
        along = x[ahead] - x[i]
        slope = (y[ahead] - y[i]) / along
        steepest = np.maximum.accumulate(slope[::-1])[::-1]
        gap = (steepest[1:] - slope[:-1]) * along[:-1]
        k = int(np.argmax(gap))
        if gap[k] > widest:
            widest, first, at = float(gap[k]), int(i), int(i) + 1 + k
    return (widest, first, at) if widest > TOUCHES else (0.0, 0, 0)


def _highest_crown(x: FloatArray, y: FloatArray, reach: IntArray) -> tuple[float, int]:
    """Greatest rise over the chord between the ends of a bar that lies wholly on the line."""
    highest, top = TOUCHES, 0
    whole = int(np.argmax(reach == x.size - 1))
    for i in range(whole + 1):
        under = slice(i, int(reach[i]) + 1)
        along = x[under] - x[i]
        rise = y[under] - y[i]
        over = rise - along * (rise[-1] / (along[-1] or 1.0))
        k = int(np.argmax(over))
        if over[k] > highest:
            highest, top = float(over[k]), i + k
    return (highest, top) if highest > TOUCHES else (0.0, 0)


def _contacts(x: FloatArray, y: FloatArray, first: int, at: int, last: int) -> tuple[int, int]:
    """The touching stations nearest the gap, of all on the chord that spans it."""
    ahead = np.arange(at + 1, last + 1)
    slope = (y[ahead] - y[first]) / (x[ahead] - x[first])
    inside = np.arange(first, last + 1)
    off = y[first] + slope.max() * (x[inside] - x[first]) - y[inside]
    on = inside[off <= TOUCHES]
    return int(on[on < at][-1]), int(on[on > at][0])
