"""The neighbour check: spots read once have no other check than the spots beside them."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from survey import standards
from survey.errors import Note
from survey.field.levelling import Surface
from survey.field.outliers import Place, critical_value, place_of
from survey.job import Job, resolve
from survey.slab.kriging import BoolArray, IntArray
from survey.slab.leave_one_out import Deleted, deleted_residuals
from survey.slab.profile import BIN, FloorProfile, LineProfile, piece_of
from survey.slab.roughness import FloorModel, ReadLine, fit

MOST_SUSPECTS = 8
MOST_REFITTED = 400  # readings; among more a single one no longer bends the model
WIDE_SCATTER = 1.5  # mean square of e / sd over which the readings scatter more than stated
LEAST_JOISTS = 4
MAD_TO_SD = 1.482602  # of the normal distribution


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
    """Every spot tested against its neighbours, line by line, slab before joists.

    `critical` is the |standardized| beyond which a spot is suspect; where the floor is as the
    model says and no reading is wrong, any is in at most five surveys of a hundred.
    `mean_square` of difference / sd over the slab's spots is about 1; NaN where none is tested.
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
    """Test every slab spot against its line, and every joist against the line's other joists.

    A spot that stands out bends the model until it fits, so the worst is tested with a model that
    has not seen it; if it stands out it is left out for good and the next worst is tried.

    Parameters
    ----------
    floor
        The profile of every wall line.
    job
        Gives the scatter of joists a wall expects.
    """
    slab = [line.slab for line in floor.lines]
    joists = [
        joist_residuals(line, resolve(job, line.wall.name).frame.joist_scatter)
        for line in floor.lines
    ]
    first = [deleted_residuals(line, floor.model) for line in slab]
    tests = sum(int(np.sum(np.isfinite(one.sd))) for one in (*first, *joists))
    critical = critical_value(tests)
    found = _test_slab(slab, floor.model, first, critical)
    tested: list[Neighbour] = []
    for k, line in enumerate(floor.lines):
        tested += _named(floor, line, Surface.SLAB, found[k], critical)
        tested += _named(floor, line, Surface.JOIST, joists[k], critical)
    square = [s.standardized**2 for s in tested if s.surface == Surface.SLAB and not s.suspect]
    mean_square = float(np.mean(square)) if square else float("nan")
    return Neighbours(
        tested=tuple(tested),
        critical=critical,
        mean_square=mean_square,
        notes=_scatter_notes(mean_square),
    )


def joist_residuals(line: LineProfile, scatter: float) -> Deleted:
    """Each joist against a straight line through the others that a few bad ones do not bend.

    The slope is the median of those between all pairs, the level the median of what is left. The
    sd is the larger of the robust one (1.4826 times the median absolute deviation) and that which
    the expected `scatter` [in] and the reading's own sd give. Fewer than four joists: not tested.

    References
    ----------
    Sen, P. K., "Estimates of the regression coefficient based on Kendall's tau", *Journal of the
    American Statistical Association* 63 (1968), from memory: the slope. Hampel, F. R., "The
    influence curve and its role in robust estimation", same journal 69 (1974), from memory: the
    median absolute deviation.
    """
    station, elevation = line.joist_station, line.joist_elevation
    if station.size < LEAST_JOISTS:
        none = np.full(station.size, np.nan)
        return Deleted(difference=none, sd=none, standardized=none)
    first, second = np.triu_indices(station.size, k=1)
    slope = np.median((elevation[second] - elevation[first]) / (station[second] - station[first]))
    rest = elevation - slope * station
    rest = rest - np.median(rest)
    count = line.slab.station.size
    own = np.diag(line.covariance)[count:] - float(np.min(line.covariance[count:, count:]))
    robust = MAD_TO_SD * float(np.median(np.abs(rest)))
    sd = np.maximum(robust, np.sqrt(scatter**2 + np.maximum(own, 0.0)))
    return Deleted(difference=rest, sd=sd, standardized=rest / sd)


def _test_slab(
    lines: Sequence[ReadLine], model: FloorModel, first: Sequence[Deleted], critical: float
) -> list[Deleted]:
    """Deleted residuals of all lines with a model, and against lines, that no suspect has bent."""
    kept = [np.ones(line.station.size, dtype=np.bool_) for line in lines]
    found, refit = list(first), sum(k.size for k in kept) <= MOST_REFITTED
    for _ in range(MOST_SUSPECTS):
        worst = _worst(found, kept)
        if worst is None:
            break
        k, i = worst
        kept[k][i] = False
        if refit:
            model = fit([_part(line, keep) for line, keep in zip(lines, kept, strict=True)])
        trial = [_residuals(*each, model) for each in zip(lines, kept, strict=True)]
        if abs(trial[k].standardized[i]) <= critical:
            break
        found = trial
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
        with_it = keep | (np.arange(keep.size) == i)
        one, at = deleted_residuals(_part(line, with_it), model), int(np.sum(with_it[:i]))
        for full, of_one in zip(every, (one.difference, one.sd, one.standardized), strict=True):
            full[i] = of_one[at]
    return Deleted(difference=every[0], sd=every[1], standardized=every[2])


def _part(line: ReadLine, keep: BoolArray) -> ReadLine:
    """The line with some of its readings; its slope assumed where they no longer tell it."""
    if np.all(keep):
        return line
    station, piece = line.station[keep], line.piece[keep]
    told = any(np.sum(piece == p) > 2 and np.ptp(station[piece == p]) >= BIN for p in set(piece))
    return dataclasses.replace(
        line,
        station=station,
        piece=piece,
        elevation=line.elevation[keep],
        noise=line.noise[np.ix_(keep, keep)],
        slope_sd=line.slope_sd if told else standards.SLOPE_SD.value,
    )


def _named(
    floor: FloorProfile, line: LineProfile, surface: Surface, found: Deleted, critical: float
) -> list[Neighbour]:
    """The tested readings of one surface of a line, with the rows that read them."""
    tested = np.flatnonzero(np.isfinite(found.sd))
    if tested.size == 0:
        return []
    spots = floor.heights.spots
    names = [named.name.casefold() for named in floor.heights.book.names]
    on_wall = np.array([name == line.wall.name.strip().casefold() for name in names])[spots.name]
    members = np.flatnonzero(on_wall & (spots.surface == surface))
    owner = _owners(floor, line, surface, members)
    named = []
    for i in tested:
        mine = members[owner == i]
        named.append(
            Neighbour(
                wall=line.wall.name,
                station=float(np.mean(spots.station[mine])),
                side=int(spots.side[mine[0]]) if mine.size == 1 else 0,
                surface=surface,
                places=_places(floor, mine),
                difference=float(found.difference[i]),
                sd=float(found.sd[i]),
                standardized=float(found.standardized[i]),
                suspect=bool(abs(found.standardized[i]) > critical),
            )
        )
    return named


def _owners(
    floor: FloorProfile, line: LineProfile, surface: Surface, members: IntArray
) -> IntArray:
    """Which reading of the line each spot is part of: the nearest on the same piece of slab."""
    spots = floor.heights.spots
    station = line.slab.station if surface == Surface.SLAB else line.joist_station
    apart = np.abs(spots.station[members][:, None] - station[None, :])
    if surface == Surface.SLAB:
        piece = piece_of(line.joints, spots.station[members], spots.side[members])
        apart = np.where(piece[:, None] == line.slab.piece[None, :], apart, np.inf)
    return np.asarray(np.argmin(apart, axis=1), dtype=np.int64)


def _places(floor: FloorProfile, spots: IntArray) -> tuple[Place, ...]:
    """The rows that read any of the spots."""
    observed = floor.heights.observations
    rows = np.unique(observed.row_index[np.isin(observed.spot, spots)])
    return tuple(place_of(floor.heights, int(row)) for row in rows)


def _scatter_notes(mean_square: float) -> tuple[Note, ...]:
    """A doubt where slab readings differ from their neighbours by more than they should."""
    if not mean_square > WIDE_SCATTER:
        return ()
    text = (
        "the slab readings scatter more than stated: against their neighbours by "
        f"{mean_square**0.5:.1f} times their sd. Read more carefully, or state a larger reading sd"
    )
    return (Note(code="readings-scatter", level="doubt", text=text),)
