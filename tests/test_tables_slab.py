"""Tables of slab and plate read back: what is in them, and what each row must say."""

from __future__ import annotations

import csv
import io

import pytest

from plans import SAMPLES, sample, wavy_house
from survey.job import Travel
from survey.lengths import parse_length, to_unit
from survey.sheets.ruler import Ruler
from survey.sheets.tables import plan_tables, slab_tables
from survey.wall.planning import HousePlan
from survey.wall.plate import anchor_limit


def rows_of(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def numbers(house: HousePlan, rows: list[dict[str, str]], column: str) -> list[float]:
    return [float(row[f"{column}_{house.job.info.unit}"]) for row in rows]


@pytest.mark.parametrize("name", SAMPLES)
def test_anchors_read_back_are_those_planned(name: str) -> None:
    house = sample(name)
    rows = rows_of(plan_tables(house)["anchors.csv"])
    planned = [
        (wall, number, piece, anchor)
        for wall in house.walls
        for number, piece in enumerate(wall.plate.pieces, start=1)
        for anchor in piece.anchors
    ]
    unit = house.job.info.unit
    assert [(row["wall"], int(row["piece"])) for row in rows] == [
        (wall.name, number) for wall, number, _, _ in planned
    ]
    stations = [to_unit(anchor.station, unit) for *_, anchor in planned]
    assert numbers(house, rows, "station") == pytest.approx(stations, abs=1e-6)
    for row, (wall, _, piece, anchor) in zip(rows, planned, strict=True):
        assert float(row["pull_lb"]) == pytest.approx(anchor.pull, abs=1e-6)
        assert float(row["limit_lb"]) == anchor_limit(wall.settings)
        assert row["remark"] == anchor.remark
        assert row["ask_first"].startswith("DO NOT DRILL OR GRIND UNTIL ASKED")
        assert float(row[f"piece_to_{unit}"]) == pytest.approx(to_unit(piece.end, unit), abs=1e-6)


@pytest.mark.parametrize("name", SAMPLES)
def test_voids_read_back_are_those_computed(name: str) -> None:
    house = sample(name)
    rows = rows_of(slab_tables(house)["voids.csv"])
    voids = [v for wall in house.walls for piece in wall.plate.pieces for v in piece.voids]
    depths = [to_unit(void.depth, house.job.info.unit) for void in voids]
    assert numbers(house, rows, "depth") == pytest.approx(depths, abs=1e-6)
    assert [row["open_end"] == "yes" for row in rows] == [bool(void.open_end) for void in voids]


def test_the_straightedge_has_a_row_a_line() -> None:
    house = sample("quarry_house")
    rows = rows_of(slab_tables(house)["straightedge.csv"])
    assert [row["wall"] for row in rows] == [wall.name for wall in house.walls]
    for row, wall in zip(rows, house.walls, strict=True):
        assert float(row["gap_in"]) == pytest.approx(wall.evenness.straightedge.gap, abs=1e-6)
        assert (row["keeps"] == "yes") == wall.evenness.keeps
        assert parse_length(row["tolerance"]) == wall.evenness.tolerance


def test_a_line_that_is_not_hung_is_under_the_straightedge_all_the_same() -> None:
    tables = slab_tables(wavy_house("W", 160.0, wall={"hang": "none"}))
    assert len(rows_of(tables["straightedge.csv"])) == 1
    assert rows_of(tables["voids.csv"]) == []
    assert {row["planned_with"] for row in rows_of(tables["profile.csv"])} == {""}


def test_the_sum_to_tape_is_closed_on_any_ruler() -> None:
    house = sample("quarry_house")
    for row in rows_of(plan_tables(house, ruler=Ruler(unit="mm"))["tape_first.csv"]):
        parts = [part.rsplit(" ", 2)[1] for part in row["sum"].split(" + ")]
        assert sum(map(int, parts)) == int(row["clear"].removesuffix(" mm"))


def test_every_spot_to_grind_has_its_reason() -> None:
    house = wavy_house("W", 320.0, travel=Travel(widest=1.8))
    rows = rows_of(plan_tables(house)["grinding.csv"])
    assert [row["reason"] for row in rows] == [spot.reason for spot in house.walls[0].grind]
