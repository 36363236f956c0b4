"""The adjusted survey as JSON."""

from __future__ import annotations

import math

import numpy as np

from survey.field.collimation import Collimation
from survey.field.levelling import Adjustment, Surface
from survey.job import Job
from survey.sheets import record_types as types
from survey.sheets.gathered_notes import survey_notes
from survey.sheets.record_head import Scale, make_head, plain

SIDES: dict[int, types.Side | None] = {-1: "-", 0: None, 1: "+"}
SURFACES: dict[int, types.Surface] = {
    Surface.SLAB: "slab",
    Surface.PLATE: "plate",
    Surface.JOIST: "joist",
    Surface.MARK: "mark",
    Surface.POINT: "point",
}


def survey_record(heights: Adjustment, job: Job) -> types.SurveyRecord:
    """The survey as one object.

    Parameters
    ----------
    heights
        The adjusted survey.
    job
        Its settings.
    """
    book = heights.book
    scale = Scale(job.info.unit)
    untested = np.isnan(heights.observations.standardized)
    return {
        **make_head("survey", job, book, survey_notes(heights, job)),
        "sigma0": None if heights.sigma0 is None else plain(heights.sigma0),
        "dof": heights.dof,
        "passed": heights.passed,
        "datum": {"kind": heights.datum.kind, "marks": list(heights.datum.marks)},
        "setups": _setups(heights, scale),
        "spots": _spots(heights, scale),
        "residuals": [_residual(heights, i, scale) for i in range(untested.size)],
        "uncheckable": [_place(heights, int(i), scale) for i in np.flatnonzero(untested)],
        "mark_fits": _mark_fits(heights, scale),
        "peg": _peg(heights.collimation, scale),
    }


def _setups(heights: Adjustment, scale: Scale) -> list[types.SetupRecord]:
    columns = (heights.book.setups, heights.beams, heights.beam_sd)
    return [
        {"setup": name, "beam": scale.optional(beam), "sd": scale.optional(sd)}
        for name, beam, sd in zip(*columns, strict=True)
    ]


def _spots(heights: Adjustment, scale: Scale) -> list[types.SpotRecord]:
    spots, names = heights.spots, heights.book.names
    scaled = heights.sd_scaled
    return [
        {
            "wall": names[spots.name[i]].name,
            "station": scale.optional(spots.station[i]),
            "side": SIDES[int(spots.side[i])],
            "surface": SURFACES[int(spots.surface[i])],
            "elevation": scale.length(spots.elevation[i]),
            "sd": scale.length(spots.sd[i]),
            "sd_scaled": scale.optional(scaled[i]),
            "readings": int(spots.readings[i]),
        }
        for i in range(spots.name.size)
    ]


def _place(heights: Adjustment, i: int, scale: Scale) -> types.UncheckableRecord:
    """Where reading i was written down, and to what it was taken."""
    book, spots = heights.book, heights.spots
    row, spot = heights.observations.row_index[i], heights.observations.spot[i]
    return {
        "file": book.sources[book.file[row]].file,
        "row": int(book.row[row]),
        "wall": book.names[spots.name[spot]].name,
        "station": scale.optional(spots.station[spot]),
        "surface": SURFACES[int(spots.surface[spot])],
    }


def _residual(heights: Adjustment, i: int, scale: Scale) -> types.ResidualRecord:
    observed = heights.observations
    tested = float(observed.standardized[i])
    return {
        **_place(heights, i, scale),
        "setup": heights.book.setups[observed.setup[i]],
        "residual": scale.length(observed.residual[i]),
        "redundancy": plain(observed.redundancy[i]),
        "standardized": None if math.isnan(tested) else plain(tested),
    }


def _mark_fits(heights: Adjustment, scale: Scale) -> list[types.MarkFitRecord]:
    return [
        {
            "mark": fit.name,
            "held": fit.held,
            "difference": scale.length(fit.difference),
            "sd": scale.length(fit.sd),
            "fits": fit.fits,
        }
        for fit in heights.mark_fits
    ]


def _peg(found: Collimation | None, scale: Scale) -> types.PegRecord | None:
    if found is None:
        return None
    return {
        "test": found.test,
        "error": plain(found.error),
        "misclosure": scale.length(found.misclosure),
        "limit": scale.length(found.limit),
        "within": found.within,
    }
