"""One column of texts to inches: each distinct text parsed once, every fault with its row."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import pandas as pd

from survey.errors import Fault, SurveyError
from survey.field.book import FloatArray, IntArray
from survey.lengths import Unit, parse_length

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
SPREADSHEET_DAYS = (36_526, 73_050)
SPREADSHEET_CURE = 'Set the column to Text first, or type 0 5/16 or 5/16"'
_MONTH = re.compile(
    rf"(?:(\d{{1,4}})[- /])?({'|'.join(MONTHS)})[a-z]*(?:[- /](\d{{1,4}}))?", re.IGNORECASE
)
_THREE = re.compile(r"(\d{1,4})([-/.])(\d{1,2})\2(\d{1,4})")


@dataclass(frozen=True, kw_only=True, eq=False)
class LengthColumn:
    """A column read: inches, NaN where the cell is empty or faulty; shape (n,)."""

    inches: FloatArray
    faults: tuple[Fault, ...]


def read_lengths(
    texts: pd.Series[str],
    rows: IntArray,
    *,
    file: str,
    column: str,
    unit: Unit,
    decimal_comma: bool,
) -> LengthColumn:
    """Read a column of lengths.

    Parameters
    ----------
    texts, rows
        Cells and the spreadsheet row of each, shape (n,).
    file, column
        For the faults.
    unit, decimal_comma
        How the texts are meant.
    """
    codes, distinct = pd.factorize(texts)
    values = np.full(len(distinct), np.nan)
    reasons: dict[int, str] = {}
    dates: dict[int, str] = {}
    for i, text in enumerate(distinct):
        plain = str(text).strip()
        if not plain:
            continue
        guess = spreadsheet_date(plain, whole_days=unit == "in")
        if guess is not None:
            dates[i] = f"a spreadsheet made this date from a fraction{guess}"
            continue
        try:
            values[i] = parse_length(plain, unit, decimal_comma=decimal_comma)
        except SurveyError as error:
            reasons[i] = error.message
    faults = [
        Fault(
            file=file, row=int(rows[at]), column=column, found=str(texts.iat[at])[:40], wanted=why
        )
        for at, why in _places(codes, reasons)
    ]
    faults += _date_faults(texts, rows, _places(codes, dates), file, column)
    return LengthColumn(inches=values[codes], faults=tuple(faults))


def spreadsheet_date(text: str, *, whole_days: bool) -> str | None:
    """The fraction a spreadsheet may have turned into this date, as ` (perhaps 5/16)`.

    None when the text is no date. `whole_days` also takes day numbers of this century.

    >>> spreadsheet_date("16-May", whole_days=True)
    ' (perhaps 5/16)'
    >>> spreadsheet_date("52-3/8", whole_days=True) is None
    True
    """
    named = _MONTH.fullmatch(text)
    if named:
        month = MONTHS.index(named[2].lower()) + 1
        day = next((int(d) for d in (named[1], named[3]) if d and int(d) < 100), None)
        return _guess(month, day)
    three = _THREE.fullmatch(text)
    if three:
        a, b, c = (int(three[part]) for part in (1, 3, 4))
        month, day = (b, c) if a > 31 else (a, b)
        return _guess(month, day)
    if whole_days and re.fullmatch(r"\d{5}", text):
        if SPREADSHEET_DAYS[0] <= int(text) <= SPREADSHEET_DAYS[1]:
            day_found = date(1899, 12, 30) + timedelta(days=int(text))
            return _guess(day_found.month, day_found.day)
    return None


def _guess(month: int, day: int | None) -> str:
    if day is not None and day in (2, 4, 8, 16, 32, 64) and month < day:
        return f" (perhaps {month}/{day})"
    return ""


def _places(codes: IntArray, reasons: dict[int, str]) -> list[tuple[int, str]]:
    """Index of every cell whose text has a reason, with it, in the order of the file."""
    if not reasons:
        return []
    hit = np.isin(codes, list(reasons))
    return [(int(i), reasons[int(codes[i])]) for i in np.flatnonzero(hit)]


def _date_faults(
    texts: pd.Series[str],
    rows: IntArray,
    places: list[tuple[int, str]],
    file: str,
    column: str,
) -> list[Fault]:
    """Cells a spreadsheet turned into dates; the cure stands once, with the last of them."""
    return [
        Fault(
            file=file,
            row=int(rows[at]),
            column=column,
            found=str(texts.iat[at])[:40],
            wanted=why,
            cure=SPREADSHEET_CURE if at == places[-1][0] else "",
        )
        for at, why in places
    ]
