"""Lines from an adjusted survey: order, length, joints, binning, notes."""

from __future__ import annotations

import numpy as np
import pytest

from books import Row, book_of
from survey.errors import SurveyError
from survey.field.levelling import adjust
from survey.job import Job, Laser, WallLine
from survey.slab.profile import FloorProfile, piece_of, profile
from survey.slab.slab_line import predict_slab, stations_along


def _floor(rows: list[Row], *walls: WallLine) -> FloorProfile:
    return profile(adjust(book_of(rows), Laser()), Job(walls=walls))


def _rows(stations: list[float], *, name: str = "W") -> list[Row]:
    return [Row(name=name, station=s, down=52.0 - s / 500, up=47.0) for s in stations]


def test_walls_come_in_the_order_of_the_job_then_of_the_readings() -> None:
    rows = _rows([0, 16, 32], name="B") + _rows([0, 16, 32], name="A") + _rows([0, 9], name="C")
    floor = _floor(rows, WallLine(name="A"), WallLine(name="c"))
    assert [line.wall.name for line in floor.lines] == ["A", "c", "B"]
    assert floor.line("b").wall.name == "B"


def test_an_unknown_wall_is_refused_with_those_there_are() -> None:
    with pytest.raises(SurveyError, match='no wall "Q" in the readings; there are: W'):
        _floor(_rows([0, 16])).line("Q")


def test_length_is_given_or_drawn_or_the_last_station() -> None:
    rows = _rows([0, 16, 90])
    assert _floor(rows).lines[0].length == 90.0
    assert _floor(rows, WallLine(name="W", length=96.0)).lines[0].length == 96.0
    drawn = WallLine(name="W", start=(0.0, 0.0), end=(60.0, 80.0))
    assert _floor(rows, drawn).lines[0].length == pytest.approx(100.0)


def test_a_reading_below_a_joint_is_left_and_at_or_above_it_right() -> None:
    station = np.array([0.0, 95.9, 96.0, 96.0, 100.0])
    side = np.array([0, 0, 0, -1, 0])
    assert piece_of([96.0], station, side).tolist() == [0, 0, 1, 0, 1]


def test_joints_come_from_the_job_and_from_flags_once_each() -> None:
    rows = _rows([0, 16, 32, 48, 64])
    rows[2] = Row(name="W", station=32.0, down=52.0, flag="joint")
    line = _floor(rows, WallLine(name="W", slab_joints=(32.0, 50.0))).lines[0]
    assert line.joints == (32.0, 50.0)
    assert [n.station for n in line.notes if n.code == "joint"] == [32.0]


def test_a_joint_with_nothing_read_beyond_it_is_told_and_does_not_split() -> None:
    line = _floor(_rows([0, 16, 32]), WallLine(name="W", length=60.0, slab_joints=(40.0,))).lines[0]
    assert line.joints == ()
    assert [n.code for n in line.notes if n.level == "doubt"] == ["joint-unread"]


def test_more_than_one_reading_an_inch_is_averaged_by_the_inch() -> None:
    stations = np.linspace(0.0, 20.0, 81)
    rows = [
        Row(name="W", station=float(s), down=52.0 + 0.01 * (i % 2)) for i, s in enumerate(stations)
    ]
    line = _floor(rows).lines[0]
    assert line.slab.station.size == 21
    assert line.slab.noise[5, 5] == pytest.approx((1 / 16) ** 2 / 4)
    assert np.ptp(line.slab.elevation) < 0.01


def test_the_grid_has_every_reading_and_extra_and_no_step_over_two_inches() -> None:
    line = _floor(_rows([0.5, 17.3, 90.0]), WallLine(name="W", slab_joints=(48.0,))).lines[0]
    grid = stations_along(line, [33.75])
    assert {0.0, 0.5, 17.3, 33.75, 90.0} <= set(grid.station.tolist())
    assert np.diff(grid.station).max() <= 2.0 + 1e-9
    assert grid.piece[grid.station == 48.0].tolist() == [0, 1]


def test_height_at_a_joint_is_that_of_the_higher_lip() -> None:
    rows = [Row(name="W", station=s, down=52.0 - (s >= 48)) for s in np.arange(0.0, 97.0, 12.0)]
    floor = _floor(rows, WallLine(name="W", slab_joints=(48.0,)))
    slab = predict_slab(floor.lines[0], floor.model, stations_along(floor.lines[0]))
    left, right = slab.mean[slab.at.station == 48.0]
    assert float(slab.height(48.0)) == max(left, right)
    assert right - left == pytest.approx(1.0, abs=0.1)


def test_an_end_that_was_not_read_is_told() -> None:
    line = _floor(_rows([0, 16, 32]), WallLine(name="W", length=80.0)).lines[0]
    (note,) = [n for n in line.notes if n.code == "end-not-read"]
    assert note.lengths == (80.0, 48.0)


def test_a_crack_asks_for_readings_on_both_sides() -> None:
    near = [*_rows([0, 16, 32]), Row(name="W", station=30.0, flag="crack")]
    assert not [n for n in _floor(near).lines[0].notes if n.code == "read-both-sides"]
    far = [*_rows([0, 16, 90]), Row(name="W", station=40.0, flag="crack")]
    (note,) = [n for n in _floor(far).lines[0].notes if n.code == "read-both-sides"]
    assert note.station == 40.0


def test_two_readings_make_a_line_whose_slope_is_assumed() -> None:
    line = _floor(_rows([0, 16])).lines[0]
    assert line.slab.slope_sd == pytest.approx(0.125 / 12)
    assert [n.code for n in line.notes if n.level == "doubt"] == ["slope-assumed"]
