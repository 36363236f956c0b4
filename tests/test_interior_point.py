"""The solver of bounded banded systems against small problems worked by trying every case."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from survey.errors import SurveyError
from survey.slab.interior_point import (
    BoundedSolution,
    BoundedSystem,
    Bounds,
    multiply,
    solve_bounded,
)


def dense(bands: np.ndarray) -> np.ndarray:
    reach, size = (bands.shape[0] - 1) // 2, bands.shape[1]
    full = np.zeros((size, size))
    for i, j in itertools.product(range(size), repeat=2):
        if abs(i - j) <= reach:
            full[i, j] = bands[reach + i - j, j]
    return full


def banded(matrix: np.ndarray, reach: int) -> np.ndarray:
    size = matrix.shape[0]
    bands = np.zeros((2 * reach + 1, size))
    for i, j in itertools.product(range(size), repeat=2):
        if abs(i - j) <= reach:
            bands[reach + i - j, j] = matrix[i, j]
    return bands


def boxed(matrix: np.ndarray, right: np.ndarray, roof: float) -> BoundedSystem:
    """Every unknown between zero and the roof; none held."""
    size = right.size
    bounds = Bounds(
        index=np.tile(np.arange(size), 2),
        sign=np.repeat([1.0, -1.0], size),
        offset=np.repeat([0.0, roof], size),
    )
    return BoundedSystem(
        bands=banded(matrix, 2), right=right, bounds=bounds, held=np.empty(0, dtype=np.int64)
    )


def solve_boxed(system: BoundedSystem, roof: float) -> BoundedSolution:
    size = system.right.size
    return solve_bounded(system, np.full(size, roof / 2), np.ones(2 * size))


def by_every_case(matrix: np.ndarray, right: np.ndarray, roof: float) -> np.ndarray:
    """Try each unknown at zero, free, and at the roof: the one case that breaks nothing."""
    size = right.size
    for case in itertools.product((0, 1, 2), repeat=size):
        state = np.array(case)
        free = state == 1
        x = np.where(state == 2, roof, 0.0)
        if free.any():
            x[free] = np.linalg.solve(matrix[np.ix_(free, free)], (right - matrix @ x)[free])
        force = matrix @ x - right
        kept = np.all((x >= -1e-9) & (x <= roof + 1e-9))
        if kept and np.all(force[state == 0] >= -1e-9) and np.all(force[state == 2] <= 1e-9):
            return x
    raise AssertionError("no case holds")


@pytest.mark.parametrize("seed", range(12))
def test_boxed_unknowns_are_those_of_every_case_tried(seed: int) -> None:
    rng = np.random.default_rng(seed)
    lower = np.tril(np.triu(rng.normal(size=(6, 6)), -1), 0)
    matrix = lower @ lower.T + 0.1 * np.eye(6)
    matrix = np.triu(np.tril(matrix, 2), -2)
    right = rng.normal(0, 2.0, size=6)
    solved = solve_boxed(boxed(matrix, right, 0.7), 0.7)
    assert solved.x == pytest.approx(by_every_case(matrix, right, 0.7), abs=1e-9)
    push = solved.force[:6] - solved.force[6:]
    assert push == pytest.approx(matrix @ solved.x - right, abs=1e-8)
    assert solved.active.tolist() == (solved.force > 1e-9).tolist()
    assert solved.polished


def test_held_unknowns_stay_at_zero_with_a_reaction_of_either_sign() -> None:
    matrix = 2 * np.eye(4) - np.eye(4, k=1) - np.eye(4, k=-1)
    right = np.array([1.0, -2.0, 0.5, 1.0])
    bounds = Bounds(index=np.array([0, 3]), sign=np.ones(2), offset=np.zeros(2))
    system = BoundedSystem(
        bands=banded(matrix, 1), right=right, bounds=bounds, held=np.array([1, 2])
    )
    solved = solve_bounded(system, np.array([1.0, 0.0, 0.0, 1.0]), np.ones(2))
    assert solved.x == pytest.approx([0.5, 0.0, 0.0, 0.5])
    assert solved.reaction == pytest.approx([1.5, -1.0])
    assert solved.force == pytest.approx([0.0, 0.0], abs=1e-12)


def test_a_neutral_balance_still_ends_with_an_answer() -> None:
    """Nothing tells the second unknown where between its bounds to be: any place will do."""
    matrix = np.array([[1.0, 0.0], [0.0, 0.0]])
    solved = solve_boxed(
        BoundedSystem(
            bands=banded(matrix, 2),
            right=np.array([-1.0, 0.0]),
            bounds=boxed(np.eye(2), np.zeros(2), 1.0).bounds,
            held=np.empty(0, dtype=np.int64),
        ),
        1.0,
    )
    assert solved.x[0] == pytest.approx(0.0, abs=1e-9)
    assert 0.0 <= solved.x[1] <= 1.0


def test_no_bound_at_all_is_one_linear_solve() -> None:
    nothing = np.empty(0, dtype=np.int64)
    bounds = Bounds(index=nothing, sign=np.empty(0), offset=np.empty(0))
    system = BoundedSystem(
        bands=np.array([[0.0], [4.0], [0.0]]), right=np.array([2.0]), bounds=bounds, held=nothing
    )
    assert solve_bounded(system, np.zeros(1), np.empty(0)).x.tolist() == [0.5]


@pytest.mark.parametrize("reach", [0, 1, 3])
def test_multiply_is_the_dense_product(reach: int) -> None:
    bands = np.random.default_rng(reach).normal(size=(2 * reach + 1, 5))
    x = np.arange(5.0)
    assert multiply(bands, x) == pytest.approx(dense(bands) @ x)


def test_a_system_without_an_answer_says_so() -> None:
    matrix = np.array([[0.0, 0.0], [0.0, 1.0]])
    bounds = Bounds(index=np.array([1]), sign=np.ones(1), offset=np.zeros(1))
    system = BoundedSystem(
        bands=banded(matrix, 1),
        right=np.array([1.0, 0.0]),
        bounds=bounds,
        held=np.empty(0, dtype=np.int64),
    )
    with pytest.raises(SurveyError, match="look along the line for a wild reading"):
        solve_bounded(system, np.ones(2), np.ones(1))
