"""The commands from outside: answers on stdout, errors in one line on stderr, exit codes."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

import survey
from survey.cli import cli
from survey.example import example_folder
from survey.sheets.tables import FILES

ROOT = Path(survey.__file__).parents[1]
PROGRAM = [sys.executable, "-m", "survey"]
WALL = "station,down,up\n" + "".join(
    f"{16 * i},{down},46 7/8\n" for i, down in enumerate(["52 1/2", "52 3/8", "52 1/4", "52 1/2"])
)


@pytest.fixture
def runner(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> CliRunner:
    """A runner in a folder of its own with one readings file."""
    monkeypatch.chdir(tmp_path)
    Path("wall.csv").write_text(WALL)
    return CliRunner()


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
    lines = refused(run(runner, "plan", "wall.csv"), 70, "ZeroDivisionError", "test_cli.py line")
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


def test_a_closed_pipe_ends_quietly(tmp_path: Path) -> None:
    reads, writes = os.pipe()
    os.close(reads)
    with subprocess.Popen(
        [*PROGRAM, "plan", str(example_folder())],
        stdout=writes,
        stderr=subprocess.PIPE,
        env=environment(),
        cwd=tmp_path,
    ) as process:
        os.close(writes)
        _, error = process.communicate(timeout=60)
    assert (process.returncode, error) == (0, b"")


@pytest.mark.skipif(os.name == "nt", reason="signals are sent otherwise there")
def test_ctrl_c_in_the_middle_ends_with_130(tmp_path: Path) -> None:
    pipe = tmp_path / "slow.csv"
    os.mkfifo(pipe)
    with subprocess.Popen(
        [*PROGRAM, "plan", str(pipe)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=environment(),
    ) as process:
        time.sleep(1.5)
        process.send_signal(signal.SIGINT)
        out, error = process.communicate(timeout=60)
    assert process.returncode == 130
    assert (out, error) == (b"", b"Error: interrupted\n")


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


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437", "utf-8"])
def test_every_stream_takes_every_name(tmp_path: Path, encoding: str) -> None:
    (tmp_path / "w.csv").write_text(
        "wall,station,down,up\n" + "".join(f"Küche 壁,{16 * i},52,47\n" for i in range(4)),
        encoding="utf-8",
    )
    done = child("plan", "w.csv", env={"PYTHONIOENCODING": encoding}, cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, b"")
    text = done.stdout.decode(encoding)
    assert ("Küche" in text) == (encoding != "ascii")
    assert (r"\u58c1" in text) == (encoding != "utf-8")
    wrong = child("plan", "w.csv", "--wall", "壁", env={"PYTHONIOENCODING": encoding}, cwd=tmp_path)
    assert wrong.returncode == 1
    assert wrong.stderr.startswith(b"Error: ")


def test_a_pipe_gets_no_colour_unless_asked(tmp_path: Path) -> None:
    where = str(example_folder())
    assert b"\x1b[" not in child("plan", where, "-q").stdout
    assert b"\x1b[" in child("plan", where, "-q", "--color", "always").stdout


@pytest.mark.skipif(os.name == "nt", reason="no pseudo-terminal there")
@pytest.mark.parametrize("columns", [60, 80, 120])
@pytest.mark.parametrize("no_color", ["", "1"])
def test_on_a_terminal_lines_keep_to_its_width(columns: int, no_color: str) -> None:
    import pty
    import re

    main_end, child_end = pty.openpty()
    more = {"COLUMNS": str(columns), "NO_COLOR": no_color, "TERM": "xterm", "PYTHONUTF8": "1"}
    with subprocess.Popen(
        [*PROGRAM, "plan", str(example_folder())],
        stdout=child_end,
        stderr=child_end,
        env=environment(more),
    ) as process:
        os.close(child_end)
        text = _read_all(main_end)
        assert process.wait(timeout=60) == 0
    assert ("\x1b[" in text) == (no_color == "")
    plain = re.sub(r"\x1b\[[0-9;]*m", "", text)
    assert max(len(line) for line in plain.splitlines()) <= columns
    assert "…" not in plain
    assert "───" in plain


def _read_all(end: int) -> str:
    """Everything written to a pseudo-terminal until its other end closes."""
    data = b""
    while True:
        try:
            part = os.read(end, 65536)
        except OSError:  # the usual end of a pseudo-terminal on Linux
            part = b""
        if not part:
            os.close(end)
            return data.decode()
        data += part


@pytest.mark.parametrize(
    ("args", "absent"),
    [
        (["--help"], ("numpy", "scipy", "pandas", "pydantic", "rich", "matplotlib", "jinja2")),
        (["plan", "wall.csv"], ("scipy.stats", "pydantic", "matplotlib", "jinja2")),
        (["survey", "wall.csv"], ("scipy.stats", "pydantic", "matplotlib", "jinja2")),
    ],
)
def test_nothing_is_loaded_that_is_not_needed(
    tmp_path: Path, args: list[str], absent: tuple[str, ...]
) -> None:
    (tmp_path / "wall.csv").write_text(WALL)
    program = (
        "import sys\n"
        "from survey.cli import main\n"
        "try:\n"
        f"    main({args!r})\n"
        "except SystemExit as ending:\n"
        "    assert ending.code == 0\n"
        "print(sorted(set(sys.modules)), file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        env=environment(),
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    loaded = done.stderr.splitlines()[-1]
    assert "'survey.cli'" in loaded
    for name in absent:
        assert f"'{name}'" not in loaded
