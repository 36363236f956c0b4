"""The plan of a house on the terminal: the answer in words first, then each wall."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from survey.errors import Note
from survey.field.levelling import Adjustment
from survey.job import Job
from survey.sheets.against import Against
from survey.sheets.blocks import Block, Grid, Heading, Line, grid
from survey.sheets.gathered_notes import survey_notes
from survey.sheets.given import float_assumed
from survey.sheets.ruler import Ruler, counted, listed
from survey.sheets.text_against import against_blocks
from survey.sheets.text_fit import short_travel_lines
from survey.sheets.text_notes import (
    assumed_lines,
    caution_blocks,
    gate_lines,
    left_out_lines,
    note_lines,
)
from survey.sheets.text_remedies import grind_count
from survey.sheets.text_surface import look_lines, tape_only_lines
from survey.sheets.text_wall import cut_counts, door_words, fail_words, wall_blocks
from survey.wall.planning import HousePlan
from survey.wall.wall_plan import WallPlan


def plan_blocks(
    house: HousePlan,
    ruler: Ruler,
    *,
    detail: bool = False,
    brief: bool = False,
    against: Against | None = None,
) -> list[Block]:
    """The whole plan as blocks of a report.

    Parameters
    ----------
    house
        The planned walls; those in `house.walls` are shown.
    ruler
        Prints the lengths.
    detail
        Whether to list studs and ways of framing too.
    brief
        Whether to stop after the answer.
    against
        An earlier plan it was held against; None where none was given.
    """
    job = house.job
    blocks = answer_blocks(house, ruler)
    if against is not None:
        blocks += against_blocks(against, ruler)
    if brief:
        return blocks
    for wall in house.walls:
        blocks += wall_blocks(wall, house, ruler, detail=detail)
    heights = house.profile.heights
    rest = [
        *left_out_lines(heights.book.left_out),
        *assumed_lines(job, ruler),
        *note_lines(house_notes(house), ruler, name_wall=True),
    ]
    if rest:
        blocks += [Heading(text="About the whole job"), *rest]
    return [*blocks, *caution_blocks(job)]


def answer_blocks(house: HousePlan, ruler: Ruler) -> list[Block]:
    """The first screen: what to check, cut, grind, tape and ask, before any wall."""
    disagrees = house.profile.heights.passed is False
    survey = _survey(house.profile.heights)
    blocks: list[Block] = [
        Heading(text=_title(house.job)),
        *tape_only_lines(house.walls),
        *look_lines(house.walls, ruler),
        *(survey if disagrees else []),
        *_cuts(house.walls, ruler, held=disagrees),
        *_tape(house.walls, ruler),
        *_stops(house, ruler),
        *gate_lines(house.job.slab),
        *_float(house, ruler),
        *short_travel_lines(house.walls, ruler),
        *([] if disagrees else survey),
        *_doubtful(house.walls),
    ]
    return [*blocks, _summary(house.walls, ruler)] if len(house.walls) > 1 else blocks


def all_notes(house: HousePlan) -> tuple[Note, ...]:
    """Every note of a plan, of its survey, profile and walls."""
    return (*house_notes(house), *(note for wall in house.walls for note in wall.notes))


def house_notes(house: HousePlan) -> tuple[Note, ...]:
    """Notes of the job, its readings, its survey and its profile, of no single planned wall."""
    return (*survey_notes(house.profile.heights, house.job), *house.notes)


def _title(job: Job) -> str:
    name = job.info.name or "Plan"
    return f"{name}, surveyed {job.info.surveyed}" if job.info.surveyed is not None else name


def _cuts(walls: Sequence[WallPlan], ruler: Ruler, *, held: bool) -> list[Block]:
    """Studs of the walls that can be built, by length over the house; then the walls that fail.

    `held` says that nothing may be cut before the survey is put right.
    """
    built = [wall for wall in walls if wall.verdict.passes and not wall.held]
    uncut = {wall.frame.stud for wall in built if wall.precut}
    counts: Counter[float] = sum((cut_counts(w.studs, full=True) for w in built), Counter())
    ordered = sorted(counts.items(), key=lambda item: (-item[1], -item[0]))
    said = [
        f"{counted(n, 'stud') if i == 0 else n} at {ruler.length(x)}"
        + (" (sold at that length: leave uncut)" if x in uncut else "")
        for i, (x, n) in enumerate(ordered)
    ]
    lines: list[Block] = []
    if said:
        text = ("NOT BEFORE THE READINGS AGREE: " if held else "") + ", ".join(said)
        lines.append(Line(label="CUT", text=text, level="doubt" if held else "good"))
    doors = door_words((stud for wall in built for stud in wall.studs), ruler)
    if doors:
        lines.append(Line(label="AT DOORS", text=doors))
    lines += [
        Line(
            label="DO NOT CUT",
            text=f"{wall.name}: {fail_words(wall, ruler)}; ways out are given with the wall",
            level="stop",
        )
        for wall in walls
        if not wall.verdict.passes
    ]
    lines += [
        Line(label="DO NOT CUT", text=f"{wall.name}: a tape says otherwise", level="stop")
        for wall in walls
        if wall.verdict.passes and wall.held
    ]
    return [*lines, grind_answer(walls)]


def grind_answer(walls: Sequence[WallPlan]) -> Line:
    """How many spots there are to grind, why, and under which walls."""
    if not walls:
        return Line(label="GRIND", text="not known: no wall could be planned", level="doubt")
    text = grind_count({wall.name: wall.grind for wall in walls})
    ground = any(wall.grind for wall in walls)
    return Line(label="GRIND", text=text, level="doubt" if ground else "good")


def _tape(walls: Sequence[WallPlan], ruler: Ruler) -> list[Block]:
    spots = [
        f"{wall.name} at {listed([ruler.length(spot.station) for spot in wall.tape_first])}"
        for wall in walls
        if wall.tape_first
    ]
    if not spots:
        return []
    return [Line(label="TAPE FIRST", text=f"{'; '.join(spots)}. The sums stand with each wall")]


def _stops(house: HousePlan, ruler: Ruler) -> list[Block]:
    stops = [note for note in all_notes(house) if note.level == "stop"]
    return note_lines(stops, ruler, name_wall=True)


def _float(house: HousePlan, ruler: Ruler) -> list[Block]:
    walls = [wall for wall in house.walls if float_assumed(house.job, wall.name)]
    if not walls:
        return []
    missing = listed(list(float_assumed(house.job, walls[0].name)))
    travel = walls[0].settings.travel
    text = (
        f"FLOAT ASSUMED: ASK what is required here. Nobody gave {missing}; taken: rise "
        f"{ruler.length(travel.rise)}, drop {ruler.length(travel.drop)}"
    )
    return [Line(label="FLOAT", text=text, level="doubt")]


def _survey(heights: Adjustment) -> list[Block]:
    """One line on how far the survey itself can be trusted."""
    if heights.datum.kind == "none":
        text = "nothing was levelled: only clear heights were taken, and only they speak here"
        return [Line(label="SURVEY", text=text, level="doubt")]
    if heights.passed is None or heights.sigma0 is None:
        text = "nothing checks this survey: no spot was read twice. The tape is the only check"
        return [Line(label="SURVEY", text=text, level="doubt")]
    checks = f"{counted(heights.dof, 'reading')} more than needed"
    if heights.passed:
        return [Line(label="SURVEY", text=f"the readings agree ({checks})", level="good")]
    text = f"the readings DISAGREE ({checks}): see what fits worst with: floatwall survey"
    return [Line(label="SURVEY", text=text, level="stop")]


def _doubtful(walls: Sequence[WallPlan]) -> list[Block]:
    names = [wall.name for wall in walls if any(note.level != "note" for note in wall.notes)]
    if not names:
        return []
    text = f"about {listed(names)}: see DOUBT under the wall before you cut"
    return [Line(label="DOUBTS", text=text, level="doubt")]


def _verdict_word(wall: WallPlan) -> str:
    if not wall.verdict.passes:
        return "FAILS"
    return "TAPE DIFFERS" if wall.held else "passes"


def _summary(walls: Sequence[WallPlan], ruler: Ruler) -> Grid:
    names = ["wall", "length", "studs", "stud", "gap least", "assured", "gap greatest", "verdict"]
    rows = [
        [
            wall.name,
            ruler.bare(wall.length),
            str(cut_counts(wall.studs, full=True).total()),
            ruler.bare(wall.frame.stud),
            ruler.bare(wall.gap.least),
            ruler.bare(wall.gap.assured_least),
            ruler.bare(wall.gap.greatest),
            _verdict_word(wall),
        ]
        for wall in walls
    ]
    return grid(f"WALLS ({ruler.heading})", names, rows, words=["wall", "verdict"])
