"""Draws of the slab agree with kriging in mean and sd, and with the Matern model alone."""

import numpy as np
import pytest

from survey.slab.kriging import matern32
from survey.slab.roughness import ReadLine, fit, predict
from survey.slab.simulation import _draw_matern, draw_floor, walk

SD = 1 / 16


def test_free_path_has_the_matern_covariance() -> None:
    station = np.array([0.0, 3.0, 10.0, 40.0, 41.0, 200.0])
    path = walk(station, np.zeros(6, dtype=np.int64))
    node = np.zeros(20_000, dtype=np.int64)
    drawn = _draw_matern(path.step, np.array([48.0]), node, np.random.default_rng(1))
    expected = matern32(station[:, None] - station[None, :], 48.0)
    assert np.cov(drawn) == pytest.approx(expected, abs=0.04)


def test_pieces_are_independent_and_a_repeated_station_repeats() -> None:
    station, piece = np.array([10.0, 10.0, 10.0]), np.array([0, 1, 1])
    path = walk(station, piece)
    node = np.zeros(20_000, dtype=np.int64)
    drawn = _draw_matern(path.step, np.array([48.0]), node, np.random.default_rng(2))
    assert abs(float(np.mean(drawn[0] * drawn[1]))) < 0.03
    assert drawn[1] == pytest.approx(drawn[2], abs=1e-9)


@pytest.mark.parametrize("slope_sd", [None, 0.01])
def test_draws_have_the_kriging_mean_and_sd(slope_sd: float | None) -> None:
    rng = np.random.default_rng(9)
    station = np.array([0.0, 30.0, 60.0, 80.0, 100.0, 140.0, 180.0])
    line = ReadLine(
        station=station,
        piece=(station >= 90).astype(np.int64),
        elevation=rng.normal(0.0, 0.2, 7) + (station >= 90),
        noise=SD**2 * (np.eye(7) + 0.3),
        slope_sd=slope_sd,
    )
    model = fit([line])
    at = np.linspace(0.0, 200.0, 41)
    piece = (at >= 90).astype(np.int64)
    error = rng.standard_normal((30_000, 7)) @ np.linalg.cholesky(line.noise).T
    drawn = draw_floor(line, model, at, piece, error=error, rng=rng).slab
    expected = predict(line, model, at, piece)
    assert drawn.mean(axis=0) == pytest.approx(expected.mean, abs=0.012)
    assert drawn.std(axis=0) / expected.sd == pytest.approx(np.ones(41), abs=0.05)
