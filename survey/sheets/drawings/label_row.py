"""A row of labels over or under a drawing, each with a line to the place it is about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from survey.sheets.drawings.paper import Paper, draw, text_height, text_width, write
from survey.sheets.drawings.spread import spread

SIZE = 8.0
FARTHEST = 0.3  # [in] an upright label may stand from its place
APART = 0.1  # [in] between labels side by side
JOINED = "  "


@dataclass(frozen=True, kw_only=True)
class Label:
    """Lines of a label and the place on the paper it is about [in]."""

    x: float
    lines: tuple[str, ...]

    @property
    def joined(self) -> str:
        """The label in one line."""
        return JOINED.join(self.lines)


@dataclass(frozen=True, kw_only=True)
class LabelRow:
    """Labels with their places; `turned` ones read upward. `height` is what the row takes [in]."""

    labels: tuple[Label, ...]
    places: tuple[float, ...]
    turned: bool
    height: float


def place_labels(labels: Sequence[Label], left: float, right: float) -> LabelRow:
    """Place labels, ascending by x, between two edges.

    They stand upright where that moves none of them far from its place, else they are turned.
    """
    widest = max((text_width(line, SIZE) for label in labels for line in label.lines), default=0.0)
    upright = _spread(labels, widest, widest + APART, (left, right))
    moves = [abs(place - label.x) for label, place in zip(labels, upright, strict=True)]
    fits = (len(labels) - 1) * (widest + APART) + widest <= right - left
    if fits and max(moves, default=0.0) <= FARTHEST:
        lines = max((len(label.lines) for label in labels), default=0)
        height, places, turned = lines * text_height(SIZE), upright, False
    else:
        height = max(text_width(label.joined, SIZE) for label in labels)
        places = _spread(labels, text_height(SIZE), text_height(SIZE), (left, right))
        turned = True
    return LabelRow(labels=tuple(labels), places=places, turned=turned, height=height)


def _spread(
    labels: Sequence[Label], width: float, pitch: float, edges: tuple[float, float]
) -> tuple[float, ...]:
    """Places of labels of one width, none over an edge."""
    wanted = [label.x for label in labels]
    return spread(wanted, pitch, edges[0] + width / 2, edges[1] - width / 2) if labels else ()


def write_labels(paper: Paper, row: LabelRow, bottom: float, *, hang: bool = False) -> None:
    """Write a row of labels over the height `bottom`; turned ones may hang from its top."""
    step = text_height(SIZE)
    for label, x in zip(row.labels, row.places, strict=True):
        if row.turned:
            y = bottom + row.height if hang else bottom
            write(paper, label.joined, (x, y), size=SIZE, turned=True,
                  side="right" if hang else "left")  # fmt: skip
            continue
        for i, line in enumerate(reversed(label.lines)):
            write(paper, line, (x, bottom + (i + 0.5) * step), size=SIZE, side="center")


def lead(paper: Paper, label_x: float, label_y: float, x: float, y: float) -> None:
    """A thin line from a label to what it is about."""
    draw(paper, [label_x, x], [label_y, y], width=0.4)
