"""Published level networks as field books: the conversion all network tests share."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from survey.errors import SurveyError
from survey.field.book import FieldBook, Named, Source
from survey.field.levelling import Adjustment, adjust
from survey.job import Laser

FOLDER = Path(__file__).parents[2] / "shared" / "networks"
INCH = 0.0254  # m, exactly
BEAM = 100.0 / INCH  # reading at the first end of a leg; any constant gives the same heights


@dataclass(frozen=True)
class Leg:
    """A height difference observed between two points [m]."""

    start: str
    end: str
    difference: float
    sd: float


@dataclass(frozen=True)
class Reading:
    """A rod reading down from a set-up [in]."""

    setup: str
    name: str
    down: float
    sd: float


def read_table(file: str) -> list[dict[str, str]]:
    """Rows of a table of shared/networks."""
    with (FOLDER / file).open(newline="", encoding="utf-8") as text:
        return list(csv.DictReader(text))


def read_legs(file: str, *, sd_per_root_km: float | None = None) -> list[Leg]:
    """Legs of a network; sd [m] as listed, or from the leg's length."""
    return [
        Leg(
            start=row["from"],
            end=row["to"],
            difference=float(row["difference_m"]),
            sd=float(row["sd_m"])
            if sd_per_root_km is None
            else sd_per_root_km * (float(row["length_m"]) / 1000.0) ** 0.5,
        )
        for row in read_table(file)
    ]


def as_readings(legs: Sequence[Leg]) -> list[Reading]:
    """Each leg as one set-up with two readings, each of variance half the leg's."""
    readings = []
    for number, leg in enumerate(legs, start=1):
        sd = leg.sd / INCH / 2**0.5
        readings.append(Reading(f"{number}", leg.start, BEAM, sd))
        readings.append(Reading(f"{number}", leg.end, BEAM - leg.difference / INCH, sd))
    return readings


def as_book(readings: Sequence[Reading], fixed: Mapping[str, float]) -> FieldBook:
    """Readings as a field book; `fixed` are marks held at elevations [m], the rest are points."""
    count = len(readings)
    names = list(dict.fromkeys(reading.name for reading in readings))
    setups = list(dict.fromkeys(reading.setup for reading in readings))
    blank = np.full(count, np.nan)
    return FieldBook(
        sources=(Source(file="network.csv", sha256=""),),
        setups=tuple(setups),
        names=tuple(
            Named(name=name, kind="mark", elevation=fixed[name] / INCH)
            if name in fixed
            else Named(name=name, kind="point")
            for name in names
        ),
        file=np.zeros(count, dtype=np.int64),
        row=np.arange(2, count + 2),
        setup=np.array([setups.index(reading.setup) for reading in readings]),
        name=np.array([names.index(reading.name) for reading in readings]),
        station=blank,
        side=np.zeros(count, dtype=np.int64),
        on_plate=np.zeros(count, dtype=bool),
        down=np.array([reading.down for reading in readings]),
        up=blank,
        clear=blank,
        sd=np.array([reading.sd for reading in readings]),
        distance=blank,
        cover=blank,
        flag=("",) * count,
        note=("",) * count,
        unit="m",
    )


def adjust_legs(legs: Sequence[Leg], fixed: Mapping[str, float]) -> Adjustment:
    """Adjust a network of legs with marks fixed [m]."""
    return adjust(as_book(as_readings(legs), fixed), Laser())


def heights(found: Adjustment) -> dict[str, float]:
    """Adjusted heights by name [m]."""
    return _by_name(found, found.spots.elevation * INCH)


def stated_sd(found: Adjustment) -> dict[str, float]:
    """A priori sd by name [mm]."""
    return _by_name(found, found.spots.sd * INCH * 1000.0)


def scaled_sd(found: Adjustment) -> dict[str, float]:
    """Sd scaled by sigma0, by name [mm]."""
    return _by_name(found, found.sd_scaled * INCH * 1000.0)


def _by_name(found: Adjustment, value: np.ndarray) -> dict[str, float]:
    if found.spots.name.size != len(found.book.names):
        raise SurveyError("a network has one spot a name")
    names = [found.book.names[code].name for code in found.spots.name]
    return dict(zip(names, value.tolist(), strict=True))


def leg_residuals(found: Adjustment) -> np.ndarray:
    """Adjusted - observed difference of each leg [mm]: of its first reading less its second."""
    pair = found.observations.residual.reshape(-1, 2)
    return np.asarray((pair[:, 0] - pair[:, 1]) * INCH * 1000.0)


def leg_redundancies(found: Adjustment) -> np.ndarray:
    """Redundancy number of each leg: the sum over its two readings."""
    return np.asarray(found.observations.redundancy.reshape(-1, 2).sum(axis=1))


def leg_standardized(found: Adjustment) -> np.ndarray:
    """Standardized residual of each leg: that of its first reading."""
    return np.asarray(found.observations.standardized.reshape(-1, 2)[:, 0])
