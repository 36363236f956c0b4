"""The text of a new job.toml: every key there is, commented out, with its default."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any, Literal, get_args, get_origin, get_type_hints

from survey.job import LISTS, TABLES, WALL_TABLES, Door, Under, WallLine
from survey.lengths import fraction
from survey.settings import Quantity
from survey.sheets.jobremarks import EXAMPLES, HEAD, REMARKS

REMARK_COLUMN = 40
IN_FEET = 96.0
NESTED: Mapping[str, tuple[str, type]] = MappingProxyType(
    {"door": ("wall.door", Door), "under": ("wall.under", Under)}
)


def job_template() -> str:
    """A job.toml with every key commented out: taking a `#` away keeps the default.

    A key without a default stands behind `##`, with an example instead. Keys in lists of tables
    ([[mark]], [[wall]] ...) are there once; the whole table may be repeated.

    >>> print(job_template().splitlines()[0])
    ## Settings of one job. Take the # away in front of a line to set it.
    """
    blocks = [HEAD.strip()]
    for heading, (_, record) in TABLES.items():
        blocks.append("\n".join([*_remarks(heading), f"[{heading}]", *_keys(record, heading)]))
    for heading, (_, record) in LISTS.items():
        lines = [*_remarks(heading), f"# [[{heading}]]", *_keys(record, heading)]
        blocks.append("\n".join(lines))
        if record is WallLine:
            blocks += _wall_blocks()
    return "\n\n".join(blocks) + "\n"


def _wall_blocks() -> list[str]:
    """The tables that belong to the wall above them."""
    blocks = []
    for heading, record in NESTED.values():
        lines = [*_remarks(heading), f"# [[{heading}]]", *_keys(record, heading)]
        blocks.append("\n".join(lines))
    for table in WALL_TABLES:
        heading = f"wall.{table}"
        first = next(iter(dataclasses.fields(TABLES[table][1])))
        line = _line(first, TABLES[table][1], table)
        blocks.append("\n".join([*_remarks(heading), f"# [{heading}]", line]))
    return blocks


def _remarks(heading: str) -> list[str]:
    return [f"## {line}" for line in REMARKS[heading].splitlines()]


def _keys(record: type, heading: str) -> Iterator[str]:
    for attribute in dataclasses.fields(record):
        if attribute.name not in ("overrides", *NESTED):
            yield _line(attribute, record, heading)


def _line(attribute: dataclasses.Field[Any], record: type, heading: str) -> str:
    """One key: `# key = default   # remark`, or `## key = example   # remark` without default."""
    key = attribute.name.rstrip("_")
    dotted = f"{heading}.{key}"
    if attribute.default is None:
        setting = f"## {key} = {EXAMPLES[dotted]}"
    elif attribute.default is dataclasses.MISSING:
        setting = f"# {key} = {EXAMPLES[dotted]}"
    else:
        hint = get_type_hints(record, include_extras=True)[attribute.name]
        setting = f"# {key} = {default_text(attribute.default, hint)}"
    return f"{setting:<{REMARK_COLUMN - 2}}  # {REMARKS[dotted]}{_choices(record, attribute.name)}"


def default_text(value: Any, hint: Any) -> str:
    """A default as TOML, lengths as a tape shows them."""
    if isinstance(value, tuple):
        return f"[{', '.join(default_text(each, get_args(hint)[0]) for each in value)}]"
    kind = _kind(hint)
    if isinstance(value, str):
        return f'"{value}"'
    if kind == "length":
        return f'"{_length(value)}"'
    if kind == "slope":
        return f'"{_slope(value)}"'
    return f"{value:g}" if isinstance(value, float) else str(value)


def _kind(hint: Any) -> str:
    markers = getattr(hint, "__metadata__", ())
    return next((mark.kind for mark in markers if isinstance(mark, Quantity)), "")


def _length(x: float) -> str:
    if x >= IN_FEET and x % 12.0 == 0.0:
        return f"{x / 12.0:g} ft"
    return fraction(x, 64).removesuffix('"')


def _slope(x: float) -> str:
    """Inches in 30 ft, as lasers are sold; 0 stays 0."""
    return f"{fraction(x * 360.0, 64).removesuffix(chr(34))} at 30 ft" if x else "0"


def _choices(record: type, name: str) -> str:
    """The words a key may have, where they are few."""
    hint = get_type_hints(record, include_extras=True)[name]
    words = [
        word
        for candidate in (hint, *get_args(hint))
        if get_origin(candidate) is Literal
        for word in get_args(candidate)
        if word != ""
    ]
    texts = [f'"{word}"' if isinstance(word, str) else str(word) for word in words]
    return f": {', '.join(texts)}" if len(texts) > 1 else ""
