"""Tapes joined to a line, against one dense joint Gaussian of slab, joists and every reading."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest

from survey.job import WallLine
from survey.slab.further_reading import FurtherReadings, foresee, tell_errors, tells_errors
from survey.slab.kriging import FloatArray, matern32
from survey.slab.line_profile import LineProfile
from survey.slab.roughness import FloorModel, ReadLine, predict
from survey.slab.simulation import condition_errors, draw_floor
from survey.slab.taped_line import (
    LOOSE,
    ClearHeights,
    as_slab,
    heights_over,
    join_tapes,
    nothing_read,
)

SILL, RANGE = 0.2, 40.0
MODEL = FloorModel(sill_sd=np.array([SILL]), range=np.array([RANGE]), weight=np.array([1.0]))
FLAT = 1e3  # prior sd of what is free in the dense Gaussian: level, slope, joists [in]
SCATTER = 1 / 8
STATION = np.array([0.0, 16.0, 32.0, 48.0, 80.0, 96.0])
JOISTS = np.array([0.0, 16.0, 48.0, 64.0, 96.0])
AT = np.arange(0.0, 97.0, 8.0)


def made_line(seed: int = 3) -> LineProfile:
    """Slab and joists read from two beams, so that errors are alike within each."""
    rng = np.random.default_rng(seed)
    beam = np.concatenate([STATION > 40, JOISTS > 40])
    together = (beam[:, None] == beam[None, :]) * 0.05**2
    covariance = together + np.eye(beam.size) * 0.06**2
    return LineProfile(
        wall=WallLine(name="North"),
        length=96.0,
        joints=(),
        cracks=(),
        slab=ReadLine(
            station=STATION,
            piece=np.zeros(STATION.size, dtype=np.int64),
            elevation=rng.normal(0.0, 0.2, STATION.size),
            noise=covariance[: STATION.size, : STATION.size],
        ),
        joist_station=JOISTS,
        joist_elevation=99.0 + rng.normal(0.0, 0.1, JOISTS.size),
        covariance=covariance,
    )


@dataclass(frozen=True, kw_only=True)
class Dense:
    """Everything as one Gaussian: unknowns are the slab at AT and STATION-or-tape, then joists."""

    mean: FloatArray
    covariance: FloatArray


def dense(line: LineProfile, tapes: ClearHeights, new: FloatArray) -> Dense:
    """Posterior of slab at AT, joists read, and joists at `new`, from the textbook formula.

    Unknown vector: slab at AT and at all read and taped stations, joists, new joists, errors of
    the readings; observations: readings and tapes, all at once.
    """
    n, j = line.slab.station.size, line.joist_station.size
    x = np.concatenate([AT, line.slab.station, tapes.station])
    far = x - x.mean()
    slab = SILL**2 * matern32(x[:, None] - x[None, :], RANGE)
    slab = slab + FLAT**2 * (1.0 + np.outer(far, far) / 48.0**2)
    size = x.size + j + new.size + n + j + tapes.station.size
    prior = np.zeros((size, size))
    prior[: x.size, : x.size] = slab
    joist = slice(x.size, x.size + j)
    prior[joist, joist] = FLAT**2 * np.eye(j)
    mix = np.array([[np.interp(s, line.joist_station, e) for e in np.eye(j)] for s in new])
    mix = mix.reshape(new.size, j)
    fresh = slice(x.size + j, x.size + j + new.size)
    prior[fresh, joist] = FLAT**2 * mix
    prior[joist, fresh] = prior[fresh, joist].T
    prior[fresh, fresh] = FLAT**2 * mix @ mix.T + SCATTER**2 * np.eye(new.size)
    errors = slice(fresh.stop, fresh.stop + n + j)
    prior[errors, errors] = line.covariance
    prior[errors.stop :, errors.stop :] = np.diag(tapes.sd**2)
    rows = np.zeros((n + j + tapes.station.size, size))
    rows[: n + j, errors] = np.eye(n + j)
    rows[:n, AT.size : AT.size + n] += np.eye(n)
    rows[n : n + j, joist] += np.eye(j)
    every = np.concatenate([line.joist_station, new])
    for k, station in enumerate(tapes.station):
        row = rows[n + j + k]
        row[x.size + int(np.argmin(np.abs(every - station)))] = 1.0
        row[AT.size + n + k] = -1.0
        row[errors.stop + k] = 1.0
    seen = np.concatenate([line.slab.elevation, line.joist_elevation - 99.0, tapes.clear - 99.0])
    gain = np.linalg.solve(rows @ prior @ rows.T, rows @ prior).T
    keep = np.concatenate([np.arange(AT.size), np.arange(x.size, fresh.stop)])
    mean = (gain @ seen)[keep] + np.repeat([0.0, 99.0], [AT.size, keep.size - AT.size])
    return Dense(mean=mean, covariance=(prior - gain @ rows @ prior)[np.ix_(keep, keep)])


def tapes_at(*stations: float, sd: float = 1 / 16) -> ClearHeights:
    return heights_over([(s, 0, 99.0 + 0.05 * np.sin(s), sd) for s in stations])


CASES = [
    (tapes_at(16.0), np.zeros(0)),
    (tapes_at(0.0, 48.0, 48.5, 96.0, sd=0.03), np.zeros(0)),
    (tapes_at(64.0, 16.0), np.zeros(0)),
    (tapes_at(32.0, 80.0), np.array([32.0, 80.0])),
    (tapes_at(48.0, 82.5), np.array([82.5])),
]


@pytest.mark.parametrize(("tapes", "new"), CASES)
def test_joined_tapes_give_the_joint_gaussian(tapes: ClearHeights, new: FloatArray) -> None:
    line = made_line()
    joined = join_tapes(line, as_slab(line, tapes, scatter=SCATTER))
    expected = dense(line, tapes, new)
    found = predict(joined.slab, MODEL, AT, np.zeros(AT.size, dtype=np.int64))
    n = joined.slab.station.size
    told = tell_errors(joined.slab, MODEL, joined.covariance[n:, :n], joined.covariance[n:, n:])
    order = np.argsort(np.concatenate([JOISTS, new]), kind="stable")
    assert found.mean == pytest.approx(expected.mean[: AT.size], abs=2e-6)
    sd = np.sqrt(np.diag(expected.covariance))
    assert found.sd == pytest.approx(sd[: AT.size], rel=1e-4)
    assert joined.joist_elevation - told.mean == pytest.approx(
        expected.mean[AT.size :][order], abs=2e-6
    )
    assert np.sqrt(np.diag(told.covariance)) == pytest.approx(sd[AT.size :][order], rel=1e-4)


@pytest.mark.parametrize(("tapes", "new"), CASES[1::3])
def test_draws_have_the_joint_gaussians_clear_heights(tapes: ClearHeights, new: FloatArray) -> None:
    line, draws = made_line(), 40_000
    joined = join_tapes(line, as_slab(line, tapes, scatter=SCATTER))
    rng = np.random.default_rng(8)
    n = joined.slab.station.size
    root = np.linalg.cholesky(joined.covariance + 1e-12 * np.eye(joined.covariance.shape[0]))
    error = rng.standard_normal((draws, root.shape[0])) @ root.T
    floor = draw_floor(
        joined.slab, MODEL, AT, np.zeros(AT.size, dtype=np.int64), error=error[:, :n], rng=rng
    )
    towards = joined.covariance[n:, :n]
    own = condition_errors(joined.slab, MODEL, floor, error[:, n:], towards)
    every = np.concatenate([JOISTS, new])
    joists = (joined.joist_elevation - own)[:, np.argsort(np.argsort(every, kind="stable"))]
    drawn = np.hstack([floor.slab, joists])
    expected = dense(line, tapes, new)
    assert drawn.mean(axis=0) == pytest.approx(expected.mean, abs=0.004)
    assert np.cov(drawn.T) == pytest.approx(expected.covariance, abs=0.0006)
    clear = drawn[:, AT.size] - drawn[:, 0]  # the first joist stands over the first station
    sd = np.sqrt(
        np.diag(expected.covariance)[[0, AT.size]] @ [1, 1] - 2 * expected.covariance[0, AT.size]
    )
    assert clear.std() == pytest.approx(sd, rel=0.02)


def test_without_the_update_joists_would_not_know_of_the_tape() -> None:
    line = made_line()
    tapes = tapes_at(16.0, sd=0.001)
    joined = join_tapes(line, as_slab(line, tapes, scatter=SCATTER))
    n = joined.slab.station.size
    towards = joined.covariance[n:, :n]
    told = tell_errors(joined.slab, MODEL, towards, joined.covariance[n:, n:])
    slab = predict(joined.slab, MODEL, np.array([16.0]), np.zeros(1, dtype=np.int64)).mean[0]
    assert joined.joist_elevation[1] - told.mean[1] - slab == pytest.approx(
        tapes.clear[0], abs=1e-4
    )
    assert abs(joined.joist_elevation[1] - slab - tapes.clear[0]) > 0.01


def test_what_a_tape_is_foreseen_to_say_is_what_the_joint_gaussian_says() -> None:
    line = made_line()
    tapes = tapes_at(16.0, 48.0)
    taped = as_slab(line, tapes, scatter=SCATTER)
    further = FurtherReadings(
        station=taped.station,
        piece=taped.piece,
        covariance=taped.towards,
        variance=taped.variance,
    )
    found = foresee(line.slab, MODEL, further)
    before = dense(line, tapes_at(16.0, sd=1e6), np.zeros(0))
    clear = {16.0: (2, AT.size + 1), 48.0: (6, AT.size + 2)}
    for k, (slab, joist) in enumerate(clear.values()):
        expected = before.mean[joist] - before.mean[slab]
        variance = before.covariance[[slab, joist], [slab, joist]].sum()
        variance += tapes.sd[k] ** 2 - 2 * before.covariance[slab, joist]
        assert taped.joist_elevation[taped.joist[k]] - found.mean[k] == pytest.approx(
            expected, abs=2e-6
        )
        assert found.sd[k] == pytest.approx(np.sqrt(variance), rel=1e-4)


def test_a_beam_that_all_readings_share_tells_nothing_of_the_joists() -> None:
    line = made_line()
    shared = np.full((JOISTS.size, STATION.size), 0.05**2)
    assert not tells_errors(shared)
    told = tell_errors(line.slab, MODEL, shared, np.eye(JOISTS.size))
    assert not told.mean.any()
    assert tells_errors(line.covariance[STATION.size :, : STATION.size])


def test_joists_known_by_tape_alone_are_the_slab_and_the_tape() -> None:
    line = made_line()
    bare = replace(
        line,
        joist_station=np.zeros(0),
        joist_elevation=np.zeros(0),
        covariance=line.slab.noise,
    )
    tapes = tapes_at(16.0, 48.0)
    joined = join_tapes(bare, as_slab(bare, tapes, scatter=SCATTER))
    n = joined.slab.station.size
    told = tell_errors(joined.slab, MODEL, joined.covariance[n:, :n], joined.covariance[n:, n:])
    slab = predict(bare.slab, MODEL, tapes.station, np.zeros(2, dtype=np.int64))
    assert joined.joist_elevation - told.mean == pytest.approx(slab.mean + tapes.clear, abs=1e-3)
    sd = np.hypot(slab.sd, tapes.sd)
    assert np.sqrt(np.diag(told.covariance)) == pytest.approx(sd, rel=1e-3)
    assert sd.max() < LOOSE / 50


def test_a_line_of_tapes_alone_keeps_their_clear_heights() -> None:
    """Between slab and joist the tapes rule; slab by itself takes the joists' scatter as noise."""
    stations = np.arange(0.0, 97.0, 16.0)
    tapes = tapes_at(*stations, sd=0.001)
    empty = replace(
        made_line(),
        slab=nothing_read(),
        joist_station=np.zeros(0),
        joist_elevation=np.zeros(0),
        covariance=np.zeros((0, 0)),
        tape_only=True,
    )
    line = join_tapes(empty, as_slab(empty, tapes, scatter=SCATTER))
    assert line.slab.slope_sd is None
    assert line.slab.noise == pytest.approx(np.eye(7) * (SCATTER**2 + 0.001**2))
    n = line.slab.station.size
    told = tell_errors(line.slab, MODEL, line.covariance[n:, :n], line.covariance[n:, n:])
    slab = predict(line.slab, MODEL, stations, np.zeros(7, dtype=np.int64)).mean
    assert line.joist_elevation - told.mean - slab == pytest.approx(tapes.clear, abs=1e-4)


def test_a_tape_on_the_lip_of_a_joint_belongs_to_its_piece() -> None:
    line = replace(made_line(), joints=(40.0,))
    slab = replace(line.slab, piece=(STATION >= 40).astype(np.int64))
    tapes = heights_over([(40.0, -1, 99.0, 0.06), (40.0, 1, 98.0, 0.06)])
    joined = join_tapes(replace(line, slab=slab), as_slab(line, tapes, scatter=SCATTER))
    at_joint = joined.slab.station == 40.0
    assert joined.slab.piece[at_joint].tolist() == [0, 1]
    assert joined.joist_station.tolist() == [0.0, 16.0, 40.0, 48.0, 64.0, 96.0]


def test_joining_changes_nothing_it_was_given() -> None:
    line = made_line()
    before = line.covariance.copy()
    join_tapes(line, as_slab(line, tapes_at(16.0, 40.0), scatter=SCATTER))
    assert np.array_equal(line.covariance, before)
    assert line.slab.station.size == STATION.size
