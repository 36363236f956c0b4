"""Doubts about a planned wall: a beam or duct that the whole level top comes down to."""

from __future__ import annotations

import pytest

from small_houses import house_of, rows_of
from survey.errors import Note
from survey.job import Under, WallLine


def beam_notes(*under: Under, joist: float = 99.5) -> list[Note]:
    wall = WallLine(name="North", under=under)
    house = house_of(rows_of("North", [0.0] * 10, joist), walls=(wall,))
    return [note for note in house.walls[0].notes if note.code == "beam-lowers-top"]


def test_a_beam_far_below_the_joists_lowers_the_whole_top() -> None:
    (note,) = beam_notes(Under(from_=60.0, to=80.0, underside=84.0))
    assert note.level == "doubt"
    assert note.lengths == pytest.approx((60.0, 80.0, 15.5))
    assert "all along the wall" in note.text


def test_each_low_beam_is_named() -> None:
    low, lower = (
        Under(from_=20.0, to=30.0, underside=90.0),
        Under(from_=60.0, to=80.0, underside=84.0),
    )
    assert [round(note.lengths[2], 2) for note in beam_notes(low, lower)] == [9.5, 15.5]


def test_a_beam_among_the_joists_is_no_doubt() -> None:
    assert not beam_notes(Under(from_=60.0, to=80.0, underside=98.5))
    assert not beam_notes()
