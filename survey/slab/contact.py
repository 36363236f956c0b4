"""A heavy plank lying on a slab: where it touches, where it stands off, what anchors must pull.

The plank takes the shape of least energy, bending plus height of its own weight, that nowhere
passes below the slab; an anchor keeps it within a slack of the slab. The slab is rigid and is met
at stations only: a finer line shows more. Slopes are small. Knows no wall.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from survey import standards
from survey.errors import SurveyError
from survey.slab.interior_point import (
    BoundedSolution,
    BoundedSystem,
    Bounds,
    multiply,
    solve_bounded,
)
from survey.slab.kriging import BoolArray, FloatArray, IntArray
from survey.slab.plank import Plank, PlankSystem, detrended, plank_system
from survey.slab.walked_line import WalkedLine, walk

AT_STATION = 0.01
NO_SLACK = 1e-6
HOVER = 0.1
LEAST_PUSH = 0.1
LEAST_VOID = 0.001


@dataclass(frozen=True, kw_only=True)
class Void:
    """A stretch over which the plank stands off: from contact to contact, or to the plank's end.

    `depth` is the greatest lift, found at `at` [in]; `open_end` says that one side is the end.
    """

    start: float
    end: float
    at: float
    depth: float
    open_end: bool


@dataclass(frozen=True, kw_only=True)
class AnchorPull:
    """An anchor and the pull it must hold [lb]; zero where the plank lies there by itself."""

    station: float
    pull: float


@dataclass(frozen=True, kw_only=True, eq=False)
class LyingPlank:
    """The plank at rest; arrays of shape (n,), one a station, anchors' stations included.

    Attributes
    ----------
    station, surface, lift
        Where, the slab there, and how far the plank's underside stands off it, >= 0 [in].
    contact
        Force from the slab up [lb], >= 0; all of them add up to the weight and the pulls.
    moment
        Bending moment, positive where the plank sags [lb in].
    touching
        Where the slab pushes back, or an anchor without slack holds the plank on it.
    steps, polished
        Steps of the solver, and whether its last exact solution was kept.
    """

    plank: Plank
    station: FloatArray
    surface: FloatArray
    lift: FloatArray
    contact: FloatArray
    moment: FloatArray
    touching: BoolArray
    anchors: tuple[AnchorPull, ...]
    steps: int
    polished: bool

    @property
    def underside(self) -> FloatArray:
        """Elevation of the plank's underside, shape (n,) [in]."""
        return self.surface + self.lift

    @property
    def top(self) -> FloatArray:
        """Elevation of the plank's top, shape (n,) [in]."""
        return self.underside + self.plank.boards * self.plank.thickness

    @property
    def stress(self) -> FloatArray:
        """Bending stress, moment over section modulus, shape (n,), >= 0 [psi]."""
        return np.abs(self.moment) / self.plank.section_modulus

    @property
    def weight(self) -> float:
        """Weight of the whole plank [lb]."""
        return self.plank.weight * float(self.station[-1] - self.station[0])

    def lift_at(self, station: FloatArray | float) -> FloatArray:
        """Lift at any station of the plank, straight between those solved, >= 0 [in]."""
        return np.asarray(np.interp(station, self.station, self.lift))

    def voids(self, *, thinnest: float = LEAST_VOID) -> tuple[Void, ...]:
        """Stretches that do not touch, in order, bounded by the first forces on either side.

        Those nowhere deeper than `thinnest` [in] are left out; no edge depends on it.
        """
        off = np.concatenate([[False], ~self.touching, [False]])
        edges = np.flatnonzero(np.diff(off.astype(int)))
        runs = [self._void(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True)]
        return tuple(void for void in runs if void.depth > thinnest)

    def _void(self, first: int, beyond: int) -> Void:
        last = self.station.size - 1
        deepest = first + int(np.argmax(self.lift[first:beyond]))
        return Void(
            start=float(self.station[max(first - 1, 0)]),
            end=float(self.station[min(beyond, last)]),
            at=float(self.station[deepest]),
            depth=float(self.lift[deepest]),
            open_end=first == 0 or beyond > last,
        )


def lie(
    stations: npt.ArrayLike,
    surface: npt.ArrayLike,
    plank: Plank,
    *,
    anchors: Sequence[float] = (),
    slack: float = standards.ANCHOR_SLACK.value,
) -> LyingPlank:
    """Lay a plank on a surface, held down on it at the anchors.

    Parameters
    ----------
    stations, surface
        The slab under the plank from end to end, shape (n,) [in], ascending; where two stations
        coincide the higher counts.
    plank
        Section, stiffness and weight.
    anchors
        Stations of the anchors [in]; each becomes a station of the result.
    slack
        How far the plank may stand off at an anchor [in]. With 0 it is held on the slab; over a
        rigid floor the pull then grows without bound as stations get closer, because the plank
        has to lie flat beyond the anchor.

    Raises
    ------
    SurveyError
        If the line is unfit, an anchor lies off the plank, the slack is below zero, or the heights
        are beyond computing.

    References
    ----------
    Least potential energy under one-sided contact, Signorini's problem. Its conditions: lift >= 0,
    force >= 0, lift x force = 0 at every station.

    >>> import numpy as np
    >>> board = Plank(thickness=1.5, width=3.5, stiffness=1.4e6, weight=0.1064)
    >>> floor = np.zeros(97)
    >>> floor[48] = 0.25
    >>> lying = lie(np.arange(97.0), floor, board)
    >>> float(lying.lift.max().round(2)), bool(abs(lying.contact.sum() - lying.weight) < 1e-9)
    (0.25, True)
    """
    if not 0.0 <= slack < np.inf:
        raise SurveyError(f"slack {slack:g} at the anchors: it must be zero or more")
    line, anchored = _with_anchors(walk(stations, surface), anchors)
    system = plank_system(line.station, line.elevation, plank)
    problem = _problem(system, anchored, slack / system.lift_unit if slack > NO_SLACK else 0.0)
    solved = solve_bounded(problem, *_hover(line, problem, system))
    return _at_rest(line, plank, system, problem, solved)


def _with_anchors(line: WalkedLine, anchors: Sequence[float]) -> tuple[WalkedLine, IntArray]:
    """The line with a station at every anchor, and which stations these are."""
    wanted = np.asarray(anchors, dtype=float)
    low, high = line.station[0] - AT_STATION, line.station[-1] + AT_STATION
    off = [f"{a:g}" for a in wanted if not low <= a <= high]
    if off:
        raise SurveyError(
            f"anchor at {', '.join(off)}: the plank runs from {line.station[0]:g} to "
            f"{line.station[-1]:g}"
        )
    far = np.array([np.abs(line.station - a).min() > AT_STATION for a in wanted], dtype=bool)
    added = np.unique(wanted[far])
    station = np.concatenate([line.station, added])
    height = np.concatenate([line.elevation, np.interp(added, line.station, line.elevation)])
    order = np.argsort(station, kind="stable")
    merged = walk(station[order], height[order])
    nearest = [int(np.argmin(np.abs(merged.station - a))) for a in wanted]
    return merged, np.unique(np.array(nearest, dtype=np.int64))


def _problem(system: PlankSystem, anchored: IntArray, slack: float) -> BoundedSystem:
    """No lift below zero; at anchors none above the slack, or none at all if that is zero."""
    every = np.arange(system.right.size // 2)
    held = anchored if slack == 0.0 else anchored[:0]
    below = np.setdiff1d(every, held)
    above = np.setdiff1d(anchored, held)
    bounds = Bounds(
        index=2 * np.concatenate([below, above]),
        sign=np.repeat([1.0, -1.0], [below.size, above.size]),
        offset=np.repeat([0.0, slack], [below.size, above.size]),
    )
    return BoundedSystem(bands=system.bands, right=system.right, bounds=bounds, held=2 * held)


def _hover(
    line: WalkedLine, problem: BoundedSystem, system: PlankSystem
) -> tuple[FloatArray, FloatArray]:
    """Begin with the plank straight above the highest slab, propped up at every station.

    Without anchors this is in balance already; with them it is bent down to each.
    """
    bounds = problem.bounds
    over = detrended(line.station, line.elevation) / system.lift_unit
    x = np.zeros(2 * line.station.size)
    x[::2] = over.max() - over + HOVER
    x[problem.held] = 0.0
    roof = bounds.sign < 0.0
    x[bounds.index[roof]] = bounds.offset[roof] / 2.0
    propped = BoundedSystem(
        bands=problem.bands,
        right=problem.right - multiply(problem.bands, x),
        bounds=Bounds(index=bounds.index[:0], sign=bounds.sign[:0], offset=bounds.offset[:0]),
        held=2 * np.arange(line.station.size),
    )
    bent = solve_bounded(propped, np.zeros(x.size), np.empty(0))
    push = bounds.sign * bent.reaction[bounds.index // 2]
    most = max(1.0, float(np.max(np.abs(push), initial=0.0)))
    return x + bent.x, np.maximum(push, LEAST_PUSH * most)


def _at_rest(
    line: WalkedLine,
    plank: Plank,
    system: PlankSystem,
    problem: BoundedSystem,
    solved: BoundedSolution,
) -> LyingPlank:
    size, bounds = line.station.size, problem.bounds
    roof = bounds.sign < 0.0
    floor_at, roof_at, held_at = (
        index // 2 for index in (bounds.index[~roof], bounds.index[roof], problem.held)
    )
    contact, pull = np.zeros(size), np.zeros(size)
    contact[floor_at], pull[roof_at] = solved.force[~roof], solved.force[roof]
    contact[held_at] = np.maximum(solved.reaction, 0.0)
    pull[held_at] = np.maximum(-solved.reaction, 0.0)
    touching = np.zeros(size, dtype=bool)
    touching[floor_at], touching[held_at] = solved.active[~roof], True
    lift = np.maximum(solved.x[::2], 0.0) * system.lift_unit
    contact, moment = contact * system.force_unit, solved.x[1::2] * system.moment_unit
    for array in (lift, contact, moment, touching):
        array.flags.writeable = False
    return LyingPlank(
        plank=plank,
        station=line.station,
        surface=line.elevation,
        lift=lift,
        contact=contact,
        moment=moment,
        touching=touching,
        anchors=tuple(
            AnchorPull(station=float(line.station[i]), pull=float(pull[i]) * system.force_unit)
            for i in np.union1d(roof_at, held_at)
        ),
        steps=solved.steps,
        polished=solved.polished,
    )
