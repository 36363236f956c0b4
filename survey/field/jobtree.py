"""The tables of job.toml, walked by the records: every value settled, every fault placed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, get_origin

from survey.errors import Fault, SurveyError
from survey.field.jobvalues import reason_of, settle
from survey.field.jobwords import hints_of, key_of, nearest_key, plain, record_in, shown, wanted
from survey.job import LISTS, TABLES, WALL_TABLES, WallLine
from survey.lengths import Unit

Path = tuple[str | int, ...]


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where a value stands, as the file heads it, what its type asks for, and the value."""

    label: str
    hint: Any
    value: object


@dataclass(frozen=True, kw_only=True)
class Walk:
    """One table as it is walked: where each value stands, and which are refused already.

    `faults` is shared by all tables of a file; `places` and `refused` are by path of attributes
    and list numbers from the table down.
    """

    file: str
    unit: Unit
    faults: list[Fault]
    places: dict[Path, Place] = field(default_factory=dict)
    refused: set[Path] = field(default_factory=set)

    def refuse(self, path: Path, wanted: str, cure: str = "") -> None:
        """Add the fault of the value at a path, once."""
        if any(path[:depth] in self.refused for depth in range(len(path) + 1)):
            return
        self.refused.add(path)
        place = self.places[path]
        self.tell(place.label, wanted, cure, found=shown(place.value))

    def tell(self, label: str, wanted: str, cure: str = "", *, found: str = "") -> None:
        """Add a fault at a labelled place."""
        self.faults.append(
            Fault(file=self.file, column=label, found=found, wanted=wanted, cure=cure)
        )

    def refuse_shape(self, path: Path, *, missing: bool) -> None:
        """Add the fault of a value whose type is not what its record asks."""
        depth = next(d for d in range(len(path), -1, -1) if path[:d] in self.places)
        near = self.places[path[:depth]]
        if missing and depth == len(path) - 1 and isinstance(path[-1], str):
            self.tell(f"{near.label} {key_of(path[-1])}", "is wanted and not given")
        else:
            self.refuse(path[:depth], wanted(near.hint))


def settle_table(table: object, record: type, label: str, path: Path, walk: Walk) -> object:
    """A table as a record's constructor wants it; what is no table is handed back.

    A wall's own tables come out under "overrides", by heading.
    """
    walk.places[path] = Place(label=label, hint=record, value=table)
    if not isinstance(table, Mapping):
        cure = f"Write {label} on a line of its own" if label.endswith("]") else ""
        walk.refuse(path, "a table is wanted", cure)
        return table
    known = {key_of(name): name for name in hints_of(record) if name != "overrides"}
    owned = WALL_TABLES if record is WallLine else ()
    values: dict[str, Any] = {}
    for key, value in table.items():
        if key in owned:
            own = TABLES[key][1]
            inner = (*path, "overrides", key)
            settled = settle_table(value, own, f"{label} {key}", inner, walk)
            values.setdefault("overrides", {})[key] = settled
        elif key in known:
            name = known[key]
            hint = hints_of(record)[name]
            values[name] = _settle_value(value, hint, f"{label} {key}", (*path, name), walk)
        else:
            cure = nearest_key(key, [*known, *owned]) or _where_known(key)
            walk.tell(f"{label} {plain(key)}", "there is no such key", cure)
    return values


def settle_list(tables: object, record: type, label: str, path: Path, walk: Walk) -> object:
    """A list of tables, each labelled by its `name` or its number."""
    walk.places[path] = Place(label=label, hint=record, value=tables)
    if not isinstance(tables, list):
        key = label.rsplit(maxsplit=1)[-1]
        walk.refuse(path, "may stand more than once", f"Head each one [[wall.{key}]]")
        return tables
    return [
        settle_table(table, record, numbered(label, table, i + 1), (*path, i), walk)
        for i, table in enumerate(tables)
    ]


def numbered(label: str, table: object, number: int) -> str:
    """A table of a list by its name, else by its number.

    >>> numbered("[[wall]]", {"name": "North"}, 1)
    '[[wall]] "North"'
    """
    name = table.get("name") if isinstance(table, Mapping) else None
    return f'{label} "{plain(name)}"' if isinstance(name, str) else f"{label} {number}"


def _settle_value(value: object, hint: Any, label: str, path: Path, walk: Walk) -> object:
    record = record_in(hint)
    if record is not None:
        walk_all = settle_list if get_origin(hint) is tuple else settle_table
        return walk_all(value, record, label, path, walk)
    walk.places[path] = Place(label=label, hint=hint, value=value)
    if get_origin(hint) is tuple or _pair_in(hint) is not None:
        return _settle_items(value, _pair_in(hint) or hint, label, path, walk)
    try:
        return settle(value, hint, walk.unit)
    except SurveyError as error:
        walk.refuse(path, *reason_of(error))
        return value


def _pair_in(hint: Any) -> Any:
    """The tuple type inside an optional one; None where there is none."""
    inner = getattr(hint, "__args__", ())
    return next((each for each in inner if get_origin(each) is tuple), None)


def _settle_items(value: object, hint: Any, label: str, path: Path, walk: Walk) -> object:
    if not isinstance(value, list):
        return value
    each = hint.__args__[0]
    return tuple(
        _settle_value(item, each, f"{label} {i + 1}", (*path, i), walk)
        for i, item in enumerate(value)
    )


def _where_known(key: str) -> str:
    """A cure for a key that stands in the wrong table."""
    homes = [
        heading
        for heading, (_, record) in TABLES.items()
        if any(key == key_of(name) for name in hints_of(record))
    ]
    return "It belongs under " + " or ".join(f"[{home}]" for home in homes) if homes else ""


def check_headings(tables: Mapping[str, object], walk: Walk) -> None:
    """Add a fault for each heading nobody knows, and each key that stands above all headings."""
    known: Sequence[str] = [*TABLES, *LISTS]
    for heading, value in tables.items():
        if heading in known:
            continue
        if isinstance(value, Mapping | list) and not _where_known(heading):
            cure = nearest_key(heading, known) or f"Known are {', '.join(known)}"
            walk.tell(f"[{plain(heading)}]", "there is no such heading", cure)
        else:
            cure = _where_known(heading) or "Put it under a heading, as [float]"
            walk.tell(plain(heading), "stands above the first heading", cure)
