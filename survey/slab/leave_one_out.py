"""Each slab reading against what the others of its line say of its place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, ndtri

from survey.slab.kriging import FloatArray
from survey.slab.roughness import (
    MOST_NUMBERS,
    FloorModel,
    ReadLine,
    drift,
    reading_covariance,
    some_nodes,
)

LEAST_CHECK = 1e-6  # share of a reading that the model must leave to be checked
LEAST_TAIL = 1e-300


@dataclass(frozen=True, kw_only=True, eq=False)
class Deleted:
    """Residuals of readings left out one at a time; arrays (n,), NaN where nothing checks one.

    `difference` is the elevation read less that predicted from the other readings, `sd` its
    standard deviation [in], noise of the reading included; `standardized` the standard normal
    deviate of the same probability, for the average over a model's nodes is not quite normal.
    """

    difference: FloatArray
    sd: FloatArray
    standardized: FloatArray


def deleted_residuals(line: ReadLine, model: FloorModel) -> Deleted:
    """Leave out each reading of a line in turn, the model being what it is.

    References
    ----------
    Dubrule, O., "Cross validation of kriging in a unique neighborhood", *Mathematical Geology* 15
    (1983), from memory: (P y)_i / P_ii with variance 1 / P_ii,
    P = K^-1 - K^-1 H (H'K^-1 H)^-1 H'K^-1.
    """
    at_once = max(MOST_NUMBERS // line.station.size**2, 1)
    parts = [
        _at_nodes(line, some_nodes(model, start, at_once))
        for start in range(0, model.weight.size, at_once)
    ]
    difference, variance = (np.concatenate(part) for part in zip(*parts, strict=True))
    mean: FloatArray = model.weight @ difference
    total: FloatArray = model.weight @ (variance + (difference - mean) ** 2)
    ratio = difference / np.sqrt(variance)
    above, below = model.weight @ ndtr(-ratio), model.weight @ ndtr(ratio)
    deviate = -ndtri(np.maximum(np.minimum(above, below), LEAST_TAIL))
    return Deleted(
        difference=mean,
        sd=np.sqrt(total),
        standardized=np.where(above < below, deviate, -deviate),
    )


def _at_nodes(line: ReadLine, nodes: FloorModel) -> tuple[FloatArray, FloatArray]:
    """Residuals and their variances at each node, (nodes, n); NaN where nothing checks one."""
    inverse = np.linalg.inv(reading_covariance(line, nodes))
    basis = drift(line, line.station, line.piece)
    explained = inverse @ basis
    turned = np.swapaxes(explained, -1, -2)
    precision = inverse - explained @ np.linalg.solve(basis.T @ explained, turned)
    own, alone = (np.diagonal(each, axis1=-2, axis2=-1) for each in (precision, inverse))
    own = np.where(own > LEAST_CHECK * alone, own, np.nan)
    return precision @ line.elevation / own, 1.0 / own
