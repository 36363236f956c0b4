"""The same goals written as integer and linear programs, solved by HiGHS; and drawn instances.

Nothing here is shared with the code under test: rungs are listed one by one, and each goal is a
program of its own with the goals before it as constraints.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, milp

Array = npt.NDArray[np.float64]
TOUCH = 1e-6


@dataclass(frozen=True, kw_only=True, eq=False)
class Places:
    """Intervals and peaks drawn at random, and the step of their ladder."""

    low: Array
    high: Array
    peak: Array
    step: float
    free: tuple[float, ...]

    @property
    def rungs(self) -> Array:
        """Every rung any interval can hold, one by one."""
        first, last = np.floor(self.low.min() / self.step), np.ceil(self.high.max() / self.step)
        return np.union1d(np.arange(first, last + 1) * self.step, self.free)

    @property
    def admitted(self) -> npt.NDArray[np.bool_]:
        """Whether a place admits a rung, shape (places, rungs)."""
        rungs = self.rungs[None, :]
        low, high = self.low[:, None], self.high[:, None]
        return (rungs >= low - TOUCH) & (rungs <= high + TOUCH)


def draw_places(
    rng: np.random.Generator, count: int, *, width: float, free: tuple[float, ...] = ()
) -> Places:
    """A wandering line of intervals, as a floor makes them, a sixteenth apart."""
    step = 1 / 16
    wander = 92.6 + np.cumsum(rng.normal(0.0, 0.06, count))
    low = wander - width * rng.uniform(0.5, 1.0, count)
    high = wander + step
    return Places(
        low=low, high=high, peak=high + rng.uniform(0.5, 1.2, count), step=step, free=free
    )


def draw_intervals(rng: np.random.Generator, count: int, *, free: tuple[float, ...] = ()) -> Places:
    """Intervals in no order, short against the stretch over which they lie."""
    low = rng.uniform(91.0, 94.0, count)
    high = low + 1 / 16 + rng.uniform(0.0, 0.4, count)
    return Places(low=low, high=high, peak=high, step=1 / 16, free=free)


@dataclass(frozen=True, kw_only=True)
class SteppedOptimum:
    """What the stepped programs found."""

    runs: int
    greatest_gap: float
    breaks: tuple[int, ...]


def stepped_by_milp(places: Places) -> SteppedOptimum:
    """Three programs in turn: fewest breaks, least greatest gap, earliest breaks."""
    n = places.low.size
    admitted, rungs = places.admitted, places.rungs
    rows = _stepped_rows(n, rungs.size)
    fewest = round(_solve_stepped(rows, admitted, np.ones(n - 1))[0])
    held = np.concatenate((np.zeros(n * rungs.size), np.ones(n - 1), [0.0]))[None, :]
    gaps = sparse.hstack(
        [
            sparse.kron(sparse.eye_array(n), -rungs[None, :]),
            sparse.csr_array((n, n - 1)),
            sparse.csr_array(-np.ones((n, 1))),
        ]
    )
    most_breaks = LinearConstraint(held, ub=fewest)
    gap_rows = LinearConstraint(gaps, ub=-places.peak)
    none = np.zeros(n - 1)
    greatest = _solve_stepped([*rows, most_breaks, gap_rows], admitted, none, gap_cost=1.0)[0]
    kept = admitted & (places.peak[:, None] - rungs[None, :] <= greatest + TOUCH)
    _, broken = _solve_stepped([*rows, most_breaks], kept, np.arange(1.0, n))
    return SteppedOptimum(
        runs=fewest + 1,
        greatest_gap=greatest,
        breaks=tuple((np.flatnonzero(broken > 0.5) + 1).tolist()),
    )


def _stepped_rows(n: int, k: int) -> list[LinearConstraint]:
    """One rung a place, and a break wherever a place does not hold its forerunner's rung."""
    one = sparse.kron(sparse.eye_array(n), np.ones((1, k)))
    change = sparse.csr_array(np.eye(n - 1, n, 1) - np.eye(n - 1, n))
    moved = sparse.kron(change, sparse.eye_array(k))
    broken = sparse.kron(sparse.eye_array(n - 1), np.ones((k, 1)))
    return [
        LinearConstraint(sparse.hstack([one, sparse.csr_array((n, n))]), lb=1.0, ub=1.0),
        LinearConstraint(
            sparse.hstack([moved, -broken, sparse.csr_array(((n - 1) * k, 1))]), ub=0.0
        ),
    ]


def _solve_stepped(
    rows: list[LinearConstraint],
    admitted: npt.NDArray[np.bool_],
    break_cost: Array,
    *,
    gap_cost: float = 0.0,
) -> tuple[float, Array]:
    """Least cost, and which of the n - 1 breaks are made."""
    chosen, breaks = admitted.size, break_cost.size
    found = milp(
        np.concatenate((np.zeros(chosen), break_cost, [gap_cost])),
        constraints=rows,
        integrality=np.append(np.ones(chosen + breaks, dtype=np.int64), 0),
        bounds=Bounds(0.0, np.concatenate((admitted.ravel(), np.ones(breaks), [1e3]))),
        options={"mip_rel_gap": 0.0},
    )
    assert found.status == 0, found.message
    return float(found.fun), np.asarray(found.x[chosen : chosen + breaks])


@dataclass(frozen=True, kw_only=True)
class StabbedOptimum:
    """What the stabbing programs found: settings, and the sum over intervals without a free one."""

    settings: int
    total: float


def stabbed_by_milp(intervals: Places) -> StabbedOptimum:
    """Two programs in turn, over the intervals that hold no free value."""
    rungs, admitted = intervals.rungs, intervals.admitted
    admitted = admitted[~(admitted & np.isin(rungs, intervals.free)).any(axis=1)]
    m, k = admitted.shape
    if m == 0:
        return StabbedOptimum(settings=0, total=0.0)
    one = sparse.hstack(
        [sparse.kron(sparse.eye_array(m), np.ones((1, k))), sparse.csr_array((m, k))]
    )
    opened = sparse.hstack(
        [sparse.eye_array(m * k), -sparse.kron(np.ones((m, 1)), sparse.eye_array(k))]
    )
    rows = [LinearConstraint(one, lb=1.0, ub=1.0), LinearConstraint(opened, ub=0.0)]
    bounds = Bounds(0.0, np.concatenate((admitted.ravel(), np.ones(k))))
    counted = np.concatenate((np.zeros(m * k), np.ones(k)))
    summed = np.concatenate((np.tile(rungs, m), np.zeros(k)))
    fewest = round(_solve_binary(counted, rows, bounds))
    rows.append(LinearConstraint(counted[None, :], ub=fewest))
    return StabbedOptimum(settings=fewest, total=-_solve_binary(-summed, rows, bounds))


def _solve_binary(cost: Array, rows: list[LinearConstraint], bounds: Bounds) -> float:
    found = milp(
        cost,
        constraints=rows,
        integrality=np.ones(cost.size, dtype=np.int64),
        bounds=bounds,
        options={"mip_rel_gap": 0.0},
    )
    assert found.status == 0, found.message
    return float(found.fun)


def strip_width_by_lp(
    x: Array, upper: Array, lower: Array, *, within: tuple[float, float] = (-np.inf, np.inf)
) -> float:
    """Least a - b with a + m x >= U, b + m x <= V and m allowed; unknowns m, a, b."""
    one, none = np.ones(x.size), np.zeros(x.size)
    return _solve_line(
        np.array([0.0, 1.0, -1.0]),
        [
            LinearConstraint(np.column_stack((x, one, none)), lb=upper),
            LinearConstraint(np.column_stack((x, none, one)), ub=lower),
        ],
        Bounds([within[0], -np.inf, -np.inf], [within[1], np.inf, np.inf]),
    )


def extreme_slopes_by_lp(x: Array, low: Array, high: Array) -> tuple[float, float]:
    """Least and greatest slope of a line within the limits; unknowns m, a."""
    rows = [LinearConstraint(np.column_stack((x, np.ones(x.size))), lb=low, ub=high)]
    free = Bounds([-np.inf, -np.inf], [np.inf, np.inf])
    least = _solve_line(np.array([1.0, 0.0]), rows, free)
    return least, -_solve_line(np.array([-1.0, 0.0]), rows, free)


def bent_by_lp(
    x: Array, low: Array, high: Array, base: Array, bend: float
) -> tuple[float, float] | None:
    """Least greatest gap, then least sum of heights, held at x; None when no line keeps limits.

    The unknowns are not heights but start, slope and the kink at every inner point: a kink k at
    point i makes a second difference of 2 k a b / (a + b), a and b the spaces beside it.
    """
    space = np.diff(x)
    made = 2.0 * space[:-1] * space[1:] / (space[:-1] + space[1:])
    ramps = np.maximum(x[:, None] - x[None, 1:-1], 0.0)
    line = np.column_stack((np.ones(x.size), x - x[0], ramps, np.zeros(x.size)))
    gap = line - np.eye(1, line.shape[1], line.shape[1] - 1)
    rows = [LinearConstraint(line, lb=low, ub=high), LinearConstraint(gap, ub=base)]
    edge = np.concatenate(([np.inf, np.inf], bend / made, [np.inf]))
    cost = np.zeros(edge.size)
    cost[-1] = 1.0
    try:
        greatest = _solve_line(cost, rows, Bounds(-edge, edge))
    except AssertionError:
        return None
    edge[-1] = greatest + 1e-7
    return greatest, _solve_line(line.sum(axis=0), rows, Bounds(-edge, edge))


def _solve_line(cost: Array, rows: list[LinearConstraint], bounds: Bounds) -> float:
    found = milp(cost, constraints=rows, bounds=bounds)
    assert found.status == 0, found.message
    return float(found.fun)
