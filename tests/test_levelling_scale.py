"""A survey of 200,000 readings in 500 set-ups: redundancies sum exactly, memory stays small."""

from __future__ import annotations

import tracemalloc

import numpy as np
import pytest

from survey.field.book import FieldBook, Named, Source
from survey.field.levelling import Adjustment, adjust
from survey.job import Laser

SETUPS = 500
ROWS_PER_SETUP = 200  # each a down and an up reading
APART = 130  # spots from one set-up's first to the next one's: 70 are shared


def large_book() -> FieldBook:
    """Set-ups in a ring, each reading 200 spots down and up, 70 of them again from the next."""
    rng = np.random.default_rng(20)
    setup = np.repeat(np.arange(SETUPS), ROWS_PER_SETUP)
    spot = (setup * APART + np.tile(np.arange(ROWS_PER_SETUP), SETUPS)) % (SETUPS * APART)
    beam = rng.uniform(40.0, 60.0, SETUPS)[setup]
    slab = 0.3 * np.sin(spot / 50.0)
    blank = np.full(setup.size, np.nan)
    return FieldBook(
        sources=(Source(file="large.csv", sha256=""),),
        setups=tuple(f"S{number}" for number in range(SETUPS)),
        names=tuple(Named(name=f"wall {number}", kind="wall") for number in range(65)),
        file=np.zeros(setup.size, dtype=np.int64),
        row=np.arange(2, setup.size + 2),
        setup=setup,
        name=spot // 1000,
        station=(spot % 1000).astype(float),
        side=np.zeros(setup.size, dtype=np.int64),
        on_plate=np.zeros(setup.size, dtype=bool),
        down=beam - slab + rng.normal(0.0, 1 / 16, setup.size),
        up=100.0 - beam + rng.normal(0.0, 1 / 16, setup.size),
        clear=blank,
        sd=np.exp(rng.uniform(np.log(0.03), np.log(0.3), setup.size)),
        distance=blank,
        cover=blank,
        flag=("",) * setup.size,
        note=("",) * setup.size,
    )


@pytest.fixture(scope="module")
def adjusted() -> tuple[Adjustment, int]:
    book = large_book()
    tracemalloc.start()
    found = adjust(book, Laser())
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return found, peak


def test_redundancies_sum_to_the_degrees_of_freedom(adjusted: tuple[Adjustment, int]) -> None:
    found, _ = adjusted
    assert found.observations.reading.size == 200_000
    assert found.beams.size == SETUPS
    assert found.dof == 200_000 - 2 * SETUPS * APART - SETUPS + 1
    assert found.observations.redundancy.sum() == pytest.approx(found.dof, rel=0, abs=1e-6)


def test_memory_stays_under_a_gigabyte(adjusted: tuple[Adjustment, int]) -> None:
    """A dense spots x set-ups matrix would be 520 MB: a quarter of that is not reached either."""
    _, peak = adjusted
    assert peak < 130_000_000


def test_covariance_of_a_few_hundred_spots(adjusted: tuple[Adjustment, int]) -> None:
    found, _ = adjusted
    picked = np.arange(0, found.spots.sd.size, 433)
    together = found.covariance(picked)
    assert together.shape == (picked.size, picked.size)
    np.testing.assert_allclose(np.sqrt(np.diag(together)), found.spots.sd[picked], rtol=1e-9)
    assert np.min(np.linalg.eigvalsh(together)) > 0.0
