"""An earlier plan against the plan now, as JSON and as a table."""

from __future__ import annotations

from survey.sheets import record_against_types as types
from survey.sheets.against import Against, AlreadyCut, WallChange
from survey.sheets.csv_table import Cell, Pen, table
from survey.sheets.old_plan import PlannedWall
from survey.sheets.record_head import Scale

FILE = "against.csv"


def against_record(against: Against, scale: Scale) -> types.AgainstRecord:
    """The comparison as one object."""
    return {
        "file": against.old.file,
        "sha256": against.old.sha256,
        "surveyed": against.old.surveyed or None,
        "walls": [_wall(wall, scale) for wall in against.walls],
    }


def against_table(against: Against, pen: Pen) -> bytes:
    """A row for each length the earlier plan cut, and one for each wall it cut nothing for."""
    columns = ["wall", "status", "length:length", "count:number", "still_good", "misses"]
    rows: list[list[Cell]] = []
    for wall in against.walls:
        for cut in wall.cut:
            good = "yes" if cut.passes else "no"
            row: list[Cell] = [wall.name, wall.status, cut.length, cut.count, good]
            rows.append([*row, cut.limit, cut.short_by])
        if not wall.cut:
            rows.append([wall.name, wall.status, None, None, None, None, None])
    return table([*columns, "short_by:length"], rows, pen)


def _wall(wall: WallChange, scale: Scale) -> types.WallChangeRecord:
    return {
        "wall": wall.name,
        "status": wall.status,
        "old": _side(wall.old, scale),
        "new": _side(wall.new, scale),
        "top_rise": scale.optional(wall.rise),
        "already_cut": [_cut(cut, scale) for cut in wall.cut],
    }


def _side(walls: tuple[PlannedWall, ...], scale: Scale) -> types.SideRecord | None:
    for wall in walls:
        least, assured, greatest = wall.gaps
        return {
            "studs": [
                {"length": scale.length(x), "count": n}
                for x, n in sorted(wall.studs.items(), reverse=True)
            ],
            "top": wall.top_line,
            "gap_least": scale.length(least),
            "assured_least": scale.length(assured),
            "gap_greatest": scale.length(greatest),
        }
    return None


def _cut(cut: AlreadyCut, scale: Scale) -> types.AlreadyCutRecord:
    return {
        "length": scale.length(cut.length),
        "count": cut.count,
        "still_good": cut.passes,
        "misses": cut.limit or None,
        "short_by": scale.length(cut.short_by),
    }
