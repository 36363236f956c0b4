"""Planks whose rest on a rigid floor is known in closed form.

Source: none published. Each value is derived from EI y'''' = -w with zero moment and slope where
the plank comes down, and was confirmed by an independent solver; cases are named by letter.
Expected to three digits on a line of stations 0.05 in apart.
"""

from __future__ import annotations

import numpy as np
import pytest

from survey.slab.contact import LyingPlank, lie
from survey.slab.plank import Plank

# A 2x4 laid flat: E 1.4e6 psi, I .984375 in4, 1.28 lb per ft.
BOARD = Plank(thickness=1.5, width=3.5, stiffness=1.4e6, weight=1.28 / 12)
EI, W = BOARD.rigidity, BOARD.weight
STEP = 0.05
D = 0.25
THREE_DIGITS = 1e-3


def line(start: float, end: float) -> np.ndarray:
    return start + STEP * np.arange(round((end - start) / STEP) + 1)


def near(x: np.ndarray, station: float) -> int:
    return int(np.argmin(np.abs(x - station)))


def first_contact(lying: LyingPlank, beyond: float) -> float:
    """The first station past `beyond` with a force: where the plank comes down."""
    return float(lying.station[lying.touching & (lying.station > beyond + STEP / 2)][0])


def last_contact(lying: LyingPlank, before: float) -> float:
    return float(lying.station[lying.touching & (lying.station < before - STEP / 2)][-1])


def propped(x: np.ndarray, height: float) -> np.ndarray:
    floor = np.zeros(x.size)
    floor[near(x, 0.0)] = height
    return floor


def test_section_is_the_one_named() -> None:
    assert BOARD.inertia == 0.984375


def test_a_end_lifted() -> None:
    x = line(0.0, 160.0)
    lying = lie(x, propped(x, D), BOARD)
    length = (24 * EI * D / W) ** 0.25
    assert length == pytest.approx(93.8, abs=0.05)
    assert first_contact(lying, 0.0) == pytest.approx(length, abs=STEP + 0.05)
    assert lying.contact[0] == pytest.approx(W * length / 2, rel=THREE_DIGITS)


def test_b_prop_under_a_long_plank() -> None:
    x = line(-160.0, 160.0)
    lying = lie(x, propped(x, D), BOARD)
    half = (72 * EI * D / W) ** 0.25
    prop = near(x, 0.0)
    assert half == pytest.approx(123.5, abs=0.05)
    assert first_contact(lying, 0.0) == pytest.approx(half, abs=STEP + 0.05)
    assert last_contact(lying, 0.0) == pytest.approx(-half, abs=STEP + 0.05)
    assert lying.contact[prop] == pytest.approx(4 * W * half / 3, rel=THREE_DIGITS)
    assert lying.moment[prop] == pytest.approx(-W * half**2 / 6, rel=THREE_DIGITS)
    landing = np.abs(x - half) < 5.0
    beyond = W * (5.0 - STEP / 2)
    assert lying.contact[landing].sum() - beyond == pytest.approx(W * half / 3, rel=0.01)


def test_c_step() -> None:
    h, low = D, (51.7128 * EI * D / W) ** 0.25
    high = (np.sqrt(3.0) - 1.0) * low
    assert (low, high) == (pytest.approx(113.7, abs=0.05), pytest.approx(83.2, abs=0.05))
    left, right = line(-140.0, 0.0), line(0.0, 160.0)
    floor = np.concatenate([np.full(left.size, h), np.zeros(right.size)])
    lying = lie(np.concatenate([left, right]), floor, BOARD)
    assert first_contact(lying, 0.0) == pytest.approx(low, abs=STEP + 0.05)
    assert last_contact(lying, 0.0) == pytest.approx(-high, abs=STEP + 0.05)
    rise = lying.underside.max() - h
    assert rise == pytest.approx(9 * W * high**4 / (2048 * EI), rel=THREE_DIGITS)
    edge = near(lying.station, 0.0)
    assert lying.contact[edge] == pytest.approx(1.1830127 * W * low, rel=THREE_DIGITS)


@pytest.mark.parametrize(
    ("width", "sag"), [(24.0, 0.00011), (48.0, 0.00171), (72.0, 0.00868), (96.0, 0.02744)]
)
def test_d_open_dip(width: float, sag: float) -> None:
    e = width / 2
    x = line(-160.0, 160.0)
    lying = lie(x, np.where(np.abs(x) < e - STEP / 2, -1.0, 0.0), BOARD)
    assert -lying.underside[near(x, 0.0)] == pytest.approx(sag, abs=5e-6)
    assert sag == pytest.approx(0.0667740 * W * e**4 / EI, abs=5e-6)
    lifted = 1.0641778 * e
    assert first_contact(lying, e) - e == pytest.approx(lifted, abs=2 * STEP)
    assert lying.contact[near(x, e)] == pytest.approx(1.7981333 * W * e, rel=THREE_DIGITS)


def test_f_prop_with_a_pull_on_either_side() -> None:
    """The slack is the lift that the pull P leaves at its station; the solver must find P."""
    c, length = 24.0, 32.0
    pull = 6 * (EI * D - W * length**4 / 72) / (c**2 * (length - c))
    landing = W * length / 3 + pull * c**2 / length**2
    slack = (landing * (length - c) ** 3 / 6 - W * (length - c) ** 4 / 24) / EI
    x = line(-60.0, 60.0)
    lying = lie(x, propped(x, D), BOARD, anchors=[-c, c], slack=slack)
    assert [a.pull for a in lying.anchors] == pytest.approx([pull, pull], rel=THREE_DIGITS)
    assert lying.lift[near(x, c)] == pytest.approx(slack, rel=1e-9)
    assert first_contact(lying, c) == pytest.approx(length, abs=2 * STEP)
    prop = 2 * (W * length + pull - landing)
    assert lying.contact[near(x, 0.0)] == pytest.approx(prop, rel=THREE_DIGITS)


def test_pinned_pair_over_a_prop() -> None:
    c = 32.0
    x = line(-c, c)
    lying = lie(x, propped(x, D), BOARD, anchors=[-c, c], slack=0.0)
    tension = 3 * EI * D / c**3 - 3 * W * c / 8
    assert [a.pull for a in lying.anchors] == pytest.approx([tension, tension], rel=THREE_DIGITS)
