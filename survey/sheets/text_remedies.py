"""Ways out of a wall that fails, and spots to grind, in words."""

from __future__ import annotations

from collections.abc import Sequence

from survey.lengths import to_unit
from survey.sheets.blocks import Block, Line
from survey.sheets.ruler import Ruler, counted
from survey.slab.grinding import GrindSpot
from survey.wall.remedies import Remedy


def remedy_lines(remedies: Sequence[Remedy], ruler: Ruler) -> list[Block]:
    """Each way out with what it buys and whether it is enough by itself."""
    return [Line(label="WAY OUT", text=_remedy(remedy, ruler)) for remedy in remedies]


def _remedy(remedy: Remedy, ruler: Ruler) -> str:
    amount = ruler.said(remedy.amount)
    does = {
        "grind": f"grind the slab, deepest {amount} at {ruler.length(remedy.at)}",
        "spike": f"have spikes of {amount}",
        "widest": f"ask whether the gap may be as wide as {amount}",
    }[remedy.kind]
    then = (
        f"stud {ruler.length(remedy.stud)}, gap {ruler.length(remedy.gap_least)} to "
        f"{ruler.length(remedy.gap_greatest)}"
    )
    enough = "then it passes" if remedy.passes else "not enough by itself"
    return f"{does}: {then}; {enough}"


def grind_lines(spots: Sequence[GrindSpot], ruler: Ruler) -> list[Block]:
    """Each spot to grind, with its reach, depth, dust and what it buys."""
    return [Line(label="GRIND", text=_spot(spot, ruler), level="doubt") for spot in spots]


def _spot(spot: GrindSpot, ruler: Ruler) -> str:
    return (
        f"{ruler.length(spot.start)} to {ruler.length(spot.end)}, deepest "
        f"{ruler.said(spot.deepest)} at {ruler.length(spot.at)} ({_dust(spot, ruler)}): "
        f"for {spot.buys}"
    )


def _dust(spot: GrindSpot, ruler: Ruler) -> str:
    if ruler.unit == "in":
        return f"{spot.area / 144.0:.1f} sq ft, {spot.volume:.1f} cu in of dust"
    metre = to_unit(1.0, "m")
    litres = spot.volume * (10.0 * metre) ** 3
    return f"{spot.area * metre**2:.2f} m2, {litres:.2f} litres of dust"


def grind_count(spots: int) -> str:
    """How many spots, for the first screen.

    >>> grind_count(0), grind_count(2)
    ('nothing', '2 spots')
    """
    return counted(spots, "spot") if spots else "nothing"
