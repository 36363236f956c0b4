"""Reading a job: which files there are, what job.toml says, every fault of it at once."""

from __future__ import annotations

import dataclasses
import functools
import os
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from survey.errors import Note, SurveyError
from survey.field.jobchecks import check_job
from survey.field.jobtext import parse_tables
from survey.field.jobtree import Walk, check_headings, numbered, settle_table
from survey.job import (
    LISTS,
    TABLES,
    WALL_TABLES,
    Job,
    JobInfo,
    Origin,
    Unit,
    with_metric_defaults,
)
from survey.lengths import INCHES_PER

JOB_FILE = "job.toml"
LARGEST = 1_000_000


def read_job(path: str | os.PathLike[str] = ".") -> Job:
    """Read the job at a path: a folder, a job.toml, or a readings CSV.

    A folder without job.toml is a job of defaults with `readings.csv`. A CSV is read with the
    job.toml beside it, where there is one, and a note says so.

    Raises
    ------
    SurveyError
        If there is no such file, or job.toml has faults; all of them are listed.
    """
    where = Path(path)
    try:
        where.stat()
        folder = where if where.is_dir() else where.parent
        beside = (folder / JOB_FILE).is_file()
    except (OSError, ValueError) as error:
        reason = "there is no such file or folder" if _is_absent(error) else "it cannot be read"
        raise SurveyError(f"{where}: {reason}") from error
    if where.suffix.lower() == ".toml" and not where.is_dir():
        return _read(where)
    job = _read(folder / JOB_FILE) if beside else Job(folder=str(folder))
    return job if where.is_dir() else _of_one_file(job, where.name, beside=beside)


def _is_absent(error: Exception) -> bool:
    return isinstance(error, FileNotFoundError | NotADirectoryError)


def _of_one_file(job: Job, name: str, *, beside: bool) -> Job:
    """The job with one readings file in place of those it lists, and what that means, as notes."""
    notes = list(job.notes)
    left_out = job.info.leave_out
    if beside:
        notes.append(
            Note(code="job-beside", text=f"the settings are those of {JOB_FILE} beside it")
        )
    if name not in job.info.readings:
        left_out = tuple(each for each in left_out if each.startswith(f"{name}:"))
        if left_out != job.info.leave_out:
            text = f"leave_out of {JOB_FILE} is about other files; it is not applied to {name}"
            notes.append(Note(code="leave-out-elsewhere", text=text))
    given: dict[str, Origin] = {**job.given, "job.readings": "option"}
    return dataclasses.replace(
        job,
        info=dataclasses.replace(job.info, readings=(name,), leave_out=left_out),
        given=MappingProxyType(given),
        notes=tuple(notes),
    )


def _read(path: Path) -> Job:
    """The job of a job.toml; every fault found in it is in the error."""
    tables, faults = parse_tables(_text(path), path.name)
    unit = _unit(tables)
    check_headings(tables, Walk(file=path.name, unit=unit, faults=faults))
    parts: dict[str, Any] = {}
    for heading, value in tables.items():
        walk = Walk(file=path.name, unit=unit, faults=faults)
        if heading in TABLES:
            attribute, record = TABLES[heading]
            parts[attribute] = _record(value, record, f"[{heading}]", walk)
        elif heading in LISTS:
            attribute, record = LISTS[heading]
            parts[attribute] = _records(value, record, f"[[{heading}]]", walk)
    given = MappingProxyType(_given(tables))
    job = with_metric_defaults(Job(**_sound(parts), folder=str(path.parent), given=given))
    faults += check_job(job, path.name, sections=None not in parts.get("sections", ()))
    if faults:
        count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        raise SurveyError(f"{path}: {count} in the job file", faults=faults)
    return job


def _sound(parts: Mapping[str, Any]) -> dict[str, Any]:
    """The records without faults, so that the rest of a faulty job is checked as well."""
    return {
        attribute: tuple(each for each in part if each is not None)
        if isinstance(part, tuple)
        else part
        for attribute, part in parts.items()
        if part is not None
    }


def _text(path: Path) -> str:
    try:
        size = path.stat().st_size
        if size > LARGEST:
            raise SurveyError(f"{path}: {size:,} bytes; a job file has at most {LARGEST:,}")
        return path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise SurveyError(f"{path}: cannot be read ({error.strerror})") from error
    except UnicodeDecodeError as error:
        raise SurveyError(f"{path}: is not UTF-8 text; save it as plain text, UTF-8") from error


def _unit(tables: Mapping[str, Any]) -> Unit:
    """The job's unit, needed before any length; a wrong one is told when its table is read."""
    job = tables.get("job")
    unit = job.get("unit") if isinstance(job, Mapping) else None
    return next((known for known in INCHES_PER if unit == known), JobInfo().unit)


def _records(tables: object, record: type, label: str, walk: Walk) -> tuple[Any, ...]:
    if not isinstance(tables, list):
        walk.tell(label, "may stand more than once", f"Head each one {label}")
        return ()
    return tuple(
        _record(
            table,
            record,
            numbered(label, table, number),
            Walk(file=walk.file, unit=walk.unit, faults=walk.faults),
        )
        for number, table in enumerate(tables, start=1)
    )


def _record(table: object, record: type, label: str, walk: Walk) -> Any:
    """A record from a table; None where it has faults, which are then in the walk."""
    before = len(walk.faults)
    values = settle_table(table, record, label, (), walk)
    if not isinstance(values, dict):
        return None
    own = values.pop("overrides", {})
    made = _shaped(values, record, (), walk)
    shaped = {
        heading: _shaped(inner, TABLES[heading][1], ("overrides", heading), walk)
        for heading, inner in own.items()
    }
    if len(walk.faults) > before:
        return None
    if not own:
        return made
    overrides = {
        heading: MappingProxyType({name: getattr(shaped[heading], name) for name in inner})
        for heading, inner in own.items()
    }
    return dataclasses.replace(made, overrides=MappingProxyType(overrides))


def _shaped(values: object, record: type, path: tuple[str | int, ...], walk: Walk) -> Any:
    """The record, once every value has the type it asks for."""
    from pydantic import ValidationError

    try:
        return _adapter(record).validate_python(values)
    except (ValidationError, RecursionError) as error:
        found = error.errors(include_url=False) if isinstance(error, ValidationError) else []
        for each in found:
            walk.refuse_shape((*path, *each["loc"]), missing=each["type"] == "missing")
        if not found:
            walk.tell(walk.places[path].label, "is nested too deep")
        return None


@functools.cache
def _adapter(record: type) -> Any:
    from pydantic import TypeAdapter

    return TypeAdapter(record)


def _given(tables: Mapping[str, Any]) -> dict[str, Origin]:
    """Every key given, dotted; those of lists under the name of their table."""
    given: dict[str, Origin] = {}
    for heading, value in tables.items():
        if heading in TABLES and isinstance(value, Mapping):
            given |= {f"{heading}.{key}": "job" for key in value}
        for table in value if heading in LISTS and isinstance(value, list) else ():
            if isinstance(table, Mapping):
                given |= _given_in(table, heading)
    return given


def _given_in(table: Mapping[str, Any], heading: str) -> dict[str, Origin]:
    given: dict[str, Origin] = {}
    for key, value in table.items():
        start = f"{heading}.{table.get('name', '')}.{key}"
        own = heading == "wall" and key in WALL_TABLES and isinstance(value, Mapping)
        given |= {f"{start}.{name}": "job" for name in value} if own else {start: "job"}
    return given
