"""The lying plank: conditions of contact on many floors, and what follows by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from floors import BOARD, Floor, dense_program, lift_by_least_squares, seeded_floors, worst_breach
from survey.errors import SurveyError
from survey.slab.contact import AnchorPull, lie

SLACK = 1 / 32
INCHES = np.arange(97.0)


def dip(depth: float) -> np.ndarray:
    return np.where(np.abs(INCHES - 48) < 30, -depth, 0.0)


@pytest.mark.parametrize(("slack", "seed"), [(0.0, 1), (SLACK, 2)])
def test_a_thousand_floors_meet_every_condition_of_contact(slack: float, seed: int) -> None:
    steps = []
    for number, floor in enumerate(seeded_floors(1000, seed=seed, most=150)):
        lying = lie(floor.station, floor.surface, BOARD, anchors=floor.anchors, slack=slack)
        steps.append(lying.steps)
        assert worst_breach(lying, slack) < 1e-6, (number, floor.kind)
    assert np.percentile(steps, 99) <= 40


@given(
    st.lists(st.tuples(st.integers(1, 40), st.integers(-64, 64)), min_size=1, max_size=40),
    st.lists(st.integers(0, 39), max_size=5),
    st.sampled_from([0.0, SLACK, 0.5]),
)
@example([(1, 0)], [0], 0.0)
@example([(1, 0), (1, 5)], [], SLACK)
@example([(1, 0), (1, 5), (1, 0)], [0, 1, 2], 0.0)
def test_any_floor_meets_every_condition_of_contact(
    steps: list[tuple[int, int]], places: list[int], slack: float
) -> None:
    station = np.cumsum([step / 4 for step, _ in steps])
    surface = np.array([height / 16 for _, height in steps])
    anchors = [float(station[place]) for place in places if place < station.size]
    lying = lie(station, surface, BOARD, anchors=anchors, slack=slack)
    assert worst_breach(lying, slack) < 1e-6


@pytest.mark.parametrize("slack", [SLACK, 0.25])
def test_bounded_least_squares_finds_the_same_optimum(slack: float) -> None:
    compared = 0
    for floor in seeded_floors(60, seed=7, most=30):
        if floor.station.size < 3 or np.diff(floor.station).min() < 0.5:
            continue
        lying = lie(floor.station, floor.surface, BOARD, anchors=floor.anchors, slack=slack)
        other = lift_by_least_squares(floor, BOARD, slack)
        bend, push = dense_program(floor, BOARD)
        energies = [v @ bend @ v / 2 + push @ v for v in (lying.lift, other)]
        assert energies[0] == pytest.approx(energies[1], rel=1e-13, abs=1e-9)
        if lying.polished:  # else it may balance on one high point, where any tilt is an optimum
            assert lying.lift == pytest.approx(other, abs=1e-7)
        compared += lying.polished
    assert compared > 20


def test_the_check_of_conditions_would_notice_a_small_error() -> None:
    lying = lie(INCHES, dip(0.5), BOARD, anchors=[48.0])
    assert worst_breach(lying, SLACK) < 1e-9
    for wrong in (
        replace(lying, contact=lying.contact * 1.00001),
        replace(lying, moment=lying.moment * 1.0001),
        replace(lying, lift=lying.lift + 1e-4),
        replace(lying, anchors=(AnchorPull(station=48.0, pull=lying.anchors[0].pull + 0.01),)),
    ):
        assert worst_breach(wrong, SLACK) > 1e-6


def test_steps_hardly_grow_with_the_line() -> None:
    rng = np.random.default_rng(3)
    for count in (200, 20_000):
        surface = 0.05 * np.cumsum(rng.normal(size=count)) / np.sqrt(np.arange(1, count + 1))
        lying = lie(np.arange(float(count)), surface, BOARD, anchors=range(8, count, 32))
        assert lying.steps <= 45
        assert abs(lying.contact.sum() - sum(a.pull for a in lying.anchors) - lying.weight) < 1e-5


def test_flat_floor_carries_the_plank_everywhere() -> None:
    lying = lie(INCHES, np.full(97, 3.0), BOARD, anchors=[8.0, 88.0])
    assert lying.touching.all()
    assert lying.lift.max() == 0.0
    assert lying.voids(thinnest=0.0) == ()
    assert [anchor.pull for anchor in lying.anchors] == pytest.approx([0.0, 0.0], abs=1e-9)
    assert lying.contact.sum() == pytest.approx(1.28 * 8)
    assert lying.top == pytest.approx(np.full(97, 4.5))


def test_a_single_station_and_two() -> None:
    alone = lie([5.0], [0.25], BOARD, anchors=[5.0])
    assert (alone.lift.tolist(), alone.contact.tolist(), alone.voids()) == ([0.0], [0.0], ())
    pair = lie([0.0, 12.0], [0.0, 1.0], BOARD)
    assert pair.contact == pytest.approx([0.64, 0.64])
    assert pair.moment == pytest.approx([0.0, 0.0])


def test_datum_and_slope_move_nothing_and_turning_round_mirrors() -> None:
    surface = 0.1 * np.sin(INCHES / 7) + 0.05 * np.cos(INCHES / 3)
    plain = lie(INCHES, surface, BOARD, anchors=[10.0, 50.0, 90.0])
    tilted = lie(INCHES, surface + 250.0 + 0.02 * INCHES, BOARD, anchors=[10.0, 50.0, 90.0])
    turned = lie(INCHES, surface[::-1], BOARD, anchors=[6.0, 46.0, 86.0])
    assert tilted.lift == pytest.approx(plain.lift, abs=1e-8)
    assert tilted.contact == pytest.approx(plain.contact, abs=1e-4)
    assert turned.lift[::-1] == pytest.approx(plain.lift, abs=1e-8)
    pulls = [anchor.pull for anchor in turned.anchors]
    assert pulls[::-1] == pytest.approx([anchor.pull for anchor in plain.anchors], abs=1e-5)


def test_void_over_a_dip_runs_from_contact_to_contact() -> None:
    # It also lifts a little beyond both edges, which the sag in the middle levers up.
    before, over, after = lie(INCHES, dip(0.5), BOARD).voids()
    assert (over.start, over.end, over.open_end) == (18.0, 78.0, False)
    assert 0.49 < over.depth < 0.5
    assert before.end == over.start
    assert after.start == over.end
    assert before.depth == pytest.approx(after.depth, abs=1e-9)
    assert before.depth < 0.01


def test_void_at_the_end_is_open() -> None:
    floor = np.where(INCHES > 60, -(INCHES - 60) / 10, 0.0)
    *_, void = lie(INCHES, floor, BOARD).voids()
    assert void.open_end
    assert (void.start, void.end, void.at) == (60.0, 96.0, 96.0)


def test_voids_thinner_than_asked_are_left_out() -> None:
    lying = lie(INCHES, dip(0.5), BOARD)
    assert lying.voids(thinnest=0.6) == ()
    assert len(lying.voids(thinnest=0.0)) >= 1


def test_lift_between_stations_is_straight() -> None:
    lying = lie([0.0, 10.0, 20.0], [0.0, -1.0, 0.0], BOARD)
    assert float(lying.lift_at(5.0)) == pytest.approx(float(lying.lift[1]) / 2)


def test_anchor_pulls_the_plank_into_a_dip() -> None:
    loose = lie(INCHES, dip(0.125), BOARD)
    held = lie(INCHES, dip(0.125), BOARD, anchors=[48.0])
    assert loose.lift[48] > 0.1
    assert held.lift[48] == pytest.approx(SLACK, abs=1e-9)
    assert held.anchors[0].pull > 1.0
    assert held.stress.max() > loose.stress.max()
    assert held.contact.sum() == pytest.approx(held.weight + held.anchors[0].pull)


def test_pull_settles_with_a_slack_and_never_without() -> None:
    pulls = {}
    for slack in (0.0, SLACK):
        for step in (1.0, 0.25):
            x = np.arange(0.0, 96.0 + step / 2, step)
            hump = 0.25 * np.maximum(1 - np.abs(x - 48) / 8, 0.0)
            lying = lie(x, hump, BOARD, anchors=[32.0, 64.0], slack=slack)
            pulls[slack, step] = lying.anchors[0].pull
    assert pulls[SLACK, 0.25] == pytest.approx(pulls[SLACK, 1.0], rel=0.02)
    assert pulls[0.0, 0.25] > 1.5 * pulls[0.0, 1.0]


def test_anchor_between_stations_becomes_a_station() -> None:
    lying = lie([0.0, 12.0, 24.0], [0.0, 0.6, 0.0], BOARD, anchors=[18.0, 12.005], slack=0.0)
    assert lying.station.tolist() == [0.0, 12.0, 18.0, 24.0]
    assert lying.surface[2] == pytest.approx(0.3)
    assert [anchor.station for anchor in lying.anchors] == [12.0, 18.0]


def test_two_boards_lift_alike_and_pull_double() -> None:
    double = type(BOARD)(
        thickness=1.5, width=3.5, stiffness=1.4e6, weight=2 * BOARD.weight, boards=2
    )
    floor = 0.2 * np.sin(INCHES / 9)
    one, two = (lie(INCHES, floor, plank, anchors=[20.0, 76.0]) for plank in (BOARD, double))
    assert two.lift == pytest.approx(one.lift, abs=1e-9)
    assert two.anchors[0].pull == pytest.approx(2 * one.anchors[0].pull)
    assert two.stress == pytest.approx(one.stress, abs=1e-6)
    assert two.top - two.underside == pytest.approx(np.full(97, 3.0))


def test_results_are_read_only_and_input_is_left_alone() -> None:
    floor = dip(0.3)
    before = floor.copy()
    lying = lie(INCHES, floor, BOARD)
    assert np.array_equal(floor, before)
    with pytest.raises(ValueError, match="read-only"):
        lying.lift[0] = 1.0


@pytest.mark.parametrize(
    ("anchors", "slack", "words"),
    [
        ([97.0, -1.0], SLACK, "anchor at 97, -1: the plank runs from 0 to 96"),
        ([float("nan")], SLACK, "anchor at nan"),
        ([], -0.1, "slack -0.1 at the anchors: it must be zero or more"),
        ([], float("nan"), "slack nan at the anchors"),
    ],
)
def test_what_cannot_be_is_refused(anchors: list[float], slack: float, words: str) -> None:
    with pytest.raises(SurveyError, match=words):
        lie(INCHES, np.zeros(97), BOARD, anchors=anchors, slack=slack)


def test_the_oracle_is_no_copy() -> None:
    # A plank resting level on two props at its ends sags by 5 w L^4 / (384 EI) less end effects.
    floor = Floor(
        kind="two props",
        station=np.linspace(0.0, 96.0, 13),
        surface=np.concatenate([[0.0], np.full(11, -9.0), [0.0]]),
        anchors=(),
    )
    sag = 5 * BOARD.weight * 96.0**4 / (384 * BOARD.rigidity)
    assert lift_by_least_squares(floor, BOARD, 0.0)[6] == pytest.approx(9.0 - sag, abs=1e-5)
    assert lie(floor.station, floor.surface, BOARD).lift[6] == pytest.approx(9.0 - sag, abs=1e-9)
