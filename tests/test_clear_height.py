"""The band that holds everywhere at once, and what is assured of the least."""

import numpy as np
import pytest

from survey.wall.clear_height import ClearHeight, assured_least, clear_height, falling_short, ground

STATION = np.arange(0.0, 101.0, 2.0)


def _clear(confidence: float = 0.95) -> ClearHeight:
    rng = np.random.default_rng(8)
    slab = rng.normal(0.0, 0.1, (4000, STATION.size))
    return clear_height(
        STATION,
        top=np.full((4000, 1), 98.0),
        slab=slab,
        plates=((0.0, 40.0), (60.0, 100.0)),
        confidence=confidence,
    )


def test_k_is_the_smallest_number_that_holds_in_the_confidence_of_the_draws() -> None:
    clear = _clear()
    holds = np.all((clear.draws >= clear.low - 1e-12)[:, clear.plate], axis=1).mean()
    assert holds >= 0.95
    smaller = clear.mean - (clear.k - 1e-6) * clear.sd
    assert np.all((clear.draws >= smaller)[:, clear.plate], axis=1).mean() < 0.95


def test_k_of_independent_nodes_is_that_of_the_normal_maximum() -> None:
    # 42 independent nodes: P(max <= k) = Phi(k)^42 = .95 gives k = 3.03
    assert _clear().k == pytest.approx(3.03, abs=0.1)


def test_openings_ask_nothing() -> None:
    clear = _clear()
    assert not clear.plate[(STATION > 40) & (STATION < 60)].any()
    assert clear.plate[STATION <= 40].all()


def test_assured_least_is_the_quantile_of_the_least() -> None:
    clear, taken = _clear(), np.full(STATION.size, 96.0)
    least = assured_least(clear, taken)
    assert falling_short(clear, taken, least) <= 0.05
    assert falling_short(clear, taken, least + 0.02) > 0.05


def test_more_confidence_assures_less() -> None:
    taken = np.full(STATION.size, 96.0)
    assert assured_least(_clear(0.99), taken) < assured_least(_clear(0.8), taken)


def test_grinding_raises_the_clear_height_and_leaves_its_doubt() -> None:
    clear = _clear()
    cut = ground(clear, np.full(STATION.size, 0.25))
    assert cut.low == pytest.approx(clear.low + 0.25)
    assert cut.k == clear.k
