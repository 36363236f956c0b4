"""The head of every JSON object: job, sources, settings, notes; and numbers in the job's unit."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any, Literal, get_args, get_type_hints

from survey import __version__
from survey.errors import Note
from survey.field.book import FieldBook
from survey.job import ASKED_FOR, TABLES, Job, Quantity, assumed, settings_of
from survey.lengths import Unit, to_unit
from survey.sheets.given import taken_values
from survey.sheets.record_types import Head, NoteRecord, SettingRecord
from survey.sheets.ruler import Ruler, ruler_for
from survey.slab.kriging import FloatArray

Kind = Literal["survey", "slab", "plan"]
VERSION = 1
DIGITS = 6


def plain(x: float) -> float:
    """A number to a millionth, zero without a sign.

    >>> plain(-1e-9), plain(2 / 3)
    (0.0, 0.666667)
    """
    return round(float(x), DIGITS) + 0.0


@dataclasses.dataclass(frozen=True)
class Scale:
    """Turns inches into numbers of one unit.

    >>> Scale("mm").length(1.0), Scale("ft").optional(float("nan"))
    (25.4, None)
    """

    unit: Unit

    def length(self, x: float) -> float:
        """A length [in] in the unit."""
        return plain(to_unit(float(x), self.unit))

    def optional(self, x: float | None) -> float | None:
        """A length [in] in the unit; None for None and for what is not finite."""
        return None if x is None or not math.isfinite(x) else self.length(x)

    def lengths(self, values: Iterable[float] | FloatArray) -> list[float]:
        """Lengths [in] in the unit."""
        return [self.length(x) for x in values]

    def power(self, x: float, exponent: int) -> float:
        """An area (2) or volume (3) of inches in the unit's own."""
        return plain(x * to_unit(1.0, self.unit) ** exponent)


def make_head(
    kind: Kind, job: Job, book: FieldBook, notes: Iterable[Note], *, walls: Iterable[str] = ()
) -> Head:
    """What every object starts with.

    Parameters
    ----------
    kind
        Which object it is.
    job, book
        Settings, and what was read.
    notes
        All notes of the result; one said twice is given once.
    walls
        Names of the walls computed.
    """
    surveyed, ruler = job.info.surveyed, ruler_for(job)
    return Head(
        format=f"floatwall/{kind}",
        version=VERSION,
        program=f"floatwall {__version__}",
        job=job.info.name,
        unit=job.info.unit,
        surveyed=None if surveyed is None else surveyed.isoformat(),
        sources=[{"file": source.file, "sha256": source.sha256} for source in book.sources],
        settings=_settings(job),
        assumed=_assumed(job, tuple(walls)),
        notes=[_note(note, Scale(job.info.unit), ruler) for note in dict.fromkeys(notes)],
        left_out=list(book.left_out),
    )


def _note(note: Note, scale: Scale, ruler: Ruler) -> NoteRecord:
    return NoteRecord(
        code=note.code,
        level=note.level,
        wall=note.wall or None,
        station=scale.optional(note.station),
        row=note.row,
        text=note.said(ruler.said),
    )


def _assumed(job: Job, walls: tuple[str, ...]) -> list[str]:
    """Settings that count and nobody gave; rise and drop only where some wall leaves them open."""
    asked = assumed(job, walls)
    return [key for key in taken_values(job) if key not in ASKED_FOR or key in asked]


def _settings(job: Job) -> dict[str, SettingRecord]:
    hints = _hints()
    return {
        key: SettingRecord(
            {
                "value": _in_unit(setting.value, hints[_table_key(key)], job.info.unit),
                "from": setting.origin,
            }
        )
        for key, setting in settings_of(job).items()
    }


def _table_key(key: str) -> str:
    """The table and key at the end of a dotted key, whatever dots a wall's name has."""
    return ".".join(key.rsplit(".", 2)[-2:])


def _hints() -> dict[str, Any]:
    """Type of every setting by dotted key."""
    return {
        f"{heading}.{name}": hint
        for heading, (_, record) in TABLES.items()
        for name, hint in get_type_hints(record, include_extras=True).items()
    }


def _in_unit(value: Any, hint: Any, unit: Unit) -> Any:
    """A setting as JSON holds it, lengths in the unit."""
    if isinstance(value, date):
        return value.isoformat()
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        hints = get_type_hints(type(value), include_extras=True)
        return {name: _in_unit(each, hints[name], unit) for name, each in vars(value).items()}
    if isinstance(value, tuple | list):
        return [_in_unit(each, hint, unit) for each in value]
    if isinstance(value, Mapping):
        return {str(name): _in_unit(each, hint, unit) for name, each in value.items()}
    if not isinstance(value, float):
        return value
    return Scale(unit).length(value) if _is_length(hint) else plain(value)


def _is_length(hint: Any) -> bool:
    """Whether a type's numbers are lengths: all numbers of one setting are of one kind."""
    inside = getattr(hint, "__metadata__", ())
    if any(isinstance(each, Quantity) and each.kind == "length" for each in inside):
        return True
    return any(_is_length(part) for part in get_args(hint) if not isinstance(part, str))
