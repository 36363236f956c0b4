"""Ways out of a wall that fails, and spots to grind, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from survey.job import SlabFacts
from survey.lengths import to_unit
from survey.sheets.blocks import Block, Line
from survey.sheets.ruler import Ruler, counted, listed
from survey.slab.grinding import GrindReason, GrindSpot
from survey.wall.remedies import Remedy

REASONS: Mapping[GrindReason, str] = MappingProxyType(
    {"float": "the float", "rock": "a plate that rocks", "flat": "flatness"}
)


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
    """Each spot to grind, with why, its reach, depth, dust and what it buys."""
    return [Line(label="GRIND", text=spot_words(spot, ruler), level="doubt") for spot in spots]


def no_grinding(slab: SlabFacts) -> list[Block]:
    """That nothing may be ground, where tendons are known to lie in the slab; else empty."""
    if slab.post_tension != "yes":
        return []
    text = "nothing here: post-tension tendons lie in this slab, and a grinder may reach one"
    return [Line(label="GRIND", text=text, level="stop")]


def spot_words(spot: GrindSpot, ruler: Ruler) -> str:
    """A spot to grind: why, from where to where, how deep, and what the cut buys."""
    return (
        f"for {REASONS[spot.reason]}: {ruler.length(spot.start)} to {ruler.length(spot.end)}, "
        f"deepest {ruler.said(spot.deepest)} at {ruler.length(spot.at)} ({_dust(spot, ruler)}); "
        f"buys {spot.buys}"
    )


def _dust(spot: GrindSpot, ruler: Ruler) -> str:
    if ruler.unit == "in":
        return f"{spot.area / 144.0:.1f} sq ft, {spot.volume:.1f} cu in of dust"
    metre = to_unit(1.0, "m")
    litres = spot.volume * (10.0 * metre) ** 3
    return f"{spot.area * metre**2:.2f} m2, {litres:.2f} litres of dust"


def grind_count(spots: Mapping[str, Sequence[GrindSpot]]) -> str:
    """How many spots by reason, and under which walls, for the first screen.

    `spots` are those of each wall by its name.

    >>> grind_count({"North": ()})
    'nothing'
    """
    total = counted(sum(map(len, spots.values())), "spot")
    said = []
    for reason, words in REASONS.items():
        where = {
            name: n for name, of in spots.items() if (n := sum(s.reason == reason for s in of))
        }
        if where:
            said.append((sum(where.values()), f"for {words} ({listed(list(where))})"))
    if len(said) < 2:
        return f"{total} {said[0][1]}" if said else "nothing"
    return f"{total}: {', '.join(f'{count} {words}' for count, words in said)}"
