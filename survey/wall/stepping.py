"""Values held over runs of neighbouring places: fewest runs, least greatest gap, earliest breaks.

Every place admits an interval of values and has a peak: with the value v its gap is peak - v. A
run is a stretch of places that hold one value, so the best value of a run is the greatest that
all its places admit. A part of a run admits all that the run does, and its gap is no greater:
that is why the greedy walks below are exact.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, nextafter

import numpy as np

from survey.slab.kriging import FloatArray
from survey.wall.ladder import Ladder, check_intervals

Place = tuple[float, float, float]


@dataclass(frozen=True, kw_only=True)
class Run:
    """Places `start` to `stop` - 1, all of which admit the rungs from `lowest` to `highest`.

    `peak` is the greatest peak of its places.
    """

    start: int
    stop: int
    lowest: float
    highest: float
    peak: float

    @property
    def greatest_gap(self) -> float:
        """The gap left by the best value, peak - highest."""
        return self.peak - self.highest


@dataclass(frozen=True, kw_only=True)
class Stepping:
    """Runs in order. Where `impossible` lists places that admit no rung, there are no runs."""

    runs: tuple[Run, ...]
    impossible: tuple[int, ...]

    @property
    def breaks(self) -> tuple[int, ...]:
        """The places at which a new run begins, the first left out."""
        return tuple(run.start for run in self.runs[1:])

    @property
    def greatest_gap(self) -> float:
        """The greatest gap of all runs; infinite where there are none."""
        return max((run.greatest_gap for run in self.runs), default=inf)


@dataclass(frozen=True, kw_only=True)
class _Walk:
    """Where runs end when each is drawn out as far as it goes with gaps of `most`.

    `worst` is the greatest gap; `refused` the least gap that stopped a run, infinite if none did:
    any bound from `most` up to just under it gives the same walk.
    """

    ends: tuple[int, ...]
    worst: float
    refused: float


def fewest_runs(low: FloatArray, high: FloatArray, peak: FloatArray, ladder: Ladder) -> Stepping:
    """Fewest runs; among those the least greatest gap; among those the breaks nearest the start.

    Parameters
    ----------
    low, high
        Interval of values each place admits, shape (n,); `low` may be minus infinity.
    peak
        Peak of each place, shape (n,): the gap of a place is its peak less its run's value.
    ladder
        Values that may be held; the free ones are rungs like any other.

    Returns
    -------
    Stepping
        Every break is as early as any such set of runs can have it, all breaks at once.

    Raises
    ------
    SurveyError
        If the arrays are not alike or hold what is no number.

    References
    ----------
    The bisection keeps two gaps that some run really has, one under and one not under the
    optimum; its steps jump from gap to gap, so it ends at the optimum itself, not near it.

    >>> found = fewest_runs(
    ...     np.array([1.0, 1.0, 2.0]), np.array([3.1, 2.6, 4.0]), np.array([4.0, 4.0, 5.0]),
    ...     Ladder(step=0.5),
    ... )
    >>> [(run.start, run.stop, run.lowest, run.highest) for run in found.runs]
    [(0, 3, 2.0, 2.5)]
    """
    check_intervals(low, high, peak)
    first, last = ladder.up(low), ladder.down(high)
    impossible = tuple(np.flatnonzero(first > last).tolist())
    if impossible or low.size == 0:
        return Stepping(runs=(), impossible=impossible)
    places = list(zip(first.tolist(), last.tolist(), peak.tolist(), strict=True))
    most = _least_greatest_gap(places)
    backward = _walk(places[::-1], most)
    bounds = [len(places) - end for end in reversed(backward.ends)] + [len(places)]
    starts = [0, *bounds[:-1]]
    runs = tuple(_run(places, a, b) for a, b in zip(starts, bounds, strict=True))
    return Stepping(runs=runs, impossible=())


def _run(places: Sequence[Place], start: int, stop: int) -> Run:
    first, last, peak = zip(*places[start:stop], strict=True)
    return Run(start=start, stop=stop, lowest=max(first), highest=min(last), peak=max(peak))


def _least_greatest_gap(places: Sequence[Place]) -> float:
    """The least greatest gap with which the fewest runs still do."""
    walk = _walk(places, inf)
    fewest, ceiling = len(walk.ends), walk.worst
    floor = max(peak - last for _, last, peak in places)
    while floor < ceiling:
        most = min((floor + ceiling) / 2, nextafter(ceiling, floor))
        walk = _walk(places, most)
        if len(walk.ends) > fewest:
            floor = walk.refused
        else:
            ceiling = walk.worst
    return ceiling


def _walk(places: Sequence[Place], most: float) -> _Walk:
    """Draw each run out from the front for as long as a value fits and the gap is within `most`.

    `most` may not be under the least gap that any one place can have.
    """
    bottom, top, height = -inf, inf, -inf
    ends: list[int] = []
    worst, refused = -inf, inf
    for i, (first, last, peak) in enumerate(places):
        lower, upper, higher = max(bottom, first), min(top, last), max(height, peak)
        gap = higher - upper
        if lower <= upper and gap <= most:
            bottom, top, height = lower, upper, higher
            continue
        if lower <= upper:
            refused = min(refused, gap)
        ends.append(i)
        worst = max(worst, height - top)
        bottom, top, height = first, last, peak
    return _Walk(ends=tuple(ends), worst=max(worst, height - top), refused=refused)
