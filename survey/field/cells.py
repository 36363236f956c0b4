"""The cells under a heading, by column: distinct texts once, and for every row which one it has."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from survey.errors import Fault, SurveyError
from survey.field.book import BoolArray, IntArray
from survey.field.decode import HIDDEN, FileText, refusal, shown
from survey.field.headings import DELIMITERS, Heading, find_heading

MOST_ROWS = 5_000_000
LONGEST_CELL = 10_000
_COMMENT = "#"
_ALL_BYTES = bytes(range(256))
_BLANKS = " \t\n\u00a0\u2007\u202f"


@dataclass(frozen=True, kw_only=True, eq=False)
class Column:
    """A column of cells: distinct trimmed texts, and which of them each row has, shape (n,).

    `name` is our word for the column, or its heading where we have none.
    """

    name: str
    code: IntArray
    texts: tuple[str, ...]

    def spread(self, values: Sequence[object]) -> npt.NDArray[np.object_]:
        """A value for each distinct text, as one for each row."""
        table = np.empty(len(values), dtype=object)
        table[:] = values
        return table[self.code]

    def where(self, wanted: Sequence[bool]) -> BoolArray:
        """The rows whose text is among those wanted."""
        return np.array(wanted, dtype=np.bool_)[self.code]

    @property
    def filled(self) -> BoolArray:
        """The rows where the cell is not blank."""
        return self.where([bool(text) for text in self.texts])


@dataclass(frozen=True, kw_only=True, eq=False)
class Cells:
    """The rows of a file that are neither blank nor comments.

    Parameters
    ----------
    file, heading, row
        The file, its heading, and each row's number as a spreadsheet shows it, shape (n,).
    columns, other
        Columns by our names, and the headed columns we do not know.
    faults
        Of the heading, and of single cells and rows whatever they mean.
    """

    file: str
    heading: Heading
    row: IntArray
    columns: Mapping[str, Column]
    other: tuple[Column, ...]
    faults: tuple[Fault, ...]


def read_cells(source: FileText) -> Cells:
    """Find the heading of a text and read the cells under it.

    Raises
    ------
    SurveyError
        If there is no heading, nothing under it, more rows than are read, or a quotation mark
        that is never closed.
    """
    file = source.file
    heading = find_heading(source.text, file)
    body = source.text[heading.start :]
    lines = body.count("\n") + 1
    if lines > MOST_ROWS:
        raise refusal(file, f"has {lines:,} rows; at most {MOST_ROWS:,} are read")
    faults = [*heading.faults, *_beyond_the_heading(body, heading, file)]
    codes, texts = _parsed(body, heading, file)
    row, keep, repeated = _rows_kept(codes, texts, heading)
    again, cure = "is the heading again", "Delete the row, or begin it with #"
    faults += [Fault(file=file, row=int(at), wanted=again, cure=cure) for at in repeated]
    if not row.size:
        empty = refusal(file, "has a heading and no readings under it", row=heading.row)
        raise SurveyError(empty.message, faults=(*faults, *empty.faults))
    names = {i: name for name, i in heading.columns.items()}
    columns = []
    for i, code in enumerate(codes):
        name = names.get(i, heading.cells[i])
        column, found = _clean(code[keep], texts[i], name, row, file)
        columns.append(column)
        faults += found if name else [*found, *_headless(column, row, i, file)]
    return Cells(
        file=file,
        heading=heading,
        row=row,
        columns=MappingProxyType({name: columns[i] for i, name in names.items()}),
        other=tuple(columns[i] for i in heading.other),
        faults=tuple(faults),
    )


def _parsed(
    body: str, heading: Heading, file: str
) -> tuple[list[IntArray], list[npt.NDArray[np.object_]]]:
    """Codes and distinct texts of the headed columns, first row the heading itself."""
    import pandas as pd

    width = range(len(heading.cells))
    try:
        frame = pd.read_csv(
            io.BytesIO(body.encode()),
            sep=heading.delimiter,
            header=None,
            names=width,
            usecols=width,
            dtype=object,
            na_filter=False,
            skip_blank_lines=False,
            index_col=False,
        )
    except pd.errors.ParserError as error:
        row = heading.row + _last_record(body, heading.delimiter)
        cure = "Close it, or write the cell without quotation marks"
        raise refusal(
            file, "a quotation mark opens a cell and is never closed", cure, row
        ) from error
    pairs = [pd.factorize(frame[i].to_numpy(dtype=object)) for i in width]
    return [np.asarray(code, np.int64) for code, _ in pairs], [texts for _, texts in pairs]


def _records(body: str, delimiter: str) -> Iterator[list[str]]:
    """Rows of cells of a text."""
    return csv.reader(io.StringIO(body, newline=""), delimiter=delimiter)


def _last_record(body: str, delimiter: str) -> int:
    """How many rows after the heading the last one begins: an open quote swallows the rest."""
    return sum(1 for _ in _records(body, delimiter)) - 1


def _beyond_the_heading(body: str, heading: Heading, file: str) -> list[Fault]:
    """Rows with a filled cell past the last heading: a comma too many, or one inside a number."""
    width, delimiter = len(heading.cells), heading.delimiter
    faults = []
    try:
        long = _long_records(body, delimiter, width)
    except csv.Error as error:
        cure = "Is a quotation mark opened and never closed?"
        raise refusal(file, f"has a cell over {LONGEST_CELL:,} characters", cure) from error
    for i, cells in long:
        beyond = [cell.strip() for cell in cells[width:] if cell.strip()]
        if beyond and not cells[0].lstrip().startswith(_COMMENT):
            fault = Fault(
                file=file,
                row=heading.row + i,
                found=shown(beyond[0]),
                wanted=f"stands past the last heading (column {width})",
                cure=f"A cell with a {DELIMITERS[delimiter]} in it needs quotation marks about it",
            )
            faults.append(fault)
    return faults


def _long_records(body: str, delimiter: str, width: int) -> list[tuple[int, list[str]]]:
    """Rows not blank past `width` cells, with how many rows they are below the heading."""
    blank = delimiter + " "
    if body.startswith('"') or '\n"' in body or f'{delimiter}"' in body:
        rows = enumerate(_records(body, delimiter))
        return [(i, row) for i, row in rows if len(row) > width and any(row[width:])]
    marks = body.encode().translate(None, _ALL_BYTES.translate(None, f"{delimiter}\n".encode()))
    regular = delimiter.encode() * (width - 1) + b"\n"
    if marks == regular * (len(marks) // len(regular)):
        return []
    return [
        (i, line.split(delimiter))
        for i, line in enumerate(body.split("\n"))
        if line.count(delimiter) >= width and line.rstrip(blank).count(delimiter) >= width
    ]


def _rows_kept(
    codes: Sequence[IntArray], texts: Sequence[npt.NDArray[np.object_]], heading: Heading
) -> tuple[IntArray, BoolArray, IntArray]:
    """Numbers of the rows kept, which those are, and numbers of rows that repeat the heading."""
    count = codes[0].size
    blank = np.ones(count, dtype=np.bool_)
    again = np.ones(count, dtype=np.bool_)
    for code, distinct, cell in zip(codes, texts, heading.cells, strict=True):
        trimmed = [str(text).strip(_BLANKS) for text in distinct]
        blank &= np.array([not text for text in trimmed])[code]
        again &= np.array([text == cell for text in trimmed])[code]
    comment = np.array([str(text).lstrip().startswith(_COMMENT) for text in texts[0]])[codes[0]]
    number = heading.row + np.arange(count)
    again[0] = False
    keep = ~(blank | comment | again)
    keep[0] = False
    return number[keep], keep, number[again]


def _clean(
    code: IntArray, raw: npt.NDArray[np.object_], name: str, row: IntArray, file: str
) -> tuple[Column, list[Fault]]:
    """The column with only texts in use, trimmed; cells too long or with hidden signs blanked."""
    used = np.zeros(raw.size, dtype=np.bool_)
    used[code] = True
    code = (np.cumsum(used) - 1)[code]
    texts, bad = [], {}
    for i, text in enumerate(raw[used].tolist()):
        trimmed = text.strip(_BLANKS)
        hidden = HIDDEN.search(trimmed)
        if len(trimmed) > LONGEST_CELL:
            bad[i] = f"has {len(trimmed):,} characters; a cell has at most {LONGEST_CELL:,}"
        elif hidden:
            bad[i] = "has a control or text-direction character; type it again"
        texts.append(trimmed)
    column = Column(name=name, code=code, texts=tuple(texts))
    faults = cell_faults(column, bad, row, file)
    if not bad:
        return column, faults
    kept = tuple("" if i in bad else text for i, text in enumerate(texts))
    return Column(name=name, code=code, texts=kept), faults


def cell_faults(
    column: Column, reasons: Mapping[int, str], row: IntArray, file: str
) -> list[Fault]:
    """A fault for every row whose distinct text has a reason, in the order of the rows."""
    if not reasons:
        return []
    hit = np.flatnonzero(column.where([i in reasons for i in range(len(column.texts))]))
    return [
        Fault(
            file=file,
            row=int(row[at]),
            column=column.name,
            found=shown(column.texts[column.code[at]]),
            wanted=reasons[int(column.code[at])],
        )
        for at in hit
    ]


def _headless(column: Column, row: IntArray, place: int, file: str) -> list[Fault]:
    """Cells filled in a column without a heading."""
    wanted = f"stands in column {place + 1}, which has no heading"
    reasons = {i: wanted for i, text in enumerate(column.texts) if text}
    return cell_faults(column, reasons, row, file)
