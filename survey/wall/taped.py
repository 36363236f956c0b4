"""Tapes against the plan: those that agree join the readings, one that does not stops the saw."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from survey import standards
from survey.errors import Note
from survey.field.tapes import Tape
from survey.job import WallSettings
from survey.slab.further_reading import FurtherReadings, foresee
from survey.slab.kriging import BoolArray, FloatArray
from survey.slab.line_profile import LineProfile
from survey.slab.roughness import FloorModel
from survey.slab.taped_line import ClearHeights, TapedSlab, as_slab, heights_over, join_tapes
from survey.wall.bare_wall import bare_wall
from survey.wall.choices import frame_choices
from survey.wall.fixed_plate import plate_notes

TAPE_DIFFERS = "tape-differs"


@dataclass(frozen=True, kw_only=True, eq=False)
class TapedLine:
    """A line with its tapes joined, and what they showed."""

    line: LineProfile
    notes: tuple[Note, ...]


def with_second_survey(line: LineProfile, model: FloorModel, settings: WallSettings) -> LineProfile:
    """The line with what was read again: its plate against its slab, tapes against both.

    Tapes that agree are joined to it; its notes tell what was found.
    """
    found: tuple[Note, ...] = ()
    if line.surface == "plate":
        found = plate_notes(line, model, settings)
    if line.tape_only:
        found = (*tape_only_notes(line), *found)
    elif line.tapes:
        taped = join_agreeing(line, model, settings)
        line, found = taped.line, (*found, *taped.notes)
    return replace(line, notes=(*found, *line.notes))


def join_agreeing(line: LineProfile, model: FloorModel, settings: WallSettings) -> TapedLine:
    """Hold every tape against what the plan predicts there, and join those within three sd.

    Where no joist was read there is nothing to hold the tapes against: they tell the joists.

    Parameters
    ----------
    line
        A line that was levelled, with the clear heights taken on it.
    model
        Roughness of the slab, from all lines.
    settings
        The wall's settings.
    """
    used, notes = _usable(line)
    if not used:
        return TapedLine(line=line, notes=notes)
    clear = _over_surface(line, used, model, settings)
    scatter = settings.frame.joist_scatter
    taped = as_slab(line, clear, scatter=scatter)
    if line.joist_station.size == 0:
        told = _joists_told(line, used)
        return TapedLine(line=join_tapes(line, taped), notes=(*notes, told))
    differs, limit = _differences(line, model, taped)
    agree = np.abs(differs) <= limit
    stops = [
        _stop(line, tape, float(by), float(most))
        for tape, by, most, fits in zip(used, differs, limit, agree, strict=True)
        if not fits
    ]
    if not agree.any():
        return TapedLine(line=line, notes=(*notes, *stops))
    joined = join_tapes(line, as_slab(line, _part(clear, agree), scatter=scatter))
    kept = [tape for tape, fits in zip(used, agree, strict=True) if fits]
    said = _joined(line, kept, differs[agree])
    return TapedLine(line=joined, notes=(*notes, *stops, said))


def tape_only_notes(line: LineProfile) -> tuple[Note, ...]:
    """What a wall known by clear heights alone is good for."""
    head = Note(
        code="tape-only",
        wall=line.wall.name,
        level="doubt",
        text="TAPE ONLY: clear heights give the gap and one stud length for a top plate drawn "
        "tight to every joist. Level, set-out and the shape of the slab are not known",
    )
    _, left = _usable(line)
    return (head, *left)


def _usable(line: LineProfile) -> tuple[list[Tape], tuple[Note, ...]]:
    """Tapes that can be held against the line, and a doubt about the others.

    From a plate that is fixed, a tape off the slab beside it tells nothing.
    """
    if line.surface == "slab":
        return list(line.tapes), ()
    used = [tape for tape in line.tapes if tape.on_plate]
    left = [tape for tape in line.tapes if not tape.on_plate]
    if not left:
        return used, ()
    where = ", ".join(["{}"] * len(left))
    return used, (
        Note(
            code="tape-off-slab",
            wall=line.wall.name,
            level="doubt",
            text=f"taped from the slab at {where}, but the wall is measured from its fixed plate: "
            "not used; tape from the plate",
            lengths=tuple(tape.station for tape in left),
        ),
    )


def _over_surface(
    line: LineProfile, tapes: Sequence[Tape], model: FloorModel, settings: WallSettings
) -> ClearHeights:
    """Clear heights from the line's own surface: under a tape off the plate stands the plate."""
    standing = np.zeros(len(tapes))
    if line.surface == "slab" and any(tape.on_plate for tape in tapes):
        standing = _plate_height(line, tapes, model, settings)
    return heights_over(
        [
            (tape.station, tape.side, tape.clear + (height if tape.on_plate else 0.0), tape.sd)
            for tape, height in zip(tapes, standing, strict=True)
        ]
    )


def _plate_height(
    line: LineProfile, tapes: Sequence[Tape], model: FloorModel, settings: WallSettings
) -> FloatArray:
    """Height of the planned slab plate over the slab at each tape, shape (t,) [in]."""
    station = [tape.station for tape in tapes]
    bare = bare_wall(line, model, settings)
    if isinstance(bare, Note):
        count = 1 if settings.plate.count == "auto" else settings.plate.count
        return np.full(len(tapes), settings.plate.seal + count * settings.slab_board.thickness)
    plate = frame_choices(bare, settings)[0].plate
    return np.asarray(np.interp(station, bare.slab.at.station, plate.height))


def _differences(
    line: LineProfile, model: FloorModel, taped: TapedSlab
) -> tuple[FloatArray, FloatArray]:
    """Tape less prediction, and the most it may be, shape (t,) [in]."""
    further = FurtherReadings(
        station=taped.station,
        piece=taped.piece,
        covariance=taped.towards,
        variance=taped.variance,
    )
    expected = foresee(line.slab, model, further)
    # A longer clear height puts the slab lower.
    return expected.mean - taped.elevation, standards.TAPE_LIMIT.value * expected.sd


def _part(clear: ClearHeights, keep: BoolArray) -> ClearHeights:
    return ClearHeights(
        station=clear.station[keep],
        side=clear.side[keep],
        clear=clear.clear[keep],
        sd=clear.sd[keep],
    )


def _stop(line: LineProfile, tape: Tape, by: float, most: float) -> Note:
    return Note(
        code=TAPE_DIFFERS,
        wall=line.wall.name,
        station=tape.station,
        row=tape.row,
        level="stop",
        text=f"do not cut: the tape at {{}} says {{}} from {_from(tape)} to joist and the readings "
        f"{{}}, further apart than three sd, {{}} ({tape.file} row {tape.row}): tape it again, and "
        "read slab and joist there again",
        lengths=(tape.station, tape.clear, tape.clear - by, most),
    )


def _joined(line: LineProfile, tapes: Sequence[Tape], differs: FloatArray) -> Note:
    """One note on all tapes that agree."""
    worst = int(np.argmax(np.abs(differs)))
    where = ", ".join(["{}"] * len(tapes))
    one = len(tapes) == 1
    text = (
        f"the tape{'' if one else 's'} at {where} agree{'s' if one else ''} with the readings, to "
        f"within {{}} at {{}}, and count{'s' if one else ''} as further readings"
    )
    stations = [tape.station for tape in tapes]
    return Note(
        code="tape-joined",
        wall=line.wall.name,
        text=text,
        lengths=(*stations, float(abs(differs[worst])), stations[worst]),
    )


def _joists_told(line: LineProfile, tapes: Sequence[Tape]) -> Note:
    where = ", ".join(["{}"] * len(tapes))
    return Note(
        code="joists-taped",
        wall=line.wall.name,
        level="doubt",
        text=f"no joist was read with the laser: those at {where} are known by tape alone",
        lengths=tuple(tape.station for tape in tapes),
    )


def _from(tape: Tape) -> str:
    return "slab plate" if tape.on_plate else "slab"
