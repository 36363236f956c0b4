"""Leaving readings out by request: `17`, `17:down`, `day2.csv:17`; nothing is dropped unasked."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping, Sequence

import numpy as np

from survey.errors import Fault, SurveyError
from survey.field.book import BoolArray, FieldBook
from survey.field.decode import shown
from survey.field.headings import READINGS, column_meant
from survey.lengths import show

ROWS_NAMED = 4
_REFERENCE = re.compile(r"(?:(?P<file>.+?):)?(?P<row>[0-9]{1,9})(?::(?P<column>[^:]*))?")


def leave_out(book: FieldBook, refs: Sequence[str]) -> FieldBook:
    """The book with the readings referred to left out (NaN) and listed in `left_out`.

    Parameters
    ----------
    book
        All rows.
    refs
        `17` for all readings of a row, `17:down` for one of them, `day2.csv:17` where there are
        several files.

    Raises
    ------
    SurveyError
        If a reference cannot be read, is in doubt, or nothing is there to leave out; every such
        reference is told.
    """
    out: dict[str, BoolArray] = {key: np.zeros(book.row.size, dtype=np.bool_) for key in READINGS}
    faults = []
    for ref in refs:
        problem = _mark(book, ref, out)
        if problem:
            faults.append(Fault(column="--leave-out", found=shown(ref), wanted=problem))
    if faults:
        count = "1 reference" if len(faults) == 1 else f"{len(faults)} references"
        raise SurveyError(f"{count} of --leave-out or leave_out do not do", faults=faults)
    return dataclasses.replace(
        book,
        down=np.where(out["down"], np.nan, book.down),
        up=np.where(out["up"], np.nan, book.up),
        clear=np.where(out["clear"], np.nan, book.clear),
        left_out=(*book.left_out, *dict.fromkeys(refs)),
    )


def _mark(book: FieldBook, ref: str, out: Mapping[str, BoolArray]) -> str:
    """Mark what a reference leaves out; the answer says what is wrong with it, if anything."""
    found = _REFERENCE.fullmatch(ref.strip())
    if found is None:
        return "cannot be read; write a row as 17, 17:down or day2.csv:17"
    column = None if found["column"] is None else column_meant(found["column"])[0]
    if found["column"] is not None and column not in READINGS:
        return f'"{shown(found["column"])}" is no reading; after the row stands down, up or clear'
    files = [source.file for source in book.sources]
    inside = ~book.taped
    if found["file"] is not None:
        named = [i for i, file in enumerate(files) if file.casefold() == found["file"].casefold()]
        if not named:
            return f"there is no such file among {', '.join(files)}"
        inside = book.file == named[0]
    rows = np.flatnonzero(inside & (book.row == int(found["row"])))
    if rows.size > 1:
        choices = " or ".join(f"{files[book.file[i]]}:{found['row']}" for i in rows)
        return f"several files have that row; write {choices}"
    wanted = READINGS if column is None else (column,)
    hit = [(key, i) for i in rows for key in wanted if np.isfinite(getattr(book, key)[i])]
    for key, i in hit:
        out[key][i] = True
    what = "no reading" if column is None else f"no {column}"
    return (
        "" if hit else f"{what} stands there; near it are {_near(book, inside, int(found['row']))}"
    )


def _near(book: FieldBook, inside: BoolArray, row: int) -> str:
    """The nearest rows with readings, each with its name and station."""
    read = inside & np.any([np.isfinite(getattr(book, key)) for key in READINGS], axis=0)
    rows = np.flatnonzero(read)
    nearest = rows[np.argsort(np.abs(book.row[rows] - row), kind="stable")[:ROWS_NAMED]]
    return "; ".join(_row_said(book, int(i)) for i in np.sort(nearest)) or "no rows with readings"


def _row_said(book: FieldBook, i: int) -> str:
    name = shown(book.names[book.name[i]].name)
    station = book.station[i]
    at = "" if np.isnan(station) else f" at {show(float(station), book.unit)}"
    return f"{book.row[i]} ({name}{at})"
