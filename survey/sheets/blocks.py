"""What a report is made of, and how it is laid out on a terminal, a pipe or a narrow screen."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from rich.box import Box
from rich.cells import cell_len
from rich.console import Console, RenderableType
from rich.table import Table as RichTable
from rich.text import Text

Level = Literal["plain", "good", "doubt", "stop", "faint"]
STYLES: dict[Level, str] = {
    "plain": "",
    "good": "green",
    "doubt": "yellow",
    "stop": "bold red",
    "faint": "dim",
}
UNBOUNDED = 20_000
NARROWEST = 20
LABEL_WIDTH = 12
BULLET_WIDTH = 2
NARROW = 50


@dataclass(frozen=True, kw_only=True)
class Heading:
    """A line that opens a part of the report, ruled off."""

    text: str


@dataclass(frozen=True, kw_only=True)
class Line:
    """A sentence, with a word before it that says what it is about."""

    text: str
    label: str = ""
    level: Level = "plain"


@dataclass(frozen=True, kw_only=True)
class Column:
    """A column of a table; numbers stand to the right and are never broken."""

    name: str
    number: bool = True


@dataclass(frozen=True, kw_only=True)
class Grid:
    """A table; where the screen is narrower, each row becomes a card."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]


Block = Heading | Line | Grid


def grid(
    title: str, columns: Sequence[str], rows: Sequence[Sequence[str]], *, words: Sequence[str] = ()
) -> Grid:
    """A table of the columns named, of which those in `words` hold words, the others numbers."""
    return Grid(
        title=title,
        columns=tuple(Column(name=name, number=name not in words) for name in columns),
        rows=tuple(tuple(row) for row in rows),
    )


def render(
    blocks: Sequence[Block], *, width: int | None, color: bool = False, encoding: str = "utf-8"
) -> str:
    """Lay out a report as text.

    Parameters
    ----------
    blocks
        The report.
    width
        Columns of the screen; None for a pipe or file, where everything has its natural width.
    color
        Whether to repeat in colour what the words say.
    encoding
        Of the stream; what it cannot hold is written as an escape, and measured as one.

    >>> print(render([Heading(text="Slab"), Line(label="CUT", text="4 studs")], width=None))
    Slab
    ----
    CUT         4 studs
    <BLANKLINE>
    """
    screen = UNBOUNDED if width is None else max(width, NARROWEST)
    rule = "─" if width is not None and _holds(encoding, "─") else "-"
    page = io.StringIO()
    console = _console(page, screen, color)
    before: Block | None = None
    for block in blocks:
        if before is not None and _parted(before, block):
            console.print()
        for piece in _laid_out(_plain(block, encoding), console, screen, rule):
            console.print(piece)
        before = block
    return "".join(line.rstrip() + "\n" for line in page.getvalue().splitlines())


def _console(page: io.StringIO, screen: int, color: bool) -> Console:
    return Console(
        file=page,
        width=screen,
        force_terminal=color,
        force_jupyter=False,
        color_system="standard" if color else None,
        no_color=not color,
        markup=False,
        emoji=False,
        highlight=False,
        legacy_windows=False,
    )


def _holds(encoding: str, text: str) -> bool:
    try:
        text.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def _parted(before: Block, block: Block) -> bool:
    """Whether an empty line goes between the two."""
    if isinstance(before, Heading):
        return False
    return not isinstance(block, Line) or isinstance(before, Grid)


def _plain(block: Block, encoding: str) -> Block:
    """The block in characters the stream can hold."""

    def fit(text: str) -> str:
        return text.encode(encoding, "backslashreplace").decode(encoding)

    if isinstance(block, Heading):
        return Heading(text=fit(block.text))
    if isinstance(block, Line):
        return Line(text=fit(block.text), label=fit(block.label), level=block.level)
    rows = tuple(tuple(fit(cell) for cell in row) for row in block.rows)
    return Grid(title=fit(block.title), columns=block.columns, rows=rows)


def _laid_out(block: Block, console: Console, screen: int, rule: str) -> list[RenderableType]:
    if isinstance(block, Heading):
        text = Text(block.text, style="bold", overflow="fold")
        return [text, Text(rule * min(cell_len(block.text), screen), style="bold")]
    if isinstance(block, Line):
        return [_line(block, screen)]
    title: list[RenderableType] = []
    if block.title:
        title = [Text(block.title, style="bold", overflow="fold")]
    table = _table(block, rule)
    needed = console.measure(table, options=console.options.update(width=UNBOUNDED)).maximum
    return [*title, table] if needed <= screen else [*title, *_cards(block)]


def _line(block: Line, screen: int) -> RenderableType:
    """Label and sentence side by side; on a narrow screen one after the other."""
    style = STYLES[block.level]
    body = Text(block.text, style=style, overflow="fold")
    if not block.label:
        return body
    label = Text(block.label, style=style or "bold")
    if screen < NARROW or cell_len(block.label) >= LABEL_WIDTH:
        return Text.assemble(label, " ", body, overflow="fold")
    side = RichTable.grid(padding=0)
    hang = BULLET_WIDTH if block.label == "-" else LABEL_WIDTH
    side.add_column(no_wrap=True, width=hang, overflow="fold")
    side.add_column(overflow="fold")
    side.add_row(label, body)
    return side


def _table(block: Grid, rule: str) -> RichTable:
    blank = "    \n"
    box = Box(2 * blank + rule * 4 + "\n" + 5 * blank, ascii=rule == "-")
    table = RichTable(
        box=box, show_edge=False, pad_edge=False, padding=(0, 1, 0, 0), header_style="bold"
    )
    for column in block.columns:
        table.add_column(
            Text(column.name),
            justify="right" if column.number else "left",
            no_wrap=True,
            overflow="fold",
        )
    for row in block.rows:
        table.add_row(*(Text(cell) for cell in row))
    return table


def _cards(block: Grid) -> list[RenderableType]:
    """One card a row: the first cell heads it, the others follow with their names."""
    head = block.columns[0].name
    pieces: list[RenderableType] = []
    for row in block.rows:
        pieces.append(Text(f"{head} {row[0]}", style="bold", overflow="fold"))
        for column, cell in zip(block.columns[1:], row[1:], strict=True):
            if cell:
                pieces.append(Text(f"  {column.name}: {cell}", overflow="fold"))
    return pieces
