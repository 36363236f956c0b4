"""Every setting of a job as frozen records, and where each value came from.

Lengths are inches, stations inches along the wall, slopes inches per inch. The records mirror the
tables of job.toml; `resolve` settles default < job < wall < option once for one wall.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType
from typing import Annotated, Any, Literal

from survey import standards
from survey.errors import Note, SurveyError
from survey.lengths import Unit

INFINITY = float("inf")


@dataclass(frozen=True)
class Quantity:
    """How a number in a job file is read, and the range it must lie in (both ends allowed).

    kind "length" reads lengths as `lengths.parse_length` does; "slope" reads a length per foot;
    "number" is a plain number.
    """

    kind: Literal["length", "slope", "number"]
    least: float = 0.0
    most: float = INFINITY


Length = Annotated[float, Quantity("length", 0.0, 12_000.0)]
PositiveLength = Annotated[float, Quantity("length", 1e-6, 12_000.0)]
SignedLength = Annotated[float, Quantity("length", -12_000.0, 12_000.0)]
Slope = Annotated[float, Quantity("slope", -1.0, 1.0)]
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
    round: PositiveLength = 1 / 16
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

    reading: PositiveLength = 1 / 16
    accuracy: Annotated[float, Quantity("slope", 0.0, 0.1)] = 0.125 / 360.0
    peg_test: PegTest | None = None
    wall_test: WallTest | None = None


@dataclass(frozen=True, kw_only=True)
class Mark:
    """Table [[mark]]: a benchmark off the slab; `elevation` holds it fixed."""

    name: str
    elevation: SignedLength | None = None
    on: Literal["", "foundation", "column", "joist"] = ""


@dataclass(frozen=True, kw_only=True)
class Travel:
    """Table [float]: the movement the wall must allow, and how surely."""

    rise: Length = 1.5
    drop: Length = 1.0
    widest: PositiveLength | None = None
    allowance: Length = 1 / 8
    confidence: Confidence = 0.95


@dataclass(frozen=True, kw_only=True)
class Frame:
    """Table [frame]: the framed wall that hangs from the joists."""

    stud: str = "2x4"
    thickness: PositiveLength | None = None
    width: PositiveLength | None = None
    spacing: PositiveLength = 16.0
    top_plates: Count = 1
    precut: tuple[PositiveLength, ...] = standards.PRECUT_STUDS.values
    build: Literal["flat", "in place"] = "flat"
    top: TopLine = "level"
    bottom: BottomLine = "auto"
    section: PositiveLength = 144.0
    pull_up: Length = 1 / 8
    screw_pull: Pounds = 150.0
    share_top: Literal["none", "meeting"] = "none"
    joist_height: PositiveLength | None = None
    joist_sd: PositiveLength = 1 / 4
    joist_scatter: PositiveLength = 1 / 8


@dataclass(frozen=True, kw_only=True)
class PlateBoard:
    """Table [slab_plate]: the treated plate fixed to the slab."""

    size: str = "2x4"
    thickness: PositiveLength | None = None
    count: Count = 1
    seal: Length = 0.0
    anchor_spacing: PositiveLength = 32.0
    anchor_limit: Pounds | None = None


@dataclass(frozen=True, kw_only=True)
class SlabFacts:
    """Table [slab]: what lies in and under the slab, and the flatness asked of it."""

    post_tension: Doubtful = "unknown"
    tubes: Doubtful = "unknown"
    membrane: Doubtful = "unknown"
    straightedge: PositiveLength = 120.0
    tolerance: PositiveLength = 1 / 4


@dataclass(frozen=True, kw_only=True)
class Spikes:
    """Table [spikes]: the spikes that hold the wall sideways through slip holes."""

    lengths: tuple[PositiveLength, ...] = (6.0, 8.0, 10.0)
    spacing: PositiveLength = 36.0
    shank: PositiveLength | None = None
    hole: PositiveLength | None = None
    pilot: PositiveLength | None = None
    grip: Length = 1.25
    fyb: Stress | None = None


@dataclass(frozen=True, kw_only=True)
class Trim:
    """Table [trim]: drywall, base, flooring and door jambs."""

    drywall: PositiveLength = 1 / 2
    drywall_bottom: Literal["plate"] | Length = "plate"
    filler_height: Length | None = None
    lap: Length = 1.0
    base_height: PositiveLength | None = None
    flooring: Length = 0.0
    jamb: Literal["clear", "gauge"] = "clear"


@dataclass(frozen=True, kw_only=True)
class Lumber:
    """Table [lumber]: stock lengths, prices by length, saw kerf, the longest that gets in."""

    stock: tuple[PositiveLength, ...] = (96.0, 120.0, 144.0, 192.0)
    prices: tuple[Price, ...] = ()
    kerf: Length = 1 / 8
    carry: PositiveLength | None = None


@dataclass(frozen=True, kw_only=True)
class Door:
    """Table [[wall.door]]: rough opening by centre and width; height over the finished floor."""

    at: Length
    width: PositiveLength
    height: PositiveLength = 82.5
    leaf: PositiveLength | None = None
    swing: Literal["", "left", "right", "in", "out"] = ""
    cover: Length = 0.0


@dataclass(frozen=True, kw_only=True)
class Under:
    """Table [[wall.under]]: beam or duct over part of a wall, its underside above the slab."""

    from_: Length
    to: Length
    underside: PositiveLength


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
    blocking_drop: Length = 0.0
    slab_joints: tuple[Length, ...] = ()
    cross_fall: Slope = 0.0
    read_offset: Length = 0.0
    hang: Literal["bottom", "top", "none"] = "bottom"
    door: tuple[Door, ...] = ()
    under: tuple[Under, ...] = ()
    overrides: Mapping[str, Mapping[str, Any]] = field(
        default_factory=lambda: MappingProxyType({})
    )


@dataclass(frozen=True, kw_only=True)
class Obstacle:
    """Table [[obstacle]]: something overhead a wall could hit while it is stood up."""

    name: str
    at: Point
    underside: PositiveLength


@dataclass(frozen=True, kw_only=True)
class Section:
    """Table [[section]]: a lumber section of the user's own."""

    name: str
    thickness: PositiveLength
    width: PositiveLength


Origin = Literal["default", "job", "option"]


@dataclass(frozen=True, kw_only=True)
class Setting:
    """A value and where it came from."""

    value: object
    origin: Origin


@dataclass(frozen=True, kw_only=True)
class Job:
    """All settings of a job. `given` maps a dotted key ("float.rise") to where it was given.

    `folder` is where the files of the job lie. `options` holds dotted keys set on the command
    line, which win over every table.
    """

    info: JobInfo = field(default_factory=JobInfo)
    laser: Laser = field(default_factory=Laser)
    travel: Travel = field(default_factory=Travel)
    frame: Frame = field(default_factory=Frame)
    plate: PlateBoard = field(default_factory=PlateBoard)
    slab: SlabFacts = field(default_factory=SlabFacts)
    spikes: Spikes = field(default_factory=Spikes)
    trim: Trim = field(default_factory=Trim)
    lumber: Lumber = field(default_factory=Lumber)
    marks: tuple[Mark, ...] = ()
    walls: tuple[WallLine, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    sections: tuple[Section, ...] = ()
    folder: str = "."
    given: Mapping[str, Origin] = field(default_factory=lambda: MappingProxyType({}))
    options: Mapping[str, Any] = field(default_factory=lambda: MappingProxyType({}))
    notes: tuple[Note, ...] = ()


# Heading in job.toml -> (attribute of Job, record). The one place that pairs the two.
TABLES: Mapping[str, tuple[str, type]] = MappingProxyType(
    {
        "job": ("info", JobInfo),
        "laser": ("laser", Laser),
        "float": ("travel", Travel),
        "frame": ("frame", Frame),
        "slab_plate": ("plate", PlateBoard),
        "slab": ("slab", SlabFacts),
        "spikes": ("spikes", Spikes),
        "trim": ("trim", Trim),
        "lumber": ("lumber", Lumber),
    }
)
LISTS: Mapping[str, tuple[str, type]] = MappingProxyType(
    {
        "mark": ("marks", Mark),
        "wall": ("walls", WallLine),
        "obstacle": ("obstacles", Obstacle),
        "section": ("sections", Section),
    }
)
WALL_TABLES = ("float", "frame", "trim", "spikes")


@dataclass(frozen=True, kw_only=True)
class WallSettings:
    """What holds for one wall after defaults, job, wall and options are settled."""

    line: WallLine
    travel: Travel
    frame: Frame
    plate: PlateBoard
    slab: SlabFacts
    spikes: Spikes
    trim: Trim
    round: float
    stud: standards.LumberSection
    slab_board: standards.LumberSection


def wall_length(wall: WallLine) -> float | None:
    """Length as the job gives it [in]: `length`, else start to end; None if neither is given."""
    if wall.length is not None:
        return wall.length
    if wall.start is not None and wall.end is not None:
        return math.dist(wall.start, wall.end)
    return None


def find_wall(job: Job, name: str) -> WallLine:
    """The wall line of that name, compared trimmed and caselessly; a plain one if not listed."""
    wanted = name.strip().casefold()
    for wall in job.walls:
        if wall.name.strip().casefold() == wanted:
            return wall
    return WallLine(name=name.strip())


def resolve(job: Job, wall: str) -> WallSettings:
    """Settle every setting of one wall: default < job < [wall.*] < option.

    Parameters
    ----------
    job
        All settings.
    wall
        Name of a wall line, listed in the job or only in the readings.

    Raises
    ------
    SurveyError
        If a lumber section is not known.
    """
    line = find_wall(job, wall)
    travel = _settled(job, line, "float", job.travel)
    frame = _settled(job, line, "frame", _metric_frame(job))
    return WallSettings(
        line=line,
        travel=travel,
        frame=frame,
        plate=job.plate,
        slab=job.slab,
        spikes=_settled(job, line, "spikes", job.spikes),
        trim=_settled(job, line, "trim", job.trim),
        round=round_step(job),
        stud=_section(job, frame.stud, frame.thickness, frame.width),
        slab_board=_section(job, job.plate.size, job.plate.thickness, None),
    )


def round_step(job: Job) -> float:
    """Ladder of cut lengths [in]: as given, else 1/16, or 1 mm in a metric job."""
    if "job.round" in job.given or not is_metric(job):
        return job.info.round
    return 1 / 25.4


def is_metric(job: Job) -> bool:
    """Whether the job's own unit is metric."""
    return job.info.unit in ("mm", "cm", "m")


def with_options(job: Job, options: Mapping[str, Any]) -> Job:
    """The job with dotted keys ("float.rise") that win over every table."""
    return dataclasses.replace(job, options=MappingProxyType({**job.options, **options}))


def _settled(job: Job, line: WallLine, table: str, record: Any) -> Any:
    """The table's record with the wall's own keys, then the options, put in."""
    own = dict(line.overrides.get(table, {}))
    own.update(
        {key.split(".", 1)[1]: v for key, v in job.options.items() if key.startswith(table + ".")}
    )
    return dataclasses.replace(record, **own)


def _metric_frame(job: Job) -> Frame:
    """In a metric job no precut lengths are taken for granted."""
    if is_metric(job) and "frame.precut" not in job.given:
        return dataclasses.replace(job.frame, precut=())
    return job.frame


def _section(
    job: Job, name: str, thickness: float | None, width: float | None
) -> standards.LumberSection:
    own = [
        standards.LumberSection(name=s.name, thickness=s.thickness, width=s.width)
        for s in job.sections
    ]
    known = {section.name.casefold(): section for section in (*standards.LUMBER, *own)}
    found = known.get(name.strip().casefold())
    if found is None:
        names = ", ".join(section.name for section in known.values())
        raise SurveyError(f'no lumber section "{name}"; known are {names}, or add a [[section]]')
    return dataclasses.replace(
        found,
        thickness=found.thickness if thickness is None else thickness,
        width=found.width if width is None else width,
    )
