"""Highs and lows of a profile, with how far each stands out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from survey.slab.kriging import FloatArray


@dataclass(frozen=True, kw_only=True)
class Extreme:
    """A high or low of the profile; `prominence` is the least climb or drop to leave it [in]."""

    kind: Literal["high", "low"]
    station: float
    elevation: float
    prominence: float


def extremes(station: FloatArray, elevation: FloatArray, *, least: float) -> tuple[Extreme, ...]:
    """Highs and lows whose prominence is at least `least`, by station.

    The highest and lowest of the line are always among them, with the whole range as prominence.

    Parameters
    ----------
    station, elevation
        Profile, shape (m,) [in].
    least
        Least prominence kept [in].

    References
    ----------
    Topographic prominence: height over the higher of the two lowest points crossed on the way to
    higher ground or to the line's end on either side; a high at an end has one side only.

    >>> line = np.array([0.0, 1.0, 2.0, 3.0, 4.0])
    >>> [e.kind for e in extremes(line, np.array([0.0, 0.5, 0.2, 0.9, 0.0]), least=0.25)]
    ['low', 'high', 'low', 'high', 'low']
    """
    highs = _prominent(station, elevation, "high", least)
    lows = _prominent(station, -elevation, "low", least)
    return tuple(sorted([*highs, *lows], key=lambda e: e.station))


def fall(station: FloatArray, elevation: FloatArray) -> float:
    """Least-squares fall along the line, positive when it rises [in per in]."""
    lever = station - station.mean()
    spread = float(lever @ lever)
    return float(lever @ elevation / spread) if spread > 0 else 0.0


def _prominent(
    station: FloatArray, height: FloatArray, kind: Literal["high", "low"], least: float
) -> list[Extreme]:
    found = []
    top = int(np.argmax(height))
    sign = 1.0 if kind == "high" else -1.0
    for i in _local_tops(height):
        prominence = float(np.ptp(height)) if i == top else _prominence(height, i)
        if prominence >= least or i == top:
            found.append(
                Extreme(
                    kind=kind,
                    station=float(station[i]),
                    elevation=sign * float(height[i]),
                    prominence=prominence,
                )
            )
    return found


def _local_tops(height: FloatArray) -> list[int]:
    """First index of every level run not exceeded by its neighbours, ends included."""
    change = np.flatnonzero(np.diff(height) != 0.0) + 1
    starts = np.concatenate([[0], change])
    level = height[starts]
    before = np.concatenate([[-np.inf], level[:-1]])
    after = np.concatenate([level[1:], [-np.inf]])
    return [int(i) for i in starts[(level > before) & (level > after)]]


def _prominence(height: FloatArray, i: int) -> float:
    """Height over the higher of the lowest points to be crossed on either side."""
    bases = [
        float(_until_higher(side, height[i]).min())
        for side in (height[:i][::-1], height[i + 1 :])
        if side.size
    ]
    return float(height[i]) - max(bases, default=float(height[i]))


def _until_higher(outward: FloatArray, level: float) -> FloatArray:
    """The heights met going outward before something higher than `level`; all if nothing is."""
    higher = np.flatnonzero(outward > level)
    return outward[: max(int(higher[0]), 1)] if higher.size else outward
