"""One CSV table as a spreadsheet opens it unharmed."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from survey.lengths import Unit
from survey.sheets.record_head import Scale, plain
from survey.sheets.ruler import Ruler

Kind = Literal["text", "number", "length", "fine"]
Cell = str | float | int | None
RISKY = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True, kw_only=True)
class Pen:
    """How lengths are written: as text by `ruler`, as numbers in `unit`."""

    ruler: Ruler
    unit: Unit


def table(columns: Sequence[str], rows: Sequence[Sequence[Cell]], pen: Pen) -> bytes:
    r"""A table as the bytes of a file: UTF-8 with a byte-order mark, lines ended by CR LF.

    Parameters
    ----------
    columns
        Names with their kind after a colon: "station:length" makes two columns, `station` as text
        with its mark and `station_in` as a number; "sd:fine" likewise with a decimal as text;
        "k:number"; a name alone is text.
    rows
        A cell each column, lengths [in]; None and what is not finite is left empty.
    pen
        How lengths are written.

    >>> pen = Pen(ruler=Ruler(unit="mm"), unit="mm")
    >>> table(["wall", "gap:length"], [["-North", 1.5]], pen).decode("utf-8-sig")
    "wall,gap,gap_mm\r\n'-North,38 mm,38.1\r\n"
    """
    kinds = [_kind(column) for column in columns]
    page = io.StringIO(newline="")
    writer = csv.writer(page, lineterminator="\r\n")
    writer.writerow([head for name, kind in kinds for head in _heads(name, kind, pen.unit)])
    for row in rows:
        cells = zip(row, kinds, strict=True)
        writer.writerow([text for cell, (_, kind) in cells for text in _texts(cell, kind, pen)])
    return page.getvalue().encode("utf-8-sig")


def harmless(text: str) -> str:
    """Text that no spreadsheet takes for a formula: an apostrophe goes before one that could be.

    >>> harmless("=2+3"), harmless("North")
    ("'=2+3", 'North')
    """
    return f"'{text}" if text.startswith(RISKY) else text


def _kind(column: str) -> tuple[str, Kind]:
    name, _, kind = column.partition(":")
    kinds: dict[str, Kind] = {"": "text", "number": "number", "length": "length", "fine": "fine"}
    return name, kinds[kind]


def _heads(name: str, kind: Kind, unit: Unit) -> list[str]:
    return [name, f"{name}_{unit}"] if kind in ("length", "fine") else [name]


def _texts(cell: Cell, kind: Kind, pen: Pen) -> list[str]:
    """What a cell puts into the row: two texts for a length, else one."""
    if kind == "text":
        return ["" if cell is None else harmless(str(cell))]
    known = cell is not None and not isinstance(cell, str) and math.isfinite(cell)
    if kind == "number":
        return [_number(cell) if known else ""]
    if cell is None or isinstance(cell, str) or not known:
        return ["", ""]
    said = pen.ruler.length(cell) if kind == "length" else pen.ruler.fine(cell)
    return [harmless(said), _number(Scale(pen.unit).length(cell))]


def _number(cell: Cell) -> str:
    return str(cell) if isinstance(cell, int) else repr(plain(float(cell or 0.0)))
