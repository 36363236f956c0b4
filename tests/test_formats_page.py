"""docs/formats.md names every key of a job file, with its default, its limits and its words."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path
from typing import Any

import pytest

from survey.field.headings import SYNONYMS
from survey.field.jobwords import hints_of, key_of, quantity_in, record_in, words_of
from survey.job import LISTS, TABLES
from survey.sheets.jobtemplate import NESTED, default_text

PAGE = (Path(__file__).resolve().parent.parent / "docs" / "formats.md").read_text(encoding="utf-8")
HEADINGS: dict[str, type] = {
    **{heading: record for heading, (_, record) in (*TABLES.items(), *LISTS.items())},
    **dict(NESTED.values()),
}
UNITS = {"length": " in", "slope": " in per ft", "number": ""}


def rows_under(heading: str) -> dict[str, tuple[str, str, str]]:
    """Key -> default, what may stand there, meaning: the table under a heading of the page."""
    brackets = f"[{heading}]" if heading in TABLES else f"[[{heading}]]"
    found = re.search(
        rf"^### `{re.escape(brackets)}`.*?\n(.*?)(?=^##)", PAGE + "\n##", re.MULTILINE | re.DOTALL
    )
    assert found, f"{brackets} has no section of its own"
    cells = [
        line.strip("|").split(" | ") for line in found[1].splitlines() if line.startswith("| `")
    ]
    return {key.strip(" `"): (a.strip(), b.strip(), c.strip()) for key, a, b, c in cells}


def default_of(attribute: dataclasses.Field[Any], record: type) -> str:
    if attribute.default is None or attribute.default == "":
        return "none"
    if attribute.default is dataclasses.MISSING:
        return "needed"
    return f"`{default_text(attribute.default, hints_of(record)[attribute.name])}`"


def values_of(hint: Any) -> str:
    """What the page says may stand as a value."""
    words = ", ".join(f'`"{w}"`' if isinstance(w, str) else f"`{w}`" for w in words_of(hint) if w)
    for inner in getattr(hint, "__args__", ()):
        if getattr(inner, "__origin__", None) is tuple:
            hint = inner
    each = getattr(hint, "__args__", (hint,))[0] if "tuple" in str(hint) else hint
    marker = quantity_in(each)
    if marker is None:
        return words or "text"
    scale = 12.0 if marker.kind == "slope" else 1.0
    limits = f"{marker.least * scale:,.7g} to {marker.most * scale:,.7g}{UNITS[marker.kind]}"
    return f"{words} or {limits}" if words else limits


@pytest.mark.parametrize("heading", HEADINGS)
def test_every_key_of_a_heading_is_described(heading: str) -> None:
    record = HEADINGS[heading]
    rows = rows_under(heading)
    expected = {
        key_of(attribute.name): default_of(attribute, record)
        for attribute in dataclasses.fields(record)
        if attribute.name not in ("overrides", *NESTED)
    }
    assert {key: row[0] for key, row in rows.items()} == expected
    assert all(row[2] for row in rows.values())


@pytest.mark.parametrize("heading", HEADINGS)
def test_what_may_stand_as_a_value_is_told(heading: str) -> None:
    record = HEADINGS[heading]
    told = {key: row[1] for key, row in rows_under(heading).items()}
    for name, hint in hints_of(record).items():
        if name in ("overrides", *NESTED, "surveyed") or record_in(hint) is not None:
            continue
        assert told[key_of(name)] == values_of(hint), f"{heading}.{name}"


def test_every_heading_of_the_readings_is_described() -> None:
    start = PAGE.index("## Readings")
    readings = PAGE[start : PAGE.index("## Job file")]
    for own, words in SYNONYMS.items():
        row = re.search(rf"^\| `{own}` \|(.*)$", readings, re.MULTILINE)
        assert row, own
        assert all(f"`{word}`" in row[1] for word in words if word not in (own, "remarks"))
