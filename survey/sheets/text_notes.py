"""Doubts, cautions and assumed values as lines of a report."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from survey.errors import Note
from survey.job import Job, SlabFacts
from survey.sheets.blocks import Block, Heading, Level, Line
from survey.sheets.gathered_notes import gate_notes
from survey.sheets.given import drilling_gate, taken_values
from survey.sheets.ruler import Ruler

WORDS = {"stop": "STOP", "doubt": "DOUBT", "note": "NOTE"}
LEVELS: dict[str, Level] = {"stop": "stop", "doubt": "doubt", "note": "plain"}
ORDER = tuple(WORDS)

UNBURDENED = (
    "Only walls that carry nothing may hang like this. If in doubt what a wall carries, ask an "
    "engineer first."
)
WHOSE_FLOAT = (
    "How much float is enough is for an engineer, the soils report and the building official to "
    "say; this plan only keeps to the float it was given."
)
JOISTS_CARRY = (
    "The joists take the whole weight of the walls, named with each wall. See that they can."
)
DUST = (
    "Grinding and drilling concrete sets free silica dust: a shroud on the tool, a vacuum of at "
    "least 25 cfm for every inch of wheel with a 99 % filter, and a respirator where OSHA 29 CFR "
    "1926.1153, Table 1, asks for one."
)
PIPES = (
    "Gas, water, drain and flue lines that run between slab and joists need flexible connections "
    "that give way over the whole rise and drop."
)
EYES = "Wear eye protection when driving spikes and setting anchors."
TENDONS = (
    "A post-tension tendon pulls with some 25,000 to 33,000 pounds: one that is cut can kill. Have "
    "the tendons found and marked."
)


def note_lines(notes: Iterable[Note], ruler: Ruler, *, name_wall: bool = False) -> list[Block]:
    """Notes as lines, the gravest first; equal ones are said once.

    Parameters
    ----------
    notes
        Any number.
    ruler
        Prints the lengths in them.
    name_wall
        Whether to open each with its wall.
    """
    once = dict.fromkeys(
        (note.level, note_text(note, ruler, name_wall=name_wall))
        for note in sorted(notes, key=lambda note: ORDER.index(note.level))
    )
    return [Line(label=WORDS[level], text=text, level=LEVELS[level]) for level, text in once]


def note_text(note: Note, ruler: Ruler, *, name_wall: bool = True) -> str:
    """A note in one sentence, with its wall before it and its row behind it where it has them.

    >>> note_text(Note(code="x", text="read it again", wall="North", row=7), Ruler(unit="in"))
    'North: read it again (row 7)'
    """
    text = note.said(ruler.said)
    row = "" if note.row is None or "row" in text else f" (row {note.row})"
    return f"{note.wall}: {text}{row}" if name_wall and note.wall else f"{text}{row}"


def gate_lines(slab: SlabFacts) -> list[Block]:
    """The drilling gate: what to ask before the slab is touched; empty when all is settled."""
    return [Line(label="ASK FIRST", text=note.text, level="stop") for note in gate_notes(slab)]


def caution_blocks(job: Job) -> list[Block]:
    """What every plan carries, in a block of its own."""
    gate = drilling_gate(job.slab)
    tendons = [TENDONS] if gate.tendons else []
    said = (UNBURDENED, WHOSE_FLOAT, JOISTS_CARRY, *tendons, DUST, PIPES, EYES)
    return [
        Heading(text="Before you build"),
        *gate_lines(job.slab),
        *(Line(label="-", text=text) for text in said),
    ]


def assumed_lines(job: Job, ruler: Ruler) -> list[Block]:
    """The values nobody gave and that were taken; empty when all were given."""
    taken = taken_values(job)
    if not taken:
        return []
    said = "; ".join(f"{key} {_value(value, ruler)}" for key, value in taken.items())
    return [Line(label="ASSUMED", text=f"{said} (not given: put them in job.toml)", level="doubt")]


def _value(value: object, ruler: Ruler) -> str:
    if isinstance(value, float):
        return ruler.said(value)
    if isinstance(value, tuple):
        return " or ".join(_value(part, ruler) for part in value) if value else "none"
    return str(value)


def left_out_lines(left_out: Sequence[str]) -> list[Block]:
    """Readings left out by request; every report names them."""
    if not left_out:
        return []
    return [Line(label="LEFT OUT", text=f"rows {', '.join(left_out)}, as asked", level="doubt")]
