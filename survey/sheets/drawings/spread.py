"""Labels in a row: moved apart as little as possible until none covers another."""

from __future__ import annotations

from collections.abc import Sequence


def spread(wanted: Sequence[float], pitch: float, low: float, high: float) -> tuple[float, ...]:
    """Places for labels near where they are wanted, in the same order.

    Parameters
    ----------
    wanted
        Where each label would stand by itself, ascending.
    pitch
        Least distance between neighbours.
    low, high
        The first and the last place a label may have; where there is not room enough between
        them, the labels stand closer than `pitch`, evenly.

    Returns
    -------
    tuple of float
        Places with the least sum of squared moves.

    References
    ----------
    Isotonic regression by pooling adjacent violators: Barlow, Bartholomew, Bremner and Brunk,
    *Statistical Inference under Order Restrictions* (1972), chapter 1 (from memory). Less i x
    pitch, places must not fall; the bounded answer is the free one brought inside the bounds.

    >>> spread([1.0, 1.0, 3.0], 0.5, 0.0, 4.0)
    (0.75, 1.25, 3.0)
    """
    count = len(wanted)
    if count > 1 and (count - 1) * pitch > high - low:
        step = (high - low) / (count - 1)
        return tuple(low + i * step for i in range(count))
    most = high - (count - 1) * pitch
    level = _not_falling([x - i * pitch for i, x in enumerate(wanted)])
    return tuple(min(max(z, low), most) + i * pitch for i, z in enumerate(level))


def _not_falling(values: Sequence[float]) -> list[float]:
    """The nearest sequence that never falls: neighbours that do are replaced by their mean."""
    blocks: list[tuple[float, int]] = []
    for value in values:
        mean, size = value, 1
        while blocks and blocks[-1][0] > mean:
            before, count = blocks.pop()
            mean, size = (before * count + mean * size) / (count + size), count + size
        blocks.append((mean, size))
    return [mean for mean, size in blocks for _ in range(size)]
