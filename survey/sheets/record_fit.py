"""Spikes, doors, trim, travel and standing up as JSON."""

from __future__ import annotations

from survey.sheets.record_fit_types import (
    ClearanceRecord,
    DoorRecord,
    SectionRecord,
    SpikeRecord,
    TrimRecord,
)
from survey.sheets.record_head import Scale, plain
from survey.wall.clearance import Clearance
from survey.wall.doorways import Doorway
from survey.wall.spikes import Spike
from survey.wall.standing import WallSection
from survey.wall.trim_lines import TrimLines


def spike_record(spike: Spike, scale: Scale) -> SpikeRecord:
    """One spike."""
    return {
        "station": scale.length(spike.station),
        "gap": scale.length(spike.gap),
        "length": scale.length(spike.drive.length),
        "shank": scale.length(spike.shank),
        "shank_from_memory": spike.from_memory,
        "hole": scale.length(spike.hole),
        "pilot": scale.length(spike.pilot),
        "proud": scale.length(spike.drive.proud),
        "embed": scale.length(spike.drive.embed),
        "drop": scale.length(spike.drop),
        "clear_above": scale.length(spike.clear_above),
        "share": plain(spike.share),
        "fits": spike.drive.fits,
        "clash": spike.clash,
    }


def clearance_record(part: Clearance, scale: Scale) -> ClearanceRecord:
    """One row of the travel table."""
    return {
        "element": part.element,
        "kind": part.kind,
        "rise": scale.optional(part.rise),
        "assured": scale.optional(part.assured),
        "drop": scale.optional(part.drop),
        "at": scale.length(part.at),
        "limit_by": part.limit_by,
    }


def door_record(door: Doorway, scale: Scale) -> DoorRecord:
    """One door."""
    return {
        "at": scale.length(door.at),
        "width": scale.length(door.width),
        "head": scale.length(door.head),
        "floor_left": scale.length(door.floor_left),
        "floor_right": scale.length(door.floor_right),
        "leg_left": scale.length(door.leg_left),
        "leg_right": scale.length(door.leg_right),
        "jamb": scale.length(door.jamb),
        "leaf": scale.length(door.leaf),
        "leaf_left": scale.length(door.leaf_left),
        "leaf_right": scale.length(door.leaf_right),
        "gauge": door.gauge,
    }


def trim_record(trim: TrimLines, scale: Scale) -> TrimRecord:
    """Drywall, filler and base of one wall."""
    return {
        "bottom_least": scale.length(float(trim.bottom.min())),
        "bottom_greatest": scale.length(float(trim.bottom.max())),
        "cut_least": scale.length(trim.cut_least),
        "cut_greatest": scale.length(trim.cut_greatest),
        "under": trim.under,
        "filler_most": scale.length(trim.filler_most),
        "base_needed": scale.length(trim.base_needed),
        "base_height": scale.length(trim.base_height),
    }


def section_record(section: WallSection, scale: Scale) -> SectionRecord:
    """One section to stand up."""
    return {
        "from": scale.length(section.start),
        "to": scale.length(section.end),
        "weight": plain(section.weight),
        "height": scale.length(section.height),
        "diagonal": scale.length(section.diagonal),
        "room_slab": scale.length(section.room_slab),
        "room_plate": scale.length(section.room_plate),
        "blocks": scale.length(section.blocks),
        "foot": section.foot,
        "lay": list(section.lay),
        "goes_up": section.goes_up,
        "short_by": scale.length(section.short_by),
        "hits": [
            {
                "obstacle": hit.obstacle,
                "side": hit.side,
                "distance": scale.length(hit.distance),
                "reach": scale.length(hit.reach),
            }
            for hit in section.hits
        ],
    }
