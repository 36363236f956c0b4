"""Joists against a straight line that a few bad ones do not bend."""

from __future__ import annotations

import numpy as np

from books import Row, book_of
from survey.field.levelling import adjust
from survey.job import Job, Laser
from survey.slab.joist_scatter import joist_residuals
from survey.slab.line_profile import LineProfile
from survey.slab.profile import profile


def line_of(ups: list[float]) -> LineProfile:
    rows = [Row(name="Long", station=16.0 * i, down=50.0, up=up) for i, up in enumerate(ups)]
    return profile(adjust(book_of(rows), Laser()), Job()).lines[0]


def test_three_joists_are_not_tested() -> None:
    found = joist_residuals(line_of([40.0, 40.0, 41.0]), 1 / 8)
    assert np.all(np.isnan(found.standardized))


def test_robust_line_is_the_median_of_slopes_by_hand() -> None:
    """Of ten slopes between five joists the four to the last one differ from 0: the median is 0."""
    found = joist_residuals(line_of([40.0, 40.0, 40.0, 40.0, 43.2]), 0.0)
    np.testing.assert_allclose(found.difference, [0.0, 0.0, 0.0, 0.0, 3.2], atol=1e-9)
    np.testing.assert_allclose(found.sd, 1 / 16, rtol=1e-9)
    np.testing.assert_allclose(found.standardized, found.difference / found.sd)


def test_the_expected_scatter_is_the_least_sd() -> None:
    found = joist_residuals(line_of([40.0, 40.1, 40.2, 40.3, 40.4]), 0.125)
    np.testing.assert_allclose(found.difference, 0.0, atol=1e-9)
    np.testing.assert_allclose(found.sd, np.hypot(0.125, 1 / 16), rtol=1e-9)


def test_wider_scatter_is_taken_from_the_joists() -> None:
    """Deviations 0, 1, 1, 1, 1 from the line have the median 1."""
    found = joist_residuals(line_of([41.0, 39.0, 40.0, 39.0, 41.0]), 0.125)
    np.testing.assert_allclose(np.abs(found.difference), [1.0, 1.0, 0.0, 1.0, 1.0], atol=1e-9)
    np.testing.assert_allclose(found.sd, 1.482602, rtol=1e-6)
