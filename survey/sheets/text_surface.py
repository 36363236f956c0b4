"""What a wall is measured from, in words: slab, fixed slab plate, or the joists alone by tape."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from survey.field.levelling import Adjustment, Surface
from survey.sheets.blocks import Block, Line
from survey.sheets.ruler import Ruler, listed
from survey.sheets.text_slab_line import end_name, highest_lines, slab_lines
from survey.wall.wall_plan import WallPlan

COUNTS = {1: "one", 2: "two"}
SHAPE_UNKNOWN = (
    "only clear heights were taken: level and shape of the slab are not known, and nothing can be "
    "set out from a beam or a mark"
)


def surface_lines(wall: WallPlan, ruler: Ruler) -> list[Block]:
    """What lies under a wall: the slab's shape, the plate's, or that it is not known."""
    if wall.tape_only:
        clear = wall.top.elevation - wall.slab.mean
        least, most = int(np.argmin(clear)), int(np.argmax(clear))
        at = [ruler.length(float(wall.slab.at.station[i])) for i in (least, most)]
        said = (
            f"from {wall.surface} to joist least {ruler.length(float(clear[least]))} at {at[0]}, "
            f"greatest {ruler.length(float(clear[most]))} at {at[1]}"
        )
        return [
            Line(label="CLEAR", text=said),
            Line(label="SLAB", text=SHAPE_UNKNOWN, level="doubt"),
        ]
    label = "SLAB" if wall.surface == "slab" else "PLATE TOP"
    return slab_lines(wall.slab, end_name(wall.settings.line), wall.joints, ruler, label=label)


def look_lines(walls: Sequence[WallPlan], ruler: Ruler) -> list[Block]:
    """The highest slab of the walls measured from it; failing such, the highest slab plate."""
    levelled = [wall for wall in walls if not wall.tape_only]
    for surface, what in (("slab", "slab"), ("plate", "slab plate")):
        of = [(wall.name, wall.slab) for wall in levelled if wall.surface == surface]
        if of:
            return highest_lines(of, ruler, what=what)
    return []


def tape_only_lines(walls: Sequence[WallPlan]) -> list[Block]:
    """Which walls are known by clear heights alone; empty when none is."""
    names = [wall.name for wall in walls if wall.tape_only]
    if not names:
        return []
    text = (
        f"{listed(names)}: one stud length for a top plate drawn tight to every joist. Level, "
        "set-out and the slab's shape are not known; nothing but the tape says how high"
    )
    return [Line(label="TAPE ONLY", text=text, level="doubt")]


def plates_line(wall: WallPlan, ruler: Ruler) -> Line:
    """The plates of the frame, and what lies on the slab."""
    settings, plate = wall.settings, wall.plate
    frame = (
        f"{settings.stud.name} frame: {COUNTS[wall.frame.top_plates]} on top, one at the bottom, "
        f"{ruler.length(wall.frame.plate_thickness)} each"
    )
    if wall.surface == "plate":
        text = f"{frame}; all heights are from the top of the fixed slab plate"
        return Line(label="PLATES", text=text)
    seal = f", on a seal of {ruler.length(plate.seal)}" if plate.seal > 0 else ""
    text = (
        f"{frame}; on the slab {COUNTS[plate.count]} {settings.slab_board.name}, "
        f"{ruler.length(plate.thickness)} thick{seal}"
    )
    return Line(label="PLATES", text=text)


def top_line(wall: WallPlan, heights: Adjustment, ruler: Ruler) -> Line:
    """How the top plate lies, with its height over a mark where one was read."""
    if wall.tape_only:
        text = "drawn tight to every joist; how high that is over a mark is not known"
        return Line(label="TOP PLATE", text=text)
    joists = wall.joists
    lowest = float(joists.station[np.argmin(joists.elevation)])
    text = (
        f"level, pushed up against the lowest joist, the one at {ruler.length(lowest)}"
        f"{_over_mark(wall, heights, ruler)}"
    )
    return Line(label="TOP PLATE", text=text)


def _over_mark(wall: WallPlan, heights: Adjustment, ruler: Ruler) -> str:
    spots, names = heights.spots, heights.book.names
    for spot in np.flatnonzero(spots.surface == Surface.MARK):
        name = names[spots.name[spot]].name
        if name in heights.datum.marks:
            above = wall.top.elevation - float(spots.elevation[spot])
            side = "above" if above >= 0 else "below"
            return f"; its upper face is {ruler.length(abs(above))} {side} mark {name}"
    return ""


def packing_lines(wall: WallPlan, ruler: Ruler) -> list[Block]:
    """What is packed over the top plate."""
    if wall.tape_only:
        text = "none: the top plate is drawn up to every joist; where it will not come, pack it"
        return [Line(label="PACKING", text=text)]
    drawn = ruler.said(wall.top.drawn_up)
    if wall.top.shim_free:
        text = f"none: screws draw the top plate up to every joist (no space over {drawn})"
        return [Line(label="PACKING", text=text, level="good")]
    pieces = ", ".join(
        f"{ruler.length(p.thickness)} at {ruler.length(p.station)}" for p in wall.top.packing
    )
    count = len(wall.top.packing)
    text = f"{count} piece{'s' if count > 1 else ''} over the top plate: {pieces}"
    return [Line(label="PACKING", text=text)]
