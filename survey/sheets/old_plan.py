"""An earlier plan, read back from the JSON that `floatwall plan --json` printed."""

from __future__ import annotations

import hashlib
import json
import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from survey.errors import SurveyError
from survey.lengths import INCHES_PER
from survey.sheets.record_head import VERSION
from survey.wall.layout import FULL_HEIGHT

FORMAT = "floatwall/plan"
LARGEST_FILE = 100_000_000


@dataclass(frozen=True, kw_only=True)
class PlannedWall:
    """What a plan says of a wall [in]: studs from plate to plate by length, those at doors by kind.

    `gaps` are the least, the assured least and the greatest.
    """

    name: str
    studs: Mapping[float, int]
    at_doors: Mapping[tuple[str, float], int]
    top_line: str
    top: float
    gaps: tuple[float, float, float]


@dataclass(frozen=True, kw_only=True)
class OldPlan:
    """An earlier plan: its file, when it was surveyed, its datum (empty where it says none)."""

    file: str
    sha256: str
    surveyed: str
    datum: tuple[str, ...]
    walls: tuple[PlannedWall, ...]


def read_plan(path: Path) -> OldPlan:
    """Read a plan that `floatwall plan --json` printed.

    Raises
    ------
    SurveyError
        If the file cannot be read, is no such plan, or is of a later version.
    """
    data = _bytes(path)
    record = _object(data, path)
    if record.get("format") != FORMAT:
        found = record.get("format")
        said = f"its format is {found!r}" if isinstance(found, str) else "it has no format"
        raise _not_a_plan(path, said)
    version = record.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise _not_a_plan(path, "it has no version")
    if version > VERSION:
        raise SurveyError(
            f"{path}: a plan of version {version}, and this program reads up to {VERSION}: "
            "take the newer program"
        )
    try:
        unit = record["unit"]
        if unit not in INCHES_PER:
            raise ValueError(f"unit {unit!r}")
        datum = record.get("datum")
        return OldPlan(
            file=str(path),
            sha256=hashlib.sha256(data).hexdigest(),
            surveyed=str(record.get("surveyed") or ""),
            datum=() if datum is None else (str(datum["kind"]), *map(str, datum["marks"])),
            walls=tuple(_old_wall(wall, INCHES_PER[unit]) for wall in record["walls"]),
        )
    except (KeyError, TypeError, ValueError, AttributeError, OverflowError) as error:
        raise _not_a_plan(path, f"something is missing or changed in it ({error})") from error


def _old_wall(record: Mapping[str, Any], inch: float) -> PlannedWall:
    """A wall of the JSON, in inches."""

    def inches(x: Any) -> float:
        if isinstance(x, bool) or not isinstance(x, int | float) or not math.isfinite(x):
            raise TypeError(f"{x!r} is no length")
        return round(x * inch, 6)

    studs = [(str(s["kind"]), inches(s["length"])) for s in record["studs"]]
    gap = record["gap"]
    return PlannedWall(
        name=str(record["wall"]),
        studs=Counter(x for kind, x in studs if kind in FULL_HEIGHT),
        at_doors=Counter((kind, x) for kind, x in studs if kind not in FULL_HEIGHT),
        top_line=str(record["top"]["line"]),
        top=inches(record["top"]["elevation"]),
        gaps=(inches(gap["least"]), inches(gap["assured_least"]), inches(gap["greatest"])),
    )


def _bytes(path: Path) -> bytes:
    try:
        if path.is_file() and path.stat().st_size > LARGEST_FILE:
            raise SurveyError(f"{path}: over {LARGEST_FILE:,} bytes, which no plan has")
        return path.read_bytes()
    except OSError as error:
        raise SurveyError(f"{path}: cannot be read ({error.strerror or error})") from error


def _object(data: bytes, path: Path) -> dict[str, Any]:
    """The one object of a file of JSON."""
    try:
        record = json.loads(data.decode("utf-8-sig"))
    except (ValueError, RecursionError) as error:
        lines = data.strip().split(b"\n")
        if len(lines) > 1 and all(line.lstrip().startswith(b"{") for line in lines):
            why = f"it holds {len(lines)} objects; keep the line of one"
            raise _not_a_plan(path, why) from error
        raise _not_a_plan(path, "it is no JSON") from error
    if not isinstance(record, dict):
        raise _not_a_plan(path, "it is JSON, but no object")
    return record


def _not_a_plan(path: Path, why: str) -> SurveyError:
    return SurveyError(
        f"{path}: not a plan to compare with: {why}. Make one with: floatwall plan --json > FILE"
    )
