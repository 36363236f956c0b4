"""Drywall, filler and base: what they clear, hide and lap."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plans import SAMPLES, sample, wavy_house
from survey.job import PlateBoard, Travel, Trim
from survey.wall.wall_plan import WallPlan


def _wall(trim: Trim, **tables: Any) -> WallPlan:
    return wavy_house("W", 96.0, doors=(50.0,), trim=trim, **tables).walls[0]


@pytest.mark.parametrize("name", SAMPLES)
def test_drywall_that_stops_with_the_plate_clears_by_the_gap(name: str) -> None:
    for wall in sample(name).walls:
        assert wall.trim.clear.min() == pytest.approx(wall.gap.least)
        assert wall.trim.clear.max() == pytest.approx(wall.gap.greatest)
        assert wall.trim.cut_least == wall.trim.cut_greatest == pytest.approx(wall.frame.height)
        assert wall.trim.under == "slab plate"


def test_drywall_at_a_height_over_the_slab_plate_clears_by_that_height() -> None:
    trim = _wall(Trim(drywall_bottom=0.5)).trim
    assert trim.clear == pytest.approx(0.5)
    assert trim.cut_greatest > trim.cut_least


def test_a_filler_in_the_way_takes_from_the_rise() -> None:
    plain, filled = _wall(Trim()).trim, _wall(Trim(filler_height=2.0)).trim
    assert filled.under == "filler"
    assert plain.clear.min() - filled.clear.min() == pytest.approx(0.5, abs=0.1)


def test_a_filler_as_high_as_is_allowed_leaves_the_rise_and_one_higher_does_not() -> None:
    most = _wall(Trim()).trim.filler_most
    assert _wall(Trim(filler_height=most)).trim.assured.min() >= 1.5 - 1e-9
    assert _wall(Trim(filler_height=most + 1 / 16)).trim.assured.min() < 1.5


def test_a_floor_higher_than_the_slab_plate_is_what_the_drywall_meets() -> None:
    assert _wall(Trim(flooring=2.0)).trim.under == "floor"


def test_the_base_needed_is_just_enough() -> None:
    needed = _wall(Trim()).trim.base_needed
    enough = _wall(Trim(base_height=needed)).trim
    assert enough.base_drop.min() == pytest.approx(1.0)
    less = _wall(Trim(base_height=needed - 1 / 16)).trim
    assert less.base_drop.min() < 1.0


def test_a_base_that_is_not_given_is_the_needed_one_on_the_ladder() -> None:
    trim = _wall(Trim()).trim
    assert 0.0 <= trim.base_height - trim.base_needed < 1 / 16
    assert trim.base_height * 16 == round(trim.base_height * 16)


def test_doors_are_left_out() -> None:
    station = _wall(Trim()).trim.station
    assert not np.any((station > 33.0) & (station < 67.0))


@settings(max_examples=25)
@given(
    flooring=st.floats(0.0, 1.0),
    lap=st.floats(0.0, 2.0),
    drop=st.floats(0.25, 1.5),
    seal=st.floats(0.0, 0.5),
)
def test_flooring_lap_and_drop_add_up_in_the_base(
    flooring: float, lap: float, drop: float, seal: float
) -> None:
    wall = _wall(
        Trim(flooring=flooring, lap=lap), plate=PlateBoard(seal=seal), travel=Travel(drop=drop)
    )
    over_slab = (
        wall.trim.bottom - np.interp(wall.trim.station, wall.slab.at.station, wall.slab.mean)
    ).max()
    assert wall.trim.base_needed == pytest.approx(over_slab + lap + drop - flooring)
    flat = wall.gap.greatest + seal + 1.5 + lap + drop - flooring
    assert wall.trim.base_needed >= flat - 1e-9
    assert wall.trim.base_needed == pytest.approx(flat, abs=0.1)  # the plate stands off somewhere
