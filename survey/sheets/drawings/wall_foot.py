"""The foot of a wall: slab, planning line, slab plate, float gap, bottom plate, doors."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from survey.sheets.drawings.label_row import SIZE, LabelRow, lead, write_labels
from survey.sheets.drawings.paper import (
    Paper,
    area,
    arrow,
    dot,
    draw,
    text_height,
    text_width,
    write,
)
from survey.sheets.drawings.wall_marks import WallMark
from survey.sheets.drawings.wall_rows import Scales, Stretch, along_stretch
from survey.sheets.ruler import Ruler
from survey.slab.kriging import FloatArray
from survey.slab.line_profile import LineProfile
from survey.wall.wall_plan import WallPlan

CONCRETE = 0.34  # [in of paper] of concrete under the lowest slab
BESIDE = 0.06
BITE = 0.1  # [in of paper] of an anchor in the concrete
HEAD = 0.03


@dataclass(frozen=True, kw_only=True)
class Box:
    """A place on the paper that something takes."""

    left: float
    right: float
    low: float
    high: float

    def meets(self, other: Box) -> bool:
        """Whether the two have room in common."""
        return not (
            self.right <= other.left
            or other.right <= self.left
            or self.high <= other.low
            or other.high <= self.low
        )


def draw_foot(
    paper: Paper,
    wall: WallPlan,
    line: LineProfile,
    scales: Scales,
    stretch: Stretch,
    ruler: Ruler,
    marks: Sequence[WallMark],
) -> None:
    """Draw the foot of one stretch of a wall.

    Parameters
    ----------
    paper, scales, stretch
        Where it is drawn, and which part of the wall.
    wall, line
        The wall and the readings under it.
    ruler
        Writes the dimensions.
    marks
        Its doors are written in their openings.
    """
    _draw_slab(paper, wall, line, scales, stretch)
    for start, end in wall.layout.plates:
        a, b = max(start, stretch.start), min(end, stretch.end)
        if a < b:
            _draw_plates(paper, wall, scales, a, b)
    taken = [_door(paper, wall, scales, mark) for mark in marks if mark.kind == "door"]
    _draw_gaps(paper, wall, scales, stretch, ruler, taken)


def write_marks(paper: Paper, wall: WallPlan, scales: Scales, row: LabelRow, y: float) -> None:
    """Write marks under the slab, each with a line up to it."""
    write_labels(paper, row, y)
    for label, place in zip(row.labels, row.places, strict=True):
        station = scales.start + (label.x - scales.left) / scales.along
        slab = scales.low(float(wall.slab.height(station)))
        lead(paper, place, y + row.height, label.x, slab)


def _draw_slab(
    paper: Paper, wall: WallPlan, line: LineProfile, scales: Scales, stretch: Stretch
) -> None:
    grid = wall.slab.at.station
    x, slab = _line(grid, wall.slab.mean, scales, stretch.start, stretch.end)
    floor = scales.foot - CONCRETE
    area(paper, [*x, x[-1], x[0]], [*slab, floor, floor], color="0.87")
    for spot in wall.grind:
        _draw_grind(paper, wall, scales, stretch, spot.station, spot.depth)
    draw(paper, x, slab, width=1.8)
    x, planned = _line(grid, wall.planning, scales, stretch.start, stretch.end)
    draw(paper, x, planned, width=0.9, style="--")
    read = (line.slab.station >= stretch.start) & (line.slab.station <= stretch.end)
    dot(
        paper,
        [scales.x(s) for s in line.slab.station[read]],
        [scales.low(z) for z in line.slab.elevation[read]],
    )


def _draw_grind(
    paper: Paper,
    wall: WallPlan,
    scales: Scales,
    stretch: Stretch,
    station: FloatArray,
    depth: FloatArray,
) -> None:
    """The concrete to take off, in black."""
    inside = (station >= stretch.start) & (station <= stretch.end)
    if not inside.any():
        return
    at = station[inside]
    slab = np.interp(at, wall.slab.at.station, wall.slab.mean)
    x = [scales.x(s) for s in at]
    over = [scales.low(z) for z in slab]
    under = [scales.low(z) for z in slab - depth[inside]]
    area(paper, [*x, *reversed(x)], [*over, *reversed(under)], color="black")


def _draw_plates(paper: Paper, wall: WallPlan, scales: Scales, start: float, end: float) -> None:
    """Slab plate and bottom plate between two stations."""
    grid = wall.slab.at.station
    top = wall.slab.mean + wall.plate.height
    x, over = _line(grid, top, scales, start, end)
    boards = wall.plate.thickness * scales.up
    for i in range(wall.plate.count):
        high = [y - i * boards for y in over]
        low = [y - boards for y in high]
        area(paper, [*x, *reversed(x)], [*high, *reversed(low)], color="white", edge=0.7,
             hatch="///")  # fmt: skip
    _draw_fastening(paper, wall, scales, start, end)
    if wall.plate.cross_fall > 0:
        raised = [y + wall.plate.cross_fall * scales.up for y in over]
        draw(paper, x, raised, width=0.7, style=":")
    low_y = scales.low(wall.bottom)
    high_y = scales.low(wall.bottom + wall.frame.plate_thickness)
    area(paper, [x[0], x[-1], x[-1], x[0]], [low_y, low_y, high_y, high_y], color="white",
         edge=1.0)  # fmt: skip


def _draw_fastening(paper: Paper, wall: WallPlan, scales: Scales, start: float, end: float) -> None:
    """Bolts for the slab plate's anchors between two stations, a line across it at each splice."""
    anchors = [anchor.station for piece in wall.plate.pieces for anchor in piece.anchors]
    for station in (s for s in anchors if start <= s <= end):
        x, (top, _) = scales.x(station), _gap_ends(wall, scales, station)
        slab = scales.low(float(wall.slab.height(station)))
        draw(paper, [x, x], [slab - BITE, top], width=1.1)
        draw(paper, [x - HEAD, x + HEAD], [top, top], width=1.6)
    for station in (s for s in wall.plate.splices if start < s < end):
        x, (top, _) = scales.x(station), _gap_ends(wall, scales, station)
        draw(paper, [x, x], [scales.low(float(wall.slab.height(station))), top], width=1.6)


def _line(
    station: FloatArray, height: FloatArray, scales: Scales, start: float, end: float
) -> tuple[list[float], list[float]]:
    """A line of the foot on the paper, between two stations."""
    at, z = along_stretch(station, height, start, end)
    return [scales.x(s) for s in at], [scales.low(y) for y in z]


def _door(paper: Paper, wall: WallPlan, scales: Scales, mark: WallMark) -> Box:
    """A door's mark, at the height of the gap."""
    x, half = scales.x(mark.station), text_width(mark.name, SIZE, bold=True) / 2
    slab = float(wall.slab.height(mark.station))
    y = (scales.low(slab) + scales.low(wall.bottom)) / 2
    write(paper, mark.name, (x, y), size=SIZE, side="center", bold=True)
    tall = text_height(SIZE) / 2
    return Box(left=x - half, right=x + half, low=y - tall, high=y + tall)


def _draw_gaps(
    paper: Paper,
    wall: WallPlan,
    scales: Scales,
    stretch: Stretch,
    ruler: Ruler,
    taken: list[Box],
) -> None:
    """Dimension the least and the greatest gap, each where there is room for its words."""
    gap = wall.gap
    dims = (
        (gap.least_at, (f"least {ruler.length(gap.least)}",
                        f"assured {ruler.length(gap.assured_least)}")),
        (gap.greatest_at, (f"greatest {ruler.length(gap.greatest)}",
                           f"under {ruler.length(gap.assured_greatest)}")),
    )  # fmt: skip
    here = [dim for dim in dims if stretch.start <= dim[0] <= stretch.end]
    for station, _ in here:
        low, high = _gap_ends(wall, scales, station)
        arrow(paper, scales.x(station), low, high)
        x = scales.x(station)
        taken.append(Box(left=x - 0.04, right=x + 0.04, low=low, high=high))
    for station, lines in here:
        box = _room(wall, scales, stretch, station, lines, taken)
        if box is not None:
            taken.append(box)
            _write_lines(paper, box, lines)


def _gap_ends(wall: WallPlan, scales: Scales, station: float) -> tuple[float, float]:
    plate = float(wall.slab.height(station)) + float(
        np.interp(station, wall.slab.at.station, wall.plate.height)
    )
    return scales.low(plate + wall.plate.cross_fall), scales.low(wall.bottom)


def _room(
    wall: WallPlan,
    scales: Scales,
    stretch: Stretch,
    station: float,
    lines: tuple[str, ...],
    taken: Sequence[Box],
) -> Box | None:
    """The first place for the words beside their arrow, in the gap or in the bottom plate."""
    width = max(text_width(text, SIZE) for text in lines)
    tall = text_height(SIZE) * len(lines)
    x, edges = scales.x(station), (scales.x(stretch.start), scales.x(stretch.end))
    bottom, top = (scales.low(wall.bottom + t) for t in (0.0, wall.frame.plate_thickness))
    for in_gap in (True, False):
        for left in (x + BESIDE, x - BESIDE - width):
            low = _highest_plate(wall, scales, left, left + width) if in_gap else bottom
            high = bottom if in_gap else top
            middle = (low + high) / 2
            box = Box(left=left, right=left + width, low=middle - tall / 2, high=middle + tall / 2)
            inside = edges[0] <= left and left + width <= edges[1] and tall <= high - low
            if inside and not any(box.meets(other) for other in taken):
                return box
    return None


def _highest_plate(wall: WallPlan, scales: Scales, left: float, right: float) -> float:
    """Where the gap begins between two places of the paper, at its highest."""
    grid = wall.slab.at.station
    start, end = (scales.start + (x - scales.left) / scales.along for x in (left, right))
    _, top = along_stretch(grid, wall.slab.mean + wall.plate.height, start, end)
    return scales.low(float(top.max()) + wall.plate.cross_fall)


def _write_lines(paper: Paper, box: Box, lines: Sequence[str]) -> None:
    for i, text in enumerate(lines):
        write(paper, text, (box.left, box.high - (i + 0.5) * text_height(SIZE)), size=SIZE)
