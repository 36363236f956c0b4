"""An earlier plan against the plan now, on the terminal."""

from __future__ import annotations

import math
from collections.abc import Mapping

from survey.field.decode import shown
from survey.sheets.against import Against, AlreadyCut, WallChange
from survey.sheets.blocks import Block, Heading, Level, Line
from survey.sheets.old_plan import PlannedWall
from survey.sheets.ruler import Ruler, counted, listed

HEADS = {"same": "SAME", "changed": "CHANGED", "new": "NEW", "gone": "GONE"}


def against_blocks(against: Against, ruler: Ruler) -> list[Block]:
    """What differs, wall by wall, and whether studs that are cut can still be used."""
    old = against.old
    dated = f", surveyed {shown(old.surveyed)}" if old.surveyed else ""
    blocks: list[Block] = [Heading(text=f"Against the plan in {shown(old.file)}{dated}")]
    if not against.walls:
        blocks.append(Line(label="SAME", text="neither plan has a wall"))
    for wall in against.walls:
        blocks.append(_head(wall, ruler))
        blocks += [_cut_line(wall, cut, ruler) for cut in wall.cut]
    return blocks


def _head(wall: WallChange, ruler: Ruler) -> Line:
    name = shown(wall.name)
    level: Level = "good" if wall.status == "same" else "doubt"
    if wall.status == "gone":
        text = f"{name}: no longer among the walls planned; do not build it by the old plan"
        return Line(label=HEADS[wall.status], text=text, level=level)
    now = wall.new[0]
    if wall.status == "new":
        text = f"{name}: {_studs(now.studs, ruler)}; the earlier plan does not have it"
        return Line(label=HEADS[wall.status], text=text)
    then = wall.old[0]
    said = [_stud_words(then, now, ruler), _gap_words(then, now, ruler)]
    if then.top_line != now.top_line:
        said.append(f"top plate {now.top_line}, was {shown(then.top_line)}")
    if math.isfinite(wall.rise):
        way = "higher" if wall.rise >= 0 else "lower"
        said.append(f"top plate {ruler.said(abs(wall.rise))} {way}")
    if then.at_doors != now.at_doors and wall.status == "changed":
        said.append(_door_words(then, now, ruler))
    text = f"{name}: {'; '.join(part for part in said if part)}"
    return Line(label=HEADS[wall.status], text=text, level=level)


def _stud_words(then: PlannedWall, now: PlannedWall, ruler: Ruler) -> str:
    before, after = _studs(then.studs, ruler), _studs(now.studs, ruler)
    return f"{after} as before" if before == after else f"{after}, was {before}"


def _studs(studs: Mapping[float, int], ruler: Ruler) -> str:
    ordered = sorted(studs.items(), reverse=True)
    said = [
        f"{counted(n, 'stud') if not i else n} at {ruler.length(x)}"
        for i, (x, n) in enumerate(ordered)
    ]
    return listed(said) if said else "no studs"


def _gap_words(then: PlannedWall, now: PlannedWall, ruler: Ruler) -> str:
    names = ("gap least", "assured", "greatest")
    return ", ".join(
        f"{name} {ruler.length(after)}"
        + ("" if ruler.length(after) == ruler.length(before) else f" (was {ruler.length(before)})")
        for name, before, after in zip(names, then.gaps, now.gaps, strict=True)
    )


def _door_words(then: PlannedWall, now: PlannedWall, ruler: Ruler) -> str:
    def said(wall: PlannedWall) -> str:
        ordered = sorted(wall.at_doors.items(), reverse=True)
        words = [f"{counted(n, shown(kind))} at {ruler.length(x)}" for (kind, x), n in ordered]
        return listed(words) if words else "none"

    return f"at doors {said(now)}, was {said(then)}"


def _cut_line(wall: WallChange, cut: AlreadyCut, ruler: Ruler) -> Line:
    """Whether studs of one length that were cut by the earlier plan can still be used."""
    what = f"{shown(wall.name)}, {cut.count} at {ruler.length(cut.length)}"
    if not cut.passes:
        miss = f"{what}: NO LONGER GOOD: misses the {cut.limit} by {ruler.said(cut.short_by)}"
        return Line(label="ALREADY CUT", text=miss, level="stop")
    if wall.held:
        text = f"{what}: good by the readings, but a tape says otherwise: settle that first"
        return Line(label="ALREADY CUT", text=text, level="doubt")
    return Line(label="ALREADY CUT", text=f"{what}: still good", level="good")
