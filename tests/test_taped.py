"""Tapes against the plan: those that agree join, one that does not stops the saw."""

from __future__ import annotations

import numpy as np
import pytest

from second_surveys import (
    PLATE,
    STATIONS,
    clear_at,
    floor_of,
    house_of,
    levelled,
    on_plate,
    taped,
)
from survey.errors import Note
from survey.job import Frame, Job, PlateBoard, Under, WallLine, resolve
from survey.wall.taped import TAPE_DIFFERS, join_agreeing
from survey.wall.wall_plan import WallPlan


def wall_of(rows: list[dict[str, object]], job: Job | None = None) -> WallPlan:
    (wall,) = house_of(rows, job).walls
    return wall


def codes(wall: WallPlan) -> list[str]:
    return [note.code for note in wall.notes]


def test_tapes_that_agree_join_the_readings_and_make_surer() -> None:
    before = wall_of(levelled())
    after = wall_of([*levelled(), *taped(0.0, 64.0, 144.0)])
    assert codes(after).count("tape-joined") == 1
    assert TAPE_DIFFERS not in codes(after)
    assert not after.held
    grid = after.slab.at.station
    sd = after.slab.sd[grid == 64.0][0]
    assert sd < before.slab.sd[before.slab.at.station == 64.0][0]


def test_a_tape_that_differs_stops_the_saw_and_does_not_join() -> None:
    wall = wall_of([*levelled(), *taped(64.0, off=0.75)])
    (note,) = [note for note in wall.notes if note.code == TAPE_DIFFERS]
    assert (note.level, note.station) == ("stop", 64.0)
    assert note.text.startswith("do not cut")
    assert note.lengths[1] - note.lengths[2] == pytest.approx(0.75, abs=0.1)
    assert wall.held
    assert wall.verdict.passes
    untouched = wall_of(levelled())
    assert np.array_equal(wall.slab.mean, untouched.slab.mean)


def test_one_bad_tape_does_not_keep_the_others_out() -> None:
    wall = wall_of([*levelled(), *taped(0.0, 144.0), *taped(64.0, off=-0.75)])
    (joined,) = [note for note in wall.notes if note.code == "tape-joined"]
    assert joined.lengths[:2] == (0.0, 144.0)
    assert codes(wall).count(TAPE_DIFFERS) == 1


def test_a_tape_off_the_plate_is_compared_over_the_plate() -> None:
    rows = [*levelled(), *taped(64.0, off=-PLATE, on_plate=True)]
    assert "tape-joined" in codes(wall_of(rows))
    assert TAPE_DIFFERS in codes(wall_of([*levelled(), *taped(64.0, off=-PLATE)]))
    two = Job(plate=PlateBoard(count=2))
    assert TAPE_DIFFERS in codes(wall_of(rows, two))


def test_from_a_fixed_plate_only_tapes_off_the_plate_count() -> None:
    both = [*levelled(), *on_plate()]
    wall = wall_of([*both, *taped(64.0), *taped(96.0, off=-PLATE, on_plate=True)])
    (left,) = [note for note in wall.notes if note.code == "tape-off-slab"]
    assert (left.level, left.lengths) == ("doubt", (64.0,))
    (joined,) = [note for note in wall.notes if note.code == "tape-joined"]
    assert joined.lengths[0] == 96.0


def test_tapes_tell_joists_that_were_not_read_at_all() -> None:
    house = house_of([*levelled(up=False), *taped(*STATIONS)])
    (wall,) = house.walls
    assert "joists-taped" in codes(wall)
    built = wall.joists.elevation - wall.slab.height(wall.joists.station)
    assert built == pytest.approx([clear_at(x) for x in STATIONS], abs=0.05)
    assert wall.joists.sd == pytest.approx(np.hypot(wall.slab.sd[0], 1 / 16), abs=0.03)


def test_a_tape_tells_a_joist_that_stood_unread_between() -> None:
    rows = [
        {k: v for k, v in row.items() if k != "up" or row["station"] not in (64.0, 80.0)}
        for row in levelled()
    ]
    before, after = wall_of(rows), wall_of([*rows, *taped(64.0, 80.0)])
    assert "joist-not-read" in codes(before)
    assert "joist-not-read" not in codes(after)


def test_without_tapes_nothing_is_said_of_them() -> None:
    floor = floor_of(levelled())
    found = join_agreeing(floor.lines[0], floor.model, resolve(Job(), "North"))
    assert found.notes == ()
    assert found.line is floor.lines[0]


def test_tape_only_gives_one_length_under_a_tight_top() -> None:
    wall = wall_of(taped(*STATIONS))
    assert wall.tape_only
    assert (wall.top.line, wall.top.elevation, wall.top.packing) == ("tight", 0.0, ())
    assert wall.choices[0].bottom == "one length"
    assert [note.level for note in wall.notes if note.code == "tape-only"] == ["doubt"]
    assert wall.grind == ()
    clear = -np.array([wall.slab.height(x) for x in STATIONS])
    assert clear == pytest.approx([clear_at(x) for x in STATIONS], abs=0.05)


def test_tape_only_stacks_end_at_the_joist() -> None:
    wall = wall_of(taped(*STATIONS))
    for stud in wall.studs:
        assert sum(part.thickness for part in stud.stack) == pytest.approx(stud.joist - stud.slab)
        space = stud.stack[-1]
        assert space.part == "space to joist"
        assert abs(space.thickness) < 0.02


def test_tape_only_knows_no_more_of_the_gap_than_its_tapes() -> None:
    rough, fine = (wall_of(taped(*STATIONS, sd=sd)) for sd in (1 / 8, 1 / 64))
    assert fine.slab.sd.max() < rough.slab.sd.max()
    assert fine.frame.stud >= rough.frame.stud


def test_tape_only_off_the_plate() -> None:
    wall = wall_of(taped(*STATIONS, off=-PLATE, on_plate=True))
    assert (wall.surface, wall.tape_only, wall.plate.count) == ("plate", True, 0)
    assert wall.gap.required == 1.5 + 1 / 16
    assert wall.tape_first[0].on == "plate"


def test_one_tape_is_a_wall_with_doubts() -> None:
    wall = wall_of(taped(48.0))
    assert wall.tape_only
    assert "slope-assumed" in codes(wall)


def test_tape_only_beside_levelled_walls() -> None:
    house = house_of([*levelled(), *taped(*STATIONS, name="Hall")])
    assert [(wall.name, wall.tape_only) for wall in house.walls] == [
        ("North", False),
        ("Hall", True),
    ]
    alone = house_of(levelled())
    assert house.profile.model.mean_sill_sd == pytest.approx(alone.profile.model.mean_sill_sd)


def test_a_beam_over_a_taped_wall_is_not_planned() -> None:
    beam = Under(from_=60.0, to=70.0, underside=84.0)
    house = house_of(taped(*STATIONS), Job(walls=(WallLine(name="North", under=(beam,)),)))
    assert house.walls == ()
    assert [(n.code, n.level) for n in house.notes if isinstance(n, Note)] == [
        ("beam-over-tape", "stop")
    ]


def test_tight_is_what_a_taped_wall_is_planned_for() -> None:
    job = Job(frame=Frame(top="tight", bottom="one length"))
    assert "line-not-computed" not in codes(wall_of(taped(*STATIONS), job))


def test_joists_along_a_taped_wall_hang_it_from_blocking() -> None:
    line = WallLine(name="North", joists="along", blocking_drop=1.0)
    wall = wall_of(taped(*STATIONS), Job(walls=(line,)))
    plain = wall_of(taped(*STATIONS))
    assert wall.frame.stud == pytest.approx(plain.frame.stud - 1.0, abs=1 / 8)


def test_a_plan_with_tapes_repeats_to_the_digit() -> None:
    rows = [*levelled(), *taped(0.0, 64.0)]
    first, second = wall_of(rows), wall_of(rows)
    assert np.array_equal(first.gap_line.assured, second.gap_line.assured)
