"""Residuals of readings left out, against leaving each out in earnest."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from scipy.special import ndtr

from survey.slab.leave_one_out import deleted_residuals
from survey.slab.roughness import FloorModel, ReadLine, fit, predict


def a_line(*, slope_sd: float | None = None, pieces: int = 1) -> ReadLine:
    rng = np.random.default_rng(6)
    station = np.sort(rng.uniform(0.0, 160.0, 11))
    root = 0.05 * rng.normal(size=(11, 11))
    return ReadLine(
        station=station,
        piece=np.minimum((station // 80.0).astype(np.int64), pieces - 1),
        elevation=rng.normal(0.0, 0.2, 11) + station / 200.0,
        noise=root @ root.T + np.eye(11) / 256.0,
        slope_sd=slope_sd,
    )


def without(line: ReadLine, i: int) -> ReadLine:
    keep = np.arange(line.station.size) != i
    return dataclasses.replace(
        line,
        station=line.station[keep],
        piece=line.piece[keep],
        elevation=line.elevation[keep],
        noise=line.noise[np.ix_(keep, keep)],
    )


NODE = FloorModel(sill_sd=np.array([0.2]), range=np.array([40.0]), weight=np.ones(1))


@pytest.mark.parametrize("slope_sd", [None, 0.01])
@pytest.mark.parametrize("pieces", [1, 2])
def test_it_is_what_leaving_out_gives(slope_sd: float | None, pieces: int) -> None:
    """With errors of their own only, the reading less the kriged slab has both variances."""
    line = a_line(slope_sd=slope_sd, pieces=pieces)
    line = dataclasses.replace(line, noise=np.diag(np.diag(line.noise)))
    found = deleted_residuals(line, NODE)
    for i in range(line.station.size):
        there = predict(without(line, i), NODE, line.station[i : i + 1], line.piece[i : i + 1])
        assert found.difference[i] == pytest.approx(line.elevation[i] - there.mean[0], abs=1e-9)
        expected = there.sd[0] ** 2 + line.noise[i, i]
        if slope_sd is None:  # a slope with a prior pivots about the mean station of the readings
            assert found.sd[i] ** 2 == pytest.approx(expected, rel=1e-9)
        else:
            assert found.sd[i] ** 2 == pytest.approx(expected, rel=1e-2)


def test_shared_errors_follow_the_conditional_normal() -> None:
    """Universal kriging as conditioning with a level and a slope of very wide priors."""
    line = a_line()
    wide = np.column_stack([np.ones(11), (line.station - 80.0) / 80.0])
    distance = np.abs(line.station[:, None] - line.station[None, :]) * np.sqrt(3.0) / 40.0
    full = 0.04 * (1.0 + distance) * np.exp(-distance) + line.noise + 1e5 * wide @ wide.T
    found = deleted_residuals(line, NODE)
    for i in range(11):
        rest = np.arange(11) != i
        weights = np.linalg.solve(full[np.ix_(rest, rest)], full[rest, i])
        assert found.difference[i] == pytest.approx(
            line.elevation[i] - weights @ line.elevation[rest], abs=1e-5
        )
        assert found.sd[i] ** 2 == pytest.approx(full[i, i] - weights @ full[rest, i], rel=1e-3)


def test_one_node_is_normal_and_several_are_a_mixture() -> None:
    line = a_line()
    one = deleted_residuals(line, NODE)
    np.testing.assert_allclose(one.standardized, one.difference / one.sd, rtol=1e-9)
    two = FloorModel(
        sill_sd=np.array([0.02, 0.4]), range=np.array([40.0, 40.0]), weight=np.array([0.5, 0.5])
    )
    mixed = deleted_residuals(line, two)
    parts = [
        deleted_residuals(line, dataclasses.replace(NODE, sill_sd=np.array([s])))
        for s in (0.02, 0.4)
    ]
    np.testing.assert_allclose(mixed.difference, np.mean([p.difference for p in parts], axis=0))
    second = np.mean([p.sd**2 + p.difference**2 for p in parts], axis=0)
    np.testing.assert_allclose(mixed.sd**2, second - mixed.difference**2, rtol=1e-9)
    below = np.mean([ndtr(p.standardized) for p in parts], axis=0)
    np.testing.assert_allclose(ndtr(mixed.standardized), below, rtol=1e-9)


def test_a_lone_reading_on_its_piece_is_not_checked() -> None:
    line = dataclasses.replace(a_line(), piece=np.array([0] * 10 + [1]))
    found = deleted_residuals(line, fit([line]))
    assert np.isnan(found.sd).tolist() == [False] * 10 + [True]
    assert np.isnan(found.standardized[10])
