"""The commands from outside: what they answer, and how they end."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

import survey
from command_line import WALL, refused, run
from survey.example import example_folder


@pytest.fixture
def runner(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> CliRunner:
    """A runner in a folder of its own with one readings file."""
    monkeypatch.chdir(tmp_path)
    Path("wall.csv").write_text(WALL)
    return CliRunner()


def test_version_tells_where_the_package_lies(runner: CliRunner) -> None:
    result = run(runner, "--version")
    assert result.exit_code == 0
    assert result.stdout == f"floatwall {survey.__version__} ({Path(survey.__file__).parent})\n"


@pytest.mark.parametrize("args", [[], ["-h"], ["plan", "-h"], ["survey", "--help"], ["new", "-h"]])
def test_help_is_whole_words(runner: CliRunner, args: list[str]) -> None:
    result = run(runner, *args)
    assert result.exit_code == 0
    assert result.stdout.startswith("Usage: floatwall")
    assert "..." not in result.stdout.replace("[ARGS]...", "")


@pytest.mark.parametrize("command", ["survey", "slab", "plan"])
def test_every_command_shows_a_real_command_in_its_help(runner: CliRunner, command: str) -> None:
    assert f"floatwall {command} basement" in run(runner, command, "-h").stdout


def test_plan_of_a_readings_file(runner: CliRunner) -> None:
    result = run(runner, "plan", "wall.csv", "--rise", "1-1/2", "--drop", "1")
    assert result.exit_code == 0
    assert "highest slab: station" in result.stdout
    assert "\nCUT " in result.stdout
    assert "FLOAT ASSUMED" not in result.stdout
    assert result.stderr == ""


def test_an_option_wins_and_takes_the_unit_of_the_job(runner: CliRunner) -> None:
    inches = run(runner, "plan", "wall.csv", "--rise", "2", "--drop", "1").stdout
    millimetres = run(runner, "plan", "wall.csv", "--rise", "50.8 mm", "--drop", "25.4 mm").stdout
    assert 'rise 2"' in inches
    assert inches == millimetres


def test_survey_and_slab_of_the_example(runner: CliRunner) -> None:
    survey_text = run(runner, "survey", str(example_folder()))
    assert survey_text.exit_code == 0
    assert "SET-UPS" in survey_text.stdout
    slab_text = run(runner, "slab", str(example_folder()), "--wall", "Hall")
    assert slab_text.exit_code == 0
    assert "Wall Hall" in slab_text.stdout
    assert "Wall Closet" not in slab_text.stdout


def test_one_wall_shown_is_computed_with_the_whole_job(runner: CliRunner) -> None:
    whole = run(runner, "plan", str(example_folder()), "-v").stdout
    one = run(runner, "plan", str(example_folder()), "-v", "--wall", "closet").stdout
    assert "Wall Hall" not in one
    bays = one[one.index("BAYS") : one.index("About the whole job")]
    assert bays in whole


def test_quiet_is_the_answer_alone_and_verbose_is_everything(runner: CliRunner) -> None:
    normal = run(runner, "plan", "wall.csv").stdout
    quiet = run(runner, "plan", "wall.csv", "-q").stdout
    verbose = run(runner, "plan", "wall.csv", "-v").stdout
    assert normal.startswith(quiet)
    assert len(quiet.splitlines()) < 15
    assert "STUDS (inches)" in verbose
    assert "STUDS (inches)" not in normal


def test_readings_left_out_are_named(runner: CliRunner) -> None:
    result = run(runner, "plan", "wall.csv", "--leave-out", "3:down", "--leave-out", "4:up")
    assert result.exit_code == 0
    assert "rows 3:down, 4:up, as asked" in result.stdout


def test_millimetres_can_be_shown(runner: CliRunner) -> None:
    result = run(runner, "plan", "wall.csv", "--show", "mm")
    assert "CUT" in result.stdout
    assert " mm" in result.stdout
    assert '"' not in result.stdout


def test_check_tells_by_the_exit_code_what_failed(runner: CliRunner) -> None:
    asked = ["plan", "wall.csv", "--drop", "1"]
    assert run(runner, *asked, "--rise", "1", "--check").exit_code == 0
    strict = [*asked, "--rise", "1", "--widest", "1-1/4"]
    assert run(runner, *strict).exit_code == 0
    failed = run(runner, *strict, "--check")
    assert failed.exit_code == 3
    assert "CANNOT BE BUILT AS ASKED" in failed.stdout


def test_check_fails_a_survey_whose_readings_disagree(runner: CliRunner) -> None:
    rows = "".join(f"B,{16 * i},{55 + i},44\n" for i in range(4))
    first = "".join(f"A,{16 * i},52,47\n" for i in range(4))
    Path("two.csv").write_text("setup,station,down,up\n" + first + rows)
    for command in ("survey", "slab", "plan"):
        assert run(runner, command, "two.csv").exit_code == 0
        assert run(runner, command, "two.csv", "--check").exit_code == 3


def test_new_makes_a_job_that_asks_for_readings(runner: CliRunner) -> None:
    result = run(runner, "new", "basement")
    assert result.exit_code == 0
    made = sorted(p.name for p in Path("basement").iterdir())
    assert made == ["field_sheet.txt", "job.toml", "readings.csv"]
    refused(run(runner, "plan", "basement"), 1, "readings.csv")
    Path("basement/readings.csv").write_text(
        Path("basement/readings.csv").read_text() + "A,North,0,52,47,\n,,16,52 1/8,47,\n"
    )
    assert run(runner, "plan", "basement").exit_code == 0


def test_new_example_can_be_planned_at_once(runner: CliRunner) -> None:
    assert run(runner, "new", "x", "--example").exit_code == 0
    result = run(runner, "plan", "x")
    assert result.exit_code == 0
    assert "CUT" in result.stdout


def test_new_never_touches_what_is_there(runner: CliRunner) -> None:
    Path("x").mkdir()
    Path("x/job.toml").write_text("mine")
    Path("x/readings.csv").write_text("mine")
    lines = refused(run(runner, "new", "x"), 1, "nothing was done")
    assert len(lines) == 3
    assert sorted(p.name for p in Path("x").iterdir()) == ["job.toml", "readings.csv"]
    assert run(runner, "new", "x", "--overwrite").exit_code == 0
    assert Path("x/job.toml").read_text() != "mine"


def test_new_into_a_file_is_refused(runner: CliRunner) -> None:
    refused(run(runner, "new", "wall.csv"), 2, "wall.csv")
