"""The adjusted survey as JSON."""

from __future__ import annotations

import math

import numpy as np

from survey.field.collimation import Collimation
from survey.field.levelling import Adjustment
from survey.field.tapes import tapes_on
from survey.job import Job
from survey.sheets import record_types as types
from survey.sheets.gathered_notes import judged_notes
from survey.sheets.record_head import Scale, make_head, plain
from survey.sheets.record_quality import (
    SURFACES,
    kick_records,
    neighbour_records,
    suspect_groups,
)
from survey.slab.judgement import Judgement

SIDES: dict[int, types.Side | None] = {-1: "-", 0: None, 1: "+"}


def survey_record(judged: Judgement, job: Job) -> types.SurveyRecord:
    """The survey as one object.

    Parameters
    ----------
    judged
        The adjusted survey, judged.
    job
        Its settings.
    """
    heights = judged.heights
    book = heights.book
    scale = Scale(job.info.unit)
    untested = np.isnan(heights.observations.standardized)
    return {
        **make_head("survey", job, book, judged_notes(judged, job)),
        "sigma0": None if heights.sigma0 is None else plain(heights.sigma0),
        "dof": heights.dof,
        "passed": heights.passed,
        "datum": {"kind": heights.datum.kind, "marks": list(heights.datum.marks)},
        "setups": _setups(heights, scale),
        "spots": _spots(heights, scale),
        "residuals": _residuals(judged, scale),
        "uncheckable": [_place(heights, int(i), scale) for i in np.flatnonzero(untested)],
        "neighbours": neighbour_records(judged, scale),
        "kick": kick_records(judged, scale),
        "mark_fits": _mark_fits(heights, scale),
        "tapes": _tapes(heights, scale),
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


def _residuals(judged: Judgement, scale: Scale) -> list[types.ResidualRecord]:
    groups = suspect_groups(judged)
    count = judged.heights.observations.reading.size
    return [_residual(judged, i, groups.get(i), scale) for i in range(count)]


def _residual(judged: Judgement, i: int, group: int | None, scale: Scale) -> types.ResidualRecord:
    heights = judged.heights
    observed = heights.observations
    tested = float(observed.standardized[i])
    return {
        **_place(heights, i, scale),
        "setup": heights.book.setups[observed.setup[i]],
        "residual": scale.length(observed.residual[i]),
        "redundancy": plain(observed.redundancy[i]),
        "standardized": None if math.isnan(tested) else plain(tested),
        "smallest_detectable": scale.optional(judged.quality.smallest_detectable[i]),
        "suspect": group is not None,
        "group": group,
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


def _tapes(heights: Adjustment, scale: Scale) -> list[types.ClearRecord]:
    return [
        {
            "file": tape.file,
            "row": tape.row,
            "wall": named.name,
            "station": scale.length(tape.station),
            "on": "plate" if tape.on_plate else "slab",
            "clear": scale.length(tape.clear),
            "sd": scale.length(tape.sd),
        }
        for code, named in enumerate(heights.book.names)
        for tape in tapes_on(heights.book, code)
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
