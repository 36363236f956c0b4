"""Where a plank's anchors may stand, and the cheapest row of them that keeps the rules."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from survey.errors import SurveyError
from survey.slab.kriging import BoolArray, FloatArray
from survey.slab.rock import HeldPlank

FINEST = 2.0
SAME_PLACE = 1e-6


@dataclass(frozen=True, kw_only=True)
class AnchorRules:
    """Where anchors may stand.

    Attributes
    ----------
    stretches
        From where to where one may be driven [in]; ends included.
    spacing, apart
        Greatest and least distance between neighbours [in].
    end
        The outermost ones stand within this distance of the plank's ends [in].
    clear
        None stands nearer to a cut between two planks than this [in].
    """

    stretches: tuple[tuple[float, float], ...]
    spacing: float
    apart: float = 4.0
    end: float = 12.0
    clear: float = 4.0

    def __post_init__(self) -> None:
        wrong = [
            f"{what} {value:g} must be {wanted}"
            for what, value, fit, wanted in (
                ("spacing", self.spacing, self.spacing > 0.0, "above zero"),
                (
                    "apart",
                    self.apart,
                    0.0 < self.apart <= self.spacing,
                    "above 0, not over spacing",
                ),
                ("end", self.end, self.end > 0.0, "above zero"),
                ("clear", self.clear, 0.0 <= self.clear < self.end, "zero or more, below end"),
            )
            if not fit
        ]
        wrong += [f"stretch {a:g} to {b:g} must run upwards" for a, b in self.stretches if a > b]
        if wrong:
            raise SurveyError(f"rules for anchors: {'; '.join(wrong)}")

    def allows(self, station: FloatArray) -> BoolArray:
        """At which of these stations an anchor may be driven, shape (n,)."""
        inside = np.zeros(station.shape, dtype=bool)
        for low, high in self.stretches:
            inside |= (station >= low - SAME_PLACE) & (station <= high + SAME_PLACE)
        return inside

    def keeps(self, row: Sequence[float], held: HeldPlank) -> bool:
        """Whether anchors at these stations, in order, keep all the rules."""
        return (
            len(row) > 1
            and bool(self.allows(np.asarray(row)).all())
            and row[0] - held.station[0] <= self.end + SAME_PLACE
            and held.station[-1] - row[-1] <= self.end + SAME_PLACE
            and all(
                self.apart - SAME_PLACE <= b - a <= self.spacing + SAME_PLACE
                for a, b in pairwise(row)
            )
        )


def anchor_places(held: HeldPlank, rules: AnchorRules) -> FloatArray:
    """Where an anchor may stand [in]: stations 2 in apart or more, and anchors there are already.

    Those the rules do not allow are left out.
    """
    places = np.concatenate([thinned(held.station), np.asarray(held.anchors, dtype=float)])
    return np.unique(places[rules.allows(places)])


def thinned(station: FloatArray) -> FloatArray:
    """Of every 2 in the first station.

    >>> thinned(np.array([0.0, 1.0, 2.0, 3.5, 12.0])).tolist()
    [0.0, 2.0, 12.0]
    """
    step = np.floor((station - station[0]) / FINEST + SAME_PLACE)
    return np.asarray(station[np.unique(step, return_index=True)[1]])


def distance_to(station: FloatArray, others: Sequence[float]) -> FloatArray:
    """Distance of each station to the nearest of the others [in]; infinite if there are none."""
    apart = np.abs(station[:, np.newaxis] - np.asarray(others, dtype=float))
    return np.asarray(apart.min(axis=1, initial=np.inf))


def not_among(row: Sequence[float], others: Sequence[float]) -> tuple[float, ...]:
    """Stations of the row at which none of the others stands.

    >>> not_among((8.0, 30.0), (8.0, 40.0))
    (30.0,)
    """
    new = distance_to(np.asarray(row, dtype=float), others) > SAME_PLACE
    return tuple(float(a) for a, fresh in zip(row, new, strict=True) if fresh)


def cheapest_row(
    held: HeldPlank, places: FloatArray, cost: FloatArray, rules: AnchorRules
) -> tuple[float, ...] | None:
    """Places of least total cost that keep the rules, two at least; None if there are none.

    A shortest path from the plank's start to its end, exact; costs of shape (n,) may be negative.

    Parameters
    ----------
    held, rules
        The plank, from whose ends distances count, and the rules.
    places, cost
        Places allowed, ascending [in], and what each costs; shape (n,).
    """
    first = np.where(places - held.station[0] <= rules.end + SAME_PLACE, cost, np.inf)
    further, before = np.full(places.size, np.inf), np.zeros(places.size, dtype=np.int64)
    for j in range(1, places.size):
        gap = places[j] - places[:j]
        near = (gap <= rules.spacing + SAME_PLACE) & (gap >= rules.apart - SAME_PLACE)
        way = np.where(near, np.minimum(first[:j], further[:j]), np.inf)
        before[j] = int(np.argmin(way))
        further[j] = way[before[j]] + cost[j]
    ends = np.where(held.station[-1] - places <= rules.end + SAME_PLACE, further, np.inf)
    if not np.isfinite(ends).any():
        return None
    row = [int(np.argmin(ends))]
    row.append(int(before[row[-1]]))
    while further[row[-1]] < first[row[-1]]:
        row.append(int(before[row[-1]]))
    return tuple(float(places[i]) for i in reversed(row))
