"""Nails by length, and the bits for their holes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey.nails import (
    INCH_BITS,
    LEAST_PILOT,
    LEAST_SLIP,
    METRIC_BITS,
    MOST_PILOT,
    MOST_SLIP,
    NAILS,
    bits,
    nail_for,
    pilot_hole,
    slip_hole,
)

SHANKS = st.floats(0.11, 1.0)


@pytest.mark.parametrize(
    ("length", "shank"), [(4.0, 0.192), (4.5, 0.207), (5.0, 0.225), (6.0, 0.263)]
)
def test_common_nails_are_those_of_the_nail_tables(length: float, shank: float) -> None:
    """Common nail sizes as printed in nail tables, second hand."""
    assert nail_for(length).shank == shank
    assert nail_for(length).status == "published"


@pytest.mark.parametrize("length", [8.0, 10.0, 12.0])
def test_longer_spikes_say_that_they_are_from_memory(length: float) -> None:
    assert nail_for(length).status == "memory"


def test_a_longer_nail_is_no_thinner() -> None:
    lengths = [nail.length for nail in NAILS]
    shanks = [nail.shank for nail in NAILS]
    assert lengths == sorted(lengths)
    assert shanks == sorted(shanks)


def test_a_length_between_two_takes_the_thicker_shank() -> None:
    assert nail_for(6.3).name == "7 in"


@pytest.mark.parametrize("step", [INCH_BITS[0], METRIC_BITS[0]])
@given(shank=SHANKS)
def test_a_slip_hole_slips_without_play(shank: float, step: float) -> None:
    hole = slip_hole(shank, step=step)
    assert shank + LEAST_SLIP.value - 1e-6 <= hole <= shank + MOST_SLIP.value + 1e-6
    assert hole / step == pytest.approx(round(hole / step), abs=1e-6)


@pytest.mark.parametrize("step", [INCH_BITS[1], METRIC_BITS[1]])
@given(shank=SHANKS)
def test_a_pilot_hole_is_narrower_than_the_shank_by_the_right_share(
    shank: float, step: float
) -> None:
    assert LEAST_PILOT.value - 1e-6 <= pilot_hole(shank, step=step) / shank
    assert pilot_hole(shank, step=step) / shank <= MOST_PILOT.value + 1e-6


def test_a_thin_shank_between_two_bits_still_gets_a_pilot() -> None:
    assert 0.75 * 0.02 < pilot_hole(0.02) < 0.9 * 0.02


def test_bits_go_by_what_lengths_are_cut_to() -> None:
    assert bits(1 / 16) == bits(1 / 8) == INCH_BITS
    assert bits(1 / 25.4) == METRIC_BITS
