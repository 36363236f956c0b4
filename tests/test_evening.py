"""The least cut for flatness against the straightedge itself."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey.slab.evening import even_cut
from survey.slab.flatness import straightedge

STATION = np.arange(0.0, 121.0, 6.0)


def test_a_flat_line_and_a_ramp_ask_nothing() -> None:
    for line in (np.zeros(21), 0.05 * STATION):
        assert even_cut(STATION, line, span=120.0, tolerance=0.25).max() == 0.0


def test_a_crown_is_not_ground_for_an_overhanging_bar() -> None:
    crown = -(((STATION - 60.0) / 60.0) ** 2)
    assert even_cut(STATION, crown, span=60.0, tolerance=0.25).max() == 0.0


def test_two_humps_with_a_dip_between_are_lowered_till_the_bar_is_content() -> None:
    line = np.zeros(21)
    line[5] = line[15] = 0.5
    depth = even_cut(STATION, line, span=120.0, tolerance=0.25)
    # the chord between the humps may stand 1/4 over the floor between: both come down by 1/4
    assert depth[[5, 15]] == pytest.approx([0.25, 0.25])
    assert depth.sum() == pytest.approx(0.5)


def test_a_lone_hump_is_judged_against_the_floor_beside_it() -> None:
    line = np.zeros(21)
    line[10] = 0.5
    depth = even_cut(STATION, line, span=60.0, tolerance=0.25)
    after = straightedge(STATION, line - depth, 60.0)
    assert after.gap <= 0.25 + 1e-6


@settings(max_examples=40)
@given(
    st.lists(st.integers(-16, 16), min_size=5, max_size=21), st.sampled_from([30.0, 60.0, 120.0])
)
def test_the_cut_cures_and_none_of_it_is_idle(sixteenths: list[int], span: float) -> None:
    line = np.array(sixteenths) / 16.0
    station = STATION[: line.size]
    depth = even_cut(station, line, span=span, tolerance=0.25)
    assert depth.min() >= 0.0
    assert straightedge(station, line - depth, span).gap <= 0.25 + 1e-6
    for i in np.flatnonzero(depth > 1e-6):
        less = depth.copy()
        less[i] -= min(1 / 64, less[i])
        assert straightedge(station, line - less, span).gap > 0.25 + 1e-9
