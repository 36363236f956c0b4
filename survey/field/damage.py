"""What a spreadsheet does to fractions: dates and day numbers, and the fraction they may have been.

The guess is for the message; it is never used as a reading.
"""

from __future__ import annotations

import re
from datetime import date, timedelta

from survey.lengths import DENOMINATORS

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
# Day numbers of 2000-01-01 and 2099-12-31, counted from 1899-12-30 as spreadsheets do.
DAY_ZERO = date(1899, 12, 30)
FIRST_DAY, LAST_DAY = 36_526, 73_050
CURE = 'Set the column to Text before typing, or type 0 5/16 or 5/16"'
_NAMED = re.compile(
    rf"(?:(?P<before>[0-9]{{1,4}})[- /.,]+)?(?P<month>{'|'.join(MONTHS)})[a-z]*\.?"
    r"(?:[- /.,]+(?P<after>[0-9]{1,4}))?(?:[- /.,]+(?P<year>[0-9]{2,4}))?",
    re.IGNORECASE,
)
_TIME = r"(?:[ T][0-9]{1,2}:[0-9]{2}(?::[0-9.]+)?(?: ?[AaPp][Mm])?)?"
_YEAR_FIRST = re.compile(rf"([0-9]{{4}})([-/.])([0-9]{{1,2}})\2([0-9]{{1,2}}){_TIME}")
_YEAR_LAST = re.compile(rf"([0-9]{{1,2}})([-/.])([0-9]{{1,2}})\2([0-9]{{4}}|[0-9]{{2}}){_TIME}")
_DAY_NUMBER = re.compile(r"([0-9]{5})(?:\.0+)?")


def date_damage(text: str, *, day_numbers: bool) -> str | None:
    """The fraction a spreadsheet may have made this date of; empty if none fits, None if no date.

    Parameters
    ----------
    text
        A trimmed cell.
    day_numbers
        Whether a whole number of five digits may be a day of this century.

    >>> date_damage("16-May", day_numbers=True), date_damage("1/3/2008", day_numbers=True)
    ('5/16', '1-3/8')
    >>> date_damage("52-3/8", day_numbers=True) is None
    True
    """
    named = _NAMED.fullmatch(text)
    if named and (named["before"] or named["after"]):
        month = MONTHS.index(named["month"].lower()) + 1
        return _likely(month, int(named["before"] or named["after"]), 0)
    first = _YEAR_FIRST.fullmatch(text)
    if first:
        return _if_a_day(int(first[3]), int(first[4]), int(first[1]))
    last = _YEAR_LAST.fullmatch(text)
    if last:
        return _if_a_day(int(last[1]), int(last[3]), int(last[4]))
    number = _DAY_NUMBER.fullmatch(text) if day_numbers else None
    if number and FIRST_DAY <= int(number[1]) <= LAST_DAY:
        day = DAY_ZERO + timedelta(days=int(number[1]))
        return _likely(day.month, day.day, day.year)
    return None


def damage_said(guess: str) -> str:
    """What is wrong with such a cell, with the guess where there is one."""
    perhaps = f" (perhaps {guess})" if guess else ""
    return f"a spreadsheet made this date from a fraction{perhaps}"


def _if_a_day(month: int, day: int, year: int) -> str | None:
    """The guess, if the three numbers can be a day in either order."""
    small, great = sorted((month, day))
    return _likely(month, day, year) if 1 <= small <= 12 and great <= 31 else None


def _likely(month: int, day: int, year: int) -> str:
    """The first of month/day, day/month and month-day/year that a tape has."""
    for top, bottom in ((month, day), (day, month)):
        if _on_a_tape(top, bottom):
            return f"{top}/{bottom}"
    return f"{month}-{day}/{year % 100}" if _on_a_tape(day, year % 100) else ""


def _on_a_tape(top: int, bottom: int) -> bool:
    return bottom in DENOMINATORS and 0 < top < bottom and top % 2 == 1
