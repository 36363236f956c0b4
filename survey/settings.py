"""The records of a job: one frozen dataclass for each table of job.toml, with every default.

Lengths are inches, stations inches along the wall, slopes inches per inch. A field's type says how
its value is read and between which limits it must lie; the limits catch slips of the unit.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType
from typing import Annotated, Any, Literal

from survey import standards
from survey.lengths import Unit


@dataclass(frozen=True)
class Quantity:
    """How a number in a job file is read, and the range it must lie in (both ends allowed).

    kind "length" reads lengths as `lengths.parse_length` does; "slope" reads a rise over a run;
    "number" is a plain number. `least` and `most` are in inches, inches per inch, or plain.
    """

    kind: Literal["length", "slope", "number"]
    least: float
    most: float


Length = Annotated[float, Quantity("length", 0.0, 12_000.0)]
PositiveLength = Annotated[float, Quantity("length", 1 / 64, 12_000.0)]
SignedLength = Annotated[float, Quantity("length", -12_000.0, 12_000.0)]
Elevation = Annotated[float, Quantity("length", -500_000.0, 500_000.0)]
Movement = Annotated[float, Quantity("length", 0.0, 12.0)]
SmallLength = Annotated[float, Quantity("length", 0.0, 24.0)]
Thickness = Annotated[float, Quantity("length", 1 / 64, 24.0)]
PieceLength = Annotated[float, Quantity("length", 1.0, 1_200.0)]
Spread = Annotated[float, Quantity("length", 0.001, 24.0)]
Step = Annotated[float, Quantity("length", 1 / 64, 1.0)]
Accuracy = Annotated[float, Quantity("slope", 0.0, 0.02)]
Slope = Annotated[float, Quantity("slope", -0.25, 0.25)]
Confidence = Annotated[float, Quantity("number", 0.5, 0.999)]
Pounds = Annotated[float, Quantity("number", 0.0, 1e6)]
Stress = Annotated[float, Quantity("number", 1.0, 1e6)]
Price = Annotated[float, Quantity("number", 0.0, 1e6)]
Point = tuple[SignedLength, SignedLength]
Doubtful = Literal["no", "yes", "unknown"]
TopLine = Literal["level", "straight", "tight", "auto"]
BottomLine = Literal["auto", "level", "one length", "stepped", "raked", "parallel"]
Count = Literal[1, 2, "auto"]


@dataclass(frozen=True, kw_only=True)
class JobInfo:
    """Table [job]: what is surveyed, when, in which unit, from which files."""

    name: str = ""
    surveyed: date | None = None
    unit: Unit = "in"
    round: Step = 1 / 16
    readings: tuple[str, ...] = ("readings.csv",)
    leave_out: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class PegTest:
    """Rod readings at two pegs from near (or midway) and far set-ups, with the distances."""

    near_1: Length
    near_2: Length
    far_1: Length
    far_2: Length
    d_near: PositiveLength
    d_far: PositiveLength


@dataclass(frozen=True, kw_only=True)
class WallTest:
    """Two-wall check: beam marks on two walls, set up close to each; `difference` between them."""

    distance: PositiveLength
    difference: SignedLength


@dataclass(frozen=True, kw_only=True)
class Laser:
    """Table [laser]. `reading` is one sd of a reading [in]; `accuracy` a slope [in per in]."""

    reading: Spread = 1 / 16
    accuracy: Accuracy = 0.125 / 360.0
    peg_test: PegTest | None = None
    wall_test: WallTest | None = None


@dataclass(frozen=True, kw_only=True)
class Mark:
    """Table [[mark]]: a benchmark off the slab; `elevation` holds it fixed."""

    name: str
    elevation: Elevation | None = None
    on: Literal["", "foundation", "column", "joist"] = ""


@dataclass(frozen=True, kw_only=True)
class Travel:
    """Table [float]: the movement the wall must allow, and how surely."""

    rise: Movement = 1.5
    drop: Movement = 1.0
    widest: Thickness | None = None
    allowance: SmallLength = 1 / 8
    confidence: Confidence = 0.95


@dataclass(frozen=True, kw_only=True)
class Frame:
    """Table [frame]: the framed wall that hangs from the joists."""

    stud: str = "2x4"
    thickness: Thickness | None = None
    width: Thickness | None = None
    spacing: PieceLength = 16.0
    top_plates: Count = 1
    precut: tuple[PieceLength, ...] = standards.PRECUT_STUDS.values
    build: Literal["flat", "in place"] = "flat"
    top: TopLine = "level"
    bottom: BottomLine = "auto"
    section: PieceLength = 144.0
    pull_up: SmallLength = 1 / 8
    screw_pull: Pounds = 150.0
    share_top: Literal["none", "meeting"] = "none"
    joist_height: PieceLength | None = None
    joist_sd: Spread = 1 / 4
    joist_scatter: Spread = 1 / 8


@dataclass(frozen=True, kw_only=True)
class PlateBoard:
    """Table [slab_plate]: the treated plate fixed to the slab."""

    size: str = "2x4"
    thickness: Thickness | None = None
    count: Count = 1
    seal: SmallLength = 0.0
    anchor_spacing: PieceLength = 32.0
    anchor_limit: Pounds | None = None


@dataclass(frozen=True, kw_only=True)
class SlabFacts:
    """Table [slab]: what lies in and under the slab, and the flatness asked of it."""

    post_tension: Doubtful = "unknown"
    tubes: Doubtful = "unknown"
    membrane: Doubtful = "unknown"
    straightedge: PieceLength = 120.0
    tolerance: Thickness = 1 / 4


@dataclass(frozen=True, kw_only=True)
class Spikes:
    """Table [spikes]: the spikes that hold the wall sideways through slip holes."""

    lengths: tuple[PieceLength, ...] = (6.0, 8.0, 10.0)
    spacing: PieceLength = 36.0
    shank: Thickness | None = None
    hole: Thickness | None = None
    pilot: Thickness | None = None
    grip: SmallLength = 1.25
    fyb: Stress | None = None


@dataclass(frozen=True, kw_only=True)
class Trim:
    """Table [trim]: drywall, base, flooring and door jambs."""

    drywall: Thickness = 1 / 2
    drywall_bottom: Literal["plate"] | Length = "plate"
    filler_height: Length | None = None
    lap: SmallLength = 1.0
    base_height: Thickness | None = None
    flooring: SmallLength = 0.0
    jamb: Literal["clear", "gauge"] = "clear"


@dataclass(frozen=True, kw_only=True)
class Lumber:
    """Table [lumber]: stock lengths, prices by length, saw kerf, the longest that gets in."""

    stock: tuple[PieceLength, ...] = (96.0, 120.0, 144.0, 192.0)
    prices: tuple[Price, ...] = ()
    kerf: SmallLength = 1 / 8
    carry: PieceLength | None = None

    @property
    def longest(self) -> float:
        """Longest board that can be bought and carried in [in]."""
        return max(self.stock) if self.carry is None else min(max(self.stock), self.carry)


@dataclass(frozen=True, kw_only=True)
class Door:
    """Table [[wall.door]]: rough opening by centre and width; height over the finished floor."""

    at: Length
    width: PieceLength
    height: PieceLength = 82.5
    leaf: PieceLength | None = None
    swing: Literal["", "left", "right", "in", "out"] = ""
    cover: SmallLength = 0.0


@dataclass(frozen=True, kw_only=True)
class Under:
    """Table [[wall.under]]: beam or duct over part of a wall, its underside above the slab."""

    from_: Length
    to: Length
    underside: PieceLength


@dataclass(frozen=True, kw_only=True)
class WallLine:
    """Table [[wall]]: one wall line, measured from its named end."""

    name: str
    start: Point | None = None
    end: Point | None = None
    length: PositiveLength | None = None
    from_: str = ""
    face: str = ""
    joists: Literal["across", "along"] = "across"
    blocking_drop: SmallLength = 0.0
    slab_joints: tuple[Length, ...] = ()
    cross_fall: Slope = 0.0
    read_offset: SmallLength = 0.0
    hang: Literal["bottom", "top", "none"] = "bottom"
    door: tuple[Door, ...] = ()
    under: tuple[Under, ...] = ()
    overrides: Mapping[str, Mapping[str, Any]] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, kw_only=True)
class Obstacle:
    """Table [[obstacle]]: something overhead a wall could hit while it is stood up."""

    name: str
    at: Point
    underside: PieceLength


@dataclass(frozen=True, kw_only=True)
class Section:
    """Table [[section]]: a lumber section of the user's own."""

    name: str
    thickness: Thickness
    width: Thickness
