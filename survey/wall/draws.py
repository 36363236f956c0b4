"""Draws of one wall line: slab and joists together, agreeing with what was read."""

from __future__ import annotations

import zlib
from dataclasses import dataclass

import numpy as np

from survey.slab.kriging import FloatArray
from survey.slab.line_profile import LineProfile
from survey.slab.roughness import FloorModel
from survey.slab.simulation import condition_errors, draw_floor
from survey.slab.slab_line import Stations
from survey.wall.joists import JoistLine, draw_joists

DRAWS = 2000
SEED = 20_117


@dataclass(frozen=True, kw_only=True, eq=False)
class Draws:
    """Draws of one line that agree with its readings: slab on the grid, joists [in]."""

    slab: FloatArray
    joists: FloatArray


def draw_line(
    line: LineProfile,
    model: FloorModel,
    at: Stations,
    joists: JoistLine,
    *,
    draws: int = DRAWS,
) -> Draws:
    """Draw slab and joists of a line together: one set of reading errors for both.

    The random numbers depend on the wall's name only, so that a plan repeats to the digit and
    does not change when other walls join the job.
    """
    rng = np.random.default_rng([SEED, zlib.crc32(line.wall.name.casefold().encode())])
    error = rng.standard_normal((draws, line.covariance.shape[0])) @ _root(line.covariance).T
    n = line.slab.station.size
    floor = draw_floor(line.slab, model, at.station, at.piece, error=error[:, :n], rng=rng)
    towards = line.covariance[n:, :n]
    joist_error = condition_errors(line.slab, model, floor, error[:, n:], towards)
    return Draws(slab=floor.slab, joists=draw_joists(joists, error=joist_error, rng=rng))


def _root(covariance: FloatArray) -> FloatArray:
    """Square root R with R R' = covariance, which may be singular where the datum is held."""
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray(vectors * np.sqrt(np.maximum(values, 0.0)))
