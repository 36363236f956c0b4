"""Kriging from covariances: weights, variance, likelihood. Knows no slab and no station.

Arrays may carry leading axes, one for every set of covariance parameters tried; n readings,
m places asked for, q drift functions (q = 0 is simple kriging about zero).

References
----------
Cressie, N., *Statistics for Spatial Data* (1993), section 3.4: universal kriging.
Harville, D. A., "Bayesian inference for variance components using only error contrasts",
*Biometrika* 61 (1974): the restricted likelihood.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]


def matern32(distance: FloatArray, correlation_range: FloatArray | float) -> FloatArray:
    """Matern correlation of smoothness 3/2 at `distance`; both in one unit, broadcast together.

    >>> float(matern32(np.array(0.0), 48.0))
    1.0
    """
    scaled = np.sqrt(3.0) * np.abs(distance) / correlation_range
    return np.asarray((1.0 + scaled) * np.exp(-scaled))


def kriging_weights(
    observed: FloatArray, towards: FloatArray, drift: FloatArray, drift_there: FloatArray
) -> FloatArray:
    """Universal kriging weights, shape (..., m, n): prediction = weights @ readings.

    Parameters
    ----------
    observed
        Covariance of the readings, noise included, shape (..., n, n).
    towards
        Covariance of the places asked for with the readings, shape (..., m, n).
    drift, drift_there
        Drift functions at the readings (n, q) and at the places (m, q).

    References
    ----------
    Cressie (1993), equation 3.4.63.
    """
    basis = np.broadcast_to(drift, (*observed.shape[:-1], drift.shape[-1]))
    solved = np.linalg.solve(observed, np.concatenate([_turned(towards), basis], axis=-1))
    simple = _turned(solved[..., : towards.shape[-2]])
    inverse_drift = solved[..., towards.shape[-2] :]
    generalised = np.linalg.solve(_turned(inverse_drift) @ drift, _turned(inverse_drift))
    return np.asarray(simple + (drift_there - simple @ drift) @ generalised)


def prediction_variance(
    weights: FloatArray, observed: FloatArray, towards: FloatArray, own: FloatArray
) -> FloatArray:
    """Variance of (weights @ readings - truth), shape (..., m).

    `own` (..., m) is the variance of the process at each place; the drift cancels.
    """
    quadratic = np.sum((weights @ observed) * weights, axis=-1)
    mixed = np.sum(weights * towards, axis=-1)
    return np.asarray(own + quadratic - 2.0 * mixed)


def restricted_log_likelihood(
    observed: FloatArray, readings: FloatArray, drift: FloatArray
) -> FloatArray:
    """Log restricted likelihood of the readings, shape (...,), without its constant.

    References
    ----------
    Harville (1974): -(log|K| + log|H'K^-1 H| + y'Py) / 2.
    """
    root = np.linalg.cholesky(observed)
    columns = np.column_stack([drift, readings])
    white = np.linalg.solve(root, np.broadcast_to(columns, (*root.shape[:-1], columns.shape[1])))
    gram = _turned(white) @ white
    normal, cross, square = gram[..., :-1, :-1], gram[..., :-1, -1:], gram[..., -1, -1]
    fitted = np.sum(cross * np.linalg.solve(normal, cross), axis=(-2, -1))
    log_det = 2.0 * np.log(np.diagonal(root, axis1=-2, axis2=-1)).sum(axis=-1)
    return np.asarray(-0.5 * (log_det + np.linalg.slogdet(normal)[1] + square - fitted))


def _turned(matrix: FloatArray) -> FloatArray:
    return np.swapaxes(matrix, -1, -2)
