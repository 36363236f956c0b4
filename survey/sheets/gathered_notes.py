"""All notes that belong to one output, from the job down to its walls."""

from __future__ import annotations

import math

import numpy as np

from survey.errors import Note
from survey.field.levelling import Adjustment
from survey.job import Job, SlabFacts
from survey.sheets.given import drilling_gate
from survey.sheets.ruler import listed
from survey.slab.judgement import Judgement
from survey.wall.planning import HousePlan
from survey.wall.wall_plan import WallPlan


def survey_notes(heights: Adjustment, job: Job) -> tuple[Note, ...]:
    """Notes of the job, its readings and its adjustment."""
    return (*job.notes, *heights.book.notes, *heights.notes, *_beamless(heights))


def judged_notes(judged: Judgement, job: Job) -> tuple[Note, ...]:
    """Notes of a survey with what was found in it, and what to read again."""
    return (*survey_notes(judged.heights, job), *judged.notes, *judged.read_again)


def slab_notes(house: HousePlan) -> tuple[Note, ...]:
    """Notes of the survey and of every profiled line, and what to ask before grinding."""
    planned = {wall.name.casefold(): wall for wall in house.walls}
    notes = list(_whole(house))
    for line in house.profile.lines:
        wall = planned.get(line.wall.name.casefold())
        notes += line.notes if wall is None else wall.notes
    return tuple(notes)


def plan_notes(house: HousePlan) -> tuple[Note, ...]:
    """Notes of the survey and of every planned wall, and what to ask before drilling."""
    walls = [note for wall in house.walls for note in (*wall.notes, *_openings(wall))]
    return (*_whole(house), *walls)


def gate_notes(slab: SlabFacts) -> tuple[Note, ...]:
    """What must be asked before the slab is drilled or ground; empty when all is settled.

    >>> gate_notes(SlabFacts(post_tension="no", tubes="no", membrane="no"))
    ()
    """
    gate = drilling_gate(slab)
    if not gate.closed:
        return ()
    text = f"DO NOT DRILL OR GRIND UNTIL ASKED about {listed(gate.asked)}"
    return (Note(code="ask-first", level="stop", text=text),)


def _whole(house: HousePlan) -> tuple[Note, ...]:
    """Notes that are about no single wall, those on the slab's secrets first."""
    heights = house.profile.heights
    return (*gate_notes(house.job.slab), *survey_notes(heights, house.job), *house.notes)


def _beamless(heights: Adjustment) -> list[Note]:
    """Tell of set-ups whose beam is not known, though not clear heights alone hang on them."""
    book = heights.book
    levelled = set(book.setup[np.isnan(book.clear)].tolist())
    return [
        Note(
            code="setup-without-readings",
            level="doubt",
            text=f"set-up {name} has no reading that counts: its beam is not known",
        )
        for i, (name, beam) in enumerate(zip(book.setups, heights.beams, strict=True))
        if not math.isfinite(beam) and i in levelled
    ]


def _openings(wall: WallPlan) -> list[Note]:
    """Say where a wall has no plate, and so no gap."""
    return [
        Note(
            code="no-plate",
            wall=wall.name,
            station=opening.door.at,
            text="no plate and no gap from {} to {}: a door stands there",
            lengths=(opening.start, opening.end),
        )
        for opening in wall.layout.openings
    ]
