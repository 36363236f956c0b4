"""The plank's section and its equations, against a dense beam of textbook elements."""

from __future__ import annotations

import numpy as np
import pytest

from floors import BOARD, beam_stiffness, beam_weight
from survey import standards
from survey.errors import SurveyError
from survey.slab.interior_point import multiply
from survey.slab.plank import Plank, detrended, lumber_plank, plank_system


def test_lumber_of_the_list() -> None:
    two_by_six = next(section for section in standards.LUMBER if section.name == "2x6")
    plank = lumber_plank(two_by_six, boards=2)
    assert plank.inertia == pytest.approx(2 * 5.5 * 1.5**3 / 12)
    assert plank.section_modulus == pytest.approx(2 * 5.5 * 1.5**2 / 6)
    assert plank.rigidity == pytest.approx(1.4e6 * plank.inertia)
    assert plank.weight == pytest.approx(2 * 35 / 1728 * 1.5 * 5.5)
    assert standards.WOOD_STIFFNESS.source in plank.source


def test_equations_are_those_of_the_dense_beam() -> None:
    """For any heights, moments and forces follow from either; the beam has rotations besides."""
    station = np.array([0.0, 0.5, 3.0, 4.0, 24.0, 36.0, 37.5, 50.0, 70.0])
    surface = np.array([0.0, 0.1, 0.03, -0.2, 0.15, 0.0, 0.3, -0.1, 0.2])
    lift = np.array([0.0, 0.2, 0.0, 0.25, 0.1, 0.3, 0.0, 0.2, 0.05])
    size = station.size
    stiffness, load = beam_stiffness(station, BOARD), beam_weight(station, BOARD)
    heights = surface + lift
    turn = np.linalg.solve(
        stiffness[size:, size:], -load[size:] - stiffness[size:, :size] @ heights
    )
    force = (stiffness @ np.concatenate([heights, turn]) + load)[:size]

    system = plank_system(station, surface, BOARD)
    lever = np.maximum(station[:, np.newaxis] - station, 0.0)
    moment = lever @ force - BOARD.weight * (station - station[0]) ** 2 / 2
    unknown = np.ravel(np.column_stack([lift / system.lift_unit, moment / system.moment_unit]))
    unknown[-1] = 0.0
    left_over = multiply(system.bands, unknown) - system.right
    assert left_over[::2] * system.force_unit == pytest.approx(force, abs=1e-6)
    assert left_over[1::2] == pytest.approx(np.zeros(size), abs=1e-9)


@pytest.mark.parametrize("size", [1, 2])
def test_short_planks_have_equations_too(size: int) -> None:
    system = plank_system(np.linspace(0.0, 12.0, size), np.zeros(size), BOARD)
    assert system.bands.shape == (7, 2 * size)
    assert system.bands[3, 1::2].tolist() == [1.0] * size


def test_detrended_takes_off_level_and_slope() -> None:
    station = np.array([0.0, 3.0, 10.0])
    assert detrended(station, 5.0 + 0.1 * station) == pytest.approx(np.zeros(3), abs=1e-12)
    assert detrended(station[:1], np.array([7.0])).tolist() == [0.0]


def test_every_wrong_property_is_named() -> None:
    with pytest.raises(SurveyError, match="plank: thickness -1, stiffness inf: each must be above"):
        Plank(thickness=-1.0, width=3.5, stiffness=float("inf"), weight=0.1)
