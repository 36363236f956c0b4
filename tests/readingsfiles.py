"""Readings files for tests, written to a folder and read. Everything invented."""

from __future__ import annotations

from pathlib import Path

import pytest

from survey.errors import Fault, SurveyError
from survey.field.book import FieldBook
from survey.field.readings import read_readings
from survey.job import Job, JobInfo
from survey.lengths import Unit

HEADING = "setup,wall,station,down,up,note\n"


def job_of(folder: Path, *files: str, unit: Unit = "in") -> Job:
    """A job of these files and nothing else."""
    return Job(info=JobInfo(readings=files or ("readings.csv",), unit=unit), folder=str(folder))


def read_file(folder: Path, content: str | bytes, job: Job | None = None) -> FieldBook:
    """Write `readings.csv` and read it, with a job of nothing else unless one is given."""
    data = content.encode() if isinstance(content, str) else content
    (folder / "readings.csv").write_bytes(data)
    return read_readings(job_of(folder) if job is None else job)


def faults_in(folder: Path, content: str | bytes, job: Job | None = None) -> tuple[Fault, ...]:
    """The faults of a file that must have some."""
    with pytest.raises(SurveyError, match="fault") as caught:
        read_file(folder, content, job)
    assert caught.value.faults
    return caught.value.faults


def said_of(folder: Path, content: str | bytes, job: Job | None = None) -> str:
    """The one fault of a file, as it is printed."""
    faults = faults_in(folder, content, job)
    assert len(faults) == 1, [str(fault) for fault in faults]
    return str(faults[0])


def codes_of(book: FieldBook) -> list[str]:
    """The codes of a book's notes."""
    return [note.code for note in book.notes]
