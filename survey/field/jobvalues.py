"""Values of job.toml as the records want them: lengths in inches, words and ranges checked."""

from __future__ import annotations

import math
import re
from datetime import date
from typing import Any, get_args

from survey.errors import Fault, SurveyError
from survey.field.jobwords import (
    DATE_WANTED,
    LONGEST_SHOWN,
    hints_of,
    is_hidden,
    listed,
    nearest_word,
    plain,
    quantity_in,
    wanted,
    words_of,
)
from survey.job import TABLES, Job, Quantity, check_option_keys
from survey.lengths import INCHES_PER, Unit, parse_length

METRIC = ("mm", "cm", "m")
LONGEST_TEXT = 10_000
_DECIMAL = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)")


def refusal(wanted: str, cure: str = "") -> SurveyError:
    """The error of a value that does not do; its one fault has no place yet."""
    return SurveyError(wanted, faults=[Fault(wanted=wanted, cure=cure)])


def reason_of(error: SurveyError) -> tuple[str, str]:
    """What was wanted and the cure, from the error of one value."""
    if error.faults:
        return error.faults[0].wanted, error.faults[0].cure
    return error.message, ""


def read_setting(job: Job, key: str, text: str) -> Any:
    """A setting given as text for an option, converted and checked as job.toml's are.

    Parameters
    ----------
    job
        Says the unit of a number without a mark.
    key
        Dotted, as "float.rise".
    text
        As typed.

    Raises
    ------
    SurveyError
        If there is no such setting, or the text does not do; the message says what is wanted.

    >>> read_setting(Job(), "float.rise", "1-1/2")
    1.5
    """
    check_option_keys([key])
    heading, name = key.split(".", 1)
    hint = hints_of(TABLES[heading][1])[name]
    marker = quantity_in(hint)
    value: object = text
    if marker is not None and marker.kind == "number" and _DECIMAL.fullmatch(text.strip()):
        value = float(text)
    try:
        return settle(value, hint, job.info.unit)
    except SurveyError as error:
        why, cure = reason_of(error)
        fault = Fault(column=key, found=plain(text), wanted=why, cure=cure)
        raise SurveyError(str(fault), faults=[fault]) from error


def settle(value: object, hint: Any, unit: Unit) -> Any:
    """One value as its type asks: a quantity in inches, a word of its list, a clean text.

    Raises
    ------
    SurveyError
        If the value does not do. A value of quite another shape is handed back as it is.
    """
    words = words_of(hint)
    if any(type(value) is type(word) and value == word for word in words):
        return value
    marker = quantity_in(hint)
    if marker is not None:
        try:
            return _quantity(value, marker, unit)
        except SurveyError as error:
            either = f"{listed(words)}, or a {marker.kind}: " if words else ""
            why, cure = reason_of(error)
            raise refusal(either + why, cure) from error
    if words:
        raise refusal(wanted(hint), nearest_word(value, words))
    if hint is date or date in get_args(hint):
        return _date(value)
    if isinstance(value, str):
        _check_text(value)
    return value


def _check_text(text: str) -> None:
    if len(text) > LONGEST_TEXT:
        raise refusal(f"is longer than {LONGEST_TEXT:,} characters")
    if any(is_hidden(char) for char in text):
        raise refusal("holds control or text-direction characters", "Type it again")


def _date(value: object) -> object:
    if isinstance(value, str):
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value.strip()) is None:
            raise refusal(DATE_WANTED)
        try:
            return date.fromisoformat(value.strip())
        except ValueError as error:
            raise refusal("there is no such day") from error
    if isinstance(value, int | float):
        raise refusal(DATE_WANTED)
    return value


def _quantity(value: object, marker: Quantity, unit: Unit) -> float:
    """A length, slope or number in inches, inches per inch or plain, within its range."""
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise refusal(f"a {marker.kind} is wanted")
    if isinstance(value, str):
        number = _from_text(value, marker, unit)
    else:
        number = _from_number(value, marker, unit)
    if not math.isfinite(number):
        raise refusal("a finite number is wanted")
    if not marker.least <= number <= marker.most:
        raise refusal(_range(marker, unit), _perhaps_millimetres(value, marker, unit))
    return number


def _from_number(value: float, marker: Quantity, unit: Unit) -> float:
    try:
        number = float(value)
    except OverflowError:
        return math.inf
    if marker.kind == "length":
        return number * INCHES_PER[unit]
    return number * _bare_slope(unit) if marker.kind == "slope" else number


def _from_text(text: str, marker: Quantity, unit: Unit) -> float:
    if marker.kind == "number":
        raise refusal("a plain number is wanted, without quotes")
    if marker.kind == "length":
        return parse_length(text, unit)
    try:
        return _slope(text, marker, unit)
    except SurveyError as error:
        why, _ = reason_of(error)
        raise refusal(why, "Write a slope as 1/8 at 30 ft, or 3 mm at 10 m") from error


def _bare_slope(unit: Unit) -> float:
    """A slope without a run is in inches a foot, or in millimetres a metre."""
    return 1 / 1000.0 if unit in METRIC else 1 / 12.0


def _slope(text: str, marker: Quantity, unit: Unit) -> float:
    """`1/8 at 30 ft`, `1/16 per ft`, `3 mm per m`; without a run, see `_bare_slope`."""
    body = text.strip()
    if marker.least >= 0.0:
        body = re.sub(r"^(?:±|\+/-)\s*", "", body)
    parts = re.split(r"\s+(?:at|per)\s+", body, maxsplit=1)
    if len(parts) == 1:
        if _DECIMAL.fullmatch(body):
            return float(body) * _bare_slope(unit)
        run = INCHES_PER["m"] if unit in METRIC else 12.0
        return parse_length(body, "in" if unit == "ft" else unit) / run
    rise = parse_length(parts[0], unit)
    over = parts[1] if re.match(r"[0-9.]", parts[1]) else f"1 {parts[1]}"
    run = parse_length(over, unit)
    if run <= 0:
        raise refusal("a slope is over some distance, as 1/8 at 30 ft")
    return rise / run


def _range(marker: Quantity, unit: Unit) -> str:
    if marker.kind == "length":
        scale, name = INCHES_PER[unit], f" {unit}"
    elif marker.kind == "slope":
        scale, name = _bare_slope(unit), " mm per m" if unit in METRIC else " in per ft"
    else:
        scale, name = 1.0, ""
    least, most = (f"{limit / scale:,.7g}" for limit in (marker.least, marker.most))
    return f"must be from {least} to {most}{name}"


def _perhaps_millimetres(value: object, marker: Quantity, unit: Unit) -> str:
    """What to write where a number without a mark would do if it were millimetres."""
    if isinstance(value, int) and abs(value) > 10**LONGEST_SHOWN:
        return ""
    text = str(value).strip()
    if marker.kind != "length" or unit in METRIC or _DECIMAL.fullmatch(text) is None:
        return ""
    if len(text) > LONGEST_SHOWN or not marker.least <= float(text) / 25.4 <= marker.most:
        return ""
    return f'If it is in millimetres, write "{text} mm"'
