"""What a module imports, read from its source: at the top, in functions, under TYPE_CHECKING."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

PACKAGE = Path(__file__).parents[1] / "survey"


def source_files(package: Path = PACKAGE) -> dict[str, Path]:
    """Every module of the package by its dotted name; a folder's `__init__` by the folder's."""
    named = {}
    for path in sorted(package.rglob("*.py")):
        parts = path.relative_to(package.parent).with_suffix("").parts
        named[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return named


def imports_in(source: str, module: str, *, is_package: bool = False) -> tuple[str, ...]:
    """Dotted names a source imports, `from a import b` as a.b, in the order they stand.

    `import_module("a.b")` and `__import__("a.b")` with a literal count as well.
    """
    tree = ast.parse(source)
    return tuple(
        name for node in ast.walk(tree) for name in _names(node, module, is_package=is_package)
    )


def _names(node: ast.AST, module: str, *, is_package: bool) -> Iterator[str]:
    if isinstance(node, ast.Import):
        yield from (alias.name for alias in node.names)
    elif isinstance(node, ast.ImportFrom):
        base = _base(node, module, is_package=is_package)
        yield from (f"{base}.{alias.name}" for alias in node.names)
    elif isinstance(node, ast.Call):
        yield from _literal_import(node)


def _base(node: ast.ImportFrom, module: str, *, is_package: bool) -> str:
    """The module after `from`, leading dots worked out."""
    if node.level == 0:
        return node.module or ""
    parts = module.split(".")
    up = node.level - 1 if is_package else node.level
    return ".".join([*parts[: len(parts) - up], *([node.module] if node.module else [])])


def _literal_import(node: ast.Call) -> Iterator[str]:
    called = node.func.attr if isinstance(node.func, ast.Attribute) else ast.unparse(node.func)
    if called in ("import_module", "__import__") and node.args:
        first = node.args[0]
        if isinstance(first, ast.Constant) and isinstance(first.value, str):
            yield first.value


def own_module(name: str, modules: set[str]) -> str | None:
    """The module of ours that an imported name comes from; None for anyone else's."""
    while name and name not in modules:
        name = name.rpartition(".")[0]
    return name or None
