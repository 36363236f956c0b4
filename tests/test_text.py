"""The plan on the terminal: the answer first, sums that add up, doubts where they matter."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from books import Row
from small_houses import ASKED, house_of, label, rows_of, two_walls
from survey.errors import Note
from survey.job import JobInfo, SlabFacts, Travel, WallLine
from survey.lengths import parse_length
from survey.sheets.blocks import Grid, render
from survey.sheets.ruler import Ruler, ruler_for
from survey.sheets.text_notes import note_lines
from survey.sheets.text_plan import plan_blocks
from survey.wall.planning import HousePlan

INCHES, METRIC = Ruler(unit="in"), Ruler(unit="mm")
WIDTHS = (None, 60, 80, 120)
TIES = [
    Row(name="North", station=16.0 * i, down=50.0 - height, up=49.5, setup="B")
    for i, height in enumerate([0.0, 0.125, 0.25])
]


@pytest.fixture(scope="module")
def house() -> HousePlan:
    return two_walls()


def shown(house: HousePlan, width: int | None = None, *, ruler: Ruler = INCHES) -> str:
    return render(plan_blocks(house, ruler, detail=True), width=width)


def test_the_first_screen_is_the_answer(house: HousePlan) -> None:
    top = shown(house, 100).splitlines()[:20]
    for word in ("LOOK HERE", "CUT", "DO NOT CUT", "GRIND", "TAPE FIRST", "SURVEY"):
        assert any(line.startswith(word) for line in top), word


def test_the_highest_slab_is_named_with_its_height_over_the_lowest(house: HousePlan) -> None:
    line = label(shown(house), "LOOK HERE")
    assert 'highest slab: station 32" of South' in line
    assert "lay a level there" in line


def test_swapped_columns_put_the_highest_slab_where_it_is_lowest() -> None:
    rows = rows_of("North", [0.0, 0.0, 1.0, 0.0, 0.0])
    swapped = [replace(row, down=row.up, up=row.down) for row in rows]
    line = label(shown(house_of(swapped)), "LOOK HERE")
    assert 'station 32"' not in line.split("above the lowest")[0]


def test_cut_counts_the_studs_of_walls_that_pass_only(house: HousePlan) -> None:
    north, south = house.walls
    assert north.verdict.passes
    assert not south.verdict.passes
    full = [stud for stud in north.studs if stud.kind in ("stud", "end", "king")]
    line = label(shown(house), "CUT")
    assert line.split()[1:3] == [str(len(full)), "studs"]
    assert INCHES.length(north.frame.stud) in line
    assert line.count(" at ") == 1
    assert "South" in label(shown(house), "DO NOT CUT")


def test_equal_studs_of_several_walls_are_counted_together() -> None:
    walls = [*rows_of("North", [0.0] * 6), *rows_of("South", [0.0] * 9)]
    house = house_of(walls)
    line = label(shown(house), "CUT")
    counts = [int(n) for n in re.findall(r"(\d+)(?: studs)? at ", line)]
    full = [s for w in house.walls for s in w.studs if s.kind in ("stud", "end", "king")]
    assert sum(counts) == len(full)
    assert len(counts) == len({wall.frame.stud for wall in house.walls})


def test_an_uncut_precut_stud_is_said_to_be_one() -> None:
    house = house_of(rows_of("North", [0.0] * 12, joist=99.4))
    assert house.walls[0].precut
    assert "leave uncut" in label(shown(house), "CUT")


def test_a_wall_that_fails_tells_why_and_the_ways_out(house: HousePlan) -> None:
    text = shown(house)
    south = text[text.index("Wall South") :]
    assert "CANNOT BE BUILT AS ASKED" in label(south, "FAILS")
    ways = [line for line in south.splitlines() if line.startswith("WAY OUT")]
    assert len(ways) == len(house.walls[1].verdict.remedies) > 0
    assert all("then it passes" in way or "not enough by itself" in way for way in ways)
    assert label(south, "STUDS").split()[1:3] == ["none", "to"]


def test_a_float_nobody_gave_is_said_aloud_on_the_first_screen_and_at_the_wall() -> None:
    text = shown(house_of(rows_of("North", [0.0] * 6), given={}))
    assert text.count("FLOAT ASSUMED: ASK") == 2
    assert "float.rise" in label(text, "ASSUMED")


def test_only_the_missing_half_of_the_float_is_asked_for() -> None:
    text = shown(house_of(rows_of("North", [0.0] * 6), given={"float.rise": "job"}))
    assert "DROP ASSUMED: ASK" in text
    assert "Nobody gave drop;" in text


def test_a_float_that_was_given_is_not_doubted(house: HousePlan) -> None:
    assert "ASSUMED: ASK" not in shown(house)


@pytest.mark.parametrize(
    ("slab", "asked"),
    [
        (SlabFacts(), ["tendons", "tubes", "membrane"]),
        (SlabFacts(post_tension="no", tubes="no"), ["membrane"]),
        (SlabFacts(post_tension="yes", tubes="no", membrane="no"), ["tendons (there is some)"]),
    ],
)
def test_the_drilling_gate_is_closed_unless_all_is_known(slab: SlabFacts, asked: list[str]) -> None:
    text = shown(house_of(rows_of("North", [0.0] * 6), slab=slab))
    line = label(text, "ASK FIRST")
    assert "DO NOT DRILL OR GRIND UNTIL ASKED" in line
    assert all(word in line for word in asked)


def test_the_drilling_gate_opens_when_all_is_settled(house: HousePlan) -> None:
    assert "DO NOT DRILL" not in shown(house)


def test_notes_that_say_stop_stand_on_the_first_screen(house: HousePlan) -> None:
    stop = Note(code="x", wall="North", level="stop", text="tape {} again", lengths=(12.5,))
    first = render(plan_blocks(replace(house, notes=(stop,)), INCHES, brief=True), width=None)
    assert label(first, "STOP").split(None, 1)[1] == 'North: tape 12-1/2" again'


def test_notes_stand_the_gravest_first_and_once() -> None:
    notes = [
        Note(code="a", text="plain", row=7),
        Note(code="b", text="doubtful", level="doubt"),
        Note(code="c", text="halt", level="stop"),
        Note(code="b", text="doubtful", level="doubt"),
    ]
    text = render(note_lines(notes, INCHES), width=None)
    assert [line.split()[0] for line in text.splitlines()] == ["STOP", "DOUBT", "NOTE"]
    assert "plain (row 7)" in text


def sums(text: str) -> list[tuple[float, list[float]]]:
    """Every printed height stack: its total and its terms [in]."""
    found = []
    for line in text.splitlines():
        if line.startswith("  at ") and " = " in line:
            total, terms = re.sub(r"^  at \S+ +", "", line).split(" = ")
            terms = terms.split(". Stop")[0]
            lengths = [re.sub(r"^[a-z ]+ ", "", term) for term in terms.split(" + ")]
            found.append((parse_length(total), [parse_length(x) for x in lengths]))
    return found


@pytest.mark.parametrize("ruler", [INCHES, METRIC, Ruler(unit="mm", decimals=1)])
def test_printed_stacks_add_up_exactly(house: HousePlan, ruler: Ruler) -> None:
    found = sums(shown(house, ruler=ruler))
    assert len(found) == sum(len(wall.tape_first) for wall in house.walls) == 6
    for total, terms in found:
        assert total == pytest.approx(sum(terms), abs=1e-9)


def test_heights_over_the_slab_differ_by_the_frame(house: HousePlan) -> None:
    north = house.walls[0]
    table = next(
        b for b in plan_blocks(house, INCHES) if isinstance(b, Grid) and "HEIGHTS" in b.title
    )
    for _, station, plate, bottom, top in table.rows:
        frame = parse_length(top) - parse_length(bottom)
        assert frame == pytest.approx(north.frame.height, abs=1 / 16 + 1e-9)
        at = next((s for s in north.studs if s.station == parse_length(station)), None)
        if at is not None:
            gap = parse_length(bottom) - parse_length(plate)
            assert gap == pytest.approx(at.gap, abs=1 / 16 + 1e-9)


def test_bays_are_listed_one_by_one(house: HousePlan) -> None:
    tables = [
        b for b in plan_blocks(house, INCHES) if isinstance(b, Grid) and b.title[:4] == "BAYS"
    ]
    assert [len(table.rows) for table in tables] == [len(wall.bays) for wall in house.walls]
    for row, bay in zip(tables[0].rows, house.walls[0].bays, strict=True):
        assert [parse_length(cell) for cell in row[3:7]] == pytest.approx(
            [bay.stud_length, bay.gap_least, bay.gap_greatest, bay.assured_least], abs=1 / 32
        )


def test_cautions_and_hung_weight_stand_in_every_plan(house: HousePlan) -> None:
    text = shown(house)
    for word in ("engineer", "silica", "1926.1153", "flexible", "eye protection"):
        assert word in text
    assert f"{house.walls[0].hung_weight.per_joist:.0f} lb from each" in text


def test_millimetres_throughout(house: HousePlan) -> None:
    text = shown(house, ruler=ruler_for(house.job, "mm"))
    assert '"' not in text
    assert " lb " not in text
    assert f"{house.walls[0].frame.stud * 25.4:.1f} mm" in label(text, "CUT")


@pytest.mark.parametrize("width", WIDTHS)
def test_no_line_is_wider_than_the_screen_and_nothing_is_cut(
    house: HousePlan, width: int | None
) -> None:
    text = shown(house, width)
    assert "…" not in text
    assert width is None or max(len(line) for line in text.splitlines()) <= width
    for wall in house.walls:
        for stud in wall.studs:
            assert INCHES.bare(stud.length) in text
            assert INCHES.bare(stud.station) in text


def test_nothing_is_to_be_cut_before_the_readings_agree() -> None:
    blunder = [replace(TIES[0], down=51.0), *TIES[1:]]
    lines = shown(house_of([*rows_of("North", [0.0, 0.125, 0.25]), *blunder])).splitlines()
    words = [line.split(" ")[0] for line in lines]
    assert words.index("SURVEY") < words.index("CUT")
    assert "NOT BEFORE THE READINGS AGREE" in lines[words.index("CUT")]


def test_where_no_wall_can_be_planned_nothing_is_called_fit() -> None:
    unread = [replace(row, up=None) for row in rows_of("North", [0.0] * 5)]
    text = shown(house_of(unread))
    assert "not known" in label(text, "GRIND")
    assert "no joist was read" in label(text, "STOP")
    assert "CUT" not in text


def test_the_job_names_the_report_and_its_date() -> None:
    info = JobInfo(name="Mill", surveyed=None)
    house = house_of(rows_of("North", [0.0] * 5), info=info, travel=Travel(), given=ASKED)
    assert shown(house).splitlines()[0] == "Mill"


def test_stations_are_measured_from_the_named_end() -> None:
    wall = WallLine(name="North", from_="stair corner", face="south")
    text = shown(house_of(rows_of("North", [0.0] * 5), walls=(wall,)))
    assert "stations from stair corner; south face" in label(text, "PLACE")
