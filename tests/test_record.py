"""JSON: schema, units, nulls, and the sums a reader of it may rely on."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
import pytest
from jsonschema import Draft202012Validator

import schemas
from books import Row, book_of
from plans import SAMPLES, sample, wavy_book, wavy_house
from survey.field.leaveout import leave_out
from survey.field.levelling import adjust
from survey.job import Job, JobInfo, SlabFacts, Travel, with_options
from survey.sheets.record import dump, plan_record, slab_record, survey_record
from survey.sheets.record_head import plain
from survey.slab.judgement import judge
from survey.wall.planning import HousePlan

KINDS = ("survey", "slab", "plan")


def record_of(kind: str, house: HousePlan) -> Mapping[str, Any]:
    if kind == "survey":
        return survey_record(judge(house.profile.heights, house.job), house.job)
    return slab_record(house) if kind == "slab" else plan_record(house)


def numbers(value: Any) -> Iterator[float]:
    if isinstance(value, float):
        yield value
    elif isinstance(value, Mapping):
        for each in value.values():
            yield from numbers(each)
    elif isinstance(value, list):
        for each in value:
            yield from numbers(each)


@pytest.mark.parametrize("kind", KINDS)
def test_schema_files_are_in_step_with_the_types(kind: str) -> None:
    """Run tests/schemas.py to write them again."""
    path = schemas.FOLDER / f"{kind}.schema.json"
    assert path.read_text("utf-8") == schemas.schema_text(kind)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_has_the_keys_of_its_schema_and_no_others(name: str, kind: str) -> None:
    found = json.loads(dump(record_of(kind, sample(name))))
    published = json.loads((schemas.FOLDER / f"{kind}.schema.json").read_text("utf-8"))
    Draft202012Validator.check_schema(published)
    Draft202012Validator(published).validate(found)
    Draft202012Validator(schemas.make_schema(kind, closed=True)).validate(found)


@pytest.mark.parametrize("kind", KINDS)
def test_a_schema_refuses_what_does_not_fit(kind: str) -> None:
    found = json.loads(dump(record_of(kind, sample("one_wall.csv"))))
    check = Draft202012Validator(schemas.make_schema(kind))
    assert not check.is_valid({**found, "unit": "yard"})
    assert not check.is_valid({**found, "format": "floatwall/other"})
    assert not check.is_valid({key: found[key] for key in found if key != "settings"})


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", SAMPLES)
def test_numbers_are_finite_and_rounded_to_a_millionth(name: str, kind: str) -> None:
    found = list(numbers(record_of(kind, sample(name))))
    assert len(found) > 100
    assert np.isfinite(found).all()
    assert found == [plain(x) for x in found]


@pytest.mark.parametrize("name", SAMPLES)
def test_a_studs_stack_sums_to_joist_less_slab(name: str) -> None:
    record = plan_record(sample(name))
    studs = [stud for wall in record["walls"] for stud in wall["studs"]]
    assert studs
    for stud in studs:
        total = sum(part["thickness"] for part in stud["stack"])
        assert total == pytest.approx(stud["joist"] - stud["slab"], abs=1e-9)


@pytest.mark.parametrize("name", SAMPLES)
def test_gaps_are_those_the_rounded_stud_leaves(name: str) -> None:
    for wall in plan_record(sample(name))["walls"]:
        frame = wall["frame"]
        height = frame["stud"] + (frame["top_plates"] + 1) * frame["plate_thickness"]
        assert frame["height"] == pytest.approx(height, abs=3e-6)
        for stud in wall["studs"]:
            bottom = wall["top"]["elevation"] - height
            gap = bottom - stud["plate_top"] - wall["slab_plate"]["cross_fall"]
            assert stud["gap"] == pytest.approx(gap, abs=6e-6)
        line = wall["line"]
        gaps = [gap for gap in line["gap"] if gap is not None]
        assert wall["gap"]["least"] == min(gaps)
        assert wall["gap"]["greatest"] == max(gaps)


def test_the_wall_along_its_length_is_null_where_a_door_stands() -> None:
    house = sample("quarry_house")
    wall = next(w for w in plan_record(house)["walls"] if w["wall"] == "Hall")
    line, opening = wall["line"], house.walls[0].layout.openings[0]
    assert len({len(values) for values in line.values() if isinstance(values, list)}) == 1
    for station, gap, bottom in zip(line["station"], line["gap"], line["bottom"], strict=True):
        inside = opening.start < station < opening.end
        assert (gap is None) == (bottom is None) == inside
    codes = {note["code"] for note in plan_record(house)["notes"] if note["wall"] == "Hall"}
    assert "no-plate" in codes


def test_pieces_of_bottom_plate_lie_between_the_doors() -> None:
    record = plan_record(wavy_house("W", 320.0, doors=(100.0,)))
    pieces = record["walls"][0]["bottom"]["pieces"]
    assert [(p["from"], p["to"]) for p in pieces] == [(0.0, 83.0), (117.0, 320.0)]
    assert {p["from_elevation"] for p in pieces} == {record["walls"][0]["studs"][0]["bottom"]}


def test_settings_are_in_the_jobs_unit_and_say_where_they_came_from() -> None:
    record = plan_record(sample("metric_cellar"))
    settings = record["settings"]
    assert settings["float.rise"] == {"value": 40.0, "from": "job"}
    assert settings["spikes.lengths"]["value"] == [160.0, 200.0, 260.0]
    assert settings["float.confidence"] == {"value": 0.95, "from": "default"}
    assert settings["laser.accuracy"]["value"] == plain(sample("metric_cellar").job.laser.accuracy)
    assert record["surveyed"] == "2024-10-05"
    assert record["float"]["widest"] == 80.0


def test_a_walls_own_settings_are_listed_and_used() -> None:
    own = {"overrides": {"float": {"rise": 2.0}}}
    record = plan_record(wavy_house("Wall 1.5", 160.0, wall=own))
    assert record["settings"]["wall.Wall 1.5.float.rise"] == {"value": 2.0, "from": "job"}
    assert record["walls"][0]["float"]["rise"] == 2.0
    assert record["float"]["rise"] == 1.5
    assert "float.rise" not in record["assumed"]
    assert "float.drop" in record["assumed"]


def test_an_option_wins_and_says_so() -> None:
    job = with_options(Job(info=JobInfo(unit="mm")), {"float.rise": 2.0})
    record = survey_record(judge(adjust(wavy_book("W", 96.0), job.laser), job), job)
    assert record["settings"]["float.rise"] == {"value": 50.8, "from": "option"}


def test_a_float_nobody_gave_is_listed_as_assumed() -> None:
    assert plan_record(sample("one_wall.csv"))["assumed"][:2] == ["float.rise", "float.drop"]
    given = with_options(Job(), {"float.rise": 1.0, "float.drop": 1.0})
    record = survey_record(judge(adjust(wavy_book("W", 96.0), given.laser), given), given)
    assert not {"float.rise", "float.drop"} & set(record["assumed"])


def test_nothing_checked_is_null_with_a_note() -> None:
    record = record_of("survey", sample("one_wall.csv"))
    assert record["dof"] == 0
    assert record["sigma0"] is record["passed"] is None
    assert {spot["sd_scaled"] for spot in record["spots"]} == {None}
    assert "nothing-checked" in {note["code"] for note in record["notes"]}


def test_a_setup_with_every_reading_left_out_has_a_null_beam_and_a_note() -> None:
    rows = [Row(name="W", station=16.0 * i, down=50.0, up=48.0) for i in range(4)]
    book = leave_out(book_of([*rows, Row(name="W", station=0.0, down=40.0, setup="B")]), ["6"])
    record = survey_record(judge(adjust(book, Job().laser), Job()), Job())
    assert {s["setup"]: s["beam"] is None for s in record["setups"]} == {"A": False, "B": True}
    note = next(n for n in record["notes"] if n["code"] == "setup-without-readings")
    assert "B" in note["text"]
    assert record["left_out"] == ["6"]


def test_residuals_name_their_row_and_untested_ones_are_listed() -> None:
    record = record_of("survey", sample("quarry_house"))
    untested = [r for r in record["residuals"] if r["standardized"] is None]
    keys = ("file", "row", "wall", "station", "surface")
    assert [{key: r[key] for key in keys} for r in untested] == record["uncheckable"]
    assert sum(r["redundancy"] for r in record["residuals"]) == pytest.approx(
        record["dof"], abs=1e-3
    )
    assert {r["file"] for r in record["residuals"]} == {"readings.csv", "day2.csv"}


def test_marks_and_points_have_no_station() -> None:
    spots = record_of("survey", sample("quarry_house"))["spots"]
    alone = {s["surface"] for s in spots if s["station"] is None}
    along = {s["surface"] for s in spots if s["station"] is not None}
    assert alone == {"mark", "point"}
    assert along == {"slab", "joist"}


def test_the_band_lies_on_both_sides_of_the_slab() -> None:
    for wall in slab_record(sample("quarry_house"))["walls"]:
        mean, sd = np.array(wall["elevation"]), np.array(wall["sd"])
        assert wall["planning"] is not None
        assert wall["low"] is not None
        above, below = np.array(wall["planning"]) - mean, mean - np.array(wall["low"])
        # The mean of 2,000 draws is off by some sd / 45.
        np.testing.assert_allclose(above, below, atol=0.35 * sd.max())
        assert (above > sd).all()


def test_a_line_that_is_not_planned_has_its_slab_all_the_same() -> None:
    record = slab_record(wavy_house("W", 160.0, wall={"hang": "none"}))
    wall = record["walls"][0]
    assert wall["k"] is None
    assert wall["planning"] is None
    assert wall["low"] is None
    assert len(wall["elevation"]) == len(wall["stations"]) > 50
    assert "outside-plan" in {note["code"] for note in record["notes"]}


def test_what_must_be_asked_before_grinding_is_a_note() -> None:
    facts = SlabFacts(post_tension="no", tubes="no", membrane="no")
    asked = slab_record(wavy_house("W", 160.0))
    settled = slab_record(wavy_house("W", 160.0, slab=facts))
    assert [n["level"] for n in asked["notes"] if n["code"] == "ask-first"] == ["stop"]
    assert "ask-first" not in {n["code"] for n in settled["notes"]}


def test_a_wall_that_fails_says_what_would_help() -> None:
    travel = Travel(rise=1.5, drop=1.0, widest=1.8)
    verdict = plan_record(wavy_house("W", 320.0, travel=travel))["walls"][0]["verdict"]
    assert not verdict["passes"]
    assert verdict["short_by"] > 0
    assert {"widest", "grind"} <= {way["kind"] for way in verdict["remedies"]}


def test_lengths_are_said_in_the_jobs_unit_inside_notes() -> None:
    notes = plan_record(sample("metric_cellar"))["notes"]
    text = next(n["text"] for n in notes if n["code"] == "no-plate")
    assert text == "no plate and no gap from 2960 mm to 3840 mm: a door stands there"


def test_a_record_is_one_line_and_keeps_its_letters() -> None:
    house = wavy_house("Köller 壁", 96.0)
    text = dump(plan_record(house))
    assert text.endswith("}\n")
    assert text.count("\n") == 1
    assert "Köller 壁" in text


def test_a_number_that_is_not_finite_is_refused() -> None:
    with pytest.raises(ValueError, match="Out of range float values"):
        dump({"gap": float("nan")})


def test_printing_json_loads_no_heavy_library() -> None:
    check = (
        "import sys, survey.sheets.record; "
        "print([m for m in ('pydantic', 'pandas', 'matplotlib', 'rich') if m in sys.modules])"
    )
    found = subprocess.run(
        [sys.executable, "-c", check], capture_output=True, text=True, check=True
    )
    assert found.stdout.strip() == "[]"
