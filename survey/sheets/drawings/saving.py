"""Drawn pages as the bytes of files, the same bytes every time."""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import Any

from matplotlib.backends.backend_pdf import PdfPages

from survey.errors import SurveyError
from survey.sheets.drawings.paper import DPI, WallPage, sheet_style
from survey.sheets.files import slugs

# What each kind of file would otherwise say of the moment and the machine it was made by.
METADATA: Mapping[str, dict[str, Any]] = MappingProxyType(
    {
        ".pdf": {"CreationDate": None},
        ".svg": {"Date": None},
        ".png": {"Software": None},
    }
)


def check_figure_name(path: Path) -> None:
    """Refuse a file name that says no kind of figure.

    Raises
    ------
    SurveyError
        If it does not end in .pdf, .svg or .png.
    """
    if path.suffix.lower() not in METADATA:
        raise SurveyError(f"{path}: a figure is saved as .pdf, .svg or .png; name one of these")


def figure_targets(walls: Sequence[str], path: Path) -> tuple[Path, ...]:
    """Files that pages are saved in, one a page in their order.

    Parameters
    ----------
    walls
        The wall of each page; a wall of several pages is named several times.
    path
        The file asked for. A .pdf holds all pages; of .svg and .png there is one file a page,
        which has the wall's name in its own as soon as there are two pages.

    >>> [str(p) for p in figure_targets(["North", "South", "South"], Path("out/plan.png"))]
    ['out/plan-north.png', 'out/plan-south-1.png', 'out/plan-south-2.png']
    >>> [str(p) for p in figure_targets(["North"], Path("plan.png"))]
    ['plan.png']
    """
    check_figure_name(path)
    if path.suffix.lower() == ".pdf" or len(walls) == 1:
        return (path,) * len(walls)
    counts, seen = Counter(walls), Counter[str]()
    names = []
    for wall in walls:
        seen[wall] += 1
        names.append(f"{wall} {seen[wall]}" if counts[wall] > 1 else wall)
    return tuple(path.with_name(f"{path.stem}-{slug}{path.suffix}") for slug in slugs(names))


def save_figures(pages: Sequence[WallPage], path: Path) -> dict[Path, bytes]:
    """The bytes of every file the pages are saved in.

    Parameters
    ----------
    pages
        Drawn pages.
    path
        The file asked for; its ending says the kind.

    Raises
    ------
    SurveyError
        If it does not end in .pdf, .svg or .png.
    """
    kind = path.suffix.lower()
    targets = figure_targets([page.wall for page in pages], path)
    with sheet_style():
        if kind == ".pdf":
            return {path: _pdf(pages)}
        return {target: _single(page, kind) for target, page in zip(targets, pages, strict=True)}


def _pdf(pages: Sequence[WallPage]) -> bytes:
    buffer = io.BytesIO()
    with PdfPages(buffer, metadata=METADATA[".pdf"]) as book:
        for page in pages:
            book.savefig(page.figure)
    return buffer.getvalue()


def _single(page: WallPage, kind: str) -> bytes:
    buffer = io.BytesIO()
    page.figure.savefig(buffer, format=kind[1:], dpi=DPI, metadata=METADATA[kind])
    return buffer.getvalue()
