"""Columns of words: set-ups and names, what a blank cell repeats, lips, surfaces and flags."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from survey.errors import Fault, Note
from survey.field.book import BoolArray, IntArray
from survey.field.cells import Cells, Column, cell_faults
from survey.field.decode import shown
from survey.job import name_key

FLAGS = ("joint", "crack", "drain")
SIDES: Mapping[str, int] = {"": 0, "-": -1, "+": 1, "\u2212": -1, "\u2013": -1, "'-": -1, "'+": 1}
_DITTO = re.compile("[\"'“”„‘’″′,.:;_-]+")
_MENTION = re.compile(rf"\b(?:{'|'.join(FLAGS)})s?\b")


@dataclass(frozen=True, kw_only=True, eq=False)
class NameColumn:
    """The names of a column, each spelled as it first stands, and which one each row has (n,).

    A row that has none to be had gets an empty name, and a fault tells of it.
    """

    names: tuple[str, ...]
    code: IntArray
    faults: tuple[Fault, ...]
    notes: tuple[Note, ...]


def read_names(cells: Cells, name: str, default: str) -> NameColumn:
    """Read a column of names; a blank cell repeats the one above it, and a note says so.

    Without the column, or with nothing in it, every row has the `default`.
    """
    column = cells.columns.get(name)
    if column is None or not any(column.texts):
        code = np.zeros(cells.row.size, dtype=np.int64)
        return NameColumn(names=(default,), code=code, faults=(), notes=())
    filled = column.filled
    names, numbers = _distinct([text for text in column.texts if text])
    number_of_text = np.zeros(len(column.texts), dtype=np.int64)
    number_of_text[[i for i, text in enumerate(column.texts) if text]] = numbers
    above = np.maximum.accumulate(np.where(filled, np.arange(filled.size), -1))
    code = np.where(above < 0, len(names), number_of_text[column.code[above]])
    return NameColumn(
        names=names if above[0] >= 0 else (*names, ""),
        code=code,
        faults=(*_name_faults(column, cells), *_nothing_above(above < 0, name, cells)),
        notes=_repeats(~filled & (above >= 0), name, cells),
    )


def joined_names(lists: Sequence[Sequence[str]]) -> tuple[tuple[str, ...], list[IntArray]]:
    """The names of several files once each, and where each file's names are among them."""
    names, codes = _distinct([name for names in lists for name in names])
    ends = np.cumsum([len(each) for each in lists])
    return names, np.split(np.array(codes, np.int64), ends[:-1])


def alike_notes(names: Iterable[str]) -> tuple[Note, ...]:
    """Tell of names that differ only in spaces or punctuation, which count as different."""
    groups: dict[str, list[str]] = {}
    for name in names:
        groups.setdefault(re.sub(r"[\W_]+", "", name.casefold()), []).append(name)
    return tuple(
        Note(
            code="names-alike",
            level="doubt",
            text=", ".join(f'"{shown(name)}"' for name in group)
            + " differ only in spaces or punctuation and count as different names",
        )
        for key, group in groups.items()
        if key and len(group) > 1
    )


def read_sides(cells: Cells) -> tuple[IntArray, list[Fault]]:
    """The lip of a joint each row was read on: -1 before it, +1 beyond it, 0 where not given."""
    column = cells.columns.get("side")
    if column is None:
        return np.zeros(cells.row.size, dtype=np.int64), []
    reasons = {
        i: "wanted is - or + or nothing" for i, t in enumerate(column.texts) if t not in SIDES
    }
    values = np.array([SIDES.get(text, 0) for text in column.texts], np.int64)
    return values[column.code], cell_faults(column, reasons, cells.row, cells.file)


def read_on_plate(cells: Cells) -> tuple[BoolArray, list[Fault]]:
    """Whether the rod stood on the fixed slab plate, not on the slab."""
    column = cells.columns.get("on")
    if column is None:
        return np.zeros(cells.row.size, dtype=np.bool_), []
    words = [text.casefold() for text in column.texts]
    reasons = {
        i: "wanted is slab or plate" for i, t in enumerate(words) if t not in ("", "slab", "plate")
    }
    faults = cell_faults(column, reasons, cells.row, cells.file)
    return column.where([word == "plate" for word in words]), faults


def read_flags(cells: Cells) -> tuple[tuple[str, ...], list[Fault], list[Note]]:
    """The flag of each row: from its column, or the first word of the note.

    Any other mention of a flag in a note is told.
    """
    given, faults = _given_flags(cells)
    column = cells.columns.get("note")
    if column is None:
        return tuple(given.tolist()), faults, []
    first = column.spread([_first_word(text) for text in column.texts])
    flags = np.where(given == "", first, given)
    mentioned = column.where([bool(_MENTION.search(text.casefold())) for text in column.texts])
    notes = [_mention(cells, column, i) for i in np.flatnonzero(mentioned & (flags == ""))]
    return tuple(flags.tolist()), faults, notes


def read_remarks(cells: Cells) -> tuple[str, ...]:
    """The note of each row, with what stands in the columns we do not know."""
    remarks = np.full(cells.row.size, "", dtype=object)
    note = cells.columns.get("note")
    if note is not None:
        remarks = note.spread([_one_line(text) for text in note.texts])
    for column in cells.other:
        added = column.spread([_one_line(f"{column.name}: {text}") for text in column.texts])
        for i in np.flatnonzero(column.filled):
            remarks[i] = f"{remarks[i]}; {added[i]}" if remarks[i] else added[i]
    return tuple(remarks.tolist())


def _distinct(texts: Sequence[str]) -> tuple[tuple[str, ...], list[int]]:
    """Names once each, compared caselessly, and the number of each text's name."""
    number: dict[str, int] = {}
    names: list[str] = []
    codes = []
    for text in texts:
        key = name_key(text)
        if key not in number:
            number[key] = len(names)
            names.append(text)
        codes.append(number[key])
    return tuple(names), codes


def _name_faults(column: Column, cells: Cells) -> list[Fault]:
    reasons = {}
    for i, text in enumerate(column.texts):
        if "\n" in text or "\t" in text:
            reasons[i] = "a name stands on one line, without tabs"
        elif _DITTO.fullmatch(text):
            reasons[i] = "is no name; leave the cell blank to repeat the one above"
    return cell_faults(column, reasons, cells.row, cells.file)


def _nothing_above(rows: BoolArray, name: str, cells: Cells) -> list[Fault]:
    wanted = "is blank, and nothing stands above it to repeat"
    return [
        Fault(file=cells.file, row=int(cells.row[i]), column=name, wanted=wanted)
        for i in np.flatnonzero(rows)
    ]


def _repeats(rows: BoolArray, name: str, cells: Cells) -> tuple[Note, ...]:
    count = int(rows.sum())
    if not count:
        return ()
    first = int(cells.row[int(np.argmax(rows))])
    blank = f"the blank `{name}` repeats" if count == 1 else f"{count} blanks in `{name}` repeat"
    said = f"{cells.file} row {first}: {blank} what stands above"
    return (Note(code="blank-repeated", row=first, text=said),)


def _given_flags(cells: Cells) -> tuple[npt.NDArray[np.object_], list[Fault]]:
    column = cells.columns.get("flag")
    if column is None:
        return np.full(cells.row.size, "", dtype=object), []
    words = [text.casefold() for text in column.texts]
    wanted = f"wanted is {', '.join(FLAGS)} or nothing"
    reasons = {i: wanted for i, word in enumerate(words) if word and word not in FLAGS}
    faults = cell_faults(column, reasons, cells.row, cells.file)
    return column.spread([word if word in FLAGS else "" for word in words]), faults


def _mention(cells: Cells, column: Column, i: np.intp) -> Note:
    row, note = int(cells.row[i]), shown(column.texts[column.code[i]])
    said = (
        f'{cells.file} row {row}: "{note}" speaks of a joint, crack or drain and does not count as '
        "one; to have it count, begin the note with that word"
    )
    return Note(code="flag-mentioned", row=row, text=said)


def _first_word(text: str) -> str:
    found = re.match(r"\W*(\w+)", text.casefold())
    return found[1] if found and found[1] in FLAGS else ""


def _one_line(text: str) -> str:
    return " ".join(text.split())
