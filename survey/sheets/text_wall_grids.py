"""The tables of one planned wall: heights over the slab, bays, studs, ways of framing."""

from __future__ import annotations

import numpy as np

from survey.sheets.blocks import Grid, grid
from survey.sheets.ruler import Ruler
from survey.wall.wall_plan import WallPlan


def wall_grids(wall: WallPlan, ruler: Ruler, *, detail: bool = False) -> list[Grid]:
    """Heights over the slab and the bays; with `detail` every stud and every way tried too."""
    grids = [_heights(wall, ruler), _bays(wall, ruler)]
    if not detail:
        return grids
    ways = [_choices(wall, ruler)] if len(wall.choices) > 1 else []
    return [*grids, _studs(wall, ruler), *ways]


def _heights(wall: WallPlan, ruler: Ruler) -> Grid:
    """Heights over the bare slab where it is highest, lowest, and at both ends."""
    grid_ = wall.slab.at.station
    high, low = (float(grid_[find(wall.slab.mean)]) for find in (np.argmax, np.argmin))
    below = "slab" if wall.surface == "slab" else "plate"
    least, most = f"highest {below}", f"lowest {below}"
    if wall.tape_only:
        least, most = "least clear", "greatest clear"
    spots = {0.0: "start", wall.length: "end"} | {low: most} | {high: least}
    rows = []
    for station, where in sorted(spots.items()):
        slab = float(wall.slab.height(station))
        plate = float(np.interp(station, grid_, wall.plate.height))
        over = (plate, wall.bottom - slab, wall.top.elevation - slab)
        rows.append([where, ruler.bare(station), *(ruler.bare(x) for x in over)])
    over_what = "SLAB" if wall.surface == "slab" else "FIXED SLAB PLATE"
    title = (
        f"HEIGHTS OVER THE {over_what} ({ruler.heading}): slab plate's top, bottom plate's "
        "underside, top plate's upper face"
    )
    names = ["where", "station", "slab plate", "bottom plate", "top plate"]
    return grid(title, names, rows, words=["where"])


def _bays(wall: WallPlan, ruler: Ruler) -> Grid:
    names = ["bay", "from", "to", "stud", "gap least", "gap greatest", "assured", "high", "low"]
    rows = [
        [
            str(bay.bay),
            *(ruler.bare(x) for x in (bay.start, bay.end, bay.stud_length)),
            *(ruler.bare(x) for x in (bay.gap_least, bay.gap_greatest, bay.assured_least)),
            *(("", "") if wall.tape_only else (ruler.bare(bay.high), ruler.bare(bay.low))),
        ]
        for bay in wall.bays
    ]
    return grid(f"BAYS ({ruler.heading}); stud centre to stud centre", names, rows)


def _studs(wall: WallPlan, ruler: Ruler) -> Grid:
    names = ["stud", "kind", "station", "length", "gap", "assured"]
    rows = [
        [
            stud.mark,
            stud.kind,
            *(ruler.bare(x) for x in (stud.station, stud.length, stud.gap, stud.assured_gap)),
        ]
        for stud in wall.studs
    ]
    return grid(f"STUDS ({ruler.heading})", names, rows, words=["stud", "kind"])


def _choices(wall: WallPlan, ruler: Ruler) -> Grid:
    names = ["way", "top plates", "slab plates", "gap least", "gap greatest", "packed", "verdict"]
    rows = [
        [
            f"{choice.top} top, {choice.bottom} bottom",
            str(choice.top_plates),
            str(choice.slab_plates),
            ruler.bare(choice.gap_least),
            ruler.bare(choice.gap_greatest),
            str(choice.packed),
            ("chosen: " + choice.why) if choice.chosen else "; ".join(choice.fails) or "passes",
        ]
        for choice in wall.choices
    ]
    return grid(f"WAYS TRIED ({ruler.heading})", names, rows, words=["way", "verdict"])
