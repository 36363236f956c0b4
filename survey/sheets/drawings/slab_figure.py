"""`slab --figure`: the plate on the slab, and the bare slab under a straightedge, line by line."""

from __future__ import annotations

from typing import Literal

from matplotlib.figure import Figure

from survey.errors import SurveyError
from survey.sheets.drawings.edges import LEFT, TICK, draw_cuts, draw_heights
from survey.sheets.drawings.paper import (
    Paper,
    WallPage,
    draw,
    new_paper,
    sheet_style,
    text_height,
    text_width,
    wrap,
    write,
)
from survey.sheets.drawings.slab_panels import (
    BAR,
    CONCRETE,
    LEAD,
    draw_plate_panel,
    draw_slab_panel,
    plate_paper,
    plate_range,
    slab_range,
)
from survey.sheets.drawings.slab_rows import (
    SlabNotes,
    SlabRows,
    break_line,
    place_rows,
    slab_notes_of,
)
from survey.sheets.drawings.slab_words import slab_alarms, slab_panel_title, slab_title, slab_words
from survey.sheets.drawings.wall_caption import MARGIN, WORDS, at_most, write_foot, write_heading
from survey.sheets.drawings.wall_rows import SHORTEST, TIMES, Scales, Stretch, enlarged
from survey.sheets.drawings.wall_words import place_words
from survey.sheets.ruler import Ruler, ruler_for
from survey.sheets.slab_walls import SlabWall, slab_walls
from survey.wall.planning import HousePlan
from survey.wall.wall_plan import WallPlan

AXIS = 0.24  # [in of paper] for the scale of stations
NUMBER = 7.0
TITLE = 0.2  # [in of paper] for the name of a panel
BETWEEN = 0.1
MOST_LINES = 3  # of any one text under the drawing
STEPS_IN = (1, 2, 4, 8, 16, 32, 48, 96, 192)
STEPS_MM = (20, 50, 100, 200, 500, 1000, 2000, 5000)


def draw_slabs(
    house: HousePlan, *, show: Literal["in", "mm"] | None = None
) -> tuple[WallPage, ...]:
    """Draw the slab under every levelled line; one too long for a page takes several.

    Parameters
    ----------
    house
        The planned walls and the profile they stand on.
    show
        Unit to print in; the job's own when None.

    Raises
    ------
    SurveyError
        If no line was levelled.
    """
    ruler = ruler_for(house.job, show)
    pages = []
    for item in (each for each in slab_walls(house) if not each.line.tape_only):
        notes = slab_notes_of(item, ruler)
        for part in break_line(item.line.length, notes):
            figure = draw_slab(item, house, ruler, notes, part)
            pages.append(WallPage(wall=item.name, page=part.page, pages=part.pages, figure=figure))
    if not pages:
        raise SurveyError("no wall line was levelled: there is nothing to draw")
    return tuple(pages)


def draw_slab(
    item: SlabWall, house: HousePlan, ruler: Ruler, notes: SlabNotes, stretch: Stretch
) -> Figure:
    """Draw one stretch of a line on a page of its own."""
    with sheet_style():
        paper = new_paper(ruler.unit)
        left, right = MARGIN + LEFT, paper.width - MARGIN
        along = (right - left) / max(stretch.end - stretch.start, SHORTEST)
        rows = place_rows(notes, stretch, left, right, along)
        place = place_words(house, item.settings.line, item.line.length, ruler, stretch)
        high = write_heading(paper, slab_title(item), place, slab_alarms(item, house))
        low = MARGIN + text_height(WORDS) * (_most_words(paper, item, ruler) + 1)
        scales = _scales(item, stretch, along, rows, (low, high))
        write_foot(paper, _words(paper, item, ruler, scales.times))
        plan = _with_plate(item)
        if plan is not None:
            draw_plate_panel(paper, plan, scales, stretch, (rows.anchors, rows.voids))
            draw_heights(paper, scales, plate_range(plan), scales.high, ruler)
            over = scales.high(plate_range(plan)[1]) + _over_plate(plan, rows) + TITLE / 2
            _write_title(paper, "SLAB PLATE AS IT LIES", left, over)
        draw_slab_panel(paper, item, scales, stretch, (rows.highs, rows.lows))
        draw_heights(paper, scales, slab_range(item), scales.low, ruler)
        over = scales.low(slab_range(item)[1]) + _over(rows) + TITLE / 2
        _write_title(paper, slab_panel_title(item), left, over)
        _draw_stations(paper, scales, stretch, ruler, low + AXIS)
        top = scales.low(slab_range(item)[1])
        if plan is not None:
            top = scales.high(plate_range(plan)[1]) + plate_paper(plan)
        draw_cuts(paper, scales, stretch, (scales.foot - CONCRETE, top))
    return paper.figure


def _with_plate(item: SlabWall) -> WallPlan | None:
    """The plan of a line on which a plate lies."""
    return item.plan if item.plan is not None and item.plan.plate.pieces else None


def _over(rows: SlabRows) -> float:
    """Paper over the bare slab's highest place up to the name of its panel [in]."""
    return BAR + 2 * LEAD + rows.highs.height


def _over_plate(wall: WallPlan, rows: SlabRows) -> float:
    """The same over the plate's highest underside."""
    return plate_paper(wall) + 2 * LEAD + rows.anchors.height


def _scales(
    item: SlabWall, stretch: Stretch, along: float, rows: SlabRows, room: tuple[float, float]
) -> Scales:
    """The largest usual exaggeration with which both panels fit between two heights."""
    foot, plan = slab_range(item), _with_plate(item)
    head = (0.0, 0.0) if plan is None else plate_range(plan)
    foot_y = room[0] + AXIS + rows.lows.height + LEAD + CONCRETE
    between = _over(rows) + TITLE
    if plan is not None:
        between += BETWEEN + rows.voids.height + LEAD + CONCRETE
    over = 0.0 if plan is None else _over_plate(plan, rows) + TITLE
    left = room[1] - foot_y - between - over
    up = along * enlarged(left / max(foot[1] - foot[0] + head[1] - head[0], 1e-3) / along)
    return Scales(
        start=stretch.start,
        left=MARGIN + LEFT,
        along=along,
        up=up,
        foot_base=foot[0],
        foot=foot_y,
        head_base=head[0],
        head=foot_y + up * (foot[1] - foot[0]) + between,
    )


def _most_words(paper: Paper, item: SlabWall, ruler: Ruler) -> int:
    """Lines of the words under the drawing, whatever the exaggeration."""
    return max(len(_words(paper, item, ruler, float(times))) for times in TIMES)


def _words(paper: Paper, item: SlabWall, ruler: Ruler, times: float) -> list[str]:
    width = paper.width - 2 * MARGIN
    return [
        line
        for text in slab_words(item, ruler, times)
        for line in at_most(wrap(text, width, WORDS), MOST_LINES)
    ]


def _write_title(paper: Paper, text: str, x: float, y: float) -> None:
    write(paper, text, (x, y), size=WORDS, bold=True)


def _draw_stations(
    paper: Paper, scales: Scales, stretch: Stretch, ruler: Ruler, top: float
) -> None:
    """A scale of stations, as fine as its numbers have room."""
    steps = [n / 25.4 for n in STEPS_MM] if ruler.unit == "mm" else [float(n) for n in STEPS_IN]
    widest = text_width(ruler.bare(stretch.end), NUMBER) + 0.15
    step = next((s for s in steps if s * scales.along >= widest), steps[-1])
    first = int(-(-(stretch.start - 1e-6) // step))
    last = int((stretch.end + 1e-6) // step)
    draw(paper, [scales.x(stretch.start), scales.x(stretch.end)], [top, top], width=0.6)
    for n in range(first, last + 1):
        x = scales.x(n * step)
        draw(paper, [x, x], [top - TICK, top], width=0.6)
        y = top - TICK - text_height(NUMBER) / 2
        write(paper, ruler.bare(n * step), (x, y), size=NUMBER, side="center")
