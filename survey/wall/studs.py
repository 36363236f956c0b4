"""Stud by stud and bay by bay: elevations, gap, length, and the sum a tape can check."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey.job import WallSettings
from survey.lengths import snap
from survey.slab.kriging import FloatArray
from survey.slab.line_profile import LineProfile, Under
from survey.slab.slab_line import SlabLine
from survey.wall.joists import JoistLine, height_at
from survey.wall.layout import FULL_HEIGHT, Layout, Opening, StudKind
from survey.wall.lines import FrameStack, GapLine, TopLine
from survey.wall.plate import SlabPlate

HEADER_THICKNESS = 1.5


@dataclass(frozen=True, kw_only=True)
class Part:
    """One part of a height stack [in]."""

    part: str
    thickness: float


@dataclass(frozen=True, kw_only=True)
class Stud:
    """One stud. Elevations [in]; `stack` sums to joist - slab at a full-height stud."""

    mark: str
    kind: StudKind
    station: float
    length: float
    slab: float
    joist: float
    plate_top: float
    bottom: float
    top: float
    gap: float
    assured_gap: float
    stack: tuple[Part, ...]


@dataclass(frozen=True, kw_only=True)
class Bay:
    """The space between two neighbouring full studs.

    `high` and `low` are the stations of the highest and lowest slab in it [in].
    """

    bay: int
    start: float
    end: float
    studs: tuple[str, str]
    stud_length: float
    gap_least: float
    gap_greatest: float
    assured_least: float
    high: float
    low: float


@dataclass(frozen=True, kw_only=True)
class TapeSpot:
    """A spot to tape before cutting: `parts`, rounded as printed, sum to `clear` exactly [in].

    `on` is what the tape stands on.
    """

    station: float
    on: Under
    clear: float
    sd: float
    parts: tuple[Part, ...]
    stud: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Hung:
    """A wall hung along a line: everything that fixes the heights of its parts.

    `slab` is what it is measured from, `floor` what the floors at doors lie on.
    """

    slab: SlabLine
    floor: SlabLine
    joists: JoistLine
    top: TopLine
    frame: FrameStack
    plate: SlabPlate
    gap: GapLine

    @property
    def bottom(self) -> float:
        """Underside of the bottom plate [in]."""
        return self.top.elevation - self.frame.height

    def on_grid(self, values: FloatArray, station: float) -> float:
        """A grid quantity at a station; at a joint that over the higher lip [in]."""
        grid = self.slab.at.station
        lips = np.flatnonzero(grid == station)
        if lips.size > 1:
            return float(values[lips[np.argmax(self.slab.mean[lips])]])
        return float(np.interp(station, grid, values))


def cut_studs(layout: Layout, wall: Hung, settings: WallSettings) -> tuple[Stud, ...]:
    """Every stud of the wall with its length and height stack."""
    return tuple(
        _stud(i, spot.station, spot.kind, layout, wall, settings)
        for i, spot in enumerate(layout.studs, start=1)
    )


def _stud(
    number: int,
    station: float,
    kind: StudKind,
    layout: Layout,
    wall: Hung,
    settings: WallSettings,
) -> Stud:
    slab = float(wall.slab.height(station))
    joist = float(height_at(wall.joists, [station])[0])
    plate_top = slab + wall.on_grid(wall.plate.height, station)
    length = wall.frame.stud
    if kind not in FULL_HEIGHT:
        length = _door_stud(kind, _opening_at(layout, station), wall, settings)
    gap = wall.bottom - plate_top - wall.plate.cross_fall
    return Stud(
        mark=f"S{number}",
        kind=kind,
        station=station,
        length=length,
        slab=slab,
        joist=joist,
        plate_top=plate_top,
        bottom=wall.bottom,
        top=wall.top.elevation,
        gap=gap,
        assured_gap=wall.on_grid(wall.gap.assured, station),
        stack=_stack(wall, joist - slab, gap, wall.on_grid(wall.plate.lift, station)),
    )


def _stack(wall: Hung, clear: float, gap: float, lift: float) -> tuple[Part, ...]:
    """Parts from the slab up to the joist; those of no thickness are left out."""
    plate, frame = wall.plate, wall.frame
    parts = [
        ("seal", plate.seal),
        ("plate off the slab", lift),
        ("slab plate", plate.count * plate.thickness),
        ("cross fall", plate.cross_fall),
        ("float gap", gap),
        ("bottom plate", frame.plate_thickness),
        ("stud", frame.stud),
        ("top plate", frame.top),
    ]
    kept = [Part(part=name, thickness=t) for name, t in parts if t != 0.0]
    space = clear - sum(part.thickness for part in kept)
    return (*kept, Part(part="space to joist", thickness=space))


def _opening_at(layout: Layout, station: float) -> Opening:
    """The opening a trimmer or cripple belongs to: the nearest."""
    return min(layout.openings, key=lambda o: abs(station - (o.start + o.end) / 2))


def door_head(opening: Opening, slab: SlabLine, settings: WallSettings) -> float:
    """Elevation of the rough opening's head: its height over the highest finished floor [in]."""
    inside = (slab.at.station >= opening.start) & (slab.at.station <= opening.end)
    edges = slab.height(np.array([opening.start, opening.end]))
    floor = max(float(slab.mean[inside].max(initial=-np.inf)), float(edges.max()))
    covering = max(opening.door.cover, settings.trim.flooring)
    return floor + covering + opening.door.height


def _door_stud(kind: StudKind, opening: Opening, wall: Hung, settings: WallSettings) -> float:
    """Trimmer from bottom plate to the head; cripple from the flat header to the top plate."""
    head = door_head(opening, wall.floor, settings)
    if kind == "trimmer":
        length = head - (wall.bottom + wall.frame.plate_thickness)
    else:
        length = wall.top.elevation - wall.frame.top - head - HEADER_THICKNESS
    return max(float(snap(length, settings.round, "down")), 0.0)


def list_bays(layout: Layout, studs: tuple[Stud, ...], wall: Hung) -> tuple[Bay, ...]:
    """The bays between full studs, openings left out, numbered from the named end."""
    by_station = {stud.station: stud for stud in studs}
    return tuple(
        _bay(i, by_station[a], by_station[b], wall) for i, (a, b) in enumerate(layout.bays, start=1)
    )


def _bay(number: int, left: Stud, right: Stud, wall: Hung) -> Bay:
    grid = wall.slab.at.station
    inside = (grid >= left.station) & (grid <= right.station)
    at, gap = grid[inside], wall.gap.gap[inside]
    slab = wall.slab.mean[inside]
    return Bay(
        bay=number,
        start=left.station,
        end=right.station,
        studs=(left.mark, right.mark),
        stud_length=right.length,
        gap_least=float(gap.min()),
        gap_greatest=float(gap.max()),
        assured_least=float(wall.gap.assured[inside].min()),
        high=float(at[np.argmax(slab)]),
        low=float(at[np.argmin(slab)]),
    )


def tape_first(
    line: LineProfile, layout: Layout, wall: Hung, settings: WallSettings, *, count: int = 3
) -> tuple[TapeSpot, ...]:
    """Spots to tape before cutting: where the gap is least, where it is greatest, and between.

    Only spots where slab and joist were both read, so that the tape checks readings, not
    interpolation.
    """
    both = [
        i
        for i, station in enumerate(line.joist_station)
        if np.abs(line.slab.station - station).min() <= 0.5
        and any(a <= station <= b for a, b in layout.plates)
    ]
    if not both:
        return ()
    stations = line.joist_station[both]
    gaps = np.array([wall.on_grid(wall.gap.gap, s) for s in stations])
    chosen = [int(np.argmin(gaps)), int(np.argmax(gaps))]
    while len(chosen) < min(count, stations.size):
        away = np.abs(stations[:, None] - stations[chosen][None, :]).min(axis=1)
        chosen.append(int(np.argmax(away)))
    picked = sorted(set(chosen), key=lambda i: stations[i])
    return tuple(_tape_spot(line, both[i], wall, settings) for i in picked)


def _tape_spot(line: LineProfile, joist: int, wall: Hung, settings: WallSettings) -> TapeSpot:
    """Parts rounded one by one as they are printed, and the clear height as their sum."""
    station = float(line.joist_station[joist])
    across = settings.line.joists == "across"
    top = height_at(wall.joists, [station])[0] if across else line.joist_elevation[joist]
    clear = float(top) - float(wall.slab.height(station))
    gap = wall.on_grid(wall.gap.gap, station)
    stack = _stack(wall, clear, gap, wall.on_grid(wall.plate.lift, station))
    parts = tuple(
        Part(part=p.part, thickness=float(snap(p.thickness, settings.round, "nearest")))
        for p in stack
    )
    return TapeSpot(
        station=station,
        on=line.surface,
        clear=sum(part.thickness for part in parts),
        sd=float(
            np.hypot(
                np.interp(station, wall.joists.station, wall.joists.sd),
                wall.on_grid(wall.slab.sd, station),
            )
        ),
        parts=tuple(part for part in parts if part.thickness != 0.0),
        stud=wall.frame.stud,
    )
