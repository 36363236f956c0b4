"""One table of job.toml into one record: lengths to inches, types and ranges checked."""

from __future__ import annotations

import dataclasses
import difflib
import math
import re
import types
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from types import MappingProxyType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from survey.errors import Fault, SurveyError
from survey.job import TABLES, WALL_TABLES, Quantity, WallLine
from survey.lengths import INCHES_PER, Unit, parse_length

METRIC = ("mm", "cm", "m")
# Keys of job.toml that are no Python name, by attribute.
SPELLED = {"from_": "from"}


class Refused(Exception):
    """A value that does not do, with what is wanted instead."""


@dataclass(frozen=True)
class Reading:
    """What stays the same while a file is read; faults are collected, not raised."""

    file: str
    unit: Unit
    faults: list[Fault]

    def fault(self, place: str, found: object, wanted: str, cure: str = "") -> None:
        """Add a fault at a table and key."""
        shown = found if isinstance(found, str) else repr(found)
        self.faults.append(
            Fault(file=self.file, column=place, found=shown[:60], wanted=wanted, cure=cure)
        )

    def unknown(self, place: str, key: str, known: Iterable[str]) -> None:
        """Add a fault for a key nobody knows, with the nearest one."""
        near = difflib.get_close_matches(key, list(known), n=1)
        cure = f"Perhaps {near[0]}" if near else "Known: " + ", ".join(known)
        self.fault(place, "", f"unknown {'heading' if place.endswith(']') else 'key'}", cure)


def read_table(table: object, record: type, place: str, reading: Reading) -> Any:
    """A record from a table; None when it has faults (they are in the reading)."""
    if not isinstance(table, Mapping):
        reading.fault(place, table, f"a table is wanted: write {place} on a line of its own")
        return None
    before = len(reading.faults)
    hints = get_type_hints(record, include_extras=True)
    hints.pop("overrides", None)
    keys = {SPELLED.get(name, name): name for name in hints}
    values: dict[str, Any] = {}
    overrides: dict[str, Mapping[str, Any]] = {}
    for key, value in table.items():
        if record is WallLine and key in WALL_TABLES:
            overrides[key] = read_overrides(value, key, f"{place} {key}", reading)
        elif key not in keys:
            reading.unknown(f"{place} {key}", key, [*keys, *_wall_tables(record)])
        else:
            values[keys[key]] = _value(value, hints[keys[key]], f"{place} {key}", reading)
    for name in _missing(record, values):
        reading.fault(f"{place} {SPELLED.get(name, name)}", "", "is wanted and not given")
    if len(reading.faults) > before:
        return None
    if overrides:
        values["overrides"] = MappingProxyType(overrides)
    return record(**values)


def read_list(tables: object, record: type, place: str, reading: Reading) -> tuple[Any, ...]:
    """Records from a list of tables, each named in faults by its `name` or its number."""
    if not isinstance(tables, list):
        reading.fault(place, tables, f"a list of tables is wanted: head each one {place}")
        return ()
    made = []
    for number, table in enumerate(tables, start=1):
        name = table.get("name") if isinstance(table, Mapping) else None
        label = f'"{name}"' if isinstance(name, str) else str(number)
        made.append(read_table(table, record, f"{place} {label}", reading))
    return tuple(made)


def read_overrides(table: object, key: str, place: str, reading: Reading) -> Mapping[str, Any]:
    """The keys one wall sets for itself, converted, by attribute."""
    if not isinstance(table, Mapping):
        reading.fault(place, table, f"a table is wanted: write [wall.{key}]")
        return MappingProxyType({})
    hints = get_type_hints(TABLES[key][1], include_extras=True)
    values = {}
    for inner, value in table.items():
        if inner not in hints:
            reading.unknown(f"{place} {inner}", inner, hints)
        else:
            values[inner] = _value(value, hints[inner], f"{place} {inner}", reading)
    return MappingProxyType(values)


def _wall_tables(record: type) -> tuple[str, ...]:
    return WALL_TABLES if record is WallLine else ()


def _missing(record: type, values: Mapping[str, Any]) -> list[str]:
    return [
        field.name
        for field in dataclasses.fields(record)
        if field.default is dataclasses.MISSING
        and field.default_factory is dataclasses.MISSING
        and field.name not in values
    ]


def _value(value: object, hint: Any, place: str, reading: Reading) -> Any:
    """The value converted and checked; what is wrong goes to the reading."""
    record = _record_in(hint)
    if record is not None:
        if get_origin(hint) is tuple:
            return read_list(value, record, place, reading)
        return read_table(value, record, place, reading)
    try:
        return _checked(_prepared(value, hint, reading.unit), hint)
    except Refused as refused:
        reading.fault(place, value, str(refused))
        return None


def _record_in(hint: Any) -> type | None:
    """The dataclass a hint stands for, alone, optional or in a tuple."""
    for candidate in (hint, *get_args(hint)):
        if dataclasses.is_dataclass(candidate) and isinstance(candidate, type):
            return candidate
    return None


def _prepared(value: object, hint: Any, unit: Unit) -> Any:
    """Lengths to inches and lists to tuples, as the hint asks; the rest as it is."""
    origin = get_origin(hint)
    if origin is Annotated:
        return _quantity(value, _marker(hint), unit)
    if origin in (Union, types.UnionType):
        return _prepared_union(value, get_args(hint), unit)
    if origin is tuple:
        if not isinstance(value, list):
            raise Refused("a list in square brackets is wanted")
        inner = get_args(hint)
        fixed = len(inner) == 2 and inner[1] is not Ellipsis
        if fixed and len(value) != 2:
            raise Refused("a pair [x, y] is wanted")
        return tuple(_prepared(each, inner[0], unit) for each in value)
    if hint is date and isinstance(value, str):
        return _date(value)
    return value


def _prepared_union(value: object, hints: tuple[Any, ...], unit: Unit) -> Any:
    words = [word for hint in hints if get_origin(hint) is Literal for word in get_args(hint)]
    if value in words and not isinstance(value, bool):
        return value
    rest = [hint for hint in hints if hint is not type(None) and get_origin(hint) is not Literal]
    try:
        return _prepared(value, rest[0], unit) if rest else value
    except Refused as refused:
        names = ", ".join(f'"{word}"' for word in words)
        raise Refused(f"{names} or {refused}" if names else str(refused)) from refused


def _marker(hint: Any) -> Quantity:
    return next(mark for mark in hint.__metadata__ if isinstance(mark, Quantity))


def _quantity(value: object, quantity: Quantity, unit: Unit) -> float:
    """A length, slope or number in inches, within its range."""
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise Refused(f"a {quantity.kind} is wanted")
    number = _text_quantity(value, quantity, unit) if isinstance(value, str) else float(value)
    if not isinstance(value, str) and quantity.kind != "number":
        number *= _bare_factor(quantity, unit)
    if not math.isfinite(number):
        raise Refused("a finite number is wanted")
    if not quantity.least <= number <= quantity.most:
        raise Refused(_range(quantity, unit))
    return number


def _bare_factor(quantity: Quantity, unit: Unit) -> float:
    """What a number without a mark is multiplied by: slopes are in per ft, or mm per m."""
    if quantity.kind == "length":
        return INCHES_PER[unit]
    return 1 / 1000.0 if unit in METRIC else 1 / 12.0


def _text_quantity(text: str, quantity: Quantity, unit: Unit) -> float:
    if quantity.kind == "number":
        raise Refused("a plain number is wanted, without quotes")
    try:
        if quantity.kind == "length":
            return parse_length(text, unit)
        return _slope(text, unit)
    except SurveyError as error:
        raise Refused(error.message) from error


def _slope(text: str, unit: Unit) -> float:
    """`1/8 at 30 ft`, `1/4 per ft`, `3 mm per m`; without a run it is per foot, or per metre."""
    per = re.split(r"\s+(?:at|in|per)\s+(?=[0-9.]|ft|foot|m\b)", text.strip(), maxsplit=1)
    rise = parse_length(per[0], unit)
    if len(per) == 1:
        return rise / (INCHES_PER["m"] if unit in METRIC else 12.0)
    run = per[1] if re.match(r"[0-9.]", per[1]) else f"1 {per[1]}"
    length = parse_length(run, unit)
    if length <= 0:
        raise Refused("a slope over no distance cannot be told")
    return rise / length


def _range(quantity: Quantity, unit: Unit) -> str:
    def shown(x: float) -> str:
        if quantity.kind != "length":
            return f"{x:g}"
        return f"{x / INCHES_PER[unit]:g} {unit}"

    if math.isinf(quantity.most):
        return f"{shown(quantity.least)} or more is wanted"
    return f"between {shown(quantity.least)} and {shown(quantity.most)} is wanted"


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text.strip())
    except ValueError as error:
        raise Refused("a date is wanted, as 2027-10-04") from error


def _checked(value: Any, hint: Any) -> Any:
    """The value as the hint's type has it, or what is wanted instead, in our words."""
    from pydantic import ConfigDict, TypeAdapter, ValidationError

    if isinstance(value, datetime):
        raise Refused("a date is wanted, as 2027-10-04")
    try:
        checked = TypeAdapter(hint, config=ConfigDict(strict=True)).validate_python(value)
    except (ValidationError, RecursionError) as error:
        raise Refused(_wanted(hint)) from error
    for text in checked if isinstance(checked, tuple) else (checked,):
        if isinstance(text, str) and any(not char.isprintable() for char in text):
            raise Refused("a text without control or invisible characters is wanted")
    return checked


def _wanted(hint: Any) -> str:
    """What a type hint asks for, in words."""
    origin = get_origin(hint)
    if origin is Literal:
        return "one of " + ", ".join(
            f'"{word}"' if isinstance(word, str) else str(word) for word in get_args(hint)
        )
    if origin in (Union, types.UnionType):
        return " or ".join(_wanted(inner) for inner in get_args(hint) if inner is not type(None))
    if origin is tuple:
        return f"a list is wanted, each {_wanted(get_args(hint)[0])}"
    if origin is Annotated:
        return f"a {_marker(hint).kind}"
    return {str: "a text in straight quotes", date: "a date, as 2027-10-04"}.get(hint, "a value")
