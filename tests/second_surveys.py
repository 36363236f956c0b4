"""Second surveys of one invented wall: from its fixed plate, by tape alone, by tape afterwards."""

from __future__ import annotations

from typing import Any

import numpy as np

from fieldbooks import field_book
from survey.field.levelling import adjust
from survey.job import Job
from survey.slab.profile import FloorProfile, profile
from survey.wall.planning import HousePlan, plan

Row = dict[str, Any]
STATIONS = tuple(float(x) for x in range(0, 145, 16))
PLATE = 1.5
BEAM = 52.0


def slab_at(station: float) -> float:
    return 0.25 * float(np.sin(station / 40.0))


def joist_at(station: float) -> float:
    return 99.0 + 0.1 * float(np.cos(station))


def clear_at(station: float) -> float:
    return joist_at(station) - slab_at(station)


def levelled(name: str = "North", *, up: bool = True) -> list[Row]:
    """Slab and joists read at every station, without error."""
    rows: list[Row] = [{"name": name, "station": x, "down": BEAM - slab_at(x)} for x in STATIONS]
    return [{**row, "up": joist_at(row["station"]) - BEAM} for row in rows] if up else rows


def on_plate(name: str = "North", *, high: float = 0.0) -> list[Row]:
    """The fixed plate read at every station, `high` over where it belongs."""
    return [
        {"name": name, "station": x, "on_plate": True, "down": BEAM - slab_at(x) - PLATE - high}
        for x in STATIONS
    ]


def taped(*stations: float, off: float = 0.0, name: str = "North", **more: Any) -> list[Row]:
    """Clear heights at the stations, all wrong by `off`."""
    return [{"name": name, "station": x, "clear": clear_at(x) + off, **more} for x in stations]


def floor_of(rows: list[Row], job: Job | None = None) -> FloorProfile:
    job = Job() if job is None else job
    return profile(adjust(field_book(rows), job.laser), job)


def house_of(rows: list[Row], job: Job | None = None) -> HousePlan:
    job = Job() if job is None else job
    return plan(floor_of(rows, job), job)
