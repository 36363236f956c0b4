"""Which marks carry the datum, and how set-ups that are not tied are reported."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from fieldbooks import field_book
from survey.errors import SurveyError
from survey.field.book import FieldBook
from survey.field.datum import (
    Datum,
    check_tied,
    choose_datum,
    held_elevations,
    unread_marks,
)
from survey.field.sights import Sights, take_sights
from survey.job import Laser

ROWS: list[dict[str, Any]] = [
    {"station": 0.0, "down": 50.0},
    {"name": "M", "down": 10.0},
    {"name": "N", "down": 12.0},
]


def sighted(**marks: float | None) -> tuple[FieldBook, Sights]:
    points = [name for name in ("M", "N") if name not in marks]
    book = field_book(ROWS, marks=marks, points=points)
    return book, take_sights(book, Laser())


def test_marks_with_an_elevation_go_first() -> None:
    book, sights = sighted(M=100.0, N=None)
    datum = choose_datum(book, sights, "auto")
    assert datum == Datum(kind="fixed marks", marks=("M",))
    held = held_elevations(book, sights, datum)
    assert held[~np.isnan(held)].tolist() == [100.0]


def test_elevation_zero_is_given() -> None:
    book, sights = sighted(M=0.0, N=None)
    assert choose_datum(book, sights, "auto").kind == "fixed marks"


def test_then_all_marks_free() -> None:
    book, sights = sighted(M=None, N=None)
    datum = choose_datum(book, sights, "auto")
    assert datum == Datum(kind="free marks", marks=("M", "N"))
    assert np.all(np.isnan(held_elevations(book, sights, datum)))


def test_points_carry_nothing() -> None:
    book, sights = sighted()
    assert choose_datum(book, sights, "auto") == Datum(kind="first beam", marks=())


def test_unread_marks_carry_nothing_and_are_said() -> None:
    book, sights = sighted(M=None, N=None, far=3.0)
    assert choose_datum(book, sights, "auto").kind == "free marks"
    assert [note.text for note in unread_marks(book, sights)] == [
        "mark far has an elevation, but no reading: it carries nothing"
    ]
    with pytest.raises(SurveyError, match="no mark with an elevation was read"):
        choose_datum(book, sights, "fixed marks")


def test_many_groups_are_cut_short_but_all_are_faults() -> None:
    rows = [{"setup": f"S{i}", "station": float(i), "down": 50.0} for i in range(9)]
    book = field_book(rows)
    sights = take_sights(book, Laser())
    with pytest.raises(SurveyError, match=r"group 6: S5 \(row 7\); and 3 more groups") as caught:
        check_tied(book, sights, np.arange(9))
    assert [fault.row for fault in caught.value.faults] == list(range(2, 11))
    assert caught.value.faults[0].found == "S0"


def test_one_group_is_no_fault() -> None:
    book, sights = sighted()
    check_tied(book, sights, np.zeros(3, dtype=np.int64))
