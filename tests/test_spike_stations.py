"""Where spikes go: rules kept, doors and anchors left alone, no fewer than needed."""

from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey.job import Door, Frame, Job, WallLine, resolve
from survey.wall.layout import Layout, lay_out
from survey.wall.plate import Anchor, SlabPlate
from survey.wall.spike_stations import SpikeRow, space_spikes


class _Piece:
    """As much of a piece of plate as spikes are kept clear of."""

    def __init__(self, anchors: tuple[float, ...], start: float = 0.0, end: float = 0.0) -> None:
        self.anchors = tuple(Anchor(station=at, pull=0.0, remark="") for at in anchors)
        self.start, self.end = start, end


def _layout(length: float, *, doors: tuple[float, ...] = (), spacing: float = 16.0) -> Layout:
    line = WallLine(name="W", length=length, door=tuple(Door(at=at, width=34.0) for at in doors))
    return lay_out(length, resolve(Job(walls=(line,), frame=Frame(spacing=spacing)), "W"))


def _plate(*pieces: _Piece) -> SlabPlate:
    return SlabPlate(
        count=1,
        thickness=1.5,
        seal=0.0,
        lift=np.zeros(1),
        cross_fall=0.0,
        pieces=pieces,  # type: ignore[arg-type]
    )


def _stations(row: SpikeRow) -> list[float]:
    return [place.station for place in row.places]


def test_they_stand_mid_bay() -> None:
    layout = _layout(320.0)
    (row,) = space_spikes(layout, _plate(), spacing=36.0)
    middles = {(a + b) / 2 for a, b in layout.bays}
    assert set(_stations(row)) <= middles
    assert row.wide == ()


def test_where_the_first_bay_is_too_wide_the_first_moves_to_twelve_inches() -> None:
    (row,) = space_spikes(_layout(200.0, spacing=24.0), _plate(), spacing=36.0)
    assert _stations(row)[0] == pytest.approx(12.0)
    assert row.wide == ()


def test_an_anchor_in_the_middle_of_a_bay_moves_the_spike() -> None:
    layout = _layout(200.0)
    free = _stations(space_spikes(layout, _plate(), spacing=36.0)[0])
    (row,) = space_spikes(layout, _plate(_Piece((free[1],))), spacing=36.0)
    assert all(abs(at - free[1]) >= 2.0 - 1e-9 for at in _stations(row))
    assert not any(place.clash for place in row.places)


def test_a_splice_is_kept_clear_of() -> None:
    plate = _plate(_Piece((), 0.0, 56.0), _Piece((), 56.0, 200.0))
    (row,) = space_spikes(_layout(200.0), plate, spacing=36.0)
    assert all(abs(at - 56.0) >= 4.0 - 1e-9 for at in _stations(row))


def test_a_clash_that_cannot_be_avoided_is_said() -> None:
    anchors = _Piece(tuple(np.arange(0.0, 30.0, 2.0)))
    (row,) = space_spikes(_layout(20.0), _plate(anchors), spacing=36.0)
    assert [place.clash for place in row.places] == [True]


def test_a_stretch_its_studs_fill_has_no_spike() -> None:
    first, second = space_spikes(_layout(100.0, doors=(20.0,)), _plate(), spacing=36.0)
    assert first.places == ()
    assert first.wide == ((0.0, 3.0),)
    assert second.places


def test_a_spacing_too_close_for_the_studs_is_kept_as_far_as_it_goes() -> None:
    (row,) = space_spikes(_layout(60.0), _plate(), spacing=3.0)
    apart = [b - a for a, b in pairwise(_stations(row))]
    assert row.wide
    assert max(apart) == pytest.approx(4.5)  # a stud and the room for a hammer on both sides


@given(
    length=st.floats(30.0, 400.0),
    door=st.none() | st.floats(0.1, 0.9),
    spacing=st.floats(12.0, 60.0),
    studs=st.sampled_from([12.0, 16.0, 24.0]),
    anchors=st.lists(st.floats(0.0, 400.0), max_size=12),
)
def test_rules_hold_wherever_nothing_else_is_said(
    length: float, door: float | None, spacing: float, studs: float, anchors: list[float]
) -> None:
    at = () if door is None else (min(max(door * length, 17.0), length - 17.0),)
    layout = _layout(length, doors=at if length > 40.0 else (), spacing=studs)
    for row in space_spikes(layout, _plate(_Piece(tuple(anchors))), spacing=spacing):
        stations = _stations(row)
        for station in stations:
            assert row.start < station < row.end
            assert not any(o.start <= station <= o.end for o in layout.openings)
            near = [abs(s.station - station) for s in layout.studs if s.kind != "cripple"]
            assert min(near) >= layout.thickness / 2 + 1.5 - 1e-6
        if row.wide:
            continue
        assert stations[0] - row.start <= 12.0 + 1e-5
        assert row.end - stations[-1] <= 12.0 + 1e-5
        assert all(b - a <= spacing + 1e-5 for a, b in pairwise(stations))
        for place in row.places:
            meets = any(abs(place.station - anchor) < 2.0 - 1e-5 for anchor in anchors)
            assert place.clash or not meets


@given(length=st.floats(40.0, 130.0), spacing=st.floats(18.0, 48.0))
def test_no_row_of_bay_middles_has_fewer(length: float, spacing: float) -> None:
    layout = _layout(length)
    (row,) = space_spikes(layout, _plate(), spacing=spacing)
    middles = [(a + b) / 2 for a, b in layout.bays if b - a >= 1.5 + 3.0]

    def keeps(chosen: tuple[float, ...]) -> bool:
        apart = [b - a for a, b in pairwise(chosen)]
        ends = (chosen[0], length - chosen[-1])
        return max(ends) <= 12.0 + 1e-6 and max(apart, default=0.0) <= spacing + 1e-6

    counts = [
        n
        for n in range(1, len(middles) + 1)
        if any(keeps(chosen) for chosen in combinations(middles, n))
    ]
    if counts and not row.wide:
        assert len(row.places) <= counts[0]
