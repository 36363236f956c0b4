"""The two panels of a slab's drawing: the plate as it lies on the slab, and the bare slab."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from survey.sheets.drawings.label_row import SIZE, LabelRow, write_labels
from survey.sheets.drawings.paper import Paper, area, dot, draw, text_width, write
from survey.sheets.drawings.wall_rows import Scales, Stretch, along_stretch
from survey.sheets.slab_walls import SlabWall
from survey.slab.kriging import FloatArray
from survey.wall.plate import PlatePiece
from survey.wall.wall_plan import WallPlan

CONCRETE = 0.26  # [in of paper] of concrete under the lowest slab
LEAD = 0.13
BAR = 0.07  # [in of paper] thickness of the straightedge
HEAD = 0.04
BITE = 0.16  # [in of paper] of an anchor in the concrete
BOARD = 0.11  # [in of paper] thickness of a board, seen from the side
SEAL = 0.04
THIN = 1e-4  # [in] a plate this near lies on the slab


def draw_plate_panel(
    paper: Paper, wall: WallPlan, scales: Scales, stretch: Stretch, rows: tuple[LabelRow, LabelRow]
) -> None:
    """Draw the plate on the slab: voids, splices, anchors; their labels over and under it.

    It is drawn to the scale of the head; `rows` are the labels over it and those under it.
    """
    slab = wall.slab
    floor = scales.head - CONCRETE
    x, y = _line(slab.at.station, slab.mean, scales, stretch)
    area(paper, [*x, x[-1], x[0]], [*y, floor, floor], color="0.87")
    for piece in wall.plate.pieces:
        if piece.start < stretch.end and piece.end > stretch.start:
            _draw_piece(paper, wall, piece, scales, stretch)
    draw(paper, x, y, width=1.0)
    _write_doors(paper, wall, scales, stretch)
    over, under = rows
    top = scales.high(plate_range(wall)[1]) + plate_paper(wall) + LEAD
    _write_over(paper, over, top, lambda x: _plate_top(wall, scales, x))
    _write_under(
        paper, under, floor, lambda x: scales.high(float(slab.height(_station(scales, x))))
    )


def draw_slab_panel(
    paper: Paper, item: SlabWall, scales: Scales, stretch: Stretch, rows: tuple[LabelRow, LabelRow]
) -> None:
    """Draw the bare slab: readings, joints, spots to grind, the straightedge at its worst place.

    It is drawn to the scale of the foot; `rows` are the labels over it and those under it.
    """
    slab = item.slab
    floor = scales.foot - CONCRETE
    x, y = _line(slab.at.station, slab.mean, scales, stretch, foot=True)
    area(paper, [*x, x[-1], x[0]], [*y, floor, floor], color="0.87")
    for spot in () if item.plan is None else item.plan.grind:
        _draw_grind(paper, item, scales, stretch, (spot.station, spot.depth))
    for joint in item.line.joints:
        if stretch.start <= joint <= stretch.end:
            at = scales.low(float(slab.height(joint)))
            draw(paper, [scales.x(joint)] * 2, [floor, at], width=1.0, style="--")
    draw(paper, x, y, width=1.8)
    read = item.line.slab
    here = (read.station >= stretch.start) & (read.station <= stretch.end)
    dot(
        paper,
        [scales.x(s) for s in read.station[here]],
        [scales.low(z) for z in read.elevation[here]],
    )
    _draw_straightedge(paper, item, scales, stretch)
    over, under = rows
    top = scales.low(slab_range(item)[1]) + BAR + LEAD
    _write_over(paper, over, top, lambda x: _slab_top(item, scales, x))
    _write_under(paper, under, floor, lambda x: scales.low(float(slab.height(_station(scales, x)))))


def plate_range(wall: WallPlan) -> tuple[float, float]:
    """Lowest slab to the plate's highest underside [in]."""
    mean = wall.slab.mean
    return float(mean.min()), float((mean + wall.plate.lift).max())


def plate_paper(wall: WallPlan) -> float:
    """Paper that boards and seal take, whose thickness is not to scale [in]."""
    return wall.plate.count * BOARD + (SEAL if wall.plate.seal > 0 else 0.0)


def slab_range(item: SlabWall) -> tuple[float, float]:
    """Lowest slab, ground where it is to be, to its highest or the straightedge's end [in]."""
    mean = item.slab.mean
    low, high = float(mean.min()), float(mean.max())
    if item.plan is not None:
        ground = [float((item.slab.height(g.station) - g.depth).min()) for g in item.plan.grind]
        low = min([low, *ground])
    return low, max([high, *(z for _, z in straightedge_ends(item))])


def straightedge_ends(item: SlabWall) -> tuple[tuple[float, float], ...]:
    """Both ends of the bar at its worst place, station and elevation [in]; none without a gap.

    Beyond its contacts it lies over the side on which it clears the slab, cut at the line's ends.
    """
    bar = item.evenness.straightedge
    if bar.gap <= 0.0 or not item.line.bare_slab:
        return ()
    (a, b), slab = bar.contacts, item.slab
    low, high = float(slab.height(a)), float(slab.height(b))
    slope = (high - low) / (b - a)

    def chord(station: FloatArray) -> FloatArray:
        return low + slope * (station - a)

    def sinks(ends: tuple[float, float]) -> float:
        inside = (slab.at.station >= ends[0]) & (slab.at.station <= ends[1])
        return float((slab.mean[inside] - chord(slab.at.station[inside])).max())

    places = [(start, start + bar.span) for start in (a, b - bar.span, (a + b - bar.span) / 2.0)]
    start, end = min(places, key=sinks)
    ends = np.array([max(start, 0.0), min(end, item.line.length)])
    return tuple(zip(ends.tolist(), chord(ends).tolist(), strict=True))


def _line(
    station: FloatArray,
    height: FloatArray,
    scales: Scales,
    stretch: Stretch,
    *,
    foot: bool = False,
) -> tuple[list[float], list[float]]:
    at, z = along_stretch(station, height, stretch.start, stretch.end)
    place = scales.low if foot else scales.high
    return [scales.x(s) for s in at], [place(y) for y in z]


def _draw_piece(
    paper: Paper, wall: WallPlan, piece: PlatePiece, scales: Scales, stretch: Stretch
) -> None:
    """One piece of plate, boards on one another, with the voids under it hatched."""
    part = Stretch(
        start=max(piece.start, stretch.start), end=min(piece.end, stretch.end), page=1, pages=1
    )
    lying = piece.lying
    at = np.concatenate([[piece.start], lying.station, [piece.end]])
    surface, lift = (_carried(z) for z in (lying.surface, lying.lift))
    x, slab = _line(at, surface, scales, part)
    _, under = _line(at, surface + lift, scales, part)
    for a, b in _runs(np.asarray(under) - np.asarray(slab) > THIN * scales.up):
        area(paper, [*x[a:b], *reversed(x[a:b])], [*slab[a:b], *reversed(under[a:b])],
             color="0.7", hatch="xxxxxx")  # fmt: skip
    base = [y + plate_paper(wall) - wall.plate.count * BOARD for y in under]
    if wall.plate.seal > 0:
        area(paper, [*x, *reversed(x)], [*under, *reversed(base)], color="0.6")
    for i in range(wall.plate.count):
        low, high = ([y + n * BOARD for y in base] for n in (i, i + 1))
        area(paper, [*x, *reversed(x)], [*low, *reversed(high)], color="white", edge=0.9)
    for anchor in piece.anchors:
        if part.start <= anchor.station <= part.end:
            _draw_anchor(paper, wall, scales, anchor.station)


def _carried(values: FloatArray) -> FloatArray:
    """A quantity of the plate carried on to its very ends."""
    return np.concatenate([values[:1], values, values[-1:]])


def _runs(flags: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> list[tuple[int, int]]:
    """Stretches of a line where a flag holds, each with the points before and after it."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(int)))
    return [
        (max(int(a) - 1, 0), min(int(b) + 1, flags.size))
        for a, b in zip(edges[::2], edges[1::2], strict=True)
    ]


def _draw_anchor(paper: Paper, wall: WallPlan, scales: Scales, station: float) -> None:
    """A bolt through plate and slab, with a head on the plate."""
    x = scales.x(station)
    top = _plate_top(wall, scales, x)
    slab = scales.high(float(wall.slab.height(station)))
    draw(paper, [x, x], [slab - BITE, top], width=1.5)
    draw(paper, [x - HEAD, x + HEAD], [top + 0.01] * 2, width=2.2)


def _write_doors(paper: Paper, wall: WallPlan, scales: Scales, stretch: Stretch) -> None:
    """The word door over the slab where a door leaves the plate out and the word has room."""
    for opening in wall.layout.openings:
        middle = (opening.start + opening.end) / 2.0
        half = text_width("door", SIZE) / 2.0 / scales.along
        ends = max(opening.start, stretch.start), min(opening.end, stretch.end)
        if ends[0] <= middle - half and middle + half <= ends[1]:
            y = scales.high(float(wall.slab.height(middle))) + 0.12
            write(paper, "door", (scales.x(middle), y), size=SIZE, side="center")


def _draw_grind(
    paper: Paper,
    item: SlabWall,
    scales: Scales,
    stretch: Stretch,
    spot: tuple[FloatArray, FloatArray],
) -> None:
    """The concrete to take off, in black."""
    inside = (spot[0] >= stretch.start) & (spot[0] <= stretch.end)
    if not inside.any():
        return
    at, depth = spot[0][inside], spot[1][inside]
    slab = np.interp(at, item.slab.at.station, item.slab.mean)
    x = [scales.x(s) for s in at]
    over, under = ([scales.low(z) for z in line] for line in (slab, slab - depth))
    area(paper, [*x, *reversed(x)], [*over, *reversed(under)], color="black")


def _draw_straightedge(paper: Paper, item: SlabWall, scales: Scales, stretch: Stretch) -> None:
    """The bar, its lower edge on its two contacts, and a rule across the gap it leaves."""
    ends = straightedge_ends(item)
    if not ends:
        return
    station, height = (np.array(values) for values in zip(*ends, strict=True))
    start, end = max(station[0], stretch.start), min(station[1], stretch.end)
    if start >= end:
        return
    low = [scales.low(float(z)) for z in np.interp([start, end], station, height)]
    x = [scales.x(float(s)) for s in (start, end)]
    area(paper, [*x, *reversed(x)], [*low, low[1] + BAR, low[0] + BAR], color="white", edge=0.9)
    at = item.evenness.straightedge.station
    if start <= at <= end:
        rests = scales.low(float(np.interp(at, station, height)))
        slab = scales.low(float(item.slab.height(at)))
        draw(paper, [scales.x(at)] * 2, [slab, rests], width=1.2)


def _write_over(paper: Paper, row: LabelRow, low: float, place: Callable[[float], float]) -> None:
    """Write labels over a height of the paper, each with a line down to its place."""
    for label, x in zip(row.labels, row.places, strict=True):
        draw(paper, [x, label.x, label.x], [low + LEAD, low, place(label.x)], width=0.4)
    write_labels(paper, row, low + LEAD)


def _write_under(
    paper: Paper, row: LabelRow, floor: float, place: Callable[[float], float]
) -> None:
    """Write labels under the concrete, each with a line up to its place."""
    for label, x in zip(row.labels, row.places, strict=True):
        draw(paper, [x, label.x, label.x], [floor - LEAD, floor, place(label.x)], width=0.4)
    write_labels(paper, row, floor - LEAD - row.height, hang=True)


def _station(scales: Scales, x: float) -> float:
    return scales.start + (x - scales.left) / scales.along


def _plate_top(wall: WallPlan, scales: Scales, x: float) -> float:
    """The plate's top at a place of the paper."""
    at = _station(scales, x)
    lift = float(np.interp(at, wall.slab.at.station, wall.plate.lift))
    return scales.high(float(wall.slab.height(at)) + lift) + plate_paper(wall)


def _slab_top(item: SlabWall, scales: Scales, x: float) -> float:
    """The slab at a place of the paper, or the top of the straightedge over it."""
    at = _station(scales, x)
    slab = scales.low(float(item.slab.height(at)))
    ends = straightedge_ends(item)
    if not ends or not ends[0][0] <= at <= ends[1][0]:
        return slab
    rests = np.interp(at, [ends[0][0], ends[1][0]], [ends[0][1], ends[1][1]])
    return scales.low(float(rests)) + BAR
