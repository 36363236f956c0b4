"""Readings that may be wrong, one at a time: standardized residuals and what they can tell."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.special import ndtri

from survey.field.evidence import Estimate, Evidence, FloatArray, IntArray, estimate
from survey.field.levelling import Adjustment, Surface

SINGLE_RATE = 0.001  # of one test (Baarda): |t| beyond 3.2905
SURVEY_RATE = 0.05  # of a clean survey, all its tests together
POWER = 0.80  # with which the smallest detectable blunder is found
ALIKE = 0.98  # statistics that correlate beyond it cannot be told apart


@dataclass(frozen=True, kw_only=True)
class Place:
    """A row of a readings file, as a spreadsheet numbers it, and its set-up."""

    file: str
    row: int
    setup: str


@dataclass(frozen=True, kw_only=True)
class Misread:
    """A reading that may be wrong.

    `sight` indexes the adjustment's observations. `amount` is how much the reading is too large
    (too small where negative), with its `sd` [in]; `statistic` = amount / sd.
    """

    sight: int
    place: Place
    column: Literal["down", "up"]
    name: str
    station: float | None
    side: int
    surface: Surface
    amount: float
    sd: float

    @property
    def statistic(self) -> float:
        """Standardized residual, of the opposite sign."""
        return self.amount / self.sd


def critical_value(tests: int) -> float:
    """The |t| beyond which something is named when so many hypotheses are tried.

    3.2905 (two-sided 0.001, Baarda) for up to fifty; for more, the Bonferroni point at which a
    survey without a fault is accused at most five times in a hundred.

    References
    ----------
    Baarda, W., *A testing procedure for use in geodetic networks* (1968), from memory: 0.001.
    Miller, R. G., *Simultaneous Statistical Inference* (1981), from memory: Bonferroni.

    >>> [round(critical_value(n), 4) for n in (1, 50, 200)]
    [3.2905, 3.2905, 3.6623]
    """
    rate = min(SINGLE_RATE, SURVEY_RATE / max(tests, 1))
    return float(-ndtri(rate / 2.0))


def smallest_detectable(heights: Adjustment, *, critical: float | None = None) -> FloatArray:
    """Smallest blunder of each reading found four times in five; NaN where not tested; (n,) [in].

    `critical` is the |t| beyond which a reading is named, 3.2905 where not given.

    References
    ----------
    Baarda (1968), from memory: delta0 x sd / sqrt(redundancy), delta0 4.1321 at 0.001 and 80 %.
    """
    observed = heights.observations
    shift = (critical_value(1) if critical is None else critical) + float(ndtri(POWER))
    tested = np.where(np.isnan(observed.standardized), np.nan, observed.redundancy)
    return np.asarray(shift * observed.sd / np.sqrt(tested))


def uncheckable(heights: Adjustment) -> IntArray:
    """Readings that no other reading checks: redundancy under 0.05; indices of observations."""
    return np.flatnonzero(np.isnan(heights.observations.standardized))


def worst_sight(evidence: Evidence) -> tuple[int, float] | None:
    """Sight of the largest |t| and that |t|; None where no sight is tested."""
    statistic = sight_statistics(evidence)
    if np.all(np.isnan(statistic)):
        return None
    worst = int(np.nanargmax(np.abs(statistic)))
    return worst, float(np.abs(statistic[worst]))


def sight_statistics(evidence: Evidence) -> FloatArray:
    """Amount / sd of an error of each sight alone; NaN where not tested; shape (n,)."""
    tested = np.where(evidence.testable, evidence.information, np.nan)
    return np.asarray(evidence.score / np.sqrt(tested))


def sights_alike(evidence: Evidence, column: FloatArray, information: float) -> IntArray:
    """Sights whose statistic correlates beyond .98 with that of a pattern.

    Parameters
    ----------
    evidence
        The errors allowed for so far.
    column, information
        N c of the pattern, shape (n,), and c'N c.
    """
    tested = np.where(evidence.testable, evidence.information, np.inf)
    correlation = column / np.sqrt(tested * information)
    return np.flatnonzero(np.abs(correlation) > ALIKE)


def sight_pattern(evidence: Evidence, sight: int) -> FloatArray:
    """An error of one reading too large by one, as differences of elevation; shape (n,)."""
    pattern = np.zeros(evidence.weight.size)
    pattern[sight] = evidence.heights.observations.sign[sight]
    return pattern


def describe_sight(evidence: Evidence, sight: int) -> Misread | None:
    """The reading of a sight with the error it would have; None where nothing checks it."""
    found = estimate(evidence, sight_pattern(evidence, sight))
    return None if found is None else _misread(evidence.heights, sight, found)


def _misread(heights: Adjustment, sight: int, found: Estimate) -> Misread:
    observed, spots = heights.observations, heights.spots
    spot = observed.spot[sight]
    station = float(spots.station[spot])
    return Misread(
        sight=sight,
        place=place_of(heights, int(observed.row_index[sight])),
        column="down" if observed.sign[sight] < 0 else "up",
        name=heights.book.names[spots.name[spot]].name,
        station=None if np.isnan(station) else station,
        side=int(spots.side[spot]),
        surface=Surface(int(spots.surface[spot])),
        amount=found.amount,
        sd=found.sd,
    )


def place_of(heights: Adjustment, row_index: int) -> Place:
    """File, row and set-up of one of the book's rows."""
    book = heights.book
    return Place(
        file=book.sources[book.file[row_index]].file,
        row=int(book.row[row_index]),
        setup=book.setups[book.setup[row_index]],
    )
