"""What a line says beyond the slab it predicts: of a further reading, and of its readings' errors.

References
----------
Cressie, N., *Statistics for Spatial Data* (1993), section 3.4: universal kriging. With the
covariance K of the readings, their drift H and P = K^-1 - K^-1 H (H'K^-1 H)^-1 H'K^-1, an error
whose covariance with the readings is g is estimated as g'P y, which leaves its variance less g'P g.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey.slab.kriging import FloatArray, IntArray, kriging_weights, prediction_variance
from survey.slab.roughness import (
    FloorModel,
    Prediction,
    ReadLine,
    drift,
    one_node,
    process_covariance,
    process_variance,
    reading_covariance,
)


@dataclass(frozen=True, kw_only=True, eq=False)
class FurtherReadings:
    """Readings of the slab a line does not have, by their errors.

    `station` and `piece` (m,) tell where; `covariance` (m, n) is that of their errors with those
    of the line's readings, `variance` (m,) their own [in2].
    """

    station: FloatArray
    piece: IntArray
    covariance: FloatArray
    variance: FloatArray


@dataclass(frozen=True, kw_only=True, eq=False)
class ToldErrors:
    """Errors as the line's readings tell of them: mean (j,) [in] and covariance (j, j) [in2]."""

    mean: FloatArray
    covariance: FloatArray


def foresee(line: ReadLine, model: FloorModel, further: FurtherReadings) -> Prediction:
    """What further readings would show, errors and all, averaged over the model's nodes."""
    station, piece = further.station, further.piece
    means = np.empty((model.weight.size, station.size))
    variances = np.empty_like(means)
    for i in range(model.weight.size):
        node = one_node(model, i)
        observed = reading_covariance(line, node)[0]
        towards = process_covariance(line, node, station, piece)[0] + further.covariance
        weights = kriging_weights(
            observed, towards, drift(line, line.station, line.piece), drift(line, station, piece)
        )
        own = process_variance(line, node, station)[0] + further.variance
        means[i] = weights @ line.elevation
        variances[i] = prediction_variance(weights, observed, towards, own)
    mean: FloatArray = model.weight @ means
    variance: FloatArray = model.weight @ (variances + (means - mean[None]) ** 2)
    return Prediction(mean=mean, sd=np.sqrt(np.maximum(variance, 0.0)))


def tell_errors(
    line: ReadLine, model: FloorModel, towards: FloatArray, own: FloatArray
) -> ToldErrors:
    """Mean and covariance of other errors given the line's readings.

    Parameters
    ----------
    line, model
        Readings and posterior nodes.
    towards
        Covariance of the errors with those of the line's readings, shape (j, n) [in2].
    own
        Their covariance, shape (j, j) [in2].
    """
    count = towards.shape[0]
    if not tells_errors(towards):
        return ToldErrors(mean=np.zeros(count), covariance=own)
    means = np.empty((model.weight.size, count))
    kept = np.zeros_like(own)
    for i in range(model.weight.size):
        weights = error_weights(line, one_node(model, i), towards)
        means[i] = weights @ line.elevation
        kept += model.weight[i] * (own - weights @ towards.T)
    mean: FloatArray = model.weight @ means
    spread = (means - mean) * np.sqrt(model.weight)[:, None]
    return ToldErrors(mean=mean, covariance=kept + spread.T @ spread)


def tells_errors(towards: FloatArray) -> bool:
    """Whether readings tell of errors at all: not of one they all share, as that of a beam."""
    return bool(towards.size) and not np.allclose(np.ptp(towards, axis=1), 0.0, atol=1e-12)


def error_weights(line: ReadLine, node: FloorModel, towards: FloatArray) -> FloatArray:
    """Weights of the line's readings in the errors, shape (j, n), at a node of the model."""
    basis = drift(line, line.station, line.piece)
    observed = reading_covariance(line, node)[0]
    return kriging_weights(observed, towards, basis, np.zeros((towards.shape[0], basis.shape[1])))
