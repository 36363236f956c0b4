"""A sheet of paper measured in inches from its lower left corner: text, lines and areas on it."""

from __future__ import annotations

import functools
import unicodedata
from collections.abc import Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Literal

import matplotlib as mpl
from matplotlib import font_manager
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.patches import Polygon
from matplotlib.textpath import text_to_path

FAMILY = "DejaVu Sans"  # comes with matplotlib, so that a sheet looks alike everywhere
DPI = 150
POINTS = 72.0
LINE_HEIGHT = 1.3
# Letter and A4, lying.
SIZES: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"in": (11.0, 8.5), "mm": (297 / 25.4, 210 / 25.4)}
)
# What a user's own matplotlib settings must not change in a sheet.
STYLE: Mapping[str, Any] = MappingProxyType(
    {
        "font.family": FAMILY,
        "text.usetex": False,
        "text.antialiased": True,
        "hatch.linewidth": 0.4,
        "path.sketch": None,
        "pdf.fonttype": 42,
        "savefig.bbox": None,
        "svg.fonttype": "path",
        "svg.hashsalt": "floatwall",
    }
)
MISSING = "□"
Side = Literal["left", "center", "right"]


@dataclass(frozen=True, kw_only=True, eq=False)
class Paper:
    """A page; x to the right and y up, in inches of paper."""

    figure: Figure
    axes: Axes
    width: float
    height: float


@dataclass(frozen=True, kw_only=True, eq=False)
class WallPage:
    """A drawn page: the wall's name, and which of its pages it is."""

    wall: str
    page: int
    pages: int
    figure: Figure


def sheet_style() -> AbstractContextManager[None]:
    """The settings every sheet is drawn and saved under, whatever the user's own are."""
    return mpl.rc_context(dict[Any, Any](STYLE))


def new_paper(show: Literal["in", "mm"]) -> Paper:
    """An empty sheet, letter for a reader of inches and A4 for one of millimetres."""
    width, height = SIZES[show]
    figure = Figure(figsize=(width, height), dpi=DPI, facecolor="white")
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_xlim(0.0, width)
    axes.set_ylim(0.0, height)
    axes.set_axis_off()
    return Paper(figure=figure, axes=axes, width=width, height=height)


def printable(text: str) -> str:
    r"""Text in the signs the font has: others become a box, signs that do not show go.

    >>> printable("Nord\u200b 壁 $x$")
    'Nord □ $x$'
    """
    known = _charmap()
    shown = (sign for sign in text if unicodedata.category(sign) not in ("Cc", "Cf", "Cs"))
    return "".join(sign if ord(sign) in known else MISSING for sign in shown)


@functools.cache
def _charmap() -> frozenset[int]:
    path = font_manager.findfont(FontProperties(family=FAMILY))
    return frozenset(font_manager.get_font(path).get_charmap())


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of a text of `size` points on the paper [in].

    >>> round(text_width("North", 8.0) / text_width("North", 4.0), 6)
    2.0
    """
    return size * _unit_width(printable(text), bold)


@functools.lru_cache(maxsize=4096)
def _unit_width(text: str, bold: bool) -> float:
    """Width of a text one point high [in]."""
    font = FontProperties(family=FAMILY, size=POINTS, weight="bold" if bold else "normal")
    width, _, _ = text_to_path.get_text_width_height_descent(text, font, False)
    return float(width) / POINTS**2


def text_height(size: float) -> float:
    """Height a line of text takes [in]."""
    return LINE_HEIGHT * size / POINTS


def wrap(text: str, width: float, size: float, *, bold: bool = False) -> tuple[str, ...]:
    """Text in lines no wider than `width` [in], broken at spaces, else inside a word.

    >>> wrap("Wall North", 0.5, 10.0)
    ('Wall', 'North')
    """
    lines, line, used = list[str](), "", 0.0
    space = text_width(" ", size, bold=bold)
    for word in _parts(text, width, size, bold=bold):
        wide = text_width(word, size, bold=bold)
        if line and used + space + wide > width:
            lines.append(line)
            line, used = "", 0.0
        line, used = (f"{line} {word}", used + space + wide) if line else (word, wide)
    return (*lines, line) if line else tuple(lines)


def _parts(text: str, width: float, size: float, *, bold: bool) -> list[str]:
    """The words of a text, those wider than a line in pieces."""
    parts = []
    for word in printable(text).split():
        rest = word
        while text_width(rest, size, bold=bold) > width and len(rest) > 1:
            fits = (n for n in range(len(rest) - 1, 1, -1)
                    if text_width(rest[:n], size, bold=bold) <= width)  # fmt: skip
            cut = next(fits, 1)
            parts.append(rest[:cut])
            rest = rest[cut:]
        parts.append(rest)
    return parts


def write(
    paper: Paper,
    text: str,
    at: tuple[float, float],
    *,
    size: float = 8.0,
    side: Side = "left",
    turned: bool = False,
    bold: bool = False,
) -> None:
    """Write a text, which is never read as mathematics, centred on its height.

    `side` says which side of it stands at that place; turned, it reads upward, and its left side
    is the lower one.
    """
    ends = {"left": "bottom", "center": "center", "right": "top"}
    paper.axes.text(
        *at,
        printable(text),
        fontsize=size,
        family=FAMILY,
        weight="bold" if bold else "normal",
        ha="center" if turned else side,
        va=ends[side] if turned else "center_baseline",
        rotation=90 if turned else 0,
        color="black",
        parse_math=False,
        zorder=10,
    )


def draw(
    paper: Paper,
    x: Sequence[float],
    y: Sequence[float],
    *,
    width: float = 0.8,
    style: str = "-",
    color: str = "black",
) -> None:
    """A line through points, `width` in points."""
    paper.axes.plot(
        x, y, linestyle=style, linewidth=width, color=color, zorder=5, solid_capstyle="butt"
    )


def dot(paper: Paper, x: Sequence[float], y: Sequence[float]) -> None:
    """Small rings at points."""
    paper.axes.plot(
        x, y, "o", markersize=3.2, markerfacecolor="white", markeredgecolor="black",
        markeredgewidth=0.6, zorder=7,
    )  # fmt: skip


def area(
    paper: Paper,
    x: Sequence[float],
    y: Sequence[float],
    *,
    color: str = "none",
    edge: float = 0.0,
    hatch: str = "",
    style: str = "-",
) -> None:
    """A closed area; `edge` is the width of its outline in points, 0 for none."""
    paper.axes.add_patch(
        Polygon(
            list(zip(x, y, strict=True)),
            closed=True,
            facecolor=color,
            edgecolor="black" if edge or hatch else "none",
            linewidth=edge,
            linestyle=style,
            hatch=hatch or None,
            zorder=3,
        )
    )


def arrow(paper: Paper, x: float, low: float, high: float) -> None:
    """An upright dimension arrow between two heights."""
    paper.axes.annotate(
        "",
        (x, low),
        (x, high),
        arrowprops={"arrowstyle": "<|-|>", "linewidth": 0.7, "color": "black", "shrinkA": 0,
                    "shrinkB": 0, "mutation_scale": 6},
        zorder=8,
    )  # fmt: skip
