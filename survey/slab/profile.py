"""From adjusted heights to the profile of each wall line: slab pieces, joists, one model."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from survey import standards
from survey.errors import Note, SurveyError
from survey.field.levelling import Adjustment, Surface
from survey.job import Job, WallLine, find_wall, wall_length
from survey.slab.kriging import FloatArray, IntArray
from survey.slab.reading_notes import reading_notes
from survey.slab.roughness import FloorModel, ReadLine, fit

BIN = 1.0
MOST_BINS = 400


@dataclass(frozen=True, kw_only=True, eq=False)
class LineProfile:
    """One wall line as read: slab and joists with their joint covariance.

    Attributes
    ----------
    wall, length
        The line's settings and its length [in].
    joints
        Stations at which the slab is split [in], ascending, inside the line.
    cracks
        Stations flagged as cracks [in]; they do not split the slab.
    slab
        Slab readings for the model (binned where more than one an inch).
    joist_station, joist_elevation
        Joist undersides read, shape (j,) [in], ascending.
    covariance
        Of the n slab elevations followed by the j joist elevations, shape (n + j, n + j) [in2].
    """

    wall: WallLine
    length: float
    joints: tuple[float, ...]
    cracks: tuple[float, ...]
    slab: ReadLine
    joist_station: FloatArray
    joist_elevation: FloatArray
    covariance: FloatArray
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, kw_only=True, eq=False)
class FloorProfile:
    """Every wall line of the job with the one model of the slab's roughness they share."""

    heights: Adjustment
    lines: tuple[LineProfile, ...]
    model: FloorModel
    notes: tuple[Note, ...] = ()

    def line(self, wall: str) -> LineProfile:
        """The line of that wall; SurveyError if it was not read."""
        for line in self.lines:
            if line.wall.name.casefold() == wall.strip().casefold():
                return line
        known = ", ".join(line.wall.name for line in self.lines)
        raise SurveyError(f'no wall "{wall}" in the readings; there are: {known}')


def profile(heights: Adjustment, job: Job) -> FloorProfile:
    """Profile every wall line that was read and fit the slab's roughness to all of them.

    Parameters
    ----------
    heights
        The adjusted survey.
    job
        Walls, joints and names.

    Returns
    -------
    FloorProfile
        Lines in the order of the job, then of the readings. Walls that cannot be profiled are
        named in `notes`.

    Raises
    ------
    SurveyError
        If no wall line has a slab reading.
    """
    lines, notes = [], list[Note]()
    read = _walls_read(heights)
    for name in _names_in_order(heights, job):
        if name.casefold() not in read:
            notes.append(
                Note(
                    code="wall-not-read",
                    wall=name,
                    level="stop",
                    text="no readings of it: the wall is not planned",
                )
            )
            continue
        made = _profile_wall(heights, find_wall(job, name), read[name.casefold()])
        if isinstance(made, Note):
            notes.append(made)
        else:
            lines.append(made)
    if not lines:
        raise SurveyError("no wall line has a slab reading: a row needs a station and `down`")
    return FloorProfile(
        heights=heights,
        lines=tuple(lines),
        model=fit([line.slab for line in lines]),
        notes=tuple(notes),
    )


def piece_of(joints: Sequence[float], station: FloatArray, side: IntArray | int = 0) -> IntArray:
    """Piece of slab a reading lies on: below a joint its left, at or above it its right.

    `side` -1 or +1 puts a reading on the lip of the joint at its station.

    >>> piece_of([96.0], np.array([95.0, 96.0, 96.0]), np.array([0, 0, -1])).tolist()
    [0, 1, 0]
    """
    nudged = station + np.where(np.asarray(side) < 0, -1e-6, 0.0)
    return np.searchsorted(np.asarray(joints, dtype=float), nudged, side="right")


def _walls_read(heights: Adjustment) -> dict[str, int]:
    """Name code of every wall in the book, by caseless name."""
    return {
        named.name.casefold(): code
        for code, named in enumerate(heights.book.names)
        if named.kind == "wall"
    }


def _names_in_order(heights: Adjustment, job: Job) -> list[str]:
    """Walls of the job first, then those only the readings know."""
    listed = [wall.name.strip() for wall in job.walls]
    known = {name.casefold() for name in listed}
    read = [named.name for named in heights.book.names if named.kind == "wall"]
    return listed + [name for name in read if name.casefold() not in known]


def _profile_wall(heights: Adjustment, wall: WallLine, code: int) -> LineProfile | Note:
    spots = heights.spots
    of_wall = spots.name == code
    slab = np.flatnonzero(of_wall & (spots.surface == Surface.SLAB))
    joist = np.flatnonzero(of_wall & (spots.surface == Surface.JOIST))
    name = heights.book.names[code].name
    if slab.size == 0:
        return Note(
            code="slab-not-read",
            wall=name,
            level="stop",
            text="its slab was not read: the wall is not planned",
        )
    slab = slab[np.lexsort((spots.side[slab], spots.station[slab]))]
    joist = joist[np.argsort(spots.station[joist], kind="stable")]
    length = _length(wall, np.concatenate([spots.station[slab], spots.station[joist]]))
    joints, notes = _joints(heights, wall, code, slab, length)
    joist_bins = _bins(spots.station[joist], np.zeros(joist.size, dtype=np.int64), length)
    read, covariance = _read_line(heights, slab, (joist, joist_bins), joints, length)
    return LineProfile(
        wall=wall,
        length=length,
        joints=joints,
        cracks=_flagged(heights, code, "crack"),
        slab=read,
        joist_station=_means(joist_bins, spots.station[joist]),
        joist_elevation=_means(joist_bins, spots.elevation[joist]),
        covariance=covariance,
        notes=(*notes, *reading_notes(heights, wall.name, code, read, length)),
    )


def _length(wall: WallLine, station: FloatArray) -> float:
    """Given length or last station, never short of a station that was read."""
    given = wall_length(wall)
    last = float(station.max())
    return max(last if given is None else given, last, 1.0)


def _joints(
    heights: Adjustment, wall: WallLine, code: int, slab: IntArray, length: float
) -> tuple[tuple[float, ...], list[Note]]:
    """Joints given and flagged that split the readings; one with nothing beyond is told."""
    flagged = _flagged(heights, code, "joint")
    asked = sorted({s for s in (*wall.slab_joints, *flagged) if 0.0 < s < length})
    station, side = heights.spots.station[slab], heights.spots.side[slab]
    kept: list[float] = []
    notes = [
        Note(code="joint", wall=wall.name, station=s, text="slab joint at {}", lengths=(s,))
        for s in flagged
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


def _flagged(heights: Adjustment, code: int, flag: str) -> tuple[float, ...]:
    """Stations of a wall's rows that carry the flag [in], each once, ascending."""
    book = heights.book
    rows = [i for i in np.flatnonzero(book.name == code) if book.flag[i] == flag]
    found = {float(book.station[i]) for i in rows if np.isfinite(book.station[i])}
    return tuple(sorted(found))


def _read_line(
    heights: Adjustment,
    slab: IntArray,
    joists: tuple[IntArray, IntArray],
    joints: Sequence[float],
    length: float,
) -> tuple[ReadLine, FloatArray]:
    """Slab readings for the model, and the covariance of slab and joists together.

    `joists` are the spots and the bin of each.
    """
    spots = heights.spots
    station, elevation = spots.station[slab], spots.elevation[slab]
    piece = piece_of(joints, station, spots.side[slab])
    bins = _bins(station, piece, length)
    count = int(bins.max()) + 1
    covariance = heights.covariance_of_means(
        np.concatenate([bins, count + joists[1]]), np.concatenate([slab, joists[0]])
    )
    station, elevation = _means(bins, station), _means(bins, elevation)
    piece = np.round(_means(bins, piece.astype(np.float64))).astype(np.int64)
    noise = covariance[: station.size, : station.size]
    best = int(np.bincount(piece).max())
    slope_sd = standards.SLOPE_SD.value if best < 3 or _one_place(station, piece) else None
    read = ReadLine(
        station=station, piece=piece, elevation=elevation, noise=noise, slope_sd=slope_sd
    )
    return read, covariance


def _one_place(station: FloatArray, piece: IntArray) -> bool:
    """Whether no piece was read at two stations, so that no slope can be told."""
    return all(np.ptp(station[piece == p]) < BIN for p in np.unique(piece))


def _bins(station: FloatArray, piece: IntArray, length: float) -> IntArray:
    """Bin of every reading: its own, or where they are closer than an inch, one an inch.

    No line keeps more bins than can be worked with; on a longer one they are wider.
    """
    if station.size <= min(length / BIN, MOST_BINS):
        return np.arange(station.size)
    width = max(BIN, length / MOST_BINS)
    key = np.stack([piece, np.floor(station / width).astype(np.int64)])
    return np.unique(key, axis=1, return_inverse=True)[1].ravel()


def _means(bins: IntArray, values: FloatArray) -> FloatArray:
    """Mean of the values in each bin."""
    return np.asarray(np.bincount(bins, values) / np.bincount(bins))
