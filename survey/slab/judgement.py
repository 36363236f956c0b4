"""How good a survey is, all in one: readings against one another, spots against neighbours."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from survey.errors import Note
from survey.field.levelling import Adjustment, Surface
from survey.field.quality import Quality, judge_quality
from survey.job import Job
from survey.slab.neighbours import Neighbours, check_neighbours
from survey.slab.profile import profile
from survey.slab.read_again import read_again

NOT_CHECKED = Neighbours(tested=(), critical=float("inf"), mean_square=float("nan"), notes=())


@dataclass(frozen=True, kw_only=True, eq=False)
class Judgement:
    """An adjusted survey judged.

    `read_again` lists what to read again, the gravest first, each with its reason.
    """

    heights: Adjustment = field(repr=False)
    quality: Quality
    neighbours: Neighbours
    read_again: tuple[Note, ...]

    @property
    def suspects(self) -> bool:
        """Whether anything is suspected: a reading, a moved beam, a mark."""
        return bool(self.quality.findings.found)

    @property
    def notes(self) -> tuple[Note, ...]:
        """What was found, in words."""
        return (*self.quality.notes, *self.neighbours.notes)


def judge(heights: Adjustment, job: Job) -> Judgement:
    """Judge a survey: misread rows, moved beams and marks, spots unlike their neighbours.

    Parameters
    ----------
    heights
        The adjusted survey.
    job
        Walls, joints and the scatter expected of joists.
    """
    quality = judge_quality(heights)
    of_walls = np.isin(heights.spots.surface, (Surface.SLAB, Surface.PLATE))
    neighbours = NOT_CHECKED
    if np.any(of_walls & np.isfinite(heights.spots.station)):
        neighbours = check_neighbours(profile(heights, job), job)
    return Judgement(
        heights=heights,
        quality=quality,
        neighbours=neighbours,
        read_again=read_again(quality, neighbours),
    )
