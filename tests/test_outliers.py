"""Critical values, smallest detectable blunders, readings that cannot be told apart."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from fieldbooks import field_book
from survey.field.evidence import Evidence, seen, weigh
from survey.field.levelling import Surface, adjust
from survey.field.outliers import (
    critical_value,
    describe_sight,
    sight_pattern,
    sights_alike,
    smallest_detectable,
    uncheckable,
    worst_sight,
)
from survey.job import Laser
from tied_surveys import Plan, adjusted, blunder, walk

ROWS = [
    {"setup": "A", "name": "M", "down": 4.0},
    {"setup": "A", "station": 16.0, "down": 52.0, "up": 47.0},
    {"setup": "A", "station": 32.0, "down": 52.0, "up": 47.0},
    {"setup": "B", "name": "M", "down": 2.0},
    {"setup": "B", "station": 32.0, "down": 50.75, "up": 49.0},
    {"setup": "B", "station": 48.0, "down": 50.0},
]


def small() -> Evidence:
    return weigh(adjust(field_book(ROWS, marks={"M": 48.0}), Laser()))


@pytest.mark.parametrize("tests", [51, 100, 1000, 200_000])
def test_more_tests_than_fifty_share_five_percent(tests: int) -> None:
    expected = stats.norm.isf(0.05 / tests / 2)
    assert critical_value(tests) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("tests", [0, 1, 50])
def test_up_to_fifty_tests_take_one_in_a_thousand(tests: int) -> None:
    assert critical_value(tests) == pytest.approx(stats.norm.isf(0.0005), rel=1e-9)


def test_smallest_detectable_grows_with_the_sd_and_what_is_hidden() -> None:
    heights = small().heights
    found = smallest_detectable(heights)
    observed = heights.observations
    tested = observed.redundancy >= 0.05
    np.testing.assert_array_equal(np.isnan(found), ~tested)
    expected = 4.132148 / 16.0 / np.sqrt(observed.redundancy[tested])
    np.testing.assert_allclose(found[tested], expected, rtol=1e-6)
    wider = smallest_detectable(heights, critical=5.0)
    np.testing.assert_allclose(
        wider[tested] / found[tested], (5.0 + 0.841621) / 4.132148, rtol=1e-6
    )


def test_a_blunder_of_the_smallest_detectable_size_is_found_four_times_in_five() -> None:
    heights = small().heights
    sight = 3
    size = smallest_detectable(heights)[sight]
    shift = size * np.sqrt(heights.observations.redundancy[sight]) * 16.0
    assert stats.norm.sf(critical_value(1) - shift) == pytest.approx(0.8, abs=1e-9)


def test_readings_no_other_one_checks_are_listed() -> None:
    heights = small().heights
    listed = {
        (int(heights.book.row[heights.observations.row_index[i]]), heights.observations.sign[i])
        for i in uncheckable(heights)
    }
    assert listed == {(3, -1), (3, 1), (7, -1)}


def test_a_spot_read_twice_is_a_group_of_two() -> None:
    found = small()
    worst = worst_sight(found)
    assert worst is not None
    pattern = sight_pattern(found, worst[0])
    column = seen(found, pattern)
    alike = sights_alike(found, column, float(pattern @ column))
    named = [describe_sight(found, int(i)) for i in alike]
    assert [(m.place.row, m.column, m.place.setup) for m in named if m is not None] == [
        (4, "down", "A"),
        (6, "down", "B"),
    ]
    first, second = named
    assert first is not None
    assert second is not None
    assert first.amount == pytest.approx(-second.amount, abs=1e-9)
    assert second.amount > 0.5
    assert (second.name, second.station, second.surface) == ("North", 32.0, Surface.SLAB)


def test_amount_is_that_of_the_reading_down_or_up() -> None:
    rng = np.random.default_rng(4)
    rows = walk(rng, Plan(noise=1e-6))
    heights = adjusted(rows)
    tied = np.flatnonzero(heights.observations.redundancy > 0.2)
    assert {int(heights.observations.sign[i]) for i in tied} == {-1, 1}
    for sight in tied:
        row = int(heights.observations.row_index[sight])
        column = "down" if heights.observations.sign[sight] < 0 else "up"
        found = describe_sight(weigh(adjusted(blunder(rows, row, column, 0.75))), int(sight))
        assert found is not None
        assert found.amount == pytest.approx(0.75, abs=1e-3)
        assert found.column == column
        assert found.place.row == row + 2
        assert found.statistic == pytest.approx(found.amount / found.sd)


def test_without_a_check_no_reading_is_worst() -> None:
    found = weigh(adjust(field_book(ROWS[1:3]), Laser()))
    assert worst_sight(found) is None
    assert describe_sight(found, 0) is None
