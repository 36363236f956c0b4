"""A framed wall cut into sections that can be stood up: the fewest, then the most alike."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

CLOSE = 1e-6
HALVINGS = 40


def cut_sections(
    length: float, joints: Sequence[float], *, longest: float
) -> tuple[tuple[float, float], ...]:
    """Sections of a wall: the fewest no longer than `longest`, and among those the most alike.

    Parameters
    ----------
    length
        Of the wall [in].
    joints
        Stations at which sections may meet [in]; the wall's ends are not among them.
    longest
        Longest section [in]. Where the next joint is further than that, so is the section.

    >>> cut_sections(200.0, [48.0, 96.0, 144.0], longest=144.0)
    ((0.0, 96.0), (96.0, 200.0))
    """
    stations = sorted({joint for joint in joints if CLOSE < joint < length - CLOSE})
    fewest = _reach(length, stations, longest)
    low, high = length / (len(fewest) - 1), longest
    best = fewest
    for _ in range(HALVINGS):
        most = (low + high) / 2.0
        tried = _reach(length, stations, most)
        if len(tried) == len(fewest) and _longest(tried) <= longest + CLOSE:
            best, high = tried, most
        else:
            low = most
    return tuple(pairwise(best if _longest(best) < _longest(fewest) else fewest))


def _reach(length: float, stations: Sequence[float], most: float) -> list[float]:
    """Edges of sections each as long as may be; longer only where no joint is near enough."""
    edges = [0.0]
    while length - edges[-1] > most + CLOSE:
        ahead = [station for station in stations if station > edges[-1] + CLOSE]
        near = [station for station in ahead if station <= edges[-1] + most + CLOSE]
        if not ahead:
            break
        edges.append(near[-1] if near else ahead[0])
    return [*edges, length]


def _longest(edges: Sequence[float]) -> float:
    return max(b - a for a, b in pairwise(edges))
