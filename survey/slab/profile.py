"""From adjusted heights to the profile of each wall line: slab pieces, joists, one model."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from survey.errors import Note, SurveyError
from survey.field.levelling import Adjustment, Surface
from survey.field.tapes import Tape, tapes_on
from survey.job import Job, WallLine, find_wall, resolve, wall_length
from survey.slab.joints import find_joints, flagged, piece_of
from survey.slab.kriging import FloatArray, IntArray
from survey.slab.line_profile import Beneath, LineProfile
from survey.slab.line_readings import BIN, bin_of, means, read_line
from survey.slab.reading_notes import reading_notes
from survey.slab.roughness import FloorModel, ReadLine, fit
from survey.slab.taped_line import as_slab, heights_over, join_tapes, nothing_read

__all__ = ["BIN", "FloorProfile", "LineProfile", "piece_of", "profile"]


@dataclass(frozen=True, kw_only=True, eq=False)
class FloorProfile:
    """Every wall line of the job with the one model of the slab's roughness they share."""

    heights: Adjustment
    lines: tuple[LineProfile, ...]
    model: FloorModel
    notes: tuple[Note, ...] = ()

    def line(self, wall: str) -> LineProfile:
        """The line of that wall; SurveyError if it was not read."""
        wanted = wall.strip().casefold()
        for line in self.lines:
            if line.wall.name.strip().casefold() == wanted:
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
        If no wall line has a reading of the slab or a clear height.
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
        made = _profile_wall(heights, job, find_wall(job, name), read[name.casefold()])
        if isinstance(made, Note):
            notes.append(made)
        else:
            lines.append(made)
    if not lines:
        raise SurveyError(
            "no wall line has a slab reading: a row needs a station and `down`, or `clear`"
        )
    return FloorProfile(
        heights=heights,
        lines=tuple(lines),
        model=fit(_rough_lines(lines)),
        notes=tuple(notes),
    )


def _rough_lines(lines: Sequence[LineProfile]) -> list[ReadLine]:
    """Lines that tell how rough the slab is: those of bare slab; failing these, plates; then tapes.

    A plate bridges what the slab does, so that it would call the slab too smooth; under tapes the
    joists' own scatter has to be taken for granted.
    """
    bare = [line.slab for line in lines if line.surface == "slab" and not line.tape_only]
    bare += [under.read for line in lines for under in line.beneath]
    plates = [line.slab for line in lines if not line.tape_only]
    return bare or plates or [line.slab for line in lines]


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


def _profile_wall(heights: Adjustment, job: Job, wall: WallLine, code: int) -> LineProfile | Note:
    """The plate where it was read, else the slab, else what tapes tell."""
    tapes = tapes_on(heights.book, code)
    for surface in (Surface.PLATE, Surface.SLAB):
        below = _by_station(heights, code, surface)
        if below.size:
            line = _levelled(heights, wall, code, below)
            if surface == Surface.SLAB:
                return replace(line, tapes=tapes)
            beneath = _slab_beneath(heights, code, line, below)
            return replace(line, surface="plate", tapes=tapes, beneath=beneath)
    if tapes:
        return _taped(heights, job, wall, code, tapes)
    return Note(
        code="slab-not-read",
        wall=heights.book.names[code].name,
        level="stop",
        text="its slab was not read: the wall is not planned",
    )


def _by_station(heights: Adjustment, code: int, surface: Surface) -> IntArray:
    """A wall's spots of one surface, by station and lip."""
    spots = heights.spots
    found = np.flatnonzero((spots.name == code) & (spots.surface == surface))
    return found[np.lexsort((spots.side[found], spots.station[found]))]


def _levelled(heights: Adjustment, wall: WallLine, code: int, below: IntArray) -> LineProfile:
    """A line from the spots of its slab or plate and of its joists."""
    spots = heights.spots
    joist = _by_station(heights, code, Surface.JOIST)
    length = _length(wall, np.concatenate([spots.station[below], spots.station[joist]]))
    joints, notes = find_joints(
        heights, wall, code, (spots.station[below], spots.side[below]), length
    )
    joist_bins = bin_of(spots.station[joist], np.zeros(joist.size, dtype=np.int64), length)
    read, covariance = read_line(heights, below, (joist, joist_bins), joints, length)
    return LineProfile(
        wall=wall,
        length=length,
        joints=joints,
        cracks=flagged(heights, code, "crack"),
        slab=read,
        joist_station=means(joist_bins, spots.station[joist]),
        joist_elevation=means(joist_bins, spots.elevation[joist]),
        covariance=covariance,
        notes=(*notes, *reading_notes(heights, wall.name, code, read, length)),
    )


def _slab_beneath(
    heights: Adjustment, code: int, line: LineProfile, plate: IntArray
) -> tuple[Beneath, ...]:
    """The slab under a plate, where it was read."""
    slab, spots = _by_station(heights, code, Surface.SLAB), heights.spots
    if not slab.size:
        return ()
    sides = (spots.station[slab], spots.side[slab])
    joints, _ = find_joints(heights, line.wall, code, sides, line.length)
    on_piece = piece_of(line.joints, spots.station[plate], spots.side[plate])
    bins = bin_of(spots.station[plate], on_piece, line.length)
    read, covariance = read_line(heights, slab, (plate, bins), joints, line.length)
    count = read.station.size
    return (Beneath(read=read, joints=joints, covariance=covariance[:count, count:]),)


def _taped(
    heights: Adjustment, job: Job, wall: WallLine, code: int, tapes: tuple[Tape, ...]
) -> LineProfile:
    """A line nobody levelled: clear heights off the plate if there are any, else off the slab."""
    on_plate = any(tape.on_plate for tape in tapes)
    used = tuple(tape for tape in tapes if tape.on_plate == on_plate)
    clear = heights_over([(tape.station, tape.side, tape.clear, tape.sd) for tape in used])
    length = _length(wall, clear.station)
    joints, notes = find_joints(heights, wall, code, (clear.station, clear.side), length)
    bare = LineProfile(
        wall=wall,
        length=length,
        joints=joints,
        cracks=flagged(heights, code, "crack"),
        slab=nothing_read(),
        joist_station=np.zeros(0),
        joist_elevation=np.zeros(0),
        covariance=np.zeros((0, 0)),
        surface="plate" if on_plate else "slab",
        tape_only=True,
        tapes=tapes,
    )
    scatter = resolve(job, wall.name).frame.joist_scatter
    line = join_tapes(bare, as_slab(bare, clear, scatter=scatter))
    return replace(
        line, notes=(*notes, *reading_notes(heights, wall.name, code, line.slab, length))
    )


def _length(wall: WallLine, station: FloatArray) -> float:
    """Given length or last station, never short of a station that was read."""
    given = wall_length(wall)
    last = float(station.max())
    return max(last if given is None else given, last, 1.0)
