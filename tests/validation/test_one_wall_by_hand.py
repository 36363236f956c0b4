"""The sum of docs/method.md section 7, done from the CSV with exact fractions.

Source: arithmetic on sample_surveys/one_wall.csv (invented). Status: computed by hand.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

import survey
from survey.wall.wall_plan import WallPlan

CSV = Path(__file__).parents[2] / "sample_surveys" / "one_wall.csv"


def _fraction(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.split()), Fraction(0))


def _readings() -> dict[int, tuple[Fraction, Fraction]]:
    lines = [line for line in CSV.read_text().splitlines() if not line.startswith("#")]
    return {
        int(row["station"]): (_fraction(row["down"]), _fraction(row["up"]))
        for row in csv.DictReader(lines)
    }


@pytest.fixture(scope="module")
def wall() -> WallPlan:
    job = survey.read_job(CSV)
    heights = survey.adjust(survey.read_readings(job), job.laser)
    return survey.plan(survey.profile(heights, job), job).walls[0]


def test_the_gap_at_the_highest_slab_by_hand(wall: WallPlan) -> None:
    readings = _readings()
    highest = min(readings, key=lambda station: readings[station][0])
    lowest_up = min(up for _, up in readings.values())
    clear = readings[highest][0] + lowest_up
    taken = Fraction(3, 2) + Fraction(3, 2) + Fraction(741, 8) + Fraction(3, 2)
    assert highest == 56
    assert clear == Fraction(793, 8)
    assert taken == Fraction(777, 8)
    assert clear - taken == 2
    # the plan's gap differs by what it learns from the neighbours, never by more than a reading's
    # worth of doubt
    planned = next(spot for spot in wall.tape_first if spot.station == highest)
    gap = next(part.thickness for part in planned.parts if part.part == "float gap")
    assert gap == pytest.approx(2.0, abs=1 / 16)


def test_the_numbers_printed_in_the_document(wall: WallPlan) -> None:
    assert wall.frame.stud == 92.625
    assert wall.gap.required == 1.625
    assert wall.gap.assured_least == pytest.approx(1.898, abs=0.0005)
    assert wall.top.elevation == pytest.approx(99.447, abs=0.0005)
    assert float(wall.slab.height(56.0)) == pytest.approx(0.291, abs=0.001)
    assert wall.gap.least == pytest.approx(2.03, abs=0.005)


def test_each_tape_sum_adds_up_and_agrees_with_its_own_two_readings(wall: WallPlan) -> None:
    readings = _readings()
    for spot in wall.tape_first:
        down, up = readings[int(spot.station)]
        assert sum(Fraction(part.thickness) for part in spot.parts) == Fraction(spot.clear)
        assert spot.clear == pytest.approx(float(down + up), abs=3 * spot.sd)


def test_the_hung_weight_by_hand(wall: WallPlan) -> None:
    per_inch = 35 / 1728 * 1.5 * 3.5
    lumber = (13 * 92.625 + 2 * 184) * per_inch
    drywall = 2 * 184 * (92.625 + 3.0) / 144 * 2.2
    assert len(wall.studs) == 13
    assert wall.hung_weight.per_foot == pytest.approx((lumber + drywall) / 184 * 12)
