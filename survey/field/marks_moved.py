"""A held mark that does not lie at the elevation given for it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey.field.evidence import Estimate, Evidence, FloatArray, IntArray, estimate
from survey.field.levelling import Surface


@dataclass(frozen=True, kw_only=True)
class MarkShift:
    """A mark held for the datum that lies `amount` above its given elevation, with `sd` [in]."""

    name: str
    amount: float
    sd: float

    @property
    def statistic(self) -> float:
        """Standard normal where the mark lies as given."""
        return self.amount / self.sd


def held_marks(evidence: Evidence) -> IntArray:
    """Spots of the marks held at given elevations, where there are several to compare."""
    heights = evidence.heights
    if heights.datum.kind != "fixed marks" or len(heights.datum.marks) < 2:
        return np.zeros(0, dtype=np.int64)
    held = heights.solution.alone == 0.0
    return np.flatnonzero(held & (heights.spots.surface == Surface.MARK))


def mark_pattern(evidence: Evidence, spot: int) -> FloatArray:
    """A mark higher by one than given, as seen by each sight; shape (n,)."""
    return np.asarray(evidence.heights.observations.spot == spot, dtype=np.float64)


def estimate_mark(evidence: Evidence, spot: int) -> Estimate | None:
    """How far a held mark lies above its given elevation; None where that cannot be told."""
    return estimate(evidence, mark_pattern(evidence, spot))


def describe_mark(evidence: Evidence, spot: int, found: Estimate) -> MarkShift:
    """The mark by name with what was found."""
    name = evidence.heights.book.names[evidence.heights.spots.name[spot]].name
    return MarkShift(name=name, amount=found.amount, sd=found.sd)
