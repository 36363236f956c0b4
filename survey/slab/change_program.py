"""The linear program for the least change of a surface on which a plank is not overstrained.

Variables are the lift over the changed surface, the moment, the force from below, and the depth by
which the surface is lowered (a cut) or raised (a fill). The plank's own equations tie them; the
limits of stress and pull are bounds; the area of the depths is least.

Contact asks besides that no force acts where the plank stands off, and that an anchor pulls only
where its slack is used up. Either one half of each pair is held at zero, by a `Pattern`, and the
program gives the least change for that pattern; or this is left out, and the program gives a lower
bound: no change of less area can do, because every change that does satisfies the program.

References
----------
Luo, Z.-Q., Pang, J.-S. and Ralph, D., *Mathematical Programs with Equilibrium Constraints*
(Cambridge, 1996): the relaxed program, and going from pattern to neighbouring pattern (from
memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from scipy.sparse import csr_array, eye_array, hstack, vstack

from survey.slab.contact import NO_SLACK, LyingPlank
from survey.slab.kriging import BoolArray, FloatArray, IntArray
from survey.slab.plank import REACH, plank_system
from survey.slab.rock import HeldPlank

PENALTY = 1e4
AT_BOUND = 1e-7
PULLS = 1e-9

ChangeKind = Literal["cut", "fill"]


@dataclass(frozen=True, kw_only=True, eq=False)
class Pattern:
    """Where the plank touches and which anchors pull, shape (n,) each; never both."""

    touching: BoolArray
    pulling: BoolArray


@dataclass(frozen=True, kw_only=True, eq=False)
class Program:
    """The program in scaled units: `matrix @ (lift, moment, depth, force, excess) = right`.

    The plank's n stations are the m of the surface and the anchors between them. Lift and depth
    are over `lift_unit`, moment and force over their limits. `excess` are moments either way and
    pulls past their limit, dear but allowed while a pattern is improved. `weight` (m,) is the
    length that each depth stands for [in], `slack` scaled, `pinned` says that there is none.
    """

    matrix: Any
    right: FloatArray
    anchored: IntArray
    weight: FloatArray
    lift_unit: float
    slack: float
    pinned: bool
    size: int


@dataclass(frozen=True, kw_only=True, eq=False)
class ProgramSolution:
    """Depths, shape (m,) [in], and the patterns next to this one that promise less.

    `neighbour` differs from the pattern solved where both halves of a pair are zero and letting
    the other one go would lower the objective; None if there is no such place.
    """

    depth: FloatArray
    objective: float
    neighbour: Pattern | None


def strip_weights(station: FloatArray) -> FloatArray:
    """Length that each station stands for in a trapezoidal sum, shape (m,) [in].

    >>> strip_weights(np.array([0.0, 2.0, 3.0])).tolist()
    [1.0, 1.5, 0.5]
    """
    half = np.diff(station) / 2.0
    weights = np.zeros(station.size)
    weights[:-1] += half
    weights[1:] += half
    return weights


def change_program(held: HeldPlank, lying: LyingPlank, kind: ChangeKind) -> Program:
    """Set up the program for a plank of three stations or more.

    Parameters
    ----------
    held, lying
        The plank, and how it lies on the surface as it is.
    kind
        Whether the surface is lowered or raised.
    """
    plank, limits = held.plank, held.limits
    system = plank_system(lying.station, lying.surface, plank)
    size = lying.station.size
    square = _from_bands(system.bands)
    inner = np.arange(3, 2 * size - 1, 2)
    moment = limits.stress * plank.section_modulus / system.moment_unit
    bend = abs(square[inner][:, 1::2]).max() * moment
    pull = limits.pull / system.force_unit
    rows = csr_array(vstack([square[::2] / pull, square[inner] / bend]))
    right = np.concatenate([system.right[::2] / pull, system.right[inner] / bend])
    lift, turn = rows[:, ::2], rows[:, 1::2] * moment
    depth = lift @ _between(held.station, lying.station) * (-1.0 if kind == "cut" else 1.0)
    force = csr_array(eye_array(rows.shape[0], size)) * -1.0
    anchored = np.searchsorted(lying.station, [a.station for a in lying.anchors])
    return Program(
        matrix=csr_array(hstack([lift, turn, depth, force, turn, -turn, -force[:, anchored]])),
        right=right,
        anchored=anchored,
        weight=strip_weights(held.station),
        lift_unit=system.lift_unit,
        slack=held.slack / system.lift_unit,
        pinned=held.slack <= NO_SLACK,
        size=size,
    )


def pattern_of(lying: LyingPlank, program: Program) -> Pattern:
    """The pattern of a plank at rest."""
    pulling = np.zeros(program.size, dtype=bool)
    most = max((anchor.pull for anchor in lying.anchors), default=0.0)
    pulling[program.anchored] = [a.pull > PULLS * max(most, 1.0) for a in lying.anchors]
    return Pattern(touching=lying.touching & ~pulling, pulling=pulling)


def solve_program(
    program: Program, pattern: Pattern | None, *, margin: float
) -> ProgramSolution | None:
    """Least change for a pattern; without one, the relaxed program; None if it is not solved.

    Stress and pull stay within their limits by the margin, a small share of them, so that what
    satisfies the program also passes when the contact is solved by other means.
    """
    from scipy.optimize import linprog

    low, high = _bounds(program, pattern, 1.0 - margin)
    unit = program.weight / program.weight.mean()
    excess = 2 * program.size + program.anchored.size
    cost = np.zeros(program.matrix.shape[1])
    cost[2 * program.size :][: unit.size] = unit
    cost[-excess:] = PENALTY
    found = linprog(
        cost,
        A_eq=program.matrix,
        b_eq=program.right,
        bounds=list(zip(low.tolist(), high.tolist(), strict=True)),
        method="highs",
    )
    if found.x is None or found.fun is None:
        return None
    x = np.asarray(found.x, dtype=float)
    price = np.asarray(found.lower.marginals) + np.asarray(found.upper.marginals)
    return ProgramSolution(
        depth=np.maximum(x[2 * program.size :][: unit.size], 0.0) * program.lift_unit,
        objective=float(found.fun),
        neighbour=None if pattern is None else _neighbour(program, pattern, x, price),
    )


def _bounds(
    program: Program, pattern: Pattern | None, limit: float
) -> tuple[FloatArray, FloatArray]:
    size, count = program.size, program.weight.size
    anchored = np.zeros(size, dtype=bool)
    anchored[program.anchored] = True
    lift_low, lift_high = np.zeros(size), np.where(anchored, program.slack, np.inf)
    force_low, force_high = np.where(anchored, -limit, 0.0), np.full(size, np.inf)
    if pattern is not None:
        held = anchored & program.pinned
        lift_high[pattern.touching | held] = 0.0
        lift_low[pattern.pulling & ~held] = program.slack
        force_low[~pattern.pulling & ~held] = 0.0
        force_high[~pattern.touching & ~held] = 0.0
    moment = np.full(size, limit)
    moment[[0, -1]] = 0.0
    free = 0.0 if pattern is None else np.inf
    past = np.full(2 * size + program.anchored.size, free)
    past[[0, size - 1, size, 2 * size - 1]] = 0.0
    nothing, any_depth = np.zeros(count), np.full(count, np.inf)
    return (
        np.concatenate([lift_low, -moment, nothing, force_low, np.zeros(past.size)]),
        np.concatenate([lift_high, moment, any_depth, force_high, past]),
    )


def _neighbour(
    program: Program, pattern: Pattern, x: FloatArray, price: FloatArray
) -> Pattern | None:
    """The pattern after every exchange that the prices of the bounds call for."""
    size = program.size
    at_force = slice(2 * size + program.weight.size, 3 * size + program.weight.size)
    lift, force = x[:size], x[at_force]
    of_lift, of_force = price[:size], price[at_force]
    roof = np.zeros(size, dtype=bool)
    roof[program.anchored] = not program.pinned
    resting = np.zeros(size, dtype=bool)
    resting[program.anchored] = program.pinned
    touching, pulling = pattern.touching & ~resting, pattern.pulling & ~resting
    off = ~touching & ~pulling & ~resting
    idle = np.abs(force) < AT_BOUND
    rises = touching & idle & (of_lift < -AT_BOUND)
    lands = off & (lift < AT_BOUND) & (of_force < -AT_BOUND)
    draws = off & roof & (lift > program.slack - AT_BOUND) & (of_force > AT_BOUND)
    eases = pulling & idle & (of_lift > AT_BOUND)
    if not (rises | lands | draws | eases).any():
        return None
    return Pattern(
        touching=(pattern.touching & ~rises) | (lands & ~draws),
        pulling=(pattern.pulling & ~eases) | draws,
    )


def _from_bands(bands: FloatArray) -> csr_array:
    """Sparse matrix of `bands[REACH + i - j, j]`, shape (2 n, 2 n)."""
    shape = bands.shape[1], bands.shape[1]
    row = np.arange(shape[0]) + np.arange(-REACH, REACH + 1)[:, np.newaxis]
    column = np.broadcast_to(np.arange(shape[1]), row.shape)
    inside = (row >= 0) & (row < shape[0]) & (bands != 0.0)
    return csr_array((bands[inside], (row[inside], column[inside])), shape=shape)


def _between(station: FloatArray, wanted: FloatArray) -> csr_array:
    """Matrix that interpolates from stations (m,) to the wanted ones (n,), all within."""
    right = np.clip(np.searchsorted(station, wanted), 1, station.size - 1)
    share = (wanted - station[right - 1]) / (station[right] - station[right - 1])
    row = np.arange(wanted.size)
    return csr_array(
        (
            np.concatenate([1.0 - share, share]),
            (np.concatenate([row, row]), np.concatenate([right - 1, right])),
        ),
        shape=(wanted.size, station.size),
    )
