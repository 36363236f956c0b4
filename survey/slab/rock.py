"""Whether a plank rocks: held down on a surface, it is bent or pulled past what it may bear.

A plank that its anchors cannot draw down stays up on its high points, and rocks when trodden on
beside them. Knows no wall.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import numpy.typing as npt

from survey import standards
from survey.errors import SurveyError
from survey.slab.contact import LyingPlank, lie
from survey.slab.kriging import FloatArray
from survey.slab.plank import Plank
from survey.slab.walked_line import walk

SURE_SHARE = 0.8
ROUNDING = 1e-9

RockReason = Literal["stress", "pull"]


@dataclass(frozen=True, kw_only=True)
class PlankLimits:
    """What a plank may bear: bending stress [psi], and the pull of any one anchor [lb]."""

    stress: float
    pull: float

    def __post_init__(self) -> None:
        wrong = [
            f"{what} {value:g}"
            for what, value in (("stress", self.stress), ("pull", self.pull))
            if not 0.0 < value < np.inf
        ]
        if wrong:
            raise SurveyError(f"limits of the plank: {', '.join(wrong)}: each must be above zero")


@dataclass(frozen=True, kw_only=True, eq=False)
class HeldPlank:
    """A plank to be held down on a surface: all that decides whether it rocks.

    `station` and `surface` have shape (n,) [in]; `anchors` are stations, `slack` how far the plank
    may stand off at one [in].
    """

    station: FloatArray
    surface: FloatArray
    plank: Plank
    limits: PlankLimits
    anchors: tuple[float, ...]
    slack: float

    def over(self, surface: FloatArray) -> HeldPlank:
        """The same plank over another surface, shape (n,) [in]."""
        return replace(self, surface=surface)

    def held_at(self, anchors: Sequence[float]) -> HeldPlank:
        """The same plank with other anchors, in order of station [in]."""
        return replace(self, anchors=tuple(sorted(float(a) for a in anchors)))


@dataclass(frozen=True, kw_only=True, eq=False)
class Strain:
    """What a plank bears as it lies: greatest stress [psi], greatest pull [lb], and where [in].

    Without anchors the pull is 0 and stands at the plank's start.
    """

    lying: LyingPlank
    limits: PlankLimits
    stress: float
    stress_at: float
    pull: float
    pull_at: float

    @property
    def used(self) -> float:
        """Share of its limit that the worse of the two takes; above 1 the plank rocks."""
        return max(self.stress / self.limits.stress, self.pull / self.limits.pull)

    @property
    def rocks(self) -> bool:
        """Whether stress or pull is past its limit."""
        return self.used > 1.0

    @property
    def reason(self) -> RockReason:
        """Which of the two is nearer its limit, or farther past it."""
        by_pull = self.pull / self.limits.pull >= self.stress / self.limits.stress
        return "pull" if by_pull else "stress"

    @property
    def at(self) -> float:
        """Where that one is greatest [in]."""
        return self.pull_at if self.reason == "pull" else self.stress_at


@dataclass(frozen=True, kw_only=True)
class RockOdds:
    """On how many of the surfaces tried the plank rocks.

    `tried` may be less than `given`: trying stops once the rest cannot change `surely`.
    """

    rocking: int
    tried: int
    given: int
    surely: bool

    @property
    def share(self) -> float:
        """Share of the surfaces tried on which it rocks."""
        return self.rocking / self.tried


def hold(
    stations: npt.ArrayLike,
    surface: npt.ArrayLike,
    plank: Plank,
    limits: PlankLimits,
    *,
    anchors: Sequence[float] = (),
    slack: float = standards.ANCHOR_SLACK.value,
) -> HeldPlank:
    """Put a plank on a surface, to be asked whether it rocks and what would cure it.

    Parameters
    ----------
    stations, surface
        The surface from end to end of the plank, shape (n,) [in], ascending; where two stations
        coincide the higher counts.
    plank, limits
        The plank and what it may bear.
    anchors, slack
        Stations of the anchors, and how far the plank may stand off at one [in].

    Raises
    ------
    SurveyError
        If the line is unfit.
    """
    line = walk(stations, surface)
    held = HeldPlank(
        station=line.station,
        surface=line.elevation,
        plank=plank,
        limits=limits,
        anchors=(),
        slack=slack,
    )
    return held.held_at(anchors)


def judge_rock(held: HeldPlank) -> Strain:
    """Lay the plank down and find the greatest stress and the greatest pull.

    Raises
    ------
    SurveyError
        If an anchor lies off the plank, or the contact cannot be solved.

    A hump of 1/4 in half way between anchors 32 in apart, at the ends, is too much for them:

    >>> board = Plank(thickness=1.5, width=3.5, stiffness=1.4e6, weight=1.28 / 12)
    >>> hump = [0.25 if x == 16 else 0.0 for x in range(33)]
    >>> limits = PlankLimits(stress=1000.0, pull=150.0)
    >>> found = judge_rock(hold(range(33), hump, board, limits, anchors=[0, 32], slack=0.0))
    >>> round(found.pull, 1), found.reason, found.rocks
    (251.7, 'stress', True)
    """
    lying = lie(held.station, held.surface, held.plank, anchors=held.anchors, slack=held.slack)
    bent = int(np.argmax(lying.stress))
    pulled = max(lying.anchors, key=lambda anchor: anchor.pull, default=None)
    return Strain(
        lying=lying,
        limits=held.limits,
        stress=float(lying.stress[bent]),
        stress_at=float(lying.station[bent]),
        pull=0.0 if pulled is None else pulled.pull,
        pull_at=float(lying.station[0]) if pulled is None else pulled.station,
    )


def rocks_surely(held: HeldPlank, draws: FloatArray, *, share: float = SURE_SHARE) -> RockOdds:
    """Whether the plank rocks on at least that share of many surfaces.

    Parameters
    ----------
    held
        The plank; its own surface is not looked at.
    draws
        Surfaces, equally likely and in no order, shape (k, n) [in], k >= 1.
    share
        Share of the draws that must agree.

    Raises
    ------
    SurveyError
        If the draws are not on the plank's stations, or the share is not above 0 and at most 1.
    """
    if draws.ndim != 2 or draws.shape[0] == 0 or draws.shape[1] != held.station.size:
        raise SurveyError(
            f"draws of shape {draws.shape}: one row a draw, one column for each of the "
            f"{held.station.size} stations"
        )
    if not 0.0 < share <= 1.0:
        raise SurveyError(f"share {share:g} of the draws: it must be above 0 and at most 1")
    given, rocking, tried = draws.shape[0], 0, 0
    needed = share * given - ROUNDING
    for draw in draws:
        rocking, tried = rocking + judge_rock(held.over(draw)).rocks, tried + 1
        if rocking >= needed or rocking + given - tried < needed:
            break
    return RockOdds(rocking=rocking, tried=tried, given=given, surely=rocking >= needed)
