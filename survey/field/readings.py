"""Readings files to the field book: every row kept, every fault of every file in one report."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from survey.errors import Fault, Note, SurveyError
from survey.field.book import BoolArray, FieldBook, FloatArray, IntArray, Named, Source
from survey.field.cells import Cells, read_cells
from survey.field.decode import read_text, refusal, shown
from survey.field.headings import LENGTHS
from survey.field.leaveout import leave_out
from survey.field.lengthcolumn import read_lengths, with_one_cure
from survey.field.namecolumn import (
    alike_notes,
    joined_names,
    read_flags,
    read_names,
    read_on_plate,
    read_remarks,
    read_sides,
)
from survey.field.rowchecks import Typed, bare_end_notes, check_rows, far_off_notes
from survey.field.tapefile import is_tape_file, tape_faults, tape_file
from survey.job import Job, name_key
from survey.lengths import Unit

Value = TypeVar("Value", bound=np.generic)
ONLY_WALL = "Wall"
ONLY_SETUP = "A"


@dataclass(frozen=True, kw_only=True, eq=False)
class _Sheet:
    """One file read, its set-ups and names as numbers into its own lists."""

    source: Source
    cells: Cells
    inches: Mapping[str, FloatArray]
    filled: Mapping[str, BoolArray]
    setups: tuple[str, ...]
    setup: IntArray
    names: tuple[str, ...]
    name: IntArray
    side: IntArray
    on_plate: BoolArray
    flag: tuple[str, ...]
    note: tuple[str, ...]
    faults: tuple[Fault, ...]
    dates: tuple[Fault, ...]
    notes: tuple[Note, ...]


def read_readings(job: Job) -> FieldBook:
    """Read all readings files of a job and its taped heights; leave out what is asked.

    Parameters
    ----------
    job
        Names the files, the unit, the walls and marks, and the readings left out.

    Raises
    ------
    SurveyError
        If a file cannot be read, or anything in it is wrong: every fault of every file is listed.
    """
    paths = [(Path(job.folder) / name, name) for name in job.info.readings]
    book = read_book([*paths, *tape_file(job)], job)
    return leave_out(book, (*job.info.leave_out, *job.options.get("job.leave_out", ())))


def read_book(paths: Sequence[tuple[Path, str]], job: Job) -> FieldBook:
    """Read files, each with the name messages have for it, into one book; nothing is left out.

    Raises
    ------
    SurveyError
        As for `read_readings`.
    """
    unit = _unit(job)
    _check_files([name for _, name in paths])
    sheets: list[_Sheet] = []
    faults: list[Fault] = []
    for path, name in paths:
        try:
            sheets.append(_read_sheet(path, name, job, unit))
        except SurveyError as error:
            faults += error.faults
    faults += [fault for sheet in sheets for fault in sheet.faults]
    faults += _columns_missing(sheets, job, len(job.info.readings))
    if sheets:
        book = _bound(_under_first_setup(sheets), job, unit)
        typed = _typed(sheets)
        faults += [*check_rows(book, job, typed), *tape_faults(book, job, typed)]
    order = {name: i for i, (_, name) in enumerate(paths)}
    dates = [fault for sheet in sheets for fault in sheet.dates]
    for found in (faults, dates):
        found.sort(key=lambda fault: (order[fault.file], fault.row or 0))
    faults += with_one_cure(dates)
    if faults:
        files = ", ".join(sorted({fault.file for fault in faults}, key=lambda name: order[name]))
        count = "1 fault" if len(faults) == 1 else f"{len(faults):,} faults"
        raise SurveyError(f"{files}: {count} in the readings", faults=faults)
    return _with_notes(book, sheets, job)


def _unit(job: Job) -> Unit:
    """The unit of numbers that carry none: the job's, else the option's, else inches."""
    asked: Unit = job.options.get("job.unit", job.info.unit)
    if asked != job.info.unit and job.given.get("job.unit") == "job":
        raise SurveyError(
            f'--unit {asked} differs from unit = "{job.info.unit}" in job.toml; change one of them'
        )
    return asked


def _check_files(names: Sequence[str]) -> None:
    if not names:
        raise SurveyError("no readings file is named; put readings = [...] under [job]")
    for name in names:
        if names.count(name) > 1:
            raise refusal(name, "is named twice under readings", "Name it once")


def _read_sheet(path: Path, file: str, job: Job, unit: Unit) -> _Sheet:
    text = read_text(path, file)
    cells = read_cells(text)
    lengths = read_lengths(cells, unit)
    only = len(job.info.readings) == 1
    setups = read_names(cells, "setup", ONLY_SETUP if only else Path(file).stem)
    names = read_names(cells, "wall", job.walls[0].name if len(job.walls) == 1 else ONLY_WALL)
    side, side_faults = read_sides(cells)
    on_plate, on_faults = read_on_plate(cells)
    flag, flag_faults, flag_notes = read_flags(cells)
    word_faults = (*setups.faults, *names.faults, *side_faults, *on_faults, *flag_faults)
    return _Sheet(
        source=Source(file=file, sha256=text.sha256, taped=is_tape_file(file, job)),
        cells=cells,
        inches=lengths.inches,
        filled=lengths.filled,
        setups=setups.names,
        setup=setups.code,
        names=names.names,
        name=names.code,
        side=side,
        on_plate=on_plate,
        flag=flag,
        note=read_remarks(cells),
        faults=(*cells.faults, *lengths.faults, *word_faults),
        dates=lengths.dates,
        notes=(*text.notes, *cells.heading.notes, *setups.notes, *names.notes, *flag_notes),
    )


def _under_first_setup(sheets: Sequence[_Sheet]) -> list[_Sheet]:
    """The sheets, taped heights under the first set-up: they hang on no beam."""
    first = sheets[0].setups[:1]
    return [
        dataclasses.replace(sheet, setups=first, setup=np.zeros_like(sheet.setup))
        if sheet.source.taped
        else sheet
        for sheet in sheets
    ]


def _columns_missing(sheets: Sequence[_Sheet], job: Job, files: int) -> list[Fault]:
    """Files without a wall column, where there are several walls it could be."""
    if files == 1 and len(job.walls) <= 1:
        return []
    why = f"job.toml has {len(job.walls)} walls" if len(job.walls) > 1 else "there are other files"
    return [
        Fault(
            file=sheet.source.file,
            row=sheet.cells.heading.row,
            wanted=f"has no column `wall`, and {why}",
            cure="Add the column and name the wall in it",
        )
        for sheet in sheets
        if "wall" not in sheet.cells.columns
    ]


def _bound(sheets: Sequence[_Sheet], job: Job, unit: Unit) -> FieldBook:
    """One book of all files: set-ups and names that agree caselessly are one."""
    setups, setup_of = joined_names([sheet.setups for sheet in sheets])
    names, name_of = joined_names([sheet.names for sheet in sheets])
    setup = _joined([own[s.setup] for own, s in zip(setup_of, sheets, strict=True)])
    name = _joined([own[s.name] for own, s in zip(name_of, sheets, strict=True)])
    filled = _joined([sheet.filled["station"] for sheet in sheets])
    has_station = np.bincount(name[filled], minlength=len(names)) > 0
    inches = {key: _joined([sheet.inches[key] for sheet in sheets]) for key in LENGTHS}
    return FieldBook(
        sources=tuple(sheet.source for sheet in sheets),
        setups=setups,
        names=_named(names, has_station, job),
        file=np.repeat(np.arange(len(sheets)), [sheet.cells.row.size for sheet in sheets]),
        row=_joined([sheet.cells.row for sheet in sheets]),
        setup=setup,
        name=name,
        side=_joined([sheet.side for sheet in sheets]),
        on_plate=_joined([sheet.on_plate for sheet in sheets]),
        flag=tuple(chain.from_iterable(sheet.flag for sheet in sheets)),
        note=tuple(chain.from_iterable(sheet.note for sheet in sheets)),
        unit=unit,
        station=inches["station"],
        down=inches["down"],
        up=inches["up"],
        clear=inches["clear"],
        sd=inches["sd"],
        distance=inches["distance"],
        cover=inches["cover"],
    )


def _joined(parts: Sequence[npt.NDArray[Value]]) -> npt.NDArray[Value]:
    return np.concatenate(parts)


def _named(names: Sequence[str], has_station: BoolArray, job: Job) -> tuple[Named, ...]:
    """What each name is: a mark or wall of the job; else a wall if it has a station anywhere."""
    marks = {name_key(mark.name): mark for mark in job.marks}
    walls = {name_key(wall.name): wall.name.strip() for wall in job.walls}
    made = []
    for name, with_station in zip(names, has_station, strict=True):
        mark = marks.get(name_key(name))
        if mark is not None:
            spelled, known, on = mark.name.strip(), mark.elevation, mark.on
            made.append(Named(name=spelled, kind="mark", elevation=known, on=on))
        elif name_key(name) in walls or with_station:
            made.append(Named(name=walls.get(name_key(name), name), kind="wall"))
        else:
            made.append(Named(name=name, kind="point"))
    return tuple(made)


def _typed(sheets: Sequence[_Sheet]) -> Typed:
    """What was typed in the rows of all files one after the other."""
    starts = np.cumsum([0, *(sheet.cells.row.size for sheet in sheets)])

    def text(i: int, name: str) -> str:
        which = int(np.searchsorted(starts, i, side="right")) - 1
        column = sheets[which].cells.columns.get(name)
        return shown(column.texts[column.code[i - starts[which]]]) if column else ""

    filled = {key: np.concatenate([sheet.filled[key] for sheet in sheets]) for key in LENGTHS}
    return Typed(filled=filled, text=text)


def _with_notes(book: FieldBook, sheets: Sequence[_Sheet], job: Job) -> FieldBook:
    """The book with all that is to be told of it."""
    listed = [
        *(wall.name.strip() for wall in job.walls),
        *(mark.name.strip() for mark in job.marks),
    ]
    known = {name_key(name) for name in listed}
    files = len(job.info.readings)
    names = [*listed, *(n.name for n in book.names if name_key(n.name) not in known)]
    notes = (
        *(note for sheet in sheets for note in (*sheet.notes, *_own_setup(sheet, files))),
        *alike_notes(names),
        *alike_notes(book.setups),
        *far_off_notes(book),
        *bare_end_notes(book, job),
    )
    return dataclasses.replace(book, notes=notes)


def _own_setup(sheet: _Sheet, files: int) -> tuple[Note, ...]:
    """Tell that a file without set-ups, one of several, is taken as one set-up of its own."""
    if files == 1 or sheet.source.taped or "setup" in sheet.cells.columns:
        return ()
    said = f'{sheet.source.file} has no column `setup`: it is one set-up, "{sheet.setups[0]}"'
    return (Note(code="own-setup", text=said),)
