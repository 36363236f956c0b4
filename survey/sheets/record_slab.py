"""The slab under every wall line as JSON."""

from __future__ import annotations

from collections.abc import Iterable

from survey.sheets import record_types as types
from survey.sheets.gathered_notes import slab_notes
from survey.sheets.record_head import Scale, make_head, plain
from survey.slab.extremes import Extreme, extremes, fall
from survey.slab.grinding import GrindSpot
from survey.slab.kriging import FloatArray
from survey.slab.profile import LineProfile
from survey.slab.roughness import FloorModel
from survey.slab.slab_line import SlabLine, predict_slab, stations_along
from survey.wall.planning import HousePlan
from survey.wall.wall_plan import LEAST_PROMINENCE, WallPlan


def slab_record(house: HousePlan) -> types.SlabRecord:
    """The slab along every profiled line, planned as a wall or not, as one object."""
    job, profile = house.job, house.profile
    planned = {wall.name.casefold(): wall for wall in house.walls}
    scale = Scale(job.info.unit)
    heights = profile.heights
    lines = [(line, planned.get(line.wall.name.casefold())) for line in profile.lines]
    names = [line.wall.name for line in profile.lines]
    return {
        **make_head("slab", job, heights.book, slab_notes(house), walls=names),
        "walls": [_line(line, wall, profile.model, scale) for line, wall in lines],
    }


def _line(
    line: LineProfile, wall: WallPlan | None, model: FloorModel, scale: Scale
) -> types.SlabWallRecord:
    if line.tape_only:
        return _taped(line, wall, model, scale)
    slab = predict_slab(line, model, stations_along(line)) if wall is None else wall.slab
    return {
        "wall": line.wall.name,
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
        "points": _points(_extremes(slab), scale),
        "fall": plain(fall(slab.at.station, slab.mean)),
        "grind": [] if wall is None else [_grind(spot, scale) for spot in wall.grind],
    }


def _taped(
    line: LineProfile, wall: WallPlan | None, model: FloorModel, scale: Scale
) -> types.SlabWallRecord:
    """A line that was not levelled: its slab has no elevation and no shape."""
    return {
        "wall": line.wall.name,
        "surface": line.surface,
        "tape_only": True,
        "length": scale.length(line.length),
        "k": None if wall is None else plain(wall.k),
        "range": scale.length(model.mean_range),
        "sill": scale.length(model.mean_sill_sd),
        "stations": [],
        "elevation": [],
        "sd": [],
        "planning": None,
        "low": None,
        "joints": scale.lengths(line.joints),
        "points": [],
        "fall": None,
        "grind": [],
    }


def _low(wall: WallPlan) -> FloatArray:
    """The lowest the slab is planned to lie: what leaves the widest gap, nothing drawn up [in]."""
    widest = wall.gap_line.widest - wall.top.drawn_up
    return wall.bottom - wall.plate.cross_fall - wall.plate.height - widest


def _extremes(slab: SlabLine) -> tuple[Extreme, ...]:
    return extremes(slab.at.station, slab.mean, least=LEAST_PROMINENCE)


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
