"""Lengths: the only place that knows units and fractions. Everything inside is inches.

Reading is strict: what a tape or a rod cannot mean is refused in words that say what to type.
"""

from __future__ import annotations

import math
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

# The inch is 25.4 mm exactly (NIST Special Publication 811, appendix B).
INCHES_PER: Mapping[Unit, float] = MappingProxyType(
    {"in": 1.0, "ft": 12.0, "mm": 1 / 25.4, "cm": 10 / 25.4, "m": 1000 / 25.4}
)
_METRIC: Mapping[str | None, Unit] = MappingProxyType({"mm": "mm", "cm": "cm", "m": "m"})
DENOMINATORS = (2, 4, 8, 16, 32, 64)
LONGEST_TEXT = 40
FARTHEST = 1e6  # [in], some 16 miles: nothing in a basement is longer
ON_A_STEP = 1e-6

# Written out rather than normalised: NFKC makes 521/2 of 52 and a half.
_SIGNS = str.maketrans(
    {
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe63\uff0d", "-"),
        **dict.fromkeys("\t\u00a0\u2002\u2003\u2007\u2008\u2009\u200a\u202f", " "),
        **dict.fromkeys("\u2044\u2215", "/"),
        **dict.fromkeys("\u2018\u2019\u201b\u2032\u02b9\u00b4", "'"),
        **dict.fromkeys("\u201c\u201d\u201e\u201f\u2033\u02ba", '"'),
    }
)
_GLYPHS: Mapping[str, str] = MappingProxyType(
    {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
    | {"⅓": "1/3", "⅔": "2/3", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6"}
    | {"⅚": "5/6", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10", "↉": "0/3"}
)
_GLYPH = re.compile(f"(-)?([{''.join(_GLYPHS)}])")

_N = r"(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)"
_INCH = r"(?:\"|''|inches|inch|in\.?)"
_FOOT = r"(?:'(?!')|feet|foot|ft\.?)"
_MARK = rf"(?:{_INCH}|{_FOOT}|mm|cm|m)"
_PLAIN = re.compile(r"[0-9]{1,7}(?:\.[0-9]{1,9})?")
_DECIMAL = re.compile(rf"({_N})(?: ?(?:({_INCH})|({_FOOT})|(mm|cm|m)))?")
_FRACTION = re.compile(rf"(?:([0-9]+)[ -])?([0-9]+) ?/ ?([0-9]+)( ?{_INCH})?")
_FEET = re.compile(rf"([0-9]+) ?{_FOOT} ?-? ?([0-9.].*)")
_AFTER_FEET = re.compile(rf"([0-9]{{1,2}}(?:\.[0-9]*)?|\.[0-9]+)(?: ?{_INCH})?")

# The first that fits says why a text that is no length is refused, and what to type.
_REFUSALS: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern), said)
    for pattern, said in (
        (r"-?nan|-?inf(inity)?", "is no number; leave it empty where nothing was read"),
        (r"[-.?*x]+|n/?a|none|null", "says nothing was read; leave it empty instead"),
        (r"[\"']+", "is a ditto mark; write the number out"),
        (r"#.*", "is a spreadsheet's own error, not a value; widen the column or mend the cell"),
        (r"=.*", "is a formula; save the values, not the formulas"),
        (r".*_.*", "has an underscore; write the digits alone"),
        (rf"{_N} ?e ?[-+]?[0-9]+", "has an exponent; write the number out"),
        (r".*\+.*", "has a plus sign; write what the nearest mark of the tape says, 52 3/8"),
        (r"--.*|.* -- .*", "has two dashes; one minus is enough"),
        (r"[0-9]+[-/.][0-9]+[-/.][0-9]{4}.*|[0-9]{4}-[0-9]+-.*", "is a date, not a length"),
        (rf"{_N} ?'[^']*'(?!').*", "has two foot marks; inches take a double one"),
        (rf"{_N} ?{_FOOT} ?[0-9]{{3,}}.*", "has three digits of inches or a thousands mark"),
        (rf"[0-9]*\.[0-9]* ?{_FOOT} ?-? ?[0-9.].*", "has decimal feet and inches too; use one"),
        (rf"[0-9]+-[0-9]+( ?{_INCH})?", "is it feet or inches? Write 4' 4\", or 52 for inches"),
        (r"[0-9]+-[0-9]+[ -][0-9]+ ?/.*", 'is it feet or inches? Write 4\' 4-3/8" or 52-3/8"'),
        (r"[^/]*\.[^a-z/]*/.*|.*/ ?[0-9]*\.[0-9].*", "mixes a decimal and a fraction; use one"),
        (r"[^/]*\.[0-9 ]*\..*", "has two decimal points"),
        (r"[^/]*[0-9] ?/ ?[0-9]+ ?/.*", "has two slashes; write 52 3/8"),
        (r".*/ ?[0-9]+[ -]+[0-9]+ ?/.*", "has two fractions; add them up"),
        (r"[0-9]+( - ?| -|- )[0-9].*", "has a dash that could mean minus; write 52-3/8"),
        (rf"{_N}( {_N})+|[0-9]+(-[0-9]+){{2}}", "has numbers without a slash; write 52 3/8"),
        (r"[0-9]+ [0-9]+ [0-9]+ ?/.*", "has one number too many; write 52 3/8"),
        (
            rf".*[0-9] ?{_MARK} ?-? ?[0-9]+ ?/.*",
            "has its unit before the fraction; write 52 3/8 in",
        ),
        (rf".*/ ?[0-9]+ ?{_MARK}", "is a fraction, so inches; write 0.5 ft or 13 mm"),
        (rf"{_N} ?{_INCH} ?-? ?{_N} ?{_FOOT}", "has its inches before the feet"),
        (rf"{_N} ?{_MARK} ?{_N}( ?{_MARK})?", "has two units; write it in one, such as 1.33 m"),
    )
)


def parse_length(text: str, unit: Unit = "in", *, decimal_comma: bool = False) -> float:
    r"""Read a length as people write it; the answer is in inches.

    Parameters
    ----------
    text
        Such as `52 3/8`, `4' 4-3/8"`, `1330 mm`, `52.375`; a minus may stand before it.
    unit
        What a number without a mark is in.
    decimal_comma
        Whether the comma is the decimal mark; a point is then refused.

    Raises
    ------
    SurveyError
        If the text is no length, or could mean two; the message says why and what to type.

    >>> parse_length("52-3/8")
    52.375
    >>> parse_length("4' 4 3/8\"")
    52.375
    >>> round(parse_length("1330", "mm"), 4)
    52.3622
    """
    if _PLAIN.fullmatch(text) and not (decimal_comma and "." in text):
        inches = float(text) * INCHES_PER[unit]
    else:
        inches = _signed(_settle(text, decimal_comma=decimal_comma), unit)
    if abs(inches) > FARTHEST:
        raise SurveyError("is longer than any building (over 1,000,000 in); type it again")
    return inches


def _settle(text: str, *, decimal_comma: bool) -> str:
    """The text in lower case with plain signs, single spaces and a point as decimal mark."""
    if len(text) > LONGEST_TEXT:
        raise SurveyError(f"has {len(text):,} characters, too long to be a length; type it again")
    plain = text.translate(_SIGNS).lower()
    plain = _GLYPH.sub(lambda found: f"{found[1] or ' '}{_GLYPHS[found[2]]} ", plain)
    plain = re.sub(" +", " ", plain).strip(" ")
    if not plain:
        raise SurveyError("is empty where a length is wanted")
    if not plain.isascii():
        _refuse_foreign(plain)
    if "," in plain or decimal_comma:
        return _with_point(plain, decimal_comma=decimal_comma)
    return plain


def _refuse_foreign(plain: str) -> None:
    odd = next(sign for sign in plain if not sign.isascii())
    if odd.isnumeric():
        raise SurveyError(f'has "{odd}", no plain digit; type the digits 0 to 9')
    seen = f'"{odd}"' if odd.isprintable() else f"the hidden character {ascii(odd)[1:-1]}"
    raise SurveyError(f"has {seen}, which no length has; type it again")


def _with_point(plain: str, *, decimal_comma: bool) -> str:
    if re.fullmatch(r".*[0-9],[0-9]{3}(?:[,.][0-9].*)|.*[0-9]\.[0-9]{3},[0-9].*", plain):
        raise SurveyError("has a thousands mark; write the digits together, 1052.5")
    if not decimal_comma:
        if re.fullmatch(r"[^,]*[0-9],[0-9]{3}(?![0-9])[^,]*", plain):
            raise SurveyError("has a thousands mark, or a decimal comma; write 1052 or 52.375")
        raise SurveyError(
            "has a comma; write 52.375 (decimal commas go with semicolons or tabs between columns)"
        )
    if re.search(r"\.[0-9]|[0-9]\.", plain):
        raise SurveyError("has a decimal point where the file has decimal commas; use one kind")
    return plain.replace(",", ".")


def _signed(plain: str, unit: Unit) -> float:
    if plain.startswith("-") and len(plain) > 1 and plain[1] != "-":
        return 0.0 - _inches(plain[1:].lstrip(" "), unit)
    return _inches(plain, unit)


def _inches(plain: str, unit: Unit) -> float:
    """Inches of a settled text without sign."""
    decimal = _DECIMAL.fullmatch(plain)
    if decimal:
        number, inch, foot, metric = decimal.groups()
        own: Unit = "in" if inch else "ft" if foot else _METRIC.get(metric, unit)
        return float(number) * INCHES_PER[own]
    fraction = _FRACTION.fullmatch(plain)
    if fraction:
        if unit != "in" and fraction[4] is None:
            raise SurveyError(f'is a fraction, so inches, among lengths in {unit}; write {plain}"')
        return _with_fraction(fraction)
    feet = _FEET.fullmatch(plain)
    if feet:
        rest = _AFTER_FEET.fullmatch(feet[2])
        fraction = _FRACTION.fullmatch(feet[2])
        if rest:
            return _feet_and_inches(feet[1], float(rest[1]))
        if fraction:
            return _feet_and_inches(feet[1], _with_fraction(fraction))
    raise SurveyError(_refusal(plain))


def _feet_and_inches(feet: str, inches: float) -> float:
    if inches >= INCHES_PER["ft"]:
        raise SurveyError("has 12 in or more after the feet; carry them over to the feet")
    return INCHES_PER["ft"] * float(feet) + inches


def _with_fraction(found: re.Match[str]) -> float:
    whole, top, bottom = float(found[1] or 0), int(found[2]), int(found[3])
    if bottom == 0:
        raise SurveyError("has a fraction over zero; type it again")
    if bottom not in DENOMINATORS:
        raise SurveyError(f"has /{bottom}, which is not on a tape: halves to sixty-fourths are")
    if top >= bottom:
        raise SurveyError(f"has {top}/{bottom}, a whole inch or more; write 52 1/2 or 53 1/8")
    return whole + top / bottom


def _refusal(plain: str) -> str:
    """Why a text that fits no form is refused, and what to type instead."""
    for pattern, said in _REFUSALS:
        if pattern.fullmatch(plain):
            return said
    words = [word for word in re.findall("[a-z]+", plain) if not re.fullmatch(_MARK, word)]
    if words:
        return f'has "{words[0]}", which is no digit and no unit (in, ft, mm, cm, m)'
    return "is no length; write it as 52 3/8, 52.375, 4' 4-3/8\" or 1330 mm"


def snap(x: Number, step: float, way: Rounding) -> Number:
    """Round to a multiple of `step` [same unit]; within a millionth of one counts as on it.

    >>> snap(92.66, 1 / 16, "down"), snap(92.66, 1 / 16, "nearest")
    (92.625, 92.6875)
    >>> snap(92.6249999999, 1 / 16, "down")
    92.625
    """
    steps = np.asarray(x, dtype=np.float64) / step
    near = np.floor(steps + 0.5)
    if way == "down":
        near = np.where(np.abs(steps - near) * step <= ON_A_STEP, near, np.floor(steps))
    result = near * step
    return result if isinstance(x, np.ndarray) else float(result)


def fraction(x: float, denominator: int = 16) -> str:
    """Inches as a tape shows them, to the nearest `1 / denominator`.

    >>> fraction(92.625), fraction(0.375), fraction(-0.5), fraction(0.0)
    ('92-5/8"', '3/8"', '-1/2"', '0"')
    """
    parts = math.floor(abs(x) * denominator + 0.5)
    whole, top = divmod(parts, denominator)
    sign = "-" if x < 0 and parts else ""
    if top == 0:
        return f'{sign}{whole}"'
    shared = math.gcd(top, denominator)
    part = f"{top // shared}/{denominator // shared}"
    return f'{sign}{whole}-{part}"' if whole else f'{sign}{part}"'


def show(x: float, unit: Unit, *, denominator: int = 16, decimals: int = 0) -> str:
    """A length [in] in the reader's unit: a fraction of an inch, or millimetres.

    >>> show(92.625, "in"), show(92.625, "mm"), show(92.625, "m", decimals=1)
    ('92-5/8"', '2353 mm', '2352.7 mm')
    """
    if unit in ("in", "ft"):
        return fraction(x, denominator)
    said = f"{x / INCHES_PER['mm']:.{decimals}f}"
    return f"{said.removeprefix('-') if float(said) == 0 else said} mm"


def to_unit(x: Number, unit: Unit) -> Number:
    """Inches to the unit.

    >>> to_unit(12.0, "ft")
    1.0
    """
    return x / INCHES_PER[unit]


def from_unit(x: Number, unit: Unit) -> Number:
    """The unit to inches.

    >>> from_unit(254.0, "mm")
    10.0
    """
    return x * INCHES_PER[unit]
