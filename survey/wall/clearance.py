"""How far every part of a hung wall lets the slab rise and drop, and which part rules."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from survey import standards
from survey.errors import Note
from survey.job import Travel, WallSettings
from survey.wall.doorways import Doorway
from survey.wall.lines import BareWall
from survey.wall.spikes import Spike
from survey.wall.studs import Hung
from survey.wall.trim_lines import TrimLines

Element = Literal["plates", "spikes", "drywall", "jamb", "leaf", "base"]
Kind = Literal["load", "use", "look"]
CLOSE = 1e-9


@dataclass(frozen=True, kw_only=True)
class Clearance:
    """How far one part lets the slab rise and drop [in]; None where nothing of it is in the way.

    `kind` tells what happens then: "load" pushes on the house, "use" stops a door, "look" shows.
    `assured` is the rise that is sure to be there, `rise` what is expected; `at` the station where
    the part is tightest; `limit_by` says what meets.
    """

    element: Element
    kind: Kind
    rise: float | None
    assured: float | None
    drop: float | None
    at: float
    limit_by: str


@dataclass(frozen=True, kw_only=True)
class Ruling:
    """The part that rules one way of moving: "rise" or "drop", and what is asked for [in]."""

    way: Literal["rise", "drop"]
    clearance: Clearance
    left: float
    asked: float

    @property
    def enough(self) -> bool:
        """Whether the part leaves what is asked for."""
        return self.left >= self.asked - CLOSE


def travel_table(
    bare: BareWall,
    wall: Hung,
    spikes: Sequence[Spike],
    trim: TrimLines,
    doors: Sequence[Doorway],
) -> tuple[Clearance, ...]:
    """Every part with the travel it leaves: plates, spikes, drywall, jambs, leaves, base."""
    return (
        _plates(bare, wall),
        *_spikes(wall, spikes),
        _drywall(trim),
        *(part for door in doors for part in _door(door)),
        _base(trim),
    )


def rulings(clearances: Sequence[Clearance], travel: Travel) -> tuple[Ruling, ...]:
    """The load-bearing part that leaves least rise, then the one that leaves least drop.

    Only what would push on the house is judged; a way in which nothing does has no ruling.
    """
    loads = [part for part in clearances if part.kind == "load"]
    rising = [(part.assured, part) for part in loads if part.assured is not None]
    dropping = [(part.drop, part) for part in loads if part.drop is not None]
    found: list[Ruling] = []
    if rising:
        left, part = min(rising, key=lambda each: each[0])
        found.append(Ruling(way="rise", clearance=part, left=left, asked=travel.rise))
    if dropping:
        left, part = min(dropping, key=lambda each: each[0])
        found.append(Ruling(way="drop", clearance=part, left=left, asked=travel.drop))
    return tuple(found)


def _plates(bare: BareWall, wall: Hung) -> Clearance:
    plated = bare.clear.plate
    gap = wall.gap.gap[plated]
    return Clearance(
        element="plates",
        kind="load",
        rise=float(gap.min()),
        assured=min(wall.gap.least_assured, float(gap.min())),
        drop=None,
        at=float(bare.slab.at.station[plated][np.argmin(gap)]),
        limit_by="bottom plate and slab plate meet",
    )


def _spikes(wall: Hung, spikes: Sequence[Spike]) -> list[Clearance]:
    """Heads ride up with the slab inside the bay, and down with it until they are home."""
    if not spikes:
        return []
    least = min(spikes, key=lambda spike: spike.drop)
    above = wall.frame.stud - max(spike.drive.proud for spike in spikes)
    return [
        Clearance(
            element="spikes",
            kind="load",
            rise=above,
            assured=above,
            drop=least.drop,
            at=least.station,
            limit_by="heads come down on the bottom plate",
        )
    ]


def _drywall(trim: TrimLines) -> Clearance:
    worst = int(np.argmin(trim.clear))
    return Clearance(
        element="drywall",
        kind="load",
        rise=float(trim.clear[worst]),
        assured=min(float(trim.assured.min()), float(trim.clear[worst])),
        drop=None,
        at=float(trim.station[worst]),
        limit_by=f"drywall meets the {trim.under}",
    )


def _door(door: Doorway) -> tuple[Clearance, Clearance]:
    stops = "jamb and casing meet the floor"
    return (
        Clearance(
            element="jamb",
            kind="load",
            rise=door.jamb,
            assured=door.jamb,
            drop=None,
            at=door.at,
            limit_by=f"{stops}: look each season, cut back" if door.gauge else stops,
        ),
        Clearance(
            element="leaf",
            kind="use",
            rise=door.leaf,
            assured=door.leaf,
            drop=None,
            at=door.at,
            limit_by="the leaf scrapes the floor in its swing",
        ),
    )


def _base(trim: TrimLines) -> Clearance:
    worst = int(np.argmin(trim.base_drop))
    return Clearance(
        element="base",
        kind="look",
        rise=None,
        assured=None,
        drop=float(trim.base_drop[worst]),
        at=float(trim.station[worst]),
        limit_by="the base no longer laps the drywall",
    )


def clearance_notes(
    bare: BareWall, trim: TrimLines, doors: Sequence[Doorway], settings: WallSettings
) -> tuple[Note, ...]:
    """Gauges that stop the wall, a base or filler that does not suit, and low headroom."""
    notes = (
        *_gauges(doors, settings),
        *_scribed(bare, doors),
        *_low_base(trim, settings),
        *_high_filler(trim, settings),
        *_headroom(bare, settings),
    )
    return tuple(replace(note, wall=settings.line.name) for note in notes)


def _gauges(doors: Sequence[Doorway], settings: WallSettings) -> Iterator[Note]:
    for door in doors:
        if door.gauge and door.jamb < settings.travel.rise - CLOSE:
            yield Note(
                code="door-stops-the-wall",
                level="doubt",
                station=door.at,
                text="this door, at {}, stops the wall at {}; look each season, cut back",
                lengths=(door.at, door.jamb),
            )


def _scribed(bare: BareWall, doors: Sequence[Doorway]) -> Iterator[Note]:
    if bare.line.tape_only and doors:
        yield Note(
            code="legs-not-known",
            level="doubt",
            station=doors[0].at,
            text="nothing was levelled here: how jamb legs differ is not known, scribe them",
        )


def _low_base(trim: TrimLines, settings: WallSettings) -> Iterator[Note]:
    if trim.base_height < trim.base_needed - CLOSE:
        worst = float(trim.station[np.argmin(trim.base_drop)])
        yield Note(
            code="base-too-low",
            level="doubt",
            station=worst,
            text="a base of {} is too low at {}: {} hides the gap, laps by {} and allows a drop "
            "of {}",
            lengths=(
                *(trim.base_height, worst, trim.base_needed),
                *(settings.trim.lap, settings.travel.drop),
            ),
        )


def _high_filler(trim: TrimLines, settings: WallSettings) -> Iterator[Note]:
    asked = settings.trim.filler_height
    if asked is not None and asked > trim.filler_most + CLOSE:
        yield Note(
            code="filler-too-high",
            level="doubt",
            text="a filler {} high is in the way of the drywall: at most {} leaves the rise",
            lengths=(asked, trim.filler_most),
        )


def _headroom(bare: BareWall, settings: WallSettings) -> Iterator[Note]:
    """Least height over the finished floor, at the joists and under each beam or duct."""
    joists, beams = bare.joists, settings.line.under
    low = np.zeros(joists.station.size, dtype=np.bool_)
    for beam in beams:
        low |= (joists.station >= beam.from_) & (joists.station <= beam.to)
    floor = bare.floor.height(joists.station) + settings.trim.flooring
    heights = (joists.elevation - floor)[~low]
    found: list[tuple[float, float, float]] = []
    if heights.size:
        least = int(np.argmin(heights))
        found.append(
            (standards.HEADROOM.value, float(joists.station[~low][least]), float(heights[least]))
        )
    found += [
        (standards.HEADROOM_UNDER_BEAM.value, beam.from_, beam.underside - settings.trim.flooring)
        for beam in beams
    ]
    for asked, station, height in found:
        if height < asked - CLOSE:
            yield Note(
                code="low-headroom",
                station=station,
                text="{} of headroom at {}; {} is what some codes ask for there: ask the local one",
                lengths=(height, station, asked),
            )
