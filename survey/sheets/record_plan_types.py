"""What `plan --json` prints: the planned walls, in the units and senses of `record_types`."""

from __future__ import annotations

from typing import TypedDict

from survey.sheets.record_against_types import AgainstRecord
from survey.sheets.record_fit_types import (
    ClearanceRecord,
    DoorRecord,
    SectionRecord,
    SpikeRecord,
    TrimRecord,
)
from survey.sheets.record_slab_types import AnchorRecord
from survey.sheets.record_types import DatumRecord, Head
from survey.slab.line_profile import Under
from survey.wall.layout import StudKind
from survey.wall.remedies import RemedyKind


class FloatRecord(TypedDict):
    """The movement asked for; `widest` is null where no widest gap is asked for."""

    rise: float
    drop: float
    allowance: float
    widest: float | None


class RemedyRecord(TypedDict):
    """A way out of a wall that fails, with the stud and the gap it leads to."""

    kind: RemedyKind
    at: float
    amount: float
    stud: float
    gap_least: float
    gap_greatest: float
    passes: bool


class VerdictRecord(TypedDict):
    """Whether the wall can be built as asked.

    `probability` is that of the least gap falling short; `short_by` by how much the limits of the
    gap miss each other, at the stations `at`.
    """

    passes: bool
    probability: float
    short_by: float
    at: list[float]
    why: str
    remedies: list[RemedyRecord]


class FrameRecord(TypedDict):
    """What the wall is framed with; `height` is top plates + stud + bottom plate."""

    section: str
    stud: float
    stud_text: str
    precut: bool
    top_plates: int
    plate_thickness: float
    height: float


class SlabPlateRecord(TypedDict):
    """The plate on the slab; `cross_fall` is what the slab's slope across it takes of the gap."""

    section: str
    count: int
    thickness: float
    seal: float
    cross_fall: float


class PackingRecord(TypedDict):
    """A piece between top plate and joist."""

    station: float
    thickness: float


class TopRecord(TypedDict):
    """The top plate's upper face; `shim_free` says that no joist needs packing."""

    line: str
    elevation: float
    shim_free: bool
    packing: list[PackingRecord]


PieceRecord = TypedDict(
    "PieceRecord", {"from": float, "to": float, "from_elevation": float, "to_elevation": float}
)
PieceRecord.__doc__ = "A stretch of bottom plate, by the elevations of its underside."


class BottomRecord(TypedDict):
    """The bottom plate's underside, piece by piece between the doors."""

    line: str
    pieces: list[PieceRecord]


class GapRecord(TypedDict):
    """The gap over the wall's plates, as built from the rounded stud."""

    required: float
    least: float
    least_at: float
    assured_least: float
    greatest: float
    greatest_at: float
    assured_greatest: float


class JoistRecord(TypedDict):
    """A joist's underside; `read` is false where it was taken between its neighbours."""

    station: float
    elevation: float
    sd: float
    read: bool


class LineRecord(TypedDict):
    """The wall along its length: lists of one length, by `station`.

    A joint stands twice. `plate_top`, `bottom`, `gap` and `assured` are null in a door's opening,
    where there is no plate.
    """

    station: list[float]
    slab: list[float]
    sd: list[float]
    planning: list[float]
    plate_top: list[float | None]
    bottom: list[float | None]
    top: list[float]
    gap: list[float | None]
    assured: list[float | None]


class PartRecord(TypedDict):
    """One part of a height stack."""

    part: str
    thickness: float


class StudRecord(TypedDict):
    """One stud; the parts of its `stack`, from the slab up, sum to joist less slab."""

    mark: str
    wall: str
    kind: StudKind
    station: float
    slab: float
    joist: float
    plate_top: float
    bottom: float
    top: float
    gap: float
    assured_gap: float
    length: float
    text: str
    stack: list[PartRecord]


BayRecord = TypedDict(
    "BayRecord",
    {
        "bay": int,
        "from": float,
        "to": float,
        "studs": list[str],
        "stud_length": float | None,
        "gap_least": float,
        "gap_greatest": float,
        "assured_least": float,
        "high": float | None,
        "low": float | None,
    },
)
BayRecord.__doc__ = """The space between two studs.

`stud_length` is that of the stud which closes it, null where two of different length do. `high`
and `low` are the stations of the highest and lowest slab in it, null on a tape-only wall.
"""


class WeightRecord(TypedDict):
    """What hangs from the joists, in pounds a foot of wall and pounds a joist."""

    per_foot: float
    per_joist: float


class ChoiceRecord(TypedDict):
    """One way to frame the wall; `fails` lists each limit it misses."""

    top: str
    bottom: str
    top_plates: int
    slab_plates: int
    passes: bool
    lengths: int
    steps: int
    packed: int
    gap_least: float
    gap_greatest: float
    shim_free: bool
    precut: bool
    chosen: bool
    why: str
    fails: list[str]


class TapeRecord(TypedDict):
    """A spot to tape before cutting: `parts`, rounded as printed, sum to `clear`.

    `on` is what the tape stands on.
    """

    station: float
    on: Under
    clear: float
    sd: float
    parts: list[PartRecord]
    stud: float
    text: str


PlanWallRecord = TypedDict(
    "PlanWallRecord",
    {
        "wall": str,
        "from": str,
        "face": str,
        "surface": Under,
        "tape_only": bool,
        "length": float,
        "k": float,
        "float": FloatRecord,
        "verdict": VerdictRecord,
        "frame": FrameRecord,
        "slab_plate": SlabPlateRecord,
        "top": TopRecord,
        "bottom": BottomRecord,
        "gap": GapRecord,
        "joists": list[JoistRecord],
        "line": LineRecord,
        "studs": list[StudRecord],
        "bays": list[BayRecord],
        "splices": list[float],
        "anchors": list[AnchorRecord],
        "hung_weight": WeightRecord,
        "sections": list[SectionRecord],
        "doors": list[DoorRecord],
        "spikes": list[SpikeRecord],
        "trim": TrimRecord,
        "clearances": list[ClearanceRecord],
        "choices": list[ChoiceRecord],
        "tape_first": list[TapeRecord],
    },
)
PlanWallRecord.__doc__ = """One planned wall; `float` is what was asked of this one.

`surface` is what `slab` means throughout: the slab, or the top of the slab plate fixed to it. On a
`tape_only` wall nothing was levelled: elevations are from a top plate drawn tight to the joists,
which is called 0 all along.
"""


class PlanRecord(Head):
    """`floatwall plan --json`: `float` is what the job asks of every wall.

    `against` is null unless an earlier plan was given with --against.
    """

    datum: DatumRecord
    float: FloatRecord
    walls: list[PlanWallRecord]
    against: AgainstRecord | None
