"""The promise of the assured gap, simulated: hyperparameters from the priors, truth known.

Claims tested: the least gap of a level wall falls short of what was assured on at most 5 % of
walls, and any point of the band on at most 7 %. n = 1,500 walls: 600 one-wall jobs and 100 jobs
of nine walls. A claim passes when the failures lie within the binomial 0.1 % bound of its rate;
with n = 1,500 a rate 3 points higher fails in at least 85 of 100 tries. The negative control
(k = 1) must fail.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest
from scipy.special import bdtr

from books import TrueHouse, TrueWall, simulate_house
from survey.field.levelling import adjust
from survey.job import Frame, Job, Laser, Spikes, Travel
from survey.slab.profile import profile
from survey.wall.planning import plan
from survey.wall.wall_plan import WallPlan

ONE_WALL_JOBS, NINE_WALL_JOBS = 600, 100
JOB = Job(
    travel=Travel(rise=1.5, drop=1.0, allowance=0.125),
    frame=Frame(precut=()),
    spikes=Spikes(lengths=(60.0,)),
)


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """How one simulated wall turned out."""

    least_short: bool
    band_short: bool
    band_short_at_one_sd: bool


def _outcome(truth: TrueWall, wall: WallPlan) -> Outcome:
    grid, taken = wall.slab.at.station, wall.frame.height + wall.plate.height
    built = np.interp(grid, truth.station, truth.clear()) - taken
    everywhere = truth.clear() - np.interp(truth.station, grid, taken)
    gap = wall.gap_line.gap
    sd = (gap + taken - (wall.top.elevation - wall.planning)) / wall.k
    return Outcome(
        least_short=bool(everywhere.min() < wall.gap.required),
        band_short=bool(np.any(built < wall.gap_line.assured - 1e-9)),
        band_short_at_one_sd=bool(np.any(built < gap - sd)),
    )


def _plan(house: TrueHouse) -> list[Outcome]:
    made = plan(profile(adjust(house.book, Laser()), JOB), JOB)
    return [_outcome(t, w) for t, w in zip(house.walls, made.walls, strict=True)]


@cache
def outcomes() -> tuple[Outcome, ...]:
    rng = np.random.default_rng(20_261)
    found: list[Outcome] = []
    for _ in range(ONE_WALL_JOBS):
        found += _plan(simulate_house(rng, walls=1))
    for _ in range(NINE_WALL_JOBS):
        found += _plan(simulate_house(rng, walls=9))
    return tuple(found)


def within_claim(failures: int, n: int, rate: float) -> bool:
    """Whether so many failures are believable at the claimed rate (one in a thousand bound)."""
    return failures == 0 or bool(bdtr(failures - 1, n, rate) < 0.999)


def test_enough_walls_were_simulated() -> None:
    assert len(outcomes()) == 1500


def test_least_gap_falls_short_on_at_most_five_percent() -> None:
    short = sum(o.least_short for o in outcomes())
    assert within_claim(short, len(outcomes()), 0.05), short


def test_any_point_of_the_band_falls_short_on_at_most_seven_percent() -> None:
    short = sum(o.band_short for o in outcomes())
    assert within_claim(short, len(outcomes()), 0.07), short


def test_negative_control_a_band_of_one_sd_breaks_the_promise() -> None:
    short = sum(o.band_short_at_one_sd for o in outcomes())
    assert not within_claim(short, len(outcomes()), 0.07), short


@pytest.mark.parametrize("rate", [0.05, 0.07])
def test_three_points_more_would_be_found_out(rate: float) -> None:
    n = ONE_WALL_JOBS + 9 * NINE_WALL_JOBS
    worst = next(f for f in range(n) if not within_claim(f, n, rate))
    assert bdtr(worst - 1, n, rate + 0.03) < 0.15
