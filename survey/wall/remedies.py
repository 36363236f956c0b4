"""What would make a wall that cannot be built as asked possible, and what each way buys."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, isfinite
from typing import Literal

import numpy as np

from survey.job import WallSettings
from survey.lengths import snap
from survey.slab.evenness import Evenness, flat_ceiling
from survey.slab.grinding import GrindSpot, grind_to
from survey.wall.choices import Framing, frame_choices
from survey.wall.clear_height import ground
from survey.wall.lines import BareWall, FrameStack, float_ceiling

RemedyKind = Literal["grind", "spike", "widest"]


@dataclass(frozen=True, kw_only=True)
class Remedy:
    """One way out [in].

    `amount` is the deepest cut, the spike length or the widest gap to ask for; `stud` the length
    then, with the gap that follows; `passes` whether this way alone is enough.
    """

    kind: RemedyKind
    at: float
    amount: float
    stud: float
    gap_least: float
    gap_greatest: float
    passes: bool


def grind_for_float(
    bare: BareWall, framing: Framing, settings: WallSettings
) -> tuple[GrindSpot, ...]:
    """Spots to grind so that the shortest stud which keeps the greatest gap keeps the least.

    Empty when the wall passes as it is, when no stud at all keeps the greatest gap, and where
    tendons forbid it.
    """
    frame = _shortest_frame(framing, settings.round)
    if framing.fit.passes or frame is None or not _grindable(bare, settings):
        return ()
    ceiling = float_ceiling(bare, framing.plate, frame)
    return grind_to(
        bare.slab.at.station,
        bare.slab.mean,
        ceiling,
        width=settings.slab_board.width,
        reason="float",
        buys="one stud length along the wall",
    )


def grind_for_flat(
    bare: BareWall, evenness: Evenness, settings: WallSettings
) -> tuple[GrindSpot, ...]:
    """Spots to grind so that a straightedge finds no more than the tolerance the job asks for."""
    if evenness.keeps or not settings.flat_asked or not _grindable(bare, settings):
        return ()
    return grind_to(
        bare.slab.at.station,
        bare.slab.mean,
        flat_ceiling(bare.slab, evenness),
        width=settings.slab_board.width,
        reason="flat",
        buys="the straightedge's tolerance",
    )


def remedies(
    bare: BareWall,
    framing: Framing,
    spots: tuple[GrindSpot, ...],
    settings: WallSettings,
) -> tuple[Remedy, ...]:
    """Ways out for a wall that fails, each worked through; empty when it passes."""
    if framing.fit.passes or framing.fit.length <= 0:
        return ()
    found: list[Remedy] = []
    clear, bounds = bare.clear, bare.bounds
    high = float(framing.gap.widest[clear.plate].max())
    mean = framing.choice.gap_greatest
    both = high > bounds.span and mean > bounds.widest
    at = float(clear.station[clear.plate][np.argmax(framing.gap.widest[clear.plate])])
    kept = Remedy(
        kind="spike",
        at=at,
        amount=0.0,
        stud=framing.frame.stud,
        gap_least=framing.choice.gap_least,
        gap_greatest=mean,
        passes=not both,
    )
    if high > bounds.span:
        longer = high + settings.stud.thickness + settings.spikes.grip + settings.travel.drop
        found.append(replace(kept, amount=float(ceil(longer - 1e-6))))
    if mean > bounds.widest:
        wider = -float(snap(-mean, settings.round, "down"))
        found.append(replace(kept, kind="widest", amount=wider))
    if spots:
        found.append(_grind_remedy(bare, spots, settings))
    return tuple(found)


def _grindable(bare: BareWall, settings: WallSettings) -> bool:
    """Whether it is the slab that was read, and no tendons forbid to grind it."""
    return bare.line.bare_slab and settings.slab.post_tension != "yes"


def _shortest_frame(framing: Framing, step: float) -> FrameStack | None:
    """The frame with the shortest stud on the ladder that keeps the greatest gap, if any."""
    if not isfinite(framing.fit.shortest) or framing.fit.shortest <= 0:
        return None
    return replace(framing.frame, stud=-float(snap(-framing.fit.shortest, step, "down")))


def _grind_remedy(
    bare: BareWall,
    spots: tuple[GrindSpot, ...],
    settings: WallSettings,
) -> Remedy:
    """Plan the wall again on the ground slab."""
    deepest = max(spots, key=lambda spot: spot.deepest)
    clear = bare.clear
    depth = np.zeros(clear.station.size)
    for spot in spots:
        depth += np.interp(clear.station, spot.station, spot.depth, left=0.0, right=0.0)
    slab = replace(bare.slab, mean=bare.slab.mean - depth)
    done = replace(bare, clear=ground(clear, depth), slab=slab, bed=slab, floor=slab)
    after = frame_choices(done, settings)[0]
    return Remedy(
        kind="grind",
        at=deepest.at,
        amount=deepest.deepest,
        stud=after.frame.stud,
        gap_least=after.choice.gap_least,
        gap_greatest=after.choice.gap_greatest,
        passes=after.fit.passes,
    )
