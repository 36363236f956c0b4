"""Slab, plate, slab under a plate, tapes: each reading with the rows it was taken in."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from fieldbooks import field_book
from survey.field.levelling import Surface, adjust
from survey.field.outliers import Place
from survey.field.quality import judge_quality
from survey.job import Job, Laser
from survey.slab.neighbours import Neighbours, check_neighbours
from survey.slab.profile import FloorProfile, profile
from survey.slab.read_again import read_again
from survey.slab.read_surfaces import (
    locate_below,
    locate_joists,
    read_surfaces,
    telling_roughness,
)

Rows = list[dict[str, Any]]


def readings(*, on_plate: bool, bad: int = -1, count: int = 10) -> Rows:
    rng = np.random.default_rng(2)
    return [
        {
            "station": 16.0 * i,
            "down": 50.0 + rng.normal(0.0, 1 / 16) + 0.75 * (i == bad),
            "on_plate": on_plate,
        }
        for i in range(count)
    ]


def tapes(*, bad: int = -1) -> Rows:
    rng = np.random.default_rng(3)
    return [
        {"station": 16.0 * i, "clear": 99.0 + rng.normal(0.0, 1 / 8) + 2.0 * (i == bad)}
        for i in range(10)
    ]


def floor_of(rows: Rows) -> FloorProfile:
    return profile(adjust(field_book(rows), Laser()), Job())


def checked(rows: Rows) -> Neighbours:
    return check_neighbours(floor_of(rows), Job())


def test_a_plate_is_tested_as_a_plate() -> None:
    found = checked(readings(on_plate=True, bad=4))
    assert {spot.surface for spot in found.tested} == {Surface.PLATE}
    assert [spot.station for spot in found.suspects] == [64.0]


def test_plate_and_the_slab_beneath_are_tested_each_by_itself() -> None:
    rows = [*readings(on_plate=True), *readings(on_plate=False, bad=4)]
    floor = floor_of(rows)
    surfaces = read_surfaces(floor)
    assert [one.surface for one in surfaces] == [Surface.PLATE, Surface.SLAB]
    assert telling_roughness(surfaces) == [1]
    (spot,) = check_neighbours(floor, Job()).suspects
    assert (spot.station, spot.surface) == (64.0, Surface.SLAB)
    assert [place.row for place in spot.places] == [16]


def test_a_plate_tells_the_roughness_where_there_is_no_bare_slab() -> None:
    rows = readings(on_plate=True) + [{**row, "name": "South"} for row in tapes()]
    surfaces = read_surfaces(floor_of(rows))
    assert [one.line.tape_only for one in surfaces] == [False, True]
    assert telling_roughness(surfaces) == [0]


def test_tapes_are_tested_in_their_rows() -> None:
    floor = floor_of(tapes(bad=6))
    (one,) = read_surfaces(floor)
    assert telling_roughness([one]) == [0]
    assert [at.places for at in locate_below(floor, one)][:2] == [
        (Place(file="readings.csv", row=2, setup=""),),
        (Place(file="readings.csv", row=3, setup=""),),
    ]
    assert locate_joists(floor, one.line) == ()
    found = check_neighbours(floor, Job())
    assert [(spot.station, spot.places[0].row) for spot in found.suspects] == [(96.0, 8)]
    assert len(found.tested) == 10


def test_a_job_of_tapes_only_has_no_findings() -> None:
    heights = adjust(field_book(tapes(bad=6)), Laser())
    quality = judge_quality(heights)
    assert quality.findings.found == ()
    assert quality.notes == ()
    (note,) = read_again(quality, checked(tapes(bad=6)))
    assert note.row == 8


@pytest.mark.parametrize("order", [1, -1])
def test_tapes_on_two_lips_keep_their_rows(order: int) -> None:
    rows = tapes()
    lips = [{"station": 72.0, "side": side, "clear": 99.0, "flag": "joint"} for side in (-1, 1)]
    floor = floor_of([*rows[:5], *lips[::order], *rows[5:]])
    (one,) = read_surfaces(floor)
    at = {(where.station, where.side): where.places[0].row for where in locate_below(floor, one)}
    assert (at[72.0, -1], at[72.0, 1]) == ((7, 8) if order > 0 else (8, 7))
