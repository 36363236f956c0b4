"""A ladder of admissible values: the multiples of a step, and some values that cost nothing.

A real interval becomes the least and the greatest rung in it. Every rung is one float, however
it was reached, so rungs may be compared with `==` and `<=`: what is worked out on them is exact.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey.errors import SurveyError
from survey.lengths import ON_A_STEP, snap
from survey.slab.kriging import FloatArray


@dataclass(frozen=True, kw_only=True)
class Ladder:
    """Rungs at every multiple of `step`, and at the `free` values between them.

    A free value within a millionth of a multiple is that rung, and still costs nothing.

    Raises
    ------
    SurveyError
        If the step is not a number over 0, or a free value is not finite.
    """

    step: float
    free: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a ladder that has no rungs to count."""
        if not 0.0 < self.step < np.inf:
            raise SurveyError(f"the step of a ladder must be over 0, not {self.step}")
        if not np.isfinite(self.free).all():
            raise SurveyError("a free value of a ladder is not finite")

    def down(self, x: FloatArray) -> FloatArray:
        """The greatest rung not over each number; a millionth over still counts as on it.

        >>> Ladder(step=0.25, free=(1.1,)).down(np.array([1.2, 1.25, 1.05]))
        array([1.1 , 1.25, 1.  ])
        """
        return np.maximum(_multiples_down(x, self.step), self.free_down(x)) + 0.0

    def up(self, x: FloatArray) -> FloatArray:
        """The least rung not under each number; a millionth under still counts as on it.

        >>> Ladder(step=0.25, free=(1.1,)).up(np.array([1.05, 1.15, 1.0]))
        array([1.1 , 1.25, 1.  ])
        """
        free = np.append(self._free_rungs(), np.inf)
        least_free = free[np.searchsorted(free, x - ON_A_STEP)]
        return np.asarray(np.minimum(-_multiples_down(-x, self.step), least_free)) + 0.0

    def free_down(self, x: FloatArray) -> FloatArray:
        """The greatest free rung not over each number, minus infinity where there is none."""
        free = np.append(-np.inf, self._free_rungs())
        return np.asarray(free[np.searchsorted(free, x + ON_A_STEP, side="right") - 1])

    def _free_rungs(self) -> FloatArray:
        free = np.unique(np.asarray(self.free, dtype=np.float64))
        near = snap(free, self.step, "nearest")
        return np.unique(np.where(np.abs(free - near) <= ON_A_STEP, near, free))


def check_intervals(low: FloatArray, high: FloatArray, *others: FloatArray) -> None:
    """Refuse intervals that are no numbers, or arrays that are not alike.

    Raises
    ------
    SurveyError
        If the arrays differ in shape, `low` is nan or plus infinity, or the rest is not finite.
    """
    if low.ndim != 1 or any(other.shape != low.shape for other in (high, *others)):
        raise SurveyError("intervals must be given as one-dimensional arrays of one length")
    if np.isnan(low).any() or (low == np.inf).any():
        raise SurveyError("the lower end of an interval is not a number or is infinite")
    if not all(np.isfinite(other).all() for other in (high, *others)):
        raise SurveyError("the upper end of an interval, or what goes with it, is not finite")


def _multiples_down(x: FloatArray, step: float) -> FloatArray:
    """Multiples not over x; infinities stay."""
    finite = np.isfinite(x)
    return np.where(finite, snap(np.where(finite, x, 0.0), step, "down"), x)
