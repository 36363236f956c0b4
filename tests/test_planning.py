"""The plan of a wall as a whole: sums, invariance, verdicts, notes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from books import Row, book_of
from survey.errors import SurveyError
from survey.field.levelling import adjust
from survey.job import Door, Frame, Job, Laser, PlateBoard, Spikes, Travel, Trim, Under, WallLine
from survey.slab.profile import profile
from survey.wall.planning import HousePlan, plan
from survey.wall.wall_plan import WallPlan

STATIONS = np.arange(0.0, 193.0, 16.0)
SLAB = np.array([0, 2, 3, 3, 2, 1, 0, 0, 1, 2, 4, 5, 4]) / 16
JOIST = 99.5 + np.array([1, 0, 2, 1, 0, 3, 2, 1, 0, 1, 2, 1, 0]) / 16
JOB = Job(travel=Travel(rise=1.5, drop=1.0))


def _rows(*, shift: float = 0.0, name: str = "W", setup: str = "A") -> list[Row]:
    return [
        Row(name=name, station=s, down=52.0 - z + shift, up=j - 52.0 - shift, setup=setup)
        for s, z, j in zip(STATIONS, SLAB, JOIST, strict=True)
    ]


def _higher(row: Row, by: float) -> Row:
    """The row with the slab read higher by that much."""
    assert row.down is not None
    return replace(row, down=row.down - by)


def _plan(
    rows: list[Row], job: Job = JOB, marks: dict[str, float | None] | None = None
) -> HousePlan:
    return plan(profile(adjust(book_of(rows, marks), Laser()), job), job)


def _wall(job: Job = JOB) -> WallPlan:
    return _plan(_rows(), job).walls[0]


def _with_wall(**settings: object) -> Job:
    return replace(JOB, walls=(WallLine(name="W", **settings),))  # type: ignore[arg-type]


def test_an_uncut_precut_is_preferred_where_it_passes() -> None:
    wall = _wall()
    assert wall.precut
    assert wall.frame.stud == 92.625
    assert wall.verdict.passes
    assert wall.gap.assured_least >= 1.625
    assert wall.gap.assured_greatest <= wall.limits.span


def test_without_a_fitting_precut_the_longest_stud_on_the_ladder_is_cut() -> None:
    wall = _wall(replace(JOB, frame=Frame(precut=())))
    assert not wall.precut
    assert wall.frame.stud % (1 / 16) == 0.0
    assert 1.625 <= wall.gap.assured_least < 1.625 + 1 / 16
    assert wall.verdict.probability <= 0.05


def test_every_full_stud_has_a_stack_that_sums_to_the_clear_height() -> None:
    for stud in _wall().studs:
        total = sum(part.thickness for part in stud.stack)
        assert total == pytest.approx(stud.joist - stud.slab, abs=1e-9)
        assert stud.gap == pytest.approx(stud.bottom - stud.plate_top, abs=1e-9)


def test_tape_spots_add_up_as_printed() -> None:
    wall = _wall()
    assert len(wall.tape_first) == 3
    for spot in wall.tape_first:
        assert sum(part.thickness for part in spot.parts) == spot.clear
        assert spot.clear % (1 / 16) == 0.0
        assert spot.clear == pytest.approx(
            float(np.interp(spot.station, STATIONS, JOIST - SLAB)), abs=3 * spot.sd
        )


def test_gap_of_the_plan_is_the_gap_of_the_cut_stud() -> None:
    wall = _wall()
    assert wall.gap.least == pytest.approx(
        (wall.bottom - wall.slab.mean - wall.plate.height).min(), abs=0.02
    )


def test_the_beam_of_a_set_up_may_shift_and_nothing_changes() -> None:
    before, after = _plan(_rows()).walls[0], _plan(_rows(shift=3.25)).walls[0]
    assert after.frame.stud == before.frame.stud
    assert after.gap_line.gap == pytest.approx(before.gap_line.gap, abs=1e-9)


def test_the_order_of_the_rows_does_not_matter() -> None:
    before, after = _plan(_rows()).walls[0], _plan(_rows()[::-1]).walls[0]
    assert after.frame.stud == before.frame.stud
    assert after.gap_line.assured == pytest.approx(before.gap_line.assured, abs=1e-9)


def test_the_datum_does_not_matter() -> None:
    def planned(elevation: float) -> WallPlan:
        rows = [*_rows(), Row(name="M", down=20.0)]
        return _plan(rows, marks={"M": elevation}).walls[0]

    low, high = planned(0.0), planned(1000.0)
    assert high.frame.stud == low.frame.stud
    assert high.gap_line.gap == pytest.approx(low.gap_line.gap, abs=1e-7)
    assert high.slab.mean - low.slab.mean == pytest.approx(1000.0, abs=1e-7)


def test_a_plan_repeats_to_the_digit_and_ignores_other_walls() -> None:
    alone = _plan(_rows()).walls[0]
    again = _plan(_rows()).walls[0]
    assert np.array_equal(again.gap_line.assured, alone.gap_line.assured)
    names = [wall.name for wall in _plan(_rows() + _rows(name="V")).walls]
    assert names == ["W", "V"]


def test_a_gap_too_wide_for_the_spikes_is_an_answer_with_remedies() -> None:
    job = replace(JOB, spikes=Spikes(lengths=(5.0,)), travel=Travel(rise=1.0, drop=1.0))
    wall = _wall(job)
    assert not wall.verdict.passes
    assert wall.verdict.short_by > 0
    kinds = {remedy.kind: remedy for remedy in wall.verdict.remedies}
    longer = replace(job, spikes=Spikes(lengths=(kinds["spike"].amount,)))
    assert _wall(longer).verdict.passes
    shorter = replace(job, spikes=Spikes(lengths=(kinds["spike"].amount - 1.0,)))
    assert not _wall(shorter).verdict.passes


def test_the_widest_gap_asked_for_is_kept_or_said() -> None:
    narrow = replace(JOB, travel=Travel(rise=1.5, drop=1.0, widest=1.75))
    wall = _wall(narrow)
    assert not wall.verdict.passes
    (remedy,) = [r for r in wall.verdict.remedies if r.kind == "widest"]
    wide = replace(JOB, travel=Travel(rise=1.5, drop=1.0, widest=remedy.amount))
    assert _wall(wide).verdict.passes
    less = replace(JOB, travel=Travel(rise=1.5, drop=1.0, widest=remedy.amount - 1 / 16))
    assert not _wall(less).verdict.passes


def test_plates_set_to_auto_are_tried_both_ways() -> None:
    job = replace(JOB, frame=Frame(top_plates="auto"), plate=PlateBoard(count="auto"))
    wall = _wall(job)
    assert {(c.slab_plates, c.top_plates) for c in wall.choices} == {
        (1, 1), (1, 2), (2, 1), (2, 2),
    }  # fmt: skip
    assert [c.chosen for c in wall.choices].count(True) == 1


def test_packing_is_the_space_over_the_level_top() -> None:
    wall = _wall()
    assert not wall.top.shim_free
    for packing in wall.top.packing:
        joist = float(np.interp(packing.station, wall.joists.station, wall.joists.elevation))
        assert packing.thickness == pytest.approx(joist - wall.top.elevation)
        assert packing.thickness > wall.top.drawn_up


def test_a_joist_that_was_not_read_is_named_and_widens_the_doubt() -> None:
    rows = [replace(r, up=None) if r.station == 64.0 else r for r in _rows()]
    wall = _plan(rows).walls[0]
    (note,) = [n for n in wall.notes if n.code == "joist-not-read"]
    assert note.station == 64.0
    unread = wall.joists.station == 64.0
    assert not wall.joists.read[unread][0]
    assert wall.joists.sd[unread][0] > 0.125


def test_without_joists_the_wall_is_named_and_others_go_on() -> None:
    rows = [replace(r, up=None) for r in _rows(name="V")]
    house = _plan([*_rows(), *rows])
    assert [wall.name for wall in house.walls] == ["W"]
    assert [n.wall for n in house.notes if n.code == "joists-not-read"] == ["V"]


def test_an_assumed_joist_height_is_said_and_costs_gap() -> None:
    rows = [replace(r, up=None) for r in _rows()]
    job = replace(JOB, frame=Frame(joist_height=99.5, precut=()))
    wall = _plan(rows, job).walls[0]
    assert wall.joists.assumed
    assert any(n.code == "joists-assumed" for n in wall.notes)
    assert wall.frame.stud < _wall(replace(JOB, frame=Frame(precut=()))).frame.stud


def test_walls_along_joists_hang_from_blocking() -> None:
    wall = _wall(_with_wall(joists="along", blocking_drop=0.5))
    assert wall.joists.spacing == 16.0
    assert wall.joists.station.tolist() == STATIONS.tolist()
    assert wall.joists.elevation.mean() == pytest.approx(JOIST.mean() - 0.5, abs=0.1)


def test_a_beam_over_part_of_the_wall_lowers_the_top() -> None:
    job = _with_wall(under=(Under(from_=60.0, to=90.0, underside=90.0),))
    wall = _wall(job)
    assert wall.top.elevation == pytest.approx(90.0 + float(wall.slab.height(75.0)), abs=0.2)


def test_a_door_takes_its_opening_out_of_the_gap() -> None:
    hump = [_higher(r, 1.0) if r.station == 80.0 else r for r in _rows()]
    job = _with_wall(door=(Door(at=80.0, width=38.0, height=82.5),))
    with_door, without = _plan(hump, job).walls[0], _plan(hump).walls[0]
    assert with_door.frame.stud > without.frame.stud
    trimmer = next(s for s in with_door.studs if s.kind == "trimmer")
    floor = with_door.slab.mean[
        (with_door.slab.at.station >= 61) & (with_door.slab.at.station <= 99)
    ].max()
    head = trimmer.length + with_door.bottom + 1.5
    assert head == pytest.approx(floor + 82.5, abs=1 / 16)


def test_a_door_that_does_not_fit_is_said() -> None:
    job = _with_wall(door=(Door(at=80.0, width=38.0, height=97.5),))
    assert any(n.code == "door-too-high" for n in _wall(job).notes)


def test_cross_fall_and_seal_come_off_the_gap() -> None:
    plain = _wall()
    tilted = _wall(_with_wall(cross_fall=0.25 / 12.0, read_offset=6.0))
    assert tilted.plate.cross_fall == pytest.approx(0.25 / 12 * (1.75 + 6.0))
    sealed = _wall(replace(JOB, plate=PlateBoard(seal=0.25)))
    for wall in (tilted, sealed):
        assert wall.gap.least + wall.frame.stud < plain.gap.least + plain.frame.stud
        for stud in wall.studs:
            assert sum(p.thickness for p in stud.stack) == pytest.approx(stud.joist - stud.slab)


def test_walls_that_do_not_float_are_listed_outside_the_plan() -> None:
    house = _plan(_rows(), _with_wall(hang="none"))
    assert house.walls == ()
    assert [n.code for n in house.notes] == ["outside-plan"]


def test_a_wall_in_the_job_that_was_not_read_is_named() -> None:
    job = replace(JOB, walls=(WallLine(name="W"), WallLine(name="North")))
    assert [n.wall for n in _plan(_rows(), job).notes if n.code == "wall-not-read"] == ["North"]


def test_a_spot_whose_own_readings_leave_less_than_the_rise_is_named() -> None:
    rows = [_higher(r, 0.9) if r.station == 96.0 else r for r in _rows()]
    wall = plan(profile(adjust(book_of(rows), Laser(reading=1 / 4)), JOB), JOB).walls[0]
    assert [n.station for n in wall.notes if n.code == "reading-leaves-less"] == [96.0]


def test_a_slab_joint_lets_the_slab_step() -> None:
    rows = [
        *[r for r in _rows() if r.station != 96.0],
        Row(name="W", station=96.0, down=52.0, up=47.5, side=-1, flag="joint"),
        Row(name="W", station=96.0, down=51.25, side=1),
    ]
    rows = [_higher(r, 0.75) if r.station > 96 else r for r in rows]
    wall = _plan(rows).walls[0]
    assert wall.joints == (96.0,)
    left, right = wall.slab.mean[wall.slab.at.station == 96.0]
    assert right - left == pytest.approx(0.75, abs=0.12)


def test_one_reading_is_enough_for_an_answer() -> None:
    wall = _plan([Row(name="W", station=48.0, down=52.0, up=47.5)]).walls[0]
    assert any(n.code == "slope-assumed" for n in wall.notes)
    assert wall.frame.stud > 0


def test_no_slab_reading_at_all_is_an_error() -> None:
    with pytest.raises(SurveyError, match="no wall line has a slab reading"):
        _plan([Row(name="W", station=48.0, up=47.5)])


def test_hung_weight_is_the_sum_of_its_parts() -> None:
    wall = _wall(replace(JOB, trim=Trim(drywall=0.5)))
    lumber = (sum(s.length for s in wall.studs) + 2 * wall.length) * 35 / 1728 * 1.5 * 3.5
    board = 2 * 2.2 * wall.length * wall.frame.height / 144
    assert wall.hung_weight.per_foot == pytest.approx((lumber + board) / wall.length * 12)
    assert wall.hung_weight.per_joist == pytest.approx(wall.hung_weight.per_foot * 16 / 12)


def test_the_ground_slab_planned_again_passes_and_a_little_less_would_not() -> None:
    job = replace(JOB, frame=Frame(precut=()), travel=Travel(rise=1.5, drop=1.0, widest=2.25))
    hump = [_higher(r, 0.5) if r.station == 64.0 else r for r in _rows()]
    line = profile(adjust(book_of(hump), Laser()), job)
    wall = plan(line, job).walls[0]
    assert not wall.verdict.passes
    (remedy,) = [r for r in wall.verdict.remedies if r.kind == "grind"]
    assert remedy.passes
    assert remedy.amount == pytest.approx(max(spot.deepest for spot in wall.grind))
    assert remedy.gap_greatest <= 2.25
    for spot in wall.grind:
        assured = np.interp(spot.station, wall.slab.at.station, wall.planning)
        height = np.interp(spot.station, wall.slab.at.station, wall.plate.height)
        shortest = wall.top.elevation - height - wall.gap.required
        left = shortest - (wall.frame.height - wall.frame.stud) - assured + spot.depth
        assert left.min() == pytest.approx(left.max(), abs=1e-9)
