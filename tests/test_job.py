"""Settings settled for one wall, and where each value came from."""

from __future__ import annotations

import dataclasses
from types import MappingProxyType
from typing import Any

import pytest

import survey.job
from survey import settings, standards
from survey.errors import SurveyError
from survey.job import (
    Frame,
    Job,
    JobInfo,
    Lumber,
    PlateBoard,
    Section,
    Travel,
    Unit,
    WallLine,
    assumed,
    find_section,
    find_wall,
    resolve,
    settings_of,
    wall_length,
    with_metric_defaults,
    with_options,
)

MM = 1 / 25.4


def wall_with(name: str, **tables: dict[str, Any]) -> WallLine:
    return WallLine(
        name=name,
        overrides=MappingProxyType({key: MappingProxyType(own) for key, own in tables.items()}),
    )


def test_default_gives_way_to_job_to_wall_to_option() -> None:
    walls = (wall_with("North", float={"rise": 3.0}), WallLine(name="South"))
    job = Job(travel=Travel(rise=2.0), walls=walls)
    assert resolve(Job(), "North").travel.rise == 1.5
    assert resolve(job, "South").travel.rise == 2.0
    assert resolve(job, "North").travel.rise == 3.0
    changed = with_options(job, {"float.rise": 4.0})
    assert resolve(changed, "North").travel.rise == 4.0
    assert resolve(changed, "South").travel.rise == 4.0
    assert resolve(changed, "North").travel.drop == 1.0


def test_options_reach_tables_no_wall_has() -> None:
    options = {"slab_plate.count": 2, "slab.tolerance": 0.5, "job.round": 0.125, "laser.reading": 1}
    changed = with_options(Job(), options)
    settled = resolve(changed, "any")
    assert (settled.plate.count, settled.slab.tolerance, settled.round) == (2, 0.5, 0.125)
    assert changed.laser.reading == 1


def test_options_add_up_and_the_later_one_wins() -> None:
    changed = with_options(
        with_options(Job(), {"float.rise": 2.0, "float.drop": 2.0}), {"float.rise": 3}
    )
    assert (changed.travel.rise, changed.travel.drop) == (3, 2.0)
    assert resolve(changed, "x").travel == changed.travel


def test_left_out_rows_add_to_those_of_the_job() -> None:
    job = Job(info=JobInfo(leave_out=("17",)))
    changed = with_options(job, {"job.leave_out": ("18:down",)})
    assert changed.info.leave_out == ("17", "18:down")
    assert "job.leave_out" not in changed.options
    assert changed.given["job.leave_out"] == "option"


def test_the_job_itself_is_not_changed() -> None:
    job = Job()
    with_options(job, {"float.rise": 9.0})
    assert job == Job()


@pytest.mark.parametrize(
    ("key", "nearest"),
    [("float.rize", "float.rise"), ("rise", "float.rise"), ("slabs.tubes", "slab.tubes")],
)
def test_an_option_nobody_knows_is_refused_with_the_nearest(key: str, nearest: str) -> None:
    with pytest.raises(SurveyError, match=f'"{key}"; the nearest is "{nearest}"'):
        with_options(Job(), {key: 1.0})


def test_a_unit_option_against_the_job_file_is_refused() -> None:
    job = Job(info=JobInfo(unit="in"), given={"job.unit": "job"})
    with pytest.raises(SurveyError, match='--unit mm differs from unit = "in"'):
        with_options(job, {"job.unit": "mm"})
    assert with_options(job, {"job.unit": "in"}).info.unit == "in"
    assert with_options(Job(), {"job.unit": "mm"}).info.unit == "mm"


def test_a_wall_only_in_the_readings_is_plain() -> None:
    assert find_wall(Job(), "  East ") == WallLine(name="East")
    assert resolve(Job(), " East ").line == WallLine(name="East")


def test_wall_names_compare_trimmed_and_caselessly() -> None:
    job = Job(walls=(WallLine(name=" Straße ", length=99.0),))
    assert find_wall(job, "STRASSE").length == 99.0
    assert find_wall(job, "Stra").length is None


@pytest.mark.parametrize("unit", ["mm", "cm", "m"])
def test_a_metric_job_has_defaults_of_its_own(unit: Unit) -> None:
    job = Job(info=JobInfo(unit=unit))
    settled = with_metric_defaults(job)
    assert settled.info.round == pytest.approx(MM, abs=0)
    assert settled.frame.precut == ()
    assert settled.lumber.stock == pytest.approx([2400 * MM, 3000 * MM, 3600 * MM, 4800 * MM])
    assert resolve(job, "x").round == settled.info.round
    assert resolve(job, "x").frame.precut == ()
    assert with_metric_defaults(settled) == settled


def test_what_was_given_stays_in_a_metric_job() -> None:
    info = JobInfo(unit="mm", round=5 * MM)
    job = Job(info=info, frame=Frame(precut=(90.0,)), lumber=Lumber(stock=(100.0,)))
    assert with_metric_defaults(job) == job
    job = Job(info=JobInfo(unit="mm"), given={"frame.precut": "job", "lumber.stock": "job"})
    assert with_metric_defaults(job).frame.precut == standards.PRECUT_STUDS.values
    assert with_metric_defaults(job).lumber.stock == Lumber().stock


def test_a_wall_may_give_precut_lengths_in_a_metric_job() -> None:
    walls = (wall_with("N", frame={"precut": (95.0,)}),)
    job = Job(info=JobInfo(unit="mm"), walls=walls)
    assert resolve(job, "N").frame.precut == (95.0,)


def test_the_unit_option_brings_the_metric_defaults() -> None:
    assert with_options(Job(), {"job.unit": "mm"}).frame.precut == ()
    assert with_options(Job(), {"job.unit": "ft"}).frame.precut == Frame().precut


def test_sections_have_their_dressed_size_or_what_was_measured() -> None:
    job = Job(frame=Frame(stud="2x6"), plate=PlateBoard(size="2x4", thickness=1.4375))
    settled = resolve(job, "x")
    assert (settled.stud.thickness, settled.stud.width) == (1.5, 5.5)
    assert (settled.slab_board.thickness, settled.slab_board.width) == (1.4375, 3.5)
    measured = resolve(Job(frame=Frame(thickness=1.6, width=3.4)), "x").stud
    assert (measured.thickness, measured.width) == (1.6, 3.4)


def test_measured_studs_of_the_job_say_nothing_of_a_wall_with_others() -> None:
    walls = (
        wall_with("Wet", frame={"stud": "2x6"}),
        wall_with("Own", frame={"stud": "2x6", "width": 5.4}),
    )
    job = Job(frame=Frame(thickness=1.4, width=3.4), walls=walls)
    assert resolve(job, "Wet").stud == find_section(job, "2x6")
    assert resolve(job, "Own").stud.width == 5.4


def test_own_sections_are_found_and_win() -> None:
    sections = (
        Section(name="38x89", thickness=1.5, width=3.5),
        Section(name="2X4", thickness=1.4, width=3.4),
    )
    job = Job(sections=sections)
    assert find_section(job, " 38 X 89 ").width == 3.5
    assert find_section(job, "2×4").width == 3.4


def test_an_unknown_section_names_those_there_are() -> None:
    job = Job(frame=Frame(stud="2x5"), sections=(Section(name="38x89", thickness=1.5, width=3.5),))
    with pytest.raises(SurveyError, match=r'"2x5"; known are 2x3, 2x4, 2x6, 38x89, or add'):
        resolve(job, "x")


def test_settings_say_where_each_value_came_from() -> None:
    walls = (wall_with("North", float={"rise": 3.0}),)
    job = Job(travel=Travel(drop=2.0), walls=walls, given={"float.drop": "job"})
    found = settings_of(with_options(job, {"frame.spacing": 24.0}))
    assert (found["float.rise"].value, found["float.rise"].origin) == (1.5, "default")
    assert (found["float.drop"].value, found["float.drop"].origin) == (2.0, "job")
    assert (found["frame.spacing"].value, found["frame.spacing"].origin) == (24.0, "option")
    assert (found["wall.North.float.rise"].value, found["wall.North.float.rise"].origin) == (
        3.0,
        "job",
    )
    assert "wall.North.float.rise" not in settings_of(with_options(job, {"float.rise": 2.0}))


def test_settings_cover_every_key_of_every_table() -> None:
    every = {
        f"{heading}.{attribute.name}"
        for heading, (_, record) in survey.job.TABLES.items()
        for attribute in dataclasses.fields(record)
    }
    assert set(settings_of(Job())) == every
    assert len(every) == 60
    metric = settings_of(Job(info=JobInfo(unit="mm")))
    assert metric["frame.precut"] == survey.job.Setting(value=(), origin="default")


def test_what_only_the_place_can_tell_is_assumed_until_given() -> None:
    assert assumed(Job()) == ("float.rise", "float.drop")
    assert assumed(Job(given={"float.rise": "job"})) == ("float.drop",)
    assert assumed(with_options(Job(), {"float.rise": 2.0, "float.drop": 1.0})) == ()


def test_a_key_every_wall_sets_for_itself_is_not_assumed() -> None:
    walls = (wall_with("A", float={"rise": 2.0}), wall_with("B", float={"rise": 2.0, "drop": 1.0}))
    job = Job(walls=walls)
    assert assumed(job, ["a", "b"]) == ("float.drop",)
    assert assumed(job, ["a", "b", "only read"]) == ("float.rise", "float.drop")


def test_length_of_a_wall_is_given_or_drawn() -> None:
    assert wall_length(WallLine(name="a", start=(0.0, 0.0), end=(30.0, 40.0))) == 50.0
    assert wall_length(WallLine(name="a", start=(0.0, 0.0), end=(3.0, 4.0), length=5.5)) == 5.5
    assert wall_length(WallLine(name="a", start=(0.0, 0.0))) is None


def test_every_record_can_be_had_from_the_job_module() -> None:
    records = {name for name, each in vars(settings).items() if dataclasses.is_dataclass(each)}
    assert len(records) > 15
    assert records <= set(survey.job.__all__)
