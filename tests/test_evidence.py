"""Scores and information of errors against a dense adjustment with one more unknown."""

from __future__ import annotations

import numpy as np
import pytest

from fieldbooks import field_book
from survey.field.datum import DatumKind
from survey.field.evidence import Evidence, allow, estimate, seen, shows, weigh
from survey.field.levelling import adjust
from survey.field.outliers import sight_pattern
from survey.job import Laser
from tied_surveys import Plan, adjusted, walk


def evidence(seed: int = 1, plan: Plan | None = None) -> Evidence:
    rng = np.random.default_rng(seed)
    return weigh(adjusted(walk(rng, Plan() if plan is None else plan)))


def dense_normal(found: Evidence) -> np.ndarray:
    """W - W A (A'WA)+ A'W by way of the pseudo-inverse; held spots have no column."""
    observed, held = found.heights.observations, found.heights.solution.alone == 0.0
    n = observed.spot.size
    design = np.zeros((n, held.size + found.heights.solution.few.size))
    design[np.arange(n), observed.spot] = ~held[observed.spot]
    design[np.arange(n), held.size + found.few] = -1.0
    weight = np.diag(found.weight)
    normal = np.linalg.pinv(design.T @ weight @ design, rcond=1e-11)
    return np.asarray(weight - weight @ design @ normal @ design.T @ weight)


@pytest.mark.parametrize("seed", range(3))
def test_seen_is_the_dense_product(seed: int) -> None:
    found = evidence(seed)
    dense = dense_normal(found)
    pattern = np.random.default_rng(seed).normal(size=found.weight.size)
    np.testing.assert_allclose(seen(found, pattern), dense @ pattern, rtol=0, atol=1e-7)
    np.testing.assert_allclose(found.information, np.diag(dense), rtol=0, atol=1e-7)
    value = found.heights.observations.sign * found.heights.observations.reading
    held = found.heights.solution.alone == 0.0
    fixed = np.where(held, found.heights.solution.many, 0.0)[found.heights.observations.spot]
    np.testing.assert_allclose(found.score, dense @ (value - fixed), rtol=0, atol=1e-5)


def test_allowing_for_an_error_is_the_dense_projection() -> None:
    found = evidence()
    dense = dense_normal(found)
    for number in (3, 20):
        pattern = np.random.default_rng(number).normal(size=found.weight.size)
        dense = dense - np.outer(dense @ pattern, dense @ pattern) / (pattern @ dense @ pattern)
        found = allow(found, pattern)
        assert abs(pattern @ found.score) < 1e-8
    other = np.arange(found.weight.size, dtype=float)
    np.testing.assert_allclose(seen(found, other), dense @ other, rtol=0, atol=1e-6)
    np.testing.assert_allclose(found.information, np.diag(dense), rtol=0, atol=1e-7)
    assert found.allowed.shape == (found.weight.size, 2)


def test_standardized_residuals_are_those_of_the_adjustment() -> None:
    found = evidence()
    expected = -found.heights.observations.standardized
    for sight in np.flatnonzero(found.testable):
        amount = estimate(found, sight_pattern(found, int(sight)))
        assert amount is not None
        assert amount.statistic == pytest.approx(expected[sight], abs=1e-9)


@pytest.mark.parametrize("datum", ["fixed marks", "free marks", "first beam"])
def test_the_datum_changes_nothing(datum: DatumKind) -> None:
    book = evidence().heights.book
    one = weigh(adjust(book, Laser()))
    two = weigh(adjust(book, Laser(), datum=datum))
    np.testing.assert_allclose(two.score, one.score, rtol=0, atol=1e-6)
    pattern = np.sin(np.arange(one.weight.size))
    np.testing.assert_allclose(seen(two, pattern), seen(one, pattern), rtol=0, atol=1e-7)


def test_an_error_that_only_moves_a_beam_does_not_show() -> None:
    found = evidence()
    assert estimate(found, (found.few == 1).astype(float)) is None
    assert not shows(found, 0.0)
    assert allow(found, (found.few == 1).astype(float)) is found


def test_nothing_shows_without_redundancy() -> None:
    rows = [{"station": x, "down": 50.0 + x / 100} for x in (0.0, 16.0, 32.0)]
    found = weigh(adjust(field_book(rows), Laser()))
    assert not np.any(found.testable)
    assert estimate(found, np.array([1.0, 0.0, 0.0])) is None


def test_results_are_read_only() -> None:
    found = evidence()
    with pytest.raises(ValueError, match="read-only"):
        found.score[0] = 1.0
