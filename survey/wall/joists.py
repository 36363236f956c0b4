"""The joists over a wall line: which there are, how high, how sure, and draws of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil

import numpy as np

from survey import standards
from survey.errors import Note
from survey.job import Frame, Under, WallSettings
from survey.slab.further_reading import tell_errors
from survey.slab.kriging import FloatArray
from survey.slab.line_profile import LineProfile
from survey.slab.roughness import FloorModel
from survey.slab.slab_line import SlabLine

BoolArray = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]
SLACK = 2.0


@dataclass(frozen=True, kw_only=True, eq=False)
class JoistLine:
    """Undersides the top plate hangs from, shape (m,): joists, or blocking along a joist.

    `mix` (m, j) turns the j readings into heights by interpolation; `scatter` (m,) is the sd [in]
    of what is not read about that, `common_sd` [in] the sd of an error all share; `elevation` and
    `sd` [in] follow from them. `source` says how the heights came about: "read", or "assumed"
    from a given joist height where nothing was read.
    """

    station: FloatArray
    elevation: FloatArray
    sd: FloatArray
    read: BoolArray
    mix: FloatArray
    scatter: FloatArray
    common_sd: float
    spacing: float
    assumed: bool
    notes: tuple[Note, ...] = ()


def joist_line(line: LineProfile, settings: WallSettings, slab: SlabLine) -> JoistLine | Note:
    """Joists over the line; a Note saying why not, when none was read and no height is given.

    Parameters
    ----------
    line
        Profile of the wall line.
    settings
        The wall's settings: joists across or along, blocking drop, assumed height.
    slab
        The slab along the line: assumed joists stand on its mean, undersides of beams on it.
    """
    if line.joist_station.size == 0:
        made = _assumed(line, settings, float(slab.mean.mean()))
    elif settings.line.joists == "along":
        made = _blocking(line, settings)
    else:
        made = _across(line, settings.frame)
    if isinstance(made, Note):
        return made
    for under in settings.line.under:
        made = _lowered(made, under, slab)
    return made


def settle_joists(joists: JoistLine, line: LineProfile, model: FloorModel) -> JoistLine:
    """The joists as all readings of the line put them, those of the slab and tapes among them."""
    n = line.slab.station.size
    told = tell_errors(line.slab, model, line.covariance[n:, :n], line.covariance[n:, n:])
    if not told.mean.any():
        return joists
    own = joists.mix @ told.covariance @ joists.mix.T
    return replace(
        joists,
        elevation=joists.elevation - joists.mix @ told.mean,
        sd=np.sqrt(np.maximum(np.diag(own), 0.0) + joists.scatter**2),
    )


def draw_joists(joists: JoistLine, *, error: FloatArray, rng: np.random.Generator) -> FloatArray:
    """Draw the joists' heights, shape (draws, m) [in].

    Parameters
    ----------
    joists
        The joists of a line.
    error
        Draws of the joist readings' errors, shape (draws, j) [in].
    rng
        Source of random numbers.
    """
    drawn = joists.elevation[None] - error @ joists.mix.T
    if np.any(joists.scatter > 0):
        drawn = drawn + rng.standard_normal(drawn.shape) * joists.scatter[None]
    if joists.common_sd > 0:
        drawn = drawn + rng.normal(0.0, joists.common_sd, size=(drawn.shape[0], 1))
    return np.asarray(drawn)


def _across(line: LineProfile, frame: Frame) -> JoistLine:
    """Joists across the wall: those read, and those that stand unread between them."""
    read = line.joist_station
    spacing = _usual_spacing(read)
    hidden = _hidden(read, spacing, line.length)
    station = np.sort(np.concatenate([read, hidden]))
    is_read = np.isin(station, read)
    mix = _interpolation(read, station)
    scatter = np.where(is_read, 0.0, frame.joist_scatter)
    notes = []
    if hidden.size:
        where = ", ".join(["{}"] * hidden.size)
        notes.append(
            Note(
                code="joist-not-read",
                wall=line.wall.name,
                level="doubt",
                station=float(hidden[0]),
                text=f"joists at about {where} were not read: read them (until then each is taken "
                "between its neighbours, with sd {})",
                lengths=(*map(float, hidden), frame.joist_scatter),
            )
        )
    return _made(line, station, is_read, mix, scatter, spacing, notes)


def _blocking(line: LineProfile, settings: WallSettings) -> JoistLine:
    """Blocking where the joist was read and between, no further apart than the studs.

    Its height is that of the readings, straight between them, less the blocking's drop.
    """
    spacing = settings.frame.spacing
    station = _block_stations(line.joist_station, line.length, spacing)
    mix = _interpolation(line.joist_station, station)
    gap = np.abs(station[:, None] - line.joist_station[None, :]).min(axis=1)
    is_read = gap <= spacing / 2
    scatter = np.where(gap <= 2 * spacing, 0.0, settings.frame.joist_scatter)
    made = _made(line, station, is_read, mix, scatter, spacing, [])
    return replace(made, elevation=made.elevation - settings.line.blocking_drop)


def _block_stations(read: FloatArray, length: float, spacing: float) -> FloatArray:
    """Stations read, stations evenly between them, and on towards both ends."""
    found = np.arange(read[0] - spacing, SLACK, -spacing).tolist()
    for a, b in pairwise(read.tolist()):
        found += np.linspace(a, b, max(ceil((b - a) / spacing - 1e-9), 1) + 1)[:-1].tolist()
    found += [read[-1], *np.arange(read[-1] + spacing, length - SLACK, spacing)]
    return np.sort(np.array(found, dtype=np.float64))


def _lowered(joists: JoistLine, under: Under, slab: SlabLine) -> JoistLine:
    """The joists with a beam or duct in place of those over it, its ends standing as two more."""
    middle = (under.from_ + under.to) / 2
    underside = float(slab.height(middle)) + under.underside
    sd = float(np.interp(middle, slab.at.station, slab.sd))
    out = (joists.station < under.from_) | (joists.station > under.to)
    station = np.concatenate([joists.station[out], [under.from_, under.to]])
    order = np.argsort(station, kind="stable")
    zero = np.zeros(2)

    def merged(kept: FloatArray, added: FloatArray) -> FloatArray:
        return np.concatenate([kept[out], added])[order]

    return replace(
        joists,
        station=station[order],
        elevation=merged(joists.elevation, zero + underside),
        sd=merged(joists.sd, zero + sd),
        scatter=merged(joists.scatter, zero + sd),
        read=np.concatenate([joists.read[out], [True, True]])[order],
        mix=np.concatenate([joists.mix[out], np.zeros((2, joists.mix.shape[1]))])[order],
    )


def _made(
    line: LineProfile,
    station: FloatArray,
    is_read: BoolArray,
    mix: FloatArray,
    scatter: FloatArray,
    spacing: float,
    notes: list[Note],
) -> JoistLine:
    n = line.slab.station.size
    own = mix @ line.covariance[n:, n:] @ mix.T
    return JoistLine(
        station=station,
        elevation=mix @ line.joist_elevation,
        sd=np.sqrt(np.diag(own) + scatter**2),
        read=is_read,
        mix=mix,
        scatter=scatter,
        common_sd=0.0,
        spacing=spacing,
        assumed=False,
        notes=tuple(notes),
    )


def _assumed(line: LineProfile, settings: WallSettings, slab_level: float) -> JoistLine | Note:
    frame = settings.frame
    if frame.joist_height is None:
        return Note(
            code="joists-not-read",
            wall=line.wall.name,
            level="stop",
            text="no joist was read (column up) and no joist_height is given: "
            "its stud lengths cannot be told",
        )
    spacing = standards.USUAL_JOIST_SPACING.value
    station = np.arange(0.0, line.length + 1e-9, spacing)
    return JoistLine(
        station=station,
        elevation=np.full(station.size, slab_level + frame.joist_height),
        sd=np.full(station.size, np.hypot(frame.joist_sd, frame.joist_scatter)),
        read=np.zeros(station.size, dtype=np.bool_),
        mix=np.zeros((station.size, 0)),
        scatter=np.full(station.size, frame.joist_scatter),
        common_sd=frame.joist_sd,
        spacing=spacing,
        assumed=True,
        notes=(
            Note(
                code="joists-assumed",
                wall=line.wall.name,
                level="doubt",
                text="JOISTS ASSUMED at {} over the slab, with sd {}: read them before cutting",
                lengths=(frame.joist_height, frame.joist_sd),
            ),
        ),
    )


def _usual_spacing(read: FloatArray) -> float:
    """Median distance between joists read next to each other; the usual one when none are."""
    gaps = np.diff(read)
    near = gaps[(gaps > SLACK) & (gaps <= standards.WIDEST_JOIST_SPACING.value + SLACK)]
    return float(np.median(near)) if near.size else standards.USUAL_JOIST_SPACING.value


def _hidden(read: FloatArray, spacing: float, length: float) -> FloatArray:
    """Stations of joists that must stand between, before and after those read.

    Joists stand no further apart than the widest usual spacing, so a longer stretch between two
    read ones hides others, evenly spread at about the spacing seen elsewhere on the line.
    """
    widest = max(standards.WIDEST_JOIST_SPACING.value, spacing) + SLACK
    found: list[float] = []
    for a, b in pairwise(read.tolist()):
        if b - a > widest:
            found += np.linspace(a, b, max(round((b - a) / spacing), 2) + 1)[1:-1].tolist()
    found += np.arange(read[0] - spacing, SLACK, -spacing).tolist()
    found += np.arange(read[-1] + spacing, length - SLACK, spacing).tolist()
    return np.array(sorted(found))


def _interpolation(read: FloatArray, wanted: FloatArray) -> FloatArray:
    """Linear interpolation as a matrix (wanted, read); level beyond the ends."""
    mix = np.zeros((wanted.size, read.size))
    eye = np.eye(read.size)
    for column in range(read.size):
        mix[:, column] = np.interp(wanted, read, eye[column])
    return mix


def height_at(joists: JoistLine, station: Sequence[float] | FloatArray) -> FloatArray:
    """Height of the joists' undersides at stations between them, by interpolation [in]."""
    return np.asarray(np.interp(station, joists.station, joists.elevation))
