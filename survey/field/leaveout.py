"""Leaving readings out by request: `17`, `17:down`, `day2.csv:17`; nothing is dropped unasked."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence

import numpy as np

from survey.errors import SurveyError
from survey.field.book import FieldBook

READINGS = ("down", "up", "clear")
_REFERENCE = re.compile(r"(?:(?P<file>.+):)?(?P<row>\d+)(?::(?P<what>down|up|clear))?")


def leave_out(book: FieldBook, references: Sequence[str]) -> FieldBook:
    """The book with the readings referred to left out and listed.

    Parameters
    ----------
    book
        All rows.
    references
        `17` for a row, `17:down` for one reading of it, `day2.csv:17` where there are several
        files.

    Raises
    ------
    SurveyError
        If a reference cannot be read, or there is nothing there to leave out.
    """
    columns = {key: np.array(getattr(book, key)) for key in READINGS}
    for reference in references:
        row, what = _find(book, reference)
        keys = READINGS if what is None else (what,)
        if all(np.isnan(columns[key][row]) for key in keys):
            raise SurveyError(f"--leave-out {reference}: there is no such reading in that row")
        for key in keys:
            columns[key][row] = np.nan
    for column in columns.values():
        column.setflags(write=False)
    return dataclasses.replace(book, left_out=(*book.left_out, *references), **columns)


def _find(book: FieldBook, reference: str) -> tuple[int, str | None]:
    """Index of the row a reference means, and the one reading of it, if any."""
    found = _REFERENCE.fullmatch(reference.strip())
    if found is None:
        raise SurveyError(f'--leave-out "{reference}": write a row as 17, 17:down or day2.csv:17')
    files = [source.file for source in book.sources]
    hit = book.row == int(found["row"])
    if found["file"] is not None:
        if found["file"] not in files:
            raise SurveyError(f"--leave-out {reference}: the files are {', '.join(files)}")
        hit &= book.file == files.index(found["file"])
    rows = np.flatnonzero(hit)
    if rows.size == 0:
        near = book.row[np.argsort(np.abs(book.row - int(found["row"])), kind="stable")][:3]
        raise SurveyError(
            f"--leave-out {reference}: no readings in that row; near it are rows "
            + ", ".join(str(row) for row in sorted(set(near.tolist())))
        )
    if rows.size > 1:
        choice = ", ".join(f"{files[book.file[i]]}:{found['row']}" for i in rows)
        raise SurveyError(f"--leave-out {reference}: that row is in several files; write {choice}")
    return int(rows[0]), found["what"]
