"""Ways to frame a wall, side by side, and the one that is chosen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from survey.job import WallSettings
from survey.wall.fixed_plate import fixed_plate
from survey.wall.lines import BareWall, FrameStack, GapLine, StudFit, level_gap, level_stud
from survey.wall.plate import SlabPlate, lay_plate


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One way to frame the wall, with what speaks for it and against it [in].

    `fails` lists each limit it misses, in words; empty when it passes.
    """

    top: str
    bottom: str
    slab_plates: int
    top_plates: int
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
    fails: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, eq=False)
class Framing:
    """A way to frame the wall, worked out: plate, frame, stud and gap."""

    plate: SlabPlate
    frame: FrameStack
    fit: StudFit
    gap: GapLine
    choice: Choice


def frame_choices(bare: BareWall, settings: WallSettings) -> tuple[Framing, ...]:
    """Every framing of a level wall, the chosen one first.

    Plate counts set to "auto" are tried both ways; the order of choice is: passes, an uncut
    precut, fewest packed joists, narrowest greatest gap, fewest plates.
    """
    counts = _plate_counts(settings)
    plates = {boards: _lay(bare, settings, boards) for boards in {slab for slab, _ in counts}}
    made = [_frame(bare, settings, plates[slab], top) for slab, top in counts]
    ranked = sorted(made, key=_rank)
    why = _why(ranked)
    first = replace(ranked[0], choice=replace(ranked[0].choice, chosen=True, why=why))
    return (first, *ranked[1:])


def _plate_counts(settings: WallSettings) -> list[tuple[int, int]]:
    """Pairs (slab plates, top plates) to try."""
    slab = (1, 2) if settings.plate.count == "auto" else (settings.plate.count,)
    top = (1, 2) if settings.frame.top_plates == "auto" else (settings.frame.top_plates,)
    return [(s, t) for s in slab for t in top]


def _lay(bare: BareWall, settings: WallSettings, boards: int) -> SlabPlate:
    if bare.line.surface == "plate":
        return fixed_plate(settings, bare.slab.at.station.size)
    breaks = sorted({*bare.line.joints, *bare.line.cracks})
    return lay_plate(bare.bed, bare.layout.plates, breaks, settings, count=boards)


def _frame(bare: BareWall, settings: WallSettings, plate: SlabPlate, top_plates: int) -> Framing:
    clear, bounds = bare.clear, bare.bounds
    empty = FrameStack(top_plates=top_plates, plate_thickness=settings.stud.thickness, stud=0.0)
    fit = level_stud(
        clear, plate, empty, bounds, step=settings.round, precuts=settings.frame.precut
    )
    frame = replace(empty, stud=fit.length)
    gap = level_gap(clear, plate, frame, bounds)
    on_plate = clear.plate
    choice = Choice(
        top=bare.top.line,
        bottom="one length" if bare.top.line == "tight" else "level",
        slab_plates=plate.count,
        top_plates=top_plates,
        passes=fit.passes,
        lengths=1,
        steps=0,
        packed=len(bare.top.packing),
        gap_least=float(gap.gap[on_plate].min()),
        gap_greatest=float(gap.gap[on_plate].max()),
        shim_free=bare.top.shim_free,
        precut=fit.precut,
        chosen=False,
        why="",
        fails=_fails(fit),
    )
    return Framing(plate=plate, frame=frame, fit=fit, gap=gap, choice=choice)


def _fails(fit: StudFit) -> tuple[str, ...]:
    if fit.passes:
        return ()
    if fit.length <= 0:
        return ("no room for a stud",)
    limit = {"widest": "widest gap", "spike": "longest spike"}.get(fit.bound, fit.bound)
    return (f"least gap and {limit} cannot both hold",)


def _rank(framing: Framing) -> tuple[bool, bool, int, float, int]:
    choice = framing.choice
    return (
        not choice.passes,
        not choice.precut,
        choice.packed,
        choice.gap_greatest,
        choice.slab_plates + choice.top_plates,
    )


def _why(ranked: Sequence[Framing]) -> str:
    first = ranked[0].choice
    if not first.passes:
        return "none passes; this one misses by least"
    if first.precut:
        return "an uncut precut stud passes"
    return "the longest stud that keeps the least gap: the narrowest greatest gap"
