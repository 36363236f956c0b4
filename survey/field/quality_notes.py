"""What was found in the readings, in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from survey.errors import Note
from survey.field.findings import Explanation, Finding, Findings
from survey.field.kicks import Kick
from survey.field.levelling import Adjustment, Surface
from survey.field.marks_moved import MarkShift
from survey.field.outliers import Misread, Place

MOST_SAID = 6  # explanations said in one note before "and 3 more"
SIDES = {-1: " - side", 0: "", 1: " + side"}


@dataclass(frozen=True, kw_only=True)
class Said:
    """Words with the lengths [in] that go where `{}` stands, as in a note."""

    text: str
    lengths: tuple[float, ...] = ()

    def __add__(self, other: Said) -> Said:
        return Said(text=self.text + other.text, lengths=self.lengths + other.lengths)


def plain(text: str) -> Said:
    """Words that hold no length, whatever braces are in them."""
    return Said(text=text.replace("{}", "( )"))


def quality_notes(heights: Adjustment, findings: Findings, unchecked: int) -> tuple[Note, ...]:
    """One doubt for each finding, then what was not searched to the end or not checked.

    Parameters
    ----------
    heights, findings
        The adjusted survey and what explains its misfits.
    unchecked
        How many readings no other one checks.
    """
    notes = [_finding_note(heights, finding) for finding in findings.found]
    if findings.exhausted:
        notes.append(
            Note(
                code="more-misfits",
                level="doubt",
                text="more readings do not fit than are listed: they may all scatter more than "
                "stated, which a larger reading sd would say",
            )
        )
    size = heights.observations.sd.size
    if 0 < unchecked < size:
        notes.append(
            Note(
                code="uncheckable",
                text=f"{unchecked} of {size} readings are checked by no other reading; only "
                "their neighbours along the wall tell on them",
            )
        )
    return tuple(notes)


def say_row(heights: Adjustment, place: Place) -> Said:
    """`row 15`, with its file where there are several."""
    several = len(heights.book.sources) > 1
    return plain(f"{place.file} row {place.row}" if several else f"row {place.row}")


def say_rows(heights: Adjustment, first: Place, second: Place) -> Said:
    """`rows 21 and 32`, each with its file where there are several."""
    if len(heights.book.sources) > 1:
        return say_row(heights, first) + plain(" and ") + say_row(heights, second)
    return plain(f"rows {first.row} and {second.row}")


def say_spot(name: str, station: float | None, side: int, surface: Surface) -> Said:
    """`Long at 64`, with the lip of a joint, and the joist where it is one."""
    where = plain(name)
    if station is not None:
        where += Said(text=" at {}", lengths=(station,))
    return where + plain(SIDES[side] + (" (joist)" if surface == Surface.JOIST else ""))


def say_error(heights: Adjustment, error: Explanation) -> Said:
    """One error and its amount."""
    size = Said(text="{}", lengths=(abs(error.amount),))
    if isinstance(error, Misread):
        way = "large" if error.amount > 0.0 else "small"
        spot = say_spot(error.name, error.station, error.side, Surface.SLAB)
        head = say_row(heights, error.place) + plain(f" {error.column}, ") + spot + plain(": ")
        return head + size + plain(f" too {way}")
    if isinstance(error, MarkShift):
        way = "above" if error.amount > 0.0 else "below"
        return plain(f"mark {error.name}: ") + size + plain(f" {way} its given elevation")
    way = "up" if error.amount > 0.0 else "down"
    head = plain(f"beam of set-up {error.setup}: moved {way} about ") + size
    return head + plain(" between ") + say_rows(heights, error.after, error.before)


def _finding_note(heights: Adjustment, finding: Finding) -> Note:
    """A finding as a doubt; several explanations are all said, the best first."""
    best, count = finding.best, len(finding.explanations)
    said = joined([say_error(heights, error) for error in finding.explanations[:MOST_SAID]], "; ")
    if count > 1:
        said = plain("one of these, which cannot be told apart: ") + said
    if count > MOST_SAID:
        said += plain(f"; and {count - MOST_SAID} more")
    said += plain(f" ({abs(best.statistic):.1f} sd)")
    spot = best if isinstance(best, Misread) else None
    return Note(
        code={Misread: "misread", Kick: "kick", MarkShift: "mark-moved"}[type(best)],
        level="doubt",
        text=said.text,
        lengths=said.lengths,
        wall="" if spot is None or spot.station is None else spot.name,
        station=None if spot is None else spot.station,
        row=None if spot is None else spot.place.row,
    )


def joined(parts: Sequence[Said], between: str) -> Said:
    """Parts with words between them."""
    whole = parts[0]
    for part in parts[1:]:
        whole = whole + plain(between) + part
    return whole
