"""The list at the end: what to read again, in order, once each, with its reason."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import numpy as np

from books import Row, book_of
from survey.errors import Note
from survey.field.jobfile import read_job
from survey.field.levelling import adjust
from survey.field.quality import judge_quality
from survey.field.readings import read_readings
from survey.job import Job, Laser
from survey.slab.neighbours import check_neighbours
from survey.slab.profile import profile
from survey.slab.read_again import MOST_LISTED, read_again
from tied_surveys import MARKS, Plan, adjusted, blunder, kick, walk

SAMPLES = Path(__file__).parents[1] / "sample_surveys"


def said(note: Note) -> str:
    return note.said(lambda x: f"[{x:.1f}]")


def listed(rows: list[Row], marks: dict[str, float | None] | None = None) -> list[str]:
    heights = adjust(book_of(rows, MARKS if marks is None else marks), Laser())
    floor = profile(heights, Job())
    return [said(n) for n in read_again(judge_quality(heights), check_neighbours(floor, Job()))]


def clean() -> list[Row]:
    return walk(np.random.default_rng(3), Plan())


def test_trouble_lists_the_kick_then_the_row_and_nothing_twice() -> None:
    job = read_job(SAMPLES / "trouble")
    heights = adjust(read_readings(job), job.laser)
    notes = read_again(judge_quality(heights), check_neighbours(profile(heights, job), job))
    moved = (
        "give set-up B another name from row 32 on, and read again what it read between rows "
        "21 and 32: beam of set-up B: moved up about [0.4] between rows 21 and 32"
    )
    assert [said(note) for note in notes] == [
        moved,
        "read Long at [64.0] again: row 15 down, Long at [64.0]: [1.0] too large",
    ]
    assert [(n.code, n.level, n.wall, n.row) for n in notes] == [
        ("read-again", "doubt", "", None),
        ("read-again", "doubt", "Long", 15),
    ]


def test_a_clean_survey_has_nothing_to_read_again() -> None:
    assert listed(clean()) == []


def test_a_group_is_to_be_read_at_any_place() -> None:
    rows = clean()
    at = next(i for i, row in enumerate(rows) if row.setup == "B" and row.up is not None)
    (line,) = listed(blunder(rows, at, "up", 0.75))
    assert line.startswith("read any of these again: row ")
    assert "; or row " in line


def test_a_spot_read_once_is_listed_with_what_its_neighbours_say() -> None:
    rows = clean()
    at = next(i for i, row in enumerate(rows) if row.setup == "A" and row.station == 48.0)
    (line,) = listed(blunder(rows, at, "down", 1.0))
    assert line.startswith(f"read Long at [48.0] again (row {at + 2}): [")
    assert line.endswith("below what its neighbours say")
    (line,) = listed(blunder(rows, at, "up", 1.0))
    assert line.startswith(f"read Long at [48.0] (joist) again (row {at + 2}): [")
    assert line.endswith("above what the other joists say")


def test_wrong_marks_come_before_readings() -> None:
    lines = listed(blunder(clean(), 20, "down", 1.5), {"M1": 48.0, "M2": 46.0})
    assert lines[0].startswith("compare the marks held, and their elevations in job.toml: mark M")
    assert len(lines) == 2


def test_a_moved_beam_seen_at_once_needs_no_rows_between() -> None:
    rows = [
        dataclasses.replace(Row(name="Long", station=16.0 * spot, setup=setup), down=50.0)
        for setup in "ABC"
        for spot in range(6)
    ]
    heights = adjust(book_of(kick(rows, 9, 0.5)), Laser())
    (line,) = [said(note) for note in read_again(judge_quality(heights))]
    assert line.startswith("give set-up B another name from row 11 on: beam of set-up B: moved up")


def test_a_long_list_is_cut_and_counted() -> None:
    rows = walk(np.random.default_rng(3), Plan(setups=6, shared=8, fresh=8, noise=0.5))
    notes = read_again(judge_quality(adjusted(rows)))
    assert len(notes) == MOST_LISTED + 1
    assert said(notes[-1]).startswith("and ")
