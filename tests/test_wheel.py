"""The wheel on its own: built, installed in a bare environment, run far from the checkout."""

from __future__ import annotations

import os
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
BIN = "Scripts" if os.name == "nt" else "bin"

pytestmark = pytest.mark.slow  # builds, downloads and installs: most of a minute


def _run(*command: str | Path, folder: Path) -> subprocess.CompletedProcess[str]:
    """Run a command as if there were no checkout: no PYTHONPATH, no standard input."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    done = subprocess.run(
        [str(part) for part in command],
        cwd=folder,
        env=kept,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built with the build backend of this environment."""
    folder = tmp_path_factory.mktemp("wheel")
    _run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder, folder=ROOT)
    (built,) = folder.glob("floatwall-*.whl")
    return built


@pytest.fixture(scope="module")
def program(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The installed program, in an environment with nothing but the wheel and what it asks for."""
    place = tmp_path_factory.mktemp("bare")
    venv.create(place, with_pip=True)
    pip: list[str | Path] = [place / BIN / "python", "-m", "pip", "--disable-pip-version-check"]
    _run(*pip, "install", "--quiet", wheel, folder=place)
    return place / BIN / "floatwall"


def test_the_wheel_holds_the_package_with_its_data_and_nothing_else(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        inside = set(archive.namelist())
    tops = {name.split("/")[0] for name in inside}
    assert {top.split("-")[0] for top in tops} == {"survey", "floatwall"}
    package = [path for path in (ROOT / "survey").rglob("*") if path.is_file()]
    wanted = {
        path.relative_to(ROOT).as_posix() for path in package if "__pycache__" not in path.parts
    }
    assert {"survey/py.typed", "survey/example/job.toml", "survey/example/readings.csv"} <= wanted
    assert wanted == {name for name in inside if name.startswith("survey/")}


def test_a_new_example_is_planned_outside_the_checkout(program: Path, tmp_path: Path) -> None:
    version = _run(program, "--version", folder=tmp_path)
    assert str(program.parents[1]) in version.stdout
    _run(program, "new", "x", "--example", folder=tmp_path)
    planned = _run(program, "plan", "x", folder=tmp_path)
    assert "CUT " in planned.stdout
    assert "Hall" in planned.stdout


def test_the_installed_package_says_that_it_is_typed(program: Path, tmp_path: Path) -> None:
    code = "import importlib.resources as r; print((r.files('survey') / 'py.typed').is_file())"
    said = _run(program.with_name("python"), "-c", code, folder=tmp_path)
    assert said.stdout.strip() == "True"
