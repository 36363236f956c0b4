"""F-numbers: flatness FF and levelness FL of a line or a floor.

References
----------
ASTM E1155: curvature q over 2 ft and rise z over 10 ft, read every 12 in. The constants, the rise
taken at every reading and the rule of combination are from memory.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from survey import standards
from survey.errors import SurveyError
from survey.slab.kriging import FloatArray
from survey.slab.walked_line import walk

LEAST_DIFFERENCES = 2
SPACING_TOLERANCE = 0.25
NOTHING = 1e-9
LEVER = int(standards.F_NUMBER_LEVER.value)
BELOW_ALL = "below conventional"
NOT_KNOWN = "too short to tell"


@dataclass(frozen=True, kw_only=True)
class FNumber:
    """One F-number and how many differences it rests on.

    `value` is infinite where nothing departs (by 1e-9 in), and 0 with fewer than two differences.
    """

    value: float
    count: int

    @property
    def known(self) -> bool:
        """Whether there were enough differences to tell."""
        return self.count >= LEAST_DIFFERENCES


@dataclass(frozen=True, kw_only=True)
class Flatness:
    """Flatness and levelness of a line or a floor; `estimate` unless read every 12 in."""

    flatness: FNumber
    levelness: FNumber
    estimate: bool

    @property
    def floor_class(self) -> str:
        """Best class of ACI 117 that every number known meets, "below conventional" if none."""
        found = self.flatness, self.levelness
        if not any(number.known for number in found):
            return NOT_KNOWN
        met = [
            c.name
            for c in standards.FLOOR_CLASSES
            if all(
                not number.known or number.value >= least
                for number, least in zip(found, (c.flatness, c.levelness), strict=True)
            )
        ]
        return met[-1] if met else BELOW_ALL


def f_numbers(stations: npt.ArrayLike, elevations: npt.ArrayLike) -> Flatness:
    """F-numbers of one line.

    Parameters
    ----------
    stations, elevations
        The line, shape (n,) [in]; stations ascending. Where they are not 12 in apart, elevations
        every 12 in are taken straight between them and the result is an estimate.

    Raises
    ------
    SurveyError
        If the line is unfit.

    >>> zigzag = f_numbers(range(0, 372, 12), [0.0, 0.05] * 15 + [0.0])
    >>> round(zigzag.flatness.value, 4), zigzag.estimate
    (14.8099, False)
    """
    line = walk(stations, elevations)
    spacing = standards.F_NUMBER_SPACING.value
    exact = bool(np.all(np.abs(np.diff(line.station) - spacing) <= SPACING_TOLERANCE))
    height = line.elevation
    if not exact:
        along = np.arange(line.station[0], line.station[-1] + SPACING_TOLERANCE, spacing)
        height = np.interp(along, line.station, line.elevation)
    return Flatness(
        flatness=_f_number(curvatures(height), standards.FLATNESS_CONSTANT),
        levelness=_f_number(rises(height), standards.LEVELNESS_CONSTANT),
        estimate=not exact,
    )


def combine(lines: Sequence[Flatness]) -> Flatness:
    """F-numbers of a floor from those of its lines, each weighing as its differences.

    With r differences on a line, `sum r / F^2 = sum of (r_j / F_j^2)`. An estimate if any line is.

    Raises
    ------
    SurveyError
        If there is no line.
    """
    if not lines:
        raise SurveyError("no line to take F-numbers of")
    return Flatness(
        flatness=_combined([line.flatness for line in lines]),
        levelness=_combined([line.levelness for line in lines]),
        estimate=any(line.estimate for line in lines),
    )


def curvatures(elevations: FloatArray) -> FloatArray:
    """Second differences `h_i - 2 h_(i-1) + h_(i-2)`, shape (n - 2,)."""
    return np.diff(elevations, n=2)


def rises(elevations: FloatArray) -> FloatArray:
    """Rise over ten readings `h_i - h_(i-10)`, shape (n - 10,); empty if there are fewer."""
    return elevations[LEVER:] - elevations[:-LEVER]


def _f_number(differences: FloatArray, constant: standards.Standard) -> FNumber:
    count = differences.size
    if count < LEAST_DIFFERENCES:
        return FNumber(value=0.0, count=count)
    departure = 3.0 * float(np.std(differences, ddof=1)) + abs(float(np.mean(differences)))
    return FNumber(
        value=constant.value / departure if departure > NOTHING else math.inf, count=count
    )


def _combined(numbers: Sequence[FNumber]) -> FNumber:
    known = [number for number in numbers if number.known]
    count = sum(number.count for number in known)
    if count == 0:
        return FNumber(value=0.0, count=0)
    departure = sum(number.count / number.value**2 for number in known)
    return FNumber(value=math.sqrt(count / departure) if departure > 0.0 else math.inf, count=count)
