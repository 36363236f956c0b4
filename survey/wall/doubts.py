"""What a planned wall leaves in doubt, named spot by spot."""

from __future__ import annotations

import numpy as np

from survey.errors import Note
from survey.job import WallSettings
from survey.wall.lines import BareWall
from survey.wall.studs import HEADER_THICKNESS, Hung, door_head

FAR_BELOW = 2.0  # [in]: more than packing is usual for


def doubts(bare: BareWall, wall: Hung, settings: WallSettings) -> tuple[Note, ...]:
    """Notes on a hung wall: lines not computed, spots and doors that do not fit."""
    return (
        *_lines_asked(bare, settings),
        *_low_beams(bare, settings),
        *_tight_spots(bare, wall, settings),
        *_low_doors(bare, wall, settings),
    )


def _lines_asked(bare: BareWall, settings: WallSettings) -> list[Note]:
    """Tell when a line was asked for that this program does not compute."""
    notes = []
    made = ("tight", "one length", "auto") if bare.top.line == "tight" else ("level", "auto")
    for key, asked in (("top", settings.frame.top), ("bottom", settings.frame.bottom)):
        if asked not in made and asked != "level":
            notes.append(
                Note(
                    code="line-not-computed",
                    wall=settings.line.name,
                    level="doubt",
                    text=f'{key} = "{asked}" is not computed: this plan is for a level one',
                )
            )
    return notes


def _low_beams(bare: BareWall, settings: WallSettings) -> list[Note]:
    """Name a beam or duct that the whole level top plate comes down to, far below the joists."""
    station, height = bare.joists.station, bare.joists.elevation
    ends = [end for under in settings.line.under for end in (under.from_, under.to)]
    joist = ~np.isin(station, ends)
    if bare.top.line != "level" or not ends or not joist.any():
        return []
    notes, lowest = [], float(height[joist].min())
    for under in settings.line.under:
        below = lowest - float(height[np.isin(station, (under.from_, under.to))].min())
        if below > FAR_BELOW:
            notes.append(
                Note(
                    code="beam-lowers-top",
                    wall=settings.line.name,
                    station=(under.from_ + under.to) / 2,
                    level="doubt",
                    text="what hangs over the wall from {} to {} lies {} below the lowest joist: "
                    "the level top plate comes down to it all along the wall, and the joists are "
                    "packed by as much. If that is not wanted, make it walls of two heights",
                    lengths=(under.from_, under.to, below),
                )
            )
    return notes


def _tight_spots(bare: BareWall, wall: Hung, settings: WallSettings) -> list[Note]:
    """Name the spots whose own down + up leaves less than the rise, whatever the model says."""
    line, notes = bare.line, []
    for station, joist in zip(line.joist_station, line.joist_elevation, strict=True):
        near = np.flatnonzero(np.abs(line.slab.station - station) < 1e-6)
        if near.size == 0 or not any(a <= station <= b for a, b in bare.layout.plates):
            continue
        clear = min(joist, wall.top.elevation) - float(line.slab.elevation[near].max())
        left = clear - wall.frame.height - wall.on_grid(wall.plate.height, float(station))
        if left < settings.travel.rise - 1e-9:
            notes.append(
                Note(
                    code="reading-leaves-less",
                    wall=settings.line.name,
                    station=float(station),
                    level="doubt",
                    text="the readings at {} alone leave a gap of {}, less than the rise of {}: "
                    "tape it before cutting",
                    lengths=(float(station), left, settings.travel.rise),
                )
            )
    return notes


def _low_doors(bare: BareWall, wall: Hung, settings: WallSettings) -> list[Note]:
    """Name the doors whose head and header do not fit under the top plate."""
    notes = []
    for opening in bare.layout.openings:
        room = wall.top.elevation - wall.frame.top - door_head(opening, bare.floor, settings)
        if room < HEADER_THICKNESS:
            notes.append(
                Note(
                    code="door-too-high",
                    wall=settings.line.name,
                    station=opening.door.at,
                    level="stop",
                    text="the door at {} needs {} more height for its header",
                    lengths=(opening.door.at, HEADER_THICKNESS - room),
                )
            )
    return notes
