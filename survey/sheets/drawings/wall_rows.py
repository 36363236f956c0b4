"""A wall cut into pages at its studs, and the scales it is drawn to."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from survey.slab.kriging import FloatArray
from survey.wall.layout import FULL_HEIGHT
from survey.wall.wall_plan import WallPlan

LONGEST = 480.0  # [in] of wall on one page
SHORTEST = 72.0  # [in]: a shorter wall does not fill the page
MOST_LABELS = 60
TIMES = (*range(1, 21), 25, 30, 40, 50)
SLACK = 1e-6


@dataclass(frozen=True, kw_only=True)
class Stretch:
    """The part of a wall on one page, by stations [in]; pages are numbered from 1."""

    start: float
    end: float
    page: int
    pages: int


@dataclass(frozen=True, kw_only=True)
class Scales:
    """From the wall to the paper [in of paper].

    `along` is paper to the inch of wall and `up` paper to the inch of height; `left` is where the
    stretch starts. Height `foot_base` stands at `foot` and height `head_base` at `head`: between
    the two the wall is broken.
    """

    start: float
    left: float
    along: float
    up: float
    foot_base: float
    foot: float
    head_base: float
    head: float

    def x(self, station: float) -> float:
        """Place of a station."""
        return self.left + self.along * (station - self.start)

    def low(self, elevation: float) -> float:
        """Place of an elevation at the wall's foot."""
        return self.foot + self.up * (elevation - self.foot_base)

    def high(self, elevation: float) -> float:
        """Place of an elevation at the wall's head."""
        return self.head + self.up * (elevation - self.head_base)

    @property
    def times(self) -> float:
        """How many times larger heights are drawn than lengths."""
        return self.up / self.along


def break_wall(
    wall: WallPlan, *, longest: float = LONGEST, most: int = MOST_LABELS
) -> tuple[Stretch, ...]:
    """Cut a wall at full studs into stretches of about the same length.

    Parameters
    ----------
    wall
        The planned wall.
    longest
        Most of the wall on one page [in].
    most
        Most studs, and most joists, on one page.
    """
    plain = [spot.station for spot in wall.layout.studs if spot.kind == "stud"]
    inner = plain or list(wall.layout.full[1:-1])
    pages = max(math.ceil(wall.length / longest - SLACK), 1)
    while True:
        cuts = _cuts(inner, wall.length, pages)
        edges = [0.0, *cuts, wall.length]
        pairs = list(pairwise(edges))
        if len(cuts) == len(inner) or all(_fits(wall, a, b, longest, most) for a, b in pairs):
            return tuple(
                Stretch(start=a, end=b, page=i, pages=len(pairs))
                for i, (a, b) in enumerate(pairs, start=1)
            )
        pages += 1


def _cuts(inner: list[float], length: float, pages: int) -> list[float]:
    """Studs nearest to equal parts of the wall."""
    wanted = [length * i / pages for i in range(1, pages)]
    return sorted({min(inner, key=lambda s: abs(s - w)) for w in wanted} if inner else set())


def _fits(wall: WallPlan, start: float, end: float, longest: float, most: int) -> bool:
    studs = sum(start <= stud.station <= end for stud in wall.studs)
    joists = int(np.sum((wall.joists.station >= start) & (wall.joists.station <= end)))
    # A cut falls on a stud, not on the equal part, so a page may run over by a little.
    return max(studs, joists) <= most and end - start <= 1.1 * longest


def foot_range(wall: WallPlan) -> tuple[float, float]:
    """Lowest slab, ground where it is to be, to the bottom plate's upper face [in]."""
    plate_top = float((wall.slab.mean + wall.plate.height).max())
    top = wall.bottom + wall.frame.plate_thickness
    ground = [float((wall.slab.height(g.station) - g.depth).min()) for g in wall.grind]
    return min([float(wall.slab.mean.min()), *ground]), max(top, plate_top)


def head_range(wall: WallPlan) -> tuple[float, float]:
    """The top plates' underside to the highest joist [in]."""
    top = wall.top.elevation
    return top - wall.frame.top, max(float(wall.joists.elevation.max()), top)


def enlarged(most: float) -> float:
    """The largest usual factor that is not over `most`.

    >>> enlarged(13.4), enlarged(0.3)
    (13.0, 0.25)
    """
    fitting = [n for n in TIMES if n <= most + SLACK]
    return float(fitting[-1]) if fitting else 2.0 ** math.floor(math.log2(max(most, 1e-6)))


def along_stretch(
    station: FloatArray, height: FloatArray, start: float, end: float
) -> tuple[FloatArray, FloatArray]:
    """A line cut to a stretch, with its height at both ends; joints keep both lips."""
    inside = (station > start) & (station < end)
    ends = np.interp([start, end], station, height)
    return (
        np.concatenate([[start], station[inside], [end]]),
        np.concatenate([ends[:1], height[inside], ends[1:]]),
    )


def usual_step(least: float, metric: bool) -> float:
    """Distance between the marks of a scale of heights, `least` or more [in].

    >>> usual_step(0.3, metric=False), round(usual_step(0.3, metric=True) * 25.4)
    (0.5, 10)
    """
    ladder = [n / 25.4 for n in (5, 10, 20, 50, 100, 200)] if metric else [0.25, 0.5, 1, 2, 4, 8]
    return next((step for step in ladder if step >= least), 2.0 * least)


def full_height(wall: WallPlan) -> frozenset[str]:
    """Marks of the studs that run from plate to plate."""
    return frozenset(stud.mark for stud in wall.studs if stud.kind in FULL_HEIGHT)
