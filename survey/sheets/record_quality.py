"""What a survey says of its own readings, as JSON."""

from __future__ import annotations

from survey.field.levelling import Surface
from survey.field.outliers import Misread
from survey.sheets import record_types as types
from survey.sheets.record_head import Scale, plain
from survey.slab.judgement import Judgement

SURFACES: dict[int, types.Surface] = {
    Surface.SLAB: "slab",
    Surface.PLATE: "plate",
    Surface.JOIST: "joist",
    Surface.MARK: "mark",
    Surface.POINT: "point",
}


def suspect_groups(judged: Judgement) -> dict[int, int]:
    """Group of each suspected reading, by its index among the observations; groups count from 1."""
    return {
        error.sight: number
        for number, finding in enumerate(judged.quality.findings.found, start=1)
        for error in finding.explanations
        if isinstance(error, Misread)
    }


def kick_records(judged: Judgement, scale: Scale) -> list[types.KickRecord]:
    """Set-ups whose beam moved: after which row at the latest known good, and by how much."""
    return [
        {
            "setup": kick.setup,
            "after_row": kick.after.row,
            "before_row": kick.before.row,
            "amount": scale.length(kick.amount),
            "sd": scale.length(kick.sd),
        }
        for kick in judged.quality.kicks
    ]


def neighbour_records(judged: Judgement, scale: Scale) -> list[types.NeighbourRecord]:
    """Every spot tested against those beside it; `row` is the first that read it."""
    return [
        {
            "file": spot.places[0].file if spot.places else "",
            "row": spot.places[0].row if spot.places else None,
            "wall": spot.wall,
            "station": scale.length(spot.station),
            "surface": SURFACES[spot.surface],
            "difference": scale.length(spot.difference),
            "sd": scale.length(spot.sd),
            "standardized": plain(spot.standardized),
            "suspect": spot.suspect,
        }
        for spot in judged.neighbours.tested
    ]
