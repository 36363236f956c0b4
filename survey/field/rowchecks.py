"""Checks of rows whose cells are each sound, and of what the rows say together."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from survey.errors import Fault, Note
from survey.field.book import BoolArray, FieldBook
from survey.field.decode import shown
from survey.field.headings import READINGS
from survey.job import Job, find_wall, name_key, wall_length
from survey.lengths import INCHES_PER, to_unit

FARTHEST_READING = 20 * INCHES_PER["ft"]
TIMES_MEDIAN = 5.0
FEWEST_FOR_A_MEDIAN = 5
PAST_END = 1e-6  # [in], the rounding of a unit turned into inches


@dataclass(frozen=True, kw_only=True, eq=False)
class Typed:
    """What was typed in the rows of a book.

    `filled` has by column the rows whose cell is not blank, shape (n,): a cell at fault is filled
    and NaN in the book. `text` answers with the cell of a row and column.
    """

    filled: Mapping[str, BoolArray]
    text: Callable[[int, str], str]


@dataclass(frozen=True, kw_only=True, eq=False)
class _Rule:
    """Rows that break a rule, where, and what to say."""

    rows: BoolArray
    column: str
    wanted: str | Callable[[int], str]
    cure: str = ""


def check_rows(book: FieldBook, job: Job, typed: Typed) -> list[Fault]:
    """Faults of the rows of a book against each other, the job's walls and its marks."""
    rules = (
        *_impossible_lengths(book),
        *_unlikely_lengths(book),
        *_readings_missing(book, typed.filled),
        *_stations(book, job, typed.filled["station"]),
        _past_the_end(book, job),
    )
    return [
        Fault(
            file=book.sources[book.file[i]].file,
            row=int(book.row[i]),
            column=rule.column,
            found=typed.text(int(i), rule.column),
            wanted=rule.wanted if isinstance(rule.wanted, str) else rule.wanted(int(i)),
            cure=rule.cure,
        )
        for rule in rules
        for i in np.flatnonzero(rule.rows)
    ]


def far_off_notes(book: FieldBook) -> tuple[Note, ...]:
    """Readings over five times the median of their column."""
    notes: list[Note] = []
    for column in READINGS:
        values = getattr(book, column)
        read = np.isfinite(values)
        if read.sum() < FEWEST_FOR_A_MEDIAN:
            continue
        median = float(np.median(values[read]))
        notes.extend(
            Note(
                code="reading-far-off",
                level="doubt",
                wall=book.names[book.name[i]].name,
                station=None if np.isnan(book.station[i]) else float(book.station[i]),
                row=int(book.row[i]),
                text=f"{book.sources[book.file[i]].file} row {book.row[i]}: {column} {{}} is "
                "over five times the usual {}",
                lengths=(float(values[i]), median),
            )
            for i in np.flatnonzero(values > TIMES_MEDIAN * median)
        )
    return tuple(notes)


def bare_end_notes(book: FieldBook, job: Job) -> tuple[Note, ...]:
    """Wall ends with no slab reading within half a stud spacing."""
    read = np.isfinite(book.station) & (np.isfinite(book.down) | np.isfinite(book.clear))
    first = np.full(len(book.names), np.inf)
    last = np.full(len(book.names), -np.inf)
    np.minimum.at(first, book.name[read], book.station[read])
    np.maximum.at(last, book.name[read], book.station[read])
    notes = []
    for code in np.flatnonzero(np.isfinite(first)):
        line = find_wall(job, book.names[code].name)
        spacing = line.overrides.get("frame", {}).get("spacing", job.frame.spacing)
        length = wall_length(line)
        beyond = 0.0 if length is None else length - last[code]
        for bare, end in ((first[code], "start"), (beyond, "far end")):
            if bare > spacing / 2:
                text = f"no slab reading over the {{}} at its {end}"
                note = Note(code="bare-end", wall=line.name, text=text, lengths=(float(bare),))
                notes.append(note)
    return tuple(notes)


def _impossible_lengths(book: FieldBook) -> Iterator[_Rule]:
    wanted = "is before the wall's start, which is station 0"
    yield _Rule(rows=book.station < 0, column="station", wanted=wanted)
    for column in (*READINGS, "distance", "cover"):
        wanted = "is negative; write what the rod or tape shows, without a sign"
        yield _Rule(rows=getattr(book, column) < 0, column=column, wanted=wanted)
    wanted = "must be above 0; leave it blank for the laser's own"
    yield _Rule(rows=book.sd <= 0, column="sd", wanted=wanted)
    yield _Rule(rows=book.clear == 0, column="clear", wanted="puts the joist on the slab")
    with_station = np.isfinite(book.station)
    buried = (book.down + book.up <= 0) & (book.down >= 0) & (book.up >= 0) & with_station
    yield _Rule(rows=buried, column="up", wanted="and down put the joist at or below the slab")


def _unlikely_lengths(book: FieldBook) -> Iterator[_Rule]:
    small = book.unit in ("mm", "cm")
    cure = "Check the number and its unit" if small else "Is this file in mm?"
    for column in READINGS:
        far = (getattr(book, column) > FARTHEST_READING) & np.isfinite(book.station)
        yield _Rule(rows=far, column=column, wanted="is over 20 ft", cure=cure)


def _readings_missing(book: FieldBook, filled: Mapping[str, BoolArray]) -> Iterator[_Rule]:
    unflagged = np.array([not flag for flag in book.flag], dtype=np.bool_)
    beam = filled["down"] | filled["up"]
    cure = "Give a reading, or flag the row joint, crack or drain"
    nothing = ~(beam | filled["clear"]) & unflagged & ~book.taped
    yield _Rule(rows=nothing, column="", wanted="has neither down nor up", cure=cure)
    both = beam & filled["clear"]
    wanted = "stands beside down or up"
    yield _Rule(rows=both, column="clear", wanted=wanted, cure="Give it a row of its own")
    lost = ~filled["station"] & filled["clear"]
    yield _Rule(rows=lost, column="clear", wanted="is taken on a wall; give its station")


def _stations(book: FieldBook, job: Job, filled: BoolArray) -> Iterator[_Rule]:
    """Rows of a wall that have no station, and rows of a mark that have one."""
    kind = np.array([named.kind for named in book.names])[book.name]
    listed = {name_key(wall.name) for wall in job.walls}
    is_listed = np.array([name_key(named.name) in listed for named in book.names])[book.name]

    def said(i: int) -> str:
        return f"wall {shown(book.names[book.name[i]].name)} has no station"

    missing = (kind == "wall") & ~filled
    yield _Rule(rows=missing & is_listed, column="", wanted=said)
    cure = "Give it; or, if this is a mark, list it under [[mark]] in job.toml"
    yield _Rule(rows=missing & ~is_listed, column="", wanted=said, cure=cure)
    wanted = "is given, but the name is a mark in job.toml, and marks have none"
    yield _Rule(rows=(kind == "mark") & filled, column="station", wanted=wanted)
    astray = (book.side != 0) & (kind != "wall")
    yield _Rule(rows=astray, column="side", wanted="is for a joint across a wall")


def _past_the_end(book: FieldBook, job: Job) -> _Rule:
    lengths = [
        wall_length(find_wall(job, named.name)) if named.kind == "wall" else None
        for named in book.names
    ]
    end = np.array([np.inf if length is None else length for length in lengths])[book.name]

    def said(i: int) -> str:
        own = f"{to_unit(float(end[i]), book.unit):g} {book.unit}"
        return f"is past the end of {shown(book.names[book.name[i]].name)}, which is {own} long"

    return _Rule(rows=book.station > end + PAST_END, column="station", wanted=said)
