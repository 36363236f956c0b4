"""Doors in a hung wall: jamb legs cut to the floor, and the space under the leaf."""

from __future__ import annotations

from dataclasses import dataclass

from survey import standards
from survey.job import WallSettings
from survey.wall.layout import Layout, Opening
from survey.wall.studs import Hung, door_head


@dataclass(frozen=True, kw_only=True)
class Doorway:
    """One door: elevations, and lengths from them [in].

    `head` is the rough opening's upper edge; `floor_left` and `floor_right` the finished floor at
    its sides, left being nearer the wall's named end. A leg reaches from the head down to `jamb`
    over that floor. The leaf's lower edge is level, `leaf` over the highest floor it passes;
    `leaf_left` and `leaf_right` are from it down to the floor at the sides.
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


def hang_doors(layout: Layout, wall: Hung, settings: WallSettings) -> tuple[Doorway, ...]:
    """Every door of the wall, from its named end.

    A jamb held clear keeps the whole rise and its allowance, and the leaf is undercut as much; as
    a gauge it stands just over the floor, and stops the wall there.

    References
    ----------
    Common practice (`standards.JAMB_GAUGE`, `standards.LEAF_UNDERCUT`).
    """
    return tuple(_doorway(opening, wall, settings) for opening in layout.openings)


def _doorway(opening: Opening, wall: Hung, settings: WallSettings) -> Doorway:
    door, travel = opening.door, settings.travel
    gauge = settings.trim.jamb == "gauge"
    full = travel.rise + travel.allowance
    jamb = standards.JAMB_GAUGE.value if gauge else full
    leaf = standards.LEAF_UNDERCUT.value if gauge else full
    head = door_head(opening, wall.floor, settings)
    covering = max(door.cover, settings.trim.flooring)
    left, right = (
        float(wall.floor.height(edge)) + covering for edge in (opening.start, opening.end)
    )
    # Which way the slab falls is not known: the leaf may swing up the slope.
    swept = door.width if door.leaf is None else door.leaf
    lower_edge = head - door.height + abs(settings.line.cross_fall) * swept + leaf
    return Doorway(
        at=door.at,
        width=opening.end - opening.start,
        head=head,
        floor_left=left,
        floor_right=right,
        leg_left=head - left - jamb,
        leg_right=head - right - jamb,
        jamb=jamb,
        leaf=leaf,
        leaf_left=lower_edge - left,
        leaf_right=lower_edge - right,
        gauge=gauge,
    )
