"""Draws of the slab along a line that agree with what was read.

References
----------
Journel, A. G. and Huijbregts, C. J., *Mining Geostatistics* (1978), chapter VII: conditioning an
unconditional draw by kriging its difference from the readings.
Hartikainen, J. and Sarkka, S., "Kalman filtering and smoothing solutions to temporal Gaussian
process regression models" (2010): the Matern 3/2 process as a two-state Markov process.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey.slab.further_reading import error_weights, tells_errors
from survey.slab.kriging import FloatArray, IntArray
from survey.slab.roughness import FloorModel, ReadLine, node_weights, one_node


@dataclass(frozen=True, kw_only=True, eq=False)
class Walk:
    """Order in which a process is drawn along a line: pieces one after another, stations up.

    `order` sorts the stations; `step` is the distance from the one before, infinite at the first
    station of a piece.
    """

    order: IntArray
    step: FloatArray


@dataclass(frozen=True, kw_only=True, eq=False)
class FloorDraws:
    """Draws of the slab given the readings, and how they came about.

    `slab` (draws, m) [in]; `misfit` (draws, n) is what the readings differ from the free draw and
    its errors [in]; `node` (draws,) the node of the model each draw took.
    """

    slab: FloatArray
    misfit: FloatArray
    node: IntArray


def draw_floor(
    line: ReadLine,
    model: FloorModel,
    station: FloatArray,
    piece: IntArray,
    *,
    error: FloatArray,
    rng: np.random.Generator,
) -> FloorDraws:
    """Draw the slab at the asked stations given the readings.

    Parameters
    ----------
    line, model
        Readings and posterior nodes; each draw takes one node by its weight.
    station, piece
        Where the slab is wanted, shape (m,).
    error
        Draws of the readings' errors, shape (draws, n) [in], from the adjustment's covariance.
    rng
        Source of random numbers.
    """
    node = np.sort(rng.choice(model.weight.size, size=error.shape[0], p=model.weight))
    here = np.concatenate([station, line.station])
    free = _draw_free(line, model, here, np.concatenate([piece, line.piece]), node, rng)
    asked, read = free[:, : station.size], free[:, station.size :]
    misfit = line.elevation[None] - read - error
    drawn = asked.copy()
    for j in np.unique(node):
        of_node = node == j
        weights = node_weights(line, one_node(model, int(j)), station, piece)[0]
        drawn[of_node] += misfit[of_node] @ weights.T
    return FloorDraws(slab=drawn, misfit=misfit, node=node)


def condition_errors(
    line: ReadLine, model: FloorModel, floor: FloorDraws, error: FloatArray, towards: FloatArray
) -> FloatArray:
    """Draws of other errors made to agree with the readings too, shape (draws, j) [in].

    Parameters
    ----------
    line, model, floor
        Readings, posterior nodes, and the draws of the slab.
    error
        Draws of the errors, made together with those of the line's readings, shape (draws, j).
    towards
        Their covariance with the errors of the line's readings, shape (j, n) [in2].
    """
    if not tells_errors(towards):
        return error
    told = error.copy()
    for j in np.unique(floor.node):
        of_node = floor.node == j
        weights = error_weights(line, one_node(model, int(j)), towards)
        told[of_node] += floor.misfit[of_node] @ weights.T
    return told


def walk(station: FloatArray, piece: IntArray) -> Walk:
    """Sort stations piece by piece and measure the steps between them."""
    order = np.lexsort((station, piece))
    step = np.diff(station[order], prepend=-np.inf)
    step[np.diff(piece[order], prepend=-1) != 0] = np.inf
    return Walk(order=order, step=step)


def _draw_free(
    line: ReadLine,
    model: FloorModel,
    station: FloatArray,
    piece: IntArray,
    node: IntArray,
    rng: np.random.Generator,
) -> FloatArray:
    """Draw process plus prior slope with no regard to the readings, shape (draws, m)."""
    path = walk(station, piece)
    unit = _draw_matern(path.step, model.range, node, rng)
    drawn = np.empty((node.size, station.size))
    drawn[:, path.order] = unit.T * model.sill_sd[node][:, None]
    if line.slope_sd is not None:
        slope = rng.normal(0.0, line.slope_sd, size=node.size)
        drawn += slope[:, None] * (station - line.origin)[None]
    return drawn


def _draw_matern(
    step: FloatArray, ranges: FloatArray, node: IntArray, rng: np.random.Generator
) -> FloatArray:
    """Unit-variance Matern 3/2 paths, shape (steps, draws), one step at a time.

    The state is (f, f'/rate) with rate = sqrt(3)/range; across a step it is multiplied by
    exp(-a) [[1 + a, a], [-a, 1 - a]] with a = rate x step, and takes on the innovation that
    keeps its covariance the identity.
    """
    moves = _innovations(np.sqrt(3.0) * step[:, None] / ranges[None, :])
    level, slope = np.zeros(node.size), np.zeros(node.size)
    paths = np.empty((step.size, node.size))
    for i, move in enumerate(moves):
        ff, fs, sf, ss, root, mixed, rest = move[:, node]
        first, second = rng.standard_normal((2, node.size))
        level, slope = (
            ff * level + fs * slope + root * first,
            sf * level + ss * slope + mixed * first + rest * second,
        )
        paths[i] = level
    return paths


def _innovations(a: FloatArray) -> FloatArray:
    """Transition (4) and Cholesky root of the innovation (3) of every step, (steps, 7, nodes)."""
    finite = np.isfinite(a)
    a = np.where(finite, a, 0.0)
    fade = np.where(finite, np.exp(-a), 0.0)
    ff, fs, sf, ss = fade * (1 + a), fade * a, -fade * a, fade * (1 - a)
    var_f = np.maximum(1.0 - ff**2 - fs**2, 0.0)
    cov = -(ff * sf + fs * ss)
    root = np.sqrt(var_f)
    mixed = np.divide(cov, root, out=np.zeros_like(cov), where=root > 1e-8)
    rest = np.sqrt(np.maximum(1.0 - sf**2 - ss**2 - mixed**2, 0.0))
    return np.stack([ff, fs, sf, ss, root, mixed, rest], axis=1)
