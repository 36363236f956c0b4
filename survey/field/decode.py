"""From the bytes of a readings file to its cells, whatever program wrote it."""

from __future__ import annotations

import hashlib
import io
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from survey.errors import Note, SurveyError

LARGEST_FILE = 100_000_000
MOST_ROWS = 5_000_000
MOST_COLUMNS = 200
LONGEST_CELL = 10_000
DelimiterOf = Callable[[list[str]], str]
DELIMITERS = (",", ";", "\t")
NOT_TEXT = (
    (b"PK\x03\x04", "a workbook"),
    (b"\xd0\xcf\x11\xe0", "a workbook"),
    (b"%PDF", "a PDF"),
    (b"{\\rtf", "a word processor's file"),
)
_HTML = re.compile(rb"\s*<(?:!doctype|html|table|head|body|\?xml)", re.IGNORECASE)


@dataclass(frozen=True, kw_only=True, eq=False)
class Cells:
    """A file as cells of text: row i of `frame` is row i + 1 of a spreadsheet."""

    file: str
    sha256: str
    frame: pd.DataFrame
    delimiter: str
    notes: tuple[Note, ...]


def read_cells(path: Path, *, name: str, delimiter_of: DelimiterOf) -> Cells:
    """Read a file as cells.

    Parameters
    ----------
    path, name
        The file, and how messages call it.
    delimiter_of
        Tells the delimiter from the first lines of text.

    Raises
    ------
    SurveyError
        If there is no such file, it is no text, too large, or its quotes never close.
    """
    data = _bytes(path, name)
    text, notes = _text(data, name)
    delimiter = delimiter_of(text[:20_000].splitlines())
    return Cells(
        file=name,
        sha256=hashlib.sha256(data).hexdigest(),
        frame=_frame(text, delimiter, name),
        delimiter=delimiter,
        notes=notes,
    )


def _bytes(path: Path, name: str) -> bytes:
    try:
        if path.is_dir():
            raise SurveyError(f"{name}: is a folder, not a file of readings")
        size = path.stat().st_size
        if size > LARGEST_FILE:
            raise SurveyError(f"{name}: {size:,} bytes; at most {LARGEST_FILE:,} are read")
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise SurveyError(f"{name}: there is no such file in {path.parent}") from error
    except OSError as error:
        raise SurveyError(f"{name}: cannot be read ({error.strerror})") from error
    if not data.strip():
        raise SurveyError(f"{name}: is empty")
    for start, what in NOT_TEXT:
        if data.startswith(start):
            raise SurveyError(f"{name}: is {what}, not text; open it and save as CSV")
    if _HTML.match(data.removeprefix(b"\xef\xbb\xbf")):
        raise SurveyError(f"{name}: is a web page, not a table; save as CSV")
    return data


def _text(data: bytes, name: str) -> tuple[str, tuple[Note, ...]]:
    """The text: by its byte order mark, else UTF-8, else the Windows code page, which is told."""
    notes: tuple[Note, ...] = ()
    try:
        if data.startswith((b"\xff\xfe", b"\xfe\xff")):
            text = data.decode("utf-16")
        elif data[1:2] == b"\x00":
            text = data.decode("utf-16-le")
        elif data[:1] == b"\x00":
            text = data.decode("utf-16-be")
        else:
            text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
        notes = (Note(code="code-page", text=f"{name} is not UTF-8; read as Windows text"),)
    if "\x00" in text:
        raise SurveyError(f"{name}: holds zero bytes, so it is no text; save as CSV")
    return text.replace("\r\n", "\n").replace("\r", "\n"), notes


def _frame(text: str, delimiter: str, name: str) -> pd.DataFrame:
    rows = text.count("\n") + 1
    if rows > MOST_ROWS:
        raise SurveyError(f"{name}: {rows:,} rows; at most {MOST_ROWS:,} are read")
    columns = max(line.count(delimiter) for line in text.splitlines()) + 1
    if columns > MOST_COLUMNS:
        raise SurveyError(f"{name}: {columns:,} columns in a row; at most {MOST_COLUMNS} are read")
    try:
        return pd.read_csv(
            io.StringIO(text),
            sep=delimiter,
            header=None,
            names=range(columns),
            dtype=object,
            na_filter=False,
            skip_blank_lines=False,
            index_col=False,
        ).fillna("")
    except (pd.errors.ParserError, ValueError) as error:
        row = _open_quote(text)
        raise SurveyError(f'{name}: a quote (") opened in row {row} never closes') from error


def _open_quote(text: str) -> int:
    """First line whose quotes do not pair."""
    for number, line in enumerate(text.split("\n"), start=1):
        if line.count('"') % 2:
            return number
    return 1
