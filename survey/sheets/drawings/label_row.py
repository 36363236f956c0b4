"""A row of labels over or under a drawing, each with a line to the place it is about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from survey.sheets.drawings.paper import Paper, draw, text_height, text_width, write
from survey.sheets.drawings.spread import spread

SIZE = 8.0
APART = 0.07  # [in] between labels side by side
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


def place_labels(paper: Paper, labels: Sequence[Label], left: float, right: float) -> LabelRow:
    """Place labels, ascending by x, between two edges; upright if they fit, else turned."""
    widths = [text_width(paper, line, SIZE) for label in labels for line in label.lines]
    widest = max(widths, default=0.0)
    turned = widest + (len(labels) - 1) * (widest + APART) > right - left
    if turned:
        pitch = text_height(SIZE)
        height = max(text_width(paper, label.joined, SIZE) for label in labels)
        inset = pitch / 2
    else:
        pitch = widest + APART
        height = text_height(SIZE) * max((len(label.lines) for label in labels), default=0)
        inset = widest / 2
    wanted = [label.x for label in labels]
    places = spread(wanted, pitch, left + inset, right - inset) if labels else ()
    return LabelRow(labels=tuple(labels), places=places, turned=turned, height=height)


def write_labels(paper: Paper, row: LabelRow, bottom: float, *, hang: bool = False) -> None:
    """Write a row of labels over the height `bottom`; turned ones may hang from its top."""
    step = text_height(SIZE)
    for label, x in zip(row.labels, row.places, strict=True):
        if row.turned:
            y = bottom + row.height if hang else bottom
            write(paper, label.joined, x, y, size=SIZE, turned=True,
                  side="right" if hang else "left")  # fmt: skip
            continue
        for i, line in enumerate(reversed(label.lines)):
            write(paper, line, x, bottom + (i + 0.5) * step, size=SIZE, side="center")


def lead(paper: Paper, label_x: float, label_y: float, x: float, y: float) -> None:
    """A thin line from a label to what it is about."""
    draw(paper, [label_x, x], [label_y, y], width=0.4)
