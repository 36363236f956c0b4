"""The field book: every row read, as columns, in inches, nothing computed yet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from survey.errors import Note
from survey.lengths import Unit

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]

NameKind = Literal["wall", "mark", "point"]


@dataclass(frozen=True, kw_only=True)
class Source:
    """A file that was read, with the digest of its bytes.

    `taped` is the file of clear heights taped afterwards, to be held against the plan.
    """

    file: str
    sha256: str
    taped: bool = False


@dataclass(frozen=True, kw_only=True)
class Named:
    """A wall line, mark or point of the survey.

    `elevation` [in] is given only for a mark whose elevation the job holds fixed; `on` is what a
    mark is fixed to ("foundation", "column", "joist"), empty for walls and points.
    """

    name: str
    kind: NameKind
    elevation: float | None = None
    on: str = ""


@dataclass(frozen=True, kw_only=True, eq=False)
class FieldBook:
    """Rows of the readings files as columns; all arrays have one element a row, read-only.

    Lengths are in inches and NaN where not given. `file`, `setup` and `name` index `sources`,
    `setups` and `names`. `row` is the line as a spreadsheet numbers it. `side` is -1 or +1 at a
    joint read on both lips, else 0. `flag` is "", "joint", "crack" or "drain". Readings left out
    by request are NaN here and listed in `left_out` as typed.
    """

    sources: tuple[Source, ...]
    setups: tuple[str, ...]
    names: tuple[Named, ...]
    file: IntArray
    row: IntArray
    setup: IntArray
    name: IntArray
    station: FloatArray
    side: IntArray
    on_plate: BoolArray
    down: FloatArray
    up: FloatArray
    clear: FloatArray
    sd: FloatArray
    distance: FloatArray
    cover: FloatArray
    flag: tuple[str, ...]
    note: tuple[str, ...]
    unit: Unit = "in"
    left_out: tuple[str, ...] = ()
    notes: tuple[Note, ...] = ()

    def __post_init__(self) -> None:
        for value in vars(self).values():
            if isinstance(value, np.ndarray):
                value.setflags(write=False)

    @property
    def taped(self) -> BoolArray:
        """Rows of the file of taped heights, shape (n,)."""
        return np.array([source.taped for source in self.sources], dtype=np.bool_)[self.file]
