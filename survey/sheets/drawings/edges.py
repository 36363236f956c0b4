"""What stands at the edges of a wall's drawing: scales of heights, and where it is cut."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from survey.sheets.drawings.paper import Paper, draw, write
from survey.sheets.drawings.wall_rows import Scales, Stretch, usual_step
from survey.sheets.ruler import Ruler

LEFT = 0.7  # [in of paper] for the numbers of the scales of heights
TICK = 0.06
BESIDE = 0.14  # [in of paper] from the wall's end to the scale of heights
TICKS_APART = 0.22


def draw_heights(
    paper: Paper,
    scales: Scales,
    ends: tuple[float, float],
    place: Callable[[float], float],
    ruler: Ruler,
) -> None:
    """A scale of elevations at the left, between two of them [in]; `place` puts one on paper."""
    x = scales.left - BESIDE
    step = usual_step(TICKS_APART / scales.up, metric=ruler.unit == "mm")
    low, high = ends
    marks = _marks(low, high, step)
    while not marks and high > low:
        step /= 2.0
        marks = _marks(low, high, step)
    draw(paper, [x, x], [place(low), place(high)], width=0.6)
    for z in marks:
        draw(paper, [x - TICK, x], [place(z), place(z)], width=0.6)
        write(paper, ruler.length(z), (x - 1.5 * TICK, place(z)), size=7.0, side="right")


def _marks(low: float, high: float, step: float) -> list[float]:
    """Whole steps between two elevations."""
    first = int(np.ceil(low / step - 1e-9))
    return [n * step for n in range(first, int(np.floor(high / step + 1e-9)) + 1)]


def draw_cuts(paper: Paper, scales: Scales, stretch: Stretch, between: tuple[float, float]) -> None:
    """A dash-dot line between two heights of the paper where the wall goes on elsewhere."""
    ends = ((stretch.start, stretch.page > 1), (stretch.end, stretch.page < stretch.pages))
    for station, goes_on in ends:
        if goes_on:
            draw(paper, [scales.x(station)] * 2, list(between), width=1.2, style="-.")
