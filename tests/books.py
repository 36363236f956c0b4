"""Field books built by hand, and simulated houses whose truth is known. Everything invented."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np

from fieldbooks import field_book
from survey.field.book import FieldBook
from survey.slab.kriging import FloatArray, matern32

READING_SD = 1 / 16


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row to go into a book; lengths [in], None where not read."""

    name: str
    station: float = np.nan
    down: float | None = None
    up: float | None = None
    setup: str = "A"
    side: int = 0
    flag: str = ""
    sd: float | None = None


def book_of(rows: Iterable[Row], marks: Mapping[str, float | None] | None = None) -> FieldBook:
    """A field book of the rows; names without a station that are no mark are points."""
    rows = list(rows)
    given = {} if marks is None else marks
    points = [row.name for row in rows if np.isnan(row.station) and row.name not in given]
    columns = [{k: v for k, v in vars(row).items() if v is not None} for row in rows]
    return field_book(columns, marks=given, points=points)


@dataclass(frozen=True, kw_only=True, eq=False)
class TrueWall:
    """The truth of a simulated wall: slab on a one-inch grid, joists by station [in]."""

    name: str
    station: FloatArray
    slab: FloatArray
    joist_station: FloatArray
    joist: FloatArray

    def clear(self) -> FloatArray:
        """True clear height under a level top plate that touches the lowest joist [in]."""
        return np.asarray(self.joist.min() - self.slab)


@dataclass(frozen=True, kw_only=True, eq=False)
class TrueHouse:
    """Simulated walls and the book somebody would have read there."""

    walls: tuple[TrueWall, ...]
    book: FieldBook
    sill_sd: float = field(default=0.0)


def simulate_house(rng: np.random.Generator, *, walls: int) -> TrueHouse:
    """A house whose roughness is drawn from the priors, read with the laser's stated sd.

    Walls are 8 to 24 ft long, read every 16 in on slab and joist; with several walls there are
    three set-ups tied by a mark and by shared spots.
    """
    sill = 0.15 * np.exp(rng.normal())
    reach = 48.0 * np.exp(0.7 * rng.normal())
    true = tuple(_simulate_wall(rng, f"W{i}", sill, reach) for i in range(walls))
    return TrueHouse(walls=true, book=book_of(_rows(rng, true)), sill_sd=sill)


def _simulate_wall(rng: np.random.Generator, name: str, sill: float, reach: float) -> TrueWall:
    length = 16.0 * rng.integers(6, 19)
    station = np.arange(0.0, length + 0.5)
    covariance = sill**2 * matern32(station[:, None] - station[None, :], reach)
    root = np.linalg.cholesky(covariance + 1e-9 * sill**2 * np.eye(station.size))
    slope = rng.normal(0.0, 0.1 / 12.0)
    joists = np.arange(0.0, length + 0.5, 16.0)
    return TrueWall(
        name=name,
        station=station,
        slab=root @ rng.normal(size=station.size) + slope * station,
        joist_station=joists,
        joist=100.0 + rng.normal(0.0, 0.125, joists.size),
    )


def _rows(rng: np.random.Generator, walls: tuple[TrueWall, ...]) -> list[Row]:
    """Every joist station down and up from one set-up; the mark M is read from each set-up."""
    beams = {"A": 52.0, "B": 48.5, "C": 55.25}
    rows = []
    for i, wall in enumerate(walls):
        setup = "ABC"[i * 3 // max(len(walls), 3)]
        rows += [_read(rng, wall, j, setup, beams[setup]) for j in range(wall.joist_station.size)]
        if len(walls) > 1:
            rows.append(
                Row(name="M", setup=setup, down=beams[setup] - 40.0 + rng.normal(0, READING_SD))
            )
    return rows


def _read(rng: np.random.Generator, wall: TrueWall, j: int, setup: str, beam: float) -> Row:
    station = wall.joist_station[j]
    return Row(
        name=wall.name,
        station=float(station),
        setup=setup,
        down=beam - wall.slab[int(station)] + rng.normal(0.0, READING_SD),
        up=wall.joist[j] - beam + rng.normal(0.0, READING_SD),
    )
