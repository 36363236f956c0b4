"""Readings files to the field book: every row kept, every fault of every file in one report."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pandas as pd

from survey.errors import Fault, Note, SurveyError
from survey.field.book import FieldBook, IntArray, Named, Source
from survey.field.decode import LONGEST_CELL, Cells, read_cells
from survey.field.headings import LENGTH_COLUMNS, Heading, delimiter_of, find_heading
from survey.field.leaveout import leave_out
from survey.field.lengthcolumn import read_lengths
from survey.field.namecolumn import read_flags, read_names, read_on_plate, read_sides
from survey.field.rowchecks import check_names, check_rows, reading_notes
from survey.job import Job
from survey.lengths import INCHES_PER, Unit

HEAD_ROWS = 30
ONLY_WALL = "Wall"
ONLY_SETUP = "A"


@dataclass(frozen=True, kw_only=True, eq=False)
class Sheet:
    """One file read: its rows as columns by our names, names as words."""

    source: Source
    columns: Mapping[str, np.ndarray]  # type: ignore[type-arg]
    setups: tuple[str, ...]
    names: tuple[str, ...]
    flag: tuple[str, ...]
    note: tuple[str, ...]
    faults: tuple[Fault, ...]
    notes: tuple[Note, ...]


def read_readings(job: Job) -> FieldBook:
    """Read all readings files of a job into one field book.

    Parameters
    ----------
    job
        Names the files, the unit, the marks and the readings left out.

    Raises
    ------
    SurveyError
        If a file cannot be read at all, or rows have faults; every fault of every file is listed.
    """
    unit = _unit(job)
    sheets = [
        _read_sheet(Path(job.folder) / name, name, unit, _default_wall(job))
        for name in job.info.readings
    ]
    book = _bind(sheets, job)
    faults = [fault for sheet in sheets for fault in sheet.faults]
    told = {(fault.file, fault.row) for fault in faults}
    faults += [
        fault
        for fault in check_names(book, job) + check_rows(book, job)
        if fault.column or (fault.file, fault.row) not in told
    ]
    if faults:
        faults.sort(key=lambda f: (job.info.readings.index(f.file), f.row or 0))
        count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        files = ", ".join(dict.fromkeys(fault.file for fault in faults))
        raise SurveyError(f"{files}: {count} in the readings", faults=faults)
    left_out = (*job.info.leave_out, *job.options.get("job.leave_out", ()))
    book = replace(book, notes=(*book.notes, *reading_notes(book)))
    return leave_out(book, left_out)


def _unit(job: Job) -> Unit:
    """The unit of numbers without a mark: the job's, else the option's, else inches."""
    asked: Unit | None = job.options.get("job.unit")
    if asked is None or asked == job.info.unit:
        return job.info.unit
    if "job.unit" in job.given:
        raise SurveyError(
            f'--unit {asked} differs from unit = "{job.info.unit}" in job.toml; change one of them'
        )
    return asked


def _default_wall(job: Job) -> str:
    """What a file without a wall column is about: the job's only wall, if it has just one."""
    return job.walls[0].name if len(job.walls) == 1 else ONLY_WALL


def _read_sheet(path: Path, name: str, unit: Unit, wall: str) -> Sheet:
    cells = read_cells(path, name=name, delimiter_of=delimiter_of)
    head = cells.frame.head(HEAD_ROWS).astype(str).to_numpy().tolist()
    heading = find_heading(head, name)
    body, rows = _body(cells, heading)
    faults = _stray_cells(body, rows, heading, name)
    texts = {column: body.iloc[:, i].astype(str) for column, i in heading.place.items()}
    comma, comma_faults = _decimal_comma(texts, cells, rows)
    columns: dict[str, np.ndarray] = {"row": rows}  # type: ignore[type-arg]
    for column in LENGTH_COLUMNS:
        columns[column], found = _lengths(texts, column, rows, heading, (name, unit, comma))
        faults += found
    blank = pd.Series([""] * rows.size, dtype=object)
    setup = read_names(
        texts.get("setup", blank), rows, file=name, column="setup", default=ONLY_SETUP
    )
    walls = read_names(texts.get("wall", blank), rows, file=name, column="wall", default=wall)
    columns["side"], side_faults = read_sides(texts.get("side", blank), rows, name)
    columns["on_plate"], on_faults = read_on_plate(texts.get("on", blank), rows, name)
    remarks = texts.get("note", blank)
    flag, flag_faults, flag_notes = read_flags(texts.get("flag", blank), remarks, rows, name)
    columns["setup"], columns["name"] = setup.code, walls.code
    return Sheet(
        source=Source(file=name, sha256=cells.sha256),
        columns=columns,
        setups=setup.names,
        names=walls.names,
        flag=flag,
        note=_remarks(remarks, body, heading),
        faults=(
            *faults,
            *comma_faults,
            *setup.faults,
            *walls.faults,
            *side_faults,
            *on_faults,
            *flag_faults,
        ),
        notes=(*cells.notes, *heading.notes, *setup.notes, *walls.notes, *flag_notes),
    )


def _body(cells: Cells, heading: Heading) -> tuple[pd.DataFrame, IntArray]:
    """Rows under the heading that are neither empty nor comments, with their numbers."""
    frame = cells.frame.iloc[heading.row + 1 :]
    first = frame.iloc[:, 0].astype(str).str.lstrip()
    empty = np.ones(len(frame), dtype=np.bool_)
    for column in frame.columns:
        empty &= (frame[column].astype(str).str.strip() == "").to_numpy()
    keep = ~empty & ~first.str.startswith("#").to_numpy()
    rows = np.arange(heading.row + 2, heading.row + 2 + len(frame))[keep]
    if rows.size == 0:
        raise SurveyError(f"{cells.file}: there is no row of readings under the heading")
    return frame[keep].reset_index(drop=True), rows


def _stray_cells(body: pd.DataFrame, rows: IntArray, heading: Heading, file: str) -> list[Fault]:
    """Cells beyond the heading, and cells too long to be anything."""
    faults = []
    for column in range(body.shape[1]):
        texts = body.iloc[:, column].astype(str)
        if column >= heading.width:
            for i in np.flatnonzero((texts.str.strip() != "").to_numpy()):
                faults.append(
                    Fault(
                        file=file,
                        row=int(rows[i]),
                        found=texts.iat[i][:40],
                        wanted="stands beyond the last headed column",
                        cure="A comma inside a cell needs quotes about the cell",
                    )
                )
        for i in np.flatnonzero((texts.str.len() > LONGEST_CELL).to_numpy()):
            faults.append(
                Fault(
                    file=file, row=int(rows[i]), wanted=f"a cell over {LONGEST_CELL:,} characters"
                )
            )
    return faults


def _decimal_comma(
    texts: Mapping[str, pd.Series[str]], cells: Cells, rows: IntArray
) -> tuple[bool, list[Fault]]:
    """Whether the file writes decimals with a comma; both kinds in one file are faults."""
    if cells.delimiter == ",":
        return False, []
    comma, point = [], []
    for column in LENGTH_COLUMNS:
        if column in texts:
            comma += _matching(texts[column], r"\d,\d", column)
            point += _matching(texts[column], r"\d\.\d", column)
    if comma and point:
        column, at = min(comma, point, key=len)[0]
        fault = Fault(
            file=cells.file,
            row=int(rows[at]),
            column=column,
            found=texts[column].iat[at][:40],
            wanted="two kinds of decimal mark in one file",
            cure="Use points or commas throughout",
        )
        return True, [fault]
    return bool(comma), []


def _matching(texts: pd.Series[str], pattern: str, column: str) -> list[tuple[str, int]]:
    hit = texts.str.contains(pattern, regex=True).to_numpy()
    return [(column, int(i)) for i in np.flatnonzero(hit)]


def _lengths(
    texts: Mapping[str, pd.Series[str]],
    column: str,
    rows: IntArray,
    heading: Heading,
    how: tuple[str, Unit, bool],
) -> tuple[np.ndarray, list[Fault]]:  # type: ignore[type-arg]
    file, unit, comma = how
    if column not in texts:
        return np.full(rows.size, np.nan), []
    found = read_lengths(
        texts[column],
        rows,
        file=file,
        column=column,
        unit=heading.unit.get(column, unit),
        decimal_comma=comma,
    )
    return found.inches, list(found.faults)


def _remarks(notes: pd.Series[str], body: pd.DataFrame, heading: Heading) -> tuple[str, ...]:
    """The note of each row, with what stands in columns we do not know."""
    remarks = notes.astype(str).str.strip()
    for name, i in heading.other.items():
        cell = body.iloc[:, i].astype(str).str.strip()
        remarks = remarks.where(cell == "", remarks + f"; {name}: " + cell)
    return tuple(remarks.str.removeprefix("; "))


def _bind(sheets: Sequence[Sheet], job: Job) -> FieldBook:
    """One book of all sheets: names and set-ups that agree caselessly are one."""
    setups, setup_codes = _joined([sheet.setups for sheet in sheets])
    names, name_codes = _joined([sheet.names for sheet in sheets])

    def column(key: str) -> np.ndarray:  # type: ignore[type-arg]
        return np.concatenate([sheet.columns[key] for sheet in sheets])

    name = np.concatenate(
        [codes[s.columns["name"]] for codes, s in zip(name_codes, sheets, strict=True)]
    )
    sizes = [sheet.columns["row"].size for sheet in sheets]
    return FieldBook(
        sources=tuple(sheet.source for sheet in sheets),
        setups=setups,
        names=_named(names, name, column("station"), job),
        file=np.repeat(np.arange(len(sheets)), sizes),
        row=column("row"),
        setup=np.concatenate(
            [codes[s.columns["setup"]] for codes, s in zip(setup_codes, sheets, strict=True)]
        ),
        name=name,
        side=column("side"),
        on_plate=column("on_plate"),
        flag=tuple(flag for sheet in sheets for flag in sheet.flag),
        note=tuple(note for sheet in sheets for note in sheet.note),
        unit=_unit(job),
        notes=tuple(note for sheet in sheets for note in sheet.notes),
        **{key: column(key) for key in LENGTH_COLUMNS},
    )


def _joined(lists: Sequence[tuple[str, ...]]) -> tuple[tuple[str, ...], list[IntArray]]:
    """All names once, first spelling kept, and each list's codes into them."""
    joined: dict[str, int] = {}
    spelled: list[str] = []
    codes = []
    for names in lists:
        for name in names:
            if name.casefold() not in joined:
                joined[name.casefold()] = len(spelled)
                spelled.append(name)
        codes.append(np.array([joined[name.casefold()] for name in names], dtype=np.int64))
    return tuple(spelled), codes


def _named(
    names: Sequence[str], code: IntArray, station: np.ndarray, job: Job
) -> tuple[Named, ...]:  # type: ignore[type-arg]
    """What each name is: a mark of the job, a wall if it ever has a station, else a point."""
    marks = {mark.name.strip().casefold(): mark for mark in job.marks}
    walls = {wall.name.strip().casefold(): wall.name.strip() for wall in job.walls}
    with_station = set(np.unique(code[np.isfinite(station)]).tolist())
    made = []
    for i, name in enumerate(names):
        key = re.sub(r"\s+", " ", name.casefold())
        mark = marks.get(key)
        if mark is not None:
            made.append(
                Named(name=mark.name.strip(), kind="mark", elevation=mark.elevation, on=mark.on)
            )
        elif key in walls or i in with_station:
            made.append(Named(name=walls.get(key, name), kind="wall"))
        else:
            made.append(Named(name=name, kind="point"))
    return tuple(made)
