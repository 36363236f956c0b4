"""How even the slab is along a line: under a straightedge, by DIN 18202, by F-numbers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey.slab.evening import even_cut
from survey.slab.f_numbers import Flatness, f_numbers
from survey.slab.flatness import StraightedgeGap, din_18202_limit, straightedge
from survey.slab.kriging import FloatArray
from survey.slab.roughness import ReadLine
from survey.slab.slab_line import SlabLine
from survey.slab.walked_line import walk


@dataclass(frozen=True, kw_only=True)
class Evenness:
    """What a straightedge finds on the mean profile, beside what is asked and published.

    `tolerance` is what the job asks, `din_limit` what DIN 18202 table 3 row 3 allows over the
    distance between the two contacts [in]. `f_numbers` are of the readings themselves.
    """

    straightedge: StraightedgeGap
    tolerance: float
    din_limit: float
    f_numbers: Flatness

    @property
    def keeps(self) -> bool:
        """Whether the gap is within what the job asks."""
        return self.straightedge.gap <= self.tolerance


def judge_evenness(read: ReadLine, slab: SlabLine, *, span: float, tolerance: float) -> Evenness:
    """Judge a line.

    Parameters
    ----------
    read, slab
        Readings of the line, and its mean profile.
    span, tolerance
        Length of the straightedge and the greatest gap asked for [in].
    """
    found = straightedge(slab.at.station, slab.mean, span)
    order = np.argsort(read.station, kind="stable")
    return Evenness(
        straightedge=found,
        tolerance=tolerance,
        din_limit=din_18202_limit(found.between),
        f_numbers=f_numbers(read.station[order], read.elevation[order]),
    )


def flat_ceiling(slab: SlabLine, evenness: Evenness) -> FloatArray:
    """Height the slab must be ground to for the straightedge, shape (m,) [in]."""
    line = walk(slab.at.station, slab.mean)
    depth = even_cut(
        line.station,
        line.elevation,
        span=evenness.straightedge.span,
        tolerance=evenness.tolerance,
    )
    cut = np.interp(slab.at.station, line.station, depth)
    return np.where(cut > 0.0, slab.mean - cut, np.inf)
