"""The readings of one line made ready for the model: binned where dense, with their covariance."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from survey import standards
from survey.field.levelling import Adjustment
from survey.slab.joints import piece_of
from survey.slab.kriging import FloatArray, IntArray
from survey.slab.roughness import ReadLine

BIN = 1.0
MOST_BINS = 400


def read_line(
    heights: Adjustment,
    below: IntArray,
    others: tuple[IntArray, IntArray],
    joints: Sequence[float],
    length: float,
) -> tuple[ReadLine, FloatArray]:
    """Readings of the slab or plate for the model, and their covariance with others' together.

    Parameters
    ----------
    heights
        The adjusted survey.
    below
        Spots of the slab, or of the plate, by station.
    others
        Other spots, and the bin of each.
    joints, length
        Of the line [in].
    """
    spots = heights.spots
    station, elevation = spots.station[below], spots.elevation[below]
    piece = piece_of(joints, station, spots.side[below])
    bins = bin_of(station, piece, length)
    count = int(bins.max()) + 1
    covariance = heights.covariance_of_means(
        np.concatenate([bins, count + others[1]]), np.concatenate([below, others[0]])
    )
    station, elevation = means(bins, station), means(bins, elevation)
    piece = np.round(means(bins, piece.astype(np.float64))).astype(np.int64)
    read = ReadLine(
        station=station,
        piece=piece,
        elevation=elevation,
        noise=covariance[: station.size, : station.size],
        slope_sd=slope_prior(station, piece),
    )
    return read, covariance


def slope_prior(station: FloatArray, piece: IntArray) -> float | None:
    """Prior sd of the slope [in per in] where the readings cannot tell it, else None."""
    alone = int(np.bincount(piece).max()) < 3
    one_place = all(np.ptp(station[piece == p]) < BIN for p in np.unique(piece))
    return standards.SLOPE_SD.value if alone or one_place else None


def bin_of(station: FloatArray, piece: IntArray, length: float) -> IntArray:
    """Bin of every reading: its own, or where they are closer than an inch, one an inch.

    No line keeps more bins than can be worked with; on a longer one they are wider.
    """
    if station.size <= min(length / BIN, MOST_BINS):
        return np.arange(station.size)
    width = max(BIN, length / MOST_BINS)
    key = np.stack([piece, np.floor(station / width).astype(np.int64)])
    return np.unique(key, axis=1, return_inverse=True)[1].ravel()


def means(bins: IntArray, values: FloatArray) -> FloatArray:
    """Mean of the values in each bin."""
    return np.asarray(np.bincount(bins, values) / np.bincount(bins))
