"""The plan of a house: every wall line hung, its studs cut, its doubts named."""

from __future__ import annotations

from dataclasses import dataclass

from survey.errors import Note
from survey.job import Job, WallSettings, resolve
from survey.slab.profile import FloorProfile, LineProfile
from survey.slab.roughness import FloorModel
from survey.slab.slab_line import predict_slab, stations_along
from survey.wall.choices import frame_choices
from survey.wall.clear_height import clear_height
from survey.wall.draws import draw_line
from survey.wall.joists import joist_line
from survey.wall.layout import lay_out
from survey.wall.lines import BareWall, level_top, limits
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
        made = plan_wall(line, profile.model, resolve(job, line.wall.name))
        if isinstance(made, Note):
            notes.append(made)
        else:
            walls.append(made)
    return HousePlan(job=job, profile=profile, walls=tuple(walls), notes=tuple(notes))


def plan_wall(line: LineProfile, model: FloorModel, settings: WallSettings) -> WallPlan | Note:
    """Plan one wall; a Note saying why, when it lies outside the plan."""
    if settings.line.hang != "bottom":
        return _outside(settings)
    layout = lay_out(line.length, settings)
    at = stations_along(line, [spot.station for spot in layout.studs])
    slab = predict_slab(line, model, at)
    joists = joist_line(line, settings, slab)
    if isinstance(joists, Note):
        return joists
    drawn = draw_line(line, model, at, joists)
    top = level_top(joists, drawn.joists, settings)
    clear = clear_height(
        at.station,
        top=drawn.joists.min(axis=1, keepdims=True),
        slab=drawn.slab,
        plates=layout.plates,
        confidence=settings.travel.confidence,
    )
    bare = BareWall(
        line=line,
        layout=layout,
        slab=slab,
        joists=joists,
        top=top,
        clear=clear,
        bounds=limits(settings, top),
    )
    return finish(bare, frame_choices(bare, settings), settings)


def _outside(settings: WallSettings) -> Note:
    """Walls that do not float at the bottom are named, not planned."""
    how = "floats at the top" if settings.line.hang == "top" else "does not float"
    return Note(
        code="outside-plan",
        wall=settings.line.name,
        text=f"the wall {how}: it lies outside this plan",
    )
