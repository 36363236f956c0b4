"""Runs of the program inside the tests and in processes of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from click.testing import CliRunner, Result

import survey
from survey.cli import cli

ROOT = Path(survey.__file__).parents[1]
PROGRAM = [sys.executable, "-m", "survey"]
WALL = "station,down,up\n" + "".join(
    f"{16 * i},{down},46 7/8\n" for i, down in enumerate(["52 1/2", "52 3/8", "52 1/4", "52 1/2"])
)


def run(runner: CliRunner, *args: str) -> Result:
    return runner.invoke(cli, args)


def child(
    *args: str, env: dict[str, str] | None = None, cwd: Path | None = None
) -> subprocess.CompletedProcess[bytes]:
    """A run of the program in a process of its own."""
    return subprocess.run(
        [*PROGRAM, *args],
        env=environment(env),
        cwd=cwd,
        capture_output=True,
        timeout=60,
        check=False,
    )


def environment(more: dict[str, str] | None = None) -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(ROOT), "OPENBLAS_NUM_THREADS": "1", **(more or {})}


def refused(result: Result, code: int, *words: str) -> list[str]:
    """Lines of stderr of a run that was refused, with nothing on stdout."""
    lines = result.stderr.splitlines()
    assert result.exit_code == code, result.output
    assert lines[0].startswith("Error: ")
    assert "Traceback" not in result.stderr
    assert result.stdout == ""
    for word in words:
        assert word in result.stderr
    return lines
