"""A cure for a rocking plank that makes no dust: cutting it in two."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from survey.slab.anchor_places import (
    SAME_PLACE,
    AnchorRules,
    anchor_places,
    cheapest_row,
    distance_to,
    not_among,
    thinned,
)
from survey.slab.rock import HeldPlank, Strain, judge_rock

KEPT = -1.0
ADDED = 2.0


@dataclass(frozen=True, kw_only=True, eq=False)
class CutPlank:
    """The plank cut in two at a station [in]: both parts as held, and as they lie.

    `added` are anchors not there before, `left` those given up beside the cut [in]. `cures` says
    whether both parts keep their limits; if not, this is the best cut found.
    """

    at: float
    parts: tuple[HeldPlank, HeldPlank]
    added: tuple[float, ...]
    left: tuple[float, ...]
    after: tuple[Strain, Strain]

    @property
    def used(self) -> float:
        """Share of its limit that the worse part takes."""
        return max(strain.used for strain in self.after)

    @property
    def cures(self) -> bool:
        """Whether neither part rocks."""
        return self.used <= 1.0


def cut_plank(held: HeldPlank, rules: AnchorRules) -> CutPlank | None:
    """Cut the plank in two where the worse part bears least, trying every 2 in.

    Anchors stay where they are unless they are too near the cut; each part gets what the rules ask
    for, as a plank by itself.

    Returns
    -------
    CutPlank | None
        The best cut; None if no station leaves room for the anchors of both parts.

    Raises
    ------
    SurveyError
        If a contact cannot be solved.
    """
    cuts = [_cut_at(held, rules, float(at)) for at in thinned(held.station)[1:]]
    return min((cut for cut in cuts if cut is not None), key=lambda cut: cut.used, default=None)


def _cut_at(held: HeldPlank, rules: AnchorRules, at: float) -> CutPlank | None:
    parts = tuple(_part(held, rules, at, after=after) for after in (False, True))
    if parts[0] is None or parts[1] is None:
        return None
    anchors = (*parts[0].anchors, *parts[1].anchors)
    return CutPlank(
        at=at,
        parts=(parts[0], parts[1]),
        added=not_among(anchors, held.anchors),
        left=not_among(held.anchors, anchors),
        after=(judge_rock(parts[0]), judge_rock(parts[1])),
    )


def _part(held: HeldPlank, rules: AnchorRules, at: float, *, after: bool) -> HeldPlank | None:
    """One side of the cut with its anchors; None if they find no room."""
    side = 1.0 if after else -1.0
    within = side * (held.station - at) >= -SAME_PLACE
    part = replace(
        held,
        station=held.station[within],
        surface=held.surface[within],
        anchors=tuple(a for a in held.anchors if side * (a - at) >= rules.clear - SAME_PLACE),
    )
    if part.station.size < 2:
        return None
    places = anchor_places(part, rules)
    beside = side * (places - at)
    places, beside = places[beside >= rules.clear - SAME_PLACE], beside[beside >= rules.clear]
    new = distance_to(places, part.anchors) > SAME_PLACE
    # New ones go half way between too near the cut and too far from it.
    ideal = np.abs(beside - (rules.clear + rules.end) / 2.0) / rules.spacing
    row = cheapest_row(part, places, np.where(new, ADDED + ideal, KEPT), rules)
    return None if row is None else part.held_at(row)
