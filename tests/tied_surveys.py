"""Simulated surveys of several set-ups tied by marks and shared spots, for faults to be planted.

Everything invented. A set-up reads both marks, its own stretch of a wall with the last few spots
of the stretch before, and the marks once more, as somebody careful would.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from books import READING_SD, Row, book_of
from survey.field.levelling import Adjustment, adjust
from survey.job import Laser

MARKS = {"M1": 48.0, "M2": None}
SPACING = 16.0


@dataclass(frozen=True, kw_only=True)
class Plan:
    """How a simulated survey is walked: set-ups, new spots of each, spots read again by the next.

    `marks` are those every set-up reads first and last; `noise` is the sd of a reading [in].
    """

    setups: int = 3
    fresh: int = 6
    shared: int = 3
    marks: tuple[str, ...] = ("M1", "M2")
    noise: float = READING_SD


def walk(rng: np.random.Generator, plan: Plan) -> list[Row]:
    """Rows of a survey without a fault, in the order they were read."""
    count = plan.shared + plan.setups * plan.fresh
    slab = 0.2 * np.sin(np.arange(count) / 3.0) + rng.normal(0.0, 0.03, count)
    joist = rng.normal(99.0, 0.125, count)
    heights = {"M1": 48.0, "M2": 46.5}
    rows: list[Row] = []
    for number in range(plan.setups):
        setup, beam = chr(ord("A") + number), rng.uniform(48.0, 56.0)
        tie = [Row(name=mark, setup=setup, down=beam - heights[mark]) for mark in plan.marks]
        first = number * plan.fresh
        spots = [
            Row(
                name="Long",
                station=SPACING * (spot + 1),
                setup=setup,
                down=beam - slab[spot],
                up=joist[spot] - beam,
            )
            for spot in range(first, first + plan.fresh + plan.shared)
        ]
        rows += [*tie, *spots, *tie]
    return [_misread(rng, row, plan.noise) for row in rows]


def _misread(rng: np.random.Generator, row: Row, noise: float) -> Row:
    """The row with the errors of its readings."""
    errors = rng.normal(0.0, noise, 2)
    return dataclasses.replace(
        row,
        down=None if row.down is None else row.down + float(errors[0]),
        up=None if row.up is None else row.up + float(errors[1]),
    )


def blunder(rows: list[Row], index: int, column: str, amount: float) -> list[Row]:
    """The rows with one reading too large by `amount` [in]."""
    wrong = getattr(rows[index], column) + amount
    return [
        dataclasses.replace(row, **{column: wrong}) if i == index else row
        for i, row in enumerate(rows)
    ]


def kick(rows: list[Row], index: int, amount: float) -> list[Row]:
    """The rows with the beam of a set-up `amount` higher from row `index` on [in]."""
    setup = rows[index].setup
    return [
        dataclasses.replace(
            row,
            down=None if row.down is None else row.down + amount,
            up=None if row.up is None else row.up - amount,
        )
        if i >= index and row.setup == setup
        else row
        for i, row in enumerate(rows)
    ]


def adjusted(rows: list[Row]) -> Adjustment:
    """The rows adjusted, row number 2 being the first."""
    return adjust(book_of(rows, MARKS), Laser())
