"""A slab line cut into pages, and the rows of labels of one page."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from survey.sheets.drawings.label_row import Label, LabelRow, place_labels
from survey.sheets.drawings.wall_rows import LONGEST, MOST_LABELS, Stretch
from survey.sheets.ruler import Ruler
from survey.sheets.slab_walls import SlabWall
from survey.sheets.text_plate import all_anchors, pull_words
from survey.wall.plate import anchor_limit
from survey.wall.wall_plan import WallPlan

Note = tuple[float, tuple[str, ...]]  # a station and the lines of its label


@dataclass(frozen=True, kw_only=True)
class SlabNotes:
    """What is written along a slab line, each at its station [in], ascending.

    `anchors` and `voids` stand over and under the plate, `highs` and `lows` over and under the
    bare slab; splices are among the anchors, straightedge, grinding and joints among the others.
    """

    anchors: tuple[Note, ...]
    voids: tuple[Note, ...]
    highs: tuple[Note, ...]
    lows: tuple[Note, ...]

    @property
    def rows(self) -> tuple[tuple[Note, ...], ...]:
        """All four, from the top of the page down."""
        return self.anchors, self.voids, self.highs, self.lows


@dataclass(frozen=True, kw_only=True)
class SlabRows:
    """The rows of labels of one page."""

    anchors: LabelRow
    voids: LabelRow
    highs: LabelRow
    lows: LabelRow


def slab_notes_of(item: SlabWall, ruler: Ruler) -> SlabNotes:
    """Everything that is to be labelled along a line."""
    plan = item.plan
    points = [(p.station, (p.kind, ruler.bare(p.station)), p.kind) for p in item.extremes]
    bar = item.evenness.straightedge
    found = item.line.bare_slab and bar.gap > 0.0
    middle = (bar.contacts[0] + bar.contacts[1]) / 2.0
    over = [(middle, ("bar", ruler.length(bar.span)))] if found else []
    under = [(bar.station, ("gap", ruler.said(bar.gap)))] if found else []
    joints = [(joint, ("joint", ruler.bare(joint))) for joint in item.line.joints]
    return SlabNotes(
        anchors=() if plan is None else _sorted([*_anchors(plan, ruler), *_splices(plan, ruler)]),
        voids=() if plan is None else _sorted(_voids(plan, ruler)),
        highs=_sorted([*over, *((s, lines) for s, lines, kind in points if kind == "high")]),
        lows=_sorted(
            [
                *(under + joints),
                *((s, lines) for s, lines, kind in points if kind == "low"),
                *([] if plan is None else _grinding(plan, ruler)),
            ]
        ),
    )


def grind_names(wall: WallPlan) -> tuple[str, ...]:
    """A short name for each spot to grind, in their order."""
    return tuple(f"G{number}" for number in range(1, len(wall.grind) + 1))


def break_line(length: float, notes: SlabNotes) -> tuple[Stretch, ...]:
    """Cut a line into equal stretches, none too long and none with too many labels in a row."""
    most = max(map(len, notes.rows), default=0)
    pages = max(math.ceil(length / LONGEST - 1e-6), math.ceil(most / MOST_LABELS), 1)
    while True:
        edges = [length * i / pages for i in range(pages + 1)]
        parts = tuple(
            Stretch(start=a, end=b, page=i, pages=pages)
            for i, (a, b) in enumerate(pairwise(edges), start=1)
        )
        if all(len(_within(row, part)) <= MOST_LABELS for part in parts for row in notes.rows):
            return parts
        pages += 1


def place_rows(
    notes: SlabNotes, stretch: Stretch, left: float, right: float, along: float
) -> SlabRows:
    """The labels of one stretch between two edges of the paper, `along` paper to the inch."""

    def row(found: Sequence[Note]) -> LabelRow:
        labels = [
            Label(x=left + along * (station - stretch.start), lines=lines)
            for station, lines in _within(found, stretch)
        ]
        return place_labels(labels, left, right)

    return SlabRows(
        anchors=row(notes.anchors),
        voids=row(notes.voids),
        highs=row(notes.highs),
        lows=row(notes.lows),
    )


def _within(notes: Sequence[Note], stretch: Stretch) -> list[Note]:
    """Those of a stretch; what stands on its end belongs to the next page."""
    last = stretch.page == stretch.pages
    return [
        note
        for note in notes
        if stretch.start <= note[0] and (note[0] < stretch.end or (last and note[0] <= stretch.end))
    ]


def _sorted(notes: Iterable[Note]) -> tuple[Note, ...]:
    return tuple(sorted(notes))


def _anchors(wall: WallPlan, ruler: Ruler) -> list[Note]:
    limit = anchor_limit(wall.settings)
    return [
        (
            anchor.station,
            (
                ruler.bare(anchor.station),
                pull_words(anchor.pull, ruler) + (" !" if anchor.pull > limit else ""),
            ),
        )
        for anchor in all_anchors(wall)
    ]


def _splices(wall: WallPlan, ruler: Ruler) -> list[Note]:
    return [(at, (ruler.bare(at), "splice")) for at in wall.plate.splices]


def _voids(wall: WallPlan, ruler: Ruler) -> list[Note]:
    return [
        (void.at, (ruler.said(void.depth),)) for piece in wall.plate.pieces for void in piece.voids
    ]


def _grinding(wall: WallPlan, ruler: Ruler) -> list[Note]:
    return [
        (spot.at, (f"{name} {spot.reason}", ruler.said(spot.deepest)))
        for name, spot in zip(grind_names(wall), wall.grind, strict=True)
    ]
