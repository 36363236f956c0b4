"""The finished plan of one wall: its records, and how they are put together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey.errors import Note
from survey.job import WallSettings
from survey.slab.evenness import Evenness, judge_evenness
from survey.slab.extremes import Extreme, extremes, fall
from survey.slab.grinding import GrindSpot
from survey.slab.kriging import FloatArray
from survey.slab.line_profile import Under
from survey.slab.slab_line import SlabLine
from survey.wall.choices import Choice, Framing
from survey.wall.clearance import Clearance
from survey.wall.doorways import Doorway
from survey.wall.doubts import doubts
from survey.wall.fit_out import fit_out
from survey.wall.joists import JoistLine
from survey.wall.layout import Layout
from survey.wall.lines import BareWall, FrameStack, GapLine, Limits, TopLine
from survey.wall.plate import SlabPlate
from survey.wall.remedies import Remedy, grind_for_flat, grind_for_float, remedies
from survey.wall.spikes import Spike
from survey.wall.standing import WallSection
from survey.wall.studs import (
    Bay,
    Hung,
    Stud,
    TapeSpot,
    cut_studs,
    list_bays,
    tape_first,
)
from survey.wall.taped import TAPE_DIFFERS
from survey.wall.trim_lines import TrimLines
from survey.wall.weights import HungWeight, hung_weight

LEAST_PROMINENCE = 0.125


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """Whether the wall can be built as asked.

    `probability` is that of the least gap falling short of rise + allowance; `short_by` [in] by
    how much least and greatest gap miss each other, at the stations `at`; `why` says it in words.
    """

    passes: bool
    probability: float
    short_by: float
    at: tuple[float, ...]
    why: str
    remedies: tuple[Remedy, ...]


@dataclass(frozen=True, kw_only=True)
class Gap:
    """The gap over the wall's plates [in]: required, expected, assured, and where."""

    required: float
    least: float
    least_at: float
    assured_least: float
    greatest: float
    greatest_at: float
    assured_greatest: float


@dataclass(frozen=True, kw_only=True, eq=False)
class WallPlan:
    """Everything about one wall that is planned; arrays are on `slab.at.station`, (m,) [in].

    `planning` is the slab's planning surface, mean top line less the assured clear height; `k`
    the factor of its band. An infeasible wall is a plan whose verdict says so. `surface` is what
    `slab` is the top of; `tape_only` says that heights are measured from a top plate drawn tight
    to the joists, since nothing was levelled.
    """

    settings: WallSettings
    surface: Under
    tape_only: bool
    length: float
    layout: Layout
    slab: SlabLine
    planning: FloatArray
    k: float
    extremes: tuple[Extreme, ...]
    fall: float
    joints: tuple[float, ...]
    evenness: Evenness
    joists: JoistLine
    top: TopLine
    plate: SlabPlate
    frame: FrameStack
    gap_line: GapLine
    gap: Gap
    limits: Limits
    verdict: Verdict
    studs: tuple[Stud, ...]
    bays: tuple[Bay, ...]
    tape_first: tuple[TapeSpot, ...]
    grind: tuple[GrindSpot, ...]
    hung_weight: HungWeight
    spikes: tuple[Spike, ...]
    trim: TrimLines
    doors: tuple[Doorway, ...]
    clearances: tuple[Clearance, ...]
    sections: tuple[WallSection, ...]
    choices: tuple[Choice, ...]
    precut: bool
    notes: tuple[Note, ...]

    @property
    def name(self) -> str:
        """Name of the wall."""
        return self.settings.line.name

    @property
    def held(self) -> bool:
        """Whether a tape says otherwise than the readings, so that nothing is to be cut yet."""
        return any(note.code == TAPE_DIFFERS for note in self.notes)

    @property
    def bottom(self) -> float:
        """Underside of the bottom plate [in]."""
        return self.top.elevation - self.frame.height


def finish(bare: BareWall, framings: tuple[Framing, ...], settings: WallSettings) -> WallPlan:
    """Cut, list and judge the chosen framing, which stands first.

    Parameters
    ----------
    bare
        The wall before framing.
    framings
        Every way tried, the chosen one first.
    settings
        The wall's settings.
    """
    chosen = framings[0]
    wall = Hung(
        slab=bare.slab,
        floor=bare.floor,
        joists=bare.joists,
        top=bare.top,
        frame=chosen.frame,
        plate=chosen.plate,
        gap=chosen.gap,
    )
    studs = cut_studs(bare.layout, wall, settings)
    spots = grind_for_float(bare, chosen, settings)
    evenness = judge_evenness(
        bare.line.slab,
        bare.slab,
        span=settings.slab.straightedge,
        tolerance=settings.slab.tolerance,
    )
    gap = _gap(bare, chosen)
    fitted = fit_out(bare, wall, studs, settings)
    return WallPlan(
        settings=settings,
        surface=bare.line.surface,
        tape_only=bare.line.tape_only,
        length=bare.line.length,
        layout=bare.layout,
        slab=bare.slab,
        planning=bare.top.elevation - bare.clear.low,
        k=bare.clear.k,
        extremes=extremes(bare.slab.at.station, bare.slab.mean, least=LEAST_PROMINENCE),
        fall=fall(bare.slab.at.station, bare.slab.mean),
        joints=bare.line.joints,
        evenness=evenness,
        joists=bare.joists,
        top=bare.top,
        plate=chosen.plate,
        frame=chosen.frame,
        gap_line=chosen.gap,
        gap=gap,
        limits=bare.bounds,
        verdict=_verdict(chosen, gap, remedies(bare, chosen, spots, settings)),
        studs=studs,
        bays=list_bays(bare.layout, studs, wall),
        tape_first=tape_first(bare.line, bare.layout, wall, settings),
        grind=(*spots, *grind_for_flat(bare, evenness, settings)),
        hung_weight=_weight(bare, chosen, studs, settings),
        spikes=fitted.spikes,
        trim=fitted.trim,
        doors=fitted.doors,
        clearances=fitted.clearances,
        sections=fitted.sections,
        choices=tuple(framing.choice for framing in framings),
        precut=chosen.fit.precut,
        notes=(*bare.line.notes, *bare.joists.notes, *doubts(bare, wall, settings), *fitted.notes),
    )


def _gap(bare: BareWall, chosen: Framing) -> Gap:
    on_plate = np.flatnonzero(bare.clear.plate)
    gap, station = chosen.gap.gap[on_plate], bare.slab.at.station[on_plate]
    least, greatest = int(np.argmin(gap)), int(np.argmax(gap))
    return Gap(
        required=bare.bounds.required,
        least=float(gap[least]),
        least_at=float(station[least]),
        assured_least=chosen.gap.least_assured,
        greatest=float(gap[greatest]),
        greatest_at=float(station[greatest]),
        assured_greatest=float(chosen.gap.widest[on_plate].max()),
    )


def _verdict(chosen: Framing, gap: Gap, ways: tuple[Remedy, ...]) -> Verdict:
    at = () if chosen.fit.passes else (gap.least_at, gap.greatest_at)
    return Verdict(
        passes=chosen.fit.passes,
        probability=chosen.gap.falling_short,
        short_by=chosen.fit.short_by,
        at=at,
        why="; ".join(chosen.choice.fails) or chosen.choice.why,
        remedies=ways,
    )


def _weight(
    bare: BareWall, chosen: Framing, studs: tuple[Stud, ...], settings: WallSettings
) -> HungWeight:
    return hung_weight(
        [stud.length for stud in studs],
        length=bare.line.length,
        frame_height=chosen.frame.height,
        plates=chosen.frame.top_plates + 1,
        section=settings.stud,
        drywall=settings.trim.drywall,
        joist_spacing=bare.joists.spacing,
    )
