"""The slab's roughness along a line, its sill and range averaged over and not plugged in.

The slab along a line is level + slope x station + a Matern 3/2 process. Levels are free, one a
piece between joints; the slope is shared; pieces are independent given the model. Sill and range
are averaged over a grid weighted by restricted likelihood times prior, pooled over all lines.

References
----------
Diggle, P. J. and Ribeiro, P. J., *Model-based Geostatistics* (2007), chapter 7: prediction with
the covariance parameters averaged over a discrete posterior.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from survey import standards
from survey.slab.kriging import (
    FloatArray,
    IntArray,
    kriging_weights,
    matern32,
    prediction_variance,
    restricted_log_likelihood,
)

WIDE_NODES = (13, 11)
CLOSE_NODES = (9, 9)
WIDE_REACH = 2.75
CLOSE_REACH = 2.5
LEAST_SPREAD = 0.15
LEAST_WEIGHT = 1e-3
MOST_NUMBERS = 2_000_000


@dataclass(frozen=True, kw_only=True, eq=False)
class ReadLine:
    """What was read along one line, ready for the model.

    `station`, `piece` and `elevation` have shape (n,), `noise` (n, n) is the covariance of the
    elevations [in2]. `slope_sd` [in per in] is the prior of the slope, None for a free slope.
    Every piece number below max(piece) + 1 has at least one reading.
    """

    station: FloatArray
    piece: IntArray
    elevation: FloatArray
    noise: FloatArray
    slope_sd: float | None = None

    @property
    def origin(self) -> float:
        """Mean station: where the slope pivots [in]."""
        return float(np.mean(self.station))


@dataclass(frozen=True, kw_only=True, eq=False)
class FloorModel:
    """Posterior of the slab's roughness: nodes of (sill sd [in], range [in]) and their weights."""

    sill_sd: FloatArray
    range: FloatArray
    weight: FloatArray

    @property
    def mean_sill_sd(self) -> float:
        """Weighted geometric mean of the sill's sd [in]."""
        return float(np.exp(self.weight @ np.log(self.sill_sd)))

    @property
    def mean_range(self) -> float:
        """Weighted geometric mean of the range [in]."""
        return float(np.exp(self.weight @ np.log(self.range)))


@dataclass(frozen=True, kw_only=True, eq=False)
class Prediction:
    """Mean and sd of the slab at the stations asked for, averaged over the model; (m,) [in]."""

    mean: FloatArray
    sd: FloatArray


def fit(lines: Sequence[ReadLine]) -> FloorModel:
    """Posterior of sill and range from all lines together.

    A wide grid over the prior finds where the weight lies; a close grid about it carries the
    average. Without lines the prior itself is returned on the wide grid.
    """
    centre = (np.log(standards.SILL_SD.median), np.log(standards.FLOOR_RANGE.median))
    spread = (standards.SILL_SD.log_sd, standards.FLOOR_RANGE.log_sd)
    model = _weighted(lines, _grid(centre, spread, WIDE_NODES, WIDE_REACH))
    if not lines:
        return model
    close = _grid(*_moments(model, spread), CLOSE_NODES, CLOSE_REACH)
    return _dropped(_weighted(lines, close))


def predict(line: ReadLine, model: FloorModel, station: FloatArray, piece: IntArray) -> Prediction:
    """Slab at the asked stations: mean and sd averaged over the model's nodes.

    Parameters
    ----------
    line
        Readings of the line.
    model
        Nodes and weights from `fit`.
    station, piece
        Where to predict, shape (m,) [in]; the piece between joints each belongs to.

    References
    ----------
    Law of total variance over the nodes: mean of variances plus variance of means.
    """
    means = np.empty((model.weight.size, station.size))
    variances = np.empty_like(means)
    for i in range(model.weight.size):
        node = one_node(model, i)
        weights = node_weights(line, node, station, piece)
        means[i] = weights[0] @ line.elevation
        variances[i] = prediction_variance(
            weights,
            reading_covariance(line, node),
            process_covariance(line, node, station, piece),
            process_variance(line, node, station),
        )[0]
    mean: FloatArray = model.weight @ means
    variance: FloatArray = model.weight @ (variances + (means - mean[None]) ** 2)
    return Prediction(mean=mean, sd=np.sqrt(np.maximum(variance, 0.0)))


def node_weights(
    line: ReadLine, model: FloorModel, station: FloatArray, piece: IntArray
) -> FloatArray:
    """Kriging weights of the line's readings at each node of the model, shape (nodes, m, n)."""
    return kriging_weights(
        reading_covariance(line, model),
        process_covariance(line, model, station, piece),
        drift(line, line.station, line.piece),
        drift(line, station, piece),
    )


def drift(line: ReadLine, station: FloatArray, piece: IntArray) -> FloatArray:
    """Drift functions at the stations: a level a piece, and the slope where it is free."""
    pieces = np.arange(int(line.piece.max()) + 1)
    levels: FloatArray = (piece[:, None] == pieces[None, :]).astype(np.float64)
    if line.slope_sd is not None:
        return levels
    lever = max(float(np.ptp(line.station)), 1.0)
    return np.column_stack([levels, (station - line.origin) / lever])


def process_covariance(
    line: ReadLine, model: FloorModel, station: FloatArray, piece: IntArray
) -> FloatArray:
    """Covariance of the slab at the stations with that read, shape (nodes, m, n) [in2]."""
    distance = station[:, None] - line.station[None, :]
    same = piece[:, None] == line.piece[None, :]
    floor = matern32(distance[None], model.range[:, None, None]) * same[None]
    return np.asarray(floor * (model.sill_sd**2)[:, None, None] + _slope(line, station)[None])


def reading_covariance(line: ReadLine, model: FloorModel) -> FloatArray:
    """Covariance of the line's readings at each node of the model, shape (nodes, n, n) [in2]."""
    return np.asarray(process_covariance(line, model, line.station, line.piece) + line.noise[None])


def process_variance(line: ReadLine, model: FloorModel, station: FloatArray) -> FloatArray:
    """Variance of the process at the stations, shape (nodes, m) [in2]."""
    slope = 0.0 if line.slope_sd is None else line.slope_sd * (station - line.origin)
    return np.asarray((model.sill_sd**2)[:, None] + np.zeros(station.size) + np.square(slope))


def _slope(line: ReadLine, station: FloatArray) -> FloatArray:
    """Covariance that the slope's prior gives the stations with those read, (m, n) [in2]."""
    if line.slope_sd is None:
        return np.zeros((station.size, line.station.size))
    return line.slope_sd**2 * np.outer(station - line.origin, line.station - line.origin)


def _log_prior(model: FloorModel) -> FloatArray:
    """Log prior density of the nodes in log sill sd and log range, up to a constant."""
    sill = np.log(model.sill_sd / standards.SILL_SD.median) / standards.SILL_SD.log_sd
    reach = np.log(model.range / standards.FLOOR_RANGE.median) / standards.FLOOR_RANGE.log_sd
    return np.asarray(-0.5 * (sill**2 + reach**2))


def _grid(
    centre: tuple[float, float], spread: tuple[float, float], nodes: tuple[int, int], reach: float
) -> FloorModel:
    """Square grid in logs about a centre, `reach` spreads to each side, with equal weights."""
    steps = [np.linspace(-reach, reach, n) for n in nodes]
    sill, ranges = np.meshgrid(
        np.exp(centre[0] + spread[0] * steps[0]),
        np.exp(centre[1] + spread[1] * steps[1]),
        indexing="ij",
    )
    weight = np.full(sill.size, 1.0 / sill.size)
    return FloorModel(sill_sd=sill.ravel(), range=ranges.ravel(), weight=weight)


def _weighted(lines: Sequence[ReadLine], grid: FloorModel) -> FloorModel:
    """The grid with weights from restricted likelihood times prior."""
    log_weight = _log_prior(grid)
    for line in lines:
        log_weight = log_weight + _log_likelihood(line, grid)
    weight = np.exp(log_weight - log_weight.max())
    return FloorModel(sill_sd=grid.sill_sd, range=grid.range, weight=weight / weight.sum())


def _log_likelihood(line: ReadLine, grid: FloorModel) -> FloatArray:
    """Log restricted likelihood of a line at every node, so many nodes at once as memory bears."""
    centred = line.elevation - line.elevation.mean()
    basis = drift(line, line.station, line.piece)
    at_once = max(MOST_NUMBERS // line.station.size**2, 1)
    parts = [
        restricted_log_likelihood(
            reading_covariance(line, some_nodes(grid, start, at_once)), centred, basis
        )
        for start in range(0, grid.weight.size, at_once)
    ]
    return np.concatenate(parts)


def some_nodes(model: FloorModel, start: int, count: int) -> FloorModel:
    """Some of the nodes, with their weights as they are."""
    some = slice(start, start + count)
    return FloorModel(
        sill_sd=model.sill_sd[some], range=model.range[some], weight=model.weight[some]
    )


def one_node(model: FloorModel, i: int) -> FloorModel:
    """A model of the one node, with its weight as it is."""
    return some_nodes(model, i, 1)


def _moments(
    model: FloorModel, spread: tuple[float, float]
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Mean and sd of the logs under the weights, no sharper than the wide grid can tell."""
    logs = np.log(np.stack([model.sill_sd, model.range]))
    mean = logs @ model.weight
    sd = np.sqrt(((logs - mean[:, None]) ** 2) @ model.weight)
    sd = np.clip(sd, LEAST_SPREAD * np.array(spread), np.array(spread))
    return (float(mean[0]), float(mean[1])), (float(sd[0]), float(sd[1]))


def _dropped(model: FloorModel) -> FloorModel:
    """The model without the nodes that carry almost no weight."""
    keep = model.weight >= LEAST_WEIGHT
    weight = model.weight[keep]
    return FloorModel(
        sill_sd=model.sill_sd[keep], range=model.range[keep], weight=weight / weight.sum()
    )
