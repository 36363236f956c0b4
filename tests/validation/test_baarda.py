"""Suspects, what cannot be checked, and the smallest blunder found, on published networks.

Sources: Willem Baarda, *A testing procedure for use in geodetic networks* (1968), as quoted in
textbooks of geodesy (second hand): two-sided 0.001, critical value 3.2905; power 80 %, 4.132148.
Networks from Friedhelm Krumm, *Geodetic Network Adjustment Examples* (2020), and a loop from
Ghilani and Wolf, *Elementary Surveying*, problem 5.12 (read); what is tested of them was derived.
"""

from __future__ import annotations

import numpy as np
import pytest

from networks import adjust_legs, read_legs
from survey.field.levelling import Adjustment
from survey.field.outliers import critical_value, smallest_detectable
from survey.field.quality import Misread, judge_quality


@pytest.fixture(scope="module")
def niemeier() -> Adjustment:
    legs = read_legs("niemeier_pages_153_156.csv", sd_per_root_km=0.001)
    return adjust_legs(legs, {"6": 67.228})


@pytest.fixture(scope="module")
def krumm() -> Adjustment:
    legs = read_legs("krumm_five_points.csv", sd_per_root_km=0.005)
    return adjust_legs(legs, {"5": 110.956})


def test_critical_value_and_noncentrality() -> None:
    assert critical_value(1) == pytest.approx(3.2905, abs=0.00005)


def test_smallest_detectable_blunder_of_each_reading(krumm: Adjustment) -> None:
    """A leg's redundancy .4091 is shared by its two readings, the variance too."""
    observed = krumm.observations
    found = smallest_detectable(krumm)
    redundancy = np.array([0.4091, 0.3636, 0.0, 0.0, 0.2273]).repeat(2) / 2.0
    tested = redundancy > 0.0
    expected = 4.132148 * observed.sd[tested] / np.sqrt(redundancy[tested])
    np.testing.assert_allclose(found[tested], expected, rtol=3e-4)
    assert np.all(np.isnan(found[~tested]))


def test_leg_2_3_is_the_suspect_of_the_six_point_network(niemeier: Adjustment) -> None:
    first = judge_quality(niemeier).findings.found[0]
    assert abs(first.best.statistic) == pytest.approx(6.134, abs=0.0005)
    named = {e.place.setup for e in first.explanations if isinstance(e, Misread)}
    assert named == {"3"}, "the third leg, 2-3: both its readings, which cannot be told apart"
    assert len(first.explanations) >= 2


def test_two_legs_of_the_five_point_network_cannot_be_checked(krumm: Adjustment) -> None:
    quality = judge_quality(krumm)
    setups = krumm.book.setups
    unchecked = {setups[krumm.observations.setup[i]] for i in quality.uncheckable}
    assert (unchecked, quality.uncheckable.size) == ({"3", "4"}, 4)
    assert quality.findings.found == ()
    assert [note.code for note in quality.notes] == ["uncheckable"]


def test_a_loop_tells_none_of_its_readings_apart(krumm: Adjustment) -> None:
    """One degree of freedom: every checked reading has the same |t|, sigma0 .943880."""
    observed = krumm.observations
    tested = ~np.isnan(observed.standardized)
    np.testing.assert_allclose(np.abs(observed.standardized[tested]), 0.943880, rtol=0, atol=5e-7)
