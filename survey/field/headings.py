"""The heading row of a readings file: which column is what, and in which unit."""

from __future__ import annotations

import csv
import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from survey.errors import Fault, Note, SurveyError
from survey.field.decode import DELIMITERS
from survey.lengths import INCHES_PER, Unit

# Our word -> the words it may be headed by. Few and closed on purpose.
WORDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "setup": ("setup", "set-up", "instrument"),
        "wall": ("wall", "line", "mark", "point"),
        "station": ("station", "sta", "pos", "at"),
        "side": ("side",),
        "on": ("on",),
        "down": ("down", "slab", "floor"),
        "up": ("up", "joist", "ceiling"),
        "clear": ("clear",),
        "sd": ("sd",),
        "distance": ("distance",),
        "cover": ("cover",),
        "flag": ("flag",),
        "note": ("note", "notes", "remark"),
    }
)
LENGTH_COLUMNS = ("station", "down", "up", "clear", "sd", "distance", "cover")
USUAL = "setup,wall,station,down,up,note"
FARTHEST_HEADING = 30
_BY_WORD = {word: column for column, words in WORDS.items() for word in words}
_UNIT = re.compile(r"^(.*?)(?:_| ?\(| ?\[)(in|inches|ft|feet|mm|cm|m)[\])]?$")
_UNIT_WORD: Mapping[str, Unit] = MappingProxyType(
    {"inches": "in", "feet": "ft", **{unit: unit for unit in INCHES_PER}}
)


@dataclass(frozen=True, kw_only=True)
class Heading:
    """The columns of a file: place of each of our columns, units given, columns we do not know.

    `row` counts from 0; `width` is the number of headed columns.
    """

    row: int
    place: Mapping[str, int]
    unit: Mapping[str, Unit]
    other: Mapping[str, int]
    width: int
    notes: tuple[Note, ...]


def delimiter_of(lines: Sequence[str]) -> str:
    """The delimiter under which some line holds the most of our column words."""
    best, delimiter = 0, ","
    for line in lines[:FARTHEST_HEADING]:
        if line.lstrip().startswith("#"):
            continue
        if re.fullmatch(r'"?sep=(.)"?', line.strip()):
            continue
        for mark in DELIMITERS:
            known = sum(_column(cell)[0] is not None for cell in _split(line, mark))
            if known > best:
                best, delimiter = known, mark
    return delimiter


def find_heading(rows: Sequence[Sequence[str]], file: str) -> Heading:
    """Find and read the heading among the first rows of cells.

    Raises
    ------
    SurveyError
        If no row is a heading of ours; the message shows the heading to use.
    """
    found = next((i for i, row in enumerate(rows) if _is_heading(row)), None)
    if found is None:
        raise _no_heading(rows, file)
    place: dict[str, int] = {}
    units: dict[str, Unit] = {}
    other: dict[str, int] = {}
    faults = []
    for i, cell in enumerate(rows[found]):
        column, unit = _column(cell)
        if column is None:
            if cell.strip():
                other[cell.strip()] = i
        elif column in place:
            faults.append(_doubled(file, found, rows[found][place[column]], cell, column))
        else:
            place[column] = i
            if unit is not None:
                units[column] = unit
    faults += _misfits(place, other, file, found)
    if faults:
        raise SurveyError(f"{file}: the heading in row {found + 1} does not do", faults=faults)
    return Heading(
        row=found,
        place=MappingProxyType(place),
        unit=MappingProxyType(units),
        other=MappingProxyType(other),
        width=max((i + 1 for i, cell in enumerate(rows[found]) if cell.strip()), default=0),
        notes=(*_skipped(rows[:found], file), *_unknown(other, file)),
    )


def _split(line: str, delimiter: str) -> list[str]:
    try:
        return next(csv.reader([line], delimiter=delimiter), [])
    except csv.Error:
        return []


def _column(cell: str) -> tuple[str | None, Unit | None]:
    """Our column for a heading cell, with the unit it carries."""
    plain = re.sub(r"\s+", " ", cell.strip().casefold())
    if plain in _BY_WORD:
        return _BY_WORD[plain], None
    found = _UNIT.match(plain)
    if found and _BY_WORD.get(found[1].strip()) in LENGTH_COLUMNS:
        return _BY_WORD[found[1].strip()], _UNIT_WORD[found[2]]
    return None, None


def _is_heading(row: Sequence[str]) -> bool:
    """Two of our columns at least, and no cell that is a number."""
    if row and row[0].lstrip().startswith("#"):
        return False
    known = sum(_column(cell)[0] is not None for cell in row)
    return known >= 2 and not any(re.match(r"\s*[0-9.]", cell) for cell in row)


def _no_heading(rows: Sequence[Sequence[str]], file: str) -> SurveyError:
    words = {cell.strip().casefold() for row in rows for cell in row}
    usual = f"Use a heading such as {USUAL} (station,down,up is enough)"
    if {"surface", "reading"} <= words:
        return SurveyError(
            f"{file}: has a column for the surface and one for the reading; one row a spot is "
            f"wanted, with `down` to the slab and `up` to the joist. {usual}"
        )
    if words & set(WORDS["station"]):
        return SurveyError(
            f"{file}: there is a station but no `down`, `up` or `clear`; one column a wall cannot "
            f"be read: give each reading a row, with the wall's name in `wall`. {usual}"
        )
    return SurveyError(f"{file}: no heading row was found. {usual}")


def _misfits(
    place: Mapping[str, int], other: Mapping[str, int], file: str, row: int
) -> list[Fault]:
    faults = []
    if not {"down", "up", "clear"} & set(place):
        cure = f"Use a heading such as {USUAL}"
        words = {name.casefold() for name in other}
        wanted = "a column `down`, `up` or `clear` is wanted"
        if {"surface", "reading"} <= words:
            wanted = "one row a spot is wanted, not one row a surface"
        faults.append(Fault(file=file, row=row + 1, wanted=wanted, cure=cure))
    if not {"station", "wall"} & set(place):
        faults.append(Fault(file=file, row=row + 1, wanted="a column `station` is wanted"))
    return faults


def _doubled(file: str, row: int, first: str, second: str, column: str) -> Fault:
    return Fault(
        file=file,
        row=row + 1,
        column=second.strip(),
        wanted=f'means the same as "{first.strip()}" (both are `{column}`)',
        cure="Keep one of the two",
    )


def _skipped(rows: Sequence[Sequence[str]], file: str) -> list[Note]:
    """Tell of title lines over the heading."""
    return [
        Note(code="title-line", row=i + 1, text=f"{file} row {i + 1} is over the heading: left out")
        for i, row in enumerate(rows)
        if any(cell.strip() for cell in row)
        and not row[0].lstrip().startswith("#")
        and not re.fullmatch(r"sep=.?", row[0].strip())
    ]


def _unknown(other: Mapping[str, int], file: str) -> list[Note]:
    notes = []
    for name in other:
        near = difflib.get_close_matches(name.casefold(), list(_BY_WORD), n=1)
        hint = f'; was "{near[0]}" meant?' if near else ""
        notes.append(
            Note(code="unknown-column", text=f'{file}: column "{name}" is kept as a note{hint}')
        )
    return notes
