"""What a fresh process really loads: starting is quick, heavy libraries come only when needed."""

from __future__ import annotations

import os
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
ONE_WALL = "sample_surveys/one_wall.csv"


# Runs Python's own arguments in a child, then lists what was loaded in the last line of stderr.
REPORT = "import atexit, sys; atexit.register(lambda: print(*sys.modules, file=sys.stderr))"
AS_COMMAND = "sys.argv[0] = 'floatwall'; import runpy; runpy.run_module('survey', None, '__main__')"


def _loaded_by(code: str, *arguments: str) -> frozenset[str]:
    """Modules a child Python has loaded when it ends, by dotted name."""
    done = subprocess.run(
        [sys.executable, "-c", f"{REPORT}; {code}", *arguments],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        check=False,
    )
    *said, last = done.stderr.splitlines()
    assert done.returncode == 0, "\n".join(said)
    return frozenset(last.split())


@cache
def _loaded_by_command(*arguments: str) -> frozenset[str]:
    """Modules loaded when `floatwall` with these arguments ends."""
    return _loaded_by(AS_COMMAND, *arguments)


def _libraries(loaded: frozenset[str]) -> set[str]:
    """Third-party packages among them, beyond those any Python here starts with."""
    tops = {name.split(".")[0] for name in loaded - _loaded_by("pass")}
    return tops - set(sys.stdlib_module_names) - {"survey", "__mp_main__"}


def test_what_a_child_loads_is_seen() -> None:
    assert "json.decoder" in _loaded_by("import json.decoder")
    assert _libraries(_loaded_by("import numpy")) == {"numpy"}


def test_import_survey_loads_no_library() -> None:
    assert _libraries(_loaded_by("import survey")) == set()


def test_the_records_of_a_job_load_numpy_alone() -> None:
    assert _libraries(_loaded_by("import survey.job")) <= {"numpy"}


def test_the_command_line_loads_click_alone() -> None:
    assert _libraries(_loaded_by("import survey.cli")) == {"click"}


@pytest.mark.parametrize("arguments", [["--help"], ["--version"]])
def test_saying_what_it_is_loads_click_alone(arguments: list[str]) -> None:
    assert _libraries(_loaded_by_command(*arguments)) == {"click"}


def test_a_plan_of_a_csv_loads_only_what_it_needs() -> None:
    loaded = _libraries(_loaded_by_command("plan", ONE_WALL))
    assert {"numpy", "scipy", "pandas", "click"} <= loaded
    assert not loaded & {"pydantic", "matplotlib", "jinja2"}


def test_a_plan_of_a_job_file_loads_pydantic_and_no_drawing() -> None:
    loaded = _libraries(_loaded_by_command("plan", "sample_surveys/quarry_house"))
    assert "pydantic" in loaded
    assert not loaded & {"matplotlib", "jinja2"}


def test_a_figure_loads_matplotlib_without_its_state_machine(tmp_path: Path) -> None:
    figure = tmp_path / "plan.svg"
    loaded = _loaded_by_command("plan", ONE_WALL, "--figure", str(figure))
    assert "matplotlib.figure" in loaded
    assert "matplotlib.pyplot" not in loaded
    assert figure.stat().st_size > 0


@pytest.mark.parametrize("command", ["survey", "slab", "plan"])
def test_no_command_loads_scipy_stats(command: str) -> None:
    loaded = _loaded_by_command(command, ONE_WALL)
    assert "scipy.special" in loaded
    assert "scipy.stats" not in loaded
