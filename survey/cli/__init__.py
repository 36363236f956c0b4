"""The command line: parse, read, call, write. Errors become one line and an exit code here."""

from __future__ import annotations

import contextlib
import os
import sys
import traceback
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NoReturn

import click

import survey
from survey.cli.new import new
from survey.cli.plan import plan
from survey.cli.slab import slab
from survey.cli.survey_command import survey_command
from survey.errors import SurveyError

PROGRAM = "floatwall"
DONE, REFUSED, MISUSED, FAULTY, INTERRUPTED = 0, 1, 2, 70, 130


class Program(click.Group):
    """The command group, ending every run with one of the exit codes above."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 # click's signature
        """Names in the order in which the commands are used."""
        return list(self.commands)

    def main(self, args: Sequence[str] | None = None, **_: Any) -> NoReturn:  # type: ignore[override] # never returns, click's may
        """Run one command line and leave with its exit code."""
        sys.exit(run(self, list(sys.argv[1:] if args is None else args)))


def run(group: click.Group, args: list[str]) -> int:
    """Run a command line; every way it can end, and what is told on stderr."""
    _never_fail_on_letters()
    try:
        with group.make_context(PROGRAM, args or ["--help"]) as context:
            group.invoke(context)
        sys.stdout.flush()
    except click.exceptions.Exit as ending:
        return ending.exit_code
    except click.ClickException as error:
        return _misused(error)
    except SurveyError as error:
        return _refused(error)
    except BrokenPipeError:
        return _closed_pipe()
    except (KeyboardInterrupt, click.Abort):
        click.echo("Error: interrupted", err=True)
        return INTERRUPTED
    except Exception as error:  # noqa: BLE001 # the one place where a fault of ours is caught
        return _faulty(error, debug="--debug" in args)
    return DONE


def _never_fail_on_letters() -> None:
    """Letters the stream cannot hold are written as escapes, not refused."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")


def _misused(error: click.ClickException) -> int:
    click.echo(f"Error: {error.format_message()}", err=True)
    context = getattr(error, "ctx", None)
    if context is not None:
        click.echo(f"Try: {context.command_path} --help", err=True)
    return MISUSED


def _refused(error: SurveyError) -> int:
    """One line what, then each fault and each note gathered before it, on its own line."""
    click.echo(f"Error: {_one_line(error.message)}", err=True)
    for fault in error.faults:
        if str(fault) != error.message:
            click.echo(f"  {_one_line(str(fault))}", err=True)
    for note in getattr(error, "__notes__", ()):
        click.echo(f"  {_one_line(note)}", err=True)
    return REFUSED


def _one_line(text: str) -> str:
    return " ".join(text.splitlines())


def _closed_pipe() -> int:
    """Whoever read our output has seen enough; nothing may be said any more."""
    with contextlib.suppress(OSError):  # a stream without a descriptor has nothing to flush
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return DONE


def _faulty(error: Exception, *, debug: bool) -> int:
    """A fault of the program: one line with what and where, or all of it on request."""
    where = traceback.extract_tb(error.__traceback__)[-1]
    place = f"{Path(where.filename).name} line {where.lineno}"
    what = f"{type(error).__name__}: {_one_line(str(error))}"
    click.echo(f"Error: a fault of {PROGRAM}, not of your files: {what} ({place})", err=True)
    if debug:
        click.echo("".join(traceback.format_exception(error)), err=True, nl=False)
    else:
        click.echo("  Run it again with --debug and report what it says", err=True)
    return FAULTY


def _show_version(context: click.Context, _: click.Parameter, wanted: bool) -> None:
    if wanted:
        click.echo(f"{PROGRAM} {survey.__version__} ({Path(survey.__file__).parent})")
        context.exit()


@click.group(
    cls=Program,
    commands=[new, survey_command, slab, plan],
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Start with: floatwall new basement --example, then: floatwall plan basement",
)
@click.option(
    "--version",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_show_version,
    help="Print the version and where the package lies, and end.",
)
def cli() -> None:
    """From laser readings to walls that float over a moving slab.

    Reads what a laser saw of slab and joists along each wall line, and tells plate heights, float
    gaps and stud lengths.
    """


def main(args: Sequence[str] | None = None) -> NoReturn:
    """Entry point of the program."""
    cli.main(args)
