"""The program in a process of its own: pipes, terminals, encodings, interrupts, what it loads."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from command_line import PROGRAM, WALL, child, environment
from survey.example import example_folder


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
    made = child("new", "壁", env={"PYTHONIOENCODING": encoding}, cwd=tmp_path)
    assert (made.returncode, made.stderr) == (0, b"")


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
