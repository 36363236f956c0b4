"""A kicked tripod: the beam of a set-up that moved between two of its rows."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Any

import numpy as np

from survey.field.evidence import BoolArray, Evidence, FloatArray, IntArray, shows
from survey.field.outliers import ALIKE, Place, place_of

PLAUSIBLE = 6.0  # moments whose t squared is this much under the best: 20 times less likely
SEEN = 1e-6  # redundancy of a sight that some other one checks at all
CHUNK = 2_000_000  # dense numbers held at once


@dataclass(frozen=True, kw_only=True)
class Kick:
    """A beam that moved.

    Up to the row `after` it stood as it was, from the row `before` on `amount` higher (lower
    where negative), with its `sd` [in]; of the rows between the two that cannot be told.
    `statistic` = amount / sd at the likeliest moment.
    """

    setup: str
    after: Place
    before: Place
    amount: float
    sd: float

    @property
    def statistic(self) -> float:
        """Standard normal where the beam stood still."""
        return self.amount / self.sd


@dataclass(frozen=True, kw_only=True, eq=False)
class Moments:
    """Every moment at which a beam may have moved: between two rows of a set-up, in file order.

    `order` (n,) sorts the sights by set-up and row. For each moment, shape (p,): `first` and
    `last` bound the set-up's sights before it in that order, `setup` is among those with
    readings, `after` and `before` are the book's rows about it, `checked` tells whether the row
    just before has a sight that others check, and `information` is c'Nc with no error allowed for.
    """

    order: IntArray
    first: IntArray
    last: IntArray
    setup: IntArray
    after: IntArray
    before: IntArray
    checked: BoolArray
    information: FloatArray

    def __post_init__(self) -> None:
        for field in dataclasses.fields(self):
            getattr(self, field.name).setflags(write=False)


def list_moments(evidence: Evidence) -> Moments:
    """The moments of every set-up with two rows or more."""
    observed = evidence.heights.observations
    order = np.lexsort((observed.row_index, evidence.few))
    few, row = evidence.few[order], observed.row_index[order]
    row_ends = np.flatnonzero(np.diff(row, append=-1) | np.diff(few, append=-1))
    starts = np.flatnonzero(np.diff(few, prepend=-1))
    same = few[row_ends[:-1]] == few[row_ends[1:]]
    last = row_ends[:-1][same]
    seen = np.concatenate([[0], np.cumsum((observed.redundancy > SEEN)[order])])
    row_start = np.concatenate([[0], row_ends[:-1] + 1])[:-1][same]
    return Moments(
        order=order,
        first=starts[few[last]],
        last=last,
        setup=few[last],
        after=row[last],
        before=row[last + 1],
        checked=seen[last + 1] > seen[row_start],
        information=_informations(evidence, order, starts)[last],
    )


def sum_before(moments: Moments, values: FloatArray) -> FloatArray:
    """Sum of a value over the set-up's sights before each moment; (n, ...) to (p, ...)."""
    running = np.cumsum(values[moments.order], axis=0)
    zero = np.zeros((1, *running.shape[1:]))
    running = np.concatenate([zero, running])
    return np.asarray(running[moments.last + 1] - running[moments.first])


def informations(moments: Moments, evidence: Evidence) -> FloatArray:
    """C'Nc of a move at each moment, errors allowed for taken off; NaN where not checked; (p,)."""
    taken = np.sum(sum_before(moments, evidence.allowed) ** 2, axis=1)
    left = moments.information - taken
    return np.where(shows(evidence, left), left, np.nan)


def moment_statistics(moments: Moments, evidence: Evidence) -> FloatArray:
    """Amount / sd of a beam that rose at each moment; NaN where not checked; shape (p,)."""
    found = informations(moments, evidence)
    return np.asarray(sum_before(moments, evidence.score) / np.sqrt(found))


def count_moments(moments: Moments, evidence: Evidence) -> int:
    """How many moments can be told apart, each a hypothesis of its own."""
    return int(np.sum(moments.checked & ~np.isnan(informations(moments, evidence))))


def moment_pattern(moments: Moments, evidence: Evidence, moment: int) -> FloatArray:
    """A beam higher by one after the moment: as lower ones before it; shape (n,)."""
    pattern = np.zeros(evidence.weight.size)
    pattern[moments.order[moments.first[moment] : moments.last[moment] + 1]] = 1.0
    return pattern


def moments_near(moments: Moments, moment: int, rows: int) -> IntArray:
    """The moments of a set-up that differ from one by at most so many rows that others check.

    Of moments that cannot be told apart only the first is given.
    """
    step = np.cumsum(moments.checked)
    near = moments.setup == moments.setup[moment]
    near &= np.abs(step - step[moment]) <= rows
    candidates = np.flatnonzero(near)
    _, first = np.unique(step[candidates], return_index=True)
    return np.asarray(candidates[first])


def moments_alike(
    moments: Moments, evidence: Evidence, column: FloatArray, information: float
) -> IntArray:
    """The likeliest moment of each set-up that cannot be told from a pattern.

    Parameters
    ----------
    moments, evidence
        All moments, and the errors allowed for so far.
    column, information
        N c of the pattern, shape (n,), and c'N c.
    """
    own = informations(moments, evidence)
    correlation = np.abs(sum_before(moments, column) / np.sqrt(own * information))
    alike = np.flatnonzero(correlation > ALIKE)
    strength = np.abs(moment_statistics(moments, evidence)[alike])
    ranked = alike[np.argsort(-np.round(strength, 9), kind="stable")]
    _, first = np.unique(moments.setup[ranked], return_index=True)
    return np.asarray(ranked[np.sort(first)])


def describe_moment(moments: Moments, evidence: Evidence, moment: int) -> Kick:
    """The move at a moment, with the stretch of rows within which it may as well have come."""
    heights = evidence.heights
    statistic = moment_statistics(moments, evidence)
    likely = moments.setup == moments.setup[moment]
    likely &= statistic**2 >= statistic[moment] ** 2 - PLAUSIBLE
    start, end = _run(likely, moment)
    information = float(informations(moments, evidence)[moment])
    return Kick(
        setup=heights.book.setups[np.unique(heights.observations.setup)[moments.setup[moment]]],
        after=place_of(heights, int(moments.after[start])),
        before=place_of(heights, int(moments.before[end])),
        amount=float(statistic[moment]) * information**-0.5,
        sd=information**-0.5,
    )


def _run(likely: BoolArray, at: int) -> tuple[int, int]:
    """First and last of the unbroken run of true values about `at`."""
    breaks = np.flatnonzero(~likely)
    place = int(np.searchsorted(breaks, at))
    start = 0 if place == 0 else int(breaks[place - 1]) + 1
    end = likely.size - 1 if place == breaks.size else int(breaks[place]) - 1
    return start, end


def _informations(evidence: Evidence, order: IntArray, starts: IntArray) -> FloatArray:
    """C'Nc for c the sights of a set-up up to each of them, in the given order; shape (n,)."""
    ends = np.append(starts[1:], order.size)
    parts = [
        _about_spots(evidence, order[a:b]) - _through_setups(evidence, order[a:b])
        for a, b in zip(starts, ends, strict=True)
    ]
    return np.concatenate(parts)


def _about_spots(evidence: Evidence, sights: IntArray) -> FloatArray:
    """The part of c'Nc with the set-ups known, as the sights of a set-up are added one by one."""
    spot, weight = evidence.heights.observations.spot[sights], evidence.weight[sights]
    by_spot = np.argsort(spot, kind="stable")
    running = np.cumsum(weight[by_spot]) - weight[by_spot]
    new = np.diff(spot[by_spot], prepend=-1) != 0
    before = np.empty_like(weight)
    before[by_spot] = running - running[new][np.cumsum(new) - 1]
    alone = evidence.heights.solution.alone[spot]
    return np.asarray(np.cumsum(weight - alone * weight * (2.0 * before + weight)))


def _through_setups(evidence: Evidence, sights: IntArray) -> FloatArray:
    """What the unknown beams take off, as the sights of a set-up are added one by one."""
    solution = evidence.heights.solution
    rows = solution.share[evidence.heights.observations.spot[sights]]
    own = int(evidence.few[sights[0]])
    columns = np.union1d(rows.indices, [own])
    inverse = solution.inverse[np.ix_(columns, columns)]
    step = max(1, CHUNK // columns.size)
    moved = np.zeros(columns.size)
    parts = []
    for start in range(0, sights.size, step):
        weight = evidence.weight[sights[start : start + step]]
        change = -weight[:, None] * _dense(rows[start : start + step], columns)
        change[:, np.searchsorted(columns, own)] += weight
        running = moved + np.cumsum(change, axis=0)
        parts.append(np.sum((running @ inverse) * running, axis=1))
        moved = running[-1]
    return np.concatenate(parts)


def _dense(rows: Any, columns: IntArray) -> FloatArray:
    """Some columns of a sparse matrix as an array."""
    return np.asarray(rows[:, columns].toarray())
