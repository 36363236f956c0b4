"""The plan of a house: every wall line hung, its studs cut, its doubts named."""

from __future__ import annotations

from dataclasses import dataclass

from survey.errors import Note
from survey.job import Job, WallSettings, resolve
from survey.slab.profile import FloorProfile, LineProfile
from survey.slab.roughness import FloorModel
from survey.wall.bare_wall import bare_wall
from survey.wall.choices import frame_choices
from survey.wall.fixed_plate import over_plate
from survey.wall.taped import with_second_survey
from survey.wall.wall_plan import WallPlan, finish


@dataclass(frozen=True, kw_only=True, eq=False)
class HousePlan:
    """The planned walls of a job, with the profile they stand on and the job's notes."""

    job: Job
    profile: FloorProfile
    walls: tuple[WallPlan, ...]
    notes: tuple[Note, ...]


def plan(profile: FloorProfile, job: Job) -> HousePlan:
    """Plan every wall of the profile.

    Parameters
    ----------
    profile
        Profiled wall lines, joists and the model they share.
    job
        Settings; each wall's are resolved once.

    Raises
    ------
    SurveyError
        If a setting makes a wall impossible to compute (an unknown lumber section, say).
    """
    walls: list[WallPlan] = []
    notes = list(profile.notes)
    for line in profile.lines:
        settings = resolve(job, line.wall.name)
        if line.surface == "plate":
            settings = over_plate(settings, job)
        made = plan_wall(line, profile.model, settings)
        if isinstance(made, Note):
            notes.append(made)
        else:
            walls.append(made)
    return HousePlan(job=job, profile=profile, walls=tuple(walls), notes=tuple(notes))


def plan_wall(line: LineProfile, model: FloorModel, settings: WallSettings) -> WallPlan | Note:
    """Plan one wall; a Note saying why, when it lies outside the plan."""
    if settings.line.hang != "bottom":
        return _outside(settings)
    line = with_second_survey(line, model, settings)
    bare = bare_wall(line, model, settings)
    if isinstance(bare, Note):
        return bare
    return finish(bare, frame_choices(bare, settings), settings)


def _outside(settings: WallSettings) -> Note:
    """Walls that do not float at the bottom are named, not planned."""
    how = "floats at the top" if settings.line.hang == "top" else "does not float"
    return Note(
        code="outside-plan",
        wall=settings.line.name,
        text=f"the wall {how}: it lies outside this plan",
    )
