"""Levelling: elevations of beams and spots from all readings at once, by least squares.

Down from the beam: reading = beam - elevation; up: reading = elevation - beam.
"""

from __future__ import annotations

import dataclasses
from typing import Literal

import numpy as np
import numpy.typing as npt

from survey.errors import Note
from survey.field import least_squares
from survey.field.adjusted import Adjustment, Observations, Spots, unlevelled
from survey.field.book import FieldBook
from survey.field.collimation import Collimation, judge_laser, laser_notes
from survey.field.datum import (
    Datum,
    DatumKind,
    check_tied,
    choose_datum,
    held_elevations,
    unread_marks,
)
from survey.field.mark_fits import MarkFit, fit_marks, fit_notes
from survey.field.scatter import GlobalTest, judge_scatter, scatter_notes
from survey.field.sights import Sights, Surface, take_sights
from survey.job import Laser

__all__ = [
    "Adjustment",
    "Datum",
    "GlobalTest",
    "MarkFit",
    "Observations",
    "Spots",
    "Surface",
    "adjust",
]

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

LEAST_REDUNDANCY = 0.05  # below it a reading is not tested


def adjust(
    book: FieldBook, laser: Laser, *, datum: Literal["auto"] | DatumKind = "auto"
) -> Adjustment:
    """Adjust all readings of a field book together; without any, clear heights may stand alone.

    Parameters
    ----------
    book
        Rows read, lengths [in].
    laser
        Sd of a reading [in], accuracy [in per in] and the test of the laser.
    datum
        "auto": marks with an elevation are held; failing these all marks are free with mean
        zero; failing these the first beam is held and the lowest slab spot is zero.

    Raises
    ------
    SurveyError
        No reading, rows that cannot be used, set-ups not tied together, or no mark for the datum.

    References
    ----------
    Ghilani, C. D., *Adjustment Computations* (5th ed.), chapter 12: level nets by least squares.
    """
    if not np.any(np.isfinite(book.down) | np.isfinite(book.up)) and np.any(book.clear > 0.0):
        return unlevelled(book)
    collimation = judge_laser(laser)
    sights = take_sights(book, laser, error=None if collimation is None else collimation.error)
    chosen = choose_datum(book, sights, datum)
    used, problem = _differences(sights, held_elevations(book, sights, chosen))
    check_tied(book, sights, least_squares.groups(problem)[problem.few])
    solution = _on_datum(least_squares.solve(problem), sights, chosen)
    vpv = float(np.sum(problem.weight * solution.misfit**2))
    test = judge_scatter(vpv, problem.dof)
    beam_sd = np.sqrt(np.maximum(np.diag(solution.inverse), 0.0))
    fits = fit_marks(book, sights, problem)
    return Adjustment(
        book=book,
        beams=_over_setups(solution.few, used, len(book.setups)),
        beam_sd=_over_setups(beam_sd, used, len(book.setups)),
        spots=_spots(sights, solution),
        observations=_observations(sights, solution),
        datum=chosen,
        dof=problem.dof,
        vpv=vpv,
        test=test,
        mark_fits=fits,
        collimation=collimation,
        notes=(
            *unread_marks(book, sights),
            *fit_notes(fits),
            *scatter_notes(test),
            *_laser_notes(book, laser, sights, collimation),
        ),
        solution=solution,
    )


def _differences(sights: Sights, held: FloatArray) -> tuple[IntArray, least_squares.Differences]:
    """The least-squares problem; also the book's set-ups it has, in its own order."""
    used, few = np.unique(sights.setup, return_inverse=True)
    return used, least_squares.Differences(
        many=sights.spot,
        few=few,
        value=sights.sign * sights.reading,
        weight=sights.sd**-2.0,
        held=held,
        few_count=used.size,
    )


def _on_datum(
    solution: least_squares.Solution, sights: Sights, datum: Datum
) -> least_squares.Solution:
    """The solution referred to the datum where it holds no mark."""
    if datum.kind == "free marks" and len(datum.marks) > 1:
        mark = sights.surface == Surface.MARK
        return least_squares.refer(solution, mark / np.sum(mark))
    if datum.kind == "first beam":
        lowest = solution.many[sights.surface == np.min(sights.surface)].min()
        return dataclasses.replace(solution, many=solution.many - lowest, few=solution.few - lowest)
    return solution


def _spots(sights: Sights, solution: least_squares.Solution) -> Spots:
    return Spots(
        name=sights.name,
        station=sights.station,
        side=sights.side,
        surface=sights.surface,
        elevation=solution.many,
        sd=np.sqrt(least_squares.variances(solution)),
        readings=np.bincount(sights.spot, minlength=sights.name.size),
    )


def _observations(sights: Sights, solution: least_squares.Solution) -> Observations:
    """Misfits of elevation differences as residuals of the readings, and their test values."""
    residual = sights.sign * solution.misfit
    tested = solution.redundancy >= LEAST_REDUNDANCY
    scale = np.sqrt(np.where(tested, solution.redundancy, np.nan))
    return Observations(
        row_index=sights.row_index,
        setup=sights.setup,
        spot=sights.spot,
        sign=sights.sign,
        reading=sights.reading,
        sd=sights.sd,
        residual=residual,
        redundancy=solution.redundancy,
        standardized=residual / (sights.sd * scale),
    )


def _laser_notes(
    book: FieldBook, laser: Laser, sights: Sights, collimation: Collimation | None
) -> tuple[Note, ...]:
    rows = np.unique(sights.row_index)
    known = 0 if collimation is None else int(np.sum(~np.isnan(book.distance[rows])))
    return laser_notes(
        collimation,
        accuracy=laser.accuracy,
        corrected_rows=known,
        rows=rows.size,
        unit=book.unit,
    )


def _over_setups(value: FloatArray, used: IntArray, count: int) -> FloatArray:
    """Values of the set-ups that have readings, NaN for the others; shape (count,)."""
    full = np.full(count, np.nan)
    full[used] = value
    return full
