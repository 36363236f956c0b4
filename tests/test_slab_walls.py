"""The slab under every line as outputs share it: planned or not, in the order of the profile."""

from __future__ import annotations

import numpy as np

from plans import sample
from small_houses import house_of, rows_of
from survey.job import SlabFacts, WallLine
from survey.sheets.slab_walls import slab_walls


def test_every_line_is_there_and_a_planned_one_is_not_computed_again() -> None:
    house = sample("quarry_house")
    found = slab_walls(house)
    assert [item.name for item in found] == [line.wall.name for line in house.profile.lines]
    for item, wall in zip(found, house.walls, strict=True):
        assert item.plan is wall
        assert item.slab is wall.slab
        assert item.evenness is wall.evenness
        assert item.extremes == wall.extremes


def test_a_line_that_is_not_planned_is_judged_by_the_jobs_straightedge() -> None:
    rows = rows_of("North", [0.0, 0.0, 0.5, 0.0, 0.0, 0.25])
    tied = WallLine(name="North", hang="none")
    facts = SlabFacts(straightedge=48.0, tolerance=0.125)
    (item,) = slab_walls(house_of(rows, walls=(tied,), slab=facts))
    (hung,) = slab_walls(house_of(rows, slab=facts))
    assert item.plan is None
    assert item.evenness.tolerance == 0.125
    assert item.evenness.straightedge.span == 48.0
    assert np.isclose(item.evenness.straightedge.gap, hung.evenness.straightedge.gap, atol=0.02)
