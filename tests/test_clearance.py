"""The travel table: what each part allows, and which rules."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plans import SAMPLES, sample, wavy_house
from survey.job import Travel, Trim, Under
from survey.wall.clearance import Clearance, rulings
from survey.wall.wall_plan import WallPlan

PART = Clearance(
    element="plates", kind="load", rise=2.0, assured=1.9, drop=None, at=8.0, limit_by="they meet"
)


def _wall(trim: Trim | None = None, **tables: Any) -> WallPlan:
    trim = Trim() if trim is None else trim
    return wavy_house("W", 160.0, doors=(80.0,), trim=trim, **tables).walls[0]


def _part(wall: WallPlan, element: str) -> Clearance:
    (found,) = [part for part in wall.clearances if part.element == element]
    return found


def test_every_part_of_a_wall_has_its_row() -> None:
    elements = [part.element for part in _wall().clearances]
    assert elements == ["plates", "spikes", "drywall", "jamb", "leaf", "base"]
    kinds = {part.element: part.kind for part in _wall().clearances}
    assert [name for name, kind in kinds.items() if kind == "load"] == elements[:4]
    assert (kinds["leaf"], kinds["base"]) == ("use", "look")


@pytest.mark.parametrize("name", SAMPLES)
def test_plates_leave_the_gap_and_spikes_what_stands_proud(name: str) -> None:
    for wall in sample(name).walls:
        plates, spikes = _part(wall, "plates"), _part(wall, "spikes")
        assert plates.rise == pytest.approx(wall.gap.least)
        assert plates.assured == pytest.approx(wall.gap.assured_least)
        assert plates.at == wall.gap.least_at
        assert plates.drop is None
        assert spikes.drop == min(spike.drop for spike in wall.spikes)
        assert spikes.rise is not None
        assert spikes.rise > 60.0


@pytest.mark.parametrize("name", SAMPLES)
def test_what_is_assured_is_never_more_than_what_is_expected(name: str) -> None:
    for wall in sample(name).walls:
        for part in wall.clearances:
            assert (part.rise is None) == (part.assured is None)
            if part.rise is not None and part.assured is not None:
                assert part.assured <= part.rise


def test_half_an_inch_under_the_drywall_is_all_the_wall_has() -> None:
    wall = _wall(Trim(drywall_bottom=0.5))
    rise, drop = rulings(wall.clearances, wall.settings.travel)
    assert rise.clearance.element == "drywall"
    assert rise.left == pytest.approx(0.5)
    assert not rise.enough
    assert drop.clearance.element == "spikes"
    assert drop.enough


def test_a_wall_that_passes_with_jambs_held_clear_has_the_float_asked_for() -> None:
    wall = _wall()
    assert wall.verdict.passes
    assert all(ruling.enough for ruling in rulings(wall.clearances, wall.settings.travel))


def test_a_gauge_rules_and_says_what_to_do_each_season() -> None:
    wall = _wall(Trim(jamb="gauge"))
    rise = rulings(wall.clearances, wall.settings.travel)[0]
    assert rise.clearance.element == "jamb"
    assert rise.left == 1 / 8
    (note,) = [note for note in wall.notes if note.code == "door-stops-the-wall"]
    assert note.lengths == (80.0, 1 / 8)
    assert "look each season, cut back" in note.text


def test_what_only_shows_or_scrapes_is_not_judged() -> None:
    low = [replace(PART, kind=kind, assured=0.0, drop=0.0) for kind in ("use", "look")]
    ruled = rulings([PART, *low], Travel(rise=1.5))
    assert [(each.way, each.left, each.enough) for each in ruled] == [("rise", 1.9, True)]


@given(
    left=st.lists(st.tuples(st.floats(0.0, 5.0), st.floats(0.0, 5.0)), min_size=1, max_size=6),
    asked=st.floats(0.0, 5.0),
)
def test_the_least_of_each_rules(left: list[tuple[float, float]], asked: float) -> None:
    parts = [replace(PART, rise=up, assured=up, drop=down) for up, down in left]
    rise, drop = rulings(parts, Travel(rise=asked, drop=asked))
    assert rise.left == min(up for up, _ in left)
    assert drop.left == min(down for _, down in left)
    assert rise.enough == (rise.left >= asked - 1e-9)
    assert rulings(parts[::-1], Travel(rise=asked, drop=asked))[1].left == drop.left


def test_a_base_too_low_is_said_with_what_would_do() -> None:
    wall = _wall(Trim(base_height=3.25))
    (note,) = [note for note in wall.notes if note.code == "base-too-low"]
    base = _part(wall, "base")
    assert base.drop is not None
    assert base.drop < 1.0
    assert note.lengths[0] == 3.25
    cured = _wall(Trim(base_height=note.lengths[2]))
    assert "base-too-low" not in {note.code for note in cured.notes}


def test_a_filler_too_high_is_said_with_what_would_do() -> None:
    wall = _wall(Trim(filler_height=3.0))
    (note,) = [note for note in wall.notes if note.code == "filler-too-high"]
    cured = _wall(Trim(filler_height=note.lengths[1]))
    assert "filler-too-high" not in {note.code for note in cured.notes}


def test_headroom_is_said_against_what_some_codes_ask_and_left_to_the_local_one() -> None:
    beam = Under(from_=60.0, to=90.0, underside=75.0)
    line = {"under": (beam,)}
    wall = wavy_house("W", 160.0, wall=line, trim=Trim(flooring=0.5)).walls[0]
    (note,) = [note for note in wall.notes if note.code == "low-headroom"]
    assert note.lengths == (74.5, 60.0, 76.0)
    assert note.level == "note"
    assert "ask the local one" in note.text


def test_headroom_enough_is_not_mentioned() -> None:
    assert "low-headroom" not in {note.code for note in _wall().notes}
