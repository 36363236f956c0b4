"""What a report is made of, and how it is laid out on a terminal, a pipe or a narrow screen."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from rich.cells import cell_len, set_cell_size
from rich.console import Console
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
BETWEEN = "  "
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


def _laid_out(block: Block, console: Console, screen: int, rule: str) -> list[Text]:
    if isinstance(block, Heading):
        text = Text(block.text, style="bold", overflow="fold")
        return [text, Text(rule * min(cell_len(block.text), screen), style="bold")]
    if isinstance(block, Line):
        return list(_line(block, console, screen))
    title: list[Text] = []
    if block.title:
        title = [Text(block.title, style="bold", overflow="fold")]
    widths = _widths(block)
    fits = sum(widths) + len(BETWEEN) * (len(widths) - 1) <= screen
    return [*title, _table(block, widths, rule)] if fits else [*title, *_cards(block)]


def _line(block: Line, console: Console, screen: int) -> Iterator[Text]:
    """Label and sentence side by side; on a narrow screen one after the other."""
    style = STYLES[block.level]
    body = Text(block.text, style=style, overflow="fold")
    hang = BULLET_WIDTH if block.label == "-" else LABEL_WIDTH
    wide = cell_len(block.label)
    if not block.label:
        yield body
    elif screen < NARROW or wide >= hang:
        yield Text.assemble((block.label, style or "bold"), " ", body, overflow="fold")
    else:
        before = (block.label + " " * (hang - wide), style or "bold")
        fits = hang + cell_len(block.text) <= screen and "\n" not in block.text
        for part in [body] if fits else body.wrap(console, screen - hang):
            yield Text.assemble(before, part, overflow="fold")
            before = (" " * hang, "")


def _widths(block: Grid) -> list[int]:
    """Columns of the screen each column of the table takes unbroken."""
    cells = [[column.name for column in block.columns], *block.rows]
    return [max(map(cell_len, column)) for column in zip(*cells, strict=True)]


def _table(block: Grid, widths: Sequence[int], rule: str) -> Text:
    """Heading, rule and rows, each on one line."""

    def row(cells: Sequence[str]) -> str:
        padded = [
            " " * (width - cell_len(cell)) + cell if column.number else set_cell_size(cell, width)
            for column, cell, width in zip(block.columns, cells, widths, strict=True)
        ]
        return BETWEEN.join(padded)

    heading = row([column.name for column in block.columns])
    lines = [rule * cell_len(heading), *map(row, block.rows)]
    return Text.assemble((heading, "bold"), "\n", "\n".join(lines), no_wrap=True, overflow="fold")


def _cards(block: Grid) -> list[Text]:
    """One card a row: the first cell heads it, the others follow with their names."""
    head = block.columns[0].name
    pieces: list[Text] = []
    for row in block.rows:
        pieces.append(Text(f"{head} {row[0]}", style="bold", overflow="fold"))
        for column, cell in zip(block.columns[1:], row[1:], strict=True):
            if cell:
                pieces.append(Text(f"  {column.name}: {cell}", overflow="fold"))
    return pieces
