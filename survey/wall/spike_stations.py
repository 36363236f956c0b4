"""Where spikes go along the bottom plate: mid-bay, near ends and doors, clear of what they meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, inf

from survey import standards
from survey.wall.layout import Layout
from survey.wall.plate import SlabPlate

NUDGE = 0.5
CLOSE = 1e-6

# What a row of spikes costs: inches past what the rules allow, spikes in the way of something,
# spikes, inches off the middles of their bays. Compared in that order.
Cost = tuple[float, int, int, float]


@dataclass(frozen=True, kw_only=True)
class Place:
    """A place for a spike [in]: `off` the middle of its bay; whether it may meet an anchor."""

    station: float
    off: float
    clash: bool


@dataclass(frozen=True, kw_only=True)
class SpikeRow:
    """Spikes along one stretch of bottom plate [in].

    `wide` are the spans over which a rule could not be kept: the stretch's end, or the spike
    before, to the spike there or the end behind. A stretch without room for any has no places.
    """

    start: float
    end: float
    places: tuple[Place, ...]
    wide: tuple[tuple[float, float], ...]


@dataclass(frozen=True, kw_only=True)
class _Best:
    """The cheapest row that ends at a place, as far as it is known."""

    cost: Cost
    before: int


def space_spikes(layout: Layout, plate: SlabPlate, *, spacing: float) -> tuple[SpikeRow, ...]:
    """The fewest spikes, mid-bay, no further apart than `spacing` [in], stretch by stretch.

    The first stands within 12 in of each end of its stretch, so on each side of a door. One whose
    middle may meet an anchor or a splice moves within its bay, or to another bay, where it can.

    References
    ----------
    Common practice (`standards.SPIKE_FROM_END` and those after it).
    """
    taken = [
        *((at, standards.SPIKE_OFF_ANCHOR.value) for at in _anchors(plate)),
        *((at, standards.SPIKE_OFF_SPLICE.value) for at in plate.splices),
    ]
    return tuple(
        _row(start, end, _places(start, end, layout, taken, spacing), spacing)
        for start, end in layout.plates
    )


def _anchors(plate: SlabPlate) -> list[float]:
    return [anchor.station for piece in plate.pieces for anchor in piece.anchors]


def _places(
    start: float,
    end: float,
    layout: Layout,
    taken: Sequence[tuple[float, float]],
    spacing: float,
) -> list[Place]:
    """Places in every bay of a stretch; off the middle only where an end asks for it."""
    half = layout.thickness / 2.0
    off = half + standards.SPIKE_OFF_STUD.value
    studs = [s.station for s in layout.studs if s.kind != "cripple" and start < s.station < end]
    parts = [
        (middle, max(left + off, middle - reach), min(right - off, middle + reach))
        for left, right in pairwise([start - half, *studs, end + half])
        for middle, reach in _middles(left, right, spacing)
    ]
    places = [_free(middle, a, b, taken) for middle, a, b in parts if a <= b + CLOSE]
    near = standards.SPIKE_FROM_END.value
    for a, b in ((start, start + near), (end - near, end)):
        near_by = [place for place in places if a - CLOSE <= place.station <= b + CLOSE]
        if all(place.clash for place in near_by):
            within = [(middle, max(low, a), min(high, b)) for middle, low, high in parts]
            places += [_free(middle, c, d, taken) for middle, c, d in within if c <= d + CLOSE]
    return sorted(places, key=lambda place: place.station)


def _middles(left: float, right: float, spacing: float) -> list[tuple[float, float]]:
    """Middles of the equal parts of a bay that are no longer than the spacing; half a part."""
    parts = max(ceil((right - left) / spacing - CLOSE), 1)
    part = (right - left) / parts
    return [(left + (i + 0.5) * part, part / 2.0) for i in range(parts)]


def _free(middle: float, low: float, high: float, taken: Sequence[tuple[float, float]]) -> Place:
    """The place within low and high that meets nothing and is nearest the middle, else nearest."""
    first = min(max(middle, low), high)
    steps = range(int((high - low) / NUDGE) + 1)
    tried = [first, *(first + way * NUDGE * i for i in steps[1:] for way in (1, -1))]
    for station in tried:
        inside = low - CLOSE <= station <= high + CLOSE
        if inside and all(abs(station - at) >= reach - CLOSE for at, reach in taken):
            return Place(station=station, off=abs(station - middle), clash=False)
    return Place(station=first, off=abs(first - middle), clash=True)


def _row(start: float, end: float, places: Sequence[Place], spacing: float) -> SpikeRow:
    """The cheapest row, by dynamic programming from the stretch's start."""
    if not places:
        return SpikeRow(start=start, end=end, places=(), wide=((start, end),))
    near = standards.SPIKE_FROM_END.value
    best: list[_Best] = []
    for i, place in enumerate(places):
        found = _Best(cost=_add((_past(place.station - start, near), 0, 0, 0.0), place), before=-1)
        for j in range(i - 1, -1, -1):
            apart = place.station - places[j].station
            past = _past(apart, spacing)
            step = _Best(cost=_add(best[j].cost, place, past=past), before=j)
            found = min(found, step, key=lambda each: each.cost)
            if past > 0.0 and best[j].cost[0] == 0.0:
                break
        best.append(found)
    chosen = _trace(best, places, end)
    return SpikeRow(start=start, end=end, places=chosen, wide=_wide(start, end, chosen, spacing))


def _past(span: float, most: float) -> float:
    """By how much a span passes what is allowed; nothing within rounding."""
    return span - most if span > most + CLOSE else 0.0


def _add(cost: Cost, place: Place, *, past: float = 0.0) -> Cost:
    return (cost[0] + past, cost[1] + place.clash, cost[2] + 1, cost[3] + place.off)


def _trace(best: Sequence[_Best], places: Sequence[Place], end: float) -> tuple[Place, ...]:
    """The row that ends best, what it lacks at the end counted too."""

    def whole(i: int) -> Cost:
        past = _past(end - places[i].station, standards.SPIKE_FROM_END.value)
        return (best[i].cost[0] + past, *best[i].cost[1:])

    at = min(range(len(places)), key=whole)
    chosen: list[Place] = []
    while at >= 0:
        chosen.append(places[at])
        at = best[at].before
    return tuple(reversed(chosen))


def _wide(
    start: float, end: float, chosen: Sequence[Place], spacing: float
) -> tuple[tuple[float, float], ...]:
    """Spans longer than the rules allow."""
    near = standards.SPIKE_FROM_END.value
    stations = [-inf, *(place.station for place in chosen), inf]
    spans = [(max(a, start), min(b, end)) for a, b in pairwise(stations)]
    allowed = [near, *([spacing] * (len(chosen) - 1)), near]
    return tuple(
        span for span, most in zip(spans, allowed, strict=True) if span[1] - span[0] > most + CLOSE
    )
