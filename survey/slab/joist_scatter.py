"""Each joist of a line against its other joists."""

from __future__ import annotations

import numpy as np

from survey.slab.leave_one_out import Deleted
from survey.slab.line_profile import LineProfile

LEAST_JOISTS = 4
MAD_TO_SD = 1.482602  # of the normal distribution


def joist_residuals(line: LineProfile, scatter: float) -> Deleted:
    """Each joist against a straight line through the others that a few bad ones do not bend.

    The slope is the median of those between all pairs, the level the median of what is left. The
    sd is the larger of the robust one (1.4826 times the median absolute deviation) and that which
    the expected `scatter` [in] and the reading's own sd give. Fewer than four joists, or joists
    nobody read: not tested.

    References
    ----------
    Sen, P. K., "Estimates of the regression coefficient based on Kendall's tau", *Journal of the
    American Statistical Association* 63 (1968), from memory: the slope. Hampel, F. R., "The
    influence curve and its role in robust estimation", same journal 69 (1974), from memory: the
    median absolute deviation.
    """
    station, elevation = line.joist_station, line.joist_elevation
    if line.tape_only or station.size < LEAST_JOISTS:
        none = np.full(station.size, np.nan)
        return Deleted(difference=none, sd=none, standardized=none)
    first, second = np.triu_indices(station.size, k=1)
    slope = np.median((elevation[second] - elevation[first]) / (station[second] - station[first]))
    rest = elevation - slope * station
    rest = rest - np.median(rest)
    count = line.slab.station.size
    own = np.diag(line.covariance)[count:] - float(np.min(line.covariance[count:, count:]))
    robust = MAD_TO_SD * float(np.median(np.abs(rest)))
    sd = np.maximum(robust, np.sqrt(scatter**2 + np.maximum(own, 0.0)))
    return Deleted(difference=rest, sd=sd, standardized=rest / sd)
