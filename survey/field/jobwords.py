"""What job.toml is told in words: what a type asks for, a value as found, the nearest key."""

from __future__ import annotations

import dataclasses
import difflib
import functools
import re
import types
import unicodedata
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from survey.job import Quantity

LONGEST_SHOWN = 60
# Keys of job.toml that no Python name can be, by attribute.
SPELLED = {"from_": "from"}
DATE_WANTED = "a date is wanted, as 2027-10-04 without quotes"
_STEERING = re.compile("[\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]")


@functools.cache
def hints_of(record: type) -> dict[str, Any]:
    """Attribute -> type of a record, with the markers of its quantities."""
    return get_type_hints(record, include_extras=True)


def key_of(attribute: str) -> str:
    """An attribute as it is spelled in job.toml."""
    return SPELLED.get(attribute, attribute)


def record_in(hint: Any) -> type | None:
    """The record a type stands for, alone, optional or in a tuple; None if it is none."""
    for candidate in (hint, *get_args(hint)):
        if dataclasses.is_dataclass(candidate) and isinstance(candidate, type):
            return candidate
    return None


def quantity_in(hint: Any) -> Quantity | None:
    """The marker of a number's type, alone or optional or beside words; None if it has none."""
    for candidate in (hint, *get_args(hint)):
        if get_origin(candidate) is Annotated:
            return next(mark for mark in candidate.__metadata__ if isinstance(mark, Quantity))
    return None


def words_of(hint: Any) -> tuple[Any, ...]:
    """The words a type allows, alone or beside a quantity."""
    return tuple(
        word
        for candidate in (hint, *get_args(hint))
        if get_origin(candidate) is Literal
        for word in get_args(candidate)
    )


def wanted(hint: Any) -> str:
    """What a type asks for, in words.

    >>> wanted(Literal["no", "yes"])
    '"no" or "yes" is wanted'
    """
    words = words_of(hint)
    if words:
        return f"{listed(words)} is wanted"
    marker = quantity_in(hint)
    if get_origin(hint) in (Union, types.UnionType):
        return wanted(next(inner for inner in get_args(hint) if inner is not type(None)))
    if get_origin(hint) is tuple:
        inner = get_args(hint)
        if len(inner) == 2 and inner[1] is not Ellipsis:
            return "a pair of lengths is wanted, as [0, 96]"
        each = quantity_in(inner[0])
        kind = "text" if each is None else each.kind
        return f"a list of {kind}s in square brackets is wanted"
    if marker is not None:
        return f"a {marker.kind} is wanted"
    if record_in(hint) is not None:
        return "a table is wanted"
    texts = {str: "a text in straight quotes is wanted", date: DATE_WANTED}
    return texts.get(hint, "another kind of value is wanted")


def shown(value: object) -> str:
    """A value of a TOML file for a message; tables and lists are too long to show."""
    if isinstance(value, str):
        return plain(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) and abs(value) > 10**LONGEST_SHOWN:
        return "a very large number"
    return str(value) if isinstance(value, int | float | date) else ""


def plain(text: str) -> str:
    r"""A text cut short, its control and text-direction characters spelled out.

    >>> plain("Nor\u202eth")
    'Nor\\u202eth'
    """
    short = text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 3] + "..."
    return "".join(ascii(char)[1:-1] if is_hidden(char) else char for char in short)


def is_hidden(char: str) -> bool:
    """Whether a character is a control character or turns the direction of text."""
    return unicodedata.category(char) in ("Cc", "Cs") or _STEERING.match(char) is not None


def listed(words: Sequence[object]) -> str:
    """Words a key may have, as a sentence lists them."""
    texts = [f'"{word}"' if isinstance(word, str) else str(word) for word in words if word != ""]
    return " or ".join([", ".join(texts[:-1]), texts[-1]] if len(texts) > 1 else texts)


def nearest_word(value: object, words: Sequence[object]) -> str:
    """A cure for a word that is none of those allowed; empty where none is near."""
    names = [word for word in words if isinstance(word, str)]
    near = difflib.get_close_matches(str(value).casefold(), names, n=1) if names else []
    return f'Perhaps "{near[0]}"' if near and isinstance(value, str) else ""


def nearest_key(key: str, known: Iterable[str]) -> str:
    """A cure for a key nobody knows: the nearest one; empty where none is near."""
    near = difflib.get_close_matches(key.casefold(), list(known), n=1)
    return f"Perhaps {near[0]}" if near else ""
