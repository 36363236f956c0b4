"""Clear heights by tape or stick as they were taken, wall by wall."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey import standards
from survey.field.book import FieldBook


@dataclass(frozen=True, kw_only=True)
class Tape:
    """One clear height at a station of a wall, from slab or slab plate to the joist [in].

    `clear` has the floor covering added back; `side` is -1 or +1 on a lip of a joint, else 0.
    `afterwards` tells a row of the file of taped heights, `row` and `file` where it stands.
    """

    station: float
    side: int
    clear: float
    sd: float
    on_plate: bool
    afterwards: bool
    file: str
    row: int


def tapes_on(book: FieldBook, code: int) -> tuple[Tape, ...]:
    """The clear heights taken on the wall with that name code, by station.

    >>> from survey.example import example_folder
    >>> from survey import read_job, read_readings
    >>> tapes_on(read_readings(read_job(example_folder())), 0)
    ()
    """
    rows = np.flatnonzero((book.name == code) & np.isfinite(book.clear))
    cover = np.nan_to_num(book.cover, nan=0.0)
    sd = np.where(np.isnan(book.sd), standards.TAPE_SD.value, book.sd)
    return tuple(
        Tape(
            station=float(book.station[i]),
            side=int(book.side[i]),
            clear=float(book.clear[i] + cover[i]),
            sd=float(sd[i]),
            on_plate=bool(book.on_plate[i]),
            afterwards=bool(book.taped[i]),
            file=book.sources[book.file[i]].file,
            row=int(book.row[i]),
        )
        for i in rows[np.argsort(book.station[rows], kind="stable")]
    )
