"""Options every command shares, and the request they make."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypeVar

import click

if TYPE_CHECKING:
    from survey.lengths import Unit

CHECK_FAILED = 3

Command = TypeVar("Command", bound=Callable[..., Any])
Color = Literal["auto", "always", "never"]
Show = Literal["in", "mm"]


@dataclass(frozen=True, kw_only=True)
class Request:
    """What was asked for on the command line, as far as every command understands it."""

    job: str = "."
    unit: Unit | None = None
    show: Show | None = None
    leave_out: tuple[str, ...] = ()
    wall: str = ""
    json: bool = False
    csv: Path | None = None
    check: bool = False
    overwrite: bool = False
    color: Color = "auto"
    quiet: bool = False
    verbose: bool = False


OVERWRITE = click.option("--overwrite", is_flag=True, help="Replace files that exist.")
DEBUG = click.option(
    "--debug",
    is_flag=True,
    expose_value=False,  # read from the command line itself, so that it works before parsing too
    help="On a fault of the program, print all that is known of it.",
)
SHARED = (
    click.argument("job", default=".", type=click.Path(), metavar="[JOB]"),
    click.option(
        "--unit",
        type=click.Choice(["in", "ft", "mm", "cm", "m"]),
        help="Unit of numbers without a mark, where job.toml names none.",
    ),
    click.option("--show", type=click.Choice(["in", "mm"]), help="Unit to print in."),
    click.option(
        "--leave-out",
        multiple=True,
        metavar="ROW",
        help="Leave a reading out: 17, 17:down or day2.csv:17. May be given again.",
    ),
    click.option("--wall", default="", metavar="NAME", help="Show this wall only."),
    click.option("--json", is_flag=True, help="Print one line of JSON instead of text."),
    click.option(
        "--csv",
        type=click.Path(path_type=Path, file_okay=False),
        metavar="DIR",
        help="Write tables as CSV files into this folder too.",
    ),
    click.option("--check", is_flag=True, help="End with exit code 3 where something fails."),
    OVERWRITE,
    click.option(
        "--color",
        type=click.Choice(["auto", "always", "never"]),
        default="auto",
        show_default=True,
        help="Colour repeats what the words say; auto is for terminals, unless NO_COLOR is set.",
    ),
    click.option("-q", "--quiet", is_flag=True, help="Print the answer only."),
    click.option("-v", "--verbose", is_flag=True, help="Print every stud, reading and way tried."),
    DEBUG,
)


FIGURES = (".png", ".pdf", ".svg")


def figure_option(what: str) -> Callable[[Command], Command]:
    """The option that asks for drawings; `what` says of what."""
    return click.option(
        "--figure",
        type=click.Path(path_type=Path, dir_okay=False),
        metavar="FILE",
        callback=_known_figure,
        help=f"Draw {what} too: a .pdf with a page each, or a .png or .svg for each.",
    )


def _known_figure(
    _context: click.Context, _parameter: click.Parameter, figure: Path | None
) -> Path | None:
    if figure is not None and figure.suffix.lower() not in FIGURES:
        raise click.UsageError(f"--figure {figure}: the name must end in {', '.join(FIGURES)}")
    return figure


def shared_options(command: Command) -> Command:
    """Give a command the argument JOB and every shared option."""
    for decorate in reversed(SHARED):
        command = decorate(command)
    return command
