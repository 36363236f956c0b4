"""Clear heights taped after the plan, in a file of their own beside the job, and its rules."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

import numpy as np

from survey.errors import Fault
from survey.field.book import FieldBook
from survey.field.decode import shown
from survey.field.rowchecks import Typed
from survey.job import Job, name_key

TAPE_FILE = "taped.csv"


def tape_file(job: Job) -> list[tuple[Path, str]]:
    """The file of taped heights and what messages call it; empty where the job has none."""
    path = Path(job.folder) / TAPE_FILE
    named = any(name_key(name) == TAPE_FILE for name in job.info.readings)
    return [(path, TAPE_FILE)] if path.is_file() and not named else []


def is_tape_file(file: str, job: Job) -> bool:
    """Whether a file is that of the taped heights, and not a readings file of that name."""
    return file == TAPE_FILE and file not in job.info.readings


def tape_faults(book: FieldBook, job: Job, typed: Typed) -> list[Fault]:
    """Faults of the taped heights: rows that hold none, and walls that nobody knows."""
    rows = np.flatnonzero(book.taped)
    if not rows.size:
        return []
    known = _walls_known(book, job)
    faults: list[Fault] = []
    for i in rows:
        file, row = book.sources[book.file[i]].file, int(book.row[i])
        if typed.filled["down"][i] or typed.filled["up"][i]:
            wanted = "holds down or up, and here stand taped heights"
            cure = "Write what the laser read into the readings file"
            faults.append(Fault(file=file, row=row, wanted=wanted, cure=cure))
        elif not typed.filled["clear"][i] and not book.flag[i]:
            faults.append(Fault(file=file, row=row, column="clear", wanted="has no height"))
        name = book.names[book.name[i]].name
        if name_key(name) not in known:
            near = get_close_matches(name, list(known.values()), n=1, cutoff=0.0)
            cure = f'The nearest name is "{shown(near[0])}"' if near else ""
            wanted = "is no wall of the readings or of job.toml"
            found = shown(name)
            faults.append(
                Fault(file=file, row=row, column="wall", found=found, wanted=wanted, cure=cure)
            )
    return faults


def _walls_known(book: FieldBook, job: Job) -> dict[str, str]:
    """Walls of the job and of the readings files, by the key they are compared with."""
    read = [
        named.name
        for code, named in enumerate(book.names)
        if named.kind == "wall" and np.any((book.name == code) & ~book.taped)
    ]
    return {name_key(name): name.strip() for name in (*read, *(w.name for w in job.walls))}
