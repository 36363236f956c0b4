"""Standing a framed wall up: weight, the room it needs to tilt, what it would hit on the way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot, sqrt
from typing import Literal

import numpy as np

from survey.errors import Note
from survey.job import Obstacle, Point, WallLine, WallSettings
from survey.wall.joists import height_at
from survey.wall.lines import BareWall
from survey.wall.sections import cut_sections
from survey.wall.studs import Hung, Stud
from survey.wall.weights import board_weight

Foot = Literal["slab plate", "slab"]
Side = Literal["left", "right"]
SIDES: tuple[Side, ...] = ("left", "right")
CLOSE = 1e-9


@dataclass(frozen=True, kw_only=True)
class Near:
    """An obstacle beside a wall line: where it is seen from there [in].

    `station` along the line and `distance` square to it; `sides` it is on, looking from the named
    end, both where it hangs over the line. `underside` is over the slab.
    """

    name: str
    station: float
    distance: float
    sides: tuple[Side, ...]
    underside: float


@dataclass(frozen=True, kw_only=True)
class Hit:
    """An obstacle that a section meets when it is laid down on that side [in]: by how much."""

    obstacle: str
    side: Side
    distance: float
    reach: float

    @property
    def short_by(self) -> float:
        """How much further off it would have to be [in]."""
        return self.reach - self.distance


@dataclass(frozen=True, kw_only=True)
class WallSection:
    """A section of framed wall, stood up in one piece [in, lb].

    `diagonal` is what it needs to tilt, `extra` that less its own height. `room_slab` and
    `room_plate` are the least heights from slab and from slab plate to the joists; `blocks` how
    thick blocks on the slab plate may be at most (0: none). `foot` is what it is best stood up on,
    `lay` on which side it is framed; `goes_up` tells whether it does, `short_by` by how much not.
    """

    start: float
    end: float
    weight: float
    height: float
    diagonal: float
    room_slab: float
    room_plate: float
    foot: Foot
    lay: tuple[Side, ...]
    short_by: float
    hits: tuple[Hit, ...]

    @property
    def extra(self) -> float:
        """What tilting needs over the height of the frame, about t^2 / (2 F) [in]."""
        return self.diagonal - self.height

    @property
    def blocks(self) -> float:
        """Thickest blocks on the slab plate on which the section still tilts up [in]."""
        return max(self.room_plate - self.diagonal, 0.0)

    @property
    def goes_up(self) -> bool:
        """Whether the section can be stood up."""
        return self.short_by <= CLOSE


def tilt_diagonal(height: float, depth: float) -> float:
    """Height a frame needs while it tilts: the diagonal of its end [in].

    References
    ----------
    Pythagoras: sqrt(F^2 + t^2), which is about F + t^2 / (2 F).

    >>> round(tilt_diagonal(95.625, 3.5) - 95.625, 3)
    0.064
    """
    return hypot(height, depth)


def swing_reach(diagonal: float, underside: float) -> float:
    """Distance from the foot within which something `underside` above the foot is hit [in].

    References
    ----------
    Pythagoras: sqrt(F^2 + t^2 - h^2); nothing higher than the diagonal is hit.

    >>> swing_reach(100.0, 60.0), swing_reach(100.0, 100.0)
    (80.0, 0.0)
    """
    return sqrt(max(diagonal**2 - underside**2, 0.0))


def stand_up(
    bare: BareWall, wall: Hung, studs: Sequence[Stud], settings: WallSettings
) -> tuple[WallSection, ...]:
    """The sections a wall is framed in, each with what it takes to stand it up.

    Sections meet at studs of the regular spacing, so over no door; two studs nailed together stand
    there. A wall built in place has none.
    """
    if settings.frame.build == "in place":
        return ()
    joints = [stud.station for stud in studs if stud.kind == "stud"]
    near = beside(settings.line, settings.obstacles)
    return tuple(
        _section(start, end, bare, wall, studs, near, settings)
        for start, end in cut_sections(bare.line.length, joints, longest=settings.frame.section)
    )


def beside(line: WallLine, obstacles: Sequence[Obstacle]) -> tuple[Near, ...]:
    """Obstacles as seen from a wall line; none where the line is not on the plan."""
    if line.start is None or line.end is None:
        return ()
    return tuple(_near(line.start, line.end, obstacle) for obstacle in obstacles)


def _near(start: Point, end: Point, obstacle: Obstacle) -> Near:
    along = np.subtract(end, start) / np.hypot(*np.subtract(end, start))
    away = np.subtract(obstacle.at, start)
    across = float(along[0] * away[1] - along[1] * away[0])
    over = abs(across) <= 1e-6
    return Near(
        name=obstacle.name,
        station=float(along @ away),
        distance=abs(across),
        sides=SIDES if over else ("left",) if across > 0.0 else ("right",),
        underside=obstacle.underside,
    )


def _section(
    start: float,
    end: float,
    bare: BareWall,
    wall: Hung,
    studs: Sequence[Stud],
    near: Sequence[Near],
    settings: WallSettings,
) -> WallSection:
    room_slab, room_plate = _room(start, end, bare, wall)
    made = WallSection(
        start=start,
        end=end,
        weight=_weight(start, end, bare, wall, studs, settings),
        height=wall.frame.height,
        diagonal=tilt_diagonal(wall.frame.height, settings.stud.width),
        room_slab=room_slab,
        room_plate=room_plate,
        foot="slab plate",
        lay=(),
        short_by=0.0,
        hits=(),
    )
    beside_it = [each for each in near if start - CLOSE <= each.station <= end + CLOSE]
    on_plate = _tried(made, "slab plate", beside_it)
    return (
        on_plate
        if on_plate.goes_up
        else min((on_plate, _tried(made, "slab", beside_it)), key=lambda way: way.short_by)
    )


def _tried(made: WallSection, foot: Foot, near: Sequence[Near]) -> WallSection:
    """The section stood up on that foot, framed on the side or sides that serve best."""
    room = made.room_plate if foot == "slab plate" else made.room_slab
    raised = made.room_slab - made.room_plate if foot == "slab plate" else 0.0
    hits = [
        Hit(obstacle=each.name, side=side, distance=each.distance, reach=reach)
        for each in near
        for side in each.sides
        if (reach := swing_reach(made.diagonal, each.underside - raised)) > each.distance + CLOSE
    ]
    short = {
        side: max([made.diagonal - room, *(hit.short_by for hit in hits if hit.side == side)])
        for side in SIDES
    }
    least = min(short.values())
    lay = tuple(side for side in SIDES if short[side] <= CLOSE)
    return replace(made, foot=foot, lay=lay, short_by=max(least, 0.0), hits=tuple(hits))


def _room(start: float, end: float, bare: BareWall, wall: Hung) -> tuple[float, float]:
    """Least height from slab, and from slab plate, to the joists over a section [in].

    Which joist is lowest is not known for sure, so the planned top lies a little under all of
    them: the joists are taken lower by as much.
    """
    station, joists = bare.slab.at.station, bare.joists
    inside = (station >= start - CLOSE) & (station <= end + CLOSE)
    over = (joists.station >= start - CLOSE) & (joists.station <= end + CLOSE)
    ceiling = min(
        float(joists.elevation[over].min(initial=np.inf)),
        float(height_at(joists, [start, end]).min()),
    )
    ceiling -= float(joists.elevation.min()) - wall.top.elevation
    plated = inside & bare.clear.plate
    plate_top = bare.slab.mean + wall.plate.height + wall.plate.cross_fall
    slab = float(bare.floor.mean[inside].max())
    return ceiling - slab, ceiling - float(plate_top[plated].max(initial=slab))


def _weight(
    start: float,
    end: float,
    bare: BareWall,
    wall: Hung,
    studs: Sequence[Stud],
    settings: WallSettings,
) -> float:
    """Lumber of a section [lb]: its studs, plates and flat door headers, before any drywall."""
    lengths = [stud.length for stud in studs if start - CLOSE <= stud.station <= end + CLOSE]
    headers = [
        opening.end - opening.start
        for opening in bare.layout.openings
        if start - CLOSE <= opening.start and opening.end <= end + CLOSE
    ]
    plates = (wall.frame.top_plates + 1) * (end - start)
    return board_weight(settings.stud) * (sum(lengths) + plates + sum(headers))


def standing_notes(sections: Sequence[WallSection], settings: WallSettings) -> tuple[Note, ...]:
    """Sections that do not go up or are too long, and obstacles that could not be placed."""
    line = settings.line
    notes = [note for section in sections for note in _section_notes(section, settings)]
    if sections and settings.obstacles and (line.start is None or line.end is None):
        notes.append(
            Note(
                code="swing-not-checked",
                level="doubt",
                text="whether it hits anything while it is stood up is not checked: the wall has "
                "no start and end on the plan",
            )
        )
    return tuple(replace(note, wall=line.name) for note in notes)


def _section_notes(section: WallSection, settings: WallSettings) -> list[Note]:
    notes = []
    if not section.goes_up:
        names = sorted({hit.obstacle for hit in section.hits})
        met = f" (in the way: {', '.join(names)})" if names else ""
        notes.append(
            Note(
                code="does-not-go-up",
                level="doubt",
                station=section.start,
                text=f"the section from {{}} to {{}} does not tilt up{met}, by {{}}: build it in "
                "place or in pieces",
                lengths=(section.start, section.end, section.short_by),
            )
        )
    if section.end - section.start > settings.frame.section + 1e-6:
        notes.append(
            Note(
                code="section-too-long",
                level="doubt",
                station=section.start,
                text="the section from {} to {} is longer than the {} asked for: no stud to part "
                "it at, clear of doors",
                lengths=(section.start, section.end, settings.frame.section),
            )
        )
    return notes
