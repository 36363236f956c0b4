"""The least cut that makes a line flat under a straightedge."""

from __future__ import annotations

import numpy as np

from survey.errors import SurveyError
from survey.slab.kriging import FloatArray, IntArray

CLOSE_ENOUGH = 1e-7
MOST_ROUNDS = 200


def even_cut(
    station: FloatArray, elevation: FloatArray, *, span: float, tolerance: float
) -> FloatArray:
    """Depths to grind so that no bar of that span stands more than the tolerance over the line.

    The least sum of depths with `depth >= 0` and, for any two stations a bar can rest on and any
    one between, the chord of the ground line no more than the tolerance above it: a linear
    program, whose constraints are added where they are found broken.

    Parameters
    ----------
    station, elevation
        The line, shape (n,) [in], stations strictly ascending.
    span, tolerance
        Length of the bar and greatest gap under it [in].

    Returns
    -------
    FloatArray
        Depth at each station, shape (n,) [in]; zeros where the line is flat enough.

    Raises
    ------
    SurveyError
        If the program is not solved (not seen in tests).

    References
    ----------
    The straightedge of DIN 18202 and BS 8204-1 annex C; row generation is textbook linear
    programming.
    """
    depth = np.zeros(station.size)
    rows: list[FloatArray] = []
    limits: list[float] = []
    for _ in range(MOST_ROUNDS):
        broken = _broken(station, elevation - depth, span, tolerance)
        if broken.shape[0] == 0:
            return depth
        for left, middle, right in broken:
            row, limit = _row(station, elevation, (left, middle, right), tolerance)
            rows.append(row)
            limits.append(limit)
        depth = _least(np.array(rows), np.array(limits))
    raise SurveyError("no least cut for flatness was found; read the line again for a wild reading")


def _broken(station: FloatArray, line: FloatArray, span: float, tolerance: float) -> IntArray:
    """Triples (left, middle, right) over which a bar stands too high; the worst one a middle."""
    found = []
    for middle in range(1, station.size - 1):
        left = np.flatnonzero(station[:middle] >= station[middle] - span)
        right = middle + 1 + np.flatnonzero(station[middle + 1 :] <= station[middle] + span)
        if left.size == 0 or right.size == 0:
            continue
        width = station[right][None, :] - station[left][:, None]
        share = (station[right][None, :] - station[middle]) / width
        chord = share * line[left][:, None] + (1.0 - share) * line[right][None, :]
        gap = np.where(width <= span + CLOSE_ENOUGH, chord - line[middle], -np.inf)
        worst = np.unravel_index(int(np.argmax(gap)), gap.shape)
        if gap[worst] > tolerance + CLOSE_ENOUGH:
            found.append((left[worst[0]], middle, right[worst[1]]))
    return np.array(found, dtype=np.int64).reshape(-1, 3)


def _row(
    station: FloatArray, elevation: FloatArray, triple: tuple[int, int, int], tolerance: float
) -> tuple[FloatArray, float]:
    """The constraint of one triple as `row @ depth <= limit`."""
    left, middle, right = triple
    share = (station[right] - station[middle]) / (station[right] - station[left])
    row = np.zeros(station.size)
    row[left], row[middle], row[right] = -share, 1.0, share - 1.0
    return row, float(tolerance + row @ elevation)


def _least(rows: FloatArray, limits: FloatArray) -> FloatArray:
    from scipy.optimize import linprog

    solved = linprog(np.ones(rows.shape[1]), A_ub=rows, b_ub=limits, method="highs")
    if solved.x is None:
        raise SurveyError(f"the least cut for flatness was not found: {solved.message}")
    return np.asarray(solved.x, dtype=np.float64)
