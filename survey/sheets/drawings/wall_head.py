"""The head of a wall, top plates and joists with packing, and the break in its studs."""

from __future__ import annotations

from itertools import pairwise

from survey.sheets.drawings.label_row import LabelRow, lead, write_labels
from survey.sheets.drawings.paper import Paper, area, draw
from survey.sheets.drawings.wall_rows import Scales, Stretch
from survey.wall.studs import Stud
from survey.wall.wall_plan import WallPlan

STUB = 0.13  # [in of paper] of a stud drawn at each plate
LEAD = 0.13
JOIST_STUB = 0.2
JOIST_WIDTH = 1.5
THINNEST = 0.07
TOOTH = 0.05
BETWEEN_TEETH = 0.9


def draw_head(
    paper: Paper, wall: WallPlan, scales: Scales, stretch: Stretch, row: LabelRow
) -> None:
    """Draw top plates, joists and packing of one stretch, with the joists' labels over them.

    Parameters
    ----------
    paper, scales, stretch
        Where it is drawn, and which part of the wall.
    wall
        The wall.
    row
        Labels of the joists in the stretch, in their order.
    """
    left, right = scales.x(stretch.start), scales.x(stretch.end)
    top = wall.top.elevation
    for i in range(wall.frame.top_plates):
        high = scales.high(top - i * wall.frame.plate_thickness)
        low = scales.high(top - (i + 1) * wall.frame.plate_thickness)
        area(paper, [left, right, right, left], [low, low, high, high], color="white", edge=1.0)
    joists = wall.joists
    end = scales.high(max(float(joists.elevation.max()), top)) + JOIST_STUB
    packed = {p.station for p in wall.top.packing}
    half = max(JOIST_WIDTH * scales.along, THINNEST) / 2
    here = [i for i, s in enumerate(joists.station) if stretch.start <= s <= stretch.end]
    for i in here:
        station, under = float(joists.station[i]), scales.high(float(joists.elevation[i]))
        x = scales.x(station)
        sides = [x - half, x - half, x + half, x + half]
        draw(paper, sides, [end, under, under, end], width=0.9,
             style="-" if joists.read[i] else "--")  # fmt: skip
        if station in packed:
            area(paper, sides, [scales.high(top), under, under, scales.high(top)], color="black")
    for label, place in zip(row.labels, row.places, strict=True):
        lead(paper, place, end + LEAD, label.x, end)
    write_labels(paper, row, end + LEAD)


def draw_break(
    paper: Paper, wall: WallPlan, scales: Scales, stretch: Stretch, row: LabelRow
) -> None:
    """Draw the studs' ends at the plates and write mark and length where they are broken.

    `row` has the labels of the studs in the stretch, in their order.
    """
    foot = scales.low(wall.bottom + wall.frame.plate_thickness)
    head = scales.high(wall.top.elevation - wall.frame.top)
    left, right = scales.x(stretch.start), scales.x(stretch.end)
    for y in (foot + STUB, head - STUB):
        _draw_zigzag(paper, (left, right), [label.x for label in row.labels], y)
    half = wall.layout.thickness * scales.along / 2
    for stud, label, place in zip(studs_in(wall, stretch), row.labels, row.places, strict=True):
        if stud.kind != "cripple":
            _draw_stub(paper, label.x, half, foot, foot + STUB)
            lead(paper, place, foot + STUB + LEAD, label.x, foot + STUB)
        if stud.kind != "trimmer":
            _draw_stub(paper, label.x, half, head - STUB, head)
            lead(paper, place, head - STUB - LEAD, label.x, head - STUB)
    write_labels(paper, row, foot + STUB + LEAD)


def break_height(row: LabelRow) -> float:
    """Paper between bottom plate and top plate [in]."""
    return 2 * (STUB + LEAD) + row.height


def studs_in(wall: WallPlan, stretch: Stretch) -> list[Stud]:
    """Studs of a stretch, those at its ends included."""
    return [stud for stud in wall.studs if stretch.start <= stud.station <= stretch.end]


def _draw_stub(paper: Paper, x: float, half: float, low: float, high: float) -> None:
    for side in (x - half, x + half):
        draw(paper, [side, side], [low, high], width=0.6)


def _draw_zigzag(paper: Paper, ends: tuple[float, float], clear_of: list[float], y: float) -> None:
    """A break line: straight, with a tooth now and then between the studs."""
    x, height = [ends[0]], [y]
    for a, b in pairwise(clear_of):
        middle = (a + b) / 2
        if b - a < 4 * TOOTH or middle - x[-1] < BETWEEN_TEETH:
            continue
        x += [middle - TOOTH, middle - TOOTH / 2, middle + TOOTH / 2, middle + TOOTH]
        height += [y, y + TOOTH, y - TOOTH, y]
    draw(paper, [*x, ends[1]], [*height, y], width=0.5)
