"""The reports on survey and slab: how well the readings agree, what the slab does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from books import Row
from small_houses import heights_of, house_of, label, rows_of, two_walls
from survey.job import Job, Mark, WallLine
from survey.lengths import parse_length
from survey.sheets.blocks import Grid, render
from survey.sheets.ruler import Ruler
from survey.sheets.text_plan import plan_blocks
from survey.sheets.text_slab import slab_blocks
from survey.sheets.text_survey import survey_blocks
from survey.slab.judgement import judge
from survey.wall.planning import HousePlan

INCHES, METRIC = Ruler(unit="in"), Ruler(unit="mm")
TIES = [
    Row(name="North", station=16.0 * i, down=50.0 - height, up=49.5, setup="B")
    for i, height in enumerate([0.0, 0.125, 0.25])
]


@pytest.fixture(scope="module")
def house() -> HousePlan:
    return two_walls()


def test_an_unchecked_survey_says_so() -> None:
    heights = heights_of(rows_of("North", [0.0] * 4))
    text = render(survey_blocks(judge(heights, Job()), Job(), INCHES), width=None)
    assert "nothing checks this survey" in label(text, "CHECK")
    assert "RESIDUALS" not in text


def test_a_checked_survey_shows_its_degrees_of_freedom_and_worst_residuals() -> None:
    heights = heights_of([*rows_of("North", [0.0, 0.125, 0.25]), *TIES])
    text = render(survey_blocks(judge(heights, Job()), Job(), INCHES), width=None)
    assert f"{heights.dof} readings more than needed" in label(text, "PASSES")
    assert f"{heights.sigma0:.2f} times" in label(text, "PASSES")
    worst = [float(line.split()[-1]) for line in text[text.index("LARGEST") :].splitlines()[3:]]
    assert len(worst) > 3
    assert [abs(x) for x in worst] == sorted((abs(x) for x in worst), reverse=True)
    assert label(text, "A ").split()[1] == INCHES.bare(float(heights.beams[0]))


def test_readings_that_disagree_fail_in_words() -> None:
    blunder = [replace(TIES[0], down=51.0), *TIES[1:]]
    heights = heights_of([*rows_of("North", [0.0, 0.125, 0.25]), *blunder])
    text = render(survey_blocks(judge(heights, Job()), Job(), INCHES), width=None)
    assert "do not agree" in label(text, "FAILS")
    worst = text[text.index("LARGEST") :].splitlines()[3].split()
    assert worst[0] == "5"


def test_a_mark_that_does_not_fit_is_named() -> None:
    marks: dict[str, float | None] = {"F1": 40.0, "F2": 44.0}
    rows = [
        *rows_of("North", [0.0] * 4),
        Row(name="F1", down=8.0),
        Row(name="F2", down=5.0),
    ]
    job = Job(marks=tuple(Mark(name=n, elevation=e) for n, e in marks.items()))
    text = render(survey_blocks(judge(heights_of(rows, marks), job), job, INCHES), width=None)
    assert "elevations as given for F1 and F2" in label(text, "DATUM")
    assert "DOES NOT FIT" in text


def test_rows_left_out_are_named_in_every_report(house: HousePlan) -> None:
    heights = house.profile.heights
    book = replace(heights.book, left_out=("3:down",))
    left = replace(heights, book=book)
    changed = replace(house, profile=replace(house.profile, heights=left))
    for blocks in (
        plan_blocks(changed, INCHES),
        slab_blocks(changed, INCHES),
        survey_blocks(judge(left, house.job), house.job, INCHES),
    ):
        assert "3:down" in label(render(blocks, width=None), "LEFT OUT")


def test_the_slab_report_has_every_line_even_where_no_joist_was_read() -> None:
    rows = [*rows_of("North", [0.0] * 5), *rows_of("South", [0.0, 0.5, 0.0, 0.0])]
    unread = [replace(row, up=None) if row.name == "South" else row for row in rows]
    text = render(slab_blocks(house_of(unread), INCHES), width=None)
    south = text[text.index("Wall South") :]
    assert 'at 16" (by 1/2")' in label(south, "HIGHS")
    assert "planned with" not in south
    assert "planned with" in text


def test_a_joint_shows_both_its_lips() -> None:
    wall = WallLine(name="North", slab_joints=(32.0,))
    rows = rows_of("North", [0.0, 0.0, 0.5, 0.5, 0.5])
    lip = replace(rows[2], down=rows[2].down + 0.5, side=-1)  # type: ignore[operator] # is given
    house = house_of([*rows[:2], lip, *rows[2:]], walls=(wall,))
    grids = [b for b in slab_blocks(house, INCHES) if isinstance(b, Grid)]
    table = next(table for table in grids if "AS READ" in table.title)
    at_joint = [parse_length(row[1]) for row in table.rows if row[0] == "32"]
    assert at_joint == pytest.approx([0.0, 0.5], abs=1 / 16)
