"""Which error is named: a reading, a beam, a mark, or several that cannot be told apart."""

from __future__ import annotations

import numpy as np
import pytest

from books import Row, book_of
from survey.field.findings import MOST_FINDINGS, Finding, explain
from survey.field.kicks import Kick
from survey.field.levelling import adjust
from survey.field.marks_moved import MarkShift
from survey.field.outliers import Misread, critical_value
from survey.job import Laser
from tied_surveys import Plan, adjusted, blunder, kick, walk


def rows_of(finding: Finding) -> list[int]:
    return [error.place.row for error in finding.explanations if isinstance(error, Misread)]


def clean(seed: int = 3, plan: Plan | None = None) -> list[Row]:
    return walk(np.random.default_rng(seed), Plan() if plan is None else plan)


def test_a_clean_survey_is_not_accused() -> None:
    found = explain(adjusted(clean()))
    assert (found.found, found.exhausted) == ((), False)
    assert found.tests == 57
    assert found.critical == critical_value(57)


def test_a_bad_reading_among_three_is_named_alone() -> None:
    (finding,) = explain(adjusted(blunder(clean(), 14, "down", 0.75))).found
    assert isinstance(finding.best, Misread)
    assert (rows_of(finding), len(finding.explanations)) == ([16], 1)
    assert finding.best.amount == pytest.approx(0.75, abs=4 * finding.best.sd)


def test_two_bad_readings_are_named_one_after_the_other() -> None:
    rows = blunder(blunder(clean(), 0, "down", 1.0), 14, "down", -0.75)
    first, second = explain(adjusted(rows)).found
    assert (rows_of(first), rows_of(second)) == ([2], [16])
    assert abs(first.best.statistic) > abs(second.best.statistic)


def test_a_moved_beam_is_not_called_a_bad_reading() -> None:
    (finding,) = explain(adjusted(kick(clean(), 18, 0.5))).found
    assert isinstance(finding.best, Kick)
    assert (finding.best.setup, len(finding.explanations)) == ("B", 1)


def test_a_beam_and_a_reading_are_both_named() -> None:
    rows = blunder(kick(clean(), 18, 0.4375), 2, "up", 0.0)
    found = explain(adjusted(blunder(rows, 0, "down", 1.0))).found
    assert [type(finding.best) for finding in found] == [Misread, Kick]


def test_a_move_before_the_last_row_may_be_that_reading() -> None:
    """One tied reading alone stands after the move: the two errors are the same."""
    rows = clean()
    (finding,) = explain(adjusted(kick(rows, 12, 0.5))).found
    kinds = [type(error) for error in finding.explanations]
    assert kinds == [Misread, Kick]
    assert rows_of(finding) == [14]
    move = finding.explanations[1]
    assert isinstance(move, Kick)
    assert (move.setup, move.after.row, move.before.row) == ("A", 13, 14)


def test_a_wrong_mark_is_not_called_bad_readings() -> None:
    heights = adjust(book_of(clean(), {"M1": 48.0, "M2": 46.0}), Laser())
    (finding,) = explain(heights).found
    assert [type(error) for error in finding.explanations] == [MarkShift, MarkShift]
    assert {error.name for error in finding.explanations if isinstance(error, MarkShift)} == {
        "M1",
        "M2",
    }


def test_a_loop_closes_badly_and_any_reading_of_it_may_be_wrong() -> None:
    rows = [
        Row(name="M", setup="A", down=4.0),
        Row(name="P", setup="A", down=5.0),
        Row(name="P", setup="B", down=3.0),
        Row(name="M", setup="B", down=3.0),
    ]
    (finding,) = explain(adjust(book_of(rows, {"M": None}), Laser())).found
    assert rows_of(finding) == [2, 3, 4, 5]
    assert [type(error) for error in finding.explanations[4:]] == [Kick, Kick]


def test_readings_that_scatter_exhaust_the_search() -> None:
    heights = adjusted(clean(plan=Plan(setups=6, shared=8, fresh=8, noise=0.5)))
    found = explain(heights)
    assert found.exhausted
    assert len(found.found) <= MOST_FINDINGS


def test_each_survey_is_left_as_it_was_adjusted() -> None:
    heights = adjusted(blunder(clean(), 0, "down", 0.75))
    before = heights.spots.elevation.copy()
    explain(heights)
    np.testing.assert_array_equal(heights.spots.elevation, before)


def test_without_a_check_nothing_is_tried() -> None:
    rows = [Row(name="Long", station=x, down=50.0) for x in (0.0, 16.0)]
    found = explain(adjust(book_of(rows), Laser()))
    assert (found.found, found.tests) == ((), 0)


@pytest.mark.parametrize("shift", [-3.0, 20.0])
def test_another_datum_and_other_beams_find_the_same(shift: float) -> None:
    rows = blunder(kick(clean(), 18, 0.5), 0, "down", 1.0)
    moved = kick(rows, next(i for i, row in enumerate(rows) if row.setup == "C"), shift)
    one, two = explain(adjusted(rows)), explain(adjusted(moved))
    assert [rows_of(f) for f in two.found] == [rows_of(f) for f in one.found]
    for first, second in zip(one.found, two.found, strict=True):
        assert second.best.amount == pytest.approx(first.best.amount, abs=1e-9)
