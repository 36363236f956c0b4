"""The least-squares core against dense and exact second ways of computing."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from scipy.sparse import csr_array, eye_array

from survey.errors import SurveyError
from survey.field.least_squares import (
    Differences,
    covariance,
    groups,
    refer,
    solve,
    variances,
)

Array = np.ndarray


def random_problem(
    *, many: int = 30, few: int = 6, extra: int = 60, held: int = 0, log_sd: float = 0.5
) -> Differences:
    """Every one of the many seen once or more, all tied through the first of the many."""
    rng = np.random.default_rng(11 * many + few + extra + held)
    index = np.concatenate([np.arange(many), np.zeros(few), rng.integers(0, many, extra)])
    other = np.concatenate(
        [rng.integers(0, few, many), np.arange(few), rng.integers(0, few, extra)]
    )
    fixed = np.full(many, np.nan)
    fixed[:held] = rng.normal(size=held)
    return Differences(
        many=index.astype(np.int64),
        few=other.astype(np.int64),
        value=rng.normal(50.0, 3.0, index.size),
        weight=np.exp(rng.normal(0.0, 2.0 * log_sd, index.size)),
        held=fixed,
        few_count=few,
    )


def design(problem: Differences) -> tuple[Array, Array]:
    """Dense matrix of all unknowns (many, then few), and the values less what is held."""
    rows = np.arange(problem.value.size)
    dense = np.zeros((rows.size, problem.held.size + problem.few_count))
    dense[rows, problem.many] = 1.0
    dense[rows, problem.held.size + problem.few] = -1.0
    known = np.nan_to_num(problem.held, nan=0.0)
    return dense, problem.value - known[problem.many]


def dense_solution(problem: Differences) -> tuple[Array, Array, Array]:
    """Estimates of all unknowns, their covariance, redundancies: numpy.linalg, nothing sparse."""
    dense, right = design(problem)
    size = problem.held.size
    wanted = np.concatenate([problem.free, np.ones(problem.few_count, dtype=bool)])
    if np.all(problem.free):
        wanted[size] = False
    root = np.sqrt(problem.weight)[:, None]
    part = root * dense[:, wanted]
    inverse = np.linalg.pinv(part)
    estimate = np.concatenate([np.nan_to_num(problem.held, nan=0.0), np.zeros(problem.few_count)])
    estimate[wanted] = inverse @ (root[:, 0] * right)
    full = np.zeros((wanted.size, wanted.size))
    full[np.ix_(wanted, wanted)] = inverse @ inverse.T
    return estimate, full, 1.0 - np.einsum("ij,ji->i", part, inverse)


def mean_zero_solution(problem: Differences, weights: Array) -> tuple[Array, Array]:
    """Estimates and covariance under sum(weights x many) = 0, by a bordered normal matrix."""
    dense, right = design(problem)
    size = dense.shape[1]
    bordered = np.zeros((size + 1, size + 1))
    bordered[:size, :size] = dense.T @ (problem.weight[:, None] * dense)
    bordered[size, : weights.size] = bordered[: weights.size, size] = weights
    inverse = np.linalg.inv(bordered)[:size, :size]
    return inverse @ dense.T @ (problem.weight * right), inverse


@pytest.mark.parametrize("held", [0, 1, 3])
@pytest.mark.parametrize("few", [1, 2, 6])
def test_agrees_with_a_dense_solution(held: int, few: int) -> None:
    problem = random_problem(held=held, few=few)
    found = solve(problem)
    estimate, full, redundancy = dense_solution(problem)
    size = problem.held.size
    np.testing.assert_allclose(found.many, estimate[:size], rtol=0, atol=1e-9)
    np.testing.assert_allclose(found.few, estimate[size:], rtol=0, atol=1e-9)
    np.testing.assert_allclose(found.inverse, full[size:, size:], rtol=0, atol=1e-9)
    np.testing.assert_allclose(found.redundancy, redundancy, rtol=0, atol=1e-9)
    np.testing.assert_allclose(variances(found), np.diag(full)[:size], rtol=0, atol=1e-9)
    every = covariance(found, eye_array(size, format="csr"))
    np.testing.assert_allclose(every, full[:size, :size], rtol=0, atol=1e-9)


def test_misfit_is_fitted_less_observed() -> None:
    problem = random_problem()
    found = solve(problem)
    fitted = found.many[problem.many] - found.few[problem.few]
    np.testing.assert_allclose(found.misfit, fitted - problem.value, rtol=0, atol=1e-12)


@pytest.mark.parametrize("carriers", [1, 2, 5, 30])
def test_refer_agrees_with_a_bordered_normal_matrix(carriers: int) -> None:
    problem = random_problem()
    weights = (np.arange(problem.held.size) < carriers) / carriers
    found = refer(solve(problem), weights)
    estimate, full = mean_zero_solution(problem, weights)
    size = problem.held.size
    np.testing.assert_allclose(found.many, estimate[:size], rtol=0, atol=1e-8)
    np.testing.assert_allclose(found.few, estimate[size:], rtol=0, atol=1e-8)
    every = covariance(found, eye_array(size, format="csr"))
    np.testing.assert_allclose(every, full[:size, :size], rtol=0, atol=1e-9)
    np.testing.assert_allclose(found.inverse, full[size:, size:], rtol=0, atol=1e-9)
    np.testing.assert_allclose(variances(found), np.diag(every), rtol=0, atol=1e-9)


def test_covariance_of_means_is_that_of_the_parts() -> None:
    found = solve(random_problem())
    every = covariance(found, eye_array(30, format="csr"))
    mix = np.zeros((3, 30))
    mix[0, [7, 2]], mix[1, 7], mix[2, [29, 1, 2, 5]] = 0.5, 1.0, 0.25
    together = covariance(found, csr_array(mix))
    np.testing.assert_allclose(together, mix @ every @ mix.T, rtol=0, atol=1e-12)


def exact_solution(problem: Differences) -> tuple[list[Fraction], list[Fraction]]:
    """Estimates and variances of the many in rational arithmetic, the first of the few zero."""
    size, few = problem.held.size, problem.few_count
    total = size + few
    normal = [[Fraction(0)] * (total + 1) for _ in range(total)]
    for j, i, value, weight in zip(
        problem.many, problem.few, problem.value, problem.weight, strict=True
    ):
        w, y = Fraction(float(weight)), Fraction(float(value))
        for a, one in ((j, 1), (size + i, -1)):
            normal[a][total] += one * w * y
            for b, other in ((j, 1), (size + i, -1)):
                normal[a][b] += one * other * w
    keep = [a for a in range(total) if a != size]
    table = [
        [normal[a][b] for b in keep] + [normal[a][total]] + [Fraction(a == b) for b in keep]
        for a in keep
    ]
    count = len(keep)
    for p in range(count):
        lead = table[p][p]
        table[p] = [x / lead for x in table[p]]
        for q in range(count):
            factor = table[q][p]
            if q != p and factor:
                table[q] = [x - factor * z for x, z in zip(table[q], table[p], strict=True)]
    return [row[count] for row in table[:size]], [table[j][count + 1 + j] for j in range(size)]


def test_weights_far_apart_keep_their_digits() -> None:
    """Sd from 0.001 to 10: the estimates agree with rational arithmetic to 1e-9 of their sd."""
    drawn = random_problem(many=8, few=4, extra=8)
    rng = np.random.default_rng(5)
    sd = np.exp(rng.uniform(np.log(1e-3), np.log(10.0), drawn.value.size))
    problem = Differences(
        many=drawn.many,
        few=drawn.few,
        value=drawn.value + 1e4,
        weight=sd**-2,
        held=drawn.held,
        few_count=4,
    )
    found = solve(problem)
    estimate, variance = exact_solution(problem)
    sd_exact = np.sqrt([float(v) for v in variance])
    difference = np.array(
        [float(Fraction(float(x)) - y) for x, y in zip(found.many, estimate, strict=True)]
    )
    assert np.max(np.abs(difference) / sd_exact) < 1e-9
    np.testing.assert_allclose(np.sqrt(variances(found)), sd_exact, rtol=1e-9)
    assert found.redundancy.sum() == pytest.approx(problem.dof, abs=1e-9)


def test_weak_link_between_two_strong_groups() -> None:
    """Two groups read to 0.001, tied by one pair read to 10: the worst case for cancellation."""
    many = np.array([0, 1, 0, 1, 2, 3, 2, 3, 1, 2])
    few = np.array([0, 0, 1, 1, 2, 2, 3, 3, 2, 1])
    sd = np.array([1e-3] * 8 + [10.0] * 2)
    value = np.array([1.0, 2.0, 3.0, 4.0005, 5.0, 6.0, 7.0, 8.0005, 20.0, 0.0])
    free = np.full(4, np.nan)
    problem = Differences(many=many, few=few, value=value, weight=sd**-2, held=free, few_count=4)
    found = solve(problem)
    estimate, variance = exact_solution(problem)
    np.testing.assert_allclose(found.many, [float(x) for x in estimate], rtol=0, atol=1e-9)
    np.testing.assert_allclose(variances(found), [float(v) for v in variance], rtol=1e-8)
    assert found.redundancy.sum() == pytest.approx(problem.dof, abs=1e-7)


def test_chunks_do_not_change_the_result(monkeypatch: pytest.MonkeyPatch) -> None:
    problem = random_problem()
    whole = solve(problem).redundancy
    monkeypatch.setattr("survey.field.least_squares.CHUNK", 1)
    np.testing.assert_array_equal(solve(problem).redundancy, whole)


def test_once_observed_is_not_checked() -> None:
    problem = random_problem(extra=0, few=2)
    once = np.bincount(problem.many)[problem.many] == 1
    redundancy = solve(problem).redundancy
    np.testing.assert_allclose(redundancy[once], 0.0, rtol=0, atol=1e-15)
    assert np.any(once)
    assert redundancy.sum() == pytest.approx(problem.dof, abs=1e-12)


def test_held_values_connect() -> None:
    index = np.array([0, 1])
    one = np.ones(2)
    apart = Differences(
        many=index, few=index, value=one, weight=one, held=np.full(2, np.nan), few_count=2
    )
    tied = Differences(
        many=index, few=index, value=one, weight=one, held=np.array([1.0, 3.0]), few_count=2
    )
    assert groups(apart).tolist() == [0, 1]
    assert groups(tied).tolist() == [0, 0]
    assert solve(tied).few.tolist() == [0.0, 2.0]
    with pytest.raises(SurveyError, match="groups with nothing in common"):
        solve(apart)


def test_every_fault_is_named_at_once() -> None:
    index = np.array([0, 1])
    wrong = Differences(
        many=index,
        few=np.zeros(2, dtype=np.int64),
        value=np.array([np.nan, 1.0]),
        weight=np.array([0.0, 1.0]),
        held=np.full(3, np.nan),
        few_count=1,
    )
    with pytest.raises(SurveyError, match=r"not a finite.*not above zero.*not observed"):
        solve(wrong)


def test_weights_beyond_double_precision_are_refused() -> None:
    few, many = np.array([0, 1, 1, 2]), np.array([0, 0, 1, 1])
    problem = Differences(
        many=np.append(many, 2),
        few=np.append(few, 0),
        value=np.ones(5),
        weight=np.array([1e30, 1e30, 1e30, 1e30, 1e-30]),
        held=np.array([np.nan, np.nan, 0.0]),
        few_count=3,
    )
    with pytest.raises(SurveyError, match="too far apart for double precision"):
        solve(problem)


def test_results_are_read_only() -> None:
    found = solve(random_problem())
    with pytest.raises(ValueError, match="read-only"):
        found.many[0] = 1.0
