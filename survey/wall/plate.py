"""The slab plate as it lies: how much height it takes along the line."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey.job import WallSettings
from survey.slab.kriging import FloatArray


@dataclass(frozen=True, kw_only=True, eq=False)
class SlabPlate:
    """The treated plate on the slab.

    `count` boards of `thickness` on a `seal` [in]; `lift` (m,) is how far it stands off the slab
    at each node and `cross_fall` what the slab's slope across the plate takes [in].
    """

    count: int
    thickness: float
    seal: float
    lift: FloatArray
    cross_fall: float

    @property
    def height(self) -> FloatArray:
        """Plate top over the slab at each node, shape (m,) [in]."""
        return np.asarray(self.seal + self.count * self.thickness + self.lift)


def lie_flat(station: FloatArray, settings: WallSettings, *, count: int) -> SlabPlate:
    """Plate that follows the slab all along, with `count` boards.

    The slab's fall across the wall lifts the plate's far edge, and readings taken beside the wall
    miss it by the offset: both are taken off the gap.
    """
    board, line = settings.slab_board, settings.line
    return SlabPlate(
        count=count,
        thickness=board.thickness,
        seal=settings.plate.seal,
        lift=np.zeros(station.size),
        cross_fall=abs(line.cross_fall) * (board.width / 2 + line.read_offset),
    )
