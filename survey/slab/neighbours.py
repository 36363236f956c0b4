"""The neighbour check: spots read once have no other check than the spots beside them."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from survey.errors import Note
from survey.field.levelling import Surface
from survey.field.outliers import Place, critical_value
from survey.job import Job, resolve
from survey.slab.joist_scatter import joist_residuals
from survey.slab.kriging import BoolArray
from survey.slab.leave_one_out import Deleted, deleted_residuals
from survey.slab.line_readings import slope_prior
from survey.slab.profile import FloorProfile
from survey.slab.read_surfaces import (
    Located,
    ReadSurface,
    locate_below,
    locate_joists,
    read_surfaces,
    telling_roughness,
)
from survey.slab.roughness import FloorModel, ReadLine, fit

MOST_SUSPECTS = 8
MOST_REFITTED = 400  # readings; among more a single one no longer bends the model
WIDE_SCATTER = 1.5  # mean square of e / sd over which the readings scatter more than stated


@dataclass(frozen=True, kw_only=True)
class Neighbour:
    """A spot against those beside it.

    `difference` is its elevation less what the others say, with its `sd` [in]; `standardized` the
    normal deviate of the same probability. `places` are the rows that read it.
    """

    wall: str
    station: float
    side: int
    surface: Surface
    places: tuple[Place, ...]
    difference: float
    sd: float
    standardized: float
    suspect: bool


@dataclass(frozen=True, kw_only=True)
class Neighbours:
    """Every spot tested against its neighbours, slab and plate line by line, then joists.

    `critical` is the |standardized| beyond which a spot is suspect; where the floor is as the
    model says and no reading is wrong, any is in at most five surveys of a hundred.
    `mean_square` of difference / sd over the spots of slab and plate is about 1; NaN where none is
    tested.
    """

    tested: tuple[Neighbour, ...]
    critical: float
    mean_square: float
    notes: tuple[Note, ...]

    @property
    def suspects(self) -> tuple[Neighbour, ...]:
        """Spots that stand out, the worst first."""
        out = [spot for spot in self.tested if spot.suspect]
        return tuple(sorted(out, key=lambda spot: -abs(spot.standardized)))


def check_neighbours(floor: FloorProfile, job: Job) -> Neighbours:
    """Test every spot of slab or plate against its line, and every joist against other joists.

    A spot that stands out bends the model until it fits, so the worst is tested with a model that
    has not seen it; if it stands out it is left out for good and the next worst is tried.

    Parameters
    ----------
    floor
        The profile of every wall line.
    job
        Gives the scatter of joists a wall expects.
    """
    surfaces = read_surfaces(floor)
    joists = [
        joist_residuals(line, resolve(job, line.wall.name).frame.joist_scatter)
        for line in floor.lines
    ]
    first = [deleted_residuals(one.read, floor.model) for one in surfaces]
    tests = sum(int(np.sum(np.isfinite(one.sd))) for one in (*first, *joists))
    critical = critical_value(tests)
    below = _test_below(surfaces, floor.model, first, critical)
    tested: list[Neighbour] = []
    for one, found in zip(surfaces, below, strict=True):
        where = locate_below(floor, one)
        tested += _named(one.line.wall.name, one.surface, where, found, critical)
    square = [spot.standardized**2 for spot in tested if not spot.suspect]
    for line, found in zip(floor.lines, joists, strict=True):
        where = locate_joists(floor, line)
        tested += _named(line.wall.name, Surface.JOIST, where, found, critical)
    mean_square = float(np.mean(square)) if square else float("nan")
    return Neighbours(
        tested=tuple(tested),
        critical=critical,
        mean_square=mean_square,
        notes=_scatter_notes(mean_square),
    )


def _test_below(
    surfaces: Sequence[ReadSurface], model: FloorModel, first: Sequence[Deleted], critical: float
) -> list[Deleted]:
    """Deleted residuals with a model, and against readings, that no suspect has bent."""
    lines = [one.read for one in surfaces]
    kept = [np.ones(line.station.size, dtype=np.bool_) for line in lines]
    rough = telling_roughness(surfaces)
    found, refit = list(first), sum(lines[k].station.size for k in rough) <= MOST_REFITTED
    for _ in range(MOST_SUSPECTS):
        worst = _worst(found, kept)
        if worst is None:
            break
        k, i = worst
        kept[k][i] = False
        if refit:
            model = fit([_part(lines[r], kept[r]) for r in rough])
        if abs(_left_out(lines[k], kept[k], i, model)[2]) <= critical:
            break
        found = [_residuals(*each, model) for each in zip(lines, kept, strict=True)]
    return found


def _worst(found: Sequence[Deleted], kept: Sequence[BoolArray]) -> tuple[int, int] | None:
    """Line and index of the reading that stands out most among those kept."""
    size = [
        np.where(keep & np.isfinite(one.sd), np.abs(one.standardized), -1.0)
        for one, keep in zip(found, kept, strict=True)
    ]
    k = int(np.argmax([each.max() for each in size]))
    i = int(np.argmax(size[k]))
    return (k, i) if size[k][i] >= 0.0 else None


def _residuals(line: ReadLine, keep: BoolArray, model: FloorModel) -> Deleted:
    """Each reading against those kept, itself left out."""
    part = deleted_residuals(_part(line, keep), model)
    every = [np.full(keep.size, np.nan) for _ in range(3)]
    for full, kept in zip(every, (part.difference, part.sd, part.standardized), strict=True):
        full[keep] = kept
    for i in np.flatnonzero(~keep):
        for full, of_one in zip(every, _left_out(line, keep, int(i), model), strict=True):
            full[i] = of_one
    return Deleted(difference=every[0], sd=every[1], standardized=every[2])


def _left_out(
    line: ReadLine, keep: BoolArray, i: int, model: FloorModel
) -> tuple[float, float, float]:
    """Difference, sd and deviate of one reading against those kept, itself not among them."""
    with_it = keep | (np.arange(keep.size) == i)
    found, at = deleted_residuals(_part(line, with_it), model), int(np.sum(with_it[:i]))
    return float(found.difference[at]), float(found.sd[at]), float(found.standardized[at])


def _part(line: ReadLine, keep: BoolArray) -> ReadLine:
    """The line with some of its readings; its slope assumed where they no longer tell it."""
    if np.all(keep):
        return line
    station, piece = line.station[keep], line.piece[keep]
    return dataclasses.replace(
        line,
        station=station,
        piece=piece,
        elevation=line.elevation[keep],
        noise=line.noise[np.ix_(keep, keep)],
        slope_sd=slope_prior(station, piece) if line.slope_sd is None else line.slope_sd,
    )


def _named(
    wall: str, surface: Surface, where: Sequence[Located], found: Deleted, critical: float
) -> list[Neighbour]:
    """The tested readings of one surface of a line, with the rows that read them."""
    return [
        Neighbour(
            wall=wall,
            station=where[i].station,
            side=where[i].side,
            surface=surface,
            places=where[i].places,
            difference=float(found.difference[i]),
            sd=float(found.sd[i]),
            standardized=float(found.standardized[i]),
            suspect=bool(abs(found.standardized[i]) > critical),
        )
        for i in np.flatnonzero(np.isfinite(found.sd)).tolist()
    ]


def _scatter_notes(mean_square: float) -> tuple[Note, ...]:
    """A doubt where slab readings differ from their neighbours by more than they should."""
    if not mean_square > WIDE_SCATTER:
        return ()
    text = (
        "the slab readings scatter more than stated: against their neighbours by "
        f"{mean_square**0.5:.1f} times their sd. Read more carefully, or state a larger reading sd"
    )
    return (Note(code="readings-scatter", level="doubt", text=text),)
