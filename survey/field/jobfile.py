"""Reading a job: which files there are, what job.toml says, every fault of it at once."""

from __future__ import annotations

import dataclasses
import os
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from survey.errors import Fault, Note, SurveyError
from survey.field.jobchecks import check_job
from survey.field.jobvalues import Reading, read_list, read_table
from survey.job import LISTS, TABLES, Job, JobInfo
from survey.lengths import Unit

JOB_FILE = "job.toml"
LARGEST = 1_000_000
UNITS = ("in", "ft", "mm", "cm", "m")


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
    if not where.exists():
        raise SurveyError(f'there is no file or folder "{where}"')
    if where.is_dir():
        beside = where / JOB_FILE
        return _read(beside) if beside.exists() else Job(folder=str(where))
    if where.suffix.lower() == ".toml":
        return _read(where)
    beside = where.parent / JOB_FILE
    job = _read(beside) if beside.exists() else Job(folder=str(where.parent))
    notes = job.notes
    if beside.exists():
        notes = (*notes, Note(code="job-beside", text=f"settings from {JOB_FILE} beside it"))
    info = dataclasses.replace(job.info, readings=(where.name,))
    return dataclasses.replace(job, info=info, notes=notes)


def _read(path: Path) -> Job:
    tables = _parse(path)
    faults: list[Fault] = []
    reading = Reading(file=path.name, unit=_unit(tables), faults=faults)
    given: dict[str, Any] = {}
    parts: dict[str, Any] = {}
    for heading, value in tables.items():
        if heading in TABLES:
            attribute, record = TABLES[heading]
            parts[attribute] = read_table(value, record, f"[{heading}]", reading)
            given |= {f"{heading}.{key}": "job" for key in value} if _is_table(value) else {}
        elif heading in LISTS:
            attribute, record = LISTS[heading]
            parts[attribute] = read_list(value, record, f"[[{heading}]]", reading)
            given |= _given_in_list(heading, value)
        else:
            reading.unknown(f"[{heading}]", heading, [*TABLES, *LISTS])
    if not faults:
        job = Job(**parts, folder=str(path.parent), given=MappingProxyType(given))
        check_job(job, path.name, faults)
    if faults:
        count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        raise SurveyError(f"{path}: {count} in the job file", faults=faults)
    return job


def _is_table(value: object) -> bool:
    return isinstance(value, Mapping)


def _given_in_list(heading: str, tables: object) -> dict[str, str]:
    """Keys given in a list of tables, as `wall.North.float.rise`."""
    given: dict[str, str] = {}
    for table in tables if isinstance(tables, list) else []:
        if not isinstance(table, Mapping):
            continue
        name = str(table.get("name", ""))
        for key, value in table.items():
            if isinstance(value, Mapping):
                given |= {f"{heading}.{name}.{key}.{inner}": "job" for inner in value}
            else:
                given[f"{heading}.{name}.{key}"] = "job"
    return given


def _unit(tables: Mapping[str, Any]) -> Unit:
    """The job's unit, needed before any length is read; a wrong one is told with its key."""
    job = tables.get("job")
    unit = job.get("unit") if isinstance(job, Mapping) else None
    for known in UNITS:
        if unit == known:
            return known  # type: ignore[return-value]
    return JobInfo().unit


def _parse(path: Path) -> dict[str, Any]:
    """The tables of the file, or an error that shows the line and the usual cure."""
    try:
        if path.stat().st_size > LARGEST:
            raise SurveyError(f"{path}: larger than {LARGEST:,} bytes; this is no job file")
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise SurveyError(f"{path}: cannot be read ({error.strerror})") from error
    except UnicodeDecodeError as error:
        raise SurveyError(f"{path}: is not UTF-8 text; save it as plain text") from error
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, ValueError, RecursionError) as error:
        raise SurveyError(_where_it_breaks(path, text, error)) from error


def _where_it_breaks(path: Path, text: str, error: Exception) -> str:
    found = re.search(r"line (\d+)", str(error))
    number = int(found[1]) if found else 0
    lines = text.splitlines()
    line = lines[min(number, len(lines)) - 1].strip()[:80] if number and lines else ""
    return f"{path} line {number}: `{line}` does not parse. {_cure(line, str(error))}"


def _cure(line: str, reason: str) -> str:
    if any(quote in line for quote in "“”‘’″′"):
        return 'Those are curly quotes: use straight ones, name = "North"'
    if "overwrite" in reason.lower() or "twice" in reason.lower() or "already" in reason.lower():
        return "This key or table stands twice"
    if "=" in line:
        key = line.split("=", 1)[0].strip()
        value = line.split("=", 1)[1].strip().strip('"')
        if re.fullmatch(r"\d{1,2}[/.]\d{1,2}[/.]\d{4}", value):
            return "Write a date as 2027-10-04, without quotes"
        return f'Put lengths and names in straight quotes: {key} = "{value.replace(chr(34), "")}"'
    return "Each line is [heading], key = value, or a # comment"
