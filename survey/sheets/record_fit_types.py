"""What `plan --json` prints of spikes, doors, trim, travel and standing up."""

from __future__ import annotations

from typing import TypedDict

from survey.wall.clearance import Element, Kind
from survey.wall.standing import Foot, Side


class SpikeRecord(TypedDict):
    """One spike.

    It stands `proud` of the bottom plate, sits `embed` in the slab plate and leaves `drop`;
    `clear_above` is what the head needs over the bottom plate. `shank_from_memory` says to measure
    it; `share` is the side load's bending over what yields it. `fits` is false where no spike in
    stock leaves the drop, `clash` true where it may meet an anchor or a splice.
    """

    station: float
    gap: float
    length: float
    shank: float
    shank_from_memory: bool
    hole: float
    pilot: float
    proud: float
    embed: float
    drop: float
    clear_above: float
    share: float
    fits: bool
    clash: bool


class ClearanceRecord(TypedDict):
    """How far one part lets the slab rise and drop; null where it does not limit that.

    `assured` is the rise that is sure to be there, `at` the station where the part is tightest.
    Only kind "load" is judged against the float.
    """

    element: Element
    kind: Kind
    rise: float | None
    assured: float | None
    drop: float | None
    at: float
    limit_by: str


class DoorRecord(TypedDict):
    """A door; left is nearer the wall's named end.

    A jamb's leg reaches from the rough opening's `head` down to `jamb` over the finished floor;
    the leaf's lower edge is `leaf` over the highest floor it passes. With `gauge` the jamb shows
    the movement and stops the wall.
    """

    at: float
    width: float
    head: float
    floor_left: float
    floor_right: float
    leg_left: float
    leg_right: float
    jamb: float
    leaf: float
    leaf_left: float
    leaf_right: float
    gauge: bool


class TrimRecord(TypedDict):
    """Drywall from its lower edge (`bottom_least` to `bottom_greatest`) up to the top plate.

    `under` is what it comes down on; `filler_most` the greatest height of filler over the slab;
    `base_needed` the least base that hides the gap, laps and allows the drop.
    """

    bottom_least: float
    bottom_greatest: float
    cut_least: float
    cut_greatest: float
    under: str
    filler_most: float
    base_needed: float
    base_height: float


class HitRecord(TypedDict):
    """An obstacle nearer than the section's swing reaches, if it is framed on that side."""

    obstacle: str
    side: Side
    distance: float
    reach: float


SectionRecord = TypedDict(
    "SectionRecord",
    {
        "from": float,
        "to": float,
        "weight": float,
        "height": float,
        "diagonal": float,
        "room_slab": float,
        "room_plate": float,
        "blocks": float,
        "foot": Foot,
        "lay": list[Side],
        "goes_up": bool,
        "short_by": float,
        "hits": list[HitRecord],
    },
)
SectionRecord.__doc__ = """A section of wall stood up in one piece; `weight` is of its lumber [lb].

`diagonal` is the height it needs to tilt, `room_slab` and `room_plate` what there is, `blocks` the
thickest blocks on the slab plate it still tilts up on. `foot` and `lay` say what it is best stood
up on and on which side it is framed, looking from the wall's named end.
"""
