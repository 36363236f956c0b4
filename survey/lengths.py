"""Lengths: the only place that knows units and fractions. Everything inside is inches.

Reading is strict: what a tape or a rod cannot mean is refused in words that say what to type.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal, TypeVar

import numpy as np
import numpy.typing as npt

from survey.errors import SurveyError

Unit = Literal["in", "ft", "mm", "cm", "m"]
Rounding = Literal["down", "nearest"]
Number = TypeVar("Number", float, npt.NDArray[np.float64])

INCHES_PER: Mapping[Unit, float] = MappingProxyType(
    {"in": 1.0, "ft": 12.0, "mm": 1 / 25.4, "cm": 10 / 25.4, "m": 1000 / 25.4}
)
DENOMINATORS = (2, 4, 8, 16, 32, 64)
LONGEST_TEXT = 40
FARTHEST = 1e6
ON_A_STEP = 1e-6

_HALVES = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_SIGNS = {
    **dict.fromkeys("‐‑‒–—−", "-"),
    **dict.fromkeys("\u00a0\u2007\u2009\u202f\t", " "),
    **dict.fromkeys("⁄∕", "/"),
    **dict.fromkeys("′’‘ʹ", "'"),
    **dict.fromkeys("″”“ʺ", '"'),
}
_MAP = str.maketrans(_SIGNS)
_UNIT_WORDS: Mapping[str, Unit] = MappingProxyType(
    {
        **dict.fromkeys(('"', "in", "in.", "inch", "inches", "''"), "in"),
        **dict.fromkeys(("'", "ft", "ft.", "foot", "feet"), "ft"),
        "mm": "mm",
        "cm": "cm",
        "m": "m",
    }
)
_DECIMAL = re.compile(r"([0-9]+(?:\.[0-9]*)?|\.[0-9]+)")
_WITH_UNIT = re.compile(r"([0-9]+(?:\.[0-9]*)?|\.[0-9]+) ?(\"|''|'|inches|inch|in\.?|feet|foot|ft\.?|mm|cm|m)")
_FRACTION = re.compile(r"(?:([0-9]+)(?: |-| - ))?([0-9]+) ?/ ?([0-9]+) ?(\"|''|inches|inch|in\.?)?")
_FEET = re.compile(r"([0-9]+) ?(?:'(?!')|feet|foot|ft\.?) ?-? ?(.+)")


def parse_length(text: str, unit: Unit = "in", *, decimal_comma: bool = False) -> float:
    """Read a length as people write it; the answer is in inches.

    Parameters
    ----------
    text
        Such as `52 3/8`, `4' 4-3/8"`, `1330 mm`, `52.375`.
    unit
        What a number without a mark is in.
    decimal_comma
        Whether a comma is the decimal mark.

    Raises
    ------
    SurveyError
        If the text is no length, or could mean two; the message says what to type.

    >>> parse_length("52-3/8")
    52.375
    >>> parse_length("4' 4 3/8\\"")
    52.375
    >>> round(parse_length("1330", "mm"), 4)
    52.3622
    """
    plain = _plain(text, decimal_comma=decimal_comma)
    negative = plain.startswith("-")
    body = plain[1:].lstrip() if negative else plain
    inches = _read(body, unit, text)
    if inches > FARTHEST:
        raise SurveyError(f"longer than {FARTHEST:,.0f} in")
    return -inches if negative else inches


def _plain(text: str, *, decimal_comma: bool) -> str:
    """Trimmed, in lower case, dashes, quotes, slashes and vulgar fractions in their plain form."""
    if len(text) > LONGEST_TEXT:
        raise SurveyError("too long to be a length")
    plain = text.translate(_MAP).strip().lower()
    for sign, fraction in _HALVES.items():
        plain = re.sub(rf"([0-9]) ?-? ?{sign}", rf"\1 {fraction}", plain).replace(sign, fraction)
    plain = re.sub(" +", " ", plain)
    if decimal_comma:
        if "." in plain and "," in plain:
            raise SurveyError("has two kinds of decimal mark, or a thousands mark")
        return plain.replace(",", ".")
    if "," in plain:
        raise SurveyError("has a comma; write decimals with a point and no thousands mark")
    return plain


def _read(body: str, unit: Unit, text: str) -> float:
    if not body:
        raise SurveyError("is empty where a length is wanted")
    if _DECIMAL.fullmatch(body):
        return float(body) * INCHES_PER[unit]
    marked = _WITH_UNIT.fullmatch(body)
    if marked:
        return float(marked[1]) * INCHES_PER[_UNIT_WORDS[marked[2]]]
    feet = _FEET.fullmatch(body)
    if feet:
        return 12.0 * float(feet[1]) + _inches_after_feet(feet[2])
    fraction = _FRACTION.fullmatch(body)
    if fraction:
        if unit != "in" and fraction[4] is None:
            raise SurveyError(f'a fraction is inches; in a file in {unit} write {body}"')
        return _whole_and_fraction(fraction)
    raise SurveyError(_refusal(body))


def _whole_and_fraction(found: re.Match[str]) -> float:
    whole, top, bottom = float(found[1] or 0), int(found[2]), int(found[3])
    if bottom not in DENOMINATORS:
        raise SurveyError(f"/{bottom} is not on a tape: halves, quarters ... sixty-fourths are")
    if top >= bottom:
        raise SurveyError(f"{top}/{bottom} is a whole inch or more; carry it over")
    return whole + top / bottom


def _inches_after_feet(rest: str) -> float:
    found = _FRACTION.fullmatch(rest)
    if found:
        inches = _whole_and_fraction(found)
    else:
        number = re.fullmatch(r"([0-9]+(?:\.[0-9]*)?|\.[0-9]+) ?(?:\"|''|inches|inch|in\.?)?", rest)
        if number is None:
            raise SurveyError(_refusal(rest))
        inches = float(number[1])
    if inches >= 12.0:
        raise SurveyError("has 12 in or more after the feet; carry them over")
    return inches


def _refusal(body: str) -> str:
    """Why a text that fits no form is refused."""
    if re.fullmatch(r"[0-9]+-[0-9]+[ -][0-9]+/[0-9]+.*", body):
        return "could be feet or inches; write 4' 4-3/8\" or 52-3/8\""
    if re.fullmatch(r"[0-9]+\.[0-9]+/[0-9]+.*", body):
        return "mixes a decimal and a fraction"
    if re.fullmatch(r"[0-9]+ [0-9]+ [0-9]+", body):
        return "has no slash; write 52 3/8"
    if re.fullmatch(r".*[0-9]+/[0-9]+ .*[0-9]+/[0-9]+.*", body):
        return "has two fractions"
    if "_" in body:
        return "has an underscore"
    return "is not a length; write 52 3/8, 52.375, 4' 4-3/8\" or 1330 mm"


def snap(x: Number, step: float, way: Rounding) -> Number:
    """Round to a multiple of `step`; within a millionth of one counts as on it.

    >>> snap(92.66, 1 / 16, "down")
    92.625
    """
    steps = np.asarray(x) / step
    near = np.round(steps)
    if way == "down":
        near = np.where(np.abs(steps - near) * step <= ON_A_STEP, near, np.floor(steps))
    result = near * step
    return result if isinstance(x, np.ndarray) else float(result)


def fraction(x: float, denominator: int = 16) -> str:
    """Inches as a tape shows them.

    >>> fraction(92.625), fraction(0.375), fraction(-0.5), fraction(0.0)
    ('92-5/8"', '3/8"', '-1/2"', '0"')
    """
    parts = round(abs(x) * denominator)
    whole, top = divmod(parts, denominator)
    sign = "-" if x < 0 and parts else ""
    if top == 0:
        return f'{sign}{whole}"'
    while top % 2 == 0:
        top, denominator = top // 2, denominator // 2
    return f'{sign}{whole}-{top}/{denominator}"' if whole else f'{sign}{top}/{denominator}"'


def show(x: float, unit: Unit, *, denominator: int = 16) -> str:
    """A length as the reader's unit prints it: a fraction of an inch, or whole millimetres."""
    if unit in ("in", "ft"):
        return fraction(x, denominator)
    return f"{round(x * 25.4):d} mm"


def to_unit(x: Number, unit: Unit) -> Number:
    """Inches to the unit."""
    return x / INCHES_PER[unit]


def from_unit(x: Number, unit: Unit) -> Number:
    """The unit to inches."""
    return x * INCHES_PER[unit]
