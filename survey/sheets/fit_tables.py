"""Spikes and travel of every wall as CSV tables."""

from __future__ import annotations

from collections.abc import Iterable

from survey.sheets.csv_table import Cell, Pen, table
from survey.sheets.record_head import Scale
from survey.sheets.ruler import bit_ruler
from survey.wall.wall_plan import WallPlan


def spike_table(walls: Iterable[WallPlan], pen: Pen) -> bytes:
    """Every spike: where, how long, how drilled for, how far its head stands proud."""
    names = ("station", "gap", "length", "proud", "embed", "drop", "clear_above")
    columns = ["wall", *(f"{name}:length" for name in names)]
    # Bits go in finer steps than lengths are printed in.
    fine, scale = bit_ruler(pen.ruler), Scale(pen.unit)
    for name in ("shank", "hole", "pilot"):
        columns += [name, f"{name}_{pen.unit}:number"]
    rows: list[list[Cell]] = []
    for wall in walls:
        for spike in wall.spikes:
            drive = spike.drive
            lengths = (spike.station, spike.gap, drive.length, drive.proud, drive.embed)
            row: list[Cell] = [wall.name, *lengths, spike.drop, spike.clear_above]
            for diameter in (spike.shank, spike.hole, spike.pilot):
                row += [fine.length(diameter), scale.length(diameter)]
            rows.append([*row, "yes" if drive.fits else "no", "yes" if spike.clash else "no"])
    return table([*columns, "fits", "clash"], rows, pen)


def clearance_table(walls: Iterable[WallPlan], pen: Pen) -> bytes:
    """How far each part lets the slab rise and drop; empty where it does not limit that."""
    columns = ["wall", "element", "kind", "at:length", "rise:length", "assured:length"]
    rows: list[list[Cell]] = []
    for wall in walls:
        for part in wall.clearances:
            travel = (part.rise, part.assured, part.drop)
            rows.append([wall.name, part.element, part.kind, part.at, *travel, part.limit_by])
    return table([*columns, "drop:length", "limit_by"], rows, pen)
