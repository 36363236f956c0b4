"""Standing sections up: room, weight, and what they would hit."""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plans import SAMPLES, sample
from small_houses import house_of, rows_of
from survey.job import Door, Frame, Obstacle, WallLine
from survey.wall.standing import WallSection, beside, swing_reach, tilt_diagonal
from survey.wall.wall_plan import WallPlan

FLAT = [0.0] * 11
LINE = WallLine(name="W", start=(0.0, 100.0), end=(160.0, 100.0))


def _wall(*obstacles: Obstacle, line: WallLine = LINE, frame: Frame | None = None) -> WallPlan:
    return house_of(
        rows_of("W", FLAT),
        walls=(line,),
        obstacles=obstacles,
        frame=Frame(top_plates=1) if frame is None else frame,
    ).walls[0]


def _first(*obstacles: Obstacle, **more: WallLine) -> WallSection:
    return _wall(*obstacles, **more).sections[0]  # type: ignore[arg-type]


@pytest.mark.parametrize("name", SAMPLES)
def test_sections_cover_the_wall_and_meet_at_studs_clear_of_doors(name: str) -> None:
    for wall in sample(name).walls:
        sections = wall.sections
        assert (sections[0].start, sections[-1].end) == (0.0, wall.length)
        regular = {stud.station for stud in wall.studs if stud.kind == "stud"}
        for section, following in pairwise(sections):
            assert section.end == following.start
            assert section.end in regular
            assert not any(o.start < section.end < o.end for o in wall.layout.openings)
        assert max(s.end - s.start for s in sections) <= wall.settings.frame.section + 1e-6


@pytest.mark.parametrize("name", SAMPLES)
def test_a_floating_frame_goes_up_on_its_slab_plate_with_the_gap_to_spare(name: str) -> None:
    for wall in sample(name).walls:
        for section in wall.sections:
            spare = section.room_plate - section.diagonal
            assert spare >= wall.gap.assured_least - section.extra - 0.15
            assert section.room_slab > section.room_plate
            if not section.hits:
                assert section.goes_up
                assert section.foot == "slab plate"


def test_under_level_joists_blocks_as_thick_as_the_gap_leave_no_room_to_tilt() -> None:
    wall = _wall()
    for section in wall.sections:
        assert section.blocks == pytest.approx(wall.gap.least - section.extra, abs=0.05)
        assert section.blocks < wall.gap.least


def test_weight_is_that_of_its_lumber() -> None:
    wall = _wall()
    (first, second) = wall.sections
    boards = [s.length for s in wall.studs if s.station <= first.end]
    assert first.weight == pytest.approx(
        35 / 1728 * 1.5 * 3.5 * (sum(boards) + 2 * (first.end - first.start))
    )
    assert second.start == first.end


def test_a_door_in_a_section_adds_its_header() -> None:
    door = WallLine(name="W", length=160.0, door=(Door(at=60.0, width=32.0),))
    wall = _wall(line=door)
    section = next(s for s in wall.sections if s.start <= 44.0 <= 76.0 <= s.end)
    boards = [s.length for s in wall.studs if section.start <= s.station <= section.end]
    plates = 2 * (section.end - section.start)
    assert section.weight == pytest.approx(35 / 1728 * 5.25 * (sum(boards) + plates + 32.0))


def test_a_wall_built_in_place_is_not_stood_up() -> None:
    assert _wall(frame=Frame(build="in place")).sections == ()


@given(height=st.floats(60.0, 130.0), depth=st.floats(2.0, 6.0), underside=st.floats(1.0, 140.0))
def test_a_tilting_frame_touches_what_the_reach_says(
    height: float, depth: float, underside: float
) -> None:
    """Every corner of the frame on its way up, against the obstacle's own distance."""
    diagonal = tilt_diagonal(height, depth)
    reach = swing_reach(diagonal, underside)
    corner = hypot(height, depth)
    swept = [
        corner * cos(angle)
        for angle in (pi / 2 * i / 2000 for i in range(2001))
        if corner * sin(angle) >= underside
    ]
    assert max(swept, default=0.0) == pytest.approx(reach, abs=2.0)
    assert (reach == 0.0) == (underside >= diagonal)


def test_an_obstacle_on_one_side_is_dodged_by_framing_on_the_other() -> None:
    section = _first(Obstacle(name="Duct", at=(40.0, 110.0), underside=80.0))
    assert section.goes_up
    assert section.lay == ("right",)
    (hit,) = section.hits
    assert (hit.obstacle, hit.side, hit.distance) == ("Duct", "left", 10.0)
    foot = section.room_slab - section.room_plate
    assert hit.reach == pytest.approx(swing_reach(section.diagonal, 80.0 - foot))


def test_obstacles_on_both_sides_keep_it_down_by_the_nearer_miss() -> None:
    wall = _wall(
        Obstacle(name="Duct", at=(40.0, 110.0), underside=80.0),
        Obstacle(name="Pipe", at=(48.0, 70.0), underside=80.0),
    )
    first, second = wall.sections
    assert not first.goes_up
    reach = swing_reach(first.diagonal, 80.0)  # on the slab itself the foot is lowest
    assert first.foot == "slab"
    assert first.short_by == pytest.approx(reach - 30.0, abs=0.01)
    assert second.goes_up
    (note,) = [note for note in wall.notes if note.code == "does-not-go-up"]
    assert "Duct, Pipe" in note.text
    assert note.lengths == (first.start, first.end, first.short_by)


def test_an_obstacle_just_out_of_reach_is_no_hit() -> None:
    reach = _first(Obstacle(name="Duct", at=(40.0, 110.0), underside=80.0)).hits[0].reach
    near = Obstacle(name="Duct", at=(40.0, 100.0 + reach - 1 / 16), underside=80.0)
    far = Obstacle(name="Duct", at=(40.0, 100.0 + reach + 1 / 16), underside=80.0)
    assert _first(near).hits
    assert not _first(far).hits


def test_what_hangs_over_the_line_is_in_the_way_on_both_sides() -> None:
    section = _first(Obstacle(name="Beam", at=(40.0, 100.0), underside=80.0))
    assert {hit.side for hit in section.hits} == {"left", "right"}
    assert not section.goes_up


def test_what_stands_beyond_the_wall_is_not_in_the_way() -> None:
    section = _first(Obstacle(name="Duct", at=(-20.0, 110.0), underside=80.0))
    assert section.hits == ()


def test_a_wall_that_is_not_on_the_plan_says_that_its_swing_is_not_checked() -> None:
    wall = _wall(
        Obstacle(name="Duct", at=(40.0, 110.0), underside=80.0),
        line=WallLine(name="W", length=160.0),
    )
    assert [n.level for n in wall.notes if n.code == "swing-not-checked"] == ["doubt"]


@given(angle=st.floats(0.0, 2 * pi), x=st.floats(-99, 99), y=st.floats(-99, 99))
def test_turning_and_moving_the_plan_changes_nothing(angle: float, x: float, y: float) -> None:
    def turned(at: tuple[float, float]) -> tuple[float, float]:
        return (
            x + at[0] * cos(angle) - at[1] * sin(angle),
            y + at[0] * sin(angle) + at[1] * cos(angle),
        )

    line = WallLine(name="W", start=turned((0.0, 0.0)), end=turned((160.0, 0.0)))
    (near,) = beside(line, [Obstacle(name="Duct", at=turned((40.0, 12.0)), underside=80.0)])
    assert near.station == pytest.approx(40.0)
    assert near.distance == pytest.approx(12.0)
    assert near.sides == ("left",)


def test_a_section_no_stud_can_part_is_said() -> None:
    wall = _wall(frame=Frame(section=10.0))
    assert {n.code for n in wall.notes} >= {"section-too-long"}
