"""Named records: value, unit, source and status of every figure that is not the user's."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Status = Literal["published", "practice", "computed", "memory"]


@dataclass(frozen=True, kw_only=True)
class Standard:
    """One figure: `status` says whether it is published, practice, computed or from memory."""

    value: float
    unit: str
    source: str
    status: Status


@dataclass(frozen=True, kw_only=True)
class StandardList:
    """Several figures of one kind from one source."""

    values: tuple[float, ...]
    unit: str
    source: str
    status: Status


@dataclass(frozen=True, kw_only=True)
class LumberSection:
    """Dressed size of a piece of lumber [in]."""

    name: str
    thickness: float
    width: float


PS20 = "American Softwood Lumber Standard, Voluntary Product Standard PS 20 (second hand)"
LUMBER = (
    LumberSection(name="2x3", thickness=1.5, width=2.5),
    LumberSection(name="2x4", thickness=1.5, width=3.5),
    LumberSection(name="2x6", thickness=1.5, width=5.5),
)
PRECUT_STUDS = StandardList(
    values=(92.625, 104.625, 116.625),
    unit="in",
    source="precut stud lengths as printed in several trade tables",
    status="published",
)
DENSITY = Standard(
    value=35.0,
    unit="lb/ft3",
    source="framing softwood at the moisture it is sold at; 2x4 then weighs 1.28 lb/ft",
    status="computed",
)
DRYWALL_WEIGHT = Standard(
    value=2.2,
    unit="lb/ft2 a side for 1/2 in board",
    source="upper end of 1.6 to 2.2 lb/ft2",
    status="memory",
)
WOOD_STIFFNESS = Standard(
    value=1.4e6,
    unit="psi",
    source="National Design Specification, spruce-pine-fir No.1/No.2 2x4 (second hand)",
    status="published",
)
BENDING_LIMIT = Standard(
    value=1000.0,
    unit="psi",
    source="working bending stress of a flat 2x4, near the NDS reference 875 psi x repetitive use",
    status="practice",
)
WIDEST_JOIST_SPACING = Standard(
    value=24.0, unit="in", source="floor joists stand at 12, 16, 19.2 or 24", status="practice"
)
USUAL_JOIST_SPACING = Standard(
    value=16.0, unit="in", source="commonest floor joist spacing", status="practice"
)


@dataclass(frozen=True, kw_only=True)
class LogNormal:
    """A log-normal prior: median, its unit, and the sd of the logarithm."""

    median: float
    log_sd: float
    unit: str
    source: str
    status: Status


SILL_SD = LogNormal(
    median=0.15,
    log_sd=1.0,
    unit="in",
    source="undulation of a residential slab about its fall; wide on purpose",
    status="practice",
)
FLOOR_RANGE = LogNormal(
    median=48.0,
    log_sd=0.7,
    unit="in",
    source="distance over which a slab's undulation is alike; wide on purpose",
    status="practice",
)
SLOPE_SD = Standard(
    value=0.125 / 12.0,
    unit="in per in",
    source="1/8 in per ft: slope of a slab read at fewer than three spots",
    status="practice",
)
TAPE_SD = Standard(
    value=1 / 16,
    unit="in",
    source="one standard deviation of a clear height taken with tape or stick",
    status="practice",
)
TAPE_LIMIT = Standard(
    value=3.0,
    unit="sd",
    source="a tape further than this from what was predicted is a blunder of one of the two",
    status="practice",
)
PLATE_ALLOWANCE = Standard(
    value=1 / 16,
    unit="in",
    source="kept in hand over the rise where the fixed slab plate itself was read",
    status="practice",
)
ANCHOR_PULL = Standard(
    value=150.0,
    unit="lb",
    source="what a pin or small screw anchor in a house slab may be asked to hold; its maker's "
    "table rules",
    status="memory",
)
ANCHOR_SLACK = Standard(
    value=1 / 32,
    unit="in",
    source="how far a plate may stand off at an anchor that holds it; half of what a tape reads",
    status="practice",
)
SIDE_LOAD = Standard(
    value=5.0,
    unit="lb/ft2",
    source="sideways load an interior partition is built for",
    status="memory",
)
SPIKE_BENDING = Standard(
    value=70_000.0,
    unit="psi",
    source="bending yield strength fyb of a thick wire nail",
    status="memory",
)
SIDE_LOAD_SHARE = Standard(
    value=0.6,
    unit="of the bending that yields a spike",
    source="past it the spikes are set closer or taken thicker, and an engineer decides",
    status="practice",
)
SPIKE_FROM_END = Standard(
    value=12.0,
    unit="in",
    source="first spike from an end of the wall and from each side of a door",
    status="practice",
)
SPIKE_OFF_ANCHOR = Standard(
    value=2.0, unit="in", source="a spike this near may meet an anchor", status="practice"
)
SPIKE_OFF_SPLICE = Standard(
    value=4.0,
    unit="in",
    source="a fastener nearer the end of a board splits it; the same is kept for anchors",
    status="practice",
)
SPIKE_OFF_STUD = Standard(
    value=1.5, unit="in", source="room to swing a hammer beside a stud", status="practice"
)
JAMB_GAUGE = Standard(
    value=1 / 8,
    unit="in",
    source="jamb and casing this far over the finished floor show how the slab moves",
    status="practice",
)
LEAF_UNDERCUT = Standard(
    value=1 / 2,
    unit="in",
    source="door leaf over the finished floor, where jambs are a gauge",
    status="practice",
)
HEADROOM = Standard(
    value=84.0,
    unit="in",
    source="International Residential Code R305: habitable basement (second hand)",
    status="published",
)
HEADROOM_UNDER_BEAM = Standard(
    value=76.0,
    unit="in",
    source="International Residential Code R305: under beams and ducts (second hand)",
    status="published",
)


@dataclass(frozen=True, kw_only=True)
class FloorClass:
    """A class of floor by least F-numbers: FF flatness, FL levelness, over the whole floor."""

    name: str
    flatness: float
    levelness: float


ACI_117 = "ACI 117-10, Specification for Tolerances for Concrete Construction, table 4.8.5.1"
FLOOR_CLASSES = (
    FloorClass(name="conventional", flatness=20.0, levelness=15.0),
    FloorClass(name="moderately flat", flatness=25.0, levelness=20.0),
    FloorClass(name="flat", flatness=35.0, levelness=25.0),
    FloorClass(name="very flat", flatness=45.0, levelness=35.0),
    FloorClass(name="super flat", flatness=60.0, levelness=40.0),
)
F_NUMBER_SPACING = Standard(
    value=12.0, unit="in", source="ASTM E1155: readings along a line", status="published"
)
F_NUMBER_LEVER = Standard(
    value=10.0,
    unit="readings",
    source="ASTM E1155: levelness is the rise over 10 ft",
    status="memory",
)
FLATNESS_CONSTANT = Standard(
    value=4.57, unit="in", source="ASTM E1155: FF = 4.57 / (3 S + |mean|)", status="memory"
)
LEVELNESS_CONSTANT = Standard(
    value=12.5, unit="in", source="ASTM E1155: FL = 12.5 / (3 S + |mean|)", status="memory"
)
DIN_18202_SPANS = StandardList(
    values=(0.1, 1.0, 4.0, 10.0, 15.0),
    unit="m between the two high points",
    source="DIN 18202, table 3",
    status="published",
)
DIN_18202_UNFINISHED = StandardList(
    values=(5.0, 8.0, 12.0, 15.0, 20.0),
    unit="mm",
    source="DIN 18202, table 3, row 2",
    status="published",
)
DIN_18202_FINISHED = StandardList(
    values=(2.0, 4.0, 10.0, 12.0, 15.0),
    unit="mm",
    source="DIN 18202, table 3, row 3: finished floors",
    status="published",
)
