"""Short marks on a wall's drawing, and what each means in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from survey.sheets.ruler import Ruler
from survey.wall.wall_plan import WallPlan

MarkKind = Literal["door", "joint", "grind", "tape"]
LETTERS: dict[MarkKind, str] = {"door": "D", "joint": "J", "grind": "G", "tape": "T"}


@dataclass(frozen=True, kw_only=True)
class WallMark:
    """A mark such as G1 at a station [in], and what it means."""

    kind: MarkKind
    name: str
    station: float
    words: str


def wall_marks(wall: WallPlan, ruler: Ruler) -> tuple[WallMark, ...]:
    """Doors, joints, spots to grind and spots to tape of a wall, by kind, then by station."""
    found: list[tuple[MarkKind, float, str]] = []
    for opening in wall.layout.openings:
        door = opening.door
        words = (
            f"door, rough opening {ruler.length(opening.start)} to {ruler.length(opening.end)}, "
            f"{ruler.length(door.height)} over the finished floor"
        )
        found.append(("door", door.at, words))
    found += [("joint", at, f"slab joint at {ruler.length(at)}") for at in wall.joints]
    for spot in wall.grind:
        words = (
            f"grind {ruler.length(spot.start)} to {ruler.length(spot.end)}, deepest "
            f"{ruler.said(spot.deepest)} at {ruler.length(spot.at)}"
        )
        found.append(("grind", spot.at, words))
    for tape in wall.tape_first:
        words = (
            f"tape first at {ruler.length(tape.station)}: {ruler.length(tape.clear)} {tape.on} to "
            "joist"
        )
        found.append(("tape", tape.station, words))
    return _numbered(found)


def _numbered(found: list[tuple[MarkKind, float, str]]) -> tuple[WallMark, ...]:
    counts = dict.fromkeys(LETTERS, 0)
    marks = []
    for kind, station, words in found:
        counts[kind] += 1
        name = f"{LETTERS[kind]}{counts[kind]}"
        marks.append(WallMark(kind=kind, name=name, station=station, words=words))
    return tuple(marks)
