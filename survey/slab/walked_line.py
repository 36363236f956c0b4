"""A line of elevations as it can be worked with: ascending, finite, one elevation a station."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from survey.errors import SurveyError
from survey.slab.kriging import FloatArray

SAME_STATION = 0.001
FARTHEST = 1e6


@dataclass(frozen=True, kw_only=True, eq=False)
class WalkedLine:
    """Stations, strictly ascending, and the elevation at each; shape (n,) [in], read-only."""

    station: FloatArray
    elevation: FloatArray


def walk(stations: npt.ArrayLike, elevations: npt.ArrayLike) -> WalkedLine:
    """Check a line; where stations coincide, as the two lips of a joint do, the higher counts.

    Parameters
    ----------
    stations, elevations
        Shape (n,) [in], n >= 1; stations ascending. Those within 0.001 are one.

    Raises
    ------
    SurveyError
        If the two differ in length, are empty, not finite, beyond 1,000,000, or not ascending.

    >>> walk([0.0, 12.0, 12.0, 24.0], [0.0, 0.1, 0.3, 0.0]).elevation.tolist()
    [0.0, 0.3, 0.0]
    """
    station = np.asarray(stations, dtype=float)
    elevation = np.asarray(elevations, dtype=float)
    check_walk(station, elevation)
    starts = np.concatenate([[True], np.diff(np.round(station / SAME_STATION)) > 0.0])
    first = np.flatnonzero(starts)
    walked = station[first]
    higher = np.maximum.reduceat(elevation, first)
    for array in (walked, higher):
        array.flags.writeable = False
    return WalkedLine(station=walked, elevation=higher)


def check_walk(station: FloatArray, elevation: FloatArray) -> None:
    """Refuse a line that cannot be walked; every reason is named."""
    if station.ndim != 1 or station.shape != elevation.shape or station.size == 0:
        raise SurveyError(
            f"a line needs one elevation a station: got {station.size} stations and "
            f"{elevation.size} elevations"
        )
    reasons = [
        f"{what} at place {int(np.argmax(bad)) + 1} is {values[np.argmax(bad)]:g}: {wanted}"
        for what, values, bad, wanted in (
            ("station", station, ~(np.abs(station) <= FARTHEST), "not a length"),
            ("elevation", elevation, ~(np.abs(elevation) <= FARTHEST), "not a length"),
            (
                "station",
                station,
                np.diff(station, prepend=station[:1]) < 0.0,
                "less than the one before; sort the line by station",
            ),
        )
        if bad.any()
    ]
    if reasons:
        raise SurveyError("; ".join(reasons))
