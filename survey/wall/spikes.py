"""Spikes: where each goes, which length, how it is drilled for, how far its head stands proud."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from survey import standards
from survey.errors import SurveyError
from survey.job import Spikes, WallSettings
from survey.lengths import show
from survey.nails import INCH_BITS, bits, nail_for, pilot_hole, slip_hole
from survey.wall.layout import Layout
from survey.wall.spike_stations import SpikeRow, space_spikes
from survey.wall.studs import Hung

CLOSE = 1e-9


@dataclass(frozen=True, kw_only=True)
class Drive:
    """How a spike is driven [in]: its length, what stands `proud` of the bottom plate, what holds.

    `embed` is how deep it sits in the slab plate, never more than that is thick. `fits` tells
    whether it grips at the greatest gap and still leaves the drop.
    """

    length: float
    proud: float
    embed: float
    fits: bool


@dataclass(frozen=True, kw_only=True)
class Spike:
    """One spike [in]: its station, the gap there and at the widest, its drive and its holes.

    `from_memory` says that its shank is, `clash` that it may meet an anchor or a splice. `share`
    is what the side load bends it by, over what yields it.
    """

    station: float
    gap: float
    greatest: float
    drive: Drive
    shank: float
    from_memory: bool
    hole: float
    pilot: float
    clear_above: float
    share: float
    clash: bool

    @property
    def drop(self) -> float:
        """How far the slab may drop before the head comes down on the bottom plate [in]."""
        return self.drive.proud


@dataclass(frozen=True, kw_only=True)
class Spiking:
    """All spikes of a wall by station, and the rows they stand in."""

    spikes: tuple[Spike, ...]
    rows: tuple[SpikeRow, ...]


def drive_spike(
    gap: float, greatest: float, spikes: Spikes, *, bottom: float, slab: float, drop: float
) -> Drive:
    """The shortest spike in stock that grips at the greatest gap and leaves the drop.

    Where none does, the longest, driven as deep as the slab plate is thick.

    Parameters
    ----------
    gap, greatest
        Float gap there as it is expected, and surely not passed [in].
    spikes
        Lengths in stock and the grip asked for.
    bottom, slab, drop
        Thickness of the bottom plate and of the slab plates together; drop asked for [in].

    References
    ----------
    Arithmetic: length = proud + bottom plate + gap + what is in the slab plate.

    >>> drive_spike(1.5, 1.5, Spikes(grip=1.5), bottom=1.5, slab=1.5, drop=1.5)
    Drive(length=6.0, proud=1.5, embed=1.5, fits=True)
    """
    reach = bottom + greatest + spikes.grip + drop
    enough = [length for length in sorted(spikes.lengths) if length >= reach - CLOSE]
    length = enough[0] if enough else max(spikes.lengths)
    through = length - bottom - gap
    proud = max(drop if enough else 0.0, through - slab)
    embed = max(through - proud, 0.0)
    fits = bool(enough) and embed >= spikes.grip - CLOSE
    return Drive(length=length, proud=proud, embed=embed, fits=fits)


def side_load_share(
    gap: float, shank: float, *, bottom: float, height: float, spacing: float, fyb: float
) -> float:
    """Bending of a spike by the side load on half the wall's height, over what yields it.

    Parameters
    ----------
    gap, shank
        Float gap and diameter of the shank [in].
    bottom, height, spacing
        Thickness of the bottom plate, height of the frame, distance of the spikes [in].
    fyb
        Bending yield strength [psi].

    References
    ----------
    A cantilever from the slab plate to the middle of the bottom plate; plastic moment of a round
    bar fyb d^3 / 6 (any strength-of-materials text). Load and usual fyb are from memory
    (`standards.SIDE_LOAD`, `standards.SPIKE_BENDING`).

    >>> round(side_load_share(1.5, 0.375, bottom=1.5, height=96.0, spacing=36.0, fyb=70e3), 3)
    0.219
    """
    load = standards.SIDE_LOAD.value / 144.0 * height / 2.0 * spacing
    return load * (max(gap, 0.0) + bottom / 2.0) / (fyb * shank**3 / 6.0)


def plan_spikes(layout: Layout, wall: Hung, settings: WallSettings) -> Spiking:
    """Every spike of a hung wall.

    Parameters
    ----------
    layout, wall
        Studs, doors and plates; the wall as it hangs.
    settings
        The wall's settings.

    Raises
    ------
    SurveyError
        If a hole the job gives binds on the shank of a spike that is used.
    """
    rows = space_spikes(layout, wall.plate, spacing=settings.spikes.spacing)
    spikes = [
        _spike(place.station, wall, settings, clash=place.clash)
        for row in rows
        for place in row.places
    ]
    _check_holes(spikes, settings)
    return Spiking(spikes=tuple(spikes), rows=rows)


def _spike(station: float, wall: Hung, settings: WallSettings, *, clash: bool) -> Spike:
    asked, travel = settings.spikes, settings.travel
    gap = wall.on_grid(wall.gap.gap, station)
    greatest = wall.on_grid(wall.gap.widest, station)
    bottom = wall.frame.plate_thickness
    drive = drive_spike(
        gap,
        greatest,
        asked,
        bottom=bottom,
        slab=boards_under(wall, settings),
        drop=travel.drop,
    )
    nail = nail_for(drive.length)
    shank = nail.shank if asked.shank is None else asked.shank
    coarse, fine = bits(settings.round)
    return Spike(
        station=station,
        gap=gap,
        greatest=greatest,
        drive=drive,
        shank=shank,
        from_memory=asked.shank is None and nail.status == "memory",
        hole=slip_hole(shank, step=coarse) if asked.hole is None else asked.hole,
        pilot=pilot_hole(shank, step=fine) if asked.pilot is None else asked.pilot,
        clear_above=drive.proud + travel.rise,
        share=side_load_share(
            gap,
            shank,
            bottom=bottom,
            height=wall.frame.height,
            spacing=asked.spacing,
            fyb=standards.SPIKE_BENDING.value if asked.fyb is None else asked.fyb,
        ),
        clash=clash,
    )


def boards_under(wall: Hung, settings: WallSettings) -> float:
    """Thickness of the slab plates a spike may sit in, without their seal [in].

    Those of a plate that was read itself are as the job has them, one where it says "auto".
    """
    if wall.plate.count > 0:
        return wall.plate.count * wall.plate.thickness
    count = 1 if settings.plate.count == "auto" else settings.plate.count
    return count * settings.slab_board.thickness


def _check_holes(spikes: Sequence[Spike], settings: WallSettings) -> None:
    """Refuse a hole that binds, with the bit to take instead."""
    binding = [spike for spike in spikes if spike.hole <= spike.shank + CLOSE]
    if binding:
        worst = max(binding, key=lambda spike: spike.shank)
        bit = slip_hole(worst.shank, step=bits(settings.round)[0])
        raise SurveyError(
            f'wall "{settings.line.name}": [spikes] hole {as_bit(worst.hole, settings)} binds on '
            f"the {as_bit(worst.shank, settings)} shank of a spike of "
            f"{as_bit(worst.drive.length, settings)}; drill {as_bit(bit, settings)}"
        )


def as_bit(x: float, settings: WallSettings) -> str:
    """A diameter as bits are sold where the job's lengths are cut, whatever unit is shown."""
    inches = bits(settings.round) == INCH_BITS
    return show(x, "in" if inches else "mm", denominator=64, decimals=1)
