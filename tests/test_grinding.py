"""The least cut under a ceiling."""

import numpy as np
import pytest

from survey.slab.grinding import grind_to

STATION = np.arange(0.0, 50.0, 2.0)


def test_two_humps_over_a_ceiling_are_two_spots_cut_to_it() -> None:
    surface = np.zeros(25)
    surface[5:8] = [0.1, 0.3, 0.1]
    surface[20] = 0.25
    spots = grind_to(STATION, surface, np.full(25, 0.05), width=3.5, reason="float", buys="x")
    assert [spot.at for spot in spots] == [12.0, 40.0]
    assert spots[0].deepest == pytest.approx(0.25)
    assert (spots[0].start, spots[0].end) == (8.0, 16.0)
    assert spots[0].area == pytest.approx(8.0 * 3.5)
    # trapezoids 0, .05, .25, .05, 0 at 2 in: (.05 + .25 + .05) x 2 x 3.5
    assert spots[0].volume == pytest.approx(0.35 * 2.0 * 3.5)


def test_a_surface_under_the_ceiling_asks_nothing() -> None:
    assert grind_to(STATION, np.zeros(25), np.zeros(25), width=3.5, reason="flat", buys="") == ()


def test_an_infinite_ceiling_asks_nothing() -> None:
    ceiling = np.full(25, np.inf)
    assert grind_to(STATION, np.ones(25), ceiling, width=3.5, reason="float", buys="") == ()


def test_a_spot_may_reach_both_ends() -> None:
    (spot,) = grind_to(STATION, np.ones(25), np.zeros(25), width=2.0, reason="float", buys="")
    assert (spot.start, spot.end, spot.deepest) == (0.0, 48.0, 1.0)
