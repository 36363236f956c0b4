"""What was read along the lines of a floor, surface by surface, and the rows it was read in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from survey.field.levelling import Surface
from survey.field.outliers import Place, place_of
from survey.slab.joints import piece_of
from survey.slab.kriging import IntArray
from survey.slab.line_profile import LineProfile
from survey.slab.profile import FloorProfile
from survey.slab.roughness import ReadLine


@dataclass(frozen=True, kw_only=True, eq=False)
class ReadSurface:
    """The slab of a line, or the slab plate on it, as read."""

    line: LineProfile
    surface: Surface
    joints: tuple[float, ...]
    read: ReadLine


@dataclass(frozen=True, kw_only=True)
class Located:
    """Where one reading of a line was taken, and the rows it comes from."""

    station: float
    side: int
    places: tuple[Place, ...]


def read_surfaces(floor: FloorProfile) -> tuple[ReadSurface, ...]:
    """Every surface read, line by line; the slab under a plate that was read too comes after it."""
    found = []
    for line in floor.lines:
        upper = Surface.PLATE if line.surface == "plate" else Surface.SLAB
        found.append(ReadSurface(line=line, surface=upper, joints=line.joints, read=line.slab))
        found += [
            ReadSurface(line=line, surface=Surface.SLAB, joints=under.joints, read=under.read)
            for under in line.beneath
        ]
    return tuple(found)


def telling_roughness(surfaces: Sequence[ReadSurface]) -> list[int]:
    """Those the profile takes the slab's roughness from: bare slab, else plates, else all."""
    levelled = [k for k, one in enumerate(surfaces) if not one.line.tape_only]
    bare = [k for k in levelled if surfaces[k].surface == Surface.SLAB]
    return bare or levelled or list(range(len(surfaces)))


def locate_below(floor: FloorProfile, one: ReadSurface) -> tuple[Located, ...]:
    """Where each reading of a surface was taken: in its rows, or in those of its tapes."""
    if one.line.tape_only:
        return _locate_tapes(one)
    spots, members = floor.heights.spots, _members(floor, one.line, one.surface)
    piece = piece_of(one.joints, spots.station[members], spots.side[members])
    apart = np.abs(spots.station[members][:, None] - one.read.station[None, :])
    apart = np.where(piece[:, None] == one.read.piece[None, :], apart, np.inf)
    return _located(
        floor, members, np.argmin(apart, axis=1).astype(np.int64), one.read.station.size
    )


def locate_joists(floor: FloorProfile, line: LineProfile) -> tuple[Located, ...]:
    """Where each joist of a line was read; none on a line that was only taped."""
    if line.tape_only or line.joist_station.size == 0:
        return ()
    members = _members(floor, line, Surface.JOIST)
    apart = np.abs(floor.heights.spots.station[members][:, None] - line.joist_station[None, :])
    return _located(
        floor, members, np.argmin(apart, axis=1).astype(np.int64), line.joist_station.size
    )


def _members(floor: FloorProfile, line: LineProfile, surface: Surface) -> IntArray:
    """Spots of one surface of a line."""
    heights = floor.heights
    wanted = line.wall.name.strip().casefold()
    mine = np.array([named.name.casefold() == wanted for named in heights.book.names])
    return np.flatnonzero(mine[heights.spots.name] & (heights.spots.surface == surface))


def _located(
    floor: FloorProfile, members: IntArray, owner: IntArray, count: int
) -> tuple[Located, ...]:
    """One place for each of `count` readings, from the spots each is the mean of."""
    heights = floor.heights
    observed, spots = heights.observations, heights.spots
    located = []
    for i in range(count):
        mine = members[owner == i]
        rows = np.unique(observed.row_index[np.isin(observed.spot, mine)])
        located.append(
            Located(
                station=float(np.mean(spots.station[mine])),
                side=int(spots.side[mine[0]]) if mine.size == 1 else 0,
                places=tuple(place_of(heights, int(row)) for row in rows),
            )
        )
    return tuple(located)


def _locate_tapes(one: ReadSurface) -> tuple[Located, ...]:
    """The tapes a line was made of, in the order of its readings."""
    plate = one.surface == Surface.PLATE
    tapes = [tape for tape in one.line.tapes if tape.on_plate == plate]
    station, side = (
        np.array([getattr(tape, key) for tape in tapes]) for key in ("station", "side")
    )
    order = np.lexsort((station, piece_of(one.joints, station, side)))
    return tuple(
        Located(
            station=tapes[i].station,
            side=tapes[i].side,
            places=(Place(file=tapes[i].file, row=tapes[i].row, setup=""),),
        )
        for i in order
    )
