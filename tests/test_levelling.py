"""Adjusted elevations of surveys whose answer is known, and what must not change them."""

from __future__ import annotations

import dataclasses
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldbooks import field_book
from survey.errors import SurveyError
from survey.field.book import FieldBook
from survey.field.levelling import Adjustment, Surface, adjust
from survey.job import Laser, WallTest

LASER = Laser()
Row = dict[str, Any]

ONE_WALL: list[Row] = [
    {"station": 0.0, "down": 52.0, "up": 47.0},
    {"station": 16.0, "down": 52.5, "up": 47.25},
    {"station": 32.0, "down": 51.75, "up": 46.75},
]


def elevation(found: Adjustment, surface: Surface) -> list[float]:
    return list(found.spots.elevation[found.spots.surface == surface])


def tied_rows(seed: int, *, setups: int = 3, sd: float = 1 / 16) -> list[Row]:
    """Readings of a made-up floor from set-ups that all see mark M and some shared spots."""
    rng = np.random.default_rng(seed)
    beams = rng.uniform(40.0, 60.0, setups)
    rows: list[Row] = []
    for number in range(setups):
        setup = "ABCDEFGH"[number]
        rows.append({"setup": setup, "name": "M", "down": beams[number] - 10 + rng.normal(0, sd)})
        for station in sorted(rng.choice(np.arange(0.0, 160.0, 16.0), 6, replace=False)):
            height = 0.3 * np.sin(station / 30.0)
            rows.append(
                {
                    "setup": setup,
                    "station": station,
                    "down": beams[number] - height + rng.normal(0, sd),
                    "up": 100.0 - beams[number] + rng.normal(0, sd),
                    "sd": sd,
                }
            )
    return rows


def test_one_set_up_has_the_lowest_slab_at_zero() -> None:
    found = adjust(field_book(ONE_WALL), LASER)
    assert elevation(found, Surface.SLAB) == [0.5, 0.0, 0.75]
    assert elevation(found, Surface.JOIST) == [99.5, 99.75, 99.25]
    assert found.beams.tolist() == [52.5]
    assert found.beam_sd.tolist() == [0.0]
    assert (found.datum.kind, found.datum.marks) == ("first beam", ())


def test_nothing_checks_a_survey_without_redundancy() -> None:
    found = adjust(field_book(ONE_WALL), LASER)
    assert (found.dof, found.sigma0, found.passed, found.test) == (0, None, None, None)
    assert found.vpv == pytest.approx(0.0, abs=1e-20)
    assert np.all(np.isnan(found.sd_scaled))
    assert np.all(np.isnan(found.observations.standardized))
    doubts = [note.text for note in found.notes if note.level == "doubt"]
    assert len(doubts) == 1
    assert doubts[0].startswith("nothing checks this survey")


def test_fixed_mark_carries_the_datum() -> None:
    rows = [{"name": "M", "down": 12.0}, *ONE_WALL]
    found = adjust(field_book(rows, marks={"M": 100.0}), LASER)
    assert found.beams.tolist() == [112.0]
    assert elevation(found, Surface.SLAB) == [60.0, 59.5, 60.25]
    assert (found.datum.kind, found.datum.marks) == ("fixed marks", ("M",))
    mark = np.flatnonzero(found.spots.surface == Surface.MARK)
    assert found.spots.sd[mark].tolist() == [0.0]
    slab = np.flatnonzero(found.spots.surface == Surface.SLAB)
    together = found.covariance([mark[0], slab[0], slab[1]])
    expected = np.array([[0, 0, 0], [0, 2, 1], [0, 1, 2]]) / 256.0
    np.testing.assert_allclose(together, expected, rtol=0, atol=1e-15)


def test_mark_above_the_beam_is_read_up() -> None:
    rows = [{"name": "M", "up": 12.0}, *ONE_WALL]
    found = adjust(field_book(rows, marks={"M": 100.0}), LASER)
    assert found.beams.tolist() == [88.0]


def test_free_marks_have_mean_zero() -> None:
    rows = [{"name": "M", "down": 12.0}, {"name": "N", "down": 14.0}, *ONE_WALL]
    found = adjust(field_book(rows, marks={"M": None, "N": None}), LASER)
    assert found.datum.kind == "free marks"
    assert elevation(found, Surface.MARK) == [1.0, -1.0]
    assert found.beams.tolist() == [13.0]
    mark = np.flatnonzero(found.spots.surface == Surface.MARK)
    half = 0.5 / 256.0
    np.testing.assert_allclose(found.covariance(mark), [[half, -half], [-half, half]], atol=1e-15)
    np.testing.assert_allclose(found.spots.sd[mark], np.sqrt(half), rtol=1e-9)


def test_one_free_mark_is_zero_and_certain() -> None:
    found = adjust(field_book([{"name": "M", "down": 12.0}, *ONE_WALL], marks={"M": None}), LASER)
    mark = found.spots.surface == Surface.MARK
    assert (found.spots.elevation[mark].tolist(), found.spots.sd[mark].tolist()) == ([0.0], [0.0])
    assert found.datum.kind == "free marks"


def test_datum_asked_for_wins() -> None:
    rows = tied_rows(3)
    book = field_book(rows, marks={"M": 7.0})
    fixed, free, beam = (
        adjust(book, LASER, datum=kind) for kind in ("fixed marks", "free marks", "first beam")
    )
    np.testing.assert_allclose(fixed.spots.elevation - 7.0, free.spots.elevation, atol=1e-9)
    assert min(elevation(beam, Surface.SLAB)) == pytest.approx(0.0, abs=1e-12)
    assert beam.beam_sd[0] == 0.0
    for other in (free, beam):
        np.testing.assert_allclose(
            other.observations.residual, fixed.observations.residual, atol=1e-9
        )
        assert other.dof == fixed.dof


@pytest.mark.parametrize("kind", ["fixed marks", "free marks"])
def test_datum_without_a_mark_is_refused(kind: Any) -> None:
    with pytest.raises(SurveyError, match=f'datum "{kind}" has nothing to carry it'):
        adjust(field_book(ONE_WALL), LASER, datum=kind)


def test_two_set_ups_share_their_closure() -> None:
    """Beam B from two ties that differ by 0.2: each reading takes a quarter."""
    rows = [
        {"setup": "A", "station": 0.0, "down": 50.0},
        {"setup": "A", "station": 16.0, "down": 50.0},
        {"setup": "B", "station": 0.0, "down": 45.0},
        {"setup": "B", "station": 16.0, "down": 45.2},
    ]
    found = adjust(field_book(rows), LASER)
    assert found.beams[0] - found.beams[1] == pytest.approx(4.9)
    np.testing.assert_allclose(found.observations.residual, [-0.05, 0.05, 0.05, -0.05], atol=1e-12)
    np.testing.assert_allclose(found.observations.redundancy, 0.25, atol=1e-12)
    np.testing.assert_allclose(
        found.observations.standardized, np.array([-1, 1, 1, -1]) * 0.05 / (0.5 / 16), rtol=1e-9
    )
    assert found.dof == 1
    assert found.vpv == pytest.approx(4 * (0.05 * 16) ** 2)
    assert found.sigma0 == pytest.approx(1.6)
    assert found.passed is True
    np.testing.assert_allclose(found.sd_scaled, found.spots.sd * 1.6, rtol=1e-9)


def test_residual_is_adjusted_less_observed_reading() -> None:
    found = adjust(field_book(tied_rows(1), marks={"M": 0.0}), LASER)
    seen = found.observations
    adjusted = seen.sign * (found.spots.elevation[seen.spot] - found.beams[seen.setup])
    np.testing.assert_allclose(seen.residual, adjusted - seen.reading, rtol=0, atol=1e-10)
    assert seen.redundancy.sum() == pytest.approx(found.dof, abs=1e-9)


def test_known_floor_is_recovered() -> None:
    """Elevations fall within 4 sd of the truth, and their scatter matches the sd."""
    misses = []
    for seed in range(40):
        found = adjust(field_book(tied_rows(seed), marks={"M": 10.0}), Laser(reading=1 / 16))
        slab = found.spots.surface == Surface.SLAB
        truth = 0.3 * np.sin(found.spots.station[slab] / 30.0)
        misses.extend((found.spots.elevation[slab] - truth) / found.spots.sd[slab])
    assert np.max(np.abs(misses)) < 4.0
    assert np.std(misses) == pytest.approx(1.0, abs=0.15)


def dense_check(book: FieldBook, found: Adjustment) -> tuple[np.ndarray, np.ndarray]:
    """Elevations and their covariance about the fixed marks by numpy.linalg, row by row."""
    seen, spots = found.observations, found.spots
    fixed = {i for i, code in enumerate(spots.name) if book.names[code].elevation is not None}
    free = [i for i in range(spots.name.size) if i not in fixed]
    column = {spot: k for k, spot in enumerate(free)}
    matrix = np.zeros((seen.sign.size, len(free) + len(book.setups)))
    right = np.zeros(seen.sign.size)
    for i, (sign, spot, setup) in enumerate(zip(seen.sign, seen.spot, seen.setup, strict=True)):
        row = seen.row_index[i]
        raw = book.down[row] if sign < 0 else book.up[row]
        if spot in column:
            matrix[i, column[spot]] = sign
            right[i] = raw
        else:
            right[i] = raw - sign * book.names[spots.name[spot]].elevation
        matrix[i, len(free) + setup] = -sign
    weighted = matrix / seen.sd[:, None]
    estimate, *_ = np.linalg.lstsq(weighted, right / seen.sd, rcond=None)
    inverse = np.linalg.inv(weighted.T @ weighted)
    return estimate[: len(free)], inverse[: len(free), : len(free)]


@pytest.mark.parametrize("seed", range(5))
def test_agrees_with_a_dense_solution(seed: int) -> None:
    book = field_book(tied_rows(seed, setups=5), marks={"M": 10.0})
    found = adjust(book, LASER)
    estimate, inverse = dense_check(book, found)
    free = np.flatnonzero(found.spots.surface != Surface.MARK)
    np.testing.assert_allclose(found.spots.elevation[free], estimate, rtol=0, atol=1e-9)
    np.testing.assert_allclose(found.covariance(free), inverse, rtol=0, atol=1e-11)
    np.testing.assert_allclose(found.spots.sd[free], np.sqrt(np.diag(inverse)), rtol=1e-9)


def test_set_ups_not_tied_are_named() -> None:
    rows = [
        {"setup": "A", "station": 0.0, "down": 50.0},
        {"setup": "B", "station": 0.0, "down": 45.0},
        {"setup": "stair", "station": 64.0, "down": 44.0},
        {"setup": "stair", "station": 80.0, "down": 44.5},
    ]
    with pytest.raises(SurveyError, match=r"group 1: A, B \(row 2, 3\); group 2: stair") as caught:
        adjust(field_book(rows), LASER)
    assert "--leave-out" in str(caught.value)
    assert [fault.row for fault in caught.value.faults] == [2, 4]


def test_two_fixed_marks_tie_what_sees_them() -> None:
    rows = [
        {"setup": "A", "name": "M", "down": 10.0},
        {"setup": "A", "station": 0.0, "down": 50.0},
        {"setup": "B", "name": "N", "down": 12.0},
        {"setup": "B", "station": 64.0, "down": 44.0},
    ]
    found = adjust(field_book(rows, marks={"M": 100.0, "N": 101.0}), LASER)
    assert elevation(found, Surface.SLAB) == [60.0, 69.0]
    assert found.mark_fits == ()
    with pytest.raises(SurveyError, match="not tied together"):
        adjust(field_book(rows, marks={"M": 100.0, "N": None}), LASER)


def test_failed_global_test_is_a_doubt() -> None:
    rows = tied_rows(2)
    rows[0]["down"] += 2.0
    found = adjust(field_book(rows, marks={"M": 0.0}), LASER)
    assert found.passed is False
    assert "scatter-high" in {note.code for note in found.notes if note.level == "doubt"}
    worst = int(np.nanargmax(np.abs(found.observations.standardized)))
    assert found.observations.row_index[worst] == 0


def test_set_up_with_clear_heights_only_has_no_beam() -> None:
    rows = [*ONE_WALL, {"setup": "tape", "station": 8.0, "clear": 99.0}]
    found = adjust(field_book(rows), LASER)
    assert np.isnan(found.beams).tolist() == [False, True]
    assert np.isnan(found.beam_sd).tolist() == [False, True]


def test_no_readings_is_refused() -> None:
    with pytest.raises(SurveyError, match="no row has a down or up reading"):
        adjust(field_book([{"station": 8.0, "flag": "joint"}]), LASER)


def test_known_beam_slope_is_taken_out() -> None:
    """A beam that rises 1 in 1000 makes a level floor seem to fall away, and joists too low."""
    laser = Laser(wall_test=WallTest(distance=500.0, difference=1.0))
    rows = [
        {"station": x, "distance": x, "down": 50.0 + x / 1000, "up": 40.0 - x / 1000}
        for x in (10.0, 100.0, 200.0)
    ]
    found = adjust(field_book(rows), laser)
    np.testing.assert_allclose(elevation(found, Surface.SLAB), 0.0, atol=1e-12)
    np.testing.assert_allclose(elevation(found, Surface.JOIST), 90.0, atol=1e-12)
    assert {"laser-out", "beam-corrected"} <= {note.code for note in found.notes}
    assert found.collimation is not None
    assert found.collimation.error == pytest.approx(0.001)


def test_unread_fixed_mark_is_a_doubt() -> None:
    found = adjust(field_book(ONE_WALL, marks={"M": 5.0}), LASER)
    assert found.datum.kind == "first beam"
    assert "mark-not-read" in {note.code for note in found.notes if note.level == "doubt"}


def test_results_are_read_only_and_the_book_is_left_alone() -> None:
    book = field_book(tied_rows(4), marks={"M": 0.0})
    before = {f.name: np.array(getattr(book, f.name)) for f in dataclasses.fields(book)}
    found = adjust(book, LASER)
    for name, value in before.items():
        np.testing.assert_array_equal(np.array(getattr(book, name)), value)
    for array in (found.beams, found.spots.elevation, found.observations.residual):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1.0


seeds = st.integers(0, 10_000)


@given(seed=seeds, shift=st.floats(-40.0, 40.0), which=st.integers(0, 2))
def test_moving_one_beam_changes_no_elevation_and_no_residual(
    seed: int, shift: float, which: int
) -> None:
    rows = tied_rows(seed)
    moved = [
        {
            **row,
            "down": row["down"] + shift,
            "up": row.get("up", np.nan) - shift,
        }
        if row["setup"] == "ABC"[which]
        else row
        for row in rows
    ]
    for marks in ({"M": 3.0}, {"M": None}):
        one, two = (adjust(field_book(each, marks=marks), LASER) for each in (rows, moved))
        np.testing.assert_allclose(two.spots.elevation, one.spots.elevation, rtol=0, atol=1e-9)
        np.testing.assert_allclose(
            two.observations.residual, one.observations.residual, rtol=0, atol=1e-9
        )
        lift = np.where(np.arange(3) == which, shift, 0.0)
        np.testing.assert_allclose(two.beams - one.beams, lift, rtol=0, atol=1e-9)


@given(seed=seeds, order=st.permutations(range(21)))
def test_order_of_rows_changes_nothing(seed: int, order: list[int]) -> None:
    book = field_book(tied_rows(seed), marks={"M": 3.0})
    arrays = {
        field.name: getattr(book, field.name)[order]
        for field in dataclasses.fields(book)
        if isinstance(getattr(book, field.name), np.ndarray)
    }
    one, two = adjust(book, LASER), adjust(dataclasses.replace(book, **arrays), LASER)
    for name in ("elevation", "sd"):
        np.testing.assert_allclose(
            getattr(two.spots, name), getattr(one.spots, name), rtol=0, atol=1e-9
        )
    np.testing.assert_array_equal(two.spots.station, one.spots.station)
    back = np.lexsort((-two.observations.sign, np.array(order)[two.observations.row_index]))
    straight = np.lexsort((-one.observations.sign, one.observations.row_index))
    for name in ("residual", "redundancy", "standardized"):
        np.testing.assert_allclose(
            getattr(two.observations, name)[back],
            getattr(one.observations, name)[straight],
            rtol=0,
            atol=1e-8,
        )


@given(seed=seeds, factor=st.floats(0.01, 100.0))
def test_stated_sd_scale_the_sd_and_nothing_else(seed: int, factor: float) -> None:
    rows = [{**row, "sd": 1 / 16} for row in tied_rows(seed)]
    scaled = [{**row, "sd": factor / 16} for row in rows]
    one, two = (adjust(field_book(each, marks={"M": 3.0}), LASER) for each in (rows, scaled))
    np.testing.assert_allclose(two.spots.elevation, one.spots.elevation, rtol=0, atol=1e-9)
    np.testing.assert_allclose(two.spots.sd, one.spots.sd * factor, rtol=1e-9)
    np.testing.assert_allclose(two.sd_scaled, one.sd_scaled, rtol=1e-6)
    assert two.vpv == pytest.approx(one.vpv / factor**2, rel=1e-6)


@given(seed=seeds, lift=st.floats(-1e4, 1e4))
def test_moving_the_datum_moves_elevations_only(seed: int, lift: float) -> None:
    rows = tied_rows(seed)
    one, two = (adjust(field_book(rows, marks={"M": e}), LASER) for e in (0.0, lift))
    np.testing.assert_allclose(two.spots.elevation - lift, one.spots.elevation, rtol=0, atol=1e-8)
    np.testing.assert_allclose(two.spots.sd, one.spots.sd, rtol=0, atol=1e-12)
    np.testing.assert_allclose(
        two.observations.residual, one.observations.residual, rtol=0, atol=1e-8
    )
