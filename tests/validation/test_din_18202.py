"""Limits of flatness of two published standards.

Sources: DIN 18202, table 3, rows 2 and 3 (limits by distance of the high points, read); ACI 117-10,
*Specification for Tolerances for Concrete Construction*, table 4.8.5.1 (classes, read).
"""

from __future__ import annotations

import pytest

from survey.slab.f_numbers import Flatness, FNumber
from survey.slab.flatness import Finish, din_18202_limit

METRE = 1000 / 25.4


@pytest.mark.parametrize(
    ("finish", "limits"),
    [("finished", (2, 4, 10, 12, 15)), ("unfinished", (5, 8, 12, 15, 20))],
)
def test_limits_at_the_distances_printed(finish: Finish, limits: tuple[int, ...]) -> None:
    found = [din_18202_limit(m * METRE, finish=finish) * 25.4 for m in (0.1, 1.0, 4.0, 10.0, 15.0)]
    assert found == pytest.approx(limits)


@pytest.mark.parametrize(
    ("metres", "limit"),
    [(2.0, 6.0), (2.5, 7.0), (3.0, 8.0), (7.0, 11.0), (12.5, 14.0), (0.05, 2.0), (30.0, 15.0)],
)
def test_between_them_straight_and_in_whole_millimetres(metres: float, limit: float) -> None:
    assert din_18202_limit(metres * METRE) * 25.4 == pytest.approx(limit)


@pytest.mark.parametrize(
    ("flat", "level", "name"),
    [
        (19.9, 40.0, "below conventional"),
        (20.0, 15.0, "conventional"),
        (34.9, 25.0, "moderately flat"),
        (35.0, 25.0, "flat"),
        (60.0, 39.9, "very flat"),
        (60.0, 40.0, "super flat"),
    ],
)
def test_classes_need_both_numbers(flat: float, level: float, name: str) -> None:
    floor = Flatness(
        flatness=FNumber(value=flat, count=30),
        levelness=FNumber(value=level, count=21),
        estimate=False,
    )
    assert floor.floor_class == name
