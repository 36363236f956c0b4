"""The plan of a house as JSON."""

from __future__ import annotations

import numpy as np

from survey.job import Travel, with_metric_defaults
from survey.sheets import record_fit as fit
from survey.sheets import record_plan_types as types
from survey.sheets.against import Against
from survey.sheets.gathered_notes import plan_notes
from survey.sheets.record_against import against_record
from survey.sheets.record_head import DIGITS, Scale, make_head, plain
from survey.sheets.record_slab import anchor_records
from survey.sheets.record_studs import bay_record, stud_record, tape_record
from survey.sheets.ruler import Ruler, ruler_for
from survey.slab.kriging import BoolArray, FloatArray
from survey.wall.choices import Choice
from survey.wall.planning import HousePlan
from survey.wall.remedies import Remedy
from survey.wall.wall_plan import Verdict, WallPlan


def plan_record(house: HousePlan, against: Against | None = None) -> types.PlanRecord:
    """The plan of every wall as one object, with an earlier plan it was held against."""
    job, heights = house.job, house.profile.heights
    scale, ruler = Scale(job.info.unit), ruler_for(job)
    names = [wall.name for wall in house.walls]
    return {
        **make_head("plan", job, heights.book, plan_notes(house), walls=names),
        "datum": {"kind": heights.datum.kind, "marks": list(heights.datum.marks)},
        "float": _float(with_metric_defaults(job).travel, scale),
        "walls": [_wall(wall, scale, ruler) for wall in house.walls],
        "against": None if against is None else against_record(against, scale),
    }


def _float(travel: Travel, scale: Scale) -> types.FloatRecord:
    return {
        "rise": scale.length(travel.rise),
        "drop": scale.length(travel.drop),
        "allowance": scale.length(travel.allowance),
        "widest": scale.optional(travel.widest),
    }


def _wall(wall: WallPlan, scale: Scale, ruler: Ruler) -> types.PlanWallRecord:
    line = wall.settings.line
    return {
        "wall": wall.name,
        "from": line.from_,
        "face": line.face,
        "surface": wall.surface,
        "tape_only": wall.tape_only,
        "length": scale.length(wall.length),
        "k": plain(wall.k),
        "float": _float(wall.settings.travel, scale),
        "verdict": _verdict(wall.verdict, scale),
        "frame": _frame(wall, scale, ruler),
        "slab_plate": _slab_plate(wall, scale),
        "top": _top(wall, scale),
        "bottom": _bottom(wall, scale),
        "gap": _gap(wall, scale),
        "joists": _joists(wall, scale),
        "line": _line(wall, scale),
        "studs": [stud_record(stud, wall.name, scale, ruler) for stud in wall.studs],
        "bays": [bay_record(bay, scale, levelled=not wall.tape_only) for bay in wall.bays],
        "splices": scale.lengths(wall.plate.splices),
        "anchors": anchor_records(wall, scale),
        "hung_weight": {
            "per_foot": plain(wall.hung_weight.per_foot),
            "per_joist": plain(wall.hung_weight.per_joist),
        },
        "sections": [fit.section_record(section, scale) for section in wall.sections],
        "doors": [fit.door_record(door, scale) for door in wall.doors],
        "spikes": [fit.spike_record(spike, scale) for spike in wall.spikes],
        "trim": fit.trim_record(wall.trim, scale),
        "clearances": [fit.clearance_record(part, scale) for part in wall.clearances],
        "choices": [_choice(choice, scale) for choice in wall.choices],
        "tape_first": [tape_record(spot, scale, ruler) for spot in wall.tape_first],
    }


def _verdict(verdict: Verdict, scale: Scale) -> types.VerdictRecord:
    return {
        "passes": verdict.passes,
        "probability": plain(verdict.probability),
        "short_by": scale.length(verdict.short_by),
        "at": scale.lengths(verdict.at),
        "why": verdict.why,
        "remedies": [_remedy(remedy, scale) for remedy in verdict.remedies],
    }


def _remedy(remedy: Remedy, scale: Scale) -> types.RemedyRecord:
    return {
        "kind": remedy.kind,
        "at": scale.length(remedy.at),
        "amount": scale.length(remedy.amount),
        "stud": scale.length(remedy.stud),
        "gap_least": scale.length(remedy.gap_least),
        "gap_greatest": scale.length(remedy.gap_greatest),
        "passes": remedy.passes,
    }


def _frame(wall: WallPlan, scale: Scale, ruler: Ruler) -> types.FrameRecord:
    frame = wall.frame
    return {
        "section": wall.settings.stud.name,
        "stud": scale.length(frame.stud),
        "stud_text": ruler.length(frame.stud),
        "precut": wall.precut,
        "top_plates": frame.top_plates,
        "plate_thickness": scale.length(frame.plate_thickness),
        "height": scale.length(frame.height),
    }


def _slab_plate(wall: WallPlan, scale: Scale) -> types.SlabPlateRecord:
    return {
        "section": wall.settings.slab_board.name,
        "count": wall.plate.count,
        "thickness": scale.length(wall.plate.thickness),
        "seal": scale.length(wall.plate.seal),
        "cross_fall": scale.length(wall.plate.cross_fall),
    }


def _top(wall: WallPlan, scale: Scale) -> types.TopRecord:
    return {
        "line": wall.top.line,
        "elevation": scale.length(wall.top.elevation),
        "shim_free": wall.top.shim_free,
        "packing": [
            {"station": scale.length(p.station), "thickness": scale.length(p.thickness)}
            for p in wall.top.packing
        ],
    }


def _bottom(wall: WallPlan, scale: Scale) -> types.BottomRecord:
    level = scale.length(wall.bottom)
    pieces: list[types.PieceRecord] = [
        {
            "from": scale.length(start),
            "to": scale.length(end),
            "from_elevation": level,
            "to_elevation": level,
        }
        for start, end in wall.layout.plates
    ]
    return {"line": "one length" if wall.tape_only else "level", "pieces": pieces}


def _gap(wall: WallPlan, scale: Scale) -> types.GapRecord:
    gap = wall.gap
    return {
        "required": scale.length(gap.required),
        "least": scale.length(gap.least),
        "least_at": scale.length(gap.least_at),
        "assured_least": scale.length(gap.assured_least),
        "greatest": scale.length(gap.greatest),
        "greatest_at": scale.length(gap.greatest_at),
        "assured_greatest": scale.length(gap.assured_greatest),
    }


def _joists(wall: WallPlan, scale: Scale) -> list[types.JoistRecord]:
    joists = wall.joists
    columns = (joists.station, joists.elevation, joists.sd, joists.read)
    return [
        {
            "station": scale.length(station),
            "elevation": scale.length(elevation),
            "sd": scale.length(sd),
            "read": bool(read),
        }
        for station, elevation, sd, read in zip(*columns, strict=True)
    ]


def _line(wall: WallPlan, scale: Scale) -> types.LineRecord:
    slab = wall.slab
    on_plate = _has_plate(wall)
    level = np.full(slab.mean.size, wall.bottom)

    def plated(values: FloatArray) -> list[float | None]:
        return [scale.optional(x) for x in np.where(on_plate, values, np.nan)]

    return {
        "station": scale.lengths(slab.at.station),
        "slab": scale.lengths(slab.mean),
        "sd": scale.lengths(slab.sd),
        "planning": scale.lengths(wall.planning),
        "plate_top": plated(slab.mean + wall.plate.height),
        "bottom": plated(level),
        "top": [scale.length(wall.top.elevation)] * slab.mean.size,
        "gap": plated(wall.gap_line.gap),
        "assured": plated(wall.gap_line.assured),
    }


def _has_plate(wall: WallPlan) -> BoolArray:
    """Whether there is a plate at each station of the line, the plates' ends included."""
    station = wall.slab.at.station
    found = np.zeros(station.size, dtype=np.bool_)
    for start, end in wall.layout.plates:
        found |= (station >= start - 10.0**-DIGITS) & (station <= end + 10.0**-DIGITS)
    return found


def _choice(choice: Choice, scale: Scale) -> types.ChoiceRecord:
    return {
        "top": choice.top,
        "bottom": choice.bottom,
        "top_plates": choice.top_plates,
        "slab_plates": choice.slab_plates,
        "passes": choice.passes,
        "lengths": choice.lengths,
        "steps": choice.steps,
        "packed": choice.packed,
        "gap_least": scale.length(choice.gap_least),
        "gap_greatest": scale.length(choice.gap_greatest),
        "shim_free": choice.shim_free,
        "precut": choice.precut,
        "chosen": choice.chosen,
        "why": choice.why,
        "fails": list(choice.fails),
    }
