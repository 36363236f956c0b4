"""Nails and spikes by length: shank, head, and the bits for slip hole and pilot hole."""

from __future__ import annotations

from dataclasses import dataclass

from survey.lengths import from_unit, snap
from survey.standards import Standard, Status

WIRE = "common wire nails as nail tables print them (second hand)"
LONG = "round wire spikes; measure the ones you buy"


@dataclass(frozen=True, kw_only=True)
class Nail:
    """A nail by its length, with the diameters of shank and head [in].

    `status` is that of length and shank; every head is from memory.
    """

    name: str
    length: float
    shank: float
    head: float
    source: str
    status: Status


NAILS = (
    Nail(name="20d", length=4.0, shank=0.192, head=13 / 32, source=WIRE, status="published"),
    Nail(name="30d", length=4.5, shank=0.207, head=7 / 16, source=WIRE, status="published"),
    Nail(name="40d", length=5.0, shank=0.225, head=15 / 32, source=WIRE, status="published"),
    Nail(name="50d", length=5.5, shank=0.244, head=1 / 2, source=WIRE, status="memory"),
    Nail(name="60d", length=6.0, shank=0.263, head=17 / 32, source=WIRE, status="published"),
    Nail(name="7 in", length=7.0, shank=5 / 16, head=5 / 8, source=LONG, status="memory"),
    Nail(name="8 in", length=8.0, shank=3 / 8, head=3 / 4, source=LONG, status="memory"),
    Nail(name="10 in", length=10.0, shank=3 / 8, head=3 / 4, source=LONG, status="memory"),
)
LEAST_SLIP = Standard(
    value=1 / 16, unit="in over the shank", source="hole a spike slips in", status="practice"
)
MOST_SLIP = Standard(
    value=1 / 8, unit="in over the shank", source="hole a spike slips in", status="practice"
)
UNDER_HEAD = Standard(
    value=1 / 8,
    unit="in under the head",
    source="what keeps a head from going in",
    status="practice",
)
LEAST_PILOT = Standard(
    value=0.75, unit="of the shank", source="pilot hole of a nail, at the least", status="practice"
)
MOST_PILOT = Standard(
    value=0.9, unit="of the shank", source="pilot hole of a nail, at the most", status="practice"
)
INCH_BITS = (1 / 16, 1 / 64)
METRIC_BITS = (from_unit(0.5, "mm"), from_unit(0.1, "mm"))


def nail_for(length: float) -> Nail:
    """The listed nail a spike of that length [in] is taken for: the shortest no shorter than it.

    >>> nail_for(6.0).shank, nail_for(160 / 25.4).name, nail_for(12.0).name
    (0.263, '7 in', '10 in')
    """
    return next((nail for nail in NAILS if nail.length >= length - 1e-6), NAILS[-1])


def bits(round_to: float) -> tuple[float, float]:
    """Steps of drill bits [in], coarse and fine, where lengths are cut to `round_to` [in].

    >>> bits(1 / 16)
    (0.0625, 0.015625)
    """
    on_a_tape = abs(round_to * 64 - round(round_to * 64)) < 1e-9
    return INCH_BITS if on_a_tape else METRIC_BITS


def slip_hole(shank: float, *, step: float = INCH_BITS[0]) -> float:
    """Bit for the hole a spike slips in: shank + 1/16, up to the next bit [in].

    >>> slip_hole(0.263)
    0.375
    """
    return -snap(-(shank + LEAST_SLIP.value), step, "down")


def pilot_hole(shank: float, *, step: float = INCH_BITS[1]) -> float:
    """Bit for the pilot hole: the greatest within .75 to .9 of the shank [in].

    Between the two where no bit is.

    >>> pilot_hole(0.263)
    0.234375
    """
    bit = snap(MOST_PILOT.value * shank, step, "down")
    between = (LEAST_PILOT.value + MOST_PILOT.value) / 2.0 * shank
    return bit if bit >= LEAST_PILOT.value * shank - 1e-9 else between
