"""Studs, bays and spots to tape as JSON."""

from __future__ import annotations

from collections.abc import Sequence

from survey.sheets.record_head import Scale, plain
from survey.sheets.record_plan_types import BayRecord, PartRecord, StudRecord, TapeRecord
from survey.sheets.ruler import Ruler
from survey.wall.studs import Bay, Part, Stud, TapeSpot


def stud_record(stud: Stud, wall: str, scale: Scale, ruler: Ruler) -> StudRecord:
    """One stud; its stack sums to joist less slab as these are printed."""
    slab, joist = scale.length(stud.slab), scale.length(stud.joist)
    return {
        "mark": stud.mark,
        "wall": wall,
        "kind": stud.kind,
        "station": scale.length(stud.station),
        "slab": slab,
        "joist": joist,
        "plate_top": scale.length(stud.plate_top),
        "bottom": scale.length(stud.bottom),
        "top": scale.length(stud.top),
        "gap": scale.length(stud.gap),
        "assured_gap": scale.length(stud.assured_gap),
        "length": scale.length(stud.length),
        "text": ruler.length(stud.length),
        "stack": _stack(stud.stack, plain(joist - slab), scale),
    }


def _stack(parts: Sequence[Part], total: float, scale: Scale) -> list[PartRecord]:
    """Parts rounded one by one; the last, the space to the joist, takes what that loses."""
    rounded = [scale.length(part.thickness) for part in parts]
    rounded[-1] = plain(total - sum(rounded[:-1]))
    return [
        {"part": part.part, "thickness": thickness}
        for part, thickness in zip(parts, rounded, strict=True)
    ]


def bay_record(bay: Bay, scale: Scale, *, levelled: bool) -> BayRecord:
    """One bay; where nothing was levelled its highest and lowest slab are not known."""
    return {
        "bay": bay.bay,
        "from": scale.length(bay.start),
        "to": scale.length(bay.end),
        "studs": list(bay.studs),
        "stud_length": scale.length(bay.stud_length),
        "gap_least": scale.length(bay.gap_least),
        "gap_greatest": scale.length(bay.gap_greatest),
        "assured_least": scale.length(bay.assured_least),
        "high": scale.length(bay.high) if levelled else None,
        "low": scale.length(bay.low) if levelled else None,
    }


def tape_record(spot: TapeSpot, scale: Scale, ruler: Ruler) -> TapeRecord:
    """One spot to tape before cutting."""
    parts = [scale.length(part.thickness) for part in spot.parts]
    return {
        "station": scale.length(spot.station),
        "on": spot.on,
        "clear": plain(sum(parts)),
        "sd": scale.length(spot.sd),
        "parts": [
            {"part": part.part, "thickness": thickness}
            for part, thickness in zip(spot.parts, parts, strict=True)
        ],
        "stud": scale.length(spot.stud),
        "text": ruler.length(spot.stud),
    }
