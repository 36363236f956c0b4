"""What `slab --json` prints: the slab under each wall, in the units of `record_types`."""

from __future__ import annotations

from typing import Literal, TypedDict

from survey.sheets.record_types import Head
from survey.slab.grinding import GrindReason
from survey.slab.line_profile import Under


class PointRecord(TypedDict):
    """A high or low of the slab; `prominence` is the least climb or drop to leave it."""

    kind: Literal["high", "low"]
    station: float
    elevation: float
    prominence: float


GrindRecord = TypedDict(
    "GrindRecord",
    {
        "from": float,
        "to": float,
        "at": float,
        "depth": float,
        "stations": list[float],
        "depths": list[float],
        "area": float,
        "volume": float,
        "reason": GrindReason,
        "buys": str,
    },
)
GrindRecord.__doc__ = """A spot to grind: deepest at `at`, by `depth`; `depths` at `stations`.

`area` and `volume` are of a strip as wide as the slab plate, in the unit squared and cubed.
"""


class StraightedgeRecord(TypedDict):
    """The worst place under a straightedge of length `span`.

    It rests on the two `contacts` and leaves `gap` at `station`; `tolerance` is what the job asks,
    `din_limit` what DIN 18202 allows between contacts so far apart. Over the highest crown it
    rocks: balanced on `crown_station`, both its ends stand off by `crown`, which is no gap.
    """

    span: float
    gap: float
    station: float
    contacts: list[float]
    tolerance: float
    keeps: bool
    din_limit: float
    crown: float
    crown_station: float


FlatnessRecord = TypedDict(
    "FlatnessRecord", {"FF": float | None, "FL": float | None, "estimate": bool, "class": str}
)
FlatnessRecord.__doc__ = """F-numbers; an estimate unless the slab was read every 12 in.

One is null where the line is too short to tell, and where nothing departs from a straight line;
`class` is the best of ACI 117 that the numbers known meet.
"""

VoidRecord = TypedDict(
    "VoidRecord", {"from": float, "to": float, "at": float, "depth": float, "open_end": bool}
)
VoidRecord.__doc__ = """Where the slab plate stands off the slab, by `depth` at `at`.

`open_end` says that one side is the plate's end and not a contact.
"""


class AnchorRecord(TypedDict):
    """An anchor of the slab plate and the pull it must hold, in pounds.

    `pull` is null on a tape-only wall: the shape of the slab under the plate is not known.
    """

    station: float
    pull: float | None
    remark: str


class ContactRecord(TypedDict):
    """The slab plate as it lies; `stress` is its greatest, in psi.

    There are no anchors where post-tension tendons forbid them.
    """

    voids: list[VoidRecord]
    anchors: list[AnchorRecord]
    stress: float


class SlabWallRecord(TypedDict):
    """The slab along one line.

    `elevation` and its `sd` stand at `stations`; a joint stands there twice. `planning` is the
    highest and `low` the lowest the slab is planned to lie, `k` of their sds from the mean; both
    and `k` are null for a line that is not planned as a wall. `range` and `sill` say over what
    distance and by what sd the slab is wavy. `fall` is a rise over a run away from the named end.
    `surface` is what was read, the slab or the fixed slab plate's top. On a `tape_only` line
    nothing was levelled: its lists are empty and what they would tell is null. `straightedge` is
    null unless the bare slab was levelled; `flatness` too, and where the line is too short for
    any F-number; `contact` where no plate is to be laid on a slab whose shape is known.
    """

    wall: str
    surface: Under
    tape_only: bool
    length: float
    k: float | None
    range: float
    sill: float
    stations: list[float]
    elevation: list[float]
    sd: list[float]
    planning: list[float] | None
    low: list[float] | None
    joints: list[float]
    points: list[PointRecord]
    fall: float | None
    straightedge: StraightedgeRecord | None
    flatness: FlatnessRecord | None
    contact: ContactRecord | None
    grind: list[GrindRecord]


class SlabRecord(Head):
    """`floatwall slab --json`."""

    walls: list[SlabWallRecord]
