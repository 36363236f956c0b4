"""Reports on any screen: nothing cut off, every encoding, colour that only repeats."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from small_houses import house_of, rows_of, two_walls
from survey.sheets.blocks import Block, Heading, Line, grid, render
from survey.sheets.ruler import Ruler
from survey.sheets.text_plan import plan_blocks
from survey.wall.planning import HousePlan

INCHES, METRIC = Ruler(unit="in"), Ruler(unit="mm")
ANSI = re.compile(r"\x1b\[[0-9;]*m")


@pytest.fixture(scope="module")
def house() -> HousePlan:
    return two_walls()


def shown(house: HousePlan, width: int | None = None, *, ruler: Ruler = INCHES) -> str:
    return render(plan_blocks(house, ruler, detail=True), width=width)


def test_a_table_wider_than_the_screen_becomes_cards() -> None:
    table = grid("T", ["bay", "gap", "why"], [["1", "1-5/8", "x" * 50]], words=["why"])
    assert render([table], width=80).splitlines()[1].split() == ["bay", "gap", "why"]
    cards = render([table], width=40).splitlines()
    assert cards[1:3] == ["bay 1", "  gap: 1-5/8"]
    assert "".join(cards).count("x") == 50


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437", "utf-8"])
def test_every_encoding_holds_the_report(encoding: str) -> None:
    house = house_of(rows_of("Nörd 壁 [bold] :smile:", [0.0] * 6))
    text = render(plan_blocks(house, INCHES), width=80, encoding=encoding)
    assert text.encode(encoding).decode(encoding) == text
    assert "[bold] :smile:" in text
    assert (r"\u58c1" in text) == (encoding != "utf-8")


def test_a_pipe_gets_ascii_rules_and_a_terminal_that_can_gets_lines(house: HousePlan) -> None:
    assert shown(house, None).isascii()
    assert "───" in shown(house, 80)
    assert render(plan_blocks(house, INCHES), width=80, encoding="cp1252").isascii()


def test_colour_only_repeats_what_the_words_say(house: HousePlan) -> None:
    blocks = plan_blocks(house, INCHES)
    plain, colored = render(blocks, width=80), render(blocks, width=80, color=True)
    assert "\x1b[" in colored
    assert "\x1b[" not in plain
    stripped = "\n".join(line.rstrip() for line in ANSI.sub("", colored).splitlines())
    assert stripped == plain.rstrip("\n")


@given(st.text(max_size=300), st.sampled_from([20, 60, 80, 120, None]))
def test_any_name_can_be_shown(name: str, width: int | None) -> None:
    blocks: list[Block] = [
        Heading(text=name),
        Line(text=name, label="NOTE"),
        grid(name, ["wall", "gap"], [[name, "1-5/8"]], words=["wall"]),
    ]
    text = render(blocks, width=width)
    assert "1-5/8" in text
    assert "…" not in text or "…" in name
