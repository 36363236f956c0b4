"""What a command writes: tables, drawings and JSON, never over what is there."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from command_line import WALL, refused, run
from survey.example import example_folder
from survey.sheets.tables import FILES


@pytest.fixture
def runner(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> CliRunner:
    """A runner in a folder of its own with one readings file."""
    monkeypatch.chdir(tmp_path)
    Path("wall.csv").write_text(WALL)
    return CliRunner()


@pytest.mark.parametrize("command", ["survey", "slab", "plan"])
def test_json_is_one_line_of_ascii(runner: CliRunner, command: str) -> None:
    Path("w.csv").write_text(WALL.replace("station", "note,station").replace("\n", "\n壁,")[:-2])
    result = run(runner, command, "w.csv", "--json")
    assert result.exit_code == 0, result.output
    assert result.stdout.isascii()
    assert result.stdout.count("\n") == 1
    record = json.loads(result.stdout)
    assert (record["format"], record["version"]) == (f"floatwall/{command}", 1)


@pytest.mark.parametrize("command", ["survey", "slab", "plan"])
def test_csv_writes_the_files_it_announces(runner: CliRunner, command: str) -> None:
    result = run(runner, command, "wall.csv", "--csv", "out/deep")
    assert result.exit_code == 0
    assert sorted(p.name for p in Path("out/deep").iterdir()) == sorted(FILES[command])
    assert result.stderr.startswith("Wrote ")
    assert result.stderr.count("\n") == 1
    assert run(runner, command, "wall.csv").stdout == result.stdout


def test_existing_targets_are_all_listed_before_anything_is_computed(
    runner: CliRunner, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run(runner, "plan", "wall.csv", "--csv", "out").exit_code == 0
    before = {p: p.read_bytes() for p in Path("out").iterdir()}
    with monkeypatch.context() as patched:
        patched.setattr("survey.field.jobfile.read_job", None)  # calling it would end with 70
        lines = refused(run(runner, "plan", "wall.csv", "--csv", "out"), 1, "nothing was done")
    assert len(lines) == 1 + len(FILES["plan"])
    assert {p: p.read_bytes() for p in Path("out").iterdir()} == before
    again = run(runner, "plan", "wall.csv", "--csv", "out", "--overwrite", "-q")
    assert (again.exit_code, again.stderr) == (0, "")


@pytest.mark.parametrize("command", ["slab", "plan"])
@pytest.mark.parametrize(
    ("name", "first"), [("w.pdf", b"%PDF"), ("w.PNG", b"\x89PNG"), ("w.svg", b"<?xml")]
)
def test_a_figure_is_of_the_kind_its_name_says(
    runner: CliRunner, command: str, name: str, first: bytes
) -> None:
    result = run(runner, command, "wall.csv", "-q", "--figure", name)
    assert result.exit_code == 0, result.stderr
    assert Path(name).read_bytes().startswith(first)
    refused(run(runner, command, "wall.csv", "--figure", name), 1, name, "--overwrite")


@pytest.mark.parametrize("command", ["slab", "plan"])
def test_a_figure_of_another_kind_is_refused(runner: CliRunner, command: str) -> None:
    refused(run(runner, command, "wall.csv", "--figure", "w.jpg"), 2, ".png, .pdf, .svg")


@pytest.mark.parametrize("command", ["slab", "plan"])
def test_no_figure_is_replaced_unasked_where_each_wall_has_its_own(
    runner: CliRunner, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    asked = [command, str(example_folder()), "--figure", "w.svg"]
    result = run(runner, *asked)
    assert result.exit_code == 0, result.stderr
    assert sorted(p.name for p in Path().glob("w-*")) == ["w-closet.svg", "w-hall.svg"]
    with monkeypatch.context() as patched:
        patched.setattr("survey.field.levelling.adjust", None)  # calling it would end with 70
        assert len(refused(run(runner, *asked), 1, "nothing was done")) == 3
        lone = run(runner, *asked, "--wall", "hall")
    assert lone.exit_code == 70  # w.svg is not there: nothing stands in the way of computing


def test_a_figure_of_one_wall_has_the_name_asked_for(runner: CliRunner) -> None:
    asked = ["slab", str(example_folder()), "--wall", "hall", "--figure", "w.svg", "-q"]
    assert run(runner, *asked).exit_code == 0
    assert [p.name for p in Path().glob("w*.svg")] == ["w.svg"]


def test_a_refused_job_leaves_no_file(runner: CliRunner) -> None:
    Path("bad.csv").write_text("station,down,up\n0,x,46\n")
    refused(run(runner, "plan", "bad.csv", "--csv", "out"), 1)
    assert not Path("out").exists()


def test_json_of_one_wall_has_that_wall_only(runner: CliRunner) -> None:
    where = str(example_folder())
    for command in ("slab", "plan"):
        record = json.loads(run(runner, command, where, "--json", "--wall", "hall").stdout)
        assert [wall["wall"] for wall in record["walls"]] == ["Hall"]
    record = json.loads(run(runner, "survey", where, "--json", "--wall", "hall").stdout)
    assert {spot["wall"] for spot in record["spots"]} == {"Hall"}
    assert len(record["setups"]) == 2
