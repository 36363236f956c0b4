"""A wall cut into sections: the fewest, then the most alike."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey.wall.sections import cut_sections

JOINTS = st.lists(st.integers(1, 39).map(lambda n: 4.0 * n), unique=True, max_size=8)
LENGTH = 160.0


def _longest(edges: tuple[float, ...]) -> float:
    return max(b - a for a, b in pairwise(edges))


@given(joints=JOINTS, longest=st.floats(20.0, 170.0))
def test_sections_are_the_fewest_and_then_the_most_alike(
    joints: list[float], longest: float
) -> None:
    found = cut_sections(LENGTH, joints, longest=longest)
    assert found[0][0] == 0.0
    assert found[-1][1] == LENGTH
    assert all(a[1] == b[0] for a, b in pairwise(found))
    assert {b for _, b in found[:-1]} <= set(joints)
    cuts = [
        (0.0, *chosen, LENGTH)
        for n in range(len(joints) + 1)
        for chosen in combinations(sorted(joints), n)
    ]
    kept = [edges for edges in cuts if _longest(edges) <= longest + 1e-6]
    if kept:
        fewest = min(len(edges) for edges in kept)
        alike = min(_longest(edges) for edges in kept if len(edges) == fewest)
        assert len(found) == fewest - 1
        assert max(b - a for a, b in found) == pytest.approx(alike)


def test_where_no_joint_is_near_enough_a_section_is_longer() -> None:
    assert cut_sections(200.0, [150.0], longest=100.0) == ((0.0, 150.0), (150.0, 200.0))


def test_without_joints_a_wall_is_one_section() -> None:
    assert cut_sections(200.0, [], longest=100.0) == ((0.0, 200.0),)


def test_a_short_wall_is_one_section() -> None:
    assert cut_sections(90.0, [16.0, 32.0, 48.0], longest=144.0) == ((0.0, 90.0),)
