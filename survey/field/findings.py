"""Errors that explain what does not fit in an adjusted survey, and which is the likeliest.

Three kinds of error are tried together: one reading, the beam of a set-up from one row on, a mark
held at a wrong elevation. The one with the largest |t| is named, allowed for, and the rest is
tried again; then each error named is sought anew with the others allowed for. The adjustment
itself is left as it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import Literal

import numpy as np

from survey.field.evidence import Evidence, FloatArray, IntArray, allow, seen, weigh
from survey.field.kicks import (
    Kick,
    Moments,
    count_moments,
    describe_moment,
    list_moments,
    moment_pattern,
    moment_statistics,
    moments_alike,
    moments_near,
)
from survey.field.levelling import Adjustment
from survey.field.marks_moved import (
    MarkShift,
    describe_mark,
    estimate_mark,
    held_marks,
    mark_pattern,
)
from survey.field.outliers import (
    ALIKE,
    Misread,
    critical_value,
    describe_sight,
    sight_pattern,
    sights_alike,
    worst_sight,
)

Explanation = Misread | Kick | MarkShift

MOST_FINDINGS = 12
MOST_PAIRED = 4  # errors among which pairs are sought together
CLOSE_ROWS = 2  # rows that others check, to either side of the moment found
ROUNDS = 3
CLOSE = 1e-6  # statistics that differ by less, relatively, are equal


@dataclass(frozen=True, kw_only=True)
class Finding:
    """Something that does not fit, with the errors that explain it and cannot be told apart.

    The first explanation is the best; where there is only one, that is the error.
    """

    explanations: tuple[Explanation, ...]

    @property
    def best(self) -> Explanation:
        """The explanation of the largest |t|; of equal ones a reading, then a mark, then a kick."""
        return self.explanations[0]


@dataclass(frozen=True, kw_only=True)
class Findings:
    """All that was found, in the order found.

    `tests` hypotheses were tried and `critical` is the |t| beyond which one is named; a survey
    without a fault is accused at most five times in a hundred. `exhausted`: the search stopped
    with more that does not fit, so that wide scatter is the likelier cause.
    """

    found: tuple[Finding, ...]
    tests: int
    critical: float
    exhausted: bool


@dataclass(frozen=True, kw_only=True, eq=False)
class _Tried:
    """All that is tried: moments and marks here, sights by themselves."""

    moments: Moments
    marks: IntArray


@dataclass(frozen=True, kw_only=True, eq=False)
class _Pattern:
    """One error tried: its kind, its index among its kind, |t| and pattern (n,)."""

    kind: Literal["sight", "mark", "moment"]
    index: int
    strength: float
    column: FloatArray


def explain(heights: Adjustment) -> Findings:
    """Find which errors explain what does not fit in an adjusted survey.

    References
    ----------
    Baarda, W., *A testing procedure for use in geodetic networks* (1968), from memory: one
    alternative hypothesis at a time, the largest statistic first.
    """
    if heights.dof == 0:
        return Findings(found=(), tests=0, critical=critical_value(0), exhausted=False)
    evidence = weigh(heights)
    tried = _Tried(moments=list_moments(evidence), marks=held_marks(evidence))
    tests = int(evidence.testable.sum()) + count_moments(tried.moments, evidence) + tried.marks.size
    critical = critical_value(tests)
    found, exhausted = _search(evidence, tried, critical)
    found = _settled(evidence, tried, critical, _paired(evidence, tried, found))
    described = [
        _described(_without(evidence, found, k), tried, pattern) for k, pattern in enumerate(found)
    ]
    return Findings(found=tuple(described), tests=tests, critical=critical, exhausted=exhausted)


def _search(evidence: Evidence, tried: _Tried, critical: float) -> tuple[list[_Pattern], bool]:
    """Errors named one after another; whether more is left that does not fit."""
    found: list[_Pattern] = []
    while (best := _best(evidence, tried)) is not None and best.strength > critical:
        if len(found) == MOST_FINDINGS:
            return found, True
        found.append(best)
        evidence = allow(evidence, best.column)
    return found, False


def _paired(evidence: Evidence, tried: _Tried, found: Sequence[_Pattern]) -> list[_Pattern]:
    """A moved beam and another error sought together: one alone may hide the other's place.

    Moments near the one found are tried, each with the best other error beside it, and the pair
    that explains most is kept.
    """
    paired = list(found)
    if len(paired) > MOST_PAIRED:
        return paired
    for k, other in permutations(range(len(paired)), 2):
        if paired[k].kind == "moment":
            rest = [pattern for i, pattern in enumerate(paired) if i not in (k, other)]
            alone = _all_allowed(evidence, rest)
            paired[k], paired[other] = _best_pair(alone, tried, paired[k], paired[other])
    return paired


def _best_pair(
    evidence: Evidence, tried: _Tried, one: _Pattern, other: _Pattern
) -> tuple[_Pattern, _Pattern]:
    """The moment near one found, and the error beside it, that together explain most."""
    pairs = []
    for moment in moments_near(tried.moments, one.index, CLOSE_ROWS):
        first = _moment(evidence, tried, int(moment))
        second = _best(allow(evidence, first.column), tried)
        if second is not None:
            pairs.append((first, second))
    return max(
        pairs,
        key=lambda pair: pair[0].strength ** 2 + pair[1].strength ** 2,
        default=(one, other),
    )


def _settled(
    evidence: Evidence, tried: _Tried, critical: float, found: Sequence[_Pattern]
) -> list[_Pattern]:
    """Each error sought anew with the others allowed for, until nothing changes."""
    settled = list(found)
    for _ in range(ROUNDS):
        before = [(pattern.kind, pattern.index) for pattern in settled]
        for k in reversed(range(len(settled))):
            best = _best(_without(evidence, settled, k), tried)
            stands = best is not None and best.strength > critical
            settled[k : k + 1] = [best] if best is not None and stands else []
        if [(pattern.kind, pattern.index) for pattern in settled] == before:
            break
    return settled


def _without(evidence: Evidence, found: Sequence[_Pattern], k: int) -> Evidence:
    """The evidence with every error but number k allowed for."""
    return _all_allowed(evidence, [*found[:k], *found[k + 1 :]])


def _all_allowed(evidence: Evidence, found: Sequence[_Pattern]) -> Evidence:
    """The evidence with every error of a list allowed for."""
    for one in found:
        evidence = allow(evidence, one.column)
    return evidence


def _best(evidence: Evidence, tried: _Tried) -> _Pattern | None:
    """The error of the largest |t|; of equal ones the first kind: sight, mark, moment."""
    options = [_best_sight(evidence), _best_mark(evidence, tried), _best_moment(evidence, tried)]
    best: _Pattern | None = None
    for option in options:
        if option is None:
            continue
        if best is None or option.strength > best.strength * (1.0 + CLOSE):
            best = option
    return best


def _best_sight(evidence: Evidence) -> _Pattern | None:
    worst = worst_sight(evidence)
    if worst is None:
        return None
    column = sight_pattern(evidence, worst[0])
    return _Pattern(kind="sight", index=worst[0], strength=worst[1], column=column)


def _best_mark(evidence: Evidence, tried: _Tried) -> _Pattern | None:
    found = [
        _Pattern(
            kind="mark",
            index=int(spot),
            strength=abs(amount.statistic),
            column=mark_pattern(evidence, spot),
        )
        for spot in tried.marks
        if (amount := estimate_mark(evidence, spot)) is not None
    ]
    return max(found, key=lambda pattern: pattern.strength, default=None)


def _best_moment(evidence: Evidence, tried: _Tried) -> _Pattern | None:
    strength = np.abs(moment_statistics(tried.moments, evidence))
    if strength.size == 0 or np.all(np.isnan(strength)):
        return None
    return _moment(evidence, tried, int(np.nanargmax(strength)))


def _moment(evidence: Evidence, tried: _Tried, at: int) -> _Pattern:
    """The move of a beam at a moment; of strength 0 where nothing checks it."""
    strength = np.nan_to_num(np.abs(moment_statistics(tried.moments, evidence)[at]), nan=0.0)
    column = moment_pattern(tried.moments, evidence, at)
    return _Pattern(kind="moment", index=at, strength=float(strength), column=column)


def _described(evidence: Evidence, tried: _Tried, pattern: _Pattern) -> Finding:
    """The finding with all that cannot be told from it, the best first."""
    column = seen(evidence, pattern.column)
    information = float(pattern.column @ column)
    sights = sights_alike(evidence, column, information)
    misread = [m for i in sights if (m := describe_sight(evidence, int(i))) is not None]
    marks = _marks_alike(evidence, tried, column, information)
    moments = moments_alike(tried.moments, evidence, column, information)
    kicks = [describe_moment(tried.moments, evidence, int(j)) for j in moments]
    every: list[Explanation] = [*misread, *marks, *kicks]
    every.sort(key=lambda one: -round(abs(one.statistic) / pattern.strength / CLOSE))
    return Finding(explanations=tuple(every))


def _marks_alike(
    evidence: Evidence, tried: _Tried, column: FloatArray, information: float
) -> list[MarkShift]:
    alike = []
    for spot in tried.marks:
        found = estimate_mark(evidence, spot)
        if found is None:
            continue
        along = float(mark_pattern(evidence, spot) @ column)
        if abs(along) * found.sd / information**0.5 > ALIKE:
            alike.append(describe_mark(evidence, spot, found))
    return alike
