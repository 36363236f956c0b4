"""The averaged roughness model: recovery, invariance, pieces, priors."""

import numpy as np
import pytest

from survey.slab.kriging import matern32
from survey.slab.roughness import FloorModel, ReadLine, fit, predict

SD = 1 / 16


def _line(
    rng: np.random.Generator, *, sill: float, reach: float, n: int = 30, slope: float = 0.004
) -> ReadLine:
    station = np.sort(rng.uniform(0.0, 12.0 * n, n))
    covariance = sill**2 * matern32(station[:, None] - station[None, :], reach)
    floor = np.linalg.cholesky(covariance + 1e-10 * np.eye(n)) @ rng.normal(size=n)
    return ReadLine(
        station=station,
        piece=np.zeros(n, dtype=np.int64),
        elevation=floor + slope * station + rng.normal(0.0, SD, n),
        noise=SD**2 * np.eye(n),
    )


def test_many_lines_recover_sill_and_range() -> None:
    rng = np.random.default_rng(3)
    model = fit([_line(rng, sill=0.3, reach=40.0) for _ in range(25)])
    assert model.mean_sill_sd == pytest.approx(0.3, rel=0.15)
    assert model.mean_range == pytest.approx(40.0, rel=0.3)


def test_without_lines_the_prior_is_kept() -> None:
    model = fit([])
    assert model.mean_sill_sd == pytest.approx(0.15, rel=1e-6)
    assert model.mean_range == pytest.approx(48.0, rel=1e-6)


def test_close_grid_has_the_nodes_and_weights_promised() -> None:
    model = fit([_line(np.random.default_rng(5), sill=0.2, reach=60.0)])
    assert model.weight.sum() == pytest.approx(1.0)
    assert model.weight.min() >= 1e-3
    assert np.unique(model.sill_sd).size <= 9


def test_shift_and_tilt_of_the_readings_change_no_sd_and_no_model() -> None:
    rng = np.random.default_rng(11)
    line = _line(rng, sill=0.2, reach=50.0)
    moved = ReadLine(
        station=line.station,
        piece=line.piece,
        elevation=line.elevation + 100.0 + 0.02 * line.station,
        noise=line.noise,
    )
    at, piece = np.linspace(0, 360, 40), np.zeros(40, dtype=np.int64)
    before, after = (predict(each, fit([each]), at, piece) for each in (line, moved))
    assert after.sd == pytest.approx(before.sd, rel=1e-6)
    assert after.mean - 100.0 - 0.02 * at == pytest.approx(before.mean, abs=1e-6)


def test_pieces_have_levels_of_their_own() -> None:
    station = np.array([0.0, 24.0, 48.0, 72.0, 96.0, 120.0])
    piece = np.array([0, 0, 0, 1, 1, 1])
    line = ReadLine(
        station=station,
        piece=piece,
        elevation=np.where(piece == 1, 5.0, 0.0),
        noise=1e-6 * np.eye(6),
    )
    model = FloorModel(sill_sd=np.array([0.1]), range=np.array([48.0]), weight=np.array([1.0]))
    at = np.array([60.0, 60.0])
    found = predict(line, model, at, np.array([0, 1]))
    assert found.mean == pytest.approx([0.0, 5.0], abs=1e-3)


def test_slope_prior_holds_a_line_of_two_readings() -> None:
    line = ReadLine(
        station=np.array([0.0, 1.0]),
        piece=np.zeros(2, dtype=np.int64),
        elevation=np.array([0.0, 0.5]),
        noise=SD**2 * np.eye(2),
        slope_sd=0.125 / 12,
    )
    model = FloorModel(sill_sd=np.array([0.15]), range=np.array([48.0]), weight=np.array([1.0]))
    found = predict(line, model, np.array([120.0]), np.zeros(1, dtype=np.int64))
    assert abs(found.mean[0]) < 3.0
    assert 0.5 < found.sd[0] < 2.0
