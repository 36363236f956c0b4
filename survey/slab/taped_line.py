"""Clear heights joined to a line: each is a further reading of the slab, joist there less tape.

A tape is `joist - slab + error`. With the joist's height `z = joist + error'`, read or taken for
granted, `z - tape = slab + error' - error`: a reading of the slab whose error goes with that of
the joist. Slab and joists so extended keep one joint covariance, and nothing is approximated.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from survey.slab.joints import piece_of
from survey.slab.kriging import FloatArray, IntArray
from survey.slab.line_profile import LineProfile
from survey.slab.line_readings import slope_prior
from survey.slab.roughness import ReadLine

SAME_JOIST = 2.0  # a tape this near a joist that was read [in] went to that joist
LOOSE = 12.0  # sd of a joist that only tapes tell of [in]: as good as not known


@dataclass(frozen=True, kw_only=True, eq=False)
class ClearHeights:
    """Clear heights over the surface of a line, shape (t,) [in]; `side` as for readings."""

    station: FloatArray
    side: IntArray
    clear: FloatArray
    sd: FloatArray


@dataclass(frozen=True, kw_only=True, eq=False)
class TapedSlab:
    """What clear heights say of the slab, as readings of it, shape (t,).

    `joist` indexes the joist each was taken to, in `joist_station` and `joist_elevation` (j,),
    whose covariance [in2] stands after the n readings of the slab in `covariance` (n + j, n + j).
    """

    station: FloatArray
    piece: IntArray
    elevation: FloatArray
    sd: FloatArray
    joist: IntArray
    joist_station: FloatArray
    joist_elevation: FloatArray
    covariance: FloatArray

    @property
    def towards(self) -> FloatArray:
        """Covariance of their errors with those of the slab's readings, shape (t, n) [in2]."""
        count = self.covariance.shape[0] - self.joist_station.size
        return self.covariance[count + self.joist, :count]

    @property
    def variance(self) -> FloatArray:
        """Variance of their errors, shape (t,) [in2]."""
        count = self.covariance.shape[0] - self.joist_station.size
        return np.asarray(np.diag(self.covariance)[count + self.joist] + self.sd**2)


def as_slab(line: LineProfile, heights: ClearHeights, *, scatter: float) -> TapedSlab:
    """Turn clear heights into readings of the slab.

    A joist that was not read is taken between those that were, with sd `scatter` [in]; where none
    was read the tapes alone tell the joists from the slab, and where the slab was not read either
    all joists are alike to within `scatter`.
    """
    joist, new = _joists_meant(line.joist_station, heights.station)
    station = np.concatenate([line.joist_station, new])
    elevation, covariance = _with_joists(line, heights, joist, new, scatter)
    return TapedSlab(
        station=heights.station,
        piece=piece_of(line.joints, heights.station, heights.side),
        elevation=elevation[joist] - heights.clear,
        sd=heights.sd,
        joist=joist,
        joist_station=station,
        joist_elevation=elevation,
        covariance=covariance,
    )


def join_tapes(line: LineProfile, taped: TapedSlab) -> LineProfile:
    """The line with the clear heights among its readings."""
    n, t = line.slab.station.size, taped.station.size
    joist_order = np.argsort(taped.joist_station, kind="stable")
    slab_station = np.concatenate([line.slab.station, taped.station])
    piece = np.concatenate([line.slab.piece, taped.piece])
    slab_order = np.lexsort((slab_station, piece))
    # Rows of the wider covariance by what each error is made of: its own, or its joist's.
    source = np.concatenate(
        [np.arange(n), n + taped.joist, n + np.arange(taped.joist_station.size)]
    )
    wide = taped.covariance[np.ix_(source, source)]
    wide[np.arange(n, n + t), np.arange(n, n + t)] += taped.sd**2
    order = np.concatenate([slab_order, n + t + joist_order])
    covariance = wide[np.ix_(order, order)]
    station, piece = slab_station[slab_order], piece[slab_order]
    told = t > 0 and line.slab.slope_sd is not None
    return dataclasses.replace(
        line,
        slab=ReadLine(
            station=station,
            piece=piece,
            elevation=np.concatenate([line.slab.elevation, taped.elevation])[slab_order],
            noise=covariance[: n + t, : n + t],
            slope_sd=slope_prior(station, piece) if told else line.slab.slope_sd,
        ),
        joist_station=taped.joist_station[joist_order],
        joist_elevation=taped.joist_elevation[joist_order],
        covariance=covariance,
    )


def nothing_read() -> ReadLine:
    """Readings of a slab that was not levelled: none, for tapes to be joined to."""
    none = np.zeros(0)
    return ReadLine(
        station=none,
        piece=np.zeros(0, dtype=np.int64),
        elevation=none,
        noise=np.zeros((0, 0)),
        slope_sd=1.0,
    )


def _joists_meant(read: FloatArray, station: FloatArray) -> tuple[IntArray, FloatArray]:
    """Joist each tape was taken to, those read first; and the stations of those not read."""
    known = read.tolist()
    joist = np.empty(station.size, dtype=np.int64)
    for i in np.argsort(station, kind="stable"):
        apart = np.abs(np.array(known) - station[i])
        if not known or apart.min() > SAME_JOIST:
            known.append(float(station[i]))
            apart = np.append(apart, 0.0)
        joist[i] = np.argmin(apart)
    return joist, np.array(known[read.size :])


def _with_joists(
    line: LineProfile,
    heights: ClearHeights,
    joist: IntArray,
    new: FloatArray,
    scatter: float,
) -> tuple[FloatArray, FloatArray]:
    """Heights of the joists with the new ones, and the covariance of slab and all joists."""
    n, read = line.slab.station.size, line.joist_station.size
    mix = np.zeros((n + read + new.size, n + read))
    mix[: n + read] = np.eye(n + read)
    own = np.zeros(n + read + new.size)
    if read:
        for i, unit in enumerate(np.eye(read)):
            mix[n + read :, n + i] = np.interp(new, line.joist_station, unit)
        added, own[n + read :] = mix[n + read :, n:] @ line.joist_elevation, scatter
    elif n:
        over = np.interp(heights.station, line.slab.station, line.slab.elevation) + heights.clear
        added = np.bincount(joist, over) / np.bincount(joist)
        own[n:] = LOOSE
    else:
        added, own[n:] = np.zeros(new.size), scatter
    covariance = mix @ line.covariance @ mix.T + np.diag(own**2)
    return np.concatenate([line.joist_elevation, added]), covariance


def heights_over(tapes: Sequence[tuple[float, int, float, float]]) -> ClearHeights:
    """Clear heights from rows of station, side, clear and sd."""
    station, side, clear, sd = (np.array(column) for column in zip(*tapes, strict=True))
    return ClearHeights(
        station=station.astype(np.float64),
        side=side.astype(np.int64),
        clear=clear.astype(np.float64),
        sd=sd.astype(np.float64),
    )
