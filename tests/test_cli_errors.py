"""What a command refuses: one line on stderr that says why, and the exit code."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from command_line import WALL, refused, run


@pytest.fixture
def runner(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> CliRunner:
    """A runner in a folder of its own with one readings file."""
    monkeypatch.chdir(tmp_path)
    Path("wall.csv").write_text(WALL)
    return CliRunner()


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["plan", "wall.csv", "--rise", "52.3/8"], '--rise "52.3/8": mixes a decimal'),
        (["plan", "wall.csv", "--rise", "40"], "must be from 0 to 12 in"),
        (["plan", "wall.csv", "--widest", "nan"], '--widest "nan"'),
        (["plan", "wall.csv", "--figure", "x.bmp"], "must end in .png, .pdf, .svg"),
        (["plan", "wall.csv", "--bottom", "wavy"], "'wavy' is not one of"),
        (["plan", "wall.csv", "--nope"], "No such option"),
        (["measure"], "No such command"),
        (["plan", "a", "b"], "unexpected extra argument"),
        (["new"], "Missing argument"),
    ],
)
def test_a_misused_command_line_ends_with_2(runner: CliRunner, args: list[str], words: str) -> None:
    refused(run(runner, *args), 2, words, "--help")


def test_a_folder_with_nothing_in_it_says_how_to_begin(runner: CliRunner) -> None:
    Path("empty").mkdir()
    for command in ("survey", "slab", "plan"):
        lines = refused(run(runner, command, "empty"), 1, "no readings", "floatwall new")
        assert len(lines) == 1


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("text.csv", b"hello\n"),
        ("empty.csv", b""),
        ("heading.csv", b"station,down,up\n"),
        ("workbook.csv", b"PK\x03\x04" + bytes(200)),
        ("noise.csv", bytes(range(256)) * 8),
        ("half.csv", b"station,down\n0,"),
    ],
)
def test_a_file_that_holds_no_readings_is_one_clear_error(
    runner: CliRunner, name: str, data: bytes
) -> None:
    Path(name).write_bytes(data)
    refused(run(runner, "plan", name), 1, name)


def test_a_folder_or_nothing_in_place_of_a_readings_file_is_told(runner: CliRunner) -> None:
    Path("sub").mkdir()
    Path("job.toml").write_text('[job]\nreadings = ["sub"]\n')
    refused(run(runner, "plan"), 1, "sub")
    Path("job.toml").write_text('[job]\nreadings = ["gone.csv"]\n')
    refused(run(runner, "plan"), 1, "gone.csv")
    Path("job.toml").write_bytes(bytes(range(256)))
    refused(run(runner, "plan"), 1, "job.toml")


def test_what_is_not_there_is_said(runner: CliRunner) -> None:
    refused(run(runner, "plan", "nowhere"), 1, "nowhere")
    refused(run(runner, "plan", "wall.csv", "--wall", "East"), 1, 'no wall "East"', "Wall")
    refused(run(runner, "plan", "wall.csv", "--leave-out", "99"), 1, "99")


def test_every_fault_of_a_file_is_listed_on_its_own_line(runner: CliRunner) -> None:
    Path("bad.csv").write_text("station,down,up\n0,5 2 8,46\n16,52,nan\n32,52 2/7,46\n")
    lines = refused(run(runner, "plan", "bad.csv"), 1)
    assert len(lines) == 4
    assert [line.split()[2] for line in lines[1:]] == ["2", "3", "4"]


def test_notes_gathered_before_an_error_follow_it(runner: CliRunner) -> None:
    rows = "A,West,0,52,47\n,,16,52,47\nB,East,0,50,49\n"
    Path("untied.csv").write_text("setup,wall,station,down,up\n" + rows)
    lines = refused(run(runner, "plan", "untied.csv"), 1, "not tied")
    assert any(line.startswith("  note: ") for line in lines[1:])


def test_the_unit_may_not_contradict_the_job(runner: CliRunner) -> None:
    Path("job.toml").write_text('[job]\nunit = "mm"\n')
    refused(run(runner, "plan", "wall.csv", "--unit", "in"), 1, "--unit in differs")


def test_a_fault_of_the_program_is_one_line_and_70(
    runner: CliRunner, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("float division\nby zero")

    monkeypatch.setattr("survey.field.levelling.adjust", broken)
    lines = refused(
        run(runner, "plan", "wall.csv"), 70, "ZeroDivisionError", "test_cli_errors.py line"
    )
    assert len(lines) == 2
    result = run(runner, "plan", "wall.csv", "--debug")
    assert result.exit_code == 70
    assert result.stderr.startswith("Error: ")
    assert "Traceback" in result.stderr


def test_an_interrupt_ends_with_130(runner: CliRunner, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("survey.field.levelling.adjust", stopped)
    refused(run(runner, "plan", "wall.csv"), 130, "interrupted")
