"""Where a slab plate is cut into pieces and where its anchors go.

References
----------
Common practice: splices at slab joints and cracks, no anchor within 4 in of one; anchors 6 to 12 in
from ends, splices and doors; two anchors a piece at least.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

import numpy as np

END_DISTANCE = 8.0
LEAST_PIECE = 1.0


@dataclass(frozen=True, kw_only=True)
class Piece:
    """A piece of plate from `start` to `end` [in], and where its anchors are proposed."""

    start: float
    end: float
    anchors: tuple[float, ...]


def cut_pieces(
    stretches: Sequence[tuple[float, float]],
    breaks: Sequence[float],
    *,
    longest: float,
    spacing: float,
) -> tuple[Piece, ...]:
    """Cut stretches of plate at the breaks and into boards, and propose anchors for each piece.

    Parameters
    ----------
    stretches
        Where plate is wanted, doors left out [in].
    breaks
        Stations of slab joints and cracks [in]: the plate is spliced there.
    longest
        Longest board to be had [in]; a longer stretch is cut into equal pieces.
    spacing
        Greatest distance between neighbouring anchors [in].

    >>> [(p.start, p.end) for p in cut_pieces([(0, 100)], [30], longest=48, spacing=32)]
    [(0.0, 30.0), (30.0, 65.0), (65.0, 100.0)]
    """
    pieces = []
    for start, end in stretches:
        for a, b in pairwise(_edges(start, end, breaks)):
            boards = max(ceil((b - a) / longest - 1e-9), 1)
            cuts = np.linspace(a, b, boards + 1).tolist()
            pieces += [
                Piece(start=u, end=v, anchors=propose_anchors(u, v, spacing=spacing))
                for u, v in pairwise(cuts)
            ]
    return tuple(pieces)


def _edges(start: float, end: float, breaks: Sequence[float]) -> list[float]:
    """Ends of a stretch and the breaks in it, none nearer to the one before than a piece may be."""
    edges = [start]
    for b in sorted(breaks):
        if edges[-1] + LEAST_PIECE < b < end - LEAST_PIECE:
            edges.append(b)
    return [*edges, end]


def propose_anchors(start: float, end: float, *, spacing: float) -> tuple[float, ...]:
    """Anchors evenly spread over a piece, the outer ones near its ends, two at least.

    >>> [round(anchor, 1) for anchor in propose_anchors(0.0, 96.0, spacing=32.0)]
    [8.0, 34.7, 61.3, 88.0]
    """
    edge = min(END_DISTANCE, (end - start) / 4.0)
    spaces = max(ceil((end - start - 2.0 * edge) / spacing - 1e-9), 1)
    return tuple(np.linspace(start + edge, end - edge, spaces + 1).tolist())
