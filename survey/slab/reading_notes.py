"""What the readings of a line leave in doubt: ends, slopes, cracks, drains."""

from __future__ import annotations

import numpy as np

from survey.errors import Note
from survey.field.levelling import Adjustment, Surface
from survey.slab.roughness import ReadLine

BOTH_SIDES = 24.0


def reading_notes(
    heights: Adjustment, name: str, code: int, read: ReadLine, length: float
) -> tuple[Note, ...]:
    """Notes on one wall line: an end not read, a slope assumed, a crack read on one side only.

    Parameters
    ----------
    heights
        The adjusted survey.
    name, code
        The wall's name and its code in the field book.
    read
        Its slab readings.
    length
        Of the line [in].
    """
    return (
        *_reach_notes(name, read, length),
        *_slope_notes(name, read),
        *_crack_notes(heights, name, code),
    )


def _reach_notes(name: str, read: ReadLine, length: float) -> list[Note]:
    """Tell where an end lies more than half a spacing from the nearest slab reading."""
    station = np.unique(read.station)
    spacing = float(np.median(np.diff(station))) if station.size > 1 else 0.0
    return [
        Note(
            code="end-not-read",
            wall=name,
            station=end,
            text="the reading nearest to the end at {} is {} away from it: read the end",
            lengths=(end, abs(end - nearest)),
        )
        for end, nearest in ((0.0, float(station[0])), (length, float(station[-1])))
        if abs(end - nearest) > max(spacing / 2.0, 1.0)
    ]


def _slope_notes(name: str, read: ReadLine) -> list[Note]:
    if read.slope_sd is None:
        return []
    return [
        Note(
            code="slope-assumed",
            wall=name,
            level="doubt",
            text="fewer than three slab readings on a piece: its slope is taken as 0 with sd {} "
            "per foot; read more spots",
            lengths=(12.0 * read.slope_sd,),
        )
    ]


def _crack_notes(heights: Adjustment, name: str, code: int) -> list[Note]:
    """Ask for readings on both sides of a crack or drain that has none within two feet."""
    book, spots = heights.book, heights.spots
    read = spots.station[(spots.name == code) & (spots.surface == Surface.SLAB)]
    notes = []
    for i in np.flatnonzero(book.name == code):
        at = float(book.station[i])
        if book.flag[i] not in ("crack", "drain") or not np.isfinite(at):
            continue
        left = np.any((read < at) & (read >= at - BOTH_SIDES))
        right = np.any((read > at) & (read <= at + BOTH_SIDES))
        if not (left and right):
            notes.append(
                Note(
                    code="read-both-sides",
                    wall=name,
                    station=at,
                    row=int(book.row[i]),
                    text=f"{book.flag[i]} at {{}}: read the slab close to it on both sides",
                    lengths=(at,),
                )
            )
    return notes
