"""A cure for a rocking plank that makes no dust: other places for its anchors.

A plank is drawn down least by anchors where it lies on the surface anyway. Each place is given the
strain of the plank held there alone; a shortest path through the places weighs it against leaving
anchors where they are, at one price after another. What is found is laid down again, walked about
if it is not enough, and walked back towards the old places as far as it stays enough.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey.slab.anchor_places import (
    SAME_PLACE,
    AnchorRules,
    anchor_places,
    cheapest_row,
    distance_to,
    not_among,
)
from survey.slab.kriging import FloatArray
from survey.slab.rock import HeldPlank, Strain, judge_rock

PRICES = (10.0, 3.0, 1.0, 0.3, 0.1, 0.03, 0.01, 0.001)
MOST_TRIES = 120


@dataclass(frozen=True, kw_only=True, eq=False)
class MovedAnchors:
    """Other places for the anchors.

    `anchors` are all of them as they would stand, `moved` those at new places, `left` the places
    given up [in]. `cures` says whether the plank then keeps its limits; if not, these are the best
    places found.
    """

    anchors: tuple[float, ...]
    moved: tuple[float, ...]
    left: tuple[float, ...]
    after: Strain

    @property
    def cures(self) -> bool:
        """Whether the plank no longer rocks."""
        return not self.after.rocks


Row = tuple[float, ...]
Tried = tuple[Row, Strain]


def moved_anchors(held: HeldPlank, rules: AnchorRules) -> MovedAnchors | None:
    """Move anchors so that the plank does not rock, as few and as little as is found to do.

    Their number may change, within the rules.

    Returns
    -------
    MovedAnchors | None
        The best places found; None if the rules leave no places at all.

    Raises
    ------
    SurveyError
        If a contact cannot be solved.
    """
    places = anchor_places(held, rules)
    best = _first_that_holds(held, rules, places)
    if best is None:
        return None
    if best[1].rocks:
        best = _walked(held, rules, places, best)
    row, after = best if best[1].rocks else _walked_back(held, rules, best)
    return MovedAnchors(
        anchors=row,
        moved=not_among(row, held.anchors),
        left=not_among(held.anchors, row),
        after=after,
    )


def _first_that_holds(held: HeldPlank, rules: AnchorRules, places: FloatArray) -> Tried | None:
    """Rows at ever lower prices of moving: the first that holds, else the least strained."""
    alone = np.array([judge_rock(held.held_at([float(a)])).used for a in places])
    away = distance_to(places, held.anchors)
    if not held.anchors:
        away = np.zeros(places.size)
    # A move costs a little by itself, so that few move far rather than many a little.
    move = np.where(away > SAME_PLACE, 1.0 + away / rules.spacing, 0.0)
    best: Tried | None = None
    row: Row | None = None
    for price in PRICES:
        cheaper = cheapest_row(held, places, alone + price * move, rules)
        if cheaper is None or cheaper == row:
            continue
        row, strain = cheaper, judge_rock(held.held_at(cheaper))
        if best is None or strain.used < best[1].used:
            best = row, strain
        if not strain.rocks:
            break
    return best


def _walked(held: HeldPlank, rules: AnchorRules, places: FloatArray, best: Tried) -> Tried:
    """Move single anchors to neighbouring places as long as that eases the plank."""
    left, eased = MOST_TRIES, True
    while eased and left > 0 and best[1].rocks:
        eased = False
        for row in _steps(best[0], places):
            if not rules.keeps(row, held):
                continue
            left -= 1
            strain = judge_rock(held.held_at(row))
            if strain.used < best[1].used - SAME_PLACE:
                best, eased = (row, strain), True
                break
            if left == 0:
                break
    return best


def _steps(row: Row, places: FloatArray) -> list[Row]:
    """Rows with one anchor at one of the two places either way, or left out."""
    found = []
    for k, station in enumerate(row):
        at = int(np.argmin(np.abs(places - station)))
        others = [i for i in (at - 1, at + 1, at - 2, at + 2) if 0 <= i < places.size]
        found += [(*row[:k], float(places[i]), *row[k + 1 :]) for i in others]
        found.append((*row[:k], *row[k + 1 :]))
    return found


def _walked_back(held: HeldPlank, rules: AnchorRules, best: Tried) -> Tried:
    """Put moved anchors back, each at its nearest old place, as long as the plank holds."""
    for station in not_among(best[0], held.anchors):
        given_up = not_among(held.anchors, best[0])
        if not given_up:
            break
        old = min(given_up, key=lambda place: abs(place - station))
        row = tuple(sorted(old if a == station else a for a in best[0]))
        if rules.keeps(row, held):
            strain = judge_rock(held.held_at(row))
            if not strain.rocks:
                best = row, strain
    return best
