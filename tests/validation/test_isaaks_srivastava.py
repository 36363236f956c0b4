"""Ordinary kriging of seven points.

Source: Isaaks, E. H. and Srivastava, R. M., *An Introduction to Applied Geostatistics* (1989),
chapter 12. Status: points and variogram from memory; the answer to ten digits was confirmed with
two independent libraries.
"""

import numpy as np
import pytest

from survey.slab.kriging import kriging_weights, prediction_variance

POINTS = np.array([[61, 139], [63, 140], [64, 129], [68, 128], [71, 140], [73, 141], [75, 128]])
VALUES = np.array([477.0, 696.0, 227.0, 646.0, 606.0, 791.0, 783.0])
TARGET = np.array([[65, 137]])


def _covariance(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    distance = np.linalg.norm(a[:, None, :] - b[None, :, :], axis=2)
    return np.asarray(10.0 * np.exp(-0.3 * distance))


def test_ordinary_kriging_of_the_seven_points() -> None:
    observed, towards = _covariance(POINTS, POINTS), _covariance(TARGET, POINTS)
    weights = kriging_weights(observed, towards, np.ones((7, 1)), np.ones((1, 1)))
    variance = prediction_variance(weights, observed, towards, np.array([10.0]))
    assert weights.sum() == pytest.approx(1.0, abs=1e-12)
    assert (weights @ VALUES)[0] == pytest.approx(592.728943, abs=5e-7)
    assert variance[0] == pytest.approx(8.956053, abs=5e-7)
