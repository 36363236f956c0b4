"""Spikes, travel, doors, trim and standing up as the terminal and the tables show them."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from typing import Any

import pytest

from plans import SAMPLES, sample, wavy_house
from small_houses import label
from survey.job import Obstacle, SlabFacts, Spikes, Travel, Trim
from survey.lengths import parse_length
from survey.sheets.blocks import Grid, render
from survey.sheets.record import plan_record
from survey.sheets.ruler import Ruler
from survey.sheets.tables import plan_tables
from survey.sheets.text_fit import travel_grid
from survey.sheets.text_plan import plan_blocks
from survey.wall.planning import HousePlan

INCHES = Ruler(unit="in")


def _house(**tables: Any) -> HousePlan:
    return wavy_house("W", 160.0, doors=(80.0,), **tables)


def _shown(house: HousePlan, *, brief: bool = False, ruler: Ruler = INCHES) -> str:
    return render(plan_blocks(house, ruler, brief=brief), width=None)


def test_the_first_screen_says_when_something_stops_the_slab_before_the_float() -> None:
    stopped = _shown(_house(trim=Trim(drywall_bottom=0.5)), brief=True)
    line = label(stopped, "TRAVEL")
    assert 'W: the drywall comes down after 1/2" of rise' in line
    assert '1-1/2" is asked for' in line
    assert "\nTRAVEL" not in _shown(_house(), brief=True)


def test_a_gauge_is_said_on_the_first_screen_with_its_cure() -> None:
    line = label(_shown(_house(trim=Trim(jamb="gauge")), brief=True), "TRAVEL")
    assert 'meet the floor after 1/8" of rise at 80"' in line
    assert "look each season, cut back" in line


def test_the_least_of_each_stands_before_the_table() -> None:
    text = _shown(_house())
    line = label(text, "TRAVEL  ")
    assert 'least rise 1-5/8" (jamb at 80"), 1-1/2" asked for' in line
    assert "least drop" in line
    assert text.index(line) < text.index("TRAVEL (inches)")


def test_the_travel_table_has_every_part() -> None:
    wall = _house().walls[0]
    table = travel_grid(wall, INCHES)
    assert isinstance(table, Grid)
    assert [row[0] for row in table.rows] == [part.element for part in wall.clearances]
    plates = table.rows[0]
    assert parse_length(plates[3]) == pytest.approx(wall.gap.least, abs=1 / 32)
    assert plates[5] == "any"


def test_spikes_are_counted_by_length_with_their_bits() -> None:
    wall = _house().walls[0]
    lines = [line for line in _shown(_house()).splitlines() if line.startswith("SPIKES")]
    lengths = sorted({spike.drive.length for spike in wall.spikes})
    assert len(lines) == len(lengths)
    assert sum(int(line.split()[1]) for line in lines) == len(wall.spikes)
    long = next(line for line in lines if ' of 8"' in line)
    assert 'slip hole 7/16", pilot 21/64" (shank 3/8", from memory: measure it)' in long


def test_a_head_is_never_said_to_go_deeper_than_it_may() -> None:
    wall = _house(spikes=Spikes(lengths=(8.0,))).walls[0]
    line = label(_shown(_house(spikes=Spikes(lengths=(8.0,)))), "SPIKES")
    said = line.split("heads ")[1].split(" proud")[0].split(" to ")
    least = min(spike.drive.proud for spike in wall.spikes)
    assert least <= parse_length(said[0]) < least + 1 / 16


def test_doors_have_a_leg_on_each_side() -> None:
    door = _house().walls[0].doors[0]
    line = label(_shown(_house()), "DOOR ")
    assert f"{INCHES.length(door.leg_left)} left" in line
    assert f"{INCHES.length(door.leg_right)} right" in line


def test_base_is_never_said_lower_than_needed() -> None:
    needed = _house().walls[0].trim.base_needed
    line = label(_shown(_house()), "BASE")
    said = parse_length(line.split("at least ")[1].split(" high")[0])
    assert needed - 1e-9 <= said < needed + 1 / 16


def test_a_section_that_does_not_go_up_is_said_aloud() -> None:
    line = {"start": (0.0, 0.0), "end": (160.0, 0.0)}
    over = Obstacle(name="Beam", at=(60.0, 0.0), underside=70.0)
    house = wavy_house("W", 160.0, wall=line, obstacles=(over,))
    found = [row for row in _shown(house).splitlines() if row.startswith("STAND UP")]
    assert any("DOES NOT GO UP" in row and "in the way: Beam" in row for row in found)
    beside = replace(over, at=(60.0, 12.0))
    house = wavy_house("W", 160.0, wall=line, obstacles=(beside,))
    assert "frame it on the right, clear of Beam" in _shown(house)


def test_millimetres_and_kilograms() -> None:
    house = _house(slab=SlabFacts(post_tension="no", tubes="no", membrane="no"))
    lines = _shown(house, ruler=Ruler(unit="mm")).splitlines()
    mine = [row for row in lines if row[:8].strip() in ("SPIKES", "DOOR", "STAND UP", "BASE")]
    assert mine
    assert not any(" lb" in row for row in mine)
    assert any("slip hole 11.1 mm" in row for row in mine)


def _rows(house: HousePlan, name: str) -> list[dict[str, str]]:
    text = plan_tables(house)[name].decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


@pytest.mark.parametrize("name", SAMPLES)
def test_tables_and_json_tell_the_same(name: str) -> None:
    house = sample(name)
    unit = house.job.info.unit
    record = plan_record(house)
    spikes = [(wall["wall"], spike) for wall in record["walls"] for spike in wall["spikes"]]
    rows = _rows(house, "spikes.csv")
    assert len(rows) == len(spikes) > 0
    for row, (wall, spike) in zip(rows, spikes, strict=True):
        assert row["wall"] == wall
        for key in ("station", "length", "proud", "drop", "hole", "pilot"):
            assert float(row[f"{key}_{unit}"]) == spike[key]
    parts = [part for wall in record["walls"] for part in wall["clearances"]]
    for row, part in zip(_rows(house, "clearances.csv"), parts, strict=True):
        assert (row["element"], row["kind"]) == (part["element"], part["kind"])
        for way, x in (("rise", part["rise"]), ("drop", part["drop"])):
            assert row[f"{way}_{unit}"] == ("" if x is None else repr(x))


def test_json_has_doors_sections_and_trim() -> None:
    (wall,) = plan_record(_house(travel=Travel(rise=1.5, drop=1.0)))["walls"]
    (door,) = wall["doors"]
    assert door["head"] - door["leg_left"] - door["jamb"] == pytest.approx(door["floor_left"])
    assert wall["sections"][0]["from"] == 0.0
    assert wall["sections"][-1]["to"] == wall["length"]
    assert wall["trim"]["base_height"] >= wall["trim"]["base_needed"]
