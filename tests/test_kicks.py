"""Moves of a beam, every moment of it, against an adjustment with the set-up cut in two."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from books import Row, book_of
from survey.field.evidence import allow, estimate, seen, weigh
from survey.field.kicks import (
    count_moments,
    describe_moment,
    informations,
    list_moments,
    moment_pattern,
    moment_statistics,
    moments_alike,
    sum_before,
)
from survey.field.levelling import adjust
from survey.field.outliers import sight_pattern
from survey.job import Laser
from tied_surveys import MARKS, Plan, adjusted, kick, walk


def cut_in_two(rows: list[Row], index: int) -> list[Row]:
    """The rows of a set-up from `index` on under another name."""
    setup = rows[index].setup
    return [
        dataclasses.replace(row, setup="later") if i >= index and row.setup == setup else row
        for i, row in enumerate(rows)
    ]


@pytest.mark.parametrize("marks", [("M1", "M2"), ("M2",), ()])
def test_every_moment_is_an_adjustment_with_the_set_up_cut_in_two(marks: tuple[str, ...]) -> None:
    rows = walk(np.random.default_rng(7), Plan(marks=marks, fresh=4))
    for at in (3, 8, 15):  # read again at once: several readings of a spot before a moment
        rows.insert(at, rows[at])
    found = weigh(adjusted(rows))
    moments = list_moments(found)
    statistic = moment_statistics(moments, found)
    assert moments.after.size == len(rows) - 3
    assert np.sum(np.isfinite(statistic)) > 5
    for j in np.flatnonzero(np.isfinite(statistic)):
        halves = adjust(book_of(cut_in_two(rows, int(moments.before[j])), MARKS), Laser())
        first = halves.book.setups.index(rows[int(moments.after[j])].setup)
        later = halves.book.setups.index("later")
        rise = halves.beams[later] - halves.beams[first]
        inverse = halves.solution.inverse
        variance = inverse[later, later] + inverse[first, first] - 2.0 * inverse[later, first]
        assert statistic[j] == pytest.approx(rise / np.sqrt(variance), abs=1e-6)
        assert informations(moments, found)[j] == pytest.approx(1.0 / variance, rel=1e-8)
        assert found.heights.vpv - halves.vpv == pytest.approx(statistic[j] ** 2, abs=1e-6)


def test_errors_allowed_for_are_taken_off() -> None:
    found = weigh(adjusted(walk(np.random.default_rng(8), Plan())))
    found = allow(found, sight_pattern(found, 1))
    assert found.allowed.shape[1] == 1
    moments = list_moments(found)
    statistic = moment_statistics(moments, found)
    for j in np.flatnonzero(np.isfinite(statistic)):
        one = estimate(found, moment_pattern(moments, found, int(j)))
        assert one is not None
        assert statistic[j] == pytest.approx(one.statistic, abs=1e-7)


def test_sums_before_a_moment_are_those_of_its_set_up() -> None:
    found = weigh(adjusted(walk(np.random.default_rng(9), Plan())))
    moments = list_moments(found)
    values = np.random.default_rng(9).normal(size=(found.weight.size, 2))
    observed = found.heights.observations
    sums = sum_before(moments, values)
    for j in range(moments.after.size):
        mine = (found.few == moments.setup[j]) & (observed.row_index <= moments.after[j])
        np.testing.assert_allclose(sums[j], values[mine].sum(axis=0), rtol=0, atol=1e-12)


def test_only_moments_that_can_be_told_apart_are_counted() -> None:
    """Seven rows read twice or more and a beam between each two of them."""
    rows = [
        Row(name="Long", station=16.0 * spot, setup=setup, down=50.0)
        for setup in "AB"
        for spot in (range(4) if setup == "A" else range(3))
    ]
    found = weigh(adjust(book_of(rows), Laser()))
    moments = list_moments(found)
    assert moments.after.size == 5
    assert count_moments(moments, found) == 4
    assert (
        np.isfinite(moment_statistics(moments, found)).tolist() == [True] * 2 + [False] + [True] * 2
    )


def test_a_moved_beam_is_placed_between_the_rows_others_check() -> None:
    rows = walk(np.random.default_rng(11), Plan())
    found = weigh(adjusted(kick(rows, 18, 0.5)))
    moments = list_moments(found)
    best = int(np.nanargmax(np.abs(moment_statistics(moments, found))))
    moved = describe_moment(moments, found, best)
    assert moved.setup == "B"
    assert (moved.after.row, moved.before.row) == (19, 23)
    assert moved.amount == pytest.approx(0.5, abs=4 * moved.sd)
    assert moved.sd < 0.05
    assert moved.statistic > 8


def test_a_fallen_beam_has_a_negative_amount() -> None:
    rows = walk(np.random.default_rng(12), Plan(noise=1e-6))
    found = weigh(adjusted(kick(rows, 18, -0.5)))
    moments = list_moments(found)
    best = int(np.nanargmax(np.abs(moment_statistics(moments, found))))
    assert describe_moment(moments, found, best).amount == pytest.approx(-0.5, abs=1e-3)


def test_one_moment_of_each_set_up_is_named_when_they_are_alike() -> None:
    """Two set-ups that read the same spots in the same order: either may have moved."""
    rows = [
        Row(name="Long", station=16.0 * spot, setup=setup, down=50.0)
        for setup in "AB"
        for spot in range(4)
    ]
    found = weigh(adjust(book_of(kick(rows, 6, 0.5)), Laser()))
    moments = list_moments(found)
    best = int(np.nanargmax(np.abs(moment_statistics(moments, found))))
    pattern = moment_pattern(moments, found, best)
    information = float(informations(moments, found)[best])
    alike = moments_alike(moments, found, seen(found, pattern), information)
    kicks = [describe_moment(moments, found, int(j)) for j in alike]
    assert sorted((k.setup, k.after.row, k.before.row) for k in kicks) == [("A", 3, 4), ("B", 7, 8)]
    assert {round(k.amount, 9) for k in kicks} == {0.5, -0.5}


def test_a_set_up_of_one_row_has_no_moment() -> None:
    rows = [Row(name="Long", station=16.0, setup=s, down=50.0, up=49.0) for s in "AB"]
    assert list_moments(weigh(adjust(book_of(rows), Laser()))).after.size == 0


def test_long_set_ups_are_gone_through_in_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    found = weigh(adjusted(walk(np.random.default_rng(13), Plan(fresh=9))))
    whole = list_moments(found).information
    monkeypatch.setattr("survey.field.kicks.CHUNK", 6)
    np.testing.assert_allclose(list_moments(found).information, whole, rtol=1e-12, atol=1e-9)
