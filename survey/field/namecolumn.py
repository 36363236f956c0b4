"""Columns of words: names, repeats of blank cells, sides, flags, surfaces."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from survey.errors import Fault, Note
from survey.field.book import IntArray

FLAGS = ("joint", "crack", "drain")
SIDES = {"": 0, "-": -1, "+": 1, "−": -1, "–": -1, "‐": -1, "'-": -1, "'+": 1}
_STEERING = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")


@dataclass(frozen=True, kw_only=True, eq=False)
class NameColumn:
    """Codes into distinct names, first spelling kept; -1 where there is none; shape (n,)."""

    code: IntArray
    names: tuple[str, ...]
    faults: tuple[Fault, ...]
    notes: tuple[Note, ...]


def read_names(
    texts: pd.Series[str], rows: IntArray, *, file: str, column: str, default: str
) -> NameColumn:
    """Read a column of names; a blank cell repeats the one above it, and that is told.

    Names are trimmed and compared caselessly. Cells blank from the start get `default`.
    """
    trimmed = texts.astype(str).str.strip()
    faults = _unprintable(trimmed, rows, file, column)
    blank = (trimmed == "").to_numpy()
    repeated = blank & (np.cumsum(~blank) > 0)
    filled = trimmed.mask(blank).ffill().fillna(default)
    codes, keys = pd.factorize(filled.str.casefold())
    _, first = np.unique(codes, return_index=True)
    names = tuple(str(filled.iat[i]) for i in first)
    notes = []
    if repeated.any():
        notes.append(
            Note(
                code="blank-repeated",
                row=int(rows[np.argmax(repeated)]),
                text=f"{file}: {int(repeated.sum())} blank cells in `{column}` repeat the cell "
                f"above, first in row {int(rows[np.argmax(repeated)])}",
            )
        )
    return NameColumn(
        code=codes.astype(np.int64),
        names=names,
        faults=faults,
        notes=(*notes, *_alike(names, file)),
    )


def read_sides(texts: pd.Series[str], rows: IntArray, file: str) -> tuple[IntArray, list[Fault]]:
    """Lips of a joint: -1 for `-`, +1 for `+`, 0 for blank."""
    trimmed = texts.astype(str).str.strip()
    known = trimmed.map(SIDES)
    faults = [
        Fault(file=file, row=int(rows[i]), column="side", found=trimmed.iat[i], wanted="- or +")
        for i in np.flatnonzero(known.isna())
    ]
    return known.fillna(0).to_numpy(dtype=np.int64), faults


def read_on_plate(
    texts: pd.Series[str], rows: IntArray, file: str
) -> tuple[np.ndarray[tuple[int], np.dtype[np.bool_]], list[Fault]]:
    """Whether the rod stood on the fixed slab plate."""
    words = texts.astype(str).str.strip().str.casefold()
    faults = [
        Fault(file=file, row=int(rows[i]), column="on", found=words.iat[i], wanted="slab or plate")
        for i in np.flatnonzero(~words.isin(["", "slab", "plate"]))
    ]
    return (words == "plate").to_numpy(), faults


def read_flags(
    flags: pd.Series[str], notes: pd.Series[str], rows: IntArray, file: str
) -> tuple[tuple[str, ...], list[Fault], list[Note]]:
    """Flags given in their column, or as the first word of the note; mentions are pointed out."""
    given = flags.astype(str).str.strip().str.casefold()
    faults = [
        Fault(
            file=file,
            row=int(rows[i]),
            column="flag",
            found=given.iat[i],
            wanted=", ".join(FLAGS) + " or nothing",
        )
        for i in np.flatnonzero(~given.isin(["", *FLAGS]))
    ]
    lowered = notes.astype(str).str.casefold()
    first = lowered.str.extract(r"^\W*(\w+)", expand=False).fillna("")
    found = given.where(given != "", first.where(first.isin(FLAGS), ""))
    mentions = lowered.str.contains(rf"\b(?:{'|'.join(FLAGS)})s?\b", regex=True) & (found == "")
    told = [
        Note(
            code="flag-mentioned",
            row=int(rows[i]),
            text=f'{file} row {int(rows[i])}: the note "{notes.iat[i]}" mentions a joint, crack or '
            "drain; put the word first, or in `flag`, to have it counted",
        )
        for i in np.flatnonzero(mentions)
    ]
    return tuple(found), faults, told


def _unprintable(
    texts: pd.Series[str], rows: IntArray, file: str, column: str
) -> tuple[Fault, ...]:
    codes, distinct = pd.factorize(texts)
    bad = [
        i
        for i, text in enumerate(distinct)
        if _STEERING.search(text) or any(unicodedata.category(c) == "Cc" for c in text)
    ]
    return tuple(
        Fault(
            file=file,
            row=int(rows[i]),
            column=column,
            found=ascii(texts.iat[i])[1:40],
            wanted="holds control or text-direction characters; type the name again",
        )
        for i in np.flatnonzero(np.isin(codes, bad))
    )


def _alike(names: Sequence[str], file: str) -> list[Note]:
    """Names that differ only in spaces or punctuation are told: they count as two."""
    seen: dict[str, str] = {}
    notes = []
    for name in names:
        key = re.sub(r"[\W_]+", "", name.casefold())
        if key and key in seen:
            notes.append(
                Note(
                    code="names-alike",
                    text=f'{file}: "{seen[key]}" and "{name}" count as two names',
                )
            )
        seen.setdefault(key, name)
    return notes
