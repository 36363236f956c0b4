"""JSON Schemas of what `--json` prints, made from the TypedDicts; run it to write docs/schema."""

from __future__ import annotations

import inspect
import json
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints, is_typeddict

from survey.sheets.record_plan_types import PlanRecord
from survey.sheets.record_slab_types import SlabRecord
from survey.sheets.record_types import SurveyRecord

FOLDER = Path(__file__).parents[1] / "docs" / "schema"
RECORDS: dict[str, type] = {"survey": SurveyRecord, "slab": SlabRecord, "plan": PlanRecord}
DRAFT = "https://json-schema.org/draft/2020-12/schema"
SCALARS: dict[Any, str] = {
    str: "string",
    bool: "boolean",
    int: "integer",
    float: "number",
    NoneType: "null",
}


def make_schema(kind: str, *, closed: bool = False) -> dict[str, Any]:
    """The schema of one object; `closed` refuses keys that it does not name."""
    found: dict[str, Any] = {}
    name = _reference(RECORDS[kind], found, closed=closed)
    found[name]["properties"]["format"] = {"const": f"floatwall/{kind}"}
    found[name]["properties"]["version"] = {"const": 1}
    return {
        "$schema": DRAFT,
        "title": f"floatwall/{kind}, version 1",
        "$ref": f"#/$defs/{name}",
        "$defs": dict(sorted(found.items())),
    }


def _of(hint: Any, found: dict[str, Any], *, closed: bool) -> dict[str, Any]:
    """Schema of a type; TypedDicts go into `found` and are referred to."""
    if hint is Any:
        return {}
    if hint in SCALARS:
        return {"type": SCALARS[hint]}
    if is_typeddict(hint):
        return {"$ref": f"#/$defs/{_reference(hint, found, closed=closed)}"}
    origin, inside = get_origin(hint), get_args(hint)
    if origin is Literal:
        return {"enum": list(inside)}
    if origin in (Union, UnionType):
        return {"anyOf": [_of(each, found, closed=closed) for each in inside]}
    if origin is list:
        return {"type": "array", "items": _of(inside[0], found, closed=closed)}
    if origin is dict:
        return {"type": "object", "additionalProperties": _of(inside[1], found, closed=closed)}
    raise TypeError(f"no schema for {hint}")


def _reference(record: type, found: dict[str, Any], *, closed: bool) -> str:
    name = record.__name__
    if name not in found:
        found[name] = {}
        properties = {
            key: _of(hint, found, closed=closed) for key, hint in get_type_hints(record).items()
        }
        found[name] = {
            "type": "object",
            "description": inspect.getdoc(record),
            "properties": properties,
            "required": list(properties),
            "additionalProperties": not closed,
        }
    return name


def schema_text(kind: str) -> str:
    """The schema as its file holds it."""
    return json.dumps(make_schema(kind), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    FOLDER.mkdir(parents=True, exist_ok=True)
    for each in RECORDS:
        (FOLDER / f"{each}.schema.json").write_text(schema_text(each), "utf-8", newline="\n")
