"""Flatness in words: the straightedge, what is allowed, F-numbers where they are measured."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from books import Row
from plans import sample
from small_houses import house_of, label, rows_of
from survey.job import SlabFacts
from survey.sheets.blocks import render
from survey.sheets.ruler import Ruler
from survey.sheets.slab_walls import slab_walls
from survey.sheets.text_flatness import f_number_line, flatness_lines
from survey.sheets.text_slab import slab_blocks
from survey.slab.evenness import Evenness
from survey.slab.f_numbers import f_numbers

INCHES = Ruler(unit="in")


def words(evenness: Evenness, *, asked: bool = False, detail: bool = False) -> str:
    return render(flatness_lines(evenness, INCHES, asked=asked, detail=detail), width=None)


def store() -> Evenness:
    house = sample("quarry_house")
    return next(item.evenness for item in slab_walls(house) if item.name == "Store")


def test_gap_place_and_contacts_are_told() -> None:
    found = store().straightedge
    line = label(words(store()), "FLATNESS")
    contacts = " and ".join(INCHES.length(x) for x in found.contacts)
    assert f"resting at {contacts} leaves {INCHES.said(found.gap)}" in line
    assert 'straightedge of 120" (10 ft 0")' in line


def test_the_published_limit_names_its_source_and_that_houses_are_often_exempt() -> None:
    line = label(words(store()), "FLATNESS")
    assert f"{INCHES.length(store().din_limit)} would be allowed by DIN 18202, table 3" in line
    assert "often exempt" in line
    assert "common practice" in line


def test_a_crown_is_told_apart_from_a_gap() -> None:
    line = label(words(store()), "ROCKS")
    assert INCHES.length(store().straightedge.crown) in line
    assert "no gap" in line
    flat = replace(store(), straightedge=replace(store().straightedge, crown=0.0))
    assert "ROCKS" not in words(flat)


@pytest.mark.parametrize(
    ("gap", "asked", "said"),
    [
        (0.5, True, 'MORE than the 1/4" this job asks for'),
        (0.2, True, 'within the 1/4" this job asks for'),
        (0.5, False, 'more than the default of 1/4", which this job does not ask for'),
    ],
)
def test_the_tolerance_is_the_jobs_or_nobodys(gap: float, asked: bool, said: str) -> None:
    found = replace(store(), straightedge=replace(store().straightedge, gap=gap))
    assert said in words(found, asked=asked)


def test_a_gap_that_rounds_to_the_tolerance_is_said_finer() -> None:
    found = replace(store(), straightedge=replace(store().straightedge, gap=0.27))
    assert 'leaves 0.27" at' in words(found, asked=True)


def test_a_tolerance_that_was_given_counts_as_asked() -> None:
    rows = rows_of("North", [0.0, 0.0, 0.75, 0.0, 0.0, 0.75, 0.0])
    given = {"float.rise": "job", "float.drop": "job", "slab.tolerance": "job"}
    facts = SlabFacts(tolerance=0.125)
    text = render(slab_blocks(house_of(rows, slab=facts, given=given), INCHES), width=None)
    assert 'MORE than the 1/8" this job asks for' in label(text, "FLATNESS")
    assert "for flatness" in label(text, "GRIND")


def test_estimates_are_told_only_when_asked_for_and_as_what_they_are() -> None:
    assert store().f_numbers.estimate
    assert "F-NUMBERS" not in words(store())
    assert "an ESTIMATE" in label(words(store(), detail=True), "F-NUMBERS")


def test_readings_every_foot_have_their_numbers_on_the_page() -> None:
    heights = 0.06 * np.sin(np.arange(30.0))
    rows = [
        Row(name=name, station=12.0 * i, down=48.0 - float(z), up=51.0)
        for name in ("North", "South")
        for i, z in enumerate(heights)
    ]
    text = render(slab_blocks(house_of(rows), INCHES), width=None)
    found = f_numbers(12.0 * np.arange(30), heights)
    lines = [line for line in text.splitlines() if line.startswith("F-NUMBERS")]
    assert len(lines) == 3
    assert all('from readings every 12"' in line for line in lines)
    assert f"FF {found.flatness.value:.1f}" in lines[1]
    assert found.floor_class in lines[1]


def test_numbers_that_are_not_known_or_not_finite_are_words() -> None:
    short = f_number_line(f_numbers([0.0, 12.0], [0.0, 0.1]), INCHES).text
    assert short.count("not known") == 2
    even = f_number_line(f_numbers(12.0 * np.arange(30), np.zeros(30)), INCHES).text
    assert "over 200" in even
    assert "inf" not in even
