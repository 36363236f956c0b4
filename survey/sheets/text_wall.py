"""One planned wall as a carpenter reads it: verdict, heights, bays, sums to tape, packing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import numpy as np

from survey.job import Job
from survey.sheets.blocks import Block, Heading, Line
from survey.sheets.given import float_assumed
from survey.sheets.ruler import Ruler, close_sum, counted, percent
from survey.sheets.text_fit import KG_PER_LB, fit_lines, travel_grid
from survey.sheets.text_notes import note_lines
from survey.sheets.text_plate import plate_summary
from survey.sheets.text_remedies import grind_lines, remedy_lines
from survey.sheets.text_slab_line import end_name, wall_title
from survey.sheets.text_surface import packing_lines, plates_line, surface_lines, top_line
from survey.sheets.text_wall_grids import wall_grids
from survey.wall.layout import FULL_HEIGHT
from survey.wall.planning import HousePlan
from survey.wall.studs import Stud, TapeSpot
from survey.wall.wall_plan import WallPlan

TAPE_SDS = 3.0
METRES_PER_FOOT = 0.3048


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
        top_line(wall, house.profile.heights, ruler),
        *tape_lines(wall, ruler),
        *packing_lines(wall, ruler),
        *surface_lines(wall, ruler),
        *plate_summary(wall, ruler),
        *grind_lines(wall.grind, ruler),
        _weight_line(wall, ruler),
        *fit_lines(wall, ruler),
        *note_lines(wall.notes, ruler),
        travel_grid(wall, ruler),
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
    assumed += "; TAPE ONLY" if wall.tape_only else ""
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
    text = f"{studs}; {ruler.length(wall.settings.frame.spacing)} on centre"
    if not wall.verdict.passes:
        text = f"none to cut yet; {studs} would come nearest"
    elif wall.held:
        text = f"none to cut yet: a tape says otherwise; by the readings {text}"
    lines: list[Block] = [Line(label="STUDS", text=text)]
    if doors:
        lines.append(Line(label="AT DOORS", text=doors))
    return [*lines, plates_line(wall, ruler)]


def tape_lines(wall: WallPlan, ruler: Ruler) -> list[Block]:
    """The height stack as a sum at each spot to tape before anything is cut."""
    if not wall.tape_first:
        below = "slab" if wall.surface == "slab" else "slab plate"
        text = f"no spot was read on both {below} and joist: tape it yourself at three"
        return [Line(label="TAPE FIRST", text=text, level="doubt")]
    below = "slab" if wall.tape_first[0].on == "slab" else "slab plate"
    return [
        Line(label="TAPE FIRST", text=f"from the {below} up, before anything is cut:"),
        *(_tape_line(spot, ruler) for spot in wall.tape_first),
    ]


def _tape_line(spot: TapeSpot, ruler: Ruler) -> Line:
    *parts, (_, total) = close_sum(spot.parts, ruler)
    terms = " + ".join(f"{name} {length}" for name, length in parts)
    off = ruler.length(max(TAPE_SDS * spot.sd, ruler.step))
    text = f"{total} = {terms}. Stop if the tape differs by more than {off}"
    return Line(label=f"  at {ruler.bare(spot.station)}", text=text)


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
