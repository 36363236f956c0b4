"""What the search for faults promises, simulated on tied surveys whose truth is known.

Claims: a clean survey is accused in at most 5 %; a blunder of 3/4 in a reading others check is
named, alone or in its true group, in at least 95 %, and called a kick in at most 5 %; a kick of
1/2 is found and placed within two rows in at least 90 %, and called a bad reading in at most 5 %
where more than one checked row stands on each side; of a kick and a blunder in one survey both
are found in at least 95 %. n = 1,500 each, over four ways of walking a survey. The negative
controls (errors half as large again as stated, a blunder of 3/16, a kick of 1/8, for which n = 300
is enough) must fail.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np
import pytest
from scipy.special import bdtr

from books import READING_SD, Row
from claims import within_claim
from survey.field.findings import Finding, explain
from survey.field.kicks import Kick
from survey.field.levelling import Adjustment
from survey.field.outliers import Misread
from tied_surveys import Plan, adjusted, blunder, kick, walk

N, FEW = 1500, 300
PLANS = (
    Plan(),
    Plan(setups=2, fresh=4, shared=4),
    Plan(setups=4, fresh=5, shared=4, marks=("M1",)),
    Plan(setups=2, fresh=0, shared=9),
)


def plan_of(number: int) -> Plan:
    return PLANS[number % len(PLANS)]


def true_group(heights: Adjustment, sight: int) -> set[int]:
    """Sights whose residuals correlate beyond .98 with that of one, by a dense pseudo-inverse."""
    observed = heights.observations
    held = heights.solution.alone == 0.0
    n, spots = observed.spot.size, held.size
    design = np.zeros((n, spots + len(heights.book.setups)))
    design[np.arange(n), observed.spot] = ~held[observed.spot]
    design[np.arange(n), spots + observed.setup] = -1.0
    white = design / observed.sd[:, None]
    hidden = np.eye(n) - white @ np.linalg.pinv(white)
    own = np.where(np.diag(hidden) >= 0.05, np.diag(hidden), np.inf)
    alike = np.abs(hidden[sight]) > 0.98 * np.sqrt(own[sight] * own)
    return set(np.flatnonzero(alike).tolist())


def sights_of(finding: Finding) -> set[int]:
    return {error.sight for error in finding.explanations if isinstance(error, Misread)}


def checked_rows(heights: Adjustment, setup: str) -> list[int]:
    """Rows of a set-up with a reading that others check, as indices of the book's rows."""
    observed = heights.observations
    code = heights.book.setups.index(setup)
    seen = (observed.redundancy > 0.01) & (observed.setup == code)
    return [int(row) for row in np.unique(observed.row_index[seen])]


@cache
def accused(noise: float, n: int) -> int:
    """Clean surveys of n with a finding."""
    rng = np.random.default_rng(31)
    count = 0
    for number in range(n):
        plan = plan_of(number)
        rows = walk(rng, Plan(**{**vars(plan), "noise": noise}))
        count += bool(explain(adjusted(rows)).found)
    return count


@cache
def blunders(size: float, n: int) -> tuple[int, int]:
    """Blunders of n not named alone or in their true group, and those called a kick."""
    rng = np.random.default_rng(32)
    missed = called_kick = 0
    for number in range(n):
        rows = walk(rng, plan_of(number))
        clean = adjusted(rows)
        sight = int(rng.choice(np.flatnonzero(clean.observations.redundancy >= 0.05)))
        found = explain(adjusted(_with_blunder(rng, rows, clean, sight, size))).found
        named = bool(found) and sights_of(found[0]) == true_group(clean, sight)
        missed += not named
        called_kick += bool(found) and isinstance(found[0].best, Kick)
    return missed, called_kick


def _with_blunder(
    rng: np.random.Generator, rows: list[Row], clean: Adjustment, sight: int, size: float
) -> list[Row]:
    column = "down" if clean.observations.sign[sight] < 0 else "up"
    row = int(clean.observations.row_index[sight])
    return blunder(rows, row, column, float(size * rng.choice([-1, 1])))


def _moment(
    rng: np.random.Generator, rows: list[Row], clean: Adjustment, beside: int
) -> tuple[str, int]:
    """A set-up, and the row before which it is kicked: `beside` checked rows on each side."""
    setup = str(rng.choice(clean.book.setups))
    checked = checked_rows(clean, setup)
    first, last = checked[beside - 1], checked[-beside]
    mine = [i for i, row in enumerate(rows) if row.setup == setup and first < i <= last]
    return setup, int(rng.choice(mine))


def _placed(finding: Finding, clean: Adjustment, setup: str, index: int) -> bool:
    """Whether the finding has the kick, with at most two checked rows amiss or in doubt."""
    checked = checked_rows(clean, setup)
    for error in finding.explanations:
        if isinstance(error, Kick) and error.setup == setup:
            after, before = error.after.row - 2, error.before.row - 2
            doubtful = [row for row in checked if after < row < before]
            amiss = [row for row in checked if before <= row < index or index <= row <= after]
            return len(doubtful) <= 2 and len(amiss) <= 2
    return False


@cache
def kicks(size: float, n: int) -> tuple[int, int, int]:
    """Kicks of n not placed; of those with two checked rows beside, called a reading; how many."""
    rng = np.random.default_rng(33)
    missed = called_reading = clear = 0
    for number in range(n):
        rows = walk(rng, plan_of(number))
        clean = adjusted(rows)
        setup, index = _moment(rng, rows, clean, 1)
        found = explain(adjusted(kick(rows, index, float(size * rng.choice([-1, 1]))))).found
        missed += not (found and _placed(found[0], clean, setup, index))
        checked = checked_rows(clean, setup)
        if checked[1] < index <= checked[-2]:
            clear += 1
            called_reading += bool(found) and isinstance(found[0].best, Misread)
    return missed, called_reading, clear


@cache
def kicks_with_blunders(n: int) -> int:
    """Surveys of n with a kick and a blunder of which one is not found."""
    rng = np.random.default_rng(34)
    missed = 0
    for number in range(n):
        rows = walk(rng, plan_of(number))
        clean = adjusted(rows)
        setup, index = _moment(rng, rows, clean, 3)
        sight = int(rng.choice(np.flatnonzero(clean.observations.redundancy >= 0.05)))
        rows = _with_blunder(rng, kick(rows, index, 0.5), clean, sight, 0.75)
        found = explain(adjusted(rows)).found
        placed = any(_placed(finding, clean, setup, index) for finding in found)
        missed += not (placed and any(sight in sights_of(finding) for finding in found))
    return missed


def test_clean_surveys_are_accused_in_at_most_five_percent() -> None:
    assert within_claim(accused(READING_SD, N), N, 0.05), accused(READING_SD, N)


def test_blunders_are_named_alone_or_in_their_true_group() -> None:
    missed, called_kick = blunders(0.75, N)
    assert within_claim(missed, N, 0.05), missed
    assert within_claim(called_kick, N, 0.05), called_kick


def test_kicks_are_found_and_placed() -> None:
    missed, called_reading, clear = kicks(0.5, N)
    assert within_claim(missed, N, 0.10), missed
    assert clear > N // 3
    assert within_claim(called_reading, clear, 0.05), called_reading


def test_a_kick_and_a_blunder_are_both_found() -> None:
    assert within_claim(kicks_with_blunders(N), N, 0.05), kicks_with_blunders(N)


@pytest.mark.parametrize(
    ("failures", "rate"),
    [
        (lambda: accused(1.5 * READING_SD, FEW), 0.05),
        (lambda: blunders(3 / 16, FEW)[0], 0.05),
        (lambda: kicks(1 / 8, FEW)[0], 0.10),
    ],
)
def test_negative_controls_fail(failures: Callable[[], int], rate: float) -> None:
    assert not within_claim(failures(), FEW, rate)


@pytest.mark.parametrize("rate", [0.05, 0.10])
def test_three_points_more_would_be_found_out(rate: float) -> None:
    """Ten percent needs four points: its scatter is wider."""
    worst = next(f for f in range(N) if not within_claim(f, N, rate))
    assert bdtr(worst - 1, N, rate + (0.03 if rate < 0.1 else 0.04)) < 0.05
