"""Walls measured from the slab plate that is fixed: what wins, what no longer counts."""

from __future__ import annotations

from types import MappingProxyType

import pytest

from second_surveys import PLATE, clear_at, house_of, levelled, on_plate, slab_at
from survey.job import Door, Job, PlateBoard, Travel, WallLine, with_options
from survey.wall.wall_plan import WallPlan

BOTH = [*levelled(), *on_plate()]


def wall_of(rows: list[dict[str, object]], job: Job | None = None) -> WallPlan:
    (wall,) = house_of(rows, job).walls
    return wall


def test_the_plate_wins_over_the_slab() -> None:
    wall = wall_of(BOTH)
    assert wall.surface == "plate"
    at_64 = float(wall.slab.height(64.0))
    assert at_64 == pytest.approx(slab_at(64.0) + PLATE - min(map(slab_at, range(145))), abs=0.05)


def test_nothing_stands_on_it() -> None:
    plate = wall_of(BOTH).plate
    assert (plate.count, plate.thickness, plate.seal) == (0, 0.0, 0.0)
    assert not plate.height.any()
    assert plate.pieces == ()


def test_thickness_and_seal_of_the_job_no_longer_count() -> None:
    thick = Job(plate=PlateBoard(thickness=2.0, seal=0.25, count="auto"))
    first, second = wall_of(BOTH, thick), wall_of(BOTH)
    assert first.frame.stud == second.frame.stud
    assert [choice.slab_plates for choice in first.choices] == [0, 0]


def test_the_stack_and_the_tape_start_at_the_plate() -> None:
    wall = wall_of(BOTH)
    spot = wall.tape_first[0]
    assert spot.on == "plate"
    assert spot.parts[0].part == "float gap"
    assert spot.clear == pytest.approx(clear_at(spot.station) - PLATE, abs=0.1)
    stud = wall.studs[3]
    assert sum(part.thickness for part in stud.stack) == pytest.approx(stud.joist - stud.slab)


def test_the_allowance_is_a_sixteenth_unless_given() -> None:
    assert wall_of(BOTH).gap.required == 1.5 + 1 / 16
    assert wall_of(levelled()).gap.required == 1.5 + 1 / 8
    by_option = with_options(Job(), {"float.allowance": 0.125})
    assert wall_of(BOTH, by_option).gap.required == 1.5 + 1 / 8
    by_job = Job(given=MappingProxyType({"float.allowance": "job"}))
    assert wall_of(BOTH, by_job).gap.required == 1.5 + 1 / 8
    own = MappingProxyType({"float": MappingProxyType({"allowance": 0.25})})
    by_wall = Job(walls=(WallLine(name="North", overrides=own),))
    assert wall_of(BOTH, by_wall).gap.required == 1.75


def test_each_spot_is_held_against_the_slab() -> None:
    notes = [n for n in wall_of(BOTH).notes if n.code == "plate-against-slab"]
    assert len(notes) == 10
    assert {note.level for note in notes} == {"note"}
    assert max(note.lengths[1] for note in notes) < 0.1  # the plate bridges, these readings do not
    assert all(0.05 < note.lengths[2] < 0.15 for note in notes)


def test_a_plate_that_lies_elsewhere_is_a_doubt() -> None:
    notes = wall_of([*levelled(), *on_plate(high=0.5)]).notes
    against = [note for note in notes if note.code == "plate-against-slab"]
    assert {note.level for note in against} == {"doubt"}
    assert all("over where" in note.text for note in against)
    assert all(note.lengths[1] == pytest.approx(0.5, abs=0.1) for note in against)


def test_an_open_count_is_told_from_the_readings() -> None:
    two = [*levelled(), *on_plate(high=PLATE)]
    notes = wall_of(two, Job(plate=PlateBoard(count="auto"))).notes
    assert {n.level for n in notes if n.code == "plate-against-slab"} == {"note"}


def test_a_plate_alone_is_enough() -> None:
    rows = [{k: v for k, v in row.items() if k != "down"} for row in levelled()]
    wall = wall_of([*rows, *on_plate()])
    assert wall.surface == "plate"
    assert not [note for note in wall.notes if note.code == "plate-against-slab"]
    assert [note.text for note in wall.notes if note.code == "from-plate"]


def test_doors_stand_on_the_slab_not_on_the_plate() -> None:
    line = WallLine(name="North", length=144.0, door=(Door(at=72.0, width=34.0),))
    up_only = [{k: v for k, v in row.items() if k != "down"} for row in levelled()]
    heads = []
    for rows in (levelled(), BOTH, [*up_only, *on_plate()]):
        wall = wall_of(rows, Job(walls=(line,)))
        trimmer = next(stud for stud in wall.studs if stud.kind == "trimmer")
        foot = wall.bottom + wall.frame.plate_thickness
        heads.append(wall.top.elevation - foot - trimmer.length)
    assert heads == pytest.approx(heads[:1] * 3, abs=1 / 8)


def test_the_slabs_fall_across_the_wall_still_lifts_its_edge() -> None:
    line = WallLine(name="North", cross_fall=0.01, read_offset=6.0)
    assert wall_of(BOTH, Job(walls=(line,))).plate.cross_fall == pytest.approx(0.01 * 1.75)


def test_a_plate_is_not_ground() -> None:
    """A wall that fails for its widest gap would be ground for, were it measured from the slab."""
    narrow = Job(travel=Travel(widest=1.65))
    assert wall_of(levelled(), narrow).grind
    of_plate = wall_of(BOTH, narrow)
    assert not of_plate.verdict.passes
    assert of_plate.grind == ()


def test_the_model_is_that_of_the_bare_slab() -> None:
    """A plate bridges what the slab does, so it may not say how rough the slab is."""
    with_plate, without = house_of(BOTH).profile.model, house_of(levelled()).profile.model
    assert with_plate.mean_sill_sd == pytest.approx(without.mean_sill_sd)
    assert with_plate.mean_range == pytest.approx(without.mean_range)
