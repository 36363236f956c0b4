"""What was found in words, with lengths left to the reader's unit."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from books import Row, book_of
from survey.errors import Note
from survey.field.book import Source
from survey.field.levelling import Surface, adjust
from survey.field.quality import judge_quality
from survey.field.quality_notes import Said, plain, say_spot
from survey.job import Laser
from tied_surveys import MARKS, Plan, adjusted, blunder, kick, walk


def said(note: Note) -> str:
    return note.said(lambda x: f"[{x:.1f}]")


def clean() -> list[Row]:
    return walk(np.random.default_rng(3), Plan())


def test_a_reading_named_alone() -> None:
    note, *rest = judge_quality(adjusted(blunder(clean(), 14, "down", 0.75))).notes
    assert said(note).startswith("row 16 down, M2: [0.8] too large (")
    assert (note.code, note.level, note.wall, note.row) == ("misread", "doubt", "", 16)
    assert [one.code for one in rest] == ["uncheckable"]


def test_a_group_is_said_with_each_amount() -> None:
    rows = clean()
    at = next(i for i, row in enumerate(rows) if row.setup == "B" and row.up is not None)
    note = judge_quality(adjusted(blunder(rows, at, "up", -0.75))).notes[0]
    text = said(note)
    assert text.startswith("one of these, which cannot be told apart: row ")
    assert "up, Long at [112.0]: [0.7] too large" in text
    assert "up, Long at [112.0]: [0.7] too small" in text
    assert (note.wall, note.station) == ("Long", 112.0)


def test_a_moved_beam() -> None:
    note = judge_quality(adjusted(kick(clean(), 18, -0.5))).notes[0]
    assert said(note).startswith(
        "beam of set-up B: moved down about [0.5] between rows 19 and 23 ("
    )
    assert (note.code, note.wall, note.row) == ("kick", "", None)


def test_marks_that_disagree() -> None:
    heights = adjust(book_of(clean(), {"M1": 48.0, "M2": 46.0}), Laser())
    note = judge_quality(heights).notes[0]
    assert note.code == "mark-moved"
    assert "mark M1: [0.5] below its given elevation" in said(note)
    assert "mark M2: [0.5] above its given elevation" in said(note)


def test_files_are_named_where_there_are_several() -> None:
    rows = blunder(clean(), 14, "down", 0.75)
    book = book_of(rows, MARKS)
    two = dataclasses.replace(
        book,
        sources=(Source(file="day1.csv", sha256=""), Source(file="day2.csv", sha256="")),
        file=(book.row > 14).astype(np.int64),
    )
    assert said(judge_quality(adjust(two, Laser())).notes[0]).startswith("day2.csv row 16 down, ")


def test_more_than_can_be_listed_is_said() -> None:
    rows = walk(np.random.default_rng(3), Plan(setups=6, shared=8, fresh=8, noise=0.5))
    codes = [note.code for note in judge_quality(adjusted(rows)).notes]
    assert codes[-2:] == ["more-misfits", "uncheckable"] or codes[-1] == "more-misfits"


def test_braces_in_a_name_hold_no_length() -> None:
    assert plain("wall {}").text == "wall ( )"
    rows = [dataclasses.replace(row, name=row.name.replace("Long", "{} {}")) for row in clean()]
    at = next(i for i, row in enumerate(rows) if row.setup == "B" and row.up is not None)
    note = judge_quality(adjusted(blunder(rows, at, "up", 0.75))).notes[0]
    assert "( ) ( ) at [112.0]" in said(note)


@pytest.mark.parametrize(
    ("side", "surface", "expected"),
    [
        (0, Surface.SLAB, "Long at {}"),
        (-1, Surface.SLAB, "Long at {} - side"),
        (1, Surface.SLAB, "Long at {} + side"),
        (0, Surface.JOIST, "Long at {} (joist)"),
    ],
)
def test_a_spot_in_words(side: int, surface: Surface, expected: str) -> None:
    spot = say_spot("Long", 64.0, side, surface)
    assert spot == Said(text=expected, lengths=(64.0,))
