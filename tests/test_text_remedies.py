"""Grinding in words: how many spots for which reason, and each of them."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from plans import wavy_house
from survey.job import SlabFacts, Travel
from survey.sheets.ruler import Ruler
from survey.sheets.text_remedies import REASONS, grind_count, no_grinding, spot_words
from survey.slab.grinding import GrindReason, GrindSpot

INCHES = Ruler(unit="in")


@pytest.fixture(scope="module")
def spot() -> GrindSpot:
    return wavy_house("W", 320.0, travel=Travel(widest=1.8)).walls[0].grind[0]


def test_every_reason_has_its_words() -> None:
    assert set(REASONS) == set(get_args(GrindReason))


def test_one_reason_is_counted_once(spot: GrindSpot) -> None:
    assert grind_count({"North": (spot, spot), "South": ()}) == "2 spots for the float (North)"
    assert grind_count({"North": (spot,)}) == "1 spot for the float (North)"


def test_several_reasons_are_counted_each_with_their_walls(spot: GrindSpot) -> None:
    flat, rock = replace(spot, reason="flat"), replace(spot, reason="rock")
    said = grind_count({"North": (spot, flat), "South": (flat,), "East": (rock,)})
    assert said == (
        "4 spots: 1 for the float (North), 1 for a plate that rocks (East), "
        "2 for flatness (North and South)"
    )


def test_a_spot_says_why_where_how_deep_and_what_it_buys(spot: GrindSpot) -> None:
    said = spot_words(spot, INCHES)
    assert said.startswith(f"for the float: {INCHES.length(spot.start)} to")
    assert f"deepest {INCHES.said(spot.deepest)} at {INCHES.length(spot.at)}" in said
    assert said.endswith(f"buys {spot.buys}")


@pytest.mark.parametrize(("known", "told"), [("yes", 1), ("no", 0), ("unknown", 0)])
def test_only_tendons_that_are_there_forbid_grinding(known: str, told: int) -> None:
    facts = SlabFacts(post_tension=known)  # type: ignore[arg-type]
    assert len(no_grinding(facts)) == told
