"""What levelling finds: spots, residuals, the adjustment; and one in which nothing was levelled."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
from scipy.sparse import csr_array

from survey.errors import Note
from survey.field import least_squares
from survey.field.book import FieldBook
from survey.field.collimation import Collimation
from survey.field.datum import Datum
from survey.field.mark_fits import MarkFit
from survey.field.scatter import GlobalTest

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]


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


def unlevelled(book: FieldBook) -> Adjustment:
    """The adjustment of a book that holds clear heights only: no spot, no beam, a doubt."""
    none, no_index = np.zeros(0), np.zeros(0, dtype=np.int64)
    beams = np.full(len(book.setups), np.nan)
    nothing = least_squares.Solution(
        many=none,
        few=none,
        misfit=none,
        redundancy=none,
        inverse=np.zeros((0, 0)),
        alone=none,
        anchor=none,
        share=csr_array((0, 0)),
    )
    return Adjustment(
        book=book,
        beams=beams,
        beam_sd=beams.copy(),
        spots=Spots(
            name=no_index,
            station=none,
            side=no_index,
            surface=no_index,
            elevation=none,
            sd=none,
            readings=no_index,
        ),
        observations=Observations(
            row_index=no_index,
            setup=no_index,
            spot=no_index,
            sign=no_index,
            reading=none,
            sd=none,
            residual=none,
            redundancy=none,
            standardized=none,
        ),
        datum=Datum(kind="none", marks=()),
        dof=0,
        vpv=0.0,
        test=None,
        mark_fits=(),
        collimation=None,
        notes=(
            Note(
                code="nothing-levelled",
                level="doubt",
                text="TAPE ONLY: there are clear heights and no reading of the laser, so that no "
                "level is known and nothing checks a tape but its neighbours",
            ),
        ),
        solution=nothing,
    )


def _freeze(record: Spots | Observations | Adjustment) -> None:
    """Make a record's own arrays read-only."""
    for entry in dataclasses.fields(record):
        value = getattr(record, entry.name)
        if isinstance(value, np.ndarray):
            value.setflags(write=False)
