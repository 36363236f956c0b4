"""Rows of a field book as sights: what is a spot, what is its reading, what is refused."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from fieldbooks import field_book
from survey.errors import SurveyError
from survey.field.sights import Surface, row_sd, take_sights
from survey.job import Laser

LASER = Laser()
NORTH = {"station": 16.0, "down": 52.0}


def test_a_row_gives_its_slab_then_its_joist() -> None:
    sights = take_sights(field_book([{**NORTH, "up": 47.0}, {"station": 0.0, "down": 51.0}]), LASER)
    assert sights.row_index.tolist() == [0, 0, 1]
    assert sights.sign.tolist() == [-1, 1, -1]
    assert sights.reading.tolist() == [52.0, 47.0, 51.0]
    assert sights.surface.tolist() == [Surface.SLAB, Surface.SLAB, Surface.JOIST]
    assert sights.station.tolist() == [0.0, 16.0, 16.0]
    assert sights.spot.tolist() == [1, 2, 0]


def test_lips_of_a_joint_share_one_joist() -> None:
    rows = [{**NORTH, "up": 47.0, "side": side} for side in (-1, 1)]
    sights = take_sights(field_book(rows), LASER)
    assert sights.surface.tolist() == [Surface.SLAB, Surface.SLAB, Surface.JOIST]
    assert sights.side.tolist() == [-1, 1, 0]
    assert np.bincount(sights.spot).tolist() == [1, 1, 2]


def test_plate_is_a_surface_of_its_own() -> None:
    sights = take_sights(field_book([NORTH, {**NORTH, "on_plate": True}]), LASER)
    assert sights.surface.tolist() == [Surface.SLAB, Surface.PLATE]


def test_one_station_in_two_units_is_one_spot() -> None:
    rows = [{"station": 1.33 / 0.0254, "down": 52.0}, {"station": 1330 / 25.4, "down": 52.0}]
    rows.append({"station": 1331 / 25.4, "down": 52.0})
    assert take_sights(field_book(rows), LASER).spot.tolist() == [0, 0, 1]


def test_same_station_of_two_walls_is_two_spots() -> None:
    sights = take_sights(field_book([NORTH, {**NORTH, "name": "South"}]), LASER)
    assert sights.name.tolist() == [0, 1]


def test_marks_and_points_have_no_station() -> None:
    rows = [{"name": "M", "up": 5.0}, {"name": "low spot", "down": 52.0, "side": 1}]
    sights = take_sights(field_book(rows, marks={"M": None}, points=["low spot"]), LASER)
    assert sights.surface.tolist() == [Surface.MARK, Surface.POINT]
    assert np.all(np.isnan(sights.station))
    assert sights.side.tolist() == [0, 0]


def test_cover_is_added_to_down_only() -> None:
    sights = take_sights(field_book([{**NORTH, "up": 47.0, "cover": 0.375}]), LASER)
    assert sights.reading.tolist() == [52.375, 47.0]


def test_row_sd_is_stated_or_comes_from_the_laser_and_distance() -> None:
    laser = Laser(reading=0.03, accuracy=0.0004)
    rows = [{**NORTH, "sd": 0.5, "distance": 200.0}, {**NORTH, "distance": 200.0}, NORTH]
    np.testing.assert_allclose(row_sd(field_book(rows), laser), [0.5, 0.05, 0.03], rtol=1e-12)


def test_beam_slope_is_taken_out_where_the_distance_is_known() -> None:
    rows = [{**NORTH, "up": 47.0, "distance": 100.0}, NORTH]
    sights = take_sights(field_book(rows), LASER, error=0.001)
    assert sights.reading.tolist() == pytest.approx([51.9, 47.1, 52.0])


def test_rows_without_readings_give_no_sight() -> None:
    sights = take_sights(
        field_book([NORTH, {"station": 20.0}, {"station": 30.0, "clear": 99}]), LASER
    )
    assert sights.row_index.tolist() == [0]


@pytest.mark.parametrize(
    ("row", "match"),
    [
        ({**NORTH, "sd": 0.0}, "row 2 sd: the sd must be above zero and finite"),
        ({**NORTH, "sd": np.inf}, "row 2 sd: the sd must be above zero and finite"),
        ({**NORTH, "distance": -1.0}, "row 2 distance: a distance is finite and not negative"),
        ({"down": 52.0}, "row 2 station: a reading along a wall needs its station"),
        ({"station": 1.0, "down": np.inf}, "row 2 down: not a finite length"),
        ({"station": 1.0, "up": -np.inf}, "row 2 up: not a finite length"),
        ({"name": "M", "down": 1.0, "up": 2.0}, "row 2 up: a mark or point lies below"),
    ],
)
def test_rows_that_cannot_be_used(row: dict[str, Any], match: str) -> None:
    with pytest.raises(SurveyError, match=match):
        take_sights(field_book([row], marks={"M": None}), LASER)


def test_every_row_that_cannot_be_used_is_listed() -> None:
    with pytest.raises(SurveyError, match="2 readings cannot be used") as caught:
        take_sights(field_book([{"down": 52.0}, {**NORTH, "sd": -1.0}]), LASER)
    assert sorted(fault.row or 0 for fault in caught.value.faults) == [2, 3]
