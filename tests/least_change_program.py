"""The least change of a surface as a mixed-integer program: slow, exact, for few stations.

Its beam is the dense one of `floors`, with a rotation at every station, not the program's own.
"""

from __future__ import annotations

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from floors import beam_stiffness, beam_weight
from survey.slab.change_program import strip_weights
from survey.slab.rock import HeldPlank

TALL = 5.0  # no depth or lift is beyond this [in]
STRONG = 5000.0  # no force from below is beyond this [lb]


def least_section(held: HeldPlank, kind: str) -> float:
    """Area of the least cut or fill, proved [in2]; anchors stand at stations of the surface.

    Variables: height, rotation, depth, push from below, pull from the anchor, and two choices a
    station: whether it touches, and whether its anchor pulls.
    """
    x, size = held.station, held.station.size
    stiffness, load = beam_stiffness(x, held.plank), beam_weight(x, held.plank)
    unit, none = np.eye(size), np.zeros((size, size))
    anchored = np.isin(x, held.anchors)
    sign = 1.0 if kind == "cut" else -1.0
    lift = np.hstack([unit, none, sign * unit, none, none, none, none])
    lever = np.maximum(x[:, np.newaxis] - x, 0.0)
    bending = np.hstack([none, none, none, lever, -lever, none, none])
    most = held.limits.stress * held.plank.section_modulus
    own = held.plank.weight * (x - x[0]) ** 2 / 2
    balance = np.hstack(
        [stiffness, np.zeros((2 * size, size)), *(np.vstack([s * unit, none]) for s in (-1, 1))]
    )
    balance = np.hstack([balance, np.zeros((2 * size, 2 * size))])
    touch = np.hstack([unit, none, sign * unit, none, none, TALL * unit, none])
    pushed = np.hstack([none, none, none, unit, none, -STRONG * unit, none])
    pulled = np.hstack([none, none, none, none, unit, none, -held.limits.pull * unit])
    drawn = np.hstack([unit, none, sign * unit, none, none, none, -held.slack * unit])
    rules = [
        LinearConstraint(balance, -load, -load),
        LinearConstraint(lift, held.surface, np.inf),
        LinearConstraint(touch, -np.inf, held.surface + TALL),
        LinearConstraint(pushed, -np.inf, 0.0),
        LinearConstraint(pulled, -np.inf, 0.0),
        LinearConstraint(lift[anchored], -np.inf, held.surface[anchored] + held.slack),
        LinearConstraint(drawn[anchored], held.surface[anchored], np.inf),
        LinearConstraint(bending, own - most, own + most),
    ]
    weight = strip_weights(x)
    nothing = np.zeros(size)
    found = milp(
        np.concatenate([nothing, nothing, weight, nothing, nothing, nothing, nothing]),
        constraints=rules,
        bounds=Bounds(
            np.concatenate([np.full(2 * size, -TALL), np.zeros(5 * size)]),
            np.concatenate(
                [
                    np.full(3 * size, TALL),
                    np.full(size, STRONG),
                    np.where(anchored, held.limits.pull, 0.0),
                    np.ones(2 * size),
                ]
            ),
        ),
        integrality=np.concatenate([np.zeros(5 * size), np.ones(2 * size)]),
        options={"time_limit": 60.0},
    )
    assert found.success, found.message
    return float(weight @ found.x[2 * size : 3 * size])
