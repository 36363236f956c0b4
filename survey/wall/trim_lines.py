"""Drywall, filler and base along a hung wall: where each stops, and how high each must be."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey.job import WallSettings
from survey.lengths import snap
from survey.slab.kriging import FloatArray
from survey.wall.lines import BareWall
from survey.wall.studs import Hung


@dataclass(frozen=True, kw_only=True, eq=False)
class TrimLines:
    """Drywall, filler and base where there is a bottom plate; arrays by `station`, (n,) [in].

    Attributes
    ----------
    bottom
        Elevation of the drywall's lower edge.
    clear, assured
        From that edge down to what is under it: as expected, and as assured.
    cut_least, cut_greatest
        Height of the drywall from its lower edge to the top plate's upper face.
    under
        What the drywall comes down on: "slab plate", "filler" or "floor".
    filler_most
        Greatest height over the slab of a filler as thick as the drywall that still leaves the
        rise; 0 where none does.
    base_needed, base_height
        Least height of base that hides the gap, laps and allows the drop; the height taken.
    base_drop
        How far the slab may drop before that base laps the drywall by less than is asked for.
    """

    station: FloatArray
    bottom: FloatArray
    clear: FloatArray
    assured: FloatArray
    cut_least: float
    cut_greatest: float
    under: str
    filler_most: float
    base_needed: float
    base_height: float
    base_drop: FloatArray


def trim_lines(bare: BareWall, wall: Hung, settings: WallSettings) -> TrimLines:
    """Lower edge of the drywall, what is under it, filler and base.

    The drywall stops with the bottom plate, or follows the slab plate at the height asked for.
    The base stands on the slab or on its flooring and is fixed to the slab plate, so that it
    rides with the slab; a fall across the wall takes from it on the low side.

    References
    ----------
    Sum of parts: base height = slab plate + seal + gap + lap + drop, less flooring under it.
    """
    trim, travel, plated = settings.trim, settings.travel, bare.clear.plate
    slab, fall = wall.floor.mean[plated], wall.plate.cross_fall
    plate_top = (wall.slab.mean + wall.plate.height)[plated]
    height = plate_top - slab
    if trim.drywall_bottom == "plate":
        bottom = np.full(slab.size, wall.bottom)
        clear, assured = wall.gap.gap[plated], wall.gap.assured[plated]
    else:
        bottom = plate_top + fall + trim.drywall_bottom
        clear = assured = np.full(slab.size, trim.drywall_bottom)
    under, raised = _under(height, settings)
    over_slab = bottom - slab + fall
    needed = float(over_slab.max()) + trim.lap + travel.drop - trim.flooring
    taken = _up(needed, settings.round) if trim.base_height is None else trim.base_height
    room = float((assured + height).min()) - travel.rise
    return TrimLines(
        station=wall.slab.at.station[plated],
        bottom=bottom,
        clear=clear - raised,
        assured=assured - raised,
        cut_least=float((wall.top.elevation - bottom).min()),
        cut_greatest=float((wall.top.elevation - bottom).max()),
        under=under,
        filler_most=max(float(snap(room, settings.round, "down")), 0.0),
        base_needed=needed,
        base_height=taken,
        base_drop=trim.flooring + taken - over_slab - trim.lap,
    )


def _under(height: FloatArray, settings: WallSettings) -> tuple[str, FloatArray]:
    """What the drywall comes down on first, and how far that stands over the slab plate (n,)."""
    trim = settings.trim
    over = {"filler": trim.filler_height or 0.0, "floor": trim.flooring}
    highest = max(over, key=lambda name: over[name])
    raised = np.maximum(over[highest] - height, 0.0)
    return (highest if raised.max(initial=0.0) > 0.0 else "slab plate"), raised


def _up(x: float, step: float) -> float:
    return -snap(-x, step, "down")
