"""Sights: each reading of a field book as one observation from a set-up to a distinct spot."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
import numpy.typing as npt

from survey.errors import Fault, SurveyError
from survey.field.book import FieldBook
from survey.field.collimation import corrected
from survey.job import Laser

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]

STATION_DIGITS = 6  # stations that agree to a millionth of an inch are one spot


class Surface(IntEnum):
    """What a spot lies on.

    >>> Surface.JOIST.word
    'joist'
    """

    SLAB = 0
    PLATE = 1
    JOIST = 2
    MARK = 3
    POINT = 4

    @property
    def word(self) -> str:
        """The surface's name in tables and files."""
        return self.name.lower()


@dataclass(frozen=True, kw_only=True, eq=False)
class Sights:
    """Observations in the order of the book's rows, down before up; shape (n,), read-only.

    `row_index` indexes the book's rows, `setup` its set-ups, `spot` the spots below. `sign` is -1
    for a reading down from the beam and +1 for one up: elevation = beam + sign x reading.
    `reading` [in] has cover added back and a known collimation error taken out; `sd` [in].

    Spots, shape (m,), sorted by name, surface, station and side: `name` indexes the book's names,
    `station` [in] is NaN for marks and points, `side` is 0 except on a lip of a joint.
    """

    row_index: IntArray
    setup: IntArray
    spot: IntArray
    sign: IntArray
    reading: FloatArray
    sd: FloatArray
    name: IntArray
    station: FloatArray
    side: IntArray
    surface: IntArray

    def __post_init__(self) -> None:
        for field in dataclasses.fields(self):
            getattr(self, field.name).setflags(write=False)


def take_sights(book: FieldBook, laser: Laser, *, error: float | None = None) -> Sights:
    """Turn a field book into sights.

    Parameters
    ----------
    book
        Rows read; `clear` heights give no sight.
    laser
        Gives the sd of rows that state none [in].
    error
        Collimation error [in per in] to take out of rows with a distance; None where not known.

    Raises
    ------
    SurveyError
        No row holds a down or up reading, or rows that cannot be used; all are listed.
    """
    down, up = ~np.isnan(book.down), ~np.isnan(book.up)
    if not np.any(down | up):
        raise SurveyError(
            "no elevation can be found: no row has a down or up reading (clear heights and rows "
            "left out do not count). Read the slab from the laser, or leave fewer rows out"
        )
    _check(book, down, up)
    row_index = np.concatenate([np.flatnonzero(down), np.flatnonzero(up)])
    sign = np.repeat(np.array([-1, 1], dtype=np.int64), [np.sum(down), np.sum(up)])
    order = np.argsort(row_index, kind="stable")
    row_index, sign = row_index[order], sign[order]
    reading = np.where(sign < 0, _to_surface(book)[row_index], book.up[row_index])
    if error is not None:
        reading = corrected(reading, sign, book.distance[row_index], error=error)
    spot, columns = _spots(book, row_index, sign)
    return Sights(
        row_index=row_index,
        setup=book.setup[row_index],
        spot=spot,
        sign=sign,
        reading=reading,
        sd=row_sd(book, laser)[row_index],
        name=columns[0],
        surface=columns[1],
        station=np.where(columns[1] >= Surface.MARK, np.nan, columns[2]),
        side=columns[3],
    )


def row_sd(book: FieldBook, laser: Laser) -> FloatArray:
    """Sd of each row's readings: as stated, else from the laser and the distance; shape (n,) [in].

    Half the laser's accuracy counts as one sd (the accuracy is taken as a 95 % bound, common
    practice).
    """
    over_distance = 0.5 * laser.accuracy * np.nan_to_num(book.distance, nan=0.0)
    return np.where(np.isnan(book.sd), np.hypot(laser.reading, over_distance), book.sd)


def _to_surface(book: FieldBook) -> FloatArray:
    """Down readings to what lies under the floor covering the rod stood on [in]."""
    return np.asarray(book.down + np.nan_to_num(book.cover, nan=0.0))


def _spots(
    book: FieldBook, row_index: IntArray, sign: IntArray
) -> tuple[IntArray, tuple[IntArray, IntArray, FloatArray, IntArray]]:
    """Number the distinct spots; (spot of each sight), (name, surface, station, side of spots)."""
    name = book.name[row_index]
    surface = _surfaces(book, row_index, sign)
    lone = surface >= Surface.MARK
    station = np.where(lone, 0.0, book.station[row_index])
    side = np.where(lone | (surface == Surface.JOIST), 0, book.side[row_index])
    place = np.round(station, STATION_DIGITS)
    order = np.lexsort((side, place, surface, name))
    keys = np.stack([name, surface, place, side])[:, order]
    first = np.concatenate([[True], np.any(keys[:, 1:] != keys[:, :-1], axis=0)])
    spot = np.empty(order.size, dtype=np.int64)
    spot[order] = np.cumsum(first) - 1
    head = order[first]
    return spot, (name[head], surface[head], station[head], side[head])


def _surfaces(book: FieldBook, row_index: IntArray, sign: IntArray) -> IntArray:
    """What each sight was taken to; shape (n,)."""
    lone = {"mark": Surface.MARK, "point": Surface.POINT}
    of_name = np.array([lone.get(named.kind, -1) for named in book.names], dtype=np.int64)
    below = np.where(book.on_plate[row_index], Surface.PLATE, Surface.SLAB)
    on_wall = np.where(sign > 0, Surface.JOIST, below)
    of_sight = of_name[book.name[row_index]]
    return np.where(of_sight >= 0, of_sight, on_wall)


def _check(book: FieldBook, down: BoolArray, up: BoolArray) -> None:
    """Refuse rows that no elevation can be computed from, all at once."""
    used = down | up
    on_wall = np.array([named.kind == "wall" for named in book.names])[book.name]
    unsure = ~np.isfinite(book.sd) | (book.sd <= 0.0)
    far = ~np.isfinite(book.distance) | (book.distance < 0.0)
    rules = (
        ("sd", used & unsure & ~np.isnan(book.sd), "the sd must be above zero and finite"),
        (
            "distance",
            used & far & ~np.isnan(book.distance),
            "a distance is finite and not negative",
        ),
        (
            "station",
            used & on_wall & ~np.isfinite(book.station),
            "a reading along a wall needs its station",
        ),
        ("down", down & ~np.isfinite(_to_surface(book)), "not a finite length"),
        ("up", up & ~np.isfinite(book.up), "not a finite length"),
        ("up", ~on_wall & down & up, "a mark or point lies below the beam or above it, not both"),
    )
    faults = [
        Fault(file=book.sources[book.file[i]].file, row=int(book.row[i]), column=name, wanted=rule)
        for name, wrong, rule in rules
        for i in np.flatnonzero(wrong)
    ]
    if faults:
        head = f"{len(faults)} readings cannot be used; the first: {faults[0]}"
        raise SurveyError(str(faults[0]) if len(faults) == 1 else head, faults=faults)
