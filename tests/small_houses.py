"""Plans of small invented houses, made from readings given by word."""

from __future__ import annotations

from types import MappingProxyType
from typing import Any

from books import Row, book_of
from survey.field.levelling import Adjustment, adjust
from survey.job import Job, SlabFacts, Travel, WallLine
from survey.slab.profile import profile
from survey.wall.planning import HousePlan, plan

ASKED = MappingProxyType({"float.rise": "job", "float.drop": "job"})
SETTLED = SlabFacts(post_tension="no", tubes="no", membrane="no")
BEAM = 48.0


def rows_of(wall: str, slab: list[float], joist: float = 99.5) -> list[Row]:
    """Readings every 16 in of a slab with these heights, under level joists [in]."""
    return [
        Row(name=wall, station=16.0 * i, down=BEAM - height, up=joist - BEAM)
        for i, height in enumerate(slab)
    ]


def heights_of(rows: list[Row], marks: dict[str, float | None] | None = None) -> Adjustment:
    """The readings adjusted with the settings of a plain job."""
    return adjust(book_of(rows, marks), Job().laser)


def house_of(rows: list[Row], **settings: Any) -> HousePlan:
    """The readings planned; rise and drop count as asked for unless `given` says otherwise."""
    job = Job(**{"given": ASKED, "slab": SETTLED, **settings})
    return plan(profile(heights_of(rows), job), job)


def two_walls(**settings: Any) -> HousePlan:
    """North is nearly flat and passes; South has a hump no single stud length gets over."""
    north = rows_of("North", [0.0, 0.125, 0.25, 0.125, 0.0, 0.0625])
    south = rows_of("South", [0.0, 0.0, 1.5, 0.0, 0.0, 0.0])
    strict = Travel(rise=1.5, drop=1.0, widest=3.0)
    walls = (WallLine(name="North", from_="stair"), WallLine(name="South"))
    return house_of([*north, *south], **{"travel": strict, "walls": walls, **settings})


def label(text: str, word: str) -> str:
    """The line that opens with a word."""
    found = [line for line in text.splitlines() if line.startswith(word)]
    assert found, f"no line opens with {word}"
    return found[0]
