"""Spikes, travel, doors, trim and standing up of one wall, in words and as a table."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from survey.lengths import snap
from survey.sheets.blocks import Block, Grid, Line, grid
from survey.sheets.ruler import Ruler, bit_ruler, listed
from survey.wall.clearance import Clearance, Ruling, rulings
from survey.wall.doorways import Doorway
from survey.wall.spikes import Spike
from survey.wall.standing import WallSection
from survey.wall.wall_plan import WallPlan

KG_PER_LB = 0.45359237  # exact, by definition of the pound
SIDES = {"left": "on the left", "right": "on the right"}
STOPPED = {
    "plates": "the plates meet",
    "spikes": "the spike heads come down on the plate",
    "drywall": "the drywall comes down",
    "jamb": "jamb and casing meet the floor",
}


def fit_lines(wall: WallPlan, ruler: Ruler) -> list[Block]:
    """What the wall allows of rise and drop, its spikes, trim and doors, and how it is stood up."""
    return [
        travel_line(wall, ruler),
        *_spike_lines(wall, ruler),
        *_trim_lines(wall, ruler),
        *(_door_line(door, ruler) for door in wall.doors),
        *_standing_lines(wall.sections, ruler),
    ]


def travel_line(wall: WallPlan, ruler: Ruler) -> Line:
    """The least rise and drop anything leaves that would push on the house."""
    ruled = rulings(wall.clearances, wall.settings.travel)
    said = [
        f"least {each.way} {ruler.said(each.left)} ({_part(each.clearance, ruler)}), "
        f"{ruler.said(each.asked)} asked for"
        for each in ruled
    ]
    good = all(each.enough for each in ruled)
    return Line(label="TRAVEL", text="; ".join(said), level="good" if good else "doubt")


def short_travel_lines(walls: Sequence[WallPlan], ruler: Ruler) -> list[Block]:
    """Walls in which something stops the slab before the float asked for; for the first screen."""
    return [
        Line(label="TRAVEL", text=f"{wall.name}: {_short(each, ruler)}", level="doubt")
        for wall in walls
        for each in rulings(wall.clearances, wall.settings.travel)
        if not each.enough
    ]


def travel_grid(wall: WallPlan, ruler: Ruler) -> Grid:
    """The travel table: what each part allows, the one that rules first."""
    rows = [
        [
            part.element,
            ruler.bare(part.at),
            part.kind,
            *(_limit(x, ruler) for x in (part.rise, part.assured, part.drop)),
            part.limit_by,
        ]
        for part in wall.clearances
    ]
    names = ["part", "tightest at", "kind", "rise", "assured", "drop", "limited by"]
    title = f"TRAVEL ({ruler.heading}); what only shows or scrapes is not judged against the float"
    return grid(title, names, rows, words=["part", "kind", "limited by"])


def _limit(x: float | None, ruler: Ruler) -> str:
    return "any" if x is None else ruler.bare(x)


def _part(part: Clearance, ruler: Ruler) -> str:
    return f"{part.element} at {ruler.length(part.at)}"


def _short(ruling: Ruling, ruler: Ruler) -> str:
    part = ruling.clearance
    cure = ": look each season, cut back" if part.element == "jamb" else ""
    return (
        f"{STOPPED.get(part.element, part.limit_by)} after {ruler.said(ruling.left)} of "
        f"{ruling.way} at {ruler.length(part.at)}, {ruler.said(ruling.asked)} is asked for{cure}"
    )


def _spike_lines(wall: WallPlan, ruler: Ruler) -> list[Block]:
    """One line a length: how many and where, how to drill, how far the heads stand out."""
    ordered = sorted(wall.spikes, key=lambda spike: (spike.drive.length, spike.station))
    groups = groupby(ordered, key=lambda spike: spike.drive.length)
    return [
        Line(label="SPIKES", text=_spikes(length, list(alike), ruler)) for length, alike in groups
    ]


def _spikes(length: float, alike: Sequence[Spike], ruler: Ruler) -> str:
    first, fine = alike[0], bit_ruler(ruler)
    # A head is never driven deeper than is said: rounded up, not to the nearest.
    proud = [-snap(-spike.drive.proud, ruler.step, "down") for spike in alike]
    stands = ruler.length(min(proud))
    if ruler.length(max(proud)) != stands:
        stands += f" to {ruler.length(max(proud))}"
    memory = ", from memory: measure it" if first.from_memory else ""
    where = listed([ruler.bare(spike.station) for spike in alike])
    clear = ruler.length(max(spike.clear_above for spike in alike))
    return (
        f"{len(alike)} of {ruler.length(length)} at {where}; slip hole {fine.length(first.hole)}, "
        f"pilot {fine.length(first.pilot)} (shank {fine.length(first.shank)}{memory}); heads "
        f"{stands} proud, no deeper, and {clear} free above the plate"
    )


def _trim_lines(wall: WallPlan, ruler: Ruler) -> list[Block]:
    trim, asked = wall.trim, wall.settings.trim
    level = asked.drywall_bottom == "plate"
    edge = "with the bottom plate" if level else f"{ruler.length(float(asked.drywall_bottom))} over"
    edge += "" if level else " the slab plate"
    cut = ruler.length(trim.cut_least)
    if ruler.length(trim.cut_greatest) != cut:
        cut += f" to {ruler.length(trim.cut_greatest)}"
    filler = (
        f"filler behind the base {ruler.length(asked.drywall)} thick, at most "
        f"{ruler.length(trim.filler_most)} over the slab"
        if trim.filler_most > 0.0
        else "no room for a filler behind the base"
    )
    taken = f"{ruler.length(trim.base_height)} taken" if asked.base_height is not None else ""
    base = f"at least {ruler.length(-snap(-trim.base_needed, ruler.step, 'down'))} high"
    text = f"{base} to hide the gap, lap {ruler.length(asked.lap)} and allow the drop"
    return [
        Line(label="DRYWALL", text=f"stops {edge}, {cut} up to the top plate's top; {filler}"),
        Line(label="BASE", text=f"{text}; {taken}" if taken else text),
    ]


def _door_line(door: Doorway, ruler: Ruler) -> Line:
    gauge = ", as a gauge" if door.gauge else ""
    text = (
        f"at {ruler.length(door.at)}: jamb legs from the rough head {ruler.length(door.leg_left)} "
        f"left (nearer the start), {ruler.length(door.leg_right)} right, "
        f"{ruler.said(door.jamb)} over the finished floor{gauge}; leaf "
        f"{ruler.said(door.leaf)} over the highest floor it passes"
    )
    return Line(label="DOOR", text=text)


def _standing_lines(sections: Sequence[WallSection], ruler: Ruler) -> list[Block]:
    return [
        Line(
            label="STAND UP",
            text=_standing(section, ruler),
            level="plain" if section.goes_up else "stop",
        )
        for section in sections
    ]


def _standing(section: WallSection, ruler: Ruler) -> str:
    kilos = section.weight * KG_PER_LB
    weight = f"{section.weight:.0f} lb" if ruler.unit == "in" else f"{kilos:.0f} kg"
    where = f"{ruler.length(section.start)} to {ruler.length(section.end)}, {weight}"
    tilt = f"tilting takes {ruler.length(section.diagonal)}"
    hits = listed(sorted({hit.obstacle for hit in section.hits})) if section.hits else ""
    if not section.goes_up:
        met = f"; in the way: {hits}" if hits else ""
        return f"{where}: DOES NOT GO UP, by {ruler.said(section.short_by)}; {tilt}{met}"
    room = section.room_plate if section.foot == "slab plate" else section.room_slab
    thickest = snap(section.blocks, ruler.step, "down")
    blocks = f"on blocks up to {ruler.length(thickest)}" if thickest > 0.0 else "on no blocks"
    lay = f"; frame it {SIDES[section.lay[0]]}, clear of {hits}" if hits else ""
    return (
        f"{where}: goes up standing on the {section.foot}, {blocks}; {tilt}, there is "
        f"{ruler.length(room)}{lay}"
    )
