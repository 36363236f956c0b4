"""What is said of spikes that are too short, too thin, too close to something, or badly drilled."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from plans import wavy_house
from survey.errors import Note
from survey.job import PlateBoard, Spikes, Travel
from survey.wall.wall_plan import WallPlan


def _wall(asked: Spikes, **tables: Any) -> WallPlan:
    return wavy_house("W", 160.0, spikes=asked, **tables).walls[0]


def _note(wall: WallPlan, code: str) -> Note:
    (found,) = [note for note in wall.notes if note.code == code]
    assert found.wall == "W"
    return found


def _said(note: Note) -> str:
    return note.said(lambda x: f"{x:.4g}")


def test_a_spike_that_leaves_too_little_stops_the_work() -> None:
    wall = _wall(Spikes(lengths=(6.0,)), travel=Travel(rise=3.0, drop=1.0))
    note = _note(wall, "spike-too-short")
    short = [spike for spike in wall.spikes if spike.drop < 1.0]
    assert note.level == "stop"
    assert note.lengths[0] == 6.0
    assert note.lengths[2] == min(spike.drop for spike in short) == 0.0
    assert note.lengths[4:] == tuple(spike.station for spike in short)
    assert "leaves 0 of drop where 1 is asked for" in _said(note)
    assert not wall.verdict.passes


def test_longer_spikes_cure_it() -> None:
    wall = _wall(Spikes(lengths=(6.0, 10.0)), travel=Travel(rise=3.0, drop=1.0))
    assert not [note for note in wall.notes if note.code == "spike-too-short"]


def test_a_plate_thinner_than_the_grip_is_said() -> None:
    note = _note(_wall(Spikes(grip=2.0)), "plate-too-thin-to-grip")
    assert note.lengths == (2.0, 1.5)
    both = _wall(Spikes(grip=2.0), plate=PlateBoard(count=2))
    assert "plate-too-thin-to-grip" not in {note.code for note in both.notes}


def test_no_room_between_studs_is_said() -> None:
    house = wavy_house("W", 160.0, doors=(20.0,))
    assert _note(house.walls[0], "no-room-for-a-spike").lengths == (0.0, 3.0)


def test_a_row_with_holes_in_it_is_said() -> None:
    found = [n for n in _wall(Spikes(spacing=3.0)).notes if n.code == "spikes-far-apart"]
    assert found
    assert all(note.lengths[1] - note.lengths[0] > 3.0 for note in found)


@pytest.mark.parametrize(
    ("asked", "code", "words"),
    [
        (
            Spikes(lengths=(8.0,), hole=0.625),
            "hole-does-not-suit",
            'a slip hole of 5/8" for a shank of 3/8": 7/16" to 1/2"',
        ),
        (
            Spikes(lengths=(8.0,), pilot=0.125),
            "pilot-does-not-suit",
            'a pilot hole of 1/8" for a shank of 3/8": 9/32" to 11/32"',
        ),
        (Spikes(lengths=(8.0,), hole=0.6875), "head-needs-a-washer", "put a washer under it"),
    ],
)
def test_holes_that_do_not_suit_are_said(asked: Spikes, code: str, words: str) -> None:
    assert words in _said(_note(_wall(asked), code))


def test_holes_left_to_the_program_suit() -> None:
    codes = {note.code for note in _wall(Spikes(lengths=(6.0, 8.0, 10.0))).notes}
    assert not codes & {"hole-does-not-suit", "pilot-does-not-suit", "head-needs-a-washer"}


def test_spikes_that_lean_too_much_are_cured_by_either_way_said() -> None:
    thin = Spikes(lengths=(6.0,), spacing=48.0)
    travel = Travel(rise=1.5, drop=0.5)
    wall = _wall(thin, travel=travel)
    note = _note(wall, "spikes-bend")
    assert "an engineer decides" in note.text
    assert "from memory" in note.text
    closer = _wall(replace(thin, spacing=note.lengths[1]), travel=travel)
    assert max(spike.share for spike in closer.spikes) <= 0.6 + 1e-6
    over = max(spike.share for spike in wall.spikes) / 0.6
    thicker = _wall(replace(thin, shank=0.263 * over ** (1 / 3)), travel=travel)
    assert "spikes-bend" not in {note.code for note in thicker.notes}


def test_an_anchor_under_a_spike_is_said() -> None:
    house = wavy_house("W", 20.0, plate=PlateBoard(anchor_spacing=3.0))
    note = _note(house.walls[0], "spike-meets-anchor")
    assert note.lengths == tuple(s.station for s in house.walls[0].spikes if s.clash)
