"""The slab plate laid along a wall: pieces, lift, what it takes of the height."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from survey.job import Job, SlabFacts, WallLine, WallSettings, resolve
from survey.slab.slab_line import SlabLine, Stations
from survey.wall.plate import SlabPlate, lay_plate

STATION = np.arange(0.0, 121.0, 2.0)


def _slab(mean: np.ndarray) -> SlabLine:
    at = Stations(station=STATION, piece=np.zeros(STATION.size, dtype=np.int64))
    return SlabLine(at=at, mean=mean, sd=np.full(STATION.size, 0.02))


def _settings(**plate: object) -> WallSettings:
    job = Job(walls=(WallLine(name="W"),))
    return resolve(replace(job, plate=replace(job.plate, **plate)), "W")  # type: ignore[arg-type]


def _laid(mean: np.ndarray, settings: WallSettings | None = None, count: int = 1) -> SlabPlate:
    chosen = _settings() if settings is None else settings
    return lay_plate(_slab(mean), [(0.0, 120.0)], [], chosen, count=count)


def test_on_a_flat_slab_it_lies_flat_and_nothing_pulls() -> None:
    plate = _laid(np.zeros(STATION.size))
    assert plate.lift == pytest.approx(np.zeros(STATION.size), abs=1e-9)
    assert plate.height == pytest.approx(np.full(STATION.size, 1.5))
    assert [anchor.pull for anchor in plate.pieces[0].anchors] == pytest.approx([0.0] * 5, abs=1e-6)
    assert plate.pieces[0].voids == ()


def test_over_a_long_fall_it_lies_flat_too() -> None:
    plate = _laid(STATION * 0.02)
    assert plate.lift.max() == pytest.approx(0.0, abs=1e-6)


def test_beside_a_hump_it_stands_off_and_the_lift_enters_the_height() -> None:
    plate = _laid(0.5 * np.exp(-(((STATION - 60.0) / 8.0) ** 2)))
    assert plate.lift.min() >= 0.0
    assert plate.lift.max() > 0.05
    assert plate.height == pytest.approx(1.5 + plate.lift)
    assert plate.pieces[0].stress > 1000.0
    assert any(anchor.pull > 0 for anchor in plate.pieces[0].anchors)
    assert plate.pieces[0].voids


def test_two_boards_and_a_seal_add_up() -> None:
    plate = _laid(np.zeros(STATION.size), _settings(seal=0.25), count=2)
    assert plate.height[0] == pytest.approx(3.25)


def test_past_the_limit_an_anchor_says_so() -> None:
    hump = 0.5 * np.exp(-(((STATION - 60.0) / 8.0) ** 2))
    weak = _laid(hump, _settings(anchor_limit=1.0))
    assert any(anchor.remark for anchor in weak.pieces[0].anchors)
    strong = _laid(hump, _settings(anchor_limit=10_000.0))
    assert not any(anchor.remark for anchor in strong.pieces[0].anchors)


def test_over_tendons_nothing_is_drilled() -> None:
    settings = replace(_settings(), slab=SlabFacts(post_tension="yes"))
    assert _laid(np.zeros(STATION.size), settings).pieces[0].anchors == ()


def test_a_slab_joint_steps_between_two_pieces() -> None:
    at = Stations(
        station=np.concatenate([np.arange(0.0, 61.0, 2.0), np.arange(60.0, 121.0, 2.0)]),
        piece=np.repeat([0, 1], 31),
    )
    mean = np.where(at.piece == 0, 0.0, 0.75)
    slab = SlabLine(at=at, mean=mean, sd=np.zeros(mean.size))
    plate = lay_plate(slab, [(0.0, 120.0)], [60.0], _settings(), count=1)
    assert plate.splices == (60.0,)
    assert plate.lift == pytest.approx(np.zeros(mean.size), abs=1e-6)
