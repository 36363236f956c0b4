"""An earlier plan against the plan now: what differs, and what was cut already."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from survey.sheets.old_plan import OldPlan, PlannedWall
from survey.wall.layout import FULL_HEIGHT
from survey.wall.planning import HousePlan
from survey.wall.wall_plan import WallPlan

ALIKE = 1e-4  # lengths this near are one [in]: the JSON holds a millionth of its unit

Status = Literal["same", "changed", "new", "gone"]
Limit = Literal["", "least gap", "widest gap", "longest spike"]


@dataclass(frozen=True, kw_only=True)
class AlreadyCut:
    """Studs of one length cut by the earlier plan, under the readings as they are now.

    Where they do not pass, `limit` is the limit they miss by most, and `short_by` by how much [in].
    """

    length: float
    count: int
    passes: bool
    limit: Limit
    short_by: float


@dataclass(frozen=True, kw_only=True)
class WallChange:
    """One wall then and now; each of `old` and `new` is empty or one.

    `rise` is by how much the top plate lies higher now [in], NaN where the datum is another.
    """

    name: str
    status: Status
    old: tuple[PlannedWall, ...]
    new: tuple[PlannedWall, ...]
    cut: tuple[AlreadyCut, ...]
    rise: float
    held: bool


@dataclass(frozen=True, kw_only=True)
class Against:
    """An earlier plan against the plan now, wall by wall: those of now first, then those gone."""

    old: OldPlan
    walls: tuple[WallChange, ...]


def compare_plans(old: OldPlan, house: HousePlan, *, wall: str = "") -> Against:
    """Compare an earlier plan with a house as planned now.

    Parameters
    ----------
    old
        The earlier plan.
    house
        The plan now.
    wall
        The only wall to compare; empty for all.
    """
    wanted = wall.strip().casefold()
    before = {each.name.casefold(): each for each in old.walls}
    datum = house.profile.heights.datum
    same_datum = old.datum == (datum.kind, *datum.marks) and datum.kind != "first beam"
    changes = [
        _change(before.get(now.name.casefold()), now, same_datum=same_datum) for now in house.walls
    ]
    here = {now.name.casefold() for now in house.walls}
    changes += [
        WallChange(
            name=each.name,
            status="gone",
            old=(each,),
            new=(),
            cut=(),
            rise=float("nan"),
            held=False,
        )
        for key, each in before.items()
        if key not in here and wanted in ("", key)
    ]
    return Against(old=old, walls=tuple(changes))


def judge_cut(length: float, count: int, wall: WallPlan) -> AlreadyCut:
    """Whether studs of that length keep every limit of a wall as it is planned now.

    A stud shorter by d than the planned one leaves every gap wider by d.
    """
    longer_gap = wall.frame.stud - length
    gap, limits = wall.gap, wall.limits
    misses: dict[Limit, float] = {
        "least gap": limits.required - (gap.assured_least + longer_gap),
        "widest gap": gap.greatest + longer_gap - limits.widest,
        "longest spike": gap.assured_greatest + longer_gap - limits.span,
    }
    worst = max(misses, key=lambda name: misses[name])
    passes = misses[worst] <= ALIKE
    return AlreadyCut(
        length=length,
        count=count,
        passes=passes,
        limit="" if passes else worst,
        short_by=0.0 if passes else misses[worst],
    )


def planned_wall(wall: WallPlan) -> PlannedWall:
    """A wall of the plan now in the form an earlier one is read in."""
    full = [stud.length for stud in wall.studs if stud.kind in FULL_HEIGHT]
    doors = [(s.kind, s.length) for s in wall.studs if s.kind not in FULL_HEIGHT]
    return PlannedWall(
        name=wall.name,
        studs=Counter(full),
        at_doors=Counter(doors),
        top_line=wall.top.line,
        top=wall.top.elevation,
        gaps=(wall.gap.least, wall.gap.assured_least, wall.gap.greatest),
    )


def _change(old: PlannedWall | None, now: WallPlan, *, same_datum: bool) -> WallChange:
    new = planned_wall(now)
    if old is None:
        return WallChange(
            name=now.name,
            status="new",
            old=(),
            new=(new,),
            cut=(),
            rise=float("nan"),
            held=now.held,
        )
    same = (
        _alike(sorted(old.studs.items()), sorted(new.studs.items()))
        and _alike(
            sorted((x, n) for (_, x), n in old.at_doors.items()),
            sorted((x, n) for (_, x), n in new.at_doors.items()),
        )
        and old.top_line == new.top_line
    )
    known = same_datum and not now.tape_only
    return WallChange(
        name=now.name,
        status="same" if same else "changed",
        old=(old,),
        new=(new,),
        cut=tuple(judge_cut(x, n, now) for x, n in sorted(old.studs.items(), reverse=True)),
        rise=new.top - old.top if known else float("nan"),
        held=now.held,
    )


def _alike(first: Sequence[tuple[float, int]], second: Sequence[tuple[float, int]]) -> bool:
    """Whether two lists of lengths with their counts are the same to within what JSON keeps."""
    return len(first) == len(second) and all(
        n == m and abs(x - y) <= ALIKE for (x, n), (y, m) in zip(first, second, strict=True)
    )
