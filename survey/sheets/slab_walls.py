"""The slab under every wall line as each output shows it, planned as a wall or not."""

from __future__ import annotations

from dataclasses import dataclass

from survey.job import WallSettings, resolve
from survey.slab.evenness import Evenness, judge_evenness
from survey.slab.extremes import Extreme, extremes
from survey.slab.line_profile import LineProfile
from survey.slab.slab_line import SlabLine, predict_slab, stations_along
from survey.wall.planning import HousePlan
from survey.wall.wall_plan import LEAST_PROMINENCE, WallPlan


@dataclass(frozen=True, kw_only=True, eq=False)
class SlabWall:
    """A profiled line with its slab and how even that is; `plan` where it is planned as a wall.

    Where the bare slab was not levelled (`line.bare_slab`), evenness says nothing of it.
    """

    line: LineProfile
    settings: WallSettings
    slab: SlabLine
    evenness: Evenness
    plan: WallPlan | None

    @property
    def name(self) -> str:
        """Name of the wall line."""
        return self.line.wall.name

    @property
    def extremes(self) -> tuple[Extreme, ...]:
        """Highs and lows worth telling, by station."""
        return extremes(self.slab.at.station, self.slab.mean, least=LEAST_PROMINENCE)


def slab_walls(house: HousePlan) -> tuple[SlabWall, ...]:
    """Every line of a house's profile, in its order."""
    planned = {wall.name.casefold(): wall for wall in house.walls}
    return tuple(
        _slab_wall(house, line, planned.get(line.wall.name.casefold()))
        for line in house.profile.lines
    )


def _slab_wall(house: HousePlan, line: LineProfile, plan: WallPlan | None) -> SlabWall:
    if plan is not None:
        return SlabWall(
            line=line, settings=plan.settings, slab=plan.slab, evenness=plan.evenness, plan=plan
        )
    settings = resolve(house.job, line.wall.name)
    slab = predict_slab(line, house.profile.model, stations_along(line))
    facts = settings.slab
    evenness = judge_evenness(line.slab, slab, span=facts.straightedge, tolerance=facts.tolerance)
    return SlabWall(line=line, settings=settings, slab=slab, evenness=evenness, plan=None)
