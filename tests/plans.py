"""Planned houses for tests: the samples, and invented walls of any length. Everything invented."""

from __future__ import annotations

import functools
from pathlib import Path
from typing import Any

import numpy as np

import survey
from books import Row, book_of
from survey.field.book import FieldBook
from survey.field.levelling import adjust
from survey.job import Door, Job, WallLine
from survey.slab.profile import profile
from survey.wall.planning import HousePlan, plan

ROOT = Path(__file__).parents[1]
SAMPLES = ("one_wall.csv", "quarry_house", "metric_cellar", "trouble")


@functools.cache
def sample(name: str) -> HousePlan:
    """The plan of a sample survey, computed once."""
    job = survey.read_job(ROOT / "sample_surveys" / name)
    heights = survey.adjust(survey.read_readings(job), job.laser)
    return survey.plan(survey.profile(heights, job), job)


def wavy_book(
    name: str, length: float, *, every: float = 16.0, height: float = 0.3, wave: float = 40.0
) -> FieldBook:
    """Readings of a wavy slab and uneven joists along one wall, from one set-up."""
    rng = np.random.default_rng(5)
    return book_of(
        Row(
            name=name,
            station=float(station),
            down=52.0 + height * np.sin(station / wave) + rng.normal(0.0, 0.05),
            up=48.0 + rng.normal(0.0, 0.12),
        )
        for station in np.arange(0.0, length + 0.1, every)
    )


def wavy_house(
    name: str,
    length: float,
    *,
    doors: tuple[float, ...] = (),
    floor: dict[str, float] | None = None,
    wall: dict[str, Any] | None = None,
    **tables: Any,
) -> HousePlan:
    """The plan of one wavy wall; `floor` goes to its readings, `wall` to its line, the rest to job.

    `doors` are the centres of doors 34 in wide [in].
    """
    line = WallLine(
        name=name,
        length=length,
        door=tuple(Door(at=at, width=34.0) for at in doors),
        **({} if wall is None else wall),
    )
    job = Job(walls=(line,), **tables)
    book = wavy_book(name, length, **({} if floor is None else floor))
    return plan(profile(adjust(book, job.laser), job), job)
