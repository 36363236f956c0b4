"""Field books for tests, from rows given by word."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from survey.field.book import FieldBook, Named, Source
from survey.lengths import Unit

NUMBERS = ("station", "down", "up", "clear", "sd", "distance", "cover")


def field_book(
    rows: Sequence[Mapping[str, Any]],
    *,
    marks: Mapping[str, float | None] | None = None,
    points: Sequence[str] = (),
    unit: Unit = "in",
) -> FieldBook:
    """Rows with `setup`, `name` and any other column; `marks` by name with elevation or None."""
    marks = {} if marks is None else marks
    seen = dict.fromkeys(row.get("name", "North") for row in rows)
    names = list(dict.fromkeys([*seen, *marks]))
    setups = list(dict.fromkeys(row.get("setup", "A") for row in rows))
    numbers: dict[str, Any] = {
        key: np.array([row.get(key, np.nan) for row in rows], dtype=float) for key in NUMBERS
    }
    return FieldBook(
        sources=(Source(file="readings.csv", sha256=""),),
        setups=tuple(setups),
        names=tuple(_named(name, marks, points) for name in names),
        file=np.zeros(len(rows), dtype=np.int64),
        row=np.array([row.get("row", i + 2) for i, row in enumerate(rows)]),
        setup=np.array([setups.index(row.get("setup", "A")) for row in rows]),
        name=np.array([names.index(row.get("name", "North")) for row in rows]),
        side=np.array([row.get("side", 0) for row in rows]),
        on_plate=np.array([row.get("on_plate", False) for row in rows]),
        flag=tuple(row.get("flag", "") for row in rows),
        note=("",) * len(rows),
        unit=unit,
        **numbers,
    )


def _named(name: str, marks: Mapping[str, float | None], points: Sequence[str]) -> Named:
    if name in marks:
        return Named(name=name, kind="mark", elevation=marks[name])
    return Named(name=name, kind="point" if name in points else "wall")
