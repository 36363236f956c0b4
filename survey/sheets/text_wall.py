"""One planned wall as a carpenter reads it: verdict, heights, bays, sums to tape, packing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import numpy as np

from survey.field.levelling import Adjustment, Surface
from survey.job import Job
from survey.sheets.blocks import Block, Heading, Line
from survey.sheets.given import float_assumed
from survey.sheets.ruler import Ruler, close_sum, counted, percent
from survey.sheets.text_notes import note_lines
from survey.sheets.text_remedies import grind_lines, remedy_lines
from survey.sheets.text_slab_line import end_name, slab_lines, wall_title
from survey.sheets.text_wall_grids import wall_grids
from survey.wall.layout import FULL_HEIGHT
from survey.wall.planning import HousePlan
from survey.wall.studs import Stud, TapeSpot
from survey.wall.wall_plan import WallPlan

TAPE_SDS = 3.0
KG_PER_LB = 0.45359237  # exact, by definition of the pound
METRES_PER_FOOT = 0.3048
PLATES = {1: "one", 2: "two"}


def wall_blocks(
    wall: WallPlan, house: HousePlan, ruler: Ruler, *, detail: bool = False
) -> list[Block]:
    """Everything about one wall.

    Parameters
    ----------
    wall
        The wall's plan.
    house
        The plan it belongs to: its settings and its survey's marks.
    ruler
        Prints the lengths.
    detail
        Whether to list every stud and every way of framing that was tried.
    """
    blocks: list[Block] = [
        Heading(text=wall_title(wall.name)),
        *_place(wall, ruler),
        *_float_lines(wall, house.job, ruler),
        *_verdict_lines(wall, ruler),
        *_frame_lines(wall, ruler),
        _top_line(wall, house.profile.heights, ruler),
        *tape_lines(wall, ruler),
        *_packing_lines(wall, ruler),
        *slab_lines(wall.slab, end_name(wall.settings.line), wall.joints, ruler),
        *grind_lines(wall.grind, ruler),
        _weight_line(wall, ruler),
        *note_lines(wall.notes, ruler),
        *wall_grids(wall, ruler, detail=detail),
    ]
    return blocks


def cut_counts(studs: Iterable[Stud], *, full: bool) -> Counter[float]:
    """How many studs of each length: those from plate to plate, or those at doors."""
    return Counter(stud.length for stud in studs if (stud.kind in FULL_HEIGHT) == full)


def door_words(studs: Iterable[Stud], ruler: Ruler) -> str:
    """Trimmers and cripples by length, as the saw list says them; empty when there are none."""
    counts = Counter((s.kind, s.length) for s in studs if s.kind not in FULL_HEIGHT)
    ordered = sorted(counts.items(), key=lambda item: (item[0][0], item[0][1]), reverse=True)
    return ", ".join(f"{counted(n, kind)} at {ruler.length(x)}" for (kind, x), n in ordered)


def _place(wall: WallPlan, ruler: Ruler) -> list[Block]:
    line = wall.settings.line
    face = f"; {line.face} face" if line.face else ""
    assumed = "; JOISTS ASSUMED" if wall.joists.assumed else ""
    text = f"{ruler.long(wall.length)} long, stations from {end_name(line)}{face}{assumed}"
    return [Line(label="PLACE", text=text)]


def _float_lines(wall: WallPlan, job: Job, ruler: Ruler) -> list[Block]:
    travel = wall.settings.travel
    missing = float_assumed(job, wall.name)
    asked = f"rise {ruler.length(travel.rise)}, drop {ruler.length(travel.drop)}"
    if not missing:
        return [Line(label="FLOAT", text=f"asked for: {asked}")]
    word = "FLOAT" if len(missing) == 2 else missing[0].upper()
    text = f"{word} ASSUMED: ASK what is required here. Taken: {asked}"
    return [Line(label="FLOAT", text=text, level="doubt")]


def _verdict_lines(wall: WallPlan, ruler: Ruler) -> list[Block]:
    gap, travel, verdict = wall.gap, wall.settings.travel, wall.verdict
    if verdict.passes:
        head = Line(label="PASSES", text=f"can be built as asked: {verdict.why}", level="good")
    else:
        head = Line(label="FAILS", text=fail_words(wall, ruler), level="stop")
    need = (
        f"at least {ruler.length(gap.required)} wanted everywhere (rise {ruler.length(travel.rise)}"
        f" + allowance {ruler.length(travel.allowance)}), {_most_words(wall, ruler)}"
    )
    have = (
        f"least {ruler.length(gap.least)} at {ruler.length(gap.least_at)}, assured "
        f"{ruler.length(gap.assured_least)}; greatest {ruler.length(gap.greatest)} at "
        f"{ruler.length(gap.greatest_at)}, surely under {ruler.length(gap.assured_greatest)}"
    )
    sure = (
        f"the chance that the gap falls short somewhere is {percent(verdict.probability)} "
        f"(k = {wall.k:.2f}: that many standard deviations hold at all stations at once in "
        f"{100.0 * travel.confidence:.0f} % of cases)"
    )
    return [
        head,
        *remedy_lines(verdict.remedies, ruler),
        Line(label="GAP ASKED", text=need),
        Line(label="GAP BUILT", text=have),
        Line(label="HOW SURE", text=sure),
    ]


def fail_words(wall: WallPlan, ruler: Ruler) -> str:
    """Why a wall cannot be built as asked, and by how much it misses."""
    by = f", by {ruler.said(wall.verdict.short_by)}" if wall.verdict.short_by > 0 else ""
    places = [ruler.length(station) for station in wall.verdict.at]
    where = f" (least gap at {places[0]}, greatest at {places[1]})" if len(places) == 2 else ""
    return f"CANNOT BE BUILT AS ASKED: {wall.verdict.why}{by}{where}"


def _most_words(wall: WallPlan, ruler: Ruler) -> str:
    limits = wall.limits
    spike = f"the longest spike, {ruler.length(max(wall.settings.spikes.lengths))},"
    reach = (
        f"{spike} holds over {ruler.length(limits.span)} and still leaves the drop"
        if limits.span > 0
        else f"{spike} is too short for the drop at any gap"
    )
    widest = f"at most {ruler.length(limits.widest)}; " if np.isfinite(limits.widest) else ""
    return f"{widest}{reach}"


def _frame_lines(wall: WallPlan, ruler: Ruler) -> list[Block]:
    counts = cut_counts(wall.studs, full=True)
    uncut = ", sold at that length: leave uncut" if wall.precut else ""
    studs = ", ".join(f"{n} at {ruler.length(x)}{uncut}" for x, n in counts.items())
    doors = door_words(wall.studs, ruler)
    settings = wall.settings
    seal = f", on a seal of {ruler.length(wall.plate.seal)}" if wall.plate.seal > 0 else ""
    plates = (
        f"{settings.stud.name} frame: {PLATES[wall.frame.top_plates]} on top, one at the bottom, "
        f"{ruler.length(wall.frame.plate_thickness)} each; on the slab "
        f"{PLATES[wall.plate.count]} {settings.slab_board.name}, "
        f"{ruler.length(wall.plate.thickness)} thick{seal}"
    )
    every = f"{ruler.length(settings.frame.spacing)} on centre"
    fits = wall.verdict.passes
    text = f"{studs}; {every}" if fits else f"none to cut yet; {studs} would come nearest"
    lines: list[Block] = [Line(label="STUDS", text=text)]
    if doors:
        lines.append(Line(label="AT DOORS", text=doors))
    return [*lines, Line(label="PLATES", text=plates)]


def _top_line(wall: WallPlan, heights: Adjustment, ruler: Ruler) -> Line:
    """Height of the level top plate, from the lowest joist and from a mark where one was read."""
    joists = wall.joists
    lowest = float(joists.station[np.argmin(joists.elevation)])
    text = (
        f"level, pushed up against the lowest joist, the one at {ruler.length(lowest)}"
        f"{_over_mark(wall, heights, ruler)}"
    )
    return Line(label="TOP PLATE", text=text)


def _over_mark(wall: WallPlan, heights: Adjustment, ruler: Ruler) -> str:
    spots, names = heights.spots, heights.book.names
    for spot in np.flatnonzero(spots.surface == Surface.MARK):
        name = names[spots.name[spot]].name
        if name in heights.datum.marks:
            above = wall.top.elevation - float(spots.elevation[spot])
            side = "above" if above >= 0 else "below"
            return f"; its upper face is {ruler.length(abs(above))} {side} mark {name}"
    return ""


def tape_lines(wall: WallPlan, ruler: Ruler) -> list[Block]:
    """The height stack as a sum at each spot to tape before anything is cut."""
    if not wall.tape_first:
        text = "no spot was read on both slab and joist: tape slab to joist yourself at three"
        return [Line(label="TAPE FIRST", text=text, level="doubt")]
    return [
        Line(label="TAPE FIRST", text="from the slab up, before anything is cut:"),
        *(_tape_line(spot, ruler) for spot in wall.tape_first),
    ]


def _tape_line(spot: TapeSpot, ruler: Ruler) -> Line:
    *parts, (_, total) = close_sum(spot.parts, ruler)
    terms = " + ".join(f"{name} {length}" for name, length in parts)
    off = ruler.length(max(TAPE_SDS * spot.sd, ruler.step))
    text = f"{total} = {terms}. Stop if the tape differs by more than {off}"
    return Line(label=f"  at {ruler.bare(spot.station)}", text=text)


def _packing_lines(wall: WallPlan, ruler: Ruler) -> list[Block]:
    drawn = ruler.said(wall.top.drawn_up)
    if wall.top.shim_free:
        text = f"none: screws draw the top plate up to every joist (no space over {drawn})"
        return [Line(label="PACKING", text=text, level="good")]
    pieces = ", ".join(
        f"{ruler.length(p.thickness)} at {ruler.length(p.station)}" for p in wall.top.packing
    )
    text = f"{counted(len(wall.top.packing), 'piece')} over the top plate: {pieces}"
    return [Line(label="PACKING", text=text)]


def _weight_line(wall: WallPlan, ruler: Ruler) -> Line:
    weight = wall.hung_weight
    if ruler.unit == "in":
        said = f"{weight.per_foot:.0f} lb a foot hangs from the joists, {weight.per_joist:.0f} lb"
    else:
        per_metre = weight.per_foot * KG_PER_LB / METRES_PER_FOOT
        said = f"{per_metre:.0f} kg a metre hangs from the joists, "
        said += f"{weight.per_joist * KG_PER_LB:.0f} kg"
    text = f"about {said} from each (studs, plates, drywall on both faces; its weight from memory)"
    return Line(label="WEIGHT", text=text)
