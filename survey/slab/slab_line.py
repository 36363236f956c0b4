"""The slab along one line on a grid: stations, piece by piece, with mean and sd."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from survey.slab.kriging import FloatArray, IntArray
from survey.slab.line_profile import LineProfile
from survey.slab.roughness import FloorModel, predict

GRID_STEP = 2.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Stations:
    """Stations along a line with the piece of slab each lies on; a joint stands twice."""

    station: FloatArray
    piece: IntArray


@dataclass(frozen=True, kw_only=True, eq=False)
class SlabLine:
    """The slab along a line on a grid: mean and sd of its elevation, shape (m,) [in]."""

    at: Stations
    mean: FloatArray
    sd: FloatArray

    def height(self, station: FloatArray | float) -> FloatArray:
        """Mean elevation at a station; at a joint that of the higher lip [in]."""
        left, right = (
            np.interp(np.asarray(station) + nudge, self.at.station, self.mean)
            for nudge in (-1e-9, 1e-9)
        )
        return np.maximum(left, right)


def predict_slab(line: LineProfile, model: FloorModel, at: Stations) -> SlabLine:
    """Mean and sd of the slab at the stations asked for."""
    found = predict(line.slab, model, at.station, at.piece)
    return SlabLine(at=at, mean=found.mean, sd=found.sd)


def stations_along(
    line: LineProfile, extra: Sequence[float] = (), *, step: float = GRID_STEP
) -> Stations:
    """Stations at most `step` apart over the whole line, with `extra` ones and every reading's.

    Each joint stands twice, once on each piece; nothing else stands twice.
    """
    edges = [0.0, *line.joints, line.length]
    read = line.slab.station.tolist() + line.joist_station.tolist()
    wanted = np.array([*extra, *read])
    stations, pieces = [], []
    for i, (a, b) in enumerate(pairwise(edges)):
        regular = np.linspace(a, b, max(int(np.ceil((b - a) / step)), 1) + 1)
        inside = wanted[(wanted > a) & (wanted < b)]
        merged = np.unique(np.round(np.concatenate([regular, inside]), 9))
        stations.append(merged)
        pieces.append(np.full(merged.size, i))
    return Stations(station=np.concatenate(stations), piece=np.concatenate(pieces))
