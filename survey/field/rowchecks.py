"""Checks of the rows as a whole: readings that cannot be, stations past the end, names."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from survey.errors import Fault, Note
from survey.field.book import BoolArray, FieldBook
from survey.job import Job, find_wall, wall_length

FARTHEST_READING = 240.0
TIMES_MEDIAN = 5.0


def check_rows(book: FieldBook, job: Job) -> list[Fault]:
    """Faults of rows whose cells are each sound: negative, too far, nothing read."""
    with_station = np.isfinite(book.station)
    faults: list[Fault] = []
    for column in ("station", "down", "up", "clear", "distance", "cover"):
        values = getattr(book, column)
        faults += _at(book, values < 0, column, "is negative; it is measured one way only")
    faults += _at(book, book.sd <= 0, "sd", "must be more than 0")
    for column in ("down", "up", "clear"):
        far = (getattr(book, column) > FARTHEST_READING) & with_station
        faults += _at(
            book, far, column, "is over 20 ft", "Is this file in mm? Head the column down_mm"
        )
    nothing = np.isnan(book.down) & np.isnan(book.up) & np.isnan(book.clear)
    unflagged = np.array([flag == "" for flag in book.flag])
    faults += _at(
        book, nothing & unflagged, "", "has neither down nor up", "Give a reading, or flag it"
    )
    faults += _at(book, book.down + book.up <= 0, "up", "puts the joist at or below the slab")
    return faults + _past_the_end(book, job)


def check_names(book: FieldBook, job: Job) -> list[Fault]:
    """Rows of a wall without a station, and rows of a mark with one."""
    kinds = np.array([named.kind for named in book.names])[book.name]
    missing = (kinds == "wall") & np.isnan(book.station)
    faults = []
    for i in np.flatnonzero(missing):
        wall = book.names[book.name[i]].name
        faults.append(_fault(book, i, "", f"wall {wall} has no station"))
    for i in np.flatnonzero((kinds == "mark") & np.isfinite(book.station)):
        mark = book.names[book.name[i]].name
        faults.append(_fault(book, i, "station", f"{mark} is a mark; marks have no station"))
    return faults


def reading_notes(book: FieldBook) -> tuple[Note, ...]:
    """Readings over five times the median of their column, marks left aside."""
    with_station = np.isfinite(book.station)
    notes = []
    for column in ("down", "up", "clear"):
        values = getattr(book, column)
        usable = values[np.isfinite(values) & with_station]
        if usable.size < 5:
            continue
        far = (values > TIMES_MEDIAN * np.median(usable)) & with_station
        for i in np.flatnonzero(far):
            notes.append(
                Note(
                    code="reading-far-off",
                    level="doubt",
                    row=int(book.row[i]),
                    wall=book.names[book.name[i]].name,
                    station=float(book.station[i]),
                    text=f"row {int(book.row[i])} `{column}` {{}} is over five times what is usual",
                    lengths=(float(values[i]),),
                )
            )
    return tuple(notes)


def _past_the_end(book: FieldBook, job: Job) -> list[Fault]:
    faults = []
    for code, named in enumerate(book.names):
        length = wall_length(find_wall(job, named.name)) if named.kind == "wall" else None
        if length is None:
            continue
        past = (book.name == code) & (book.station > length + 0.01)
        for i in np.flatnonzero(past):
            faults.append(
                _fault(
                    book,
                    i,
                    "station",
                    f"lies past the end of {named.name}, which is {length:g} in long",
                )
            )
    return faults


def _at(
    book: FieldBook, hit: BoolArray, column: str, wanted: str, cure: str = ""
) -> Iterable[Fault]:
    return [_fault(book, i, column, wanted, cure) for i in np.flatnonzero(hit)]


def _fault(book: FieldBook, i: int, column: str, wanted: str, cure: str = "") -> Fault:
    return Fault(
        file=book.sources[book.file[i]].file,
        row=int(book.row[i]),
        column=column,
        wanted=wanted,
        cure=cure,
    )
