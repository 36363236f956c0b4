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
