"""One wall line as read: the surface the wall is measured from, its joists, their covariance."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from survey.errors import Note
from survey.field.tapes import Tape
from survey.job import WallLine
from survey.slab.kriging import FloatArray
from survey.slab.roughness import ReadLine

Under = Literal["slab", "plate"]


@dataclass(frozen=True, kw_only=True, eq=False)
class Beneath:
    """The slab under a plate that was read too.

    `read` and `joints` are as those of a line of slab; `covariance` (n, p) is that of its n
    readings with the p readings of the plate [in2].
    """

    read: ReadLine
    joints: tuple[float, ...]
    covariance: FloatArray


@dataclass(frozen=True, kw_only=True, eq=False)
class LineProfile:
    """One wall line as read: slab and joists with their joint covariance.

    Attributes
    ----------
    wall, length
        The line's settings and its length [in].
    joints
        Stations at which the slab is split [in], ascending, inside the line.
    cracks
        Stations flagged as cracks [in]; they do not split the slab.
    slab
        Readings of the `surface` for the model (binned where more than one an inch).
    joist_station, joist_elevation
        Joist undersides read, shape (j,) [in], ascending.
    covariance
        Of the n slab elevations followed by the j joist elevations, shape (n + j, n + j) [in2].
    surface
        What `slab` holds: the slab, or the top of the slab plate that is fixed to it.
    tape_only
        Whether nothing was levelled: heights are then good against each other, joist against
        slab, and neither level nor slope is known.
    tapes
        Clear heights taken besides; on a tape-only line those that `slab` was made of.
    beneath
        The slab under the plate, where both were read; empty or one.
    """

    wall: WallLine
    length: float
    joints: tuple[float, ...]
    cracks: tuple[float, ...]
    slab: ReadLine
    joist_station: FloatArray
    joist_elevation: FloatArray
    covariance: FloatArray
    surface: Under = "slab"
    tape_only: bool = False
    tapes: tuple[Tape, ...] = ()
    beneath: tuple[Beneath, ...] = ()
    notes: tuple[Note, ...] = ()

    @property
    def bare_slab(self) -> bool:
        """Whether the bare slab was levelled: what may be ground, and has a shape that is known."""
        return self.surface == "slab" and not self.tape_only
