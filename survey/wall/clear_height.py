"""Clear height from slab to top plate along a line: mean, sd, and the band that holds at once."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from survey.slab.kriging import FloatArray


@dataclass(frozen=True, kw_only=True, eq=False)
class ClearHeight:
    """Clear height C = top line - slab on the grid, with its draws.

    Attributes
    ----------
    station, mean, sd
        Grid over the whole line, shape (m,) [in].
    plate
        Whether there is a bottom plate at the node, shape (m,): only there must a gap be kept.
    k
        The smallest number with C >= mean - k sd at all plate nodes at once in `confidence` of
        the draws.
    confidence
        Share of draws for which every promise of this line holds.
    draws
        C in each draw, shape (draws, m) [in].
    """

    station: FloatArray
    mean: FloatArray
    sd: FloatArray
    plate: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]
    k: float
    confidence: float
    draws: FloatArray

    @property
    def low(self) -> FloatArray:
        """Assured clear height, mean - k sd [in]."""
        return np.asarray(self.mean - self.k * self.sd)

    @property
    def high(self) -> FloatArray:
        """The clear height that is surely not passed, mean + k sd [in]."""
        return np.asarray(self.mean + self.k * self.sd)


def clear_height(
    station: FloatArray,
    *,
    top: FloatArray,
    slab: FloatArray,
    plates: tuple[tuple[float, float], ...],
    confidence: float,
) -> ClearHeight:
    """Clear height from draws of the built top line and of the slab.

    Parameters
    ----------
    station
        Grid along the line, shape (m,) [in].
    top
        Draws of the built top line, shape (draws, 1) for a level one or (draws, m) [in].
    slab
        Draws of the slab, shape (draws, m) [in].
    plates
        Stretches (from, to) along which there is a bottom plate [in].
    confidence
        Share of draws in which the band must hold at all plate nodes at once.
    """
    draws = top - slab
    mean, sd = draws.mean(axis=0), np.maximum(draws.std(axis=0, ddof=1), 1e-9)
    on_plate = np.zeros(station.size, dtype=np.bool_)
    for start, end in plates:
        on_plate |= (station >= start - 1e-9) & (station <= end + 1e-9)
    shortfall = ((mean - draws) / sd)[:, on_plate].max(axis=1)
    return ClearHeight(
        station=station,
        mean=mean,
        sd=sd,
        plate=on_plate,
        k=max(float(np.quantile(shortfall, confidence, method="inverted_cdf")), 0.0),
        confidence=confidence,
        draws=draws,
    )


def ground(clear: ClearHeight, depth: FloatArray) -> ClearHeight:
    """The clear height once the slab is ground by `depth`, shape (m,) [in]."""
    return replace(clear, mean=clear.mean + depth, draws=clear.draws + depth)


def assured_least(clear: ClearHeight, taken: FloatArray) -> float:
    """What is left of the clear height after `taken` at the worst place, in `confidence` of draws.

    `taken` has shape (m,) [in]. The quantile is of the least over the plate, draw by draw.
    """
    least = (clear.draws - taken)[:, clear.plate].min(axis=1)
    return -float(np.quantile(-least, clear.confidence, method="inverted_cdf"))


def falling_short(clear: ClearHeight, taken: FloatArray, required: float) -> float:
    """Share of draws in which less than `required` [in] is left somewhere over the plate."""
    least = (clear.draws - taken)[:, clear.plate].min(axis=1)
    return float(np.mean(least < required - 1e-9))
