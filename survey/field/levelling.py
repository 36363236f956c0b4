"""Levelling: elevations of beams and spots from all readings at once, by least squares.

Down from the beam: reading = beam - elevation; up: reading = elevation - beam.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
import numpy.typing as npt
from scipy.sparse import csr_array

from survey.errors import Note
from survey.field import least_squares
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


@dataclass(frozen=True, kw_only=True, eq=False)
class Spots:
    """Adjusted spots, sorted by name, surface, station and side; arrays (m,), read-only.

    `name` indexes the book's names; `station` [in] is NaN for marks and points; `side` is -1 or
    +1 on a lip of a joint, else 0; `surface` holds `Surface` codes. `elevation` and its a priori
    `sd` [in] are relative to the datum; `readings` counts the readings taken to the spot.
    """

    name: IntArray
    station: FloatArray
    side: IntArray
    surface: IntArray
    elevation: FloatArray
    sd: FloatArray
    readings: IntArray

    def __post_init__(self) -> None:
        _freeze(self)


@dataclass(frozen=True, kw_only=True, eq=False)
class Observations:
    """Readings as adjusted, in the order of the book's rows; arrays (n,), read-only.

    `row_index`, `setup` and `spot` index the book's rows, the book's set-ups and the spots.
    `sign` is -1 down from the beam, +1 up. `reading` [in] has cover added back and a known
    collimation error taken out; `sd` [in] is a priori; `residual` [in] is adjusted - observed
    reading. `standardized` is residual / (sd sqrt(redundancy)), NaN where redundancy is under
    0.05: not tested.
    """

    row_index: IntArray
    setup: IntArray
    spot: IntArray
    sign: IntArray
    reading: FloatArray
    sd: FloatArray
    residual: FloatArray
    redundancy: FloatArray
    standardized: FloatArray

    def __post_init__(self) -> None:
        _freeze(self)


@dataclass(frozen=True, kw_only=True, eq=False)
class Adjustment:
    """A field book adjusted.

    `beams` and `beam_sd` [in] go with the book's set-ups, NaN where a set-up has no reading;
    `vpv` is the weighted sum of squared residuals; `test` and `sigma0` are None where `dof` is 0.
    """

    book: FieldBook
    beams: FloatArray
    beam_sd: FloatArray
    spots: Spots
    observations: Observations
    datum: Datum
    dof: int
    vpv: float
    test: GlobalTest | None
    mark_fits: tuple[MarkFit, ...]
    collimation: Collimation | None
    notes: tuple[Note, ...]
    solution: least_squares.Solution = field(repr=False)

    def __post_init__(self) -> None:
        _freeze(self)

    @property
    def sigma0(self) -> float | None:
        """Scatter of the readings in units of their stated sd; None where dof is 0."""
        return None if self.dof == 0 else float(np.sqrt(self.vpv / self.dof))

    @property
    def passed(self) -> bool | None:
        """Verdict of the global test; None where dof is 0."""
        return None if self.test is None else self.test.passed

    @property
    def sd_scaled(self) -> FloatArray:
        """Sd of the spots times sigma0 [in]; NaN where dof is 0."""
        return self.spots.sd * (np.nan if self.sigma0 is None else self.sigma0)

    def covariance(self, indices: npt.ArrayLike) -> FloatArray:
        """A priori covariance of the spots at `indices` [in2]; shape (n, n) for n indices."""
        return self.covariance_of_means(np.arange(np.size(indices)), indices)

    def covariance_of_means(self, groups: npt.ArrayLike, indices: npt.ArrayLike) -> FloatArray:
        """A priori covariance of plain means of spots [in2]; shape (b, b) for b groups.

        `groups` (n,), from 0 to b - 1, tells to which mean each of the `indices` (n,) belongs.
        """
        group, index = np.asarray(groups, dtype=np.int64), np.asarray(indices, dtype=np.int64)
        share = 1.0 / np.bincount(group)[group]
        shape = (int(group.max()) + 1, self.spots.name.size)
        return least_squares.covariance(self.solution, csr_array((share, (group, index)), shape))


def adjust(
    book: FieldBook, laser: Laser, *, datum: Literal["auto"] | DatumKind = "auto"
) -> Adjustment:
    """Adjust all readings of a field book together.

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


def _freeze(record: Spots | Observations | Adjustment) -> None:
    """Make a record's own arrays read-only."""
    for entry in dataclasses.fields(record):
        value = getattr(record, entry.name)
        if isinstance(value, np.ndarray):
            value.setflags(write=False)
