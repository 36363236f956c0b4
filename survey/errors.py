"""What can go wrong (`SurveyError`, `Fault`) and what is doubtful (`Note`)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

NoteLevel = Literal["note", "doubt", "stop"]


@dataclass(frozen=True, kw_only=True)
class Fault:
    """One thing wrong in a file: where, what was found, what is wanted, what to try.

    `row` is the line as a spreadsheet numbers it; empty strings and None mean "does not apply".
    """

    wanted: str
    file: str = ""
    row: int | None = None
    column: str = ""
    found: str = ""
    cure: str = ""

    def __str__(self) -> str:
        """One line: `readings.csv row 7 down "16-May": wanted. cure`.

        >>> print(Fault(file="a.csv", row=7, column="down", found="5 2", wanted="not a length"))
        a.csv row 7 down "5 2": not a length
        """
        place = [self.file, "" if self.row is None else f"row {self.row}", self.column]
        found = f'"{self.found}"' if self.found else ""
        head = " ".join(part for part in [*place, found] if part)
        body = self.wanted + (f". {self.cure}" if self.cure else "")
        return f"{head}: {body}" if head else body


@dataclass(frozen=True, kw_only=True)
class Note:
    """A doubt or remark that travels with a result and is printed where it matters.

    `level`: "note" is information, "doubt" weakens a number, "stop" means do not cut yet.
    `code` is a short fixed word, such as "joist-not-read", by which a program may find it.
    `text` does not repeat the wall, which stands in `wall`. Where it has lengths, each is a `{}`
    in the text and a number [in] in `lengths`, so that it can be said in the reader's unit.
    """

    code: str
    text: str
    level: NoteLevel = "note"
    wall: str = ""
    station: float | None = None
    row: int | None = None
    lengths: tuple[float, ...] = ()

    def said(self, show: Callable[[float], str]) -> str:
        """The text with its lengths printed by `show`.

        >>> Note(code="far", text="{} from the end", lengths=(9.0,)).said(lambda x: f"{x:g} in")
        '9 in from the end'
        """
        if not self.lengths:
            return self.text
        pieces = self.text.split("{}")
        shown = [show(x) for x in self.lengths]
        return pieces[0] + "".join(a + b for a, b in zip(shown, pieces[1:], strict=True))


class SurveyError(Exception):
    """Anything the tool refuses: one line says what, where, the value, the rule, what to do.

    `faults` lists every fault of a file, so that one run reports them all.
    """

    def __init__(self, message: str, *, faults: Sequence[Fault] = ()) -> None:
        super().__init__(message)
        self.message = message
        self.faults = tuple(faults)
