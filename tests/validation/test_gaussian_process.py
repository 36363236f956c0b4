"""Kriging against Gaussian-process regression worked out independently.

Source: a one-dimensional noisy process worked with plain numpy and with scikit-learn's
GaussianProcessRegressor (Pedregosa et al., "Scikit-learn: Machine Learning in Python", JMLR 12,
2011), both agreeing to ten digits. Status: derived.
"""

import numpy as np
import pytest
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import ConstantKernel, DotProduct, Matern

from survey.slab.kriging import (
    kriging_weights,
    matern32,
    prediction_variance,
    restricted_log_likelihood,
)
from survey.slab.roughness import FloorModel, ReadLine, predict

AT = np.array([0.0, 1.0, 3.0, 4.5])
READ = np.array([0.0, 0.12, 0.05, -0.08])


def _squared_exponential(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    return np.asarray(0.01 * np.exp(-0.5 * ((a[:, None] - b[None, :]) / 2.0) ** 2))


@pytest.mark.parametrize(
    ("at", "mean", "variance"),
    [(2.0, 0.1163465072, 0.0004067849), (6.0, -0.0920400908, 0.0033455658)],
)
def test_noisy_process_without_drift(at: float, mean: float, variance: float) -> None:
    where = np.array([at])
    observed = _squared_exponential(AT, AT) + 0.0004 * np.eye(4)
    towards = _squared_exponential(where, AT)
    weights = kriging_weights(observed, towards, np.zeros((4, 0)), np.zeros((1, 0)))
    assert (weights @ READ)[0] == pytest.approx(mean, abs=5e-11)
    found = prediction_variance(weights, observed, towards, np.array([0.01]))
    assert found[0] == pytest.approx(variance, abs=5e-11)


def test_log_likelihood_without_drift() -> None:
    observed = _squared_exponential(AT, AT) + 0.0004 * np.eye(4)
    found = restricted_log_likelihood(observed, READ, np.zeros((4, 0)))
    assert found - 2.0 * np.log(2.0 * np.pi) == pytest.approx(3.3618010608, abs=5e-11)


def test_line_with_free_level_and_slope_equals_scikit_learn_with_a_wide_prior() -> None:
    rng = np.random.default_rng(7)
    station = np.sort(rng.uniform(0.0, 240.0, 20))
    elevation = 0.003 * station + rng.normal(0.0, 0.1, 20)
    line = ReadLine(
        station=station,
        piece=np.zeros(20, dtype=np.int64),
        elevation=elevation,
        noise=np.eye(20) / 256.0,
    )
    model = FloorModel(sill_sd=np.array([0.15]), range=np.array([48.0]), weight=np.array([1.0]))
    where = np.linspace(0.0, 240.0, 25)
    ours = predict(line, model, where, np.zeros(25, dtype=np.int64))

    lever = 120.0
    kernel = ConstantKernel(0.15**2) * Matern(length_scale=48.0 / lever, nu=1.5)
    wide = ConstantKernel(1e5) * DotProduct(sigma_0=1.0)
    regressor = GaussianProcessRegressor(kernel + wide, alpha=1 / 256.0, optimizer=None)
    regressor.fit((station[:, None] - lever) / lever, elevation)
    mean = regressor.predict((where[:, None] - lever) / lever)
    assert ours.mean == pytest.approx(mean, abs=1e-6)


def test_matern_of_three_halves_equals_scikit_learn() -> None:
    distance = np.linspace(0.0, 300.0, 50)
    theirs = Matern(length_scale=48.0, nu=1.5)(distance[:, None], np.zeros((1, 1)))[:, 0]
    assert matern32(distance, 48.0) == pytest.approx(theirs, abs=1e-14)
