"""The least cut, or the least fill, that keeps a plank from rocking.

The relaxed program of `change_program` says how little could do at best. From its depths, and if
that fails from a surface made straight, the contact is solved, its pattern taken, and the least
change for that pattern found; then for a neighbouring pattern as long as one promises less. What
is left over at single stations is taken off last, each time with the contact solved again.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey.slab.change_program import (
    ChangeKind,
    Pattern,
    Program,
    ProgramSolution,
    change_program,
    pattern_of,
    solve_program,
    strip_weights,
)
from survey.slab.kriging import FloatArray
from survey.slab.rock import HeldPlank, Strain, judge_rock

SPARE = 1 / 64
NO_DEPTH = 1e-6
MOST_PATTERNS = 30
MOST_SOLVES = 6
CLOSE = 1.1
LESS = 1e-9
MARGIN = 1e-5


@dataclass(frozen=True, kw_only=True, eq=False)
class SurfaceChange:
    """How to change the surface so that the plank does not rock on it.

    Attributes
    ----------
    kind
        "cut" lowers the surface, "fill" raises it.
    station, depth
        How deep at each station of the surface, >= 0, shape (n,) [in]; all zero if it does not
        rock as it is.
    section
        Area of the depths along the line [in2]; times a width it is the volume.
    least_section
        No change of this kind has less area than this [in2], by the relaxed program.
    before, after
        The plank on the surface as it is, and as changed.
    """

    kind: ChangeKind
    station: FloatArray
    depth: FloatArray
    section: float
    least_section: float
    before: Strain
    after: Strain

    @property
    def asks_nothing(self) -> bool:
        """Whether no change is needed."""
        return not self.depth.any()

    @property
    def deepest(self) -> float:
        """Greatest depth [in]."""
        return float(self.depth.max())

    @property
    def at(self) -> float:
        """Where the depth is greatest [in]."""
        return float(self.station[np.argmax(self.depth)])

    @property
    def volume(self) -> float:
        """Volume under the width of the plank [in3]."""
        return self.section * self.before.lying.plank.width

    @property
    def cures(self) -> bool:
        """Whether the plank no longer rocks."""
        return not self.after.rocks


def least_cut(held: HeldPlank) -> SurfaceChange:
    """The least to grind off so that the plank does not rock.

    No station's cut can lose 1/64 in, or all of it where it is less, without bringing it back.
    There is always such a cut, for a plank does not rock on a straight surface.

    Raises
    ------
    SurveyError
        If an anchor lies off the plank, or a contact cannot be solved.
    """
    return _least_change(held, "cut")


def least_fill(held: HeldPlank) -> SurfaceChange:
    """The least to lay under the plank, as shims or grout, so that it does not rock.

    A shim at one station reaches half way to the next ones. No station's fill can lose 1/64 in, or
    all of it where it is less, without bringing the rocking back.

    Raises
    ------
    SurveyError
        If an anchor lies off the plank, or a contact cannot be solved.
    """
    return _least_change(held, "fill")


def changed(held: HeldPlank, kind: ChangeKind, depth: FloatArray) -> HeldPlank:
    """The plank over the changed surface; depth has shape (n,) [in]."""
    return held.over(held.surface - depth if kind == "cut" else held.surface + depth)


def _least_change(held: HeldPlank, kind: ChangeKind) -> SurfaceChange:
    before = judge_rock(held)
    depth, least = np.zeros(held.station.size), 0.0
    weight = strip_weights(held.station)
    if before.rocks:
        program = change_program(held, before.lying, kind)
        relaxed = solve_program(program, None, margin=0.0)
        straight = _straightened(held, kind)
        starts = [straight] if relaxed is None else [relaxed.depth, straight]
        least = 0.0 if relaxed is None else float(weight @ relaxed.depth)
        depth = _without_spare(held, kind, _best_of(held, kind, program, starts, least), least)
    depth.flags.writeable = False
    return SurfaceChange(
        kind=kind,
        station=held.station,
        depth=depth,
        section=float(weight @ depth),
        least_section=min(least, float(weight @ depth)),
        before=before,
        after=judge_rock(changed(held, kind, depth)),
    )


def _straightened(held: HeldPlank, kind: ChangeKind) -> FloatArray:
    """Depths that make the surface one straight line, on which no plank rocks."""
    slope, level = np.polyfit(held.station - held.station[0], held.surface, 1)
    over = held.surface - level - slope * (held.station - held.station[0])
    return np.asarray(over - over.min() if kind == "cut" else over.max() - over)


def _best_of(
    held: HeldPlank, kind: ChangeKind, program: Program, starts: list[FloatArray], least: float
) -> FloatArray:
    """The least change found from the starts, tried until one comes close to the lower bound.

    The last start cures by itself.
    """
    best = starts[-1]
    for start in starts:
        found = _improved(held, kind, program, start)
        if found is not None and program.weight @ found < program.weight @ best:
            best = found
        if program.weight @ best <= CLOSE * least:
            break
    return best


def _improved(
    held: HeldPlank, kind: ChangeKind, program: Program, depth: FloatArray
) -> FloatArray | None:
    """The least change found from here that cures, if any.

    Where what the program gives fails by a hair, its limits are drawn in ten times as far.
    """
    best, least, margin = None, np.inf, MARGIN
    lies = judge_rock(changed(held, kind, depth))
    for _ in range(MOST_SOLVES):
        solved = _descended(program, pattern_of(lies.lying, program), margin)
        if solved is None:
            break
        depth = np.where(solved.depth > NO_DEPTH, solved.depth, 0.0)
        lies = judge_rock(changed(held, kind, depth))
        section = float(program.weight @ depth)
        if lies.rocks:
            margin *= 10.0
            continue
        if section >= least - LESS:
            break
        best, least = depth, section
    return best


def _descended(program: Program, pattern: Pattern, margin: float) -> ProgramSolution | None:
    """From pattern to neighbouring pattern, as long as one lowers the objective."""
    best: ProgramSolution | None = None
    for _ in range(MOST_PATTERNS):
        solved = solve_program(program, pattern, margin=margin)
        if solved is None:
            break
        if best is None or solved.objective < best.objective:
            best = solved
        if solved.neighbour is None:
            break
        pattern = solved.neighbour
    return best


def _without_spare(
    held: HeldPlank, kind: ChangeKind, depth: FloatArray, least: float
) -> FloatArray:
    """Take off what single stations can lose, until a whole round finds nothing more."""
    weight = strip_weights(held.station)
    left = 1
    while left:
        left = 0
        for i in np.flatnonzero(depth):
            if weight @ depth - weight[i] * min(SPARE, depth[i]) < least:
                continue
            lesser = _lightened(held, kind, depth, int(i))
            if lesser is not None:
                depth, left = lesser, left + 1
    return depth


def _lightened(
    held: HeldPlank, kind: ChangeKind, depth: FloatArray, place: int
) -> FloatArray | None:
    """Depths with as little at that station as still cures; None if it can lose no 1/64."""
    kept = None
    taken = min(SPARE, depth[place])
    while True:
        trial = depth.copy()
        trial[place] = max(depth[place] - taken, 0.0)
        if judge_rock(changed(held, kind, trial)).rocks:
            return kept
        if trial[place] == 0.0:
            return trial
        kept, taken = trial, 2.0 * taken
