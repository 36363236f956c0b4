"""Fixed marks tried against one another."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from fieldbooks import field_book
from survey.field.levelling import adjust
from survey.field.mark_fits import MarkFit, fit_notes
from survey.job import Laser

SD = 1 / 16


def marks_book(*, n_read: float = 12.0, o_read: float = 14.0) -> list[dict[str, Any]]:
    return [
        {"name": "M", "down": 10.0, "sd": SD},
        {"name": "N", "down": n_read, "sd": SD},
        {"name": "O", "down": o_read, "sd": SD},
        {"station": 0.0, "down": 50.0, "sd": SD},
    ]


MARKS: dict[str, float | None] = {"M": 100.0, "N": 98.0, "O": 96.0}


def test_first_mark_is_held_and_the_others_tried() -> None:
    """From one beam the difference of two marks has the sd of two readings."""
    found = adjust(field_book(marks_book(n_read=11.9), marks=MARKS), Laser())
    fit_n, fit_o = found.mark_fits
    assert (fit_n.name, fit_n.held, fit_n.fits) == ("N", "M", True)
    assert fit_n.difference == pytest.approx(0.1)
    assert fit_n.sd == pytest.approx(SD * np.sqrt(2.0))
    assert fit_o.difference == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(("times_sd", "fits"), [(3.28, True), (3.30, False), (-3.30, False)])
def test_fit_is_judged_at_its_critical_value(times_sd: float, fits: bool) -> None:
    rows = marks_book(n_read=12.0 - times_sd * SD * np.sqrt(2.0))
    found = adjust(field_book(rows, marks=MARKS), Laser())
    assert found.mark_fits[0].fits is fits
    codes = [note.code for note in found.notes if note.code.startswith("mark-")]
    assert codes == ["mark-fits" if fits else "mark-misfit", "mark-fits"]


def test_all_marks_are_fixed_in_the_end() -> None:
    found = adjust(field_book(marks_book(n_read=11.9), marks=MARKS), Laser())
    of_marks = found.spots.sd == 0.0
    assert found.spots.elevation[of_marks].tolist() == [100.0, 98.0, 96.0]
    assert found.beams[0] == pytest.approx(110.0 - 0.1 / 3.0)
    assert found.dof == 2


def test_marks_are_tried_within_their_own_group() -> None:
    rows = [{**row, "setup": "A"} for row in marks_book()[:2]]
    rows += [
        {"setup": "B", "name": "O", "down": 20.0},
        {"setup": "B", "name": "P", "down": 21.5},
    ]
    found = adjust(field_book(rows, marks={**MARKS, "P": 95.0}), Laser())
    assert [(fit.name, fit.held) for fit in found.mark_fits] == [("N", "M"), ("P", "O")]
    assert found.mark_fits[1].difference == pytest.approx(-0.5)


def test_notes_say_which_way_and_survive_any_name() -> None:
    low = MarkFit(name="{}", held="M", difference=-0.5, sd=0.1, fits=False)
    (note,) = fit_notes((low,))
    text = note.said(lambda x: f"{x} in")
    assert "found 0.5 in below its given elevation with mark M held, 5.0 sd" in text
    assert note.level == "doubt"
