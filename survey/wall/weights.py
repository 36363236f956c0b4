"""What the wall weighs and what each joist carries of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from survey import standards
from survey.standards import LumberSection


@dataclass(frozen=True, kw_only=True)
class HungWeight:
    """Weight of the framed wall with drywall on both faces [lb per ft, lb per joist]."""

    per_foot: float
    per_joist: float


def board_weight(section: LumberSection) -> float:
    """Weight of a dressed board [lb per in].

    >>> from survey.standards import LUMBER
    >>> round(12 * board_weight(LUMBER[1]), 2)
    1.28
    """
    return standards.DENSITY.value / 1728.0 * section.thickness * section.width


def hung_weight(
    studs: Sequence[float],
    *,
    length: float,
    frame_height: float,
    plates: int,
    section: LumberSection,
    drywall: float,
    joist_spacing: float,
) -> HungWeight:
    """Weight that hangs from the joists: studs, plates and drywall on both faces.

    Parameters
    ----------
    studs
        Lengths of all studs [in].
    length, frame_height
        Of the wall [in].
    plates
        Top and bottom plates together.
    section, drywall
        Lumber of the frame; thickness of the drywall [in].
    joist_spacing
        Distance between the joists or blocks the wall hangs from [in].

    References
    ----------
    Sum of parts; the weight of drywall is from memory (`standards.DRYWALL_WEIGHT`).
    """
    lumber = board_weight(section) * (sum(studs) + plates * length)
    board = standards.DRYWALL_WEIGHT.value * drywall / 0.5
    faces = 2.0 * board * length * frame_height / 144.0
    per_foot = 12.0 * (lumber + faces) / length
    return HungWeight(per_foot=per_foot, per_joist=per_foot * joist_spacing / 12.0)
