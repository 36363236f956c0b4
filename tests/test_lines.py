"""Limits of the gap and the studs they admit, on clear heights made up so that sums are plain."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey.job import Job, resolve
from survey.wall.clear_height import ClearHeight, clear_height
from survey.wall.joists import JoistLine
from survey.wall.lines import (
    FrameStack,
    Limits,
    level_gap,
    level_stud,
    level_top,
    limits,
    plate_bend,
)
from survey.wall.plate import SlabPlate

STATION = np.arange(0.0, 97.0, 2.0)
EMPTY = FrameStack(top_plates=1, plate_thickness=1.5, stud=0.0)
PLATE = SlabPlate(count=1, thickness=1.5, seal=0.0, lift=np.zeros(STATION.size), cross_fall=0.0)


def _sure_clear(least: float, greatest: float) -> ClearHeight:
    """A clear height known without doubt that runs from `greatest` to `least`."""
    draws = np.broadcast_to(np.linspace(greatest, least, STATION.size), (50, STATION.size))
    return clear_height(
        STATION, top=np.full((50, 1), 0.0), slab=-draws, plates=((0.0, 96.0),), confidence=0.95
    )


def _limits(**changes: float) -> Limits:
    return Limits(**{"required": 1.625, "widest": np.inf, "span": 3.25, "drawn_up": 0.0, **changes})


def _joists(heights: list[float]) -> JoistLine:
    n = len(heights)
    return JoistLine(
        station=np.arange(0.0, 16.0 * n, 16.0),
        elevation=np.array(heights),
        sd=np.zeros(n),
        read=np.ones(n, dtype=np.bool_),
        mix=np.eye(n),
        scatter=np.zeros(n),
        common_sd=0.0,
        spacing=16.0,
        assumed=False,
    )


def test_longest_and_shortest_stud_are_the_sums_of_the_stack() -> None:
    # 99 - plate 1.5 - gap 1.625 - bottom 1.5 - top 1.5 = 92.875
    # 99.5 - plate 1.5 - span 3.25 - bottom 1.5 - top 1.5 = 91.75
    fit = level_stud(_sure_clear(99.0, 99.5), PLATE, EMPTY, _limits(), step=1 / 16, precuts=())
    assert fit.longest == pytest.approx(92.875)
    assert fit.shortest == pytest.approx(91.75)
    assert (fit.length, fit.passes, fit.short_by, fit.bound) == (92.875, True, 0.0, "spike")


def test_the_longest_fitting_precut_is_used_uncut() -> None:
    fit = level_stud(
        _sure_clear(99.0, 99.5), PLATE, EMPTY, _limits(), step=1 / 16, precuts=(91.0, 92.0, 92.625)
    )
    assert (fit.length, fit.precut) == (92.625, True)


def test_a_precut_off_the_ladder_passes_though_no_cut_length_would() -> None:
    clear = _sure_clear(99.0, 99.0)
    tight = _limits(span=1.625 + 0.01)
    bare = level_stud(clear, PLATE, EMPTY, tight, step=1 / 2, precuts=())
    assert not bare.passes
    assert bare.short_by > 0
    fit = level_stud(clear, PLATE, EMPTY, tight, step=1 / 2, precuts=(92.87,))
    assert (fit.passes, fit.length) == (True, 92.87)


def test_no_room_at_all_is_no_pass() -> None:
    fit = level_stud(_sure_clear(4.0, 4.5), PLATE, EMPTY, _limits(), step=1 / 16, precuts=())
    assert not fit.passes


def test_screws_that_draw_the_plate_up_come_off_the_span() -> None:
    clear = _sure_clear(99.0, 99.5)
    still = level_stud(clear, PLATE, EMPTY, _limits(), step=1 / 16, precuts=())
    drawn = level_stud(clear, PLATE, EMPTY, _limits(drawn_up=0.125), step=1 / 16, precuts=())
    assert drawn.shortest == pytest.approx(still.shortest + 0.125)


@given(
    least=st.floats(94.0, 100.0),
    spread=st.floats(0.0, 3.0),
    step=st.sampled_from([1 / 64, 1 / 16, 1 / 8, 1 / 25.4]),
    widest=st.floats(1.5, 4.0),
)
def test_whatever_passes_keeps_every_limit(
    least: float, spread: float, step: float, widest: float
) -> None:
    clear, bounds = _sure_clear(least, least + spread), _limits(widest=widest)
    fit = level_stud(clear, PLATE, EMPTY, bounds, step=step, precuts=(92.625,))
    frame = FrameStack(top_plates=1, plate_thickness=1.5, stud=fit.length)
    gap = level_gap(clear, PLATE, frame, bounds)
    kept = (
        gap.least_assured >= bounds.required - 1e-6
        and gap.gap.max() <= widest + 1e-6
        and gap.widest.max() <= bounds.span + 1e-6
    )
    assert kept == fit.passes


def test_the_longest_on_the_ladder_could_not_be_one_step_longer() -> None:
    clear, bounds = _sure_clear(99.03, 99.5), _limits()
    fit = level_stud(clear, PLATE, EMPTY, bounds, step=1 / 16, precuts=())
    longer = FrameStack(top_plates=1, plate_thickness=1.5, stud=fit.length + 1 / 16)
    assert level_gap(clear, PLATE, longer, bounds).least_assured < bounds.required


def test_spike_span_is_the_arithmetic_of_the_trade() -> None:
    # a 6 in spike through a 1-1/2 plate, gripping 1-1/4, leaving 1 of drop, spans 2-1/4
    settings = resolve(Job(), "W")
    top = level_top(_joists([100.0, 100.0]), np.full((10, 2), 100.0), settings)
    bounds = limits(settings, top)
    assert bounds.span == pytest.approx(10.0 - 1.5 - 1.25 - 1.0)
    assert bounds.required == pytest.approx(1.5 + 0.125)


def test_level_top_touches_the_lowest_joist_and_packs_the_rest() -> None:
    settings = resolve(Job(), "W")
    joists = _joists([100.25, 100.0, 100.05, 100.5])
    top = level_top(joists, np.broadcast_to(joists.elevation, (10, 4)), settings)
    assert top.elevation == pytest.approx(100.0)
    assert [(p.station, p.thickness) for p in top.packing] == [(0.0, 0.25), (48.0, 0.5)]
    assert not top.shim_free


def test_plate_bend_from_beam_theory() -> None:
    # P at midspan giving 1,000 psi in a flat 2x4 over 32 in: delta = P L^3 / 48 E I
    section, inertia = 3.5 * 1.5**2 / 6, 3.5 * 1.5**3 / 12
    load = 4 * 1000 * section / 32
    assert plate_bend(1.5, 16.0) == pytest.approx(load * 32**3 / (48 * 1.4e6 * inertia))
