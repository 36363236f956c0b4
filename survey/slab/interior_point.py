"""Banded systems in which some unknowns keep within bounds: an interior-point solver.

Finds x and multipliers z >= 0 with

    A x = b + sum of sign_k z_k at unknown index_k + reactions at the held unknowns,
    room_k = offset_k + sign_k x[index_k] >= 0,   z_k room_k = 0,   x = 0 where held.

A is banded and quasi-definite once positive numbers are added on the bounded diagonal: these are
the conditions of a convex quadratic program, perhaps with further unknowns (such as moments) that
no bound touches. Knows no plank.

References
----------
Mehrotra, S., "On the implementation of a primal-dual interior point method", *SIAM Journal on
Optimization* 2 (1992): predictor, then corrector with the same factors (equations from memory).
Vanderbei, R. J., "Symmetric quasidefinite matrices", *SIAM Journal on Optimization* 5 (1995):
why such a matrix can be factored (from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy.linalg.lapack import dgbtrf, dgbtrs

from survey.errors import SurveyError
from survey.slab.kriging import BoolArray, FloatArray, IntArray

MOST_STEPS = 200
COMPLEMENTARITY = 1e-14
BALANCE = 1e-7
SHORT_OF_BOUND = 0.995
SLOW = 0.9
CENTRAL = 1e-3
OUTWEIGHS = 1e3
FEASIBLE = 1e-9
POLISHES = 20
TOO_WILD = (
    "the contact could not be solved: heights or spacings differ by too many orders of magnitude; "
    "look along the line for a wild reading"
)


@dataclass(frozen=True, kw_only=True, eq=False)
class Bounds:
    """Bounds `offset + sign x[index] >= 0`, shape (k,) each; sign +1 from below, -1 from above."""

    index: IntArray
    sign: FloatArray
    offset: FloatArray

    def room(self, x: FloatArray) -> FloatArray:
        """How far each bound is from being met, shape (k,)."""
        return self.offset + self.sign * x[self.index]


@dataclass(frozen=True, kw_only=True, eq=False)
class BoundedSystem:
    """The system: `bands[reach + i - j, j] = A[i, j]`, shape (2 reach + 1, n); b has shape (n,).

    `held` are the unknowns that are zero whatever that takes; none of them has a bound.
    """

    bands: FloatArray
    right: FloatArray
    bounds: Bounds
    held: IntArray


@dataclass(frozen=True, kw_only=True, eq=False)
class BoundedSolution:
    """What solves it.

    Attributes
    ----------
    x
        Unknowns, shape (n,), within their bounds.
    force, reaction
        z of every bound, >= 0, and what acts on every held unknown, of either sign.
    active
        Which bounds are met with a force, shape of `force`.
    steps, polished
        Steps taken, and whether the exact solution for the `active` found was feasible and kept.
    """

    x: FloatArray
    force: FloatArray
    reaction: FloatArray
    active: BoolArray
    steps: int
    polished: bool


@dataclass(frozen=True, kw_only=True, eq=False)
class _Point:
    """An iterate: the unknowns, and room and force of every bound, both above zero.

    Room is carried along, not taken from x again: near a bound that would round it to nothing.
    """

    x: FloatArray
    room: FloatArray
    force: FloatArray

    @property
    def mean(self) -> float:
        """Mean product of room and force; zero at the solution."""
        return float(self.room @ self.force) / max(self.room.size, 1)

    @property
    def least(self) -> float:
        """Least product of room and force."""
        return float(np.min(self.room * self.force, initial=np.inf))


def solve_bounded(system: BoundedSystem, x: FloatArray, force: FloatArray) -> BoundedSolution:
    """Solve by Mehrotra's predictor and corrector, then exactly for the set of bounds met.

    Parameters
    ----------
    system
        The banded system, scaled so that unknowns and forces are of the order of one or above.
    x, force
        Where to begin, shape (n,) and (k,); `x` zero where held, strictly inside every bound,
        `force` above zero.

    Raises
    ------
    SurveyError
        If it does not settle within 200 steps, or its numbers overflow.
    """
    held = _fix(system, system.held, np.zeros(system.held.size))
    with np.errstate(all="ignore"):
        start = _Point(x=x, room=system.bounds.room(x), force=force)
        point, steps = _iterate(held, start)
        active = point.force > OUTWEIGHS * point.room
        exact = _polish(held, active)
    if exact is not None:
        point, active = exact
    return BoundedSolution(
        x=point.x,
        force=point.force,
        reaction=(multiply(system.bands, point.x) - system.right)[system.held],
        active=active,
        steps=steps,
        polished=exact is not None,
    )


def multiply(bands: FloatArray, x: FloatArray) -> FloatArray:
    """Banded matrix times a vector, shape (n,).

    >>> multiply(np.array([[0.0, 1.0], [2.0, 2.0], [1.0, 0.0]]), np.array([1.0, 3.0])).tolist()
    [5.0, 7.0]
    """
    reach, size = _reach(bands), x.size
    product = np.zeros(size)
    for shift in range(-reach, reach + 1):
        low, high = max(0, shift), min(size, size + shift)
        if low < high:
            product[low - shift : high - shift] += bands[reach - shift, low:high] * x[low:high]
    return product


def _reach(bands: FloatArray) -> int:
    """Diagonals on either side of the main one."""
    return int(bands.shape[0] - 1) // 2


def _iterate(system: BoundedSystem, point: _Point) -> tuple[_Point, int]:
    for step in range(MOST_STEPS):
        gap = _imbalance(system, point)
        if _settled(system, point, gap):
            return point, step
        point = _advance(system, point, gap)
    raise SurveyError(TOO_WILD)


def _imbalance(system: BoundedSystem, point: _Point) -> FloatArray:
    gap = multiply(system.bands, point.x) - system.right
    np.subtract.at(gap, system.bounds.index, system.bounds.sign * point.force)
    return gap


def _settled(system: BoundedSystem, point: _Point, gap: FloatArray) -> bool:
    """Every product z room, and every row against the size of its own terms, is near zero."""
    product = point.room * point.force
    most = max(1.0, float(np.max(point.force, initial=0.0)))
    terms = multiply(np.abs(system.bands), np.abs(point.x)) + np.abs(system.right)
    np.add.at(terms, system.bounds.index, point.force)
    balanced = bool(np.all(np.abs(gap) <= BALANCE * np.maximum(terms, 1.0)))
    return balanced and float(np.max(product, initial=0.0)) <= COMPLEMENTARITY * most


def _advance(system: BoundedSystem, point: _Point, gap: FloatArray) -> _Point:
    """One predictor and corrector with one factorisation; a plain centred step if they fail."""
    bounds, room, force = system.bounds, point.room, point.force
    bands = system.bands.copy()
    np.add.at(bands[_reach(bands)], bounds.index, force / room)
    solve = _factor(bands)

    def towards(product: FloatArray | float) -> _Point:
        """Change that makes room x force the product, to first order."""
        target = product - room * force
        right = -gap
        np.add.at(right, bounds.index, bounds.sign * target / room)
        dx = solve(right)
        closing = bounds.sign * dx[bounds.index]
        return _Point(x=dx, room=closing, force=(target - force * closing) / room)

    guess = towards(0.0)
    after = _moved(point, guess, min(1.0, _longest(point, guess))).mean
    centred = point.mean * (after / point.mean) ** 3 if point.mean > 0.0 else 0.0
    better = _step(point, towards(centred - guess.room * guess.force))
    if better.mean > SLOW * point.mean or better.least < CENTRAL * better.mean:
        return _step(point, towards(0.5 * point.mean))
    return better


def _step(point: _Point, change: _Point) -> _Point:
    return _moved(point, change, min(1.0, SHORT_OF_BOUND * _longest(point, change)))


def _moved(point: _Point, change: _Point, length: float) -> _Point:
    return _Point(
        x=point.x + length * change.x,
        room=point.room + length * change.room,
        force=point.force + length * change.force,
    )


def _longest(point: _Point, change: _Point) -> float:
    """How much of the change may be made before a room or a force reaches zero."""
    value = np.concatenate([point.room, point.force])
    fall = np.concatenate([change.room, change.force])
    falling = fall < 0.0
    return float(np.min(-value[falling] / fall[falling], initial=np.inf))


def _factor(bands: FloatArray) -> Callable[[FloatArray], FloatArray]:
    reach = _reach(bands)
    fill = np.zeros((reach, bands.shape[1]))
    factors, pivots, state = dgbtrf(np.concatenate([fill, bands]), reach, reach)
    if state != 0 or not np.isfinite(factors).all():
        raise SurveyError(TOO_WILD)

    def solve(right: FloatArray) -> FloatArray:
        return np.asarray(dgbtrs(factors, reach, reach, right, pivots)[0])

    return solve


def _fix(system: BoundedSystem, rows: IntArray, value: FloatArray) -> BoundedSystem:
    """The system with `x = value` written into those rows."""
    bands, right = system.bands.copy(), system.right.copy()
    reach = _reach(bands)
    for shift in range(-reach, reach + 1):
        column = rows + shift
        column = column[(column >= 0) & (column < right.size)]
        bands[reach - shift, column] = 0.0
    bands[reach, rows] = 1.0
    right[rows] = value
    return replace(system, bands=bands, right=right)


def _polish(system: BoundedSystem, active: BoolArray) -> tuple[_Point, BoolArray] | None:
    """Exact solution for the bounds met, mended a few times; None unless all conditions hold."""
    bounds = system.bounds
    limit = -bounds.sign * bounds.offset
    for _ in range(POLISHES):
        fixed = _fix(system, bounds.index[active], limit[active])
        try:
            x = _factor(fixed.bands)(fixed.right)
        except SurveyError:
            return None
        if not np.isfinite(x).all():
            return None
        acting = bounds.sign * (multiply(system.bands, x) - system.right)[bounds.index]
        force = np.where(active, acting, 0.0)
        most = max(1.0, float(np.max(np.abs(force), initial=0.0)))
        beyond, drawn = bounds.room(x) < -FEASIBLE, force < -FEASIBLE * most
        if not (beyond.any() or drawn.any()):
            at_limit = active | (bounds.room(x) < 0.0)
            x[bounds.index[at_limit]] = limit[at_limit]
            force = np.maximum(force, 0.0)
            return _Point(x=x, room=bounds.room(x), force=force), active & (force > 0.0)
        active = (active & ~drawn) | beyond
    return None
