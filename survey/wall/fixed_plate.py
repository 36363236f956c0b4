"""A wall measured from its fixed slab plate: what changes, and how it agrees with the slab."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from survey import standards
from survey.errors import Note
from survey.job import Job, WallSettings
from survey.slab.further_reading import FurtherReadings, foresee
from survey.slab.joints import piece_of
from survey.slab.kriging import FloatArray
from survey.slab.line_profile import Beneath, LineProfile
from survey.slab.roughness import FloorModel, predict
from survey.slab.slab_line import SlabLine, Stations, stations_along
from survey.wall.layout import lay_out
from survey.wall.plate import SlabPlate, lay_plate


def over_plate(settings: WallSettings, job: Job) -> WallSettings:
    """The settings of a wall measured from its fixed plate.

    Nothing more stands on that plate, and what was kept in hand for it is no longer needed: the
    allowance is 1/16 unless the job, the wall or an option gives one.
    """
    own = settings.line.overrides.get("float", {})
    given = "allowance" in own or "float.allowance" in job.given
    if given or "float.allowance" in job.options:
        return settings
    allowance = standards.PLATE_ALLOWANCE.value
    return replace(settings, travel=replace(settings.travel, allowance=allowance))


def fixed_plate(settings: WallSettings, nodes: int) -> SlabPlate:
    """The plate that is itself what the wall is measured from: it takes no height any more.

    The slab's fall across the wall still lifts its far edge; `nodes` is the size of the grid.
    """
    return SlabPlate(
        count=0,
        thickness=0.0,
        seal=0.0,
        lift=np.zeros(nodes),
        cross_fall=abs(settings.line.cross_fall) * settings.slab_board.width / 2,
    )


def plate_thickness(settings: WallSettings) -> float:
    """Seal and boards of the slab plate as the job has them, one board if "auto" [in]."""
    count = 1 if settings.plate.count == "auto" else settings.plate.count
    return settings.plate.seal + count * settings.slab_board.thickness


def slab_beneath(under: Beneath, model: FloorModel, station: FloatArray) -> SlabLine:
    """The slab under a plate at ascending stations; of two alike the first is the left lip."""
    left = np.where(np.diff(station, append=np.inf) == 0.0, -1, 0)
    at = Stations(station=station, piece=piece_of(under.joints, station, left))
    found = predict(under.read, model, at.station, at.piece)
    return SlabLine(at=at, mean=found.mean, sd=found.sd)


def plate_notes(line: LineProfile, model: FloorModel, settings: WallSettings) -> tuple[Note, ...]:
    """What to know of a wall measured from its plate, and each spot of the plate against the slab.

    A spot of the plate further than three sd from where the slab's readings put it is a doubt.
    """
    allowance = settings.travel.allowance
    head = Note(
        code="from-plate",
        wall=line.wall.name,
        text="measured from the top of the fixed slab plate, allowance {}",
        lengths=(allowance,),
    )
    found = [note for under in line.beneath for note in _against(line, under, model, settings)]
    return (head, *found)


def _against(
    line: LineProfile, under: Beneath, model: FloorModel, settings: WallSettings
) -> list[Note]:
    """Each spot of the plate against the plate laid on the slab as that was read."""
    station = line.slab.station
    further = FurtherReadings(
        station=station,
        piece=piece_of(under.joints, station),
        covariance=under.covariance.T,
        variance=np.diag(line.slab.noise),
    )
    expected = foresee(under.read, model, further)
    height = _height_on(under, line, model, settings)
    difference = line.slab.elevation - expected.mean - height
    limit = standards.TAPE_LIMIT.value
    return [
        _spot_note(line.wall.name, float(x), float(d), float(sd), far=bool(abs(d) > limit * sd))
        for x, d, sd in zip(station, difference, expected.sd, strict=True)
    ]


def _spot_note(wall: str, station: float, difference: float, sd: float, *, far: bool) -> Note:
    way = "over" if difference >= 0 else "under"
    text = f"the plate at {{}} lies {{}} {way} where the slab's readings put it (sd {{}})"
    if far:
        text += ": more than three sd. Read both again; is the plate as thick as the job says?"
    return Note(
        code="plate-against-slab",
        wall=wall,
        station=station,
        level="doubt" if far else "note",
        text=text,
        lengths=(station, abs(difference), sd),
    )


def _height_on(
    under: Beneath, line: LineProfile, model: FloorModel, settings: WallSettings
) -> FloatArray:
    """Top of the plate over the slab at its spots, laid on the slab's mean, shape (p,) [in].

    Where the job leaves the count open, that which the readings come nearest to is taken.
    """
    slab = slab_beneath(under, model, stations_along(line).station)
    at = slab.at
    breaks = sorted({*line.joints, *line.cracks})
    plates = lay_out(line.length, settings).plates
    over = line.slab.elevation - np.interp(line.slab.station, at.station, slab.mean)
    counts = (1, 2) if settings.plate.count == "auto" else (settings.plate.count,)
    heights = [
        np.interp(
            line.slab.station,
            at.station,
            lay_plate(slab, plates, breaks, settings, count=count).height,
        )
        for count in counts
    ]
    return min(heights, key=lambda height: float(np.abs(np.mean(over - height))))
