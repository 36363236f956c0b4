"""Pieces of slab plate and their anchors."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey.wall.anchoring import cut_pieces, propose_anchors


def test_the_plate_is_spliced_at_joints_and_doors_are_left_out() -> None:
    pieces = cut_pieces([(0.0, 60.0), (98.0, 200.0)], [120.0], longest=192.0, spacing=32.0)
    assert [(p.start, p.end) for p in pieces] == [(0.0, 60.0), (98.0, 120.0), (120.0, 200.0)]


def test_a_stretch_longer_than_a_board_is_cut_into_equal_pieces() -> None:
    pieces = cut_pieces([(0.0, 300.0)], [], longest=144.0, spacing=32.0)
    assert [p.end - p.start for p in pieces] == pytest.approx([100.0] * 3)


@given(
    length=st.floats(4.0, 192.0),
    spacing=st.floats(12.0, 48.0),
    breaks=st.lists(st.floats(5.0, 180.0), max_size=3),
)
def test_every_piece_has_two_anchors_near_its_ends_and_none_at_a_joint(
    length: float, spacing: float, breaks: list[float]
) -> None:
    pieces = cut_pieces([(0.0, length)], sorted(breaks), longest=96.0, spacing=spacing)
    assert sum(p.end - p.start for p in pieces) == pytest.approx(length)
    for piece in pieces:
        anchors = np.array(piece.anchors)
        assert anchors.size >= 2
        assert piece.start < anchors[0] <= piece.start + 12.0
        assert piece.end - 12.0 <= anchors[-1] < piece.end
        assert np.diff(anchors).max() <= spacing + 1e-6
        if piece.end - piece.start >= 16.0:
            assert min(anchors[0] - piece.start, piece.end - anchors[-1]) >= 4.0


def test_a_piece_of_a_foot_still_has_two() -> None:
    assert propose_anchors(0.0, 12.0, spacing=32.0) == (3.0, 9.0)
