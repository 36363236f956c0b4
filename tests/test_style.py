"""Habits no linter holds us to: sizes, names, frozen records, errors matched by their words."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import survey

ROOT = Path(__file__).parents[1]
LIBRARY = sorted((ROOT / "survey").rglob("*.py"))
SAMPLES = sorted((ROOT / "sample_surveys").rglob("*.py"))
TESTS = [path for path in sorted((ROOT / "tests").rglob("*.py")) if "data" not in path.parts]
EVERYTHING = [*LIBRARY, *SAMPLES, *TESTS]

MODULE_LINES = 300
TEST_LINES = 450  # a test module goes with one module, and cases are long without being hard
FUNCTION_LINES = 60
PARAMETERS = 7
# Drawers into which anything goes.
NO_NAMES = {"base", "common", "core", "helper", "helpers", "io", "misc", "models", "util", "utils"}
# Endings that carry no words to match.
WORDLESS = {"KeyboardInterrupt", "SystemExit"}
ARRAY = re.compile(r"\b\w*Array\b|\bndarray\b")

Function = ast.FunctionDef | ast.AsyncFunctionDef


def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


def _where(path: Path, node: ast.stmt | ast.expr) -> str:
    return f"{path.relative_to(ROOT)}:{node.lineno}"


def _functions(path: Path) -> Iterator[Function]:
    return (node for node in ast.walk(_tree(path)) if isinstance(node, Function))


def _code_lines(function: Function) -> int:
    """Lines of a function, its docstring left out."""
    first = function.body[0]
    documented = ast.get_docstring(function) is not None and first.end_lineno is not None
    said = (first.end_lineno or 0) - first.lineno + 1 if documented else 0
    return (function.end_lineno or 0) - function.lineno + 1 - said


def _parameters(function: Function) -> int:
    given = function.args
    names = [a.arg for a in (*given.posonlyargs, *given.args, *given.kwonlyargs)]
    return len([name for name in names if name not in ("self", "cls")])


def test_modules_are_short() -> None:
    limits = {**dict.fromkeys(EVERYTHING, MODULE_LINES), **dict.fromkeys(TESTS, TEST_LINES)}
    long = {
        str(path.relative_to(ROOT)): lines
        for path, most in limits.items()
        if (lines := len(path.read_text("utf-8").splitlines())) > most
    }
    assert not long


def test_functions_are_short() -> None:
    long = {
        f"{_where(path, function)} {function.name}": lines
        for path in EVERYTHING
        for function in _functions(path)
        if (lines := _code_lines(function)) > FUNCTION_LINES
    }
    assert not long


def test_functions_take_few_parameters() -> None:
    many = [
        f"{_where(path, function)} {function.name}"
        for path in [*LIBRARY, *SAMPLES]
        for function in _functions(path)
        if _parameters(function) > PARAMETERS
    ]
    assert not many


def test_no_module_is_a_drawer() -> None:
    drawers = [path for path in EVERYTHING if path.stem in NO_NAMES or path.parent.name in NO_NAMES]
    assert not drawers


def _undocumented(path: Path, body: list[ast.stmt], inside: str) -> Iterator[str]:
    for node in body:
        if isinstance(node, Function | ast.ClassDef) and not node.name.startswith("_"):
            if not ast.get_docstring(node):
                yield f"{_where(path, node)} {inside}{node.name}"
            if isinstance(node, ast.ClassDef):
                yield from _undocumented(path, node.body, f"{node.name}.")


def test_every_public_name_is_documented() -> None:
    bare = [str(path.relative_to(ROOT)) for path in LIBRARY if not ast.get_docstring(_tree(path))]
    for path in LIBRARY:
        bare += _undocumented(path, _tree(path).body, "")
    assert not bare


@pytest.mark.parametrize("name", survey.__all__)
def test_every_name_at_the_front_door_opens_and_is_documented(name: str) -> None:
    assert name in dir(survey)
    assert getattr(survey, name).__doc__


def test_the_front_door_names_no_folder_and_no_module_of_its_own() -> None:
    beside = {path.stem for path in (ROOT / "survey").iterdir()}
    assert not beside & set(survey.__all__)


def test_the_front_door_refuses_other_names() -> None:
    with pytest.raises(AttributeError, match="no attribute 'unknown'"):
        _ = survey.unknown


def _records(path: Path) -> Iterator[tuple[ast.ClassDef, dict[str, object]]]:
    """Dataclasses of a module with the options of their decorator."""
    for node in ast.walk(_tree(path)):
        if not isinstance(node, ast.ClassDef):
            continue
        for decorator in node.decorator_list:
            if "dataclass" in ast.unparse(decorator):
                words = decorator.keywords if isinstance(decorator, ast.Call) else []
                yield node, {word.arg or "": ast.literal_eval(word.value) for word in words}


def test_records_are_frozen() -> None:
    soft = [
        f"{_where(path, node)} {node.name}"
        for path in LIBRARY
        for node, options in _records(path)
        if options.get("frozen") is not True
    ]
    assert not soft


def test_records_that_hold_arrays_are_not_compared() -> None:
    compared = [
        f"{_where(path, node)} {node.name}"
        for path in LIBRARY
        for node, options in _records(path)
        if options.get("eq") is not False
        and any(
            isinstance(line, ast.AnnAssign) and ARRAY.search(ast.unparse(line.annotation))
            for line in node.body
        )
    ]
    assert not compared


def test_only_the_command_line_reads_the_environment_and_ends_the_program() -> None:
    faults = [
        _where(path, node)
        for path in LIBRARY
        if "cli" not in path.parts
        for node in ast.walk(_tree(path))
        if isinstance(node, ast.Attribute)
        and ast.unparse(node) in ("os.environ", "os.getenv", "sys.exit", "warnings.warn")
    ]
    assert not faults


def _wordless_raises(tree: ast.Module) -> Iterator[ast.Call]:
    """Calls of pytest.raises with neither `match` nor an `as` name to look into.

    An `as` name that is then not looked into is an unused variable, which ruff finds.
    """
    withs = [node for node in ast.walk(tree) if isinstance(node, ast.With)]
    looked_into = {item.context_expr for node in withs for item in node.items if item.optional_vars}
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "pytest.raises":
            matched = "match" in [word.arg for word in node.keywords]
            if not matched and node not in looked_into:
                yield node


def test_every_expected_error_is_known_by_its_words() -> None:
    unknown = [
        _where(path, node)
        for path in TESTS
        for node in _wordless_raises(_tree(path))
        if ast.unparse(node.args[0]) not in WORDLESS
    ]
    assert not unknown
