"""The tables of the slab and of the plate that lies on it."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from survey.sheets.csv_table import Cell, Pen, table
from survey.sheets.slab_walls import SlabWall
from survey.wall.plate import anchor_limit
from survey.wall.wall_plan import WallPlan


def profile_table(found: Iterable[SlabWall], pen: Pen) -> bytes:
    """The slab along every line, on the grid it is computed on."""
    rows: list[list[Cell]] = []
    for item in found:
        slab = item.slab
        unplanned = np.full(slab.mean.size, np.nan)
        planning = unplanned if item.plan is None else item.plan.planning
        columns = (slab.at.station, slab.mean, slab.sd, planning)
        rows += [[item.name, *map(float, row)] for row in zip(*columns, strict=True)]
    names = ["wall", "station:length", "elevation:length", "sd:fine", "planned_with:length"]
    return table(names, rows, pen)


def points_table(found: Iterable[SlabWall], pen: Pen) -> bytes:
    """Highs and lows."""
    rows: list[list[Cell]] = [
        [item.name, point.kind, point.station, point.elevation, point.prominence]
        for item in found
        for point in item.extremes
    ]
    names = ["wall", "kind", "station:length", "elevation:length", "prominence:length"]
    return table(names, rows, pen)


def straightedge_table(found: Iterable[SlabWall], pen: Pen) -> bytes:
    """The worst place under a straightedge along each line."""
    lengths = (
        "span",
        "gap",
        "station",
        "contact_1",
        "contact_2",
        "tolerance",
        "din_limit",
        "crown",
    )
    names = ["wall", "keeps", *(f"{name}:length" for name in lengths), "crown_station:length"]
    rows: list[list[Cell]] = []
    for item in (each for each in found if each.line.bare_slab):
        bar = item.evenness.straightedge
        row = (bar.span, bar.gap, bar.station, *bar.contacts, item.evenness.tolerance)
        last = (item.evenness.din_limit, bar.crown, bar.crown_station)
        rows.append([item.name, "yes" if item.evenness.keeps else "no", *row, *last])
    return table(names, rows, pen)


def voids_table(walls: Iterable[WallPlan], pen: Pen) -> bytes:
    """Where the slab plate stands off the slab."""
    names = ["wall", "from:length", "to:length", "at:length", "depth:fine", "open_end"]
    rows: list[list[Cell]] = [
        [w.name, void.start, void.end, void.at, void.depth, "yes" if void.open_end else "no"]
        for w in walls
        if not w.tape_only
        for piece in w.plate.pieces
        for void in piece.voids
    ]
    return table(names, rows, pen)


def grinding_table(walls: Iterable[WallPlan], pen: Pen, *, ask: str) -> bytes:
    """Spots to grind; each row says what to ask first, so that none is read alone."""
    names = ["wall", "from:length", "to:length", "at:length", "depth:length", "reason", "buys"]
    rows = [
        (w.name, spot.start, spot.end, spot.at, spot.deepest, spot.reason, spot.buys, ask)
        for w in walls
        for spot in w.grind
    ]
    return table([*names, "ask_first"], rows, pen)


def anchors_table(walls: Iterable[WallPlan], pen: Pen, *, ask: str) -> bytes:
    """Anchors by piece of plate; each row says what to ask first, so that none is read alone."""
    pieces = ["piece:number", "piece_from:length", "piece_to:length"]
    pulls = ["pull_lb:number", "limit_lb:number", "remark", "ask_first"]
    rows: list[list[Cell]] = [
        [
            *(w.name, number, piece.start, piece.end),
            *(anchor.station, None if w.tape_only else anchor.pull, anchor_limit(w.settings)),
            *(anchor.remark, ask),
        ]
        for w in walls
        for number, piece in enumerate(w.plate.pieces, start=1)
        for anchor in piece.anchors
    ]
    return table(["wall", *pieces, "station:length", *pulls], rows, pen)
