"""The slab plate in words: splices, voids, anchors, and what must not be drilled."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

import survey
from plans import SAMPLES, sample, wavy_house
from small_houses import SETTLED, house_of, label, rows_of
from survey.job import PlateBoard, SlabFacts, Travel, WallLine
from survey.sheets.blocks import Grid, render
from survey.sheets.record import plan_record, slab_record
from survey.sheets.ruler import Ruler
from survey.sheets.tables import plan_tables, slab_tables
from survey.sheets.text_plan import plan_blocks
from survey.sheets.text_plate import all_anchors, anchor_blocks, plate_lines, pull_words
from survey.sheets.text_slab import slab_blocks
from survey.wall.planning import HousePlan

INCHES, METRIC = Ruler(unit="in"), Ruler(unit="mm")
TENDONS = SlabFacts(post_tension="yes", tubes="no", membrane="no")
STRICT = Travel(rise=1.5, drop=1.0, widest=3.0)


def slab_text(house: HousePlan, ruler: Ruler = INCHES, *, width: int | None = None) -> str:
    return render(slab_blocks(house, ruler), width=width)


def planned(folder: Path, text: str) -> HousePlan:
    """The plan of a readings file of one wall."""
    path = folder / "wall.csv"
    path.write_text(text, "utf-8")
    job = survey.read_job(path)
    heights = survey.adjust(survey.read_readings(job), job.laser)
    return survey.plan(survey.profile(heights, job), job)


@pytest.fixture
def taped(tmp_path: Path) -> HousePlan:
    """A wall of which only clear heights were taken."""
    rows = "".join(f"{16 * i},{99 + 0.125 * (i % 3)}\n" for i in range(8))
    return planned(tmp_path, "station,clear\n" + rows)


@pytest.fixture
def fixed(tmp_path: Path) -> HousePlan:
    """A wall read from its fixed slab plate."""
    rows = "".join(f"{16 * i},plate,{50 + 0.0625 * (i % 3)},47\n" for i in range(8))
    return planned(tmp_path, "station,on,down,up\n" + rows)


@pytest.mark.parametrize("name", SAMPLES)
def test_every_anchor_is_listed_with_its_pull_and_remark(name: str) -> None:
    for wall in sample(name).walls:
        (table,) = [b for b in anchor_blocks(wall, INCHES) if isinstance(b, Grid)]
        anchors = all_anchors(wall)
        assert [row[0] for row in table.rows] == [INCHES.bare(a.station) for a in anchors]
        for row, anchor in zip(table.rows, anchors, strict=True):
            said = int(row[1].replace(",", ""))
            assert anchor.pull - 1e-5 <= said < anchor.pull + 1.0
            assert row[2] == anchor.remark


def test_a_pull_is_rounded_up_and_in_the_readers_unit() -> None:
    assert pull_words(150.2, INCHES) == "151 lb"
    assert pull_words(0.0, INCHES) == "0 lb"
    assert pull_words(100.0, METRIC) == "445 N"


def test_what_to_ask_stands_right_before_the_anchors() -> None:
    text = slab_text(sample("one_wall.csv"))
    before = text[: text.index("ANCHORS (stations")].splitlines()[-2]
    assert before.startswith("ASK FIRST")
    for word in ("tendons", "tubes", "membrane"):
        assert word in before


def test_settled_facts_are_named_instead() -> None:
    house = house_of(rows_of("North", [0.0, 0.25, 0.0, 0.125]), slab=SETTLED)
    text = slab_text(house)
    assert "DO NOT DRILL" not in text
    assert "no tendons" in label(text, "DRILLING")


def test_the_slack_stands_beside_the_pull_and_the_limit_says_where_it_is_from() -> None:
    line = label(slab_text(sample("one_wall.csv")), "ANCHORS  ")
    assert 'within 1/32" of the slab' in line
    assert "150 lb at most (from memory" in line
    own = wavy_house("W", 160.0, plate=PlateBoard(anchor_limit=90.0))
    assert "90 lb at most, as the job says" in label(slab_text(own), "ANCHORS  ")


def test_a_pull_past_its_limit_is_remarked_and_told_with_the_plan() -> None:
    house = sample("trouble")
    assert "pulls past its limit" in slab_text(house)
    text = render(plan_blocks(house, INCHES), width=None)
    assert "MORE than the 150 lb it is to hold" in label(text, "ANCHORS")


def test_over_tendons_nothing_is_drilled_and_nothing_ground() -> None:
    steep = rows_of("South", [0.0, 0.0, 1.5, 0.0, 0.0, 0.0])
    free = house_of(steep, travel=STRICT)
    assert free.walls[0].grind
    house = house_of(steep, slab=TENDONS, travel=STRICT)
    assert not house.walls[0].verdict.passes
    assert house.walls[0].grind == ()
    assert "grind" not in {way.kind for way in house.walls[0].verdict.remedies}
    text = slab_text(house)
    assert "ANCHORS (stations" not in text
    assert "adhesive" in label(text, "ANCHORS")
    assert "post-tension" in label(text, "GRIND")
    assert "adhesive" in label(render(plan_blocks(house, INCHES), width=None), "ANCHORS")
    assert plan_record(house)["walls"][0]["anchors"] == []
    assert plan_tables(house)["anchors.csv"].count(b"\r\n") == 1


def test_voids_and_splices_are_told() -> None:
    house = sample("quarry_house")
    hall = house.walls[0]
    lines = render(plate_lines(hall, INCHES), width=None)
    assert 'splices: at 200" (slab joint)' in lines
    voids = [void for piece in hall.plate.pieces for void in piece.voids]
    assert label(lines, "VOIDS").count("deepest") == len(voids) > 1
    assert label(lines, "VOIDS").count("open at") == sum(void.open_end for void in voids)


def test_a_flat_slab_leaves_no_void_under_the_plate() -> None:
    house = house_of(rows_of("North", [0.0] * 6))
    assert 'none deeper than 1/64"' in label(slab_text(house), "VOIDS")
    assert "VOIDS" not in render(plan_blocks(house, INCHES), width=None)


def test_a_plate_bent_past_its_limit_is_a_doubt_in_words() -> None:
    line = label(slab_text(sample("trouble")), "SLAB PLATE")
    stress = max(piece.stress for piece in sample("trouble").walls[0].plate.pieces)
    assert f"bent to {stress:,.0f} psi, MORE than the 1,000 psi" in line


def test_the_plan_has_it_in_short() -> None:
    house = sample("quarry_house")
    text = render(plan_blocks(replace(house, walls=house.walls[:1]), INCHES), width=None)
    anchors = all_anchors(house.walls[0])
    assert label(text, "ANCHORS").split()[1] == f"{len(anchors)};"
    assert label(text, "SPLICES").split(None, 1)[1] == 'at 200" (slab joint)'
    assert "stands off the slab up to" in label(text, "VOIDS")


def test_millimetres_and_newtons_throughout() -> None:
    walls = sample("quarry_house").walls
    said = [b for w in walls for b in (*plate_lines(w, METRIC), *anchor_blocks(w, METRIC))]
    text = render(said, width=None)
    assert '"' not in text
    assert not re.search(r"\b(lb|psi)\b", text)
    assert " MPa" in text


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_is_wider_than_the_screen(width: int) -> None:
    text = slab_text(sample("quarry_house"), width=width)
    assert max(map(len, text.splitlines())) <= width


def test_a_taped_wall_has_anchors_but_no_pulls_and_no_voids(taped: HousePlan) -> None:
    text = render(plan_blocks(taped, INCHES), width=None)
    assert "not known" in label(text, "ANCHORS")
    assert "VOIDS" not in text
    record = plan_record(taped)["walls"][0]
    assert record["anchors"]
    assert {anchor["pull"] for anchor in record["anchors"]} == {None}
    (line,) = slab_record(taped)["walls"]
    assert [line["straightedge"], line["flatness"], line["contact"]] == [None] * 3
    assert "FLATNESS" not in slab_text(taped)
    for name in ("voids.csv", "straightedge.csv"):
        assert slab_tables(taped)[name].count(b"\r\n") == 1


def test_a_plate_that_is_fixed_is_not_laid_again(fixed: HousePlan) -> None:
    assert fixed.walls[0].surface == "plate"
    text = slab_text(fixed)
    for word in ("ANCHORS", "VOIDS", "FLATNESS", "GRIND  nothing: the"):
        assert word not in text
    record = plan_record(fixed)["walls"][0]
    assert (record["anchors"], record["splices"]) == ([], [])
    (line,) = slab_record(fixed)["walls"]
    assert [line["straightedge"], line["contact"]] == [None, None]


def test_a_line_that_is_not_hung_has_its_flatness_and_no_plate() -> None:
    house = house_of(
        rows_of("North", [0.0, 0.0, 0.5, 0.0]), walls=(WallLine(name="North", hang="none"),)
    )
    text = slab_text(house)
    assert "straightedge" in label(text, "FLATNESS")
    assert "SLAB PLATE" not in text
    assert "ANCHORS" not in text
