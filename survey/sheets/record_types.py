"""What `--json` prints: the head every object has, and the survey.

Lengths, elevations and stations are in the job's unit, stations along the wall from its named
end, elevations up from the datum. A key whose type allows null says when it is null.
"""

from __future__ import annotations

from typing import Any, Literal, TypedDict

from survey.errors import NoteLevel
from survey.field.datum import DatumFound
from survey.job import Origin
from survey.lengths import Unit

Surface = Literal["slab", "plate", "joist", "mark", "point"]
Side = Literal["-", "+"]


class SourceRecord(TypedDict):
    """A file that was read, with the SHA-256 of its bytes in hexadecimal digits."""

    file: str
    sha256: str


SettingRecord = TypedDict("SettingRecord", {"value": Any, "from": Origin})
SettingRecord.__doc__ = "A setting as computed with, lengths in the job's unit, and its origin."


class NoteRecord(TypedDict):
    """A doubt or remark; wall, station and row are null where it is about no single one."""

    code: str
    level: NoteLevel
    wall: str | None
    station: float | None
    row: int | None
    text: str


class Head(TypedDict):
    """What every object starts with.

    `surveyed` is a date as YYYY-MM-DD, null where the job gives none. `assumed` names settings
    that were used though nobody gave them. `left_out` lists the readings left out, as typed.
    """

    format: str
    version: int
    program: str
    job: str
    unit: Unit
    surveyed: str | None
    sources: list[SourceRecord]
    settings: dict[str, SettingRecord]
    assumed: list[str]
    notes: list[NoteRecord]
    left_out: list[str]


class DatumRecord(TypedDict):
    """What elevations are referred to."""

    kind: DatumFound
    marks: list[str]


class SetupRecord(TypedDict):
    """A set-up's beam; null where every reading of it was left out."""

    setup: str
    beam: float | None
    sd: float | None


class SpotRecord(TypedDict):
    """An adjusted spot.

    `wall` is the name of the mark or point where it is one, and `station` then null; `side` is
    null but on a lip of a joint; `sd_scaled` is null where nothing checks the survey.
    """

    wall: str
    station: float | None
    side: Side | None
    surface: Surface
    elevation: float
    sd: float
    sd_scaled: float | None
    readings: int


class UncheckableRecord(TypedDict):
    """A reading that no other one checks: its redundancy is under 0.05."""

    file: str
    row: int
    wall: str
    station: float | None
    surface: Surface


class ResidualRecord(UncheckableRecord):
    """Adjusted less observed reading; `standardized` is null where the reading is not tested.

    Readings that may be the wrong one are `suspect`; those of one `group` cannot be told apart.
    """

    setup: str
    residual: float
    redundancy: float
    standardized: float | None
    smallest_detectable: float | None
    suspect: bool
    group: int | None


class KickRecord(TypedDict):
    """A beam that moved up by `amount` somewhere between two rows of its set-up."""

    setup: str
    after_row: int
    before_row: int
    amount: float
    sd: float


class NeighbourRecord(TypedDict):
    """A spot against those beside it: `difference` is its elevation less what they say."""

    file: str
    row: int | None
    wall: str
    station: float
    surface: Surface
    difference: float
    sd: float
    standardized: float
    suspect: bool


class ClearRecord(TypedDict):
    """A clear height by tape or stick, floor covering added back, and what it was taken from."""

    file: str
    row: int
    wall: str
    station: float
    on: Literal["slab", "plate"]
    clear: float
    sd: float


class MarkFitRecord(TypedDict):
    """How a fixed mark agrees with the one that was held to try it: found less given."""

    mark: str
    held: str
    difference: float
    sd: float
    fits: bool


class PegRecord(TypedDict):
    """The test of the laser: the beam's slope as a ratio, what the test showed and may show."""

    test: Literal["peg", "wall"]
    error: float
    misclosure: float
    limit: float
    within: bool


class SurveyRecord(Head):
    """`floatwall survey --json`: sigma0 and passed are null where nothing checks the survey."""

    sigma0: float | None
    dof: int
    passed: bool | None
    datum: DatumRecord
    setups: list[SetupRecord]
    spots: list[SpotRecord]
    residuals: list[ResidualRecord]
    uncheckable: list[UncheckableRecord]
    neighbours: list[NeighbourRecord]
    kick: list[KickRecord]
    mark_fits: list[MarkFitRecord]
    tapes: list[ClearRecord]
    peg: PegRecord | None
