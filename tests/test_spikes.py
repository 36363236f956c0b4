"""Spikes: long enough, never into the concrete, drilled so that they slip."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from plans import SAMPLES, sample, wavy_house
from survey.errors import SurveyError
from survey.job import JobInfo, PlateBoard, Spikes
from survey.wall.spikes import Drive, Spike, drive_spike, side_load_share

SIXTEENTHS = st.integers(0, 80).map(lambda n: n / 16)
STOCK = st.lists(st.sampled_from([4.0, 5.0, 6.0, 8.0, 10.0, 12.0]), min_size=1, unique=True)


@given(
    gap=SIXTEENTHS,
    more=st.integers(0, 16).map(lambda n: n / 16),
    drop=st.integers(0, 48).map(lambda n: n / 16),
    grip=st.sampled_from([0.75, 1.0, 1.25, 1.5]),
    slab=st.sampled_from([1.5, 1.4375, 3.0]),
    stock=STOCK,
)
def test_a_spike_that_fits_grips_leaves_the_drop_and_stays_out_of_the_concrete(
    gap: float, more: float, drop: float, grip: float, slab: float, stock: list[float]
) -> None:
    asked = Spikes(lengths=tuple(stock), grip=grip)
    drive = drive_spike(gap, gap + more, asked, bottom=1.5, slab=slab, drop=drop)
    assert drive.embed <= slab + 1e-9
    assert drive.proud >= 0.0
    assert drive.length in stock
    if drive.length >= 1.5 + gap:
        assert drive.proud + 1.5 + gap + drive.embed == pytest.approx(drive.length)
    if drive.fits:
        assert drive.embed >= grip - 1e-9
        assert drive.proud >= drop
        assert drive.length - 1.5 - (gap + more) - grip >= drop - 1e-9
        shorter = [length for length in stock if length < drive.length]
        assert all(length - 1.5 - (gap + more) - grip < drop for length in shorter)


@given(gap=SIXTEENTHS, drop=st.integers(0, 48).map(lambda n: n / 16), stock=STOCK)
def test_no_spike_in_stock_fits_when_none_is_said_to(
    gap: float, drop: float, stock: list[float]
) -> None:
    asked = Spikes(lengths=tuple(stock))
    drive = drive_spike(gap, gap, asked, bottom=1.5, slab=1.5, drop=drop)
    assume(not drive.fits)
    assert drive.length == max(stock)
    assert max(stock) - 1.5 - gap - asked.grip < drop


@given(gap=SIXTEENTHS, by=st.integers(1, 32).map(lambda n: n / 16))
def test_a_longer_spike_stands_prouder_by_as_much(gap: float, by: float) -> None:
    def driven(length: float) -> Drive:
        stock = Spikes(lengths=(length,))
        return drive_spike(gap, gap, stock, bottom=1.5, slab=1.5, drop=1.0)

    first, second = driven(12.0), driven(12.0 + by)
    assert second.proud - first.proud == pytest.approx(by)
    assert first.embed == second.embed == pytest.approx(1.5)


def test_a_grip_thicker_than_the_plate_never_fits() -> None:
    asked = Spikes(lengths=(12.0,), grip=2.0)
    assert not drive_spike(1.5, 1.5, asked, bottom=1.5, slab=1.5, drop=1.0).fits
    assert drive_spike(1.5, 1.5, asked, bottom=1.5, slab=3.0, drop=1.0).fits


@pytest.mark.parametrize("name", SAMPLES)
def test_where_a_wall_passes_every_spike_fits(name: str) -> None:
    for wall in sample(name).walls:
        assert wall.spikes
        if wall.verdict.passes:
            assert all(spike.drive.fits for spike in wall.spikes)


@pytest.mark.parametrize("name", SAMPLES)
def test_the_parts_of_every_spike_sum_to_its_length(name: str) -> None:
    for wall in sample(name).walls:
        for spike in wall.spikes:
            parts = (spike.drop, wall.frame.plate_thickness, spike.gap, spike.drive.embed)
            assert sum(parts) == pytest.approx(spike.drive.length)
            assert spike.clear_above == spike.drop + wall.settings.travel.rise


def test_the_gap_of_a_spike_is_that_of_the_line() -> None:
    wall = sample("one_wall.csv").walls[0]
    for spike in wall.spikes:
        assert wall.gap.least - 1e-9 <= spike.gap <= wall.gap.greatest + 1e-9
        assert spike.gap < spike.greatest <= wall.gap.assured_greatest + 1e-9


def _spikes(asked: Spikes, **tables: Any) -> tuple[Spike, ...]:
    return wavy_house("W", 160.0, spikes=asked, **tables).walls[0].spikes


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (Spikes(lengths=(8.0,), hole=3 / 16), r'hole 3/16" binds on the 3/8" shank .* drill 7/16"'),
        (Spikes(shank=0.263, hole=1 / 4), r'hole 1/4" binds on the 17/64" shank .* drill 3/8"'),
    ],
)
def test_a_hole_that_binds_says_which_bit(asked: Spikes, words: str) -> None:
    with pytest.raises(SurveyError, match=words):
        _spikes(asked)


def test_a_metric_job_is_told_a_metric_bit() -> None:
    asked = Spikes(lengths=(8.0,), hole=3 / 16)
    with pytest.raises(SurveyError, match=r"hole 4\.8 mm binds .* drill 11\.5 mm"):
        _spikes(asked, info=JobInfo(unit="mm", round=1 / 25.4))


def test_what_the_job_gives_is_taken() -> None:
    asked = Spikes(lengths=(8.0,), shank=0.25, hole=0.34375, pilot=0.21875, fyb=1e5)
    for spike in _spikes(asked):
        assert (spike.shank, spike.hole, spike.pilot) == (0.25, 0.34375, 0.21875)
        assert not spike.from_memory


def test_two_slab_plates_let_a_spike_in_deeper() -> None:
    for spike in _spikes(Spikes(lengths=(10.0,)), plate=PlateBoard(count=2)):
        assert spike.drive.embed == pytest.approx(3.0)


def test_side_load_by_hand() -> None:
    """5 lb/ft2 on 4 ft by 3 ft at an arm of 2 in, against 70,000 psi x .375^3 / 6: 120 / 615."""
    share = side_load_share(1.25, 0.375, bottom=1.5, height=96.0, spacing=36.0, fyb=70_000.0)
    assert share == pytest.approx(120.0 / 615.234375)


@given(gap=st.floats(0.5, 4.0), spacing=st.floats(12.0, 48.0))
def test_side_load_grows_with_spacing_and_shrinks_with_the_cube_of_the_shank(
    gap: float, spacing: float
) -> None:
    def share(shank: float, apart: float) -> float:
        return side_load_share(gap, shank, bottom=1.5, height=96.0, spacing=apart, fyb=7e4)

    assert share(0.25, 2 * spacing) == pytest.approx(2 * share(0.25, spacing))
    assert share(0.5, spacing) == pytest.approx(share(0.25, spacing) / 8)
