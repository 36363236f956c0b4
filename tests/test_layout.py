"""Studs, openings and plates along a wall."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey.job import Door, Job, WallLine, resolve
from survey.wall.layout import Layout, lay_out


def _layout(length: float, *doors: Door) -> Layout:
    job = Job(walls=(WallLine(name="W", door=doors),))
    return lay_out(length, resolve(job, "W"))


def test_studs_stand_on_centres_from_the_named_end() -> None:
    layout = _layout(100.0)
    assert [spot.station for spot in layout.studs] == [0.75, 16, 32, 48, 64, 80, 96, 99.25]
    assert [spot.kind for spot in layout.studs][::7] == ["end", "end"]
    assert layout.plates == ((0.0, 100.0),)


def test_first_interval_to_the_near_face_is_fifteen_and_a_quarter() -> None:
    second = _layout(100.0).studs[1].station
    assert second - 0.75 == 15.25


def test_a_stud_that_would_clash_with_the_end_is_left_out() -> None:
    assert [spot.station for spot in _layout(97.0).studs][-2:] == [80.0, 96.25]


def test_a_door_has_trimmers_kings_and_cripples_and_no_plate() -> None:
    layout = _layout(160.0, Door(at=80.0, width=38.0))
    kinds = {spot.station: spot.kind for spot in layout.studs}
    assert kinds[60.25] == "trimmer"
    assert kinds[58.75] == "king"
    assert kinds[99.75] == "trimmer"
    assert kinds[101.25] == "king"
    assert kinds[80.0] == "cripple"
    assert layout.plates == ((0.0, 61.0), (99.0, 160.0))
    assert all(not (a < 80.0 < b) for a, b in layout.bays)


def test_bays_lie_between_neighbouring_full_studs() -> None:
    layout = _layout(160.0, Door(at=80.0, width=38.0))
    assert layout.bays[0] == (0.75, 16.0)
    assert (48.0, 58.75) in layout.bays
    assert (101.25, 112.0) in layout.bays


def test_a_wall_of_one_stud_is_possible() -> None:
    layout = _layout(2.0)
    assert [spot.station for spot in layout.studs] == [0.75]
    assert layout.bays == ()


@given(
    length=st.floats(60.0, 600.0),
    at=st.floats(0.2, 0.8),
    width=st.floats(24.0, 40.0),
)
def test_no_two_studs_overlap_and_all_are_inside(length: float, at: float, width: float) -> None:
    layout = _layout(length, Door(at=at * length, width=min(width, 0.3 * length)))
    stations = np.array([spot.station for spot in layout.studs])
    assert np.diff(stations).min() >= 1.5 - 1e-6
    assert stations.min() >= 0.75 - 1e-6
    assert stations.max() <= length - 0.75 + 1e-6


def test_two_doors_share_a_king_when_they_stand_close() -> None:
    layout = _layout(200.0, Door(at=50.0, width=38.0), Door(at=94.0, width=38.0))
    stations = [spot.station for spot in layout.studs]
    assert np.diff(stations).min() >= 1.5 - 1e-9
    assert layout.plates == ((0.0, 31.0), (69.0, 75.0), (113.0, 200.0))


@pytest.mark.parametrize("spacing", [12.0, 24.0])
def test_spacing_is_a_setting(spacing: float) -> None:
    from dataclasses import replace

    job = Job(walls=(WallLine(name="W"),))
    job = replace(job, frame=replace(job.frame, spacing=spacing))
    studs = lay_out(96.0 + 10, resolve(job, "W")).studs
    assert studs[1].station == spacing
