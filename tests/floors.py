"""Invented floors for planks to lie on, from a seeded generator, and a dense beam to compare with.

The dense beam is built of textbook cubic elements with a rotation at every station, which the
program's own equations do not have.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from scipy.optimize import lsq_linear

from survey.slab.contact import LyingPlank
from survey.slab.plank import Plank

MOST_ROUNDS = 500
SETTLED = 1e-11
# A 2x4 laid flat, weight 1.28 lb per ft.
BOARD = Plank(thickness=1.5, width=3.5, stiffness=1.4e6, weight=1.28 / 12)


@dataclass(frozen=True, kw_only=True, eq=False)
class Floor:
    """A floor and the anchors put through the plank on it [in]."""

    kind: str
    station: np.ndarray
    surface: np.ndarray
    anchors: tuple[float, ...]


def seeded_floors(count: int, *, seed: int, most: int) -> Iterator[Floor]:
    """Floors of 1 to `most` stations of every kind in turn; anchors through every other one."""
    rng = np.random.default_rng(seed)
    kinds: dict[str, Callable[[np.ndarray, float], np.ndarray]] = {
        "noise": lambda x, tall: tall * rng.normal(size=x.size),
        "wandering": lambda x, tall: tall * np.cumsum(rng.normal(size=x.size)),
        "flat": lambda x, tall: np.full(x.size, tall),
        "spikes": lambda x, tall: np.where(rng.random(x.size) < 0.03, tall, 0.0),
        "steps": lambda x, tall: tall * np.cumsum((rng.random(x.size) < 0.03) - 0.015),
        "waves": lambda x, tall: tall * np.sin(x / rng.uniform(3, 60)),
    }
    for number in range(count):
        size = int(rng.integers(1, most + 1))
        even = np.ones(size)
        mixed = rng.choice([1.0, rng.uniform(0.01, 3.0)], size=size)
        wild = 10 ** rng.uniform(-2, 2, size=size)
        station = np.cumsum((even, mixed, wild)[rng.integers(3)])
        kind = list(kinds)[number % len(kinds)]
        surface = kinds[kind](station, 10 ** rng.uniform(-3, 1))
        through = rng.choice(station, size=min(size, int(rng.integers(1, 6))), replace=False)
        anchors = tuple(float(a) for a in through) if rng.random() < 0.5 else ()
        yield Floor(kind=kind, station=station, surface=surface, anchors=anchors)


def worst_breach(lying: LyingPlank, slack: float) -> float:
    """Worst departure from the conditions of contact, each over its own scale.

    Statics are taken again from the forces alone: their sum, their moment about the first station
    and the bending moment they make. A force counts against the lift it acts at.
    """
    x, plank = lying.station, lying.plank
    pull = np.zeros(x.size)
    for anchor in lying.anchors:
        pull[np.argmin(np.abs(x - anchor.station))] = anchor.pull
    net = lying.contact - pull
    most = max(lying.contact.max(), lying.weight, 1e-9)
    tall = max(np.ptp(lying.surface), slack, 0.01)
    lever = x - x[0]
    turned = np.maximum(x[:, np.newaxis] - x, 0.0) @ net
    bending = turned - plank.weight * lever**2 / 2
    arm = max(lever[-1], 1.0)
    breaches = [
        max(-lying.lift.min(), 0.0) / tall,
        max(-lying.contact.min(), 0.0) / most,
        float(np.max(lying.lift * lying.contact)) / (tall * most),
        float(np.max(pull * np.abs(slack - lying.lift))) / (tall * most),
        abs(net.sum() - lying.weight) / most,
        abs(net @ lever - lying.weight * lever[-1] / 2) / (most * arm),
        float(np.max(np.abs(bending - lying.moment))) / (most * arm),
    ]
    return float(max(breaches))


def beam_stiffness(station: np.ndarray, plank: Plank) -> np.ndarray:
    """Stiffness of cubic beam elements, heights first, then rotations; shape (2 n, 2 n)."""
    size = station.size
    whole = np.zeros((2 * size, 2 * size))
    for i, h in enumerate(np.diff(station)):
        part = np.array(
            [
                [12, 6 * h, -12, 6 * h],
                [6 * h, 4 * h**2, -6 * h, 2 * h**2],
                [-12, -6 * h, 12, -6 * h],
                [6 * h, 2 * h**2, -6 * h, 4 * h**2],
            ]
        )
        at = [i, size + i, i + 1, size + i + 1]
        whole[np.ix_(at, at)] += plank.rigidity / h**3 * part
    return whole


def beam_weight(station: np.ndarray, plank: Plank) -> np.ndarray:
    """Work of the weight on each height and rotation of those elements, shape (2 n,)."""
    size = station.size
    load = np.zeros(2 * size)
    for i, h in enumerate(np.diff(station)):
        load[[i, i + 1]] += plank.weight * h / 2
        load[size + i] += plank.weight * h**2 / 12
        load[size + i + 1] -= plank.weight * h**2 / 12
    return load


def dense_program(floor: Floor, plank: Plank) -> tuple[np.ndarray, np.ndarray]:
    """Matrix Q and vector p of the energy `v Q v / 2 + p v` in the lift v, rotations condensed."""
    size = floor.station.size
    stiffness, load = beam_stiffness(floor.station, plank), beam_weight(floor.station, plank)
    cross = np.linalg.solve(stiffness[size:, size:], stiffness[size:, :size])
    bend = stiffness[:size, :size] - stiffness[:size, size:] @ cross
    return bend, load[:size] - cross.T @ load[size:] + bend @ floor.surface


def lift_by_least_squares(floor: Floor, plank: Plank, slack: float) -> np.ndarray:
    """Lift from bounded least squares on the dense beam, shape (n,) [in].

    The energy does not curve for a plank tilted as a whole, so that least squares cannot hold its
    weight. A little curvature about the last answer is added, and taken along until it settles:
    the proximal-point method, whose fixed point is the optimum of the energy itself.
    """
    bend, push = dense_program(floor, plank)
    added = plank.weight * np.ptp(floor.station) / 10.0
    root = np.linalg.cholesky(bend + added * np.eye(push.size)).T
    held = np.isin(floor.station, floor.anchors)
    upper = np.where(held, slack, np.inf)
    lift = np.where(held, slack / 2, 0.0)
    for _ in range(MOST_ROUNDS):
        wanted = np.linalg.solve(root.T, added * lift - push)
        found = lsq_linear(
            root, wanted, bounds=(0.0, upper), method="bvls", tol=1e-15, max_iter=10_000
        )
        if np.max(np.abs(found.x - lift)) < SETTLED:
            return np.asarray(found.x)
        lift = found.x
    raise AssertionError("the least squares did not settle")
