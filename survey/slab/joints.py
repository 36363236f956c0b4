"""Joints of the slab along a wall line, and which piece of slab a reading lies on."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from survey.errors import Note
from survey.field.levelling import Adjustment
from survey.job import WallLine
from survey.slab.kriging import FloatArray, IntArray


def piece_of(joints: Sequence[float], station: FloatArray, side: IntArray | int = 0) -> IntArray:
    """Piece of slab a reading lies on: below a joint its left, at or above it its right.

    `side` -1 or +1 puts a reading on the lip of the joint at its station.

    >>> piece_of([96.0], np.array([95.0, 96.0, 96.0]), np.array([0, 0, -1])).tolist()
    [0, 1, 0]
    """
    nudged = station + np.where(np.asarray(side) < 0, -1e-6, 0.0)
    return np.searchsorted(np.asarray(joints, dtype=float), nudged, side="right")


def flagged(heights: Adjustment, code: int, flag: str) -> tuple[float, ...]:
    """Stations of a wall's rows that carry the flag [in], each once, ascending."""
    book = heights.book
    rows = [i for i in np.flatnonzero(book.name == code) if book.flag[i] == flag]
    found = {float(book.station[i]) for i in rows if np.isfinite(book.station[i])}
    return tuple(sorted(found))


def find_joints(
    heights: Adjustment,
    wall: WallLine,
    code: int,
    read: tuple[FloatArray, IntArray],
    length: float,
) -> tuple[tuple[float, ...], list[Note]]:
    """Joints that split the readings of a line; one with nothing read beyond it is told.

    A joint is given in the job, flagged in the readings, or shown by a reading on one of its lips.

    Parameters
    ----------
    heights, code
        The survey, and the wall's code in its field book.
    wall, length
        The line and its length [in].
    read
        Station and side of each reading of the slab, or of the plate on it.
    """
    station, side = read
    told = flagged(heights, code, "joint")
    lips = {float(s) for s in station[side != 0]}
    asked = sorted({s for s in (*wall.slab_joints, *told, *lips) if 0.0 < s < length})
    kept: list[float] = []
    notes = [
        Note(code="joint", wall=wall.name, station=s, text="slab joint at {}", lengths=(s,))
        for s in sorted({*told, *(lips - set(wall.slab_joints))})
    ]
    for joint in asked:
        counts = np.bincount(piece_of([*kept, joint], station, side), minlength=len(kept) + 2)
        if counts[len(kept)] and counts[len(kept) + 1]:
            kept.append(joint)
        else:
            notes.append(
                Note(
                    code="joint-unread",
                    wall=wall.name,
                    station=joint,
                    level="doubt",
                    text="nothing was read on one side of the joint at {}: the slab is taken to "
                    "go on unbroken there; read both lips",
                    lengths=(joint,),
                )
            )
    return tuple(kept), notes
