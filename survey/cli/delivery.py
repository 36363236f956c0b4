"""Where results go: text or JSON to stdout, files to the folder asked for, all else to stderr."""

from __future__ import annotations

import json
import os
import shutil
import sys
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

import click

from survey.cli.options import Request

if TYPE_CHECKING:
    from survey.sheets.blocks import Block


def print_report(blocks: Sequence[Block], request: Request) -> None:
    """Print a report on stdout as wide as the terminal, or as wide as it is into a pipe."""
    from survey.sheets.blocks import render

    terminal = sys.stdout.isatty()
    color = wants_color(request, terminal=terminal)
    width = shutil.get_terminal_size().columns if terminal else None
    text = render(blocks, width=width, color=color, encoding=sys.stdout.encoding or "utf-8")
    click.echo(text, nl=False, color=color)


def wants_color(request: Request, *, terminal: bool) -> bool:
    """Whether to colour: as asked, else only a terminal that does not refuse it."""
    if request.color != "auto":
        return request.color == "always"
    return terminal and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def print_json(record: Mapping[str, Any]) -> None:
    """Print one line of JSON in ASCII, which every stream can hold."""
    click.echo(json.dumps(record, allow_nan=False, separators=(",", ":")))


def check_files(targets: Iterable[Path], request: Request) -> None:
    """Refuse targets that exist or cannot be written, before anything is computed."""
    from survey.sheets.files import check_targets

    check_targets(targets, overwrite=request.overwrite)


def table_targets(request: Request, command: str) -> list[Path]:
    """Files --csv is going to write for a command; none without it."""
    if request.csv is None:
        return []
    from survey.sheets.tables import FILES

    return [request.csv / name for name in FILES[command]]


def check_figures(figure: Path | None, walls: Sequence[str], request: Request) -> None:
    """Refuse drawings that exist, before anything is computed, if each wall takes one page.

    Where one takes more its files have other names: those are checked before they are written.
    """
    if figure is not None:
        from survey.sheets.drawings.saving import figure_targets

        check_files(figure_targets(walls, figure), request)


class Results(Protocol):
    """What a command found, in each form it can be asked for; only what is asked for is made."""

    def record(self) -> Mapping[str, Any]:
        """The object --json prints."""

    def tables(self) -> Mapping[str, bytes]:
        """The files --csv writes, by name."""

    def blocks(self) -> Sequence[Block]:
        """The report on the terminal."""


def deliver(
    results: Results, request: Request, *, extra: Mapping[Path, bytes] | None = None
) -> None:
    """Write the files asked for, then print: a reader who hangs up early loses no file.

    Parameters
    ----------
    results
        What was found.
    request
        The command line.
    extra
        Further files by target.
    """
    contents = dict(extra or {})
    if request.csv is not None:
        contents |= {request.csv / name: data for name, data in results.tables().items()}
    _write(contents, request)
    if request.json:
        print_json(results.record())
    else:
        print_report(results.blocks(), request)


def _write(contents: Mapping[Path, bytes], request: Request) -> None:
    """Write files and say so on stderr."""
    from survey.sheets.files import check_targets, write_files

    if not contents:
        return
    check_targets(contents, overwrite=request.overwrite)
    write_files(contents)
    if not request.quiet:
        click.echo(f"Wrote {', '.join(str(target) for target in contents)}", err=True)
