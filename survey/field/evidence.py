"""What the misfits of one adjustment say about errors that may lie in the readings.

An error is a pattern: a number a sight, how much of the error that sight took. With y the
elevation differences read, W their weights and N = W Q W, Q the covariance of the misfits, the
pattern c fits best with the amount c'Ny / c'Nc, of variance 1 / c'Nc, and amount / sd is standard
normal where there is no such error. Nothing is adjusted again: Ny and the products with N come
from the one adjustment, and an error allowed for takes one product of rank one off N.

References
----------
Baarda, W., *A testing procedure for use in geodetic networks* (1968), from memory: the test of one
alternative hypothesis. Harville, D. A., *Matrix Algebra from a Statistician's Perspective* (1997),
from memory: the update of rank one.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from survey.field.levelling import LEAST_REDUNDANCY, Adjustment

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True, eq=False)
class Evidence:
    """The score of every sight once some errors are allowed for; arrays (n,), read-only.

    `weight` [1/in2] is that of the sight and `few` numbers its set-up among those with readings.
    `score` is Ny [1/in] and `information` the diagonal of N [1/in2], each with the errors allowed
    for taken off; `allowed` (n, e) holds one column for each of these e errors.
    """

    heights: Adjustment
    weight: FloatArray
    few: IntArray
    score: FloatArray
    information: FloatArray
    allowed: FloatArray

    def __post_init__(self) -> None:
        for field in dataclasses.fields(self):
            value = getattr(self, field.name)
            if isinstance(value, np.ndarray):
                value.setflags(write=False)

    @property
    def testable(self) -> BoolArray:
        """Sights that the others check once the errors are allowed for; shape (n,)."""
        return np.asarray(self.information >= LEAST_REDUNDANCY * self.weight)


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """Amount of an error of one pattern, its sd [in], and statistic = amount / sd."""

    amount: float
    sd: float

    @property
    def statistic(self) -> float:
        """Standard normal where there is no such error."""
        return self.amount / self.sd


def weigh(heights: Adjustment) -> Evidence:
    """The evidence of an adjustment with no error allowed for.

    >>> from survey.example import example_folder
    >>> from survey import adjust, read_job, read_readings
    >>> job = read_job(example_folder())
    >>> found = weigh(adjust(read_readings(job), job.laser))
    >>> int(found.testable.sum()) < found.testable.size
    True
    """
    observed = heights.observations
    weight = observed.sd**-2.0
    _, few = np.unique(observed.setup, return_inverse=True)
    return Evidence(
        heights=heights,
        weight=weight,
        few=np.asarray(few, dtype=np.int64),
        score=-weight * heights.solution.misfit,
        information=weight * observed.redundancy,
        allowed=np.zeros((weight.size, 0)),
    )


def seen(evidence: Evidence, pattern: FloatArray) -> FloatArray:
    """N times a pattern (n,), errors allowed for taken off: what of it shows in the misfits."""
    solution, few = evidence.heights.solution, evidence.few
    about = _about_spots(evidence, pattern)
    by_setup = np.bincount(few, about, solution.inverse.shape[0])
    moved = (solution.inverse @ by_setup)[few]
    plain = about - _about_spots(evidence, moved)
    return np.asarray(plain - evidence.allowed @ (evidence.allowed.T @ pattern))


def estimate(evidence: Evidence, pattern: FloatArray) -> Estimate | None:
    """Amount and sd of an error of this pattern; None where it does not show in the misfits."""
    information = float(pattern @ seen(evidence, pattern))
    if not shows(evidence, information):
        return None
    amount = float(pattern @ evidence.score) / information
    return Estimate(amount=amount, sd=information**-0.5)


def shows(evidence: Evidence, information: float) -> bool:
    """Whether a pattern of such information c'Nc is checked at all: as a single sight must be."""
    return information >= LEAST_REDUNDANCY * float(np.mean(evidence.weight))


def allow(evidence: Evidence, pattern: FloatArray) -> Evidence:
    """The evidence with an error of this pattern allowed for: its amount no longer shows.

    A pattern that does not show in the misfits changes nothing.
    """
    column = seen(evidence, pattern)
    information = float(pattern @ column)
    if not shows(evidence, information):
        return evidence
    column = column / np.sqrt(information)
    return dataclasses.replace(
        evidence,
        score=evidence.score - column * ((pattern @ evidence.score) / (pattern @ column)),
        information=np.maximum(evidence.information - column**2, 0.0),
        allowed=np.column_stack([evidence.allowed, column]),
    )


def _about_spots(evidence: Evidence, pattern: FloatArray) -> FloatArray:
    """Weighted pattern about its mean at each spot, a held spot having none to take off; (n,)."""
    spot = evidence.heights.observations.spot
    weighted = evidence.weight * pattern
    alone = evidence.heights.solution.alone
    mean = alone * np.bincount(spot, weighted, alone.size)
    return np.asarray(weighted - evidence.weight * mean[spot])
