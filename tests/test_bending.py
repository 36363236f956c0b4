"""The bent line against every vertex of its linear program, and rounding of its lengths."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey.errors import SurveyError
from survey.slab.kriging import FloatArray
from survey.wall.bending import Corridor, keeps_limits, lowest_bent_line, round_lengths

sixteenths = st.integers(0, 24).map(lambda i: i / 16)
walls = st.lists(st.tuples(sixteenths, sixteenths, sixteenths), min_size=3, max_size=4)
Wall = list[tuple[float, float, float]]


def corridor_of(wall: Wall, bend: float, *, uneven: bool = False) -> Corridor:
    low, width, above = (np.array(column) for column in zip(*wall, strict=True))
    x = np.array([0.0, 16.0, 32.0, 42.0 if uneven else 48.0])[: low.size]
    return Corridor(x=x, at=x, low=low, high=low + width, base=low - above, bend=bend)


def best_vertex(corridor: Corridor) -> tuple[float, float] | None:
    """Least greatest gap, then least sum, over all corners of the polyhedron of (heights, gap).

    Sum of heights and gap are bounded below, so each optimum lies at a corner.
    """
    n = corridor.x.size
    space = np.diff(corridor.x)
    eye, t = np.eye(n), np.ones((n, 1))
    bends = np.zeros((n - 2, n))
    for i in range(n - 2):
        a, b = space[i], space[i + 1]
        bends[i, i : i + 3] = [2 * b / (a + b), -2.0, 2 * a / (a + b)]
    blocks = [(-eye, -corridor.low), (eye, corridor.high)]
    blocks += [(sign * bends, np.full(n - 2, corridor.bend)) for sign in (1.0, -1.0)]
    rows = np.vstack([np.hstack([m, np.zeros((m.shape[0], 1))]) for m, _ in blocks])
    rows = np.vstack([rows, np.hstack([eye, -t])])
    limits = np.concatenate([limit for _, limit in blocks] + [corridor.base])
    chosen = np.array(list(combinations(range(limits.size), n + 1)))
    square = rows[chosen]
    square, right = (
        part[np.abs(np.linalg.det(square)) > 1e-9] for part in (square, limits[chosen])
    )
    corners = np.linalg.solve(square, right[..., None])[..., 0]
    corners = corners[(corners @ rows.T <= limits + 1e-9).all(axis=1)]
    if corners.size == 0:
        return None
    least = corners[:, -1].min()
    # Corners of the face on which the gap is least are corners of the whole polyhedron.
    return float(least), float(corners[corners[:, -1] <= least + 1e-9][:, :-1].sum(axis=1).min())


@settings(derandomize=True, database=None, deadline=None, max_examples=60)
@given(walls, st.sampled_from([0.0, 0.125, 0.3]), st.booleans())
def test_optimum_equals_the_best_corner(wall: Wall, bend: float, uneven: bool) -> None:
    corridor = corridor_of(wall, bend, uneven=uneven)
    line = lowest_bent_line(corridor)
    best = best_vertex(corridor)
    if best is None:
        assert line.short_by > 1e-7
        raised = replace(corridor, high=corridor.high + line.short_by)
        assert keeps_limits(raised, line.heights)
        assert best_vertex(replace(corridor, high=corridor.high + line.short_by - 1e-4)) is None
        return
    assert line.short_by == 0.0
    assert keeps_limits(corridor, line.heights)
    assert line.greatest_gap == pytest.approx(best[0], abs=1e-6)
    assert line.heights.sum() == pytest.approx(best[1], abs=1e-5)


def bumpy(n: int = 30) -> Corridor:
    rng = np.random.default_rng(11)
    x = 16.0 * np.arange(float(n))
    at = np.arange(-0.5, x[-1] + 1.0)
    floor = np.interp(at, x, rng.normal(0.0, 0.15, n)) + 0.05 * np.sin(at)
    return Corridor(x=x, at=at, low=floor + 1.0, high=floor + 2.5, base=floor, bend=0.16)


def test_places_between_the_points_are_held_too() -> None:
    hump = np.array([0.0, 0.0, 0.5, 0.0, 0.0])
    at = np.array([0.0, 16.0, 24.0, 32.0, 48.0])
    x = np.array([0.0, 16.0, 32.0, 48.0])
    line = lowest_bent_line(Corridor(x=x, at=at, low=hump, high=hump + 9, base=hump, bend=0.1))
    assert np.interp(24.0, x, line.heights) == pytest.approx(0.5, abs=1e-6)


def test_no_bend_gives_a_straight_line() -> None:
    line = lowest_bent_line(replace(bumpy(), bend=0.0))
    assert np.abs(np.diff(line.heights, 2)).max() < 1e-6


def test_more_bend_never_widens_the_gap() -> None:
    found = [lowest_bent_line(replace(bumpy(), bend=bend)) for bend in (0.0, 0.05, 0.2, 1.0)]
    gaps = [line.greatest_gap for line in found]
    assert all(b <= a + 1e-6 for a, b in pairwise(gaps))
    assert gaps[-1] < gaps[0]


def test_one_and_two_points() -> None:
    one = np.array([8.0])
    line = lowest_bent_line(Corridor(x=one, at=one, low=one, high=one + 1, base=one, bend=0.1))
    assert line.heights.tolist() == pytest.approx([8.0], abs=1e-6)
    two = np.array([0.0, 16.0])
    line = lowest_bent_line(Corridor(x=two, at=two, low=two, high=two + 1, base=two, bend=0.1))
    assert line.heights.tolist() == pytest.approx([0.0, 16.0], abs=1e-6)


def test_reserve_lets_lengths_be_rounded() -> None:
    corridor = bumpy()
    over = np.full(corridor.x.size, 95.13)
    plain = round_lengths(corridor, lowest_bent_line(corridor).heights, over)
    assert plain.step == 0.0
    drawn_in = lowest_bent_line(corridor, reserve=1 / 16)
    rounded = round_lengths(corridor, drawn_in.heights, over)
    assert rounded.step >= 1 / 16
    assert keeps_limits(corridor, rounded.heights)
    assert (rounded.heights >= drawn_in.heights - 1e-6).all()
    sixteenths_of = rounded.lengths * 16
    assert sixteenths_of == pytest.approx(np.round(sixteenths_of), abs=1e-9)


def test_reserve_keeps_off_the_upper_limit() -> None:
    x = np.array([0.0, 16.0, 32.0])
    low = np.array([0.0, 1.0, 0.0])
    corridor = Corridor(x=x, at=x, low=low, high=low + 0.5, base=low, bend=1.25)
    assert lowest_bent_line(corridor).short_by == 0.0
    # 1 in of hump may bend by 1.25 - 2 x .125, so the ends must rise .5, and .375 is left.
    assert lowest_bent_line(corridor, reserve=0.125).short_by == pytest.approx(0.125, abs=1e-6)


def test_the_coarsest_step_that_keeps_the_limits_is_taken() -> None:
    x = np.array([0.0, 16.0])
    heights, over = np.zeros(2), np.array([90.45, 90.45])

    def step_for(room: float) -> float:
        corridor = Corridor(x=x, at=x, low=heights, high=heights + room, base=heights, bend=0.0)
        return round_lengths(corridor, heights, over).step

    # 90.45 is 0.45 over a half, 0.2 over a quarter, 0.075 over an eighth, 0.0125 over 7/16
    assert [step_for(room) for room in (0.45, 0.44, 0.075, 0.07, 0.01)] == [
        0.5, 0.25, 0.125, 0.0625, 0.0,
    ]  # fmt: skip


def test_a_point_that_nothing_holds_is_refused() -> None:
    x = np.array([0.0, 16.0])
    at = np.array([0.0])
    with pytest.raises(SurveyError, match="could not be fitted"):
        lowest_bent_line(Corridor(x=x, at=at, low=at, high=at + 1, base=at, bend=0.1))


@pytest.mark.parametrize(
    ("change", "match"),
    [
        ({"low": np.zeros(2)}, "one number for every place"),
        ({"at": np.empty(0)}, "at one place at least"),
        ({"high": np.array([1.0, np.inf, 1.0])}, "not finite"),
        ({"bend": np.ones(3)}, "every inner point"),
        ({"bend": -0.1}, "less than twice the reserve"),
        ({"x": np.array([0.0, 0.0, 1.0])}, "must increase"),
    ],
)
def test_what_does_not_go_together_is_refused(
    change: dict[str, FloatArray | float], match: str
) -> None:
    x = np.array([0.0, 16.0, 32.0])
    good = Corridor(x=x, at=x, low=np.zeros(3), high=np.ones(3), base=np.zeros(3), bend=0.1)
    with pytest.raises(SurveyError, match=match):
        lowest_bent_line(replace(good, **change))  # type: ignore[arg-type]  # one field each


def test_a_reserve_over_half_the_bend_is_refused() -> None:
    with pytest.raises(SurveyError, match="less than twice the reserve"):
        lowest_bent_line(bumpy(), reserve=0.081)
