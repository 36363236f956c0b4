"""Hung weight against sums done by hand."""

import pytest

from survey.standards import LUMBER
from survey.wall.weights import board_weight, hung_weight

TWO_BY_FOUR = LUMBER[1]


def test_a_two_by_four_weighs_what_the_trade_says() -> None:
    assert 12 * board_weight(TWO_BY_FOUR) == pytest.approx(1.28, abs=0.005)


def test_a_bare_frame_weighs_about_ten_pounds_a_foot() -> None:
    # common practice: about 10 lb a foot for 2x4 at 16 without drywall
    bare = hung_weight(
        [92.625] * 10,
        length=144.0,
        frame_height=96.0,
        plates=2,
        section=TWO_BY_FOUR,
        drywall=1e-9,
        joist_spacing=16.0,
    )
    assert bare.per_foot == pytest.approx(10.0, abs=1.5)
    assert bare.per_joist == pytest.approx(bare.per_foot * 16 / 12)


def test_drywall_is_on_both_faces() -> None:
    def per_foot(drywall: float) -> float:
        return hung_weight(
            [],
            length=120.0,
            frame_height=96.0,
            plates=0,
            section=TWO_BY_FOUR,
            drywall=drywall,
            joist_spacing=16.0,
        ).per_foot

    assert per_foot(0.5) == pytest.approx(2 * 8 * 2.2)
    assert per_foot(0.625) == pytest.approx(per_foot(0.5) * 1.25)
