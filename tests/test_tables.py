"""CSV tables read back: nothing lost, nothing a spreadsheet would run or turn into a date."""

from __future__ import annotations

import csv
import io

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plans import SAMPLES, sample, wavy_book, wavy_house
from survey.field.leaveout import leave_out
from survey.field.levelling import adjust
from survey.job import Job, JobInfo, Travel
from survey.lengths import parse_length, to_unit
from survey.sheets.csv_table import RISKY, Pen, harmless, table
from survey.sheets.ruler import Ruler, ruler_for
from survey.sheets.tables import FILES, plan_tables, slab_tables, survey_tables
from survey.slab.judgement import judge
from survey.wall.planning import HousePlan


def all_tables(house: HousePlan) -> dict[str, bytes]:
    return {
        **survey_tables(judge(house.profile.heights, house.job), house.job),
        **slab_tables(house),
        **plan_tables(house),
    }


def rows_of(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_each_command_writes_the_files_it_said() -> None:
    house = sample("one_wall.csv")
    assert (
        tuple(survey_tables(judge(house.profile.heights, house.job), house.job)) == FILES["survey"]
    )
    assert tuple(slab_tables(house)) == FILES["slab"]
    assert tuple(plan_tables(house)) == FILES["plan"]
    names = [name for files in FILES.values() for name in files]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("name", SAMPLES)
def test_files_open_in_a_spreadsheet(name: str) -> None:
    """A byte-order mark, CR LF at every line's end, a cell in every column."""
    for data in all_tables(sample(name)).values():
        assert data.startswith(b"\xef\xbb\xbf")
        assert data.endswith(b"\r\n")
        assert data.count(b"\n") == data.count(b"\r\n")
        lines = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
        assert {len(line) for line in lines} == {len(lines[0])}
        assert len(set(lines[0])) == len(lines[0])


@pytest.mark.parametrize("name", SAMPLES)
def test_the_csv_module_and_pandas_read_the_same(name: str) -> None:
    for data in all_tables(sample(name)).values():
        read = pd.read_csv(io.BytesIO(data), dtype=str, keep_default_na=False, encoding="utf-8-sig")
        assert read.to_dict("records") == rows_of(data)


def test_studs_read_back_are_those_planned() -> None:
    house = sample("quarry_house")
    read = pd.read_csv(io.BytesIO(plan_tables(house)["studs.csv"]), encoding="utf-8-sig")
    studs = [(wall.name, stud) for wall in house.walls for stud in wall.studs]
    assert read["wall"].tolist() == [wall for wall, _ in studs]
    assert read["mark"].tolist() == [stud.mark for _, stud in studs]
    assert read["kind"].tolist() == [stud.kind for _, stud in studs]
    for column, key in (("length", "length"), ("station", "station"), ("gap", "gap")):
        exact = np.array([getattr(stud, key) for _, stud in studs])
        np.testing.assert_allclose(read[f"{column}_in"], exact, atol=1e-6)
        said = np.array([parse_length(text) for text in read[column]])
        np.testing.assert_allclose(said, exact, atol=1 / 32 + 1e-9)


def test_metric_tables_are_in_millimetres() -> None:
    house = sample("metric_cellar")
    read = pd.read_csv(io.BytesIO(plan_tables(house)["walls.csv"]), encoding="utf-8-sig")
    exact = [to_unit(wall.frame.stud, "mm") for wall in house.walls]
    np.testing.assert_allclose(read["stud_mm"], exact, atol=1e-6)
    assert read["stud"].tolist() == [f"{x:.0f} mm" for x in exact]


@pytest.mark.parametrize("unit", ["in", "ft", "mm", "cm", "m"])
def test_numbers_are_in_the_unit_their_heading_names(unit: str) -> None:
    job = Job(info=JobInfo(unit=unit))  # type: ignore[arg-type]
    heights = adjust(wavy_book("W", 96.0), job.laser)
    rows = rows_of(survey_tables(judge(heights, job), job)["spots.csv"])
    found = [float(row[f"station_{unit}"]) for row in rows]
    exact = to_unit(heights.spots.station, unit)  # type: ignore[arg-type]
    np.testing.assert_allclose(found, exact, atol=1e-6)


def test_lengths_as_text_follow_the_ruler_asked_for() -> None:
    house = sample("one_wall.csv")
    metric = plan_tables(house, ruler=ruler_for(house.job, "mm"))["studs.csv"]
    assert {row["length"] for row in rows_of(metric)} == {"2352.7 mm"}
    assert {row["length_in"] for row in rows_of(metric)} == {"92.625"}


def test_the_profile_read_back_is_the_slab() -> None:
    house = sample("quarry_house")
    read = pd.read_csv(io.BytesIO(slab_tables(house)["profile.csv"]), encoding="utf-8-sig")
    for wall in house.walls:
        mine = read[read["wall"] == wall.name]
        np.testing.assert_allclose(mine["elevation_in"], wall.slab.mean, atol=1e-6)
        np.testing.assert_allclose(mine["planned_with_in"], wall.planning, atol=1e-6)


def test_bays_packing_and_tape_read_back() -> None:
    house = sample("quarry_house")
    tables = plan_tables(house)
    bays = [(wall.name, bay) for wall in house.walls for bay in wall.bays]
    rows = rows_of(tables["bays.csv"])
    assert [(row["wall"], row["studs"]) for row in rows] == [
        (name, " ".join(bay.studs)) for name, bay in bays
    ]
    assert len(rows_of(tables["packing.csv"])) == sum(len(w.top.packing) for w in house.walls)
    for row in rows_of(tables["tape_first.csv"]):
        parts = [part.rsplit(" ", 1)[1] for part in row["sum"].split(" + ")]
        assert sum(map(parse_length, parts)) == float(row["clear_in"])


def test_every_spot_to_grind_says_what_to_ask_first() -> None:
    house = wavy_house("W", 320.0, travel=Travel(widest=1.8))
    rows = rows_of(plan_tables(house)["grinding.csv"])
    assert len(rows) == len(house.walls[0].grind) > 0
    assert all(row["ask_first"].startswith("DO NOT DRILL OR GRIND UNTIL ASKED") for row in rows)


def test_readings_left_out_are_among_the_notes_of_every_command() -> None:
    job = Job()
    book = leave_out(wavy_book("W", 96.0), ["4:up"])
    rows = rows_of(survey_tables(judge(adjust(book, job.laser), job), job)["survey_notes.csv"])
    assert [row["text"] for row in rows if row["code"] == "left-out"] == [
        "reading left out as asked: 4:up"
    ]


def test_what_is_not_known_is_left_empty() -> None:
    house = sample("one_wall.csv")
    tables = survey_tables(judge(house.profile.heights, house.job), house.job)
    rows = rows_of(tables["residuals.csv"])
    assert {row["standardized"] for row in rows} == {""}
    spots = rows_of(tables["spots.csv"])
    assert {(row["sd_scaled"], row["sd_scaled_in"]) for row in spots} == {("", "")}


@pytest.mark.parametrize("name", ["=1+1", "+North", "-5", "@cmd", "\tx", 'a "b", c', "Nörd 😀"])
def test_a_name_is_never_a_formula(name: str) -> None:
    house = wavy_house(name.strip(), 96.0)
    for data in all_tables(house).values():
        for row in csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")):
            assert not any(cell.startswith(RISKY) and not _is_number(cell) for cell in row)
    rows = rows_of(plan_tables(house)["studs.csv"])
    assert {row["wall"] for row in rows} == {harmless(name.strip())}


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


@given(st.lists(st.text(), min_size=1, max_size=5))
def test_any_text_comes_back_whole(cells: list[str]) -> None:
    pen = Pen(ruler=Ruler(unit="in"), unit="in")
    data = table(["text"], [[cell] for cell in cells], pen)
    read = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))[1:]
    flat = [row[0] if row else "" for row in read]
    assert flat == [harmless(cell) for cell in cells]
    assert [cell.removeprefix("'") for cell in flat] == [cell.removeprefix("'") for cell in cells]


@given(st.lists(st.floats(-1e5, 1e5), min_size=1, max_size=10))
def test_any_length_comes_back_to_a_millionth_and_to_its_fraction(values: list[float]) -> None:
    pen = Pen(ruler=Ruler(unit="in"), unit="in")
    rows = rows_of(table(["gap:length"], [[x] for x in values], pen))
    for row, x in zip(rows, values, strict=True):
        assert float(row["gap_in"]) == pytest.approx(x, abs=1e-6)
        assert parse_length(row["gap"].removeprefix("'")) == pytest.approx(x, abs=1 / 32 + 1e-9)


def test_tables_are_the_same_every_time() -> None:
    house = sample("quarry_house")
    assert all_tables(house) == all_tables(house)
