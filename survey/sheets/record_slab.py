"""The slab under every wall line as JSON."""

from __future__ import annotations

import math
from collections.abc import Iterable

from survey.sheets import record_slab_types as types
from survey.sheets.gathered_notes import slab_notes
from survey.sheets.record_head import Scale, make_head, plain
from survey.sheets.slab_walls import SlabWall, slab_walls
from survey.slab.evenness import Evenness
from survey.slab.extremes import Extreme, fall
from survey.slab.f_numbers import Flatness, FNumber
from survey.slab.grinding import GrindSpot
from survey.slab.kriging import FloatArray
from survey.slab.roughness import FloorModel
from survey.wall.planning import HousePlan
from survey.wall.wall_plan import WallPlan


def slab_record(house: HousePlan) -> types.SlabRecord:
    """The slab along every profiled line, planned as a wall or not, as one object."""
    job, profile = house.job, house.profile
    scale = Scale(job.info.unit)
    found = slab_walls(house)
    names = [item.name for item in found]
    return {
        **make_head("slab", job, profile.heights.book, slab_notes(house), walls=names),
        "walls": [_line(item, profile.model, scale) for item in found],
    }


def anchor_records(wall: WallPlan, scale: Scale) -> list[types.AnchorRecord]:
    """Anchors of a wall's slab plate, from its named end."""
    return [
        {
            "station": scale.length(anchor.station),
            "pull": None if wall.tape_only else plain(anchor.pull),
            "remark": anchor.remark,
        }
        for piece in wall.plate.pieces
        for anchor in piece.anchors
    ]


def _line(item: SlabWall, model: FloorModel, scale: Scale) -> types.SlabWallRecord:
    line, slab, wall = item.line, item.slab, item.plan
    if line.tape_only:
        return _taped(item, model, scale)
    judged = item.evenness if line.bare_slab else None
    return {
        "wall": item.name,
        "surface": line.surface,
        "tape_only": False,
        "length": scale.length(line.length),
        "k": None if wall is None else plain(wall.k),
        "range": scale.length(model.mean_range),
        "sill": scale.length(model.mean_sill_sd),
        "stations": scale.lengths(slab.at.station),
        "elevation": scale.lengths(slab.mean),
        "sd": scale.lengths(slab.sd),
        "planning": None if wall is None else scale.lengths(wall.planning),
        "low": None if wall is None else scale.lengths(_low(wall)),
        "joints": scale.lengths(line.joints),
        "points": _points(item.extremes, scale),
        "fall": plain(fall(slab.at.station, slab.mean)),
        "straightedge": None if judged is None else _straightedge(judged, scale),
        "flatness": None if judged is None else _flatness(judged.f_numbers),
        "contact": None if wall is None else _contact(wall, scale),
        "grind": [] if wall is None else [_grind(spot, scale) for spot in wall.grind],
    }


def _taped(item: SlabWall, model: FloorModel, scale: Scale) -> types.SlabWallRecord:
    """A line that was not levelled: its slab has no elevation and no shape."""
    return {
        "wall": item.name,
        "surface": item.line.surface,
        "tape_only": True,
        "length": scale.length(item.line.length),
        "k": None if item.plan is None else plain(item.plan.k),
        "range": scale.length(model.mean_range),
        "sill": scale.length(model.mean_sill_sd),
        "stations": [],
        "elevation": [],
        "sd": [],
        "planning": None,
        "low": None,
        "joints": scale.lengths(item.line.joints),
        "points": [],
        "fall": None,
        "straightedge": None,
        "flatness": None,
        "contact": None,
        "grind": [],
    }


def _low(wall: WallPlan) -> FloatArray:
    """The lowest the slab is planned to lie: what leaves the widest gap, nothing drawn up [in]."""
    widest = wall.gap_line.widest - wall.top.drawn_up
    return wall.bottom - wall.plate.cross_fall - wall.plate.height - widest


def _points(found: Iterable[Extreme], scale: Scale) -> list[types.PointRecord]:
    return [
        {
            "kind": point.kind,
            "station": scale.length(point.station),
            "elevation": scale.length(point.elevation),
            "prominence": scale.length(point.prominence),
        }
        for point in found
    ]


def _straightedge(evenness: Evenness, scale: Scale) -> types.StraightedgeRecord:
    found = evenness.straightedge
    return {
        "span": scale.length(found.span),
        "gap": scale.length(found.gap),
        "station": scale.length(found.station),
        "contacts": scale.lengths(found.contacts),
        "tolerance": scale.length(evenness.tolerance),
        "keeps": evenness.keeps,
        "din_limit": scale.length(evenness.din_limit),
        "crown": scale.length(found.crown),
        "crown_station": scale.length(found.crown_station),
    }


def _flatness(found: Flatness) -> types.FlatnessRecord | None:
    if not found.flatness.known and not found.levelness.known:
        return None
    return {
        "FF": _f_number(found.flatness),
        "FL": _f_number(found.levelness),
        "estimate": found.estimate,
        "class": found.floor_class,
    }


def _f_number(number: FNumber) -> float | None:
    return plain(number.value) if number.known and math.isfinite(number.value) else None


def _contact(wall: WallPlan, scale: Scale) -> types.ContactRecord | None:
    """The plate as it lies; None where none is laid."""
    pieces = wall.plate.pieces
    if not pieces:
        return None
    return {
        "voids": [
            {
                "from": scale.length(void.start),
                "to": scale.length(void.end),
                "at": scale.length(void.at),
                "depth": scale.length(void.depth),
                "open_end": bool(void.open_end),
            }
            for piece in pieces
            for void in piece.voids
        ],
        "anchors": anchor_records(wall, scale),
        "stress": plain(max(piece.stress for piece in pieces)),
    }


def _grind(spot: GrindSpot, scale: Scale) -> types.GrindRecord:
    return {
        "from": scale.length(spot.start),
        "to": scale.length(spot.end),
        "at": scale.length(spot.at),
        "depth": scale.length(spot.deepest),
        "stations": scale.lengths(spot.station),
        "depths": scale.lengths(spot.depth),
        "area": scale.power(spot.area, 2),
        "volume": scale.power(spot.volume, 3),
        "reason": spot.reason,
        "buys": spot.buys,
    }
