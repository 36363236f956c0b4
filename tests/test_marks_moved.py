"""Marks held at a wrong elevation."""

from __future__ import annotations

import numpy as np
import pytest

from books import book_of
from survey.field.evidence import weigh
from survey.field.levelling import adjust
from survey.field.marks_moved import describe_mark, estimate_mark, held_marks
from survey.job import Laser
from tied_surveys import Plan, adjusted, walk


def test_a_mark_above_its_given_elevation() -> None:
    rows = walk(np.random.default_rng(1), Plan())
    found = weigh(adjust(book_of(rows, {"M1": 48.0, "M2": 46.0}), Laser()))
    amounts = {}
    for spot in held_marks(found):
        amount = estimate_mark(found, int(spot))
        assert amount is not None
        mark = describe_mark(found, int(spot), amount)
        assert abs(mark.statistic) > 10
        amounts[mark.name] = mark.amount
    assert amounts["M2"] == pytest.approx(0.5, abs=0.15)
    assert amounts["M1"] == pytest.approx(-amounts["M2"], abs=1e-9)


def test_it_agrees_with_how_the_other_mark_fits() -> None:
    rows = walk(np.random.default_rng(2), Plan())
    found = weigh(adjust(book_of(rows, {"M1": 48.0, "M2": 46.0}), Laser()))
    (fit,) = found.heights.mark_fits
    spot = next(int(s) for s in held_marks(found) if found.heights.solution.many[s] == 46.0)
    amount = estimate_mark(found, spot)
    assert amount is not None
    assert (amount.amount, amount.sd) == pytest.approx((fit.difference, fit.sd))


def test_one_held_mark_has_nothing_to_be_compared_with() -> None:
    assert held_marks(weigh(adjusted(walk(np.random.default_rng(3), Plan())))).size == 0
