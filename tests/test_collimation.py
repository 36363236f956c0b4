"""The laser's own error: found, judged against the stated accuracy, said."""

from __future__ import annotations

import numpy as np
import pytest

from survey.errors import Note, SurveyError
from survey.field.collimation import (
    corrected,
    judge_laser,
    laser_notes,
    peg_error,
    wall_error,
)
from survey.job import Laser, PegTest, WallTest

ACCURACY = 0.125 / 360.0
PEG = PegTest(near_1=50.0, near_2=51.0, far_1=50.4, far_2=51.0, d_near=120.0, d_far=520.0)
WALL = WallTest(distance=360.0, difference=-0.2)


def test_peg_test_of_a_made_up_laser() -> None:
    """A beam that rises 1 in 1000 reads long by distance / 1000 at each peg."""
    beam, pegs = 60.0, (10.0, 9.0)
    peg = PegTest(
        near_1=beam - pegs[0] + 0.2,
        near_2=beam - pegs[1] + 0.2,
        far_1=beam - pegs[0] + 0.52,
        far_2=beam - pegs[1] + 0.12,
        d_near=120.0,
        d_far=520.0,
    )
    found = peg_error(peg, accuracy=ACCURACY)
    assert found.error == pytest.approx(0.001)
    assert found.misclosure == pytest.approx(0.4)
    assert found.limit == pytest.approx(ACCURACY * 400.0)


@pytest.mark.parametrize("d_far", [120.0, 60.0])
def test_pegs_in_the_wrong_order_are_refused(d_far: float) -> None:
    peg = PegTest(near_1=1, near_2=1, far_1=1, far_2=1, d_near=120.0, d_far=d_far)
    with pytest.raises(SurveyError, match=r"d_far.*must be greater than d_near"):
        peg_error(peg, accuracy=ACCURACY)


@pytest.mark.parametrize(("difference", "within"), [(0.25, True), (-0.25, True), (0.2501, False)])
def test_two_walls_are_judged_there_and_back(difference: float, within: bool) -> None:
    """The limit is twice the distance times the accuracy: 1/4 at 30 ft for 1/8 at 30 ft."""
    found = wall_error(WallTest(distance=360.0, difference=difference), accuracy=ACCURACY)
    assert found.limit == pytest.approx(0.25)
    assert found.within is within
    assert found.error == pytest.approx(difference / 720.0)


def test_peg_test_goes_before_the_walls() -> None:
    assert judge_laser(Laser()) is None
    wall = judge_laser(Laser(wall_test=WALL))
    both = judge_laser(Laser(wall_test=WALL, peg_test=PEG))
    assert wall is not None
    assert both is not None
    assert (wall.test, both.test) == ("wall", "peg")


def test_down_and_up_are_corrected_opposite_ways() -> None:
    reading, sign = np.array([50.0, 50.0, 50.0]), np.array([-1, 1, -1])
    found = corrected(reading, sign, np.array([100.0, 100.0, np.nan]), error=0.001)
    assert found.tolist() == pytest.approx([49.9, 50.1, 50.0])


def said(notes: tuple[Note, ...]) -> dict[str, str]:
    return {note.code: note.said(lambda x: f"{x:.3f}") for note in notes}


def test_notes_say_what_the_slope_is_good_for() -> None:
    plain = said(laser_notes(None, accuracy=ACCURACY, corrected_rows=0, rows=4, unit="in"))
    assert list(plain) == ["slope-accuracy"]
    assert "0.125 at 360.000" in plain["slope-accuracy"]
    metric = said(laser_notes(None, accuracy=0.0003, corrected_rows=0, rows=4, unit="mm"))
    assert "0.118 at 393.701" in metric["slope-accuracy"]


def test_notes_of_a_laser_within_and_out_of_its_accuracy() -> None:
    within = wall_error(WALL, accuracy=ACCURACY)
    out = peg_error(PEG, accuracy=ACCURACY)
    notes = laser_notes(within, accuracy=ACCURACY, corrected_rows=4, rows=4, unit="in")
    assert list(said(notes)) == ["laser-within", "beam-corrected"]
    assert "falls 0.100 at 360.000, within" in said(notes)["laser-within"]
    notes = laser_notes(out, accuracy=ACCURACY, corrected_rows=3, rows=4, unit="in")
    assert [note.code for note in notes if note.level == "doubt"] == ["laser-out"]
    assert "rises 0.360 at 360.000, more than" in said(notes)["laser-out"]
    assert said(notes)["beam-corrected"].startswith("3 of 4 rows")
