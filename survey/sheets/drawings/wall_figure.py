"""`plan --figure`: each wall's slab, plates, gap, studs and joists, a page a wall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from matplotlib.figure import Figure

from survey.errors import SurveyError
from survey.sheets.drawings.edges import LEFT, draw_cuts, draw_heights
from survey.sheets.drawings.label_row import Label, LabelRow, lead, place_labels, write_labels
from survey.sheets.drawings.paper import (
    Paper,
    WallPage,
    new_paper,
    sheet_style,
)
from survey.sheets.drawings.wall_caption import (
    MARGIN,
    footing_height,
    write_footing,
    write_heading,
)
from survey.sheets.drawings.wall_foot import CONCRETE, draw_foot, write_marks
from survey.sheets.drawings.wall_head import (
    JOIST_STUB,
    LEAD,
    break_height,
    draw_break,
    draw_head,
    studs_in,
)
from survey.sheets.drawings.wall_marks import WallMark, wall_marks
from survey.sheets.drawings.wall_rows import (
    SHORTEST,
    Scales,
    Stretch,
    break_wall,
    enlarged,
    foot_range,
    head_range,
)
from survey.sheets.drawings.wall_words import alarm_words, place_words, title_words
from survey.sheets.ruler import Ruler, ruler_for
from survey.wall.planning import HousePlan
from survey.wall.wall_plan import WallPlan


@dataclass(frozen=True, kw_only=True, eq=False)
class Rows:
    """The rows of labels of one stretch."""

    joists: LabelRow
    studs: LabelRow
    marks: LabelRow
    stations: LabelRow

    @property
    def height(self) -> float:
        """Paper that does not depend on the scale of heights [in]."""
        joists = self.joists.height + LEAD + JOIST_STUB
        return joists + break_height(self.studs) + CONCRETE + LEAD + self.stations.height


def draw_house(
    house: HousePlan, *, show: Literal["in", "mm"] | None = None
) -> tuple[WallPage, ...]:
    """Draw every planned wall; a wall too long for one page takes several.

    Parameters
    ----------
    house
        The planned walls.
    show
        Unit to print in; the job's own when None.

    Raises
    ------
    SurveyError
        If no wall is planned.
    """
    if not house.walls:
        raise SurveyError("no wall is planned: there is nothing to draw")
    ruler = ruler_for(house.job, show)
    return tuple(
        WallPage(
            wall=wall.name,
            page=stretch.page,
            pages=stretch.pages,
            figure=draw_wall(wall, house, ruler, stretch),
        )
        for wall in house.walls
        for stretch in break_wall(wall)
    )


def draw_wall(wall: WallPlan, house: HousePlan, ruler: Ruler, stretch: Stretch) -> Figure:
    """Draw one stretch of a wall on a page of its own."""
    with sheet_style():
        paper = new_paper(ruler.unit)
        marks = [
            mark for mark in wall_marks(wall, ruler) if stretch.start <= mark.station <= stretch.end
        ]
        left, right = MARGIN + LEFT, paper.width - MARGIN
        along = (right - left) / max(stretch.end - stretch.start, SHORTEST)
        rows = _label_rows(paper.width, wall, ruler, stretch, marks, along)
        high = write_heading(
            paper,
            title_words(wall.name),
            place_words(house, wall.settings.line, wall.length, ruler, stretch),
            alarm_words(wall, house, ruler),
        )
        low = MARGIN + footing_height(paper, wall, ruler, stretch)
        scales = _scales(wall, stretch, along, rows, (low, high))
        write_footing(paper, wall, ruler, stretch, scales.times)
        draw_foot(paper, wall, house.profile.line(wall.name), scales, stretch, ruler, marks)
        draw_break(paper, wall, scales, stretch, rows.studs)
        draw_head(paper, wall, scales, stretch, rows.joists)
        write_marks(paper, wall, scales, rows.marks, scales.foot - CONCRETE)
        _write_stations(paper, scales, rows.stations)
        draw_heights(paper, scales, foot_range(wall), scales.low, ruler)
        draw_heights(paper, scales, head_range(wall), scales.high, ruler)
        floor, top = scales.foot - CONCRETE, scales.high(head_range(wall)[1])
        draw_cuts(paper, scales, stretch, (floor, top))
    return paper.figure


def _label_rows(
    width: float,
    wall: WallPlan,
    ruler: Ruler,
    stretch: Stretch,
    marks: Sequence[WallMark],
    along: float,
) -> Rows:
    """Labels of joists, studs, marks and stations, placed between the margins of a page."""
    left, right = MARGIN + LEFT, width - MARGIN

    def x(station: float) -> float:
        return left + along * (station - stretch.start)

    studs = studs_in(wall, stretch)
    packing = {p.station: ruler.length(p.thickness) for p in wall.top.packing}
    joists = [
        Label(
            x=x(float(station)),
            lines=(
                ruler.bare(float(station)) + ("" if read else "?"),
                *([packing[float(station)]] if float(station) in packing else []),
            ),
        )
        for station, read in zip(wall.joists.station, wall.joists.read, strict=True)
        if stretch.start <= station <= stretch.end
    ]
    under = sorted((m for m in marks if m.kind != "door"), key=lambda m: m.station)
    return Rows(
        joists=place_labels(joists, left, right),
        studs=place_labels(
            [Label(x=x(s.station), lines=(s.mark, ruler.length(s.length))) for s in studs],
            left,
            right,
        ),
        marks=place_labels([Label(x=x(m.station), lines=(m.name,)) for m in under], left, right),
        stations=place_labels(
            [Label(x=x(s.station), lines=(ruler.bare(s.station),)) for s in studs],
            left,
            right,
        ),
    )


def _scales(
    wall: WallPlan, stretch: Stretch, along: float, rows: Rows, room: tuple[float, float]
) -> Scales:
    """The largest usual exaggeration that fits between two heights of the paper."""
    foot, head = foot_range(wall), head_range(wall)
    most = (room[1] - room[0] - rows.height) / (foot[1] - foot[0] + head[1] - head[0])
    up = along * enlarged(most / along)
    foot_y = room[0] + rows.stations.height + LEAD + CONCRETE
    return Scales(
        start=stretch.start,
        left=MARGIN + LEFT,
        along=along,
        up=up,
        foot_base=foot[0],
        foot=foot_y,
        head_base=head[0],
        head=foot_y + up * (foot[1] - foot[0]) + break_height(rows.studs),
    )


def _write_stations(paper: Paper, scales: Scales, row: LabelRow) -> None:
    """Write the studs' stations under the concrete, each with a line to its place."""
    floor = scales.foot - CONCRETE
    for label, place in zip(row.labels, row.places, strict=True):
        lead(paper, place, floor - LEAD, label.x, floor)
    write_labels(paper, row, floor - LEAD - row.height, hang=True)
