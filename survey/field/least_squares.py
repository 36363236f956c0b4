"""Weighted least squares of differences between many unknowns and a few.

Every observation is `value = many[j] - few[i]` plus noise. Each of the many has a scalar normal
equation and is eliminated by itself; the few are solved together; covariances of the many come
back from the few's small inverse on request. No many x few matrix is ever stored dense.

The reduced normal matrix is a weighted graph Laplacian: its off-diagonal elements are sums of one
sign and its diagonal is minus the sum of a row, so nearly equal numbers are never subtracted.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy.linalg import LinAlgError, cho_factor, cho_solve
from scipy.sparse import coo_array, csr_array, diags_array
from scipy.sparse.csgraph import connected_components

from survey.errors import SurveyError

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

PASSES = 3  # the first solves, the others work on the misclosures left: full digits, no centring
CHUNK = 2_000_000  # dense numbers held at once while going through the many (16 MB)


@dataclass(frozen=True, kw_only=True, eq=False)
class Differences:
    """Observed differences `value = many[j] - few[i]`, uncorrelated, with their weights.

    `many`, `few`, `value`, `weight` (1 / variance) have shape (n,); `held` (m,) is the value at
    which one of the many is held, NaN where it is free; `few_count` is the number of the few.
    """

    many: IntArray
    few: IntArray
    value: FloatArray
    weight: FloatArray
    held: FloatArray
    few_count: int

    @property
    def free(self) -> npt.NDArray[np.bool_]:
        """Which of the many are unknowns; shape (m,)."""
        return np.isnan(self.held)

    @property
    def dof(self) -> int:
        """Degrees of freedom: observations less unknowns, plus one where nothing is held."""
        unknowns = int(np.sum(self.free)) + self.few_count
        return self.value.size - unknowns + bool(np.all(self.free))


@dataclass(frozen=True, kw_only=True, eq=False)
class Solution:
    """Least-squares estimates and what is needed for any covariance; arrays are read-only.

    `many` (m,) and `few` (k,) are the estimates; `misfit` (n,) is fitted - observed and
    `redundancy` (n,) the share of an observation's error that shows in its misfit.
    `inverse` (k, k) is the covariance of the few. One of the many has covariance
    `alone[j] (i == j) + share[i] @ inverse @ share[j] - anchor[i] - anchor[j]`:
    `alone` (m,) its variance were the few known, row j of the sparse `share` (m, k) its
    dependence on the few, `anchor` (m,) its part in the datum. All four are zero where held.
    """

    many: FloatArray
    few: FloatArray
    misfit: FloatArray
    redundancy: FloatArray
    inverse: FloatArray
    alone: FloatArray
    anchor: FloatArray
    share: Any  # scipy.sparse.csr_array (m, k)

    def __post_init__(self) -> None:
        for field in dataclasses.fields(self):
            array = getattr(self, field.name)
            if isinstance(array, np.ndarray):
                array.setflags(write=False)


def groups(problem: Differences) -> IntArray:
    """Number the connected group each of the few belongs to; shape (few_count,), from 0 up.

    Observations connect; all the many that are held count as one.

    >>> pair, one, free = np.array([0, 1]), np.ones(2), np.full(2, np.nan)
    >>> untied = Differences(many=pair, few=pair, value=one, weight=one, held=free, few_count=2)
    >>> groups(untied).tolist()
    [0, 1]
    """
    first = problem.few_count
    node = np.where(problem.free, first + np.arange(problem.held.size), first + problem.held.size)
    size = first + problem.held.size + 1
    edge = np.ones(problem.many.size)
    graph = coo_array((edge, (problem.few, node[problem.many])), shape=(size, size))
    _, label = connected_components(graph.tocsr(), directed=False)
    _, number = np.unique(label[:first], return_inverse=True)
    return np.asarray(number, dtype=np.int64)


def solve(problem: Differences) -> Solution:
    """Solve for the many and the few; where none is held, the first of the few is zero.

    Raises
    ------
    SurveyError
        An unknown not observed, separate groups, or weights too far apart.

    References
    ----------
    Krumm, F., *Geodetic Network Adjustment Examples* (2020): Gauss-Markov model, redundancy
    numbers, datum. The elimination is the Schur complement of the normal matrix.

    Examples
    --------
    Two of the many, each seen from both of the few; the closure of 0.4 is shared out equally:

    >>> few, many = np.array([0, 0, 1, 1]), np.array([0, 1, 0, 1])
    >>> seen, free = np.array([1.0, 2.0, 3.0, 4.4]), np.full(2, np.nan)
    >>> found = solve(Differences(
    ...     many=many, few=few, value=seen, weight=np.ones(4), held=free, few_count=2))
    >>> found.many.round(6).tolist(), found.few.round(6).tolist()
    ([0.9, 2.1], [0.0, -2.2])
    >>> found.redundancy.round(6).tolist()
    [0.25, 0.25, 0.25, 0.25]
    """
    _check(problem)
    cell, weight = _gathered(problem)
    total = _summed(problem.many, problem.weight, problem.held.size)
    alone = np.where(problem.free, 1.0 / total, 0.0)
    share = weight.copy()
    share.data = weight.data * np.repeat(alone, np.diff(weight.indptr))
    inverse = _inverted(_reduced(problem, weight, share), hold_first=bool(np.all(problem.free)))
    many, few = _estimates(problem, alone, share, inverse)
    return Solution(
        many=many,
        few=few,
        misfit=many[problem.many] - few[problem.few] - problem.value,
        redundancy=_redundancy(problem, alone, share, inverse, cell=cell),
        inverse=inverse,
        alone=alone,
        anchor=np.zeros_like(alone),
        share=share,
    )


def refer(solution: Solution, weights: FloatArray) -> Solution:
    """Move a solution in which none is held to the datum "weighted mean of the many is zero".

    `weights` (m,) sum to 1. This is the S-transformation: estimates and covariances change,
    misfits and redundancies do not.

    References
    ----------
    Baarda, W., *S-transformations and criterion matrices* (1973), from memory.

    >>> few, many, one, free = np.zeros(2, int), np.arange(2), np.ones(2), np.full(2, np.nan)
    >>> found = solve(Differences(
    ...     many=many, few=few, value=one * [1, 4], weight=one, held=free, few_count=1))
    >>> moved = refer(found, np.array([0.5, 0.5]))
    >>> moved.many.tolist(), covariance(moved, csr_array(np.eye(2))).tolist()
    ([-1.5, 1.5], [[0.5, -0.5], [-0.5, 0.5]])
    """
    row = solution.share.T @ weights
    with_mean = solution.inverse @ row
    anchor = weights * solution.alone
    of_mean = row @ with_mean + weights @ anchor
    mean = weights @ solution.many
    return dataclasses.replace(
        solution,
        many=solution.many - mean,
        few=solution.few - mean,
        inverse=solution.inverse - with_mean[:, None] - with_mean[None, :] + of_mean,
        anchor=anchor,
    )


def variances(solution: Solution) -> FloatArray:
    """Variance of each of the many; shape (m,)."""
    through_few, _ = _spread(solution.share, solution.inverse)
    return np.maximum(through_few + solution.alone - 2.0 * solution.anchor, 0.0)


def covariance(solution: Solution, mix: Any) -> FloatArray:
    """Covariance of weighted means of the many; `mix` (b, m) is sparse, its rows sum to one."""
    rows = mix @ solution.share
    through_few = rows @ (rows @ solution.inverse).T
    alone = (mix @ diags_array(solution.alone) @ mix.T).toarray()
    anchor = mix @ solution.anchor
    full = through_few + alone - anchor[:, None] - anchor[None, :]
    return np.asarray(0.5 * (full + full.T))


def _summed(index: IntArray, value: FloatArray, size: int) -> FloatArray:
    """Sum of the values that share an index; shape (size,)."""
    return np.asarray(np.bincount(index, value, size), dtype=np.float64)


def _check(problem: Differences) -> None:
    """Refuse what has no solution, every fault at once."""
    faults = []
    if not (np.all(np.isfinite(problem.value)) and np.all(np.isfinite(problem.weight))):
        faults.append("an observation or its weight is not a finite number")
    if not np.all(problem.weight > 0.0):
        faults.append("a weight is not above zero")
    seen_many = np.bincount(problem.many, minlength=problem.held.size)
    seen_few = np.bincount(problem.few, minlength=problem.few_count)
    if np.any(seen_many == 0) or seen_few.size == 0 or np.any(seen_few == 0):
        faults.append("an unknown is not observed")
    elif np.any(groups(problem) != 0):
        faults.append("the observations fall into groups with nothing in common")
    if faults:
        raise SurveyError(f"least squares has no solution: {'; '.join(faults)}")


def _gathered(problem: Differences) -> tuple[IntArray, Any]:
    """Weights summed by (many, few) as a sparse matrix, and the cell of each observation."""
    shape = (problem.held.size, problem.few_count)
    key, cell = np.unique(problem.many * shape[1] + problem.few, return_inverse=True)
    row, column = np.divmod(key, shape[1])
    start = np.concatenate([[0], np.cumsum(np.bincount(row, minlength=shape[0]))])
    return cell, csr_array((_summed(cell, problem.weight, key.size), column, start), shape=shape)


def _reduced(problem: Differences, weight: Any, share: Any) -> FloatArray:
    """Normal matrix of the few after the many are eliminated; shape (k, k)."""
    normal = -(share.T @ weight).toarray()
    np.fill_diagonal(normal, 0.0)
    to_held = np.where(problem.free[problem.many], 0.0, problem.weight)
    diagonal = _summed(problem.few, to_held, problem.few_count) - normal.sum(axis=1)
    np.fill_diagonal(normal, diagonal)
    return np.asarray(0.5 * (normal + normal.T))


def _inverted(normal: FloatArray, *, hold_first: bool) -> FloatArray:
    """Inverse of the reduced normal matrix, bordered by zeros where the first is held."""
    first = int(hold_first)
    inverse = np.zeros_like(normal)
    part = normal[first:, first:]
    if part.size == 0:
        return inverse
    try:
        solved = cho_solve(cho_factor(part, lower=True), np.eye(part.shape[0]))
    except LinAlgError as error:
        raise SurveyError(
            "least squares has no solution: the weights lie too far apart for double precision"
        ) from error
    inverse[first:, first:] = 0.5 * (solved + solved.T)
    return inverse


def _estimates(
    problem: Differences, alone: FloatArray, share: Any, inverse: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """The many and the few, the misclosure left by one pass being solved for in the next."""
    many = np.where(problem.free, 0.0, problem.held)
    few = np.zeros(problem.few_count)
    for _ in range(PASSES):
        gap = problem.value - (many[problem.many] - few[problem.few])
        mean = alone * _summed(problem.many, problem.weight * gap, many.size)
        pull = problem.weight * (mean[problem.many] - gap)
        step = inverse @ _summed(problem.few, pull, few.size)
        few = few + step
        many = many + mean + share @ step
    return many, few


def _redundancy(
    problem: Differences, alone: FloatArray, share: Any, inverse: FloatArray, *, cell: IntArray
) -> FloatArray:
    """1 - weight x variance of the fitted difference, for each observation; shape (n,)."""
    through_few, at_cell = _spread(share, inverse)
    fitted = (alone + through_few)[problem.many] - 2.0 * at_cell[cell]
    fitted += np.diag(inverse)[problem.few]
    return np.clip(1.0 - problem.weight * fitted, 0.0, 1.0)


def _spread(share: Any, inverse: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Row c of `share`: c B c' for each row, and c B at each stored cell, a chunk at a time."""
    length = np.diff(share.indptr)
    row_of = np.repeat(np.arange(length.size), length)
    at_cell = np.diag(inverse)[share.indices] * share.data
    mixed = np.flatnonzero(length > 1)
    cells = np.flatnonzero(length[row_of] > 1)
    step = max(1, CHUNK // inverse.shape[0])
    done = 0
    for start in range(0, mixed.size, step):
        part = share[mixed[start : start + step]]
        row = np.repeat(np.arange(part.shape[0]), np.diff(part.indptr))
        at_cell[cells[done : done + part.nnz]] = (part @ inverse)[row, part.indices]
        done += part.nnz
    return _summed(row_of, share.data * at_cell, length.size), at_cell
