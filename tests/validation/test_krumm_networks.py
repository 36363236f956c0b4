"""Level networks of a published collection of adjustment examples.

Source: Friedhelm Krumm, *Geodetic Network Adjustment Examples*, Geodaetisches Institut,
Universitaet Stuttgart, rev. 3.5 (2020). Observations, heights and their sd: read there. He takes
the first from Charles D. Ghilani, *Adjustment Computations*, 5th ed., example 12.6, the second
from Wolfgang Niemeier, *Ausgleichungsrechnung*, 2nd ed., pp. 153-156; the third is his own.
Residuals, redundancy numbers, standardized residuals and sigma0 marked "derived" were worked out
from these observations by an independent dense solver. Every tolerance is half a unit of the
last digit printed.
"""

from __future__ import annotations

import numpy as np
import pytest

from networks import (
    adjust_legs,
    heights,
    leg_redundancies,
    leg_residuals,
    leg_standardized,
    read_legs,
    scaled_sd,
)
from survey.field.levelling import Adjustment


@pytest.fixture(scope="module")
def ghilani() -> Adjustment:
    return adjust_legs(read_legs("ghilani_example_12_6.csv"), {"A": 437.596})


@pytest.fixture(scope="module")
def niemeier() -> Adjustment:
    legs = read_legs("niemeier_pages_153_156.csv", sd_per_root_km=0.001)
    return adjust_legs(legs, {"6": 67.228})


@pytest.fixture(scope="module")
def krumm() -> Adjustment:
    legs = read_legs("krumm_five_points.csv", sd_per_root_km=0.005)
    return adjust_legs(legs, {"5": 110.956})


def test_ghilani_heights_and_scaled_sd(ghilani: Adjustment) -> None:
    found, sd = heights(ghilani), scaled_sd(ghilani)
    published = {"B": (448.1087, 2.30), "C": (453.4685, 2.64), "D": (444.9436, 1.76)}
    for name, (height, height_sd) in published.items():
        assert found[name] == pytest.approx(height, abs=0.00005)
        assert sd[name] == pytest.approx(height_sd, abs=0.005)
    assert found["A"] == pytest.approx(437.596, abs=1e-9)
    assert sd["A"] == 0.0


def test_ghilani_fit_derived(ghilani: Adjustment) -> None:
    assert ghilani.dof == 3
    assert ghilani.vpv == pytest.approx(1.272123, abs=5e-7)
    assert ghilani.sigma0 == pytest.approx(0.651184, abs=5e-7)
    assert ghilani.passed is True


def test_ghilani_legs_derived(ghilani: Adjustment) -> None:
    residual = [3.7117, -0.2439, -1.8625, 0.3947, 1.8936, -8.5322]
    redundancy = [0.65487, 0.32945, 0.50917, 0.18770, 0.43262, 0.88618]
    standardized = [0.764, -0.106, -0.522, 0.304, 0.720, -0.755]
    np.testing.assert_allclose(leg_residuals(ghilani), residual, rtol=0, atol=0.00005)
    np.testing.assert_allclose(leg_redundancies(ghilani), redundancy, rtol=0, atol=0.000005)
    np.testing.assert_allclose(leg_standardized(ghilani), standardized, rtol=0, atol=0.0005)


def test_niemeier_heights_and_scaled_sd(niemeier: Adjustment) -> None:
    found, sd = heights(niemeier), scaled_sd(niemeier)
    published = {
        "1": (68.9235, 3.12),
        "2": (60.7153, 2.60),
        "3": (63.1938, 1.97),
        "4": (56.2838, 2.63),
        "5": (44.3226, 2.30),
    }
    for name, (height, height_sd) in published.items():
        assert found[name] == pytest.approx(height, abs=0.00005)
        assert sd[name] == pytest.approx(height_sd, abs=0.005)


def test_niemeier_fit_derived(niemeier: Adjustment) -> None:
    assert niemeier.dof == 4
    assert niemeier.vpv == pytest.approx(46.08173, abs=5e-6)
    assert niemeier.sigma0 == pytest.approx(3.394176, abs=5e-7)
    assert niemeier.passed is False
    assert [note.code for note in niemeier.notes if note.level == "doubt"] == ["scatter-high"]


def test_niemeier_suspect_is_leg_2_3_derived(niemeier: Adjustment) -> None:
    standardized = [-5.246, 5.246, -6.134, 2.577, -1.198, 0.945, -2.367, 1.383, 2.367]
    np.testing.assert_allclose(leg_standardized(niemeier), standardized, rtol=0, atol=0.0005)
    assert int(np.argmax(np.abs(leg_standardized(niemeier)))) == 2


def test_krumm_heights_and_scaled_sd(krumm: Adjustment) -> None:
    found, sd = heights(krumm), scaled_sd(krumm)
    published = {
        "1": (93.4560, 5.78),
        "2": (107.7541, 6.73),
        "3": (103.4535, 6.69),
        "4": (100.4620, 7.46),
    }
    for name, (height, height_sd) in published.items():
        assert found[name] == pytest.approx(height, abs=0.00005)
        assert sd[name] == pytest.approx(height_sd, abs=0.005)


def test_krumm_two_legs_cannot_be_checked_derived(krumm: Adjustment) -> None:
    assert krumm.dof == 1
    assert krumm.sigma0 == pytest.approx(0.943880, abs=5e-7)
    redundancy = [0.4091, 0.3636, 0.0, 0.0, 0.2273]
    np.testing.assert_allclose(leg_redundancies(krumm), redundancy, rtol=0, atol=0.00005)
    untested = np.isnan(leg_standardized(krumm))
    assert untested.tolist() == [False, False, True, True, False]
