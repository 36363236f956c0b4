"""Where studs stand along a wall, what the doors take out, what is left of the plates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from survey.job import Door, WallSettings

StudKind = Literal["stud", "end", "king", "trimmer", "cripple"]
FULL_HEIGHT: tuple[StudKind, ...] = ("stud", "end", "king")


@dataclass(frozen=True, kw_only=True)
class StudSpot:
    """One stud by the station of its centre line [in]."""

    station: float
    kind: StudKind


@dataclass(frozen=True, kw_only=True)
class Opening:
    """A door's rough opening along the wall [in]."""

    start: float
    end: float
    door: Door


@dataclass(frozen=True, kw_only=True)
class Layout:
    """Studs by station, openings, and the stretches over which there is a bottom plate [in]."""

    length: float
    thickness: float
    studs: tuple[StudSpot, ...]
    openings: tuple[Opening, ...]
    plates: tuple[tuple[float, float], ...]

    @property
    def full(self) -> tuple[float, ...]:
        """Centre lines of the studs that run from plate to plate [in]."""
        return tuple(spot.station for spot in self.studs if spot.kind in FULL_HEIGHT)

    @property
    def bays(self) -> tuple[tuple[float, float], ...]:
        """Spaces between neighbouring full studs, openings left out."""
        return tuple(
            (a, b)
            for a, b in pairwise(self.full)
            if not any(a < opening.end and b > opening.start for opening in self.openings)
        )


def lay_out(length: float, settings: WallSettings) -> Layout:
    """Lay out a wall of that length [in]: end studs, studs on centre, kings, trimmers, cripples.

    Studs stand at multiples of the spacing from the named end, so that sheet edges fall on
    their centres; one that would clash with an end stud or a door's studs is left out.

    References
    ----------
    Common practice for framed partitions.
    """
    thickness = settings.stud.thickness
    openings = tuple(
        Opening(
            start=max(door.at - door.width / 2, 0.0),
            end=min(door.at + door.width / 2, length),
            door=door,
        )
        for door in sorted(settings.line.door, key=lambda door: door.at)
    )
    at_doors = _door_studs(length, thickness, openings)
    fixed = at_doors + _end_studs(length, thickness, openings, at_doors)
    regular = _on_centre(length, settings.frame.spacing)
    studs = [*fixed]
    for station in regular:
        over = [o for o in openings if o.start < station < o.end]
        if over:
            if min(station - over[0].start, over[0].end - station) >= thickness:
                studs.append(StudSpot(station=station, kind="cripple"))
        elif all(abs(station - spot.station) >= thickness - 1e-9 for spot in fixed):
            studs.append(StudSpot(station=station, kind="stud"))
    return Layout(
        length=length,
        thickness=thickness,
        openings=openings,
        studs=tuple(sorted(studs, key=lambda spot: spot.station)),
        plates=_plates(length, openings),
    )


def _on_centre(length: float, spacing: float) -> list[float]:
    return [spacing * i for i in range(1, int(length / spacing + 1e-9) + 1)]


def _end_studs(
    length: float, thickness: float, openings: Sequence[Opening], at_doors: Sequence[StudSpot]
) -> list[StudSpot]:
    """An end stud at each end, unless a door or its studs take the place."""
    half = thickness / 2
    ends = [half] if length < 2 * thickness else [half, length - half]
    return [
        StudSpot(station=end, kind="end")
        for end in ends
        if not any(o.start - half < end < o.end + half for o in openings)
        and all(abs(end - spot.station) >= thickness - 1e-9 for spot in at_doors)
    ]


def _door_studs(length: float, thickness: float, openings: Sequence[Opening]) -> list[StudSpot]:
    """A trimmer against each side of the opening and a king behind it, where the wall has room.

    Where two doors stand so close that kings would overlap, one king serves both.
    """
    spots: list[StudSpot] = []
    for opening in openings:
        for edge, away in ((opening.start, -1.0), (opening.end, 1.0)):
            for kind, offset in (("trimmer", 0.5), ("king", 1.5)):
                station = edge + away * offset * thickness
                inside = thickness / 2 - 1e-9 <= station <= length - thickness / 2 + 1e-9
                free = all(abs(station - spot.station) >= thickness - 1e-9 for spot in spots)
                if inside and free:
                    spots.append(StudSpot(station=station, kind=kind))  # type: ignore[arg-type]
    return spots


def _plates(length: float, openings: Sequence[Opening]) -> tuple[tuple[float, float], ...]:
    edges = [0.0]
    for opening in openings:
        edges += [opening.start, opening.end]
    edges.append(length)
    return tuple((a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1e-9)
