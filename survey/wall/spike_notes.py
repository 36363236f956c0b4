"""What to know of the spikes of a wall before they are bought and driven."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from survey import standards
from survey.errors import Note
from survey.job import WallSettings
from survey.lengths import snap
from survey.nails import (
    LEAST_PILOT,
    LEAST_SLIP,
    MOST_PILOT,
    MOST_SLIP,
    UNDER_HEAD,
    bits,
    nail_for,
)
from survey.wall.spikes import Spike, Spiking, as_bit, boards_under
from survey.wall.studs import Hung

CLOSE = 1e-6


def spike_notes(made: Spiking, wall: Hung, settings: WallSettings) -> tuple[Note, ...]:
    """Spikes that are too short, rows with too few, clashes, holes that do not suit, side load."""
    kinds = {spike.drive.length: spike for spike in made.spikes}
    notes = [
        *_too_short(made.spikes, settings),
        *_thin_plate(wall, settings),
        *_gaps_in_rows(made, settings),
        *_clashes(made.spikes),
        *(note for spike in kinds.values() for note in _holes(spike, settings)),
        *_side_load(made.spikes, settings),
    ]
    return tuple(replace(note, wall=settings.line.name) for note in notes)


def _too_short(spikes: Sequence[Spike], settings: WallSettings) -> Iterator[Note]:
    """Where even the longest spike leaves less than the drop: what it leaves at the worst place."""
    short = [s for s in spikes if not s.drive.fits and s.drop < settings.travel.drop - CLOSE]
    if not short:
        return
    worst = min(short, key=lambda spike: spike.drop)
    where = ", ".join(["{}"] * len(short))
    yield Note(
        code="spike-too-short",
        level="stop",
        station=worst.station,
        text="the longest spike, {}, driven home through a gap of {} leaves {} of drop where {} is "
        f"asked for: have longer ones at {where}",
        lengths=(
            *(worst.drive.length, worst.gap, worst.drop, settings.travel.drop),
            *(spike.station for spike in short),
        ),
    )


def _thin_plate(wall: Hung, settings: WallSettings) -> Iterator[Note]:
    thick = boards_under(wall, settings)
    if settings.spikes.grip > thick + CLOSE:
        yield Note(
            code="plate-too-thin-to-grip",
            level="stop",
            text="a spike cannot grip {} in a slab plate {} thick without meeting the concrete",
            lengths=(settings.spikes.grip, thick),
        )


def _gaps_in_rows(made: Spiking, settings: WallSettings) -> Iterator[Note]:
    for row in made.rows:
        if not row.places:
            yield Note(
                code="no-room-for-a-spike",
                level="doubt",
                station=row.start,
                text="from {} to {} the studs leave no room for a spike: fix the plate sideways "
                "some other way that lets it slide",
                lengths=(row.start, row.end),
            )
            continue
        for start, end in row.wide:
            yield Note(
                code="spikes-far-apart",
                level="doubt",
                station=start,
                text="from {} to {} there is no room for a spike: {} apart and {} from ends and "
                "doors is asked for",
                lengths=(start, end, settings.spikes.spacing, standards.SPIKE_FROM_END.value),
            )


def _clashes(spikes: Sequence[Spike]) -> Iterator[Note]:
    met = [spike.station for spike in spikes if spike.clash]
    if met:
        where = ", ".join(["{}"] * len(met))
        yield Note(
            code="spike-meets-anchor",
            level="doubt",
            station=met[0],
            text=f"spikes at {where} come near an anchor or a splice: look before you drive them",
            lengths=tuple(met),
        )


def _holes(spike: Spike, settings: WallSettings) -> Iterator[Note]:
    """Holes and pilots that do not suit a shank, and heads that would go in."""
    shank = spike.shank
    said = as_bit(shank, settings)
    least, most = shank + LEAST_SLIP.value, shank + MOST_SLIP.value
    if not least - CLOSE <= spike.hole <= most + CLOSE:
        yield Note(
            code="hole-does-not-suit",
            level="doubt",
            text=f"a slip hole of {as_bit(spike.hole, settings)} for a shank of {said}: "
            f"{as_bit(least, settings)} to {as_bit(most, settings)} lets it slide without play",
        )
    least, most = shank * LEAST_PILOT.value, shank * MOST_PILOT.value
    if not least - CLOSE <= spike.pilot <= most + CLOSE:
        yield Note(
            code="pilot-does-not-suit",
            level="doubt",
            text=f"a pilot hole of {as_bit(spike.pilot, settings)} for a shank of {said}: "
            f"{as_bit(least, settings)} to {as_bit(most, settings)} holds without splitting",
        )
    nail = nail_for(spike.drive.length)
    if settings.spikes.shank is None and spike.hole > nail.head - UNDER_HEAD.value + CLOSE:
        yield Note(
            code="head-needs-a-washer",
            text=f"the head of a spike of {{}}, {as_bit(nail.head, settings)} across from memory, "
            "is little wider than its hole: put a washer under it",
            lengths=(spike.drive.length,),
        )


def _side_load(spikes: Sequence[Spike], settings: WallSettings) -> Iterator[Note]:
    """Spikes that lean on more than their share; how close or how thick they would have to be."""
    allowed = standards.SIDE_LOAD_SHARE.value
    leaning = [spike for spike in spikes if spike.share > allowed + CLOSE]
    if not leaning:
        return
    worst = max(leaning, key=lambda spike: spike.share)
    ratio = worst.share / allowed
    # Rounded to the safe side: no thinner, no further apart.
    thinnest = snap(-worst.shank * ratio ** (1.0 / 3.0), bits(settings.round)[1], "down")
    apart = snap(settings.spikes.spacing / ratio, settings.round, "down")
    memory = "side load" if settings.spikes.fyb is not None else "side load and bending strength"
    yield Note(
        code="spikes-bend",
        level="doubt",
        station=worst.station,
        text=f"pushed sideways, a spike of {{}} is at {100.0 * worst.share:.0f} % of the bending "
        f"that yields it, over {100.0 * allowed:.0f} %: set spikes every {{}} or take them "
        f"{as_bit(-thinnest, settings)} thick; an engineer decides ({memory} from memory)",
        lengths=(worst.drive.length, apart),
    )
