"""A wall before it is framed: its surface, joists, top line and clear height, levelled or taped."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from survey.errors import Note
from survey.job import WallSettings
from survey.slab.line_profile import LineProfile
from survey.slab.roughness import FloorModel
from survey.slab.slab_line import SlabLine, predict_slab, stations_along
from survey.wall.clear_height import clear_height
from survey.wall.draws import Draws, draw_line
from survey.wall.fixed_plate import plate_thickness, slab_beneath
from survey.wall.joists import JoistLine, height_at, joist_line, settle_joists
from survey.wall.layout import Layout, lay_out
from survey.wall.lines import BareWall, TopLine, level_top, limits


def bare_wall(line: LineProfile, model: FloorModel, settings: WallSettings) -> BareWall | Note:
    """What is known of a wall from its line; a Note saying why, where it cannot be planned.

    Parameters
    ----------
    line
        Profile of the wall line.
    model
        Roughness of the slab, from all lines.
    settings
        The wall's settings.
    """
    if line.tape_only and settings.line.under:
        return _under_taped(line)
    layout = lay_out(line.length, settings)
    at = stations_along(line, [spot.station for spot in layout.studs])
    slab = predict_slab(line, model, at)
    joists = joist_line(line, settings, slab)
    if isinstance(joists, Note):
        return joists
    drawn = draw_line(line, model, at, joists)
    joists = settle_joists(joists, line, model)
    found = (slab, joists, drawn)
    if line.tape_only:
        return _taped(line, settings, layout, found)
    return _levelled(line, model, settings, layout, found)


def _levelled(
    line: LineProfile,
    model: FloorModel,
    settings: WallSettings,
    layout: Layout,
    found: tuple[SlabLine, JoistLine, Draws],
) -> BareWall:
    """A level top plate, raised until it touches the lowest joist."""
    slab, joists, drawn = found
    top = level_top(joists, drawn.joists, settings)
    return BareWall(
        line=line,
        layout=layout,
        slab=slab,
        bed=slab,
        floor=slab if line.surface == "slab" else _under_plate(line, model, slab, settings),
        joists=joists,
        top=top,
        clear=clear_height(
            slab.at.station,
            top=drawn.joists.min(axis=1, keepdims=True),
            slab=drawn.slab,
            plates=layout.plates,
            confidence=settings.travel.confidence,
        ),
        bounds=limits(settings, top),
    )


def _taped(
    line: LineProfile,
    settings: WallSettings,
    layout: Layout,
    found: tuple[SlabLine, JoistLine, Draws],
) -> BareWall:
    """A top plate drawn tight to every joist, called 0 all along: level and slope are not known.

    The slab plate lies on the slab as the tapes tell it from the joists; all else is measured down
    from the top plate.
    """
    slab, joists, drawn = found
    station = slab.at.station
    between = np.stack([np.interp(station, joists.station, e) for e in np.eye(joists.station.size)])
    top = TopLine(line="tight", elevation=0.0, drawn_up=0.0, packing=())
    clear = clear_height(
        station,
        top=drawn.joists @ between,
        slab=drawn.slab,
        plates=layout.plates,
        confidence=settings.travel.confidence,
    )
    below = SlabLine(at=slab.at, mean=slab.mean - height_at(joists, station), sd=clear.sd)
    on_plate = line.surface == "plate"
    return BareWall(
        line=line,
        layout=layout,
        slab=below,
        bed=slab,
        floor=_lower(below, plate_thickness(settings)) if on_plate else below,
        joists=replace(
            joists, elevation=np.zeros_like(joists.elevation), sd=np.zeros_like(joists.sd)
        ),
        top=top,
        clear=clear,
        bounds=limits(settings, top),
    )


def _under_plate(
    line: LineProfile, model: FloorModel, plate: SlabLine, settings: WallSettings
) -> SlabLine:
    """The slab at doors under a plate: as read, else as far down as the plate is thick."""
    for beneath in line.beneath:
        return slab_beneath(beneath, model, plate.at.station)
    return _lower(plate, plate_thickness(settings))


def _lower(line: SlabLine, by: float) -> SlabLine:
    return replace(line, mean=line.mean - by)


def _under_taped(line: LineProfile) -> Note:
    return Note(
        code="beam-over-tape",
        wall=line.wall.name,
        level="stop",
        text="only clear heights were taken here, and a beam or duct hangs under part of the wall: "
        "it takes levels to plan it; read slab and joists with the laser",
    )
