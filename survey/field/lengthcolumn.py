"""Columns of lengths to inches: each distinct text is read once, every fault has its row."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from survey.errors import Fault, SurveyError
from survey.field.book import BoolArray, FloatArray, IntArray
from survey.field.cells import Cells, Column, cell_faults
from survey.field.damage import CURE, FIRST_DAY, LAST_DAY, damage_said, date_damage
from survey.field.decode import shown
from survey.field.headings import LENGTHS
from survey.lengths import Unit, parse_length

ROWS_NAMED = 6
_POINT = re.compile(r"[0-9]\.[0-9]|(?<![a-z])\.[0-9]")


@dataclass(frozen=True, kw_only=True, eq=False)
class LengthColumns:
    """The length columns of a file [in], NaN where blank or at fault.

    `filled` tells the cells that are not blank. Both hold every length column, shape (n,) each.
    `dates` are the faults of cells that a spreadsheet has damaged, told together.
    """

    inches: Mapping[str, FloatArray]
    filled: Mapping[str, BoolArray]
    faults: tuple[Fault, ...]
    dates: tuple[Fault, ...]


def read_lengths(cells: Cells, unit: Unit) -> LengthColumns:
    """Read all length columns of a file; `unit` is for headings that carry none."""
    comma, faults = _decimal_mark(cells)
    inches: dict[str, FloatArray] = {}
    filled: dict[str, BoolArray] = {}
    dates: list[Fault] = []
    for name in LENGTHS:
        column = cells.columns.get(name)
        if column is None:
            inches[name] = np.full(cells.row.size, np.nan)
            filled[name] = np.zeros(cells.row.size, dtype=np.bool_)
            continue
        values, reasons, damage = _read_texts(column, cells.heading.units.get(name, unit), comma)
        inches[name], filled[name] = values[column.code], column.filled
        faults += cell_faults(column, reasons, cells.row, cells.file)
        dates += cell_faults(column, damage, cells.row, cells.file)
    return LengthColumns(
        inches=MappingProxyType(inches),
        filled=MappingProxyType(filled),
        faults=tuple(faults),
        dates=tuple(dates),
    )


def with_one_cure(dates: list[Fault]) -> list[Fault]:
    """The damaged cells in order of file and row, the one cure for them all with the last."""
    if not dates:
        return []
    cure = CURE if len(dates) == 1 else f"For all {len(dates)} such cells: {CURE}"
    return [*dates[:-1], dataclasses.replace(dates[-1], cure=cure)]


def _read_texts(
    column: Column, unit: Unit, comma: bool | None
) -> tuple[FloatArray, dict[int, str], dict[int, str]]:
    """Inches of each distinct text, why some are none, and what some were before a spreadsheet."""
    values = np.full(len(column.texts), np.nan)
    reasons: dict[int, str] = {}
    damage: dict[int, str] = {}
    for i, text in enumerate(column.texts):
        if not text:
            continue
        try:
            decimal_comma = "," in text if comma is None else comma
            values[i] = parse_length(text, unit, decimal_comma=decimal_comma)
        except SurveyError as error:
            lines = "runs over several lines; is a quotation mark missing or too many?"
            reasons[i] = lines if "\n" in text else error.message
        if i in reasons or (unit == "in" and FIRST_DAY <= values[i] <= LAST_DAY):
            guess = date_damage(text, day_numbers=unit == "in")
            if guess is not None:
                damage[i] = damage_said(guess)
                values[i] = np.nan
    reasons = {i: reason for i, reason in reasons.items() if i not in damage}
    return values, reasons, damage


def _decimal_mark(cells: Cells) -> tuple[bool | None, list[Fault]]:
    """Whether decimals have commas, None with a fault where the file has both kinds."""
    if cells.heading.delimiter == ",":
        return False, []
    commas: list[tuple[int, str, str]] = []
    points: list[tuple[int, str, str]] = []
    for name in LENGTHS:
        column = cells.columns.get(name)
        if column is not None:
            commas += _rows_with(column, cells.row, comma=True)
            points += _rows_with(column, cells.row, comma=False)
    if not commas or not points:
        return bool(commas), []
    few = min(points, commas, key=len)
    row, name, text = min(few)
    wanted = (
        f"two kinds of decimal mark in one file: commas in {_rows_said(commas)}, "
        f"points in {_rows_said(points)}"
    )
    fault = Fault(
        file=cells.file,
        row=row,
        column=name,
        found=shown(text),
        wanted=wanted,
        cure="Write all of them alike",
    )
    return None, [fault]


def _rows_with(column: Column, row: IntArray, *, comma: bool) -> list[tuple[int, str, str]]:
    """Rows whose text has this decimal mark alone; one with both has a fault of its own."""
    wanted = [
        ("," in text) is comma and bool(_POINT.search(text)) is not comma for text in column.texts
    ]
    return [
        (int(row[i]), column.name, column.texts[column.code[i]])
        for i in np.flatnonzero(column.where(wanted))
    ]


def _rows_said(found: list[tuple[int, str, str]]) -> str:
    rows = sorted({row for row, _, _ in found})
    more = f" and {len(rows) - ROWS_NAMED} more" if len(rows) > ROWS_NAMED else ""
    word = "row" if len(rows) == 1 else "rows"
    return f"{word} {', '.join(str(row) for row in rows[:ROWS_NAMED])}{more}"
