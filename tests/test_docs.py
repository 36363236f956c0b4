"""What the documents name is there: links, files, make targets, commands, options, sources."""

from __future__ import annotations

import ast
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
DOCUMENTS = sorted(
    path
    for pattern in ("*.md", "docs/**/*.md", "sample_surveys/**/*.md", "tests/**/*.md")
    for path in ROOT.glob(pattern)
)
README = ROOT / "README.md"

LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
NAMED_FILE = re.compile(r"`((?:survey|tests|docs|shared|sample_surveys)/[\w./-]*)`")
# A source in a docstring stands at the start of a line: surname, initials, then the title.
AUTHOR = re.compile(r"^ *([A-Z][\w-]+), (?:[A-Z]\. ?)+", re.MULTILINE)


def _name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def _code(path: Path) -> list[str]:
    """Lines of a document's code: indented by four, or between fences."""
    lines, fenced = [], False
    for line in path.read_text("utf-8").splitlines():
        if line.startswith("```"):
            fenced = not fenced
        elif fenced or line.startswith("    "):
            lines.append(line.strip())
    return lines


def _anchors(path: Path) -> set[str]:
    """Anchors of a document's headings as web hosts make them."""
    headings = re.findall(r"^#+ +(.+)$", path.read_text("utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}


def _dead_links(path: Path, *, root: Path = ROOT) -> Iterator[str]:
    for target in LINK.findall(path.read_text("utf-8")):
        if target.startswith(("http://", "https://", "mailto:")):
            continue
        file, _, anchor = target.partition("#")
        there = (path.parent / file).resolve() if file else path
        if root not in there.parents or not there.exists():
            yield f"{path.name} links to {target}, which is not in the repository"
        elif anchor and anchor not in _anchors(there):
            yield f"{path.name} links to {target}: no such heading"


@pytest.mark.parametrize("path", DOCUMENTS, ids=_name)
def test_links_resolve(path: Path) -> None:
    assert not list(_dead_links(path))


@pytest.mark.parametrize("path", DOCUMENTS, ids=_name)
def test_files_named_in_code_letters_are_there(path: Path) -> None:
    named = NAMED_FILE.findall(path.read_text("utf-8"))
    assert not [name for name in named if not (ROOT / name).exists()]


def test_dead_links_are_seen(tmp_path: Path) -> None:
    page = tmp_path / "page.md"
    page.write_text("# Here\n[a](no.md) [b](#there) [c](#here) [d](../out.md)\n", "utf-8")
    assert [line.split()[3] for line in _dead_links(page, root=tmp_path)] == [
        "no.md,",
        "#there:",
        "../out.md,",
    ]


def test_make_targets_exist() -> None:
    targets = set(re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text("utf-8"), re.MULTILINE))
    wanted = {
        word
        for path in DOCUMENTS
        for line in _code(path)
        if line.startswith("make ")
        for word in line.split()[1:2]
    }
    assert {"plan", "test"} <= wanted <= targets


def test_readme_states_the_job_first() -> None:
    first = README.read_text("utf-8").split("\n\n")[1]
    assert first.count(".") >= 2
    assert "`" not in first
    assert not first.startswith(("#", "    ", "-", "|"))


def _floatwall_lines() -> list[list[str]]:
    words = [line.split(" #")[0].split() for path in DOCUMENTS for line in _code(path)]
    return [line[1:] for line in words if line and re.split(r"[\\/]", line[0])[-1] == "floatwall"]


@cache
def _help(*command: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "survey", *command, "--help"],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_commands_in_the_documents_exist_with_their_options() -> None:
    lines = _floatwall_lines()
    assert {line[0] for line in lines} >= {"new", "survey", "slab", "plan"}
    missing = []
    for line in lines:
        command = [] if line[0].startswith("-") else line[:1]
        known = set(re.findall(r"(?<![\w-])--?[a-z][a-z-]*", _help(*command)))
        missing += [
            f"{' '.join(line)}: {word}"
            for word in line
            if re.match(r"--?[a-z]", word) and word.split("=")[0] not in known
        ]
    assert not missing


def test_sample_files_in_commands_are_there() -> None:
    named = {word for line in _floatwall_lines() for word in line if "sample_surveys/" in word}
    assert named
    assert not [name for name in sorted(named) if not (ROOT / name).exists()]


def test_every_validation_is_in_its_table() -> None:
    table = (ROOT / "docs" / "validation.md").read_text("utf-8")
    files = sorted((ROOT / "tests" / "validation").glob("test_*.py"))
    assert files
    assert not [path.name for path in files if f"`{_name(path)}`" not in table]


def _cited(path: Path) -> Iterator[str]:
    """Surnames cited in the docstrings of a module."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef):
            yield from AUTHOR.findall(ast.get_docstring(node) or "")


def test_every_author_cited_in_the_code_is_in_the_references() -> None:
    listed = (ROOT / "docs" / "references.md").read_text("utf-8")
    cited = {name for path in (ROOT / "survey").rglob("*.py") for name in _cited(path)}
    assert "Cressie" in cited
    assert not sorted(name for name in cited if name not in listed)
