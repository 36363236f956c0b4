"""The words of a wall's page: heading and warnings above, numbers and key below."""

from __future__ import annotations

from collections.abc import Sequence

from survey.sheets.drawings.paper import Paper, text_height, wrap, write
from survey.sheets.drawings.wall_rows import TIMES, Stretch
from survey.sheets.drawings.wall_words import (
    gap_words,
    key_words,
    mark_words,
    stack_words,
)
from survey.sheets.ruler import Ruler
from survey.wall.wall_plan import WallPlan

MARGIN = 0.45  # [in of paper]
TITLE, WORDS = 14.0, 8.5
LARGE_LINES = 2  # a longer name is written small
MOST_TITLE, MOST_PLACE, MOST_ALARMS, MOST_MARKS = 4, 3, 5, 3
CUT_OFF = " ..."


def write_heading(paper: Paper, title: str, place: str, alarms: Sequence[str]) -> float:
    """Write title, place and warnings at the top of the page; the height under them [in]."""
    width = paper.width - 2 * MARGIN
    y = paper.height - MARGIN
    lines, size = wrap(title, width, TITLE, bold=True), TITLE
    if len(lines) > LARGE_LINES:
        lines, size = wrap(title, width, WORDS, bold=True), WORDS
    y = _write_lines(paper, at_most(lines, MOST_TITLE), y, size, bold=True)
    y = _write_lines(paper, at_most(wrap(place, width, WORDS), MOST_PLACE), y, WORDS)
    said = [line for text in alarms for line in wrap(text, width, WORDS, bold=True)]
    y = _write_lines(paper, at_most(said, MOST_ALARMS), y, WORDS, bold=True)
    return y - text_height(WORDS) / 2


def footing_height(paper: Paper, wall: WallPlan, ruler: Ruler, stretch: Stretch) -> float:
    """Paper that the words under the drawing take, whatever the exaggeration [in]."""
    most = max(len(_footing(paper, wall, ruler, stretch, float(times))) for times in TIMES)
    return text_height(WORDS) * (most + 1)


def write_footing(
    paper: Paper, wall: WallPlan, ruler: Ruler, stretch: Stretch, times: float
) -> None:
    """Write gap, studs, marks and key at the foot of the page."""
    write_foot(paper, _footing(paper, wall, ruler, stretch, times))


def write_foot(paper: Paper, lines: Sequence[str]) -> None:
    """Write lines at the foot of the page."""
    _write_lines(paper, lines, MARGIN + text_height(WORDS) * len(lines), WORDS)


def _footing(
    paper: Paper, wall: WallPlan, ruler: Ruler, stretch: Stretch, times: float
) -> list[str]:
    width = paper.width - 2 * MARGIN
    marks = wrap(" ".join(mark_words(wall, ruler, stretch)), width, WORDS)
    return [
        *wrap(gap_words(wall, ruler), width, WORDS),
        *wrap(stack_words(wall, ruler), width, WORDS),
        *at_most(marks, MOST_MARKS),
        *wrap(key_words(wall, times), width, WORDS),
    ]


def at_most(lines: Sequence[str], most: int) -> list[str]:
    """Lines; where some are left away the last one says so."""
    if len(lines) <= most:
        return list(lines)
    return [*lines[: most - 1], lines[most - 1][: -len(CUT_OFF)] + CUT_OFF]


def _write_lines(
    paper: Paper, lines: Sequence[str], top: float, size: float, *, bold: bool = False
) -> float:
    """Write lines from a height down; the height under them [in]."""
    for line in lines:
        write(paper, line, (MARGIN, top - text_height(size) / 2), size=size, bold=bold)
        top -= text_height(size)
    return top
