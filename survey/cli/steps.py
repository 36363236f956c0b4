"""The steps commands share: open the job, read, adjust, plan; notes ride on what goes wrong."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from survey.cli.options import Request
from survey.errors import Note, SurveyError

if TYPE_CHECKING:
    from survey.field.book import FieldBook
    from survey.field.levelling import Adjustment
    from survey.job import Job
    from survey.sheets.ruler import Ruler
    from survey.wall.planning import HousePlan


def open_job(request: Request, settings: Mapping[str, str | None] | None = None) -> Job:
    """Read the job and put the options over it.

    Parameters
    ----------
    request
        The command line.
    settings
        Options by the dotted key of the setting they win over, as typed; None where not given.

    Raises
    ------
    SurveyError
        If the job cannot be read.
    click.UsageError
        If an option's value does not do.
    """
    from survey.field.jobfile import read_job
    from survey.job import with_options

    job = read_job(request.job)
    first: dict[str, Any] = {}
    if request.unit is not None:
        first["job.unit"] = request.unit
    if request.leave_out:
        first["job.leave_out"] = request.leave_out
    job = with_options(job, first)
    typed = {key: text for key, text in (settings or {}).items() if text is not None}
    values = {key: _option_value(job, key, text) for key, text in typed.items()}
    return with_options(job, values)


def _option_value(job: Job, key: str, text: str) -> Any:
    from survey.field.jobvalues import read_setting

    try:
        return read_setting(job, key, text)
    except SurveyError as error:
        option = "--" + key.split(".", 1)[1]
        reasons = [fault.wanted for fault in error.faults] or [error.message]
        cures = [f". {fault.cure}" for fault in error.faults if fault.cure]
        raise click.UsageError(f'{option} "{text}": {reasons[0]}{"".join(cures)}') from error


def read_book(request: Request, job: Job) -> FieldBook:
    """Read the readings and see that the wall asked for is among them.

    Raises
    ------
    SurveyError
        If there is nothing to read, or no such wall.
    """
    from survey.field.readings import read_readings

    _check_present(job)
    with noted(job, job.notes):
        book = read_readings(job)
    walls = [named.name for named in book.names if named.kind == "wall"]
    if request.wall and request.wall.strip().casefold() not in {w.casefold() for w in walls}:
        raise SurveyError(
            f'no wall "{request.wall}" in the readings; there are: {", ".join(walls)}'
        )
    return book


def _check_present(job: Job) -> None:
    """Say how to begin where a folder holds neither settings nor readings."""
    folder = Path(job.folder)
    if not (folder / "job.toml").exists() and not any(
        (folder / name).exists() for name in job.info.readings
    ):
        names = " or ".join(job.info.readings)
        raise SurveyError(
            f"no readings: {folder.absolute()} holds neither job.toml nor {names}. Name a readings "
            "file, or make a job with: floatwall new DIR (--example for one to look at)"
        )


def level(book: FieldBook, job: Job) -> Adjustment:
    """Adjust the readings."""
    from survey.field.levelling import adjust

    with noted(job, [*job.notes, *book.notes]):
        return adjust(book, job.laser)


def walls_read(
    request: Request, job: Job, book: FieldBook, *, hung: bool = False
) -> tuple[str, ...]:
    """Names of the walls that are to be shown; with `hung` only those that hang over the float."""
    from survey.job import resolve

    wanted = request.wall.strip().casefold()
    walls = [named.name for named in book.names if named.kind == "wall"]
    return tuple(
        name
        for name in walls
        if wanted in ("", name.casefold())
        and (not hung or resolve(job, name).line.hang == "bottom")
    )


def plan_house(request: Request, job: Job, book: FieldBook) -> HousePlan:
    """Everything from the readings to the plan, narrowed to what is to be shown."""
    from survey.slab.profile import profile
    from survey.wall.planning import plan

    heights = level(book, job)
    with noted(job, [*job.notes, *heights.book.notes, *heights.notes]):
        house = plan(profile(heights, job), job)
    return narrowed(house, request.wall) if request.wall else house


def narrowed(house: HousePlan, wall: str) -> HousePlan:
    """The plan with one wall only; notes that name no wall stay."""
    wanted = wall.strip().casefold()
    lines = tuple(ln for ln in house.profile.lines if ln.wall.name.casefold() == wanted)
    return dataclasses.replace(
        house,
        profile=dataclasses.replace(house.profile, lines=lines),
        walls=tuple(w for w in house.walls if w.name.casefold() == wanted),
        notes=tuple(n for n in house.notes if n.wall.casefold() in ("", wanted)),
    )


def ruler_of(request: Request, job: Job) -> Ruler:
    """The ruler everything is printed with."""
    from survey.sheets.ruler import ruler_for

    return ruler_for(job, request.show)


def survey_fails(heights: Adjustment) -> bool:
    """Whether --check is to fail for the survey: the global test, or a mark that does not fit."""
    return heights.passed is False or not all(fit.fits for fit in heights.mark_fits)


@contextmanager
def noted(job: Job, notes: Iterable[Note]) -> Iterator[None]:
    """Let an error carry the notes gathered before it: they may hold its cause."""
    try:
        yield
    except SurveyError as error:
        from survey.sheets.ruler import ruler_for
        from survey.sheets.text_notes import note_text

        ruler = ruler_for(job)
        for line in dict.fromkeys(f"{note.level}: {note_text(note, ruler)}" for note in notes):
            error.add_note(line)
        raise
