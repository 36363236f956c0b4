"""Top and bottom lines of a framed wall, and the stud lengths a line admits.

A level top touches the lowest joist; a level bottom hangs one stud length below it. The frame
takes F = top plates + stud + bottom plate out of the clear height over the slab plate.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey import standards
from survey.job import WallSettings
from survey.lengths import snap
from survey.slab.kriging import FloatArray
from survey.slab.line_profile import LineProfile
from survey.slab.slab_line import SlabLine
from survey.wall.clear_height import ClearHeight, assured_least, falling_short
from survey.wall.joists import JoistLine
from survey.wall.layout import Layout
from survey.wall.plate import SlabPlate


@dataclass(frozen=True, kw_only=True)
class Packing:
    """A piece that fills the space between top plate and joist at a station [in]."""

    station: float
    thickness: float


@dataclass(frozen=True, kw_only=True)
class TopLine:
    """The top plate's upper face: a level line at `elevation` [in], packed to the higher joists.

    `drawn_up` is the space that screws may close by bending the plate [in]: a joist no further
    than that needs no packing, and the gap may widen by as much.
    """

    line: str
    elevation: float
    drawn_up: float
    packing: tuple[Packing, ...]

    @property
    def shim_free(self) -> bool:
        """Whether no joist needs packing."""
        return not self.packing


@dataclass(frozen=True, kw_only=True)
class FrameStack:
    """Height of the frame [in]: plates above and below a stud, and how many top plates."""

    top_plates: int
    plate_thickness: float
    stud: float

    @property
    def top(self) -> float:
        """Thickness of the top plates together [in]."""
        return self.top_plates * self.plate_thickness

    @property
    def height(self) -> float:
        """Top plates + stud + bottom plate, F [in]."""
        return self.top + self.stud + self.plate_thickness


@dataclass(frozen=True, kw_only=True)
class Limits:
    """What the gap must keep to [in].

    `required` is the least assured gap (rise + allowance), `widest` the greatest expected gap
    (infinite when not asked), `span` the gap at which the longest spike still grips and leaves
    the drop, `drawn_up` how much screws may widen the gap.
    """

    required: float
    widest: float
    span: float
    drawn_up: float


@dataclass(frozen=True, kw_only=True)
class StudFit:
    """The stud for a wall of constant stack, and whether it keeps the limits.

    `longest` and `shortest` bound the stud [in]: longer leaves too little gap, shorter too much.
    `short_by` is by how much they miss each other on the ladder, 0 when it passes; `bound` says
    which limit sets `shortest` ("widest" or "spike", "" when none does).
    """

    length: float
    precut: bool
    passes: bool
    longest: float
    shortest: float
    short_by: float
    bound: str


@dataclass(frozen=True, kw_only=True, eq=False)
class BareWall:
    """What is known of a wall before it is framed: layout, slab, joists, top line, clearance.

    `slab` is what the wall is measured from, `bed` what a slab plate lies on and `floor` what the
    floors at doors lie on. They differ where the plate was read, or where only tapes are known.
    """

    line: LineProfile
    layout: Layout
    slab: SlabLine
    bed: SlabLine
    floor: SlabLine
    joists: JoistLine
    top: TopLine
    clear: ClearHeight
    bounds: Limits


def level_top(joists: JoistLine, drawn: FloatArray, settings: WallSettings) -> TopLine:
    """Level top plate raised until it touches the lowest joist.

    Parameters
    ----------
    joists
        Joists over the line, m of them.
    drawn
        Draws of their undersides, shape (draws, m) [in]; the plate stops at each draw's lowest.
    settings
        The wall's settings.
    """
    elevation = float(drawn.min(axis=1).mean())
    drawn_up = min(settings.frame.pull_up, plate_bend(settings.stud.thickness, joists.spacing))
    space = joists.elevation - elevation
    packing = tuple(
        Packing(station=float(s), thickness=float(t))
        for s, t in zip(joists.station, space, strict=True)
        if t > drawn_up + settings.round / 2
    )
    return TopLine(line="level", elevation=elevation, drawn_up=drawn_up, packing=packing)


def plate_bend(thickness: float, joist_spacing: float) -> float:
    """How far a flat plate bends over two joist spaces at its working stress [in].

    References
    ----------
    Simple span with a load at the middle: deflection = stress x span^2 / (6 E thickness), from
    sigma = M c / I and delta = P L^3 / (48 E I) (any strength-of-materials text).

    >>> round(plate_bend(1.5, 16.0), 3)
    0.081
    """
    span = 2.0 * joist_spacing
    stress, stiffness = standards.BENDING_LIMIT.value, standards.WOOD_STIFFNESS.value
    return stress * span**2 / (6.0 * stiffness * thickness)


def limits(settings: WallSettings, top: TopLine) -> Limits:
    """What the gap of this wall must keep to; a span of 0 or less means no spike is long enough."""
    travel, spikes = settings.travel, settings.spikes
    longest = max(spikes.lengths)
    span = longest - settings.stud.thickness - spikes.grip - travel.drop
    return Limits(
        required=travel.rise + travel.allowance,
        widest=np.inf if travel.widest is None else travel.widest,
        span=span,
        drawn_up=top.drawn_up,
    )


def level_stud(
    clear: ClearHeight,
    plate: SlabPlate,
    frame: FrameStack,
    bounds: Limits,
    *,
    step: float,
    precuts: tuple[float, ...],
) -> StudFit:
    """The stud of a level wall: an uncut precut where it passes, else the longest admissible.

    Parameters
    ----------
    clear, plate
        Clear height along the line and what the slab plate takes of it.
    frame
        Plates of the frame; its stud is ignored.
    bounds
        Limits of the gap.
    step, precuts
        Ladder of cut lengths and stock lengths used uncut [in].
    """
    taken = plate.height + plate.cross_fall
    plates = frame.top + frame.plate_thickness
    longest = assured_least(clear, taken) - bounds.required - plates
    by_limit = _shortest_by_limit(clear, taken, bounds)
    bound = max(by_limit, key=lambda name: by_limit[name])
    shortest = by_limit[bound] - plates
    fitting = [p for p in precuts if shortest - 1e-9 <= p <= longest + 1e-9]
    cut = snap(longest, step, "down")
    passes = bool(fitting) or (cut >= shortest - 1e-9 and cut > 0)
    return StudFit(
        length=max(fitting) if fitting else cut,
        precut=bool(fitting),
        passes=passes,
        longest=longest,
        shortest=shortest,
        short_by=0.0 if passes else max(shortest - cut, 0.0),
        bound=bound if np.isfinite(shortest) else "",
    )


def _shortest_by_limit(clear: ClearHeight, taken: FloatArray, bounds: Limits) -> dict[str, float]:
    """Least frame height that keeps each limit of the greatest gap [in]."""
    mean = (clear.mean - taken)[clear.plate].max()
    high = (clear.high - taken)[clear.plate].max()
    return {
        "widest": float(mean - bounds.widest),
        "spike": float(high + bounds.drawn_up - bounds.span),
    }


@dataclass(frozen=True, kw_only=True, eq=False)
class GapLine:
    """The gap along the line as built from the cut stud, shape (m,) [in].

    `gap` is expected, `assured` held at every plate node at once with the stated confidence,
    `widest` the greatest it may be by the band, screws drawn up. `least_assured` is the least gap
    that is assured for the line as a whole; `falling_short` the share of draws in which the
    least gap is under the required one.
    """

    gap: FloatArray
    assured: FloatArray
    widest: FloatArray
    least_assured: float
    falling_short: float


def level_gap(clear: ClearHeight, plate: SlabPlate, frame: FrameStack, bounds: Limits) -> GapLine:
    """Gap along a wall of constant stack.

    The least gap of the line is assured from the draws themselves, so no station's assured gap is
    less than it: the band alone would say less at places where the slab is poorly known.
    """
    taken = plate.height + plate.cross_fall + frame.height
    least = assured_least(clear, taken)
    return GapLine(
        gap=clear.mean - taken,
        assured=np.maximum(clear.low - taken, least),
        widest=clear.high - taken + bounds.drawn_up,
        least_assured=least,
        falling_short=falling_short(clear, taken, bounds.required),
    )


def float_ceiling(bare: BareWall, plate: SlabPlate, frame: FrameStack) -> FloatArray:
    """Height the mean slab may not pass if this frame is to keep its gap, shape (m,) [in].

    The assured gap by the band is raised to the required one; infinite where no plate lies.
    """
    taken = plate.height + plate.cross_fall + frame.height
    spare = bare.clear.low - taken - bare.bounds.required
    return np.where(bare.clear.plate, bare.slab.mean + spare, np.inf)
