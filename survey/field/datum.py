"""The datum of a levelling: which marks carry it, and whether every set-up is tied to it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from survey.errors import Fault, Note, SurveyError
from survey.field.book import FieldBook
from survey.field.sights import Sights, Surface

IntArray = npt.NDArray[np.int64]
FloatArray = npt.NDArray[np.float64]

DatumKind = Literal["fixed marks", "free marks", "first beam"]
DatumFound = DatumKind | Literal["none"]
MOST_NAMES = 6  # set-ups or rows named in one message before "and 12 more"


@dataclass(frozen=True, kw_only=True)
class Datum:
    """What elevations are referred to.

    "fixed marks": the elevations given for `marks` are held. "free marks": the mean elevation of
    `marks` is zero. "first beam": the first set-up's beam is held and the lowest slab spot is
    called zero; `marks` is empty. "none": nothing was levelled.
    """

    kind: DatumFound
    marks: tuple[str, ...]


def choose_datum(book: FieldBook, sights: Sights, wanted: Literal["auto"] | DatumKind) -> Datum:
    """Settle the datum from the marks that were read.

    "auto" takes the marks with an elevation; failing these all marks, free; failing these the
    first beam.

    Raises
    ------
    SurveyError
        The datum wanted has no mark to carry it.
    """
    read = [book.names[code] for code in sights.name[sights.surface == Surface.MARK]]
    known = tuple(mark.name for mark in read if mark.elevation is not None)
    every = tuple(mark.name for mark in read)
    if wanted == "auto":
        wanted = "fixed marks" if known else "free marks" if every else "first beam"
    marks = {"fixed marks": known, "free marks": every, "first beam": ()}[wanted]
    if not marks and wanted != "first beam":
        lack = "no mark with an elevation was read" if wanted == "fixed marks" else "no mark read"
        raise SurveyError(
            f'the datum "{wanted}" has nothing to carry it: {lack}. '
            "Read a mark listed under [[mark]] in job.toml, or let the tool choose the datum"
        )
    return Datum(kind=wanted, marks=marks)


def held_elevations(book: FieldBook, sights: Sights, datum: Datum) -> FloatArray:
    """Elevation at which each spot is held, NaN where it is free; shape (m,) [in].

    A lone free mark is held at zero, which is the same datum without rounding.
    """
    held = np.full(sights.name.size, np.nan)
    if datum.kind == "free marks" and len(datum.marks) == 1:
        held[sights.surface == Surface.MARK] = 0.0
    if datum.kind == "fixed marks":
        for spot in np.flatnonzero(sights.surface == Surface.MARK):
            elevation = book.names[sights.name[spot]].elevation
            held[spot] = np.nan if elevation is None else elevation
    return held


def unread_marks(book: FieldBook, sights: Sights) -> tuple[Note, ...]:
    """A doubt for each mark whose elevation is given but that no row reads."""
    read = set(sights.name.tolist())
    return tuple(
        Note(
            code="mark-not-read",
            level="doubt",
            text=f"mark {mark.name} has an elevation, but no reading: it carries nothing",
        )
        for code, mark in enumerate(book.names)
        if mark.kind == "mark" and mark.elevation is not None and code not in read
    )


def check_tied(book: FieldBook, sights: Sights, group: IntArray) -> None:
    """Refuse a survey whose set-ups fall into groups with nothing in common.

    `group` numbers the group of each sight; shape (n,).

    Raises
    ------
    SurveyError
        Names the set-ups of each group, with a row of each as a fault.
    """
    count = int(group.max()) + 1
    if count == 1:
        return
    faults, said = [], []
    for number in range(count):
        mine = np.flatnonzero(group == number)
        row = int(sights.row_index[mine[0]])
        setups = _listed([book.setups[code] for code in np.unique(sights.setup[mine])])
        rows = np.unique(book.row[sights.row_index[mine]])
        file = book.sources[book.file[row]].file
        said.append(f"{setups} (row {_listed([str(number) for number in rows], most=3)})")
        faults.append(
            Fault(
                file=file,
                row=int(book.row[row]),
                column="setup",
                found=book.setups[book.setup[row]],
                wanted=f"set-up {setups} shares no spot or mark with the other set-ups",
                cure="Read one spot again from both, or leave its rows out",
            )
        )
    shown = "; ".join(f"group {i}: {text}" for i, text in enumerate(said[:MOST_NAMES], start=1))
    more = "" if count <= MOST_NAMES else f"; and {count - MOST_NAMES} more groups"
    raise SurveyError(
        f"the set-ups are not tied together: {shown}{more}. Read one spot or mark again from a "
        "set-up of each group, or leave a group's rows out with --leave-out",
        faults=faults,
    )


def _listed(names: list[str], *, most: int = MOST_NAMES) -> str:
    """Names with commas, cut short.

    >>> _listed(["2", "3", "4", "5", "6"], most=3)
    '2, 3, 4 and 2 more'
    """
    shown = ", ".join(names[:most])
    return shown if len(names) <= most else f"{shown} and {len(names) - most} more"
