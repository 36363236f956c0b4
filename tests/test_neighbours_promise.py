"""What the neighbour check promises, simulated with roughness drawn from the priors.

Claims: a clean survey is accused in at most 5 %; on an ordinary slab (the priors' medians) a
blunder of 3/4 is the first suspect in at least 95 %; one on a joist, where joists scatter by 1/8,
in at least 80 %. n = 1,500. The negative controls (suspects beyond 2 instead of 3.29, blunders of
1/4, for which n = 300 is enough) must fail.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from books import READING_SD, Row, book_of
from claims import within_claim
from survey import standards
from survey.field.levelling import Surface, adjust
from survey.job import Job, Laser
from survey.slab.kriging import matern32
from survey.slab.neighbours import Neighbours, check_neighbours
from survey.slab.profile import profile
from tied_surveys import blunder

N, FEW, SPOTS = 1500, 300, 12
JOB = Job()


def a_wall(rng: np.random.Generator, count: int, sill: float, reach: float) -> list[Row]:
    """Spots at 16 in on a tilted slab of some roughness, under joists that scatter by 1/8."""
    station = 16.0 * np.arange(count)
    root = np.linalg.cholesky(matern32(station[:, None] - station[None, :], reach))
    slab = sill * root @ rng.normal(size=count) + rng.normal(0.0, 0.1 / 12.0) * station
    down = 52.0 - slab + rng.normal(0.0, READING_SD, count)
    up = 47.0 + rng.normal(0.0, 1 / 8, count) + rng.normal(0.0, READING_SD, count)
    columns = zip(station.tolist(), down.tolist(), up.tolist(), strict=True)
    return [Row(name="Long", station=x, down=d, up=u) for x, d, u in columns]


def drawn_wall(rng: np.random.Generator) -> list[Row]:
    """A wall of 6 to 14 spots, its roughness from the priors."""
    sill = standards.SILL_SD.median * np.exp(standards.SILL_SD.log_sd * rng.normal())
    reach = standards.FLOOR_RANGE.median * np.exp(standards.FLOOR_RANGE.log_sd * rng.normal())
    return a_wall(rng, int(rng.integers(6, 15)), float(sill), float(reach))


def ordinary_wall(rng: np.random.Generator) -> list[Row]:
    """Twelve spots on a slab of the usual roughness."""
    return a_wall(rng, SPOTS, standards.SILL_SD.median, standards.FLOOR_RANGE.median)


def check(rows: list[Row]) -> Neighbours:
    return check_neighbours(profile(adjust(book_of(rows), Laser()), JOB), JOB)


@cache
def clean_surveys() -> tuple[tuple[bool, bool], ...]:
    """For each survey: whether any spot is suspect, and whether any would be beyond 2."""
    rng = np.random.default_rng(41)
    found = [check(drawn_wall(rng)) for _ in range(N)]
    return tuple(
        (bool(one.suspects), any(abs(spot.standardized) > 2.0 for spot in one.tested))
        for one in found
    )


@cache
def missed(column: str, size: float, n: int) -> int:
    """Blunders of n that are not the first suspect."""
    rng = np.random.default_rng(42)
    count = 0
    surface = Surface.SLAB if column == "down" else Surface.JOIST
    for _ in range(n):
        rows, at = ordinary_wall(rng), int(rng.integers(SPOTS))
        rows = blunder(rows, at, column, float(size * rng.choice([-1.0, 1.0])))
        suspects = check(rows).suspects
        first = [(spot.station, spot.surface) for spot in suspects[:1]]
        count += first != [(rows[at].station, surface)]
    return count


def test_clean_surveys_are_accused_in_at_most_five_percent() -> None:
    accused = sum(suspect for suspect, _ in clean_surveys())
    assert within_claim(accused, N, 0.05), accused


@pytest.mark.parametrize(("column", "rate"), [("down", 0.05), ("up", 0.20)])
def test_blunders_are_the_first_suspect(column: str, rate: float) -> None:
    assert within_claim(missed(column, 0.75, N), N, rate), missed(column, 0.75, N)


def test_negative_control_a_threshold_of_two_accuses_too_many() -> None:
    assert not within_claim(sum(beyond for _, beyond in clean_surveys()), N, 0.05)


@pytest.mark.parametrize(("column", "rate"), [("down", 0.05), ("up", 0.20)])
def test_negative_control_a_quarter_is_not_found(column: str, rate: float) -> None:
    assert not within_claim(missed(column, 0.25, FEW), FEW, rate)
