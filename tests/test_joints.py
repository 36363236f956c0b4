"""Joints along a line: given, flagged, or shown by a reading on a lip."""

from __future__ import annotations

from typing import Any

import numpy as np

from fieldbooks import field_book
from survey.field.levelling import adjust
from survey.job import Job, Laser, WallLine
from survey.slab.line_profile import LineProfile
from survey.slab.profile import profile
from survey.slab.slab_line import predict_slab, stations_along

LEVEL: list[dict[str, Any]] = [
    {"station": float(x), "down": 52.0 + (0.5 if x > 48 else 0.0), "up": 47.0}
    for x in (0, 16, 32, 64, 80, 96)
]
LIPS: list[dict[str, Any]] = [
    {"station": 48.0, "side": -1, "down": 52.0, "up": 47.0},
    {"station": 48.0, "side": 1, "down": 52.5},
]


def line_of(rows: list[dict[str, Any]], wall: WallLine | None = None) -> LineProfile:
    job = Job() if wall is None else Job(walls=(wall,))
    return profile(adjust(field_book(rows), Laser()), job).lines[0]


def test_readings_on_both_lips_show_a_joint_nobody_named() -> None:
    line = line_of([*LEVEL, *LIPS])
    assert line.joints == (48.0,)
    assert [(n.code, n.station) for n in line.notes if n.code.startswith("joint")] == [
        ("joint", 48.0)
    ]
    at_joint = line.slab.station == 48.0
    assert line.slab.piece[at_joint].tolist() == [0, 1]


def test_the_step_at_the_joint_is_sharp() -> None:
    job = Job()
    floor = profile(adjust(field_book([*LEVEL, *LIPS]), Laser()), job)
    slab = predict_slab(floor.lines[0], floor.model, stations_along(floor.lines[0]))
    left, right = slab.mean[slab.at.station == 48.0]
    assert abs(left - right - 0.5) < 0.1
    assert float(slab.height(48.0)) == max(left, right)


def test_a_joint_that_the_job_gives_is_not_told_twice() -> None:
    line = line_of([*LEVEL, *LIPS], WallLine(name="North", slab_joints=(48.0,)))
    assert line.joints == (48.0,)
    assert not [note for note in line.notes if note.code == "joint"]


def test_one_lip_only_leaves_a_doubt_where_nothing_lies_beyond() -> None:
    rows = [row for row in LEVEL if row["station"] <= 48.0]
    line = line_of([*rows, LIPS[0], {"station": 96.0, "up": 47.0}])
    assert line.joints == ()
    assert "joint-unread" in [note.code for note in line.notes]


def test_tapes_on_lips_show_a_joint_too() -> None:
    rows: list[dict[str, Any]] = [
        {"station": float(x), "clear": 99.0 + (0.5 if x > 48 else 0.0)} for x in (0, 16, 32, 64, 80)
    ]
    rows += [{"station": 48.0, "clear": 99.0 + 0.5 * (s > 0), "side": s} for s in (-1, 1)]
    line = line_of(rows)
    assert line.joints == (48.0,)
    assert np.ptp(line.slab.piece) == 1
