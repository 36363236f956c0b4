"""The slab plate as it lies: its pieces, their anchors, and how much height it takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from survey import standards
from survey.job import WallSettings
from survey.slab.contact import LyingPlank, Void, lie
from survey.slab.kriging import BoolArray, FloatArray
from survey.slab.plank import Plank, lumber_plank
from survey.slab.slab_line import SlabLine
from survey.wall.anchoring import Piece, cut_pieces

THINNEST_VOID = 1 / 64


@dataclass(frozen=True, kw_only=True)
class Anchor:
    """An anchor of the slab plate: where [in], what it must pull [lb], what to know of it."""

    station: float
    pull: float
    remark: str


@dataclass(frozen=True, kw_only=True, eq=False)
class PlatePiece:
    """One piece of the plate as it lies on the mean slab.

    `stress` is its greatest bending stress [psi]; `voids` are where it stands off the slab.
    """

    start: float
    end: float
    anchors: tuple[Anchor, ...]
    voids: tuple[Void, ...]
    stress: float
    lying: LyingPlank


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
    pieces: tuple[PlatePiece, ...] = ()

    @property
    def height(self) -> FloatArray:
        """Plate top over the slab at each node, shape (m,) [in]."""
        return np.asarray(self.seal + self.count * self.thickness + self.lift)

    @property
    def splices(self) -> tuple[float, ...]:
        """Stations at which two pieces meet [in]."""
        ends = {piece.end for piece in self.pieces}
        return tuple(piece.start for piece in self.pieces if piece.start in ends)


def lay_plate(
    slab: SlabLine,
    stretches: Sequence[tuple[float, float]],
    breaks: Sequence[float],
    settings: WallSettings,
    *,
    count: int,
) -> SlabPlate:
    """Lay the plate on the mean slab, piece by piece, held by its anchors.

    The slab's fall across the wall lifts the plate's far edge, and readings taken beside the wall
    miss it by the offset: both are taken off the gap.

    Parameters
    ----------
    slab
        The slab along the line.
    stretches, breaks
        Where there is plate, and the joints and cracks it is spliced at [in].
    settings
        The wall's settings.
    count
        Boards on top of one another.
    """
    board, line = settings.slab_board, settings.line
    plank = lumber_plank(board, boards=count)
    pieces = cut_pieces(
        stretches, breaks, longest=settings.lumber.longest, spacing=settings.plate.anchor_spacing
    )
    lying = [_lay(piece, slab, plank, settings) for piece in pieces]
    lift = np.zeros(slab.at.station.size)
    for piece in lying:
        under = nodes_under(slab, piece.start, piece.end)
        lift[under] = piece.lying.lift_at(slab.at.station[under])
    return SlabPlate(
        count=count,
        thickness=board.thickness,
        seal=settings.plate.seal,
        lift=lift,
        cross_fall=abs(line.cross_fall) * (board.width / 2 + line.read_offset),
        pieces=tuple(lying),
    )


def nodes_under(slab: SlabLine, start: float, end: float) -> BoolArray:
    """Grid nodes under a piece of plate, on the piece of slab its middle lies on."""
    station, middle = slab.at.station, (start + end) / 2.0
    of_slab = slab.at.piece[int(np.argmin(np.abs(station - middle)))]
    inside = (station >= start - 1e-6) & (station <= end + 1e-6)
    return np.asarray(inside & (slab.at.piece == of_slab))


def anchor_limit(settings: WallSettings) -> float:
    """Pull an anchor may be asked for [lb]: the job's, else the standard's."""
    given = settings.plate.anchor_limit
    return standards.ANCHOR_PULL.value if given is None else given


def _lay(piece: Piece, slab: SlabLine, plank: Plank, settings: WallSettings) -> PlatePiece:
    """Lay one piece; over post-tension tendons nothing is drilled, so nothing holds it down."""
    under = nodes_under(slab, piece.start, piece.end)
    drilled = settings.slab.post_tension != "yes"
    lying = lie(
        slab.at.station[under],
        slab.mean[under],
        plank,
        anchors=piece.anchors if drilled else (),
    )
    limit = anchor_limit(settings)
    anchors = tuple(
        Anchor(station=held.station, pull=held.pull, remark=_remark(held.pull, limit))
        for held in lying.anchors
    )
    return PlatePiece(
        start=piece.start,
        end=piece.end,
        anchors=anchors,
        voids=lying.voids(thinnest=THINNEST_VOID),
        stress=float(lying.stress.max(initial=0.0)),
        lying=lying,
    )


def _remark(pull: float, limit: float) -> str:
    return "pulls past its limit" if pull > limit else ""
