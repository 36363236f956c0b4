"""Where to grind so that the slab stays under a ceiling, and how much dust that makes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from survey.slab.kriging import FloatArray

GrindReason = Literal["float", "rock", "flat"]


@dataclass(frozen=True, kw_only=True, eq=False)
class GrindSpot:
    """One spot to grind: a profile of depths, deepest at `at`.

    `station` and `depth` have shape (m,) [in]; `area` [in2] and `volume` [in3] are those of a
    strip of the given width; `buys` says what the cut cures.
    """

    start: float
    end: float
    at: float
    station: FloatArray
    depth: FloatArray
    area: float
    volume: float
    reason: GrindReason
    buys: str

    @property
    def deepest(self) -> float:
        """Greatest depth of the cut [in]."""
        return float(self.depth.max())


def grind_to(
    station: FloatArray,
    surface: FloatArray,
    ceiling: FloatArray,
    *,
    width: float,
    reason: GrindReason,
    buys: str,
) -> tuple[GrindSpot, ...]:
    """Spots at which the surface stands over the ceiling, each with the least cut that clears it.

    Parameters
    ----------
    station, surface, ceiling
        Profile and the height it must not pass, shape (m,) [in]; a ceiling of +inf asks nothing.
    width
        Width of the strip ground [in].
    reason, buys
        Why, and what the cut cures.
    """
    depth = np.maximum(surface - ceiling, 0.0)
    cut = np.concatenate([[False], depth > 0.0, [False]])
    edges = np.flatnonzero(np.diff(cut.astype(int)))
    return tuple(
        _spot(station[a:b], depth[a:b], _feather(station, a, b), width, reason, buys)
        for a, b in zip(edges[::2], edges[1::2], strict=True)
    )


def _feather(station: FloatArray, a: int, b: int) -> tuple[float, float]:
    """Where the cut runs out: at the node before and the node after it."""
    return float(station[max(a - 1, 0)]), float(station[min(b, station.size - 1)])


def _spot(
    station: FloatArray,
    depth: FloatArray,
    reach: tuple[float, float],
    width: float,
    reason: GrindReason,
    buys: str,
) -> GrindSpot:
    along = np.concatenate([[reach[0]], station, [reach[1]]])
    profile = np.concatenate([[0.0], depth, [0.0]])
    return GrindSpot(
        start=reach[0],
        end=reach[1],
        at=float(station[np.argmax(depth)]),
        station=station,
        depth=depth,
        area=(reach[1] - reach[0]) * width,
        volume=float(np.trapezoid(profile, along)) * width,
        reason=reason,
        buys=buys,
    )
