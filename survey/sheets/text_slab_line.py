"""The slab along a wall line in words: range, fall, joints, highs and lows."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from survey.job import WallLine
from survey.sheets.blocks import Block, Line
from survey.sheets.ruler import Ruler
from survey.slab.extremes import extremes, fall
from survey.slab.slab_line import SlabLine
from survey.wall.wall_plan import LEAST_PROMINENCE


def wall_title(name: str) -> str:
    """Heading of a wall.

    >>> wall_title("North"), wall_title("Wall 3")
    ('Wall North', 'Wall 3')
    """
    return name if name.casefold().startswith("wall") else f"Wall {name}"


def end_name(line: WallLine) -> str:
    """The end stations are measured from, as the job names it."""
    return line.from_ or "its start"


def highest_lines(
    slabs: Sequence[tuple[str, SlabLine]], ruler: Ruler, *, what: str = "slab"
) -> list[Block]:
    """The highest slab against the lowest: a level laid there shows columns that were swapped.

    Parameters
    ----------
    slabs
        Walls by name with the slab along each; nothing is said of none.
    ruler
        Prints the lengths.
    what
        What the slabs are the tops of, in a word.
    """
    if not slabs:
        return []
    top_name, top = max(slabs, key=lambda item: float(item[1].mean.max()))
    low_name, low = min(slabs, key=lambda item: float(item[1].mean.min()))
    above = ruler.length(float(top.mean.max() - low.mean.min()))
    high_at = ruler.length(float(top.at.station[np.argmax(top.mean)]))
    low_at = ruler.length(float(low.at.station[np.argmin(low.mean)]))
    text = (
        f"highest {what}: station {high_at} of {top_name}, {above} above the lowest (station "
        f"{low_at} of {low_name}): lay a level there. If it is not high, down and up may be "
        "swapped"
    )
    return [Line(label="LOOK HERE", text=text)]


def slab_lines(
    slab: SlabLine, end: str, joints: Sequence[float], ruler: Ruler, *, label: str = "SLAB"
) -> list[Block]:
    """What the slab does along a line.

    Parameters
    ----------
    slab
        Mean and sd along the line.
    end
        Name of the end stations are measured from.
    joints
        Stations of the joints [in].
    ruler
        Prints the lengths.
    label
        What the first line is headed with.
    """
    station, mean = slab.at.station, slab.mean
    slope = fall(station, mean)
    run, per = ruler.per_run
    lean = f"{'rises' if slope >= 0 else 'falls'} {ruler.fine(abs(slope) * run)} a {per}"
    at = "".join(f"; joint at {ruler.length(joint)}" for joint in joints)
    text = (
        f"{ruler.length(float(np.ptp(mean)))} from lowest to highest; {lean} going away from "
        f"{end}{at}"
    )
    lines: list[Block] = [Line(label=label, text=text)]
    found = extremes(station, mean, least=LEAST_PROMINENCE)
    for kind, label in (("high", "HIGHS"), ("low", "LOWS")):
        said = ", ".join(
            f"at {ruler.length(e.station)} (by {ruler.length(e.prominence)})"
            for e in found
            if e.kind == kind
        )
        lines.append(Line(label=label, text=said))
    return lines
