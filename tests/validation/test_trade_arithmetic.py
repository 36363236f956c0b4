"""Figures a carpenter knows by heart.

Source: common practice of the trade, none published; each is plain arithmetic. Nail sizes are
those of nail tables, second hand.
"""

from __future__ import annotations

import numpy as np
import pytest

from plans import wavy_house
from survey.job import Spikes, Travel, Trim
from survey.lengths import fraction
from survey.nails import slip_hole
from survey.wall.spikes import drive_spike
from survey.wall.standing import tilt_diagonal


def test_a_six_inch_spike_in_a_gap_of_one_and_a_half_leaves_one_and_a_half() -> None:
    """6 - 1-1/2 - 1-1/2 - 1-1/2 = 1-1/2 of drop (common practice)."""
    drive = drive_spike(1.5, 1.5, Spikes(lengths=(6.0,)), bottom=1.5, slab=1.5, drop=1.5)
    assert drive.fits
    assert drive.proud == 1.5


def test_a_six_inch_spike_in_a_gap_of_three_leaves_nothing_and_that_is_said() -> None:
    """6 - 1-1/2 - 3 - 1-1/2 = 0 (common practice); the next length sold does it."""
    drive = drive_spike(3.0, 3.0, Spikes(lengths=(6.0,)), bottom=1.5, slab=1.5, drop=1.0)
    assert not drive.fits
    assert drive.proud == 0.0
    longer = drive_spike(3.0, 3.0, Spikes(lengths=(6.0, 8.0)), bottom=1.5, slab=1.5, drop=1.0)
    assert (longer.length, longer.proud, longer.fits) == (8.0, 2.0, True)
    asked = Travel(rise=3.0, drop=1.0)
    wall = wavy_house("W", 96.0, travel=asked, spikes=Spikes(lengths=(6.0,))).walls[0]
    (note,) = [note for note in wall.notes if note.code == "spike-too-short"]
    assert note.lengths[2] == 0.0


def test_a_three_sixteenths_bit_binds_on_a_sixty_penny_nail() -> None:
    """A 0.263 shank wants 3/8: shank + 1/16, up to the next sixteenth."""
    assert slip_hole(0.263) == 3 / 8 > 0.263 > 3 / 16


@pytest.mark.parametrize(("depth", "extra"), [(3.5, '1/16"'), (5.5, '3/16"')])
def test_tilting_takes_a_sixteenth_for_a_2x4_and_three_for_a_2x6(depth: float, extra: str) -> None:
    """t^2 / (2 F) over a frame of a precut stud and two plates."""
    frame = 92.625 + 3.0
    assert fraction(tilt_diagonal(frame, depth) - frame) == extra
    assert tilt_diagonal(frame, depth) - frame == pytest.approx(depth**2 / (2 * frame), rel=1e-3)


@pytest.mark.parametrize(("gap", "base"), [(1.5, 4.0), (3.0, 5.5)])
def test_the_base_that_hides_the_gap_and_laps_by_an_inch(gap: float, base: float) -> None:
    """About 4 for a gap of 1-1/2 and 5-1/2 for 3, before any drop: slab plate + gap + lap."""
    asked = Travel(rise=gap, drop=0.0, allowance=0.0)
    wall = wavy_house("W", 96.0, travel=asked, trim=Trim(lap=1.0)).walls[0]
    more = wall.gap.greatest - gap
    lift = float(np.max(wall.plate.lift))
    assert wall.trim.base_needed == pytest.approx(base + more, abs=lift + 1e-6)
