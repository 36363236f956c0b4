"""Jamb legs and leaves over the finished floor."""

from __future__ import annotations

from dataclasses import replace

import pytest

from small_houses import house_of, rows_of
from survey.job import Door, Travel, Trim, WallLine
from survey.wall.doorways import Doorway

DOOR = Door(at=80.0, width=32.0, height=82.5)
SLOPE = [0.05 * i for i in range(11)]


def _door(*, door: Door = DOOR, trim: Trim | None = None, **line: float) -> Doorway:
    wall = WallLine(name="W", length=160.0, door=(door,), **line)  # type: ignore[arg-type]
    house = house_of(rows_of("W", SLOPE), walls=(wall,), trim=Trim() if trim is None else trim)
    (found,) = house.walls[0].doors
    return found


def test_legs_differ_by_the_fall_across_the_opening() -> None:
    door = _door()
    assert door.leg_left - door.leg_right == pytest.approx(0.05 * 32 / 16, abs=0.02)
    assert door.floor_right > door.floor_left


def test_a_leg_and_what_is_under_it_reach_from_head_to_floor() -> None:
    door = _door()
    for leg, floor in ((door.leg_left, door.floor_left), (door.leg_right, door.floor_right)):
        assert door.head - leg - door.jamb == pytest.approx(floor)


def test_a_jamb_held_clear_keeps_the_rise_and_the_allowance() -> None:
    door = _door()
    assert not door.gauge
    assert door.jamb == door.leaf == Travel().rise + Travel().allowance


def test_a_gauge_stands_an_eighth_over_the_floor() -> None:
    clear, gauge = _door(), _door(trim=Trim(jamb="gauge"))
    assert gauge.gauge
    assert gauge.jamb == 1 / 8
    assert gauge.leg_left - clear.leg_left == pytest.approx(clear.jamb - 1 / 8)


def test_the_leaf_clears_the_highest_floor_in_the_opening() -> None:
    door = _door()
    assert min(door.leaf_left, door.leaf_right) == pytest.approx(door.leaf)
    assert door.leaf_left - door.leaf_right == pytest.approx(door.floor_right - door.floor_left)


def test_a_slab_that_falls_across_the_wall_lifts_the_leaf() -> None:
    level, falling = _door(), _door(cross_fall=0.25 / 12)
    assert falling.leaf_left - level.leaf_left == pytest.approx(0.25 / 12 * 32.0, abs=0.01)
    narrow = _door(door=replace(DOOR, leaf=24.0), cross_fall=0.25 / 12)
    assert narrow.leaf_left - level.leaf_left == pytest.approx(0.25 / 12 * 24.0, abs=0.01)


def test_covering_lifts_the_floor_and_the_head() -> None:
    bare, covered = _door(), _door(trim=Trim(flooring=0.5))
    assert covered.floor_left - bare.floor_left == pytest.approx(0.5)
    assert covered.leg_left == pytest.approx(bare.leg_left)
