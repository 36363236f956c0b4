"""Spots read once against those beside them: planted blunders, joists, rows, scatter."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import numpy as np
import pytest

from books import Row, book_of
from survey.field.jobfile import read_job
from survey.field.levelling import Surface, adjust
from survey.field.outliers import critical_value
from survey.field.readings import read_readings
from survey.job import Frame, Job, Laser
from survey.slab.neighbours import Neighbours, check_neighbours
from survey.slab.profile import profile

SAMPLES = Path(__file__).parents[1] / "sample_surveys"


def wall_rows(seed: int = 1, *, count: int = 12, name: str = "Long") -> list[Row]:
    """One wall on a slab that rolls gently, under joists of one height and the usual scatter."""
    rng = np.random.default_rng(seed)
    station = 16.0 * np.arange(count)
    slab = 0.2 * np.sin(station / 40.0) + rng.normal(0.0, 1 / 16, count)
    joist = 99.0 + rng.normal(0.0, 1 / 8, count)
    return [
        Row(name=name, station=float(x), down=52.0 - s, up=j - 52.0)
        for x, s, j in zip(station, slab, joist, strict=True)
    ]


def with_error(rows: list[Row], index: int, **error: float) -> list[Row]:
    wrong = {column: getattr(rows[index], column) + by for column, by in error.items()}
    return [dataclasses.replace(row, **wrong) if i == index else row for i, row in enumerate(rows)]


def checked(rows: list[Row], job: Job | None = None) -> Neighbours:
    job = Job() if job is None else job
    return check_neighbours(profile(adjust(book_of(rows), Laser()), job), job)


def test_a_clean_wall_is_not_accused() -> None:
    found = checked(wall_rows())
    assert found.suspects == ()
    assert len(found.tested) == 24
    assert found.critical == critical_value(24)
    assert found.mean_square < 1.5
    assert found.notes == ()


@pytest.mark.parametrize("amount", [0.75, -0.75])
@pytest.mark.parametrize("index", [0, 3, 11])
def test_a_blunder_on_the_slab_is_named_though_it_bends_the_model(
    index: int, amount: float
) -> None:
    (spot,) = checked(with_error(wall_rows(), index, down=amount)).suspects
    assert (spot.wall, spot.station, spot.surface) == ("Long", 16.0 * index, Surface.SLAB)
    assert [place.row for place in spot.places] == [index + 2]
    assert np.sign(spot.difference) == -np.sign(amount)
    assert abs(spot.difference) == pytest.approx(0.75, abs=0.3)


def test_two_blunders_are_named_the_worst_first() -> None:
    rows = with_error(with_error(wall_rows(), 3, down=0.75), 8, down=1.25)
    assert [spot.station for spot in checked(rows).suspects] == [128.0, 48.0]


@pytest.mark.parametrize("index", [0, 5, 11])
def test_a_blunder_on_a_joist_is_named(index: int) -> None:
    (spot,) = checked(with_error(wall_rows(), index, up=-0.75)).suspects
    assert (spot.station, spot.surface) == (16.0 * index, Surface.JOIST)
    assert spot.difference == pytest.approx(-0.75, abs=0.35)


def test_joists_may_fall_along_the_wall() -> None:
    rows = [dataclasses.replace(row, up=(row.up or 0.0) - row.station / 48) for row in wall_rows()]
    assert checked(rows).suspects == ()


def test_joists_of_wider_scatter_are_borne_where_the_job_says_so() -> None:
    rows = with_error(wall_rows(), 5, up=-0.75)
    assert checked(rows, Job(frame=Frame(joist_scatter=0.3))).suspects == ()


def test_readings_that_scatter_more_than_stated_are_told() -> None:
    """Walls read twice, half an inch on, with errors sixteen times those stated."""
    rng = np.random.default_rng(2)
    rows = [
        Row(name=f"W{wall}", station=station, down=50.0 + rng.normal(0.0, 0.25), sd=1 / 64)
        for wall in range(6)
        for i in range(14)
        for station in (16.0 * i, 16.0 * i + 0.5)
    ]
    (note,) = checked(rows).notes
    assert (note.code, note.level) == ("readings-scatter", "doubt")
    assert "times their sd" in note.text


def test_every_row_of_a_spot_is_given() -> None:
    rows = [*wall_rows(), dataclasses.replace(wall_rows()[4], up=None)]
    spot = next(s for s in checked(rows).tested if s.station == 64.0)
    assert [place.row for place in spot.places] == [6, 14]


def test_lips_of_a_joint_are_two_spots() -> None:
    rows = wall_rows()
    lips = [
        dataclasses.replace(rows[6], side=side, down=(rows[6].down or 0.0) + drop, flag="joint")
        for side, drop in ((-1, 0.0), (1, 0.75))
    ]
    after = [dataclasses.replace(row, down=(row.down or 0.0) + 0.75) for row in rows[7:]]
    found = checked([*rows[:6], *lips, *after])
    assert found.suspects == ()
    assert [s.side for s in found.tested if s.station == 96.0 and s.surface == Surface.SLAB] == [
        -1,
        1,
    ]


def test_crowded_readings_are_binned_and_keep_their_rows() -> None:
    rng = np.random.default_rng(3)
    rows = [
        Row(name="Long", station=0.25 * i, down=50.0 + rng.normal(0.0, 1 / 16)) for i in range(100)
    ]
    found = checked(rows)
    assert len(found.tested) == 25
    assert [len(spot.places) for spot in found.tested] == [4] * 25
    assert found.suspects == ()


def test_too_few_readings_are_not_tested() -> None:
    found = checked([Row(name="Long", station=0.0, down=50.0)])
    assert found.tested == ()
    assert np.isnan(found.mean_square)


@pytest.mark.parametrize("sample", ["quarry_house", "metric_cellar", "one_wall.csv"])
def test_clean_samples_are_not_accused(sample: str) -> None:
    job = read_job(SAMPLES / sample)
    found = check_neighbours(profile(adjust(read_readings(job), job.laser), job), job)
    assert found.suspects == ()
    assert found.notes == ()


def test_trouble_stands_out_where_it_was_planted() -> None:
    """The spot of the blunder, and the first spot read after the kick."""
    job = read_job(SAMPLES / "trouble")
    found = check_neighbours(profile(adjust(read_readings(job), job.laser), job), job)
    assert {(s.station, s.places[-1].row) for s in found.suspects} == {(222.0, 27), (64.0, 38)}
