"""The heading of a readings file: where it is, what parts its columns, and what each one means."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from types import MappingProxyType

from survey.errors import Fault, Note, SurveyError
from survey.field.decode import HIDDEN, refusal, shown
from survey.lengths import INCHES_PER, Unit, parse_length

DELIMITERS: Mapping[str, str] = MappingProxyType({",": "comma", ";": "semicolon", "\t": "tab"})
# Our word -> what may stand over its column. Few and closed, so that nothing is guessed.
SYNONYMS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "setup": ("setup", "instrument"),
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
        "note": ("note", "notes", "remark", "remarks"),
    }
)
LENGTHS = ("station", "down", "up", "clear", "sd", "distance", "cover")
READINGS = ("down", "up", "clear")
LINES_SEARCHED = 40
CHARACTERS_SEARCHED = 100_000
USE_THIS = "Use a heading such as setup,wall,station,down,up,note with a row for each spot"
_OF_WORD = MappingProxyType({word: own for own, words in SYNONYMS.items() for word in words})
_UNITS: Mapping[str, Unit] = MappingProxyType(
    {**{unit: unit for unit in INCHES_PER}, "inch": "in", "inches": "in", "feet": "ft"}
)
_WITH_UNIT = re.compile(rf"(.+?)(?: ?[\[(] ?|[ _-]+)({'|'.join(_UNITS)}) ?[\])]?")
_SEPARATOR_LINE = re.compile(r'"?sep=(.)"?[,;\t]*', re.IGNORECASE)


@dataclass(frozen=True, kw_only=True)
class Heading:
    """The heading found in a text.

    Parameters
    ----------
    delimiter
        What parts the columns.
    row, start
        Line of the heading as a spreadsheet numbers it, and its place in the text. A line
        `sep=;` is no row: a spreadsheet takes it for itself.
    cells
        Headings as typed, to the last that is not blank.
    columns, units
        Place of each of our columns, and the units that stand in their headings.
    faults, notes
        What is wrong or worth telling about the heading and what stands above it.
    """

    delimiter: str
    row: int
    start: int
    cells: tuple[str, ...]
    columns: Mapping[str, int]
    units: Mapping[str, Unit]
    faults: tuple[Fault, ...]
    notes: tuple[Note, ...]

    @property
    def other(self) -> tuple[int, ...]:
        """Places of the headed columns we do not know."""
        known = set(self.columns.values())
        return tuple(
            i
            for i, cell in enumerate(self.cells)
            if cell and i not in known and column_meant(cell)[0] is None
        )


@dataclass(frozen=True, kw_only=True)
class _Record:
    """One row of cells near the top: its spreadsheet number and where it starts in the text."""

    row: int
    start: int
    cells: tuple[str, ...]

    @property
    def known(self) -> int:
        return sum(column_meant(cell)[0] is not None for cell in self.cells)

    @property
    def is_comment(self) -> bool:
        return self.cells[0].startswith("#") if self.cells else True


def find_heading(text: str, file: str) -> Heading:
    r"""Find the heading in the first lines of a text and read it.

    Raises
    ------
    SurveyError
        If there is none, or it belongs to a table of another form; says which heading to use.

    >>> found = find_heading("Sta.;Floor (mm);Joist\n0;1330;1190\n", "a.csv")
    >>> found.delimiter, dict(found.columns), dict(found.units)
    (';', {'station': 0, 'down': 1, 'up': 2}, {'down': 'mm'})
    """
    delimiter, records = _best_split(text, file)
    at = next((i for i, record in enumerate(records) if record.known >= 2), None)
    if at is None:
        raise _no_heading(records, file)
    heading = records[at]
    last = max(i for i, cell in enumerate(heading.cells) if cell)
    cells = heading.cells[: last + 1]
    columns: dict[str, int] = {}
    units: dict[str, Unit] = {}
    faults, notes = _above(records[:at], heading.row, file)
    for i, cell in enumerate(cells):
        column, unit = column_meant(cell)
        if HIDDEN.search(cell):
            faults.append(_hidden(cell, heading.row, file))
        elif column is None:
            notes += _unknown(cell, heading.row, file)
        elif column in columns:
            faults.append(_doubled(cells[columns[column]], cell, heading.row, file))
        else:
            columns[column] = i
            if unit is not None:
                units[column] = unit
    _check_columns(columns, cells, heading.row, file)
    return Heading(
        delimiter=delimiter,
        row=heading.row,
        start=heading.start,
        cells=cells,
        columns=MappingProxyType(columns),
        units=MappingProxyType(units),
        faults=tuple(faults),
        notes=tuple(notes),
    )


def column_meant(cell: str) -> tuple[str | None, Unit | None]:
    """Our column for a heading cell, None if it is not one, and the unit the cell carries.

    >>> column_meant("Down_mm"), column_meant("Set-up"), column_meant("weather")
    (('down', 'mm'), ('setup', None), (None, None))
    """
    plain = " ".join(cell.replace("\u00a0", " ").casefold().split()).strip(" \"'“”‘’.:*")
    own = _OF_WORD.get(re.sub(r"[\s_.-]", "", plain))
    if own is not None:
        return own, None
    found = _WITH_UNIT.fullmatch(plain)
    if found is not None:
        own = _OF_WORD.get(found[1].strip(" ._-,"))
        if own in LENGTHS:
            return own, _UNITS[found[2]]
    return None, None


def _best_split(text: str, file: str) -> tuple[str, list[_Record]]:
    """The delimiter under which a row has the most of our columns, and the first rows by it."""
    head = text[:CHARACTERS_SEARCHED].split("\n")[:LINES_SEARCHED]
    told = _SEPARATOR_LINE.fullmatch(head[0].strip())
    first = len(head[0]) + 1 if told else 0
    if told and told[1] not in DELIMITERS:
        raise refusal(
            file, f'parts its columns by "{shown(told[1])}"', "Use commas, semicolons or tabs"
        )
    splits = {
        delimiter: _records(head[1:] if told else head, delimiter, first)
        for delimiter in ([told[1]] if told else DELIMITERS)
    }
    best = max(splits, key=lambda each: max((r.known for r in splits[each]), default=0))
    return best, splits[best]


def _records(lines: Sequence[str], delimiter: str, start: int) -> list[_Record]:
    """Rows of the first lines, comments left out; a quoted cell may run over several lines."""
    reader = csv.reader([line + "\n" for line in lines], delimiter=delimiter)
    records = []
    used = 0
    for row in range(1, len(lines) + 1):
        try:
            cells = next(reader, None)
        except csv.Error:
            break
        if cells is None:
            break
        trimmed = tuple(" ".join(cell.split()) for cell in cells)
        records.append(_Record(row=row, start=start, cells=trimmed))
        start += sum(len(line) + 1 for line in lines[used : reader.line_num])
        used = reader.line_num
    return [record for record in records if not record.is_comment]


def _above(records: Sequence[_Record], heading: int, file: str) -> tuple[list[Fault], list[Note]]:
    """A title over the heading is passed over and told; anything else there is a fault."""
    faults, notes = [], []
    for record in records:
        filled = [cell for cell in record.cells if cell]
        if len(filled) == 1 and not _is_number(filled[0]):
            said = f'{file} row {record.row}: passed over "{shown(filled[0])}" above the heading'
            notes.append(Note(code="title-line", row=record.row, text=said))
        elif filled:
            wanted = f"stands over the heading, which is row {heading}"
            cure = "Delete the row, or begin it with #"
            found = shown(", ".join(filled))
            faults.append(Fault(file=file, row=record.row, found=found, wanted=wanted, cure=cure))
    return faults, notes


def _is_number(cell: str) -> bool:
    try:
        parse_length(cell)
    except SurveyError:
        return False
    return True


def _unknown(cell: str, row: int, file: str) -> list[Note]:
    """Tell that a column is kept as a note, with the column it may have been meant for."""
    if not cell:
        return []
    near = get_close_matches(cell.casefold(), list(_OF_WORD), n=1, cutoff=0.7)
    hint = f'; if "{near[0]}" is meant, change its heading' if near else ""
    said = f'{file}: the column "{shown(cell)}" is not known and kept as a note{hint}'
    return [Note(code="unknown-column", level="doubt" if near else "note", row=row, text=said)]


def _hidden(cell: str, row: int, file: str) -> Fault:
    wanted = "has a control or text-direction character"
    cure = "Type the heading again"
    return Fault(file=file, row=row, found=shown(cell), wanted=wanted, cure=cure)


def _doubled(first: str, second: str, row: int, file: str) -> Fault:
    wanted = f'means the same as "{shown(first)}"' if first != second else "stands twice"
    cure = "Keep one of the two columns"
    return Fault(file=file, row=row, column=shown(second), wanted=wanted, cure=cure)


def _check_columns(columns: Mapping[str, int], cells: Sequence[str], row: int, file: str) -> None:
    """Refuse a heading without a reading, or with neither station nor name."""
    if not set(READINGS) & set(columns):
        raise _wrong_table(cells, row, file)
    if not {"station", "wall"} & set(columns):
        raise refusal(file, "has no column `station`", USE_THIS, row)


def _wrong_table(cells: Sequence[str], row: int, file: str) -> SurveyError:
    """Why a table without down, up or clear cannot be read."""
    words = {cell.casefold() for cell in cells}
    if "surface" in words and words & {"reading", "readings"}:
        wanted = "has a row for each surface; wanted is a row for each spot, slab and joist in it"
        return refusal(file, wanted, USE_THIS, row)
    strange = [cell for cell in cells if cell and column_meant(cell)[0] is None]
    near = [cell for cell in strange if get_close_matches(cell.casefold(), READINGS, cutoff=0.7)]
    if strange and not near and any(column_meant(cell)[0] == "station" for cell in cells):
        wanted = (
            f'seems to have a column for each wall ("{shown(strange[0])}"); wanted is one `wall`'
        )
        return refusal(file, wanted, USE_THIS, row)
    return refusal(file, "has no column `down`, `up` or `clear`", USE_THIS, row)


def _no_heading(records: Sequence[_Record], file: str) -> SurveyError:
    """Why no row is a heading, by the first row that says something."""
    for record in records:
        words = {cell.casefold() for cell in record.cells}
        if record.known or "surface" in words:
            return _wrong_table(record.cells, record.row, file)
    filled = [record for record in records if any(record.cells)]
    if not filled:
        return refusal(file, "has no heading and no readings", USE_THIS)
    first = filled[0]
    if any(_is_number(cell) for cell in first.cells if cell):
        wanted = "has readings where the heading should be"
        return refusal(file, wanted, "Put one above them, such as station,down,up", first.row)
    found = shown(", ".join(cell for cell in first.cells if cell))
    wanted = f'no heading is found; this row ("{found}") has none of the columns station, down, up'
    return refusal(file, wanted, USE_THIS, first.row)
