"""A sheet of paper measured in inches from its lower left corner: text, lines and areas on it."""

from __future__ import annotations

import functools
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Literal

from matplotlib import font_manager
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Polygon

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
    """Text in the signs the font has: others become a box, signs that do not show go.

    >>> printable("Nord\\u200b 😀 $x$")
    'Nord □ $x$'
    """
    known = _charmap()
    shown = (sign for sign in text if unicodedata.category(sign) not in ("Cc", "Cf", "Cs"))
    return "".join(sign if ord(sign) in known else MISSING for sign in shown)


@functools.cache
def _charmap() -> frozenset[int]:
    path = font_manager.findfont(font_manager.FontProperties(family=FAMILY))
    return frozenset(font_manager.get_font(path).get_charmap())


def text_width(paper: Paper, text: str, size: float, *, bold: bool = False) -> float:
    """Width of a text on the paper [in]."""
    font = font_manager.FontProperties(
        family=FAMILY, size=size, weight="bold" if bold else "normal"
    )
    canvas = paper.figure.canvas
    assert isinstance(canvas, FigureCanvasAgg)
    width, _, _ = canvas.get_renderer().get_text_width_height_descent(printable(text), font, False)
    return float(width) / paper.figure.dpi


def text_height(size: float) -> float:
    """Height a line of text takes [in]."""
    return LINE_HEIGHT * size / POINTS


def wrap(
    paper: Paper, text: str, width: float, size: float, *, bold: bool = False
) -> tuple[str, ...]:
    """Text in lines no wider than `width` [in], broken at spaces, else inside a word."""
    lines, line = list[str](), ""
    for word in printable(text).split():
        longer = f"{line} {word}".strip()
        if text_width(paper, longer, size, bold=bold) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        line = word
        while text_width(paper, line, size, bold=bold) > width and len(line) > 1:
            cut = _fitting(paper, line, width, size, bold=bold)
            lines.append(line[:cut])
            line = line[cut:]
    return (*lines, line) if line else tuple(lines)


def _fitting(paper: Paper, word: str, width: float, size: float, *, bold: bool) -> int:
    """How many letters of a word fit; one at least."""
    fits = [n for n in range(2, len(word)) if text_width(paper, word[:n], size, bold=bold) <= width]
    return max(fits, default=1)


def write(
    paper: Paper,
    text: str,
    x: float,
    y: float,
    *,
    size: float = 8.0,
    side: Side = "left",
    turned: bool = False,
    bold: bool = False,
) -> None:
    """Write a text, which is never read as mathematics, centred on its height.

    `side` says which side of it stands at x; turned, it reads upward, centred on x, and `side`
    is that which stands at y.
    """
    ends = {"left": "bottom", "center": "center", "right": "top"}
    paper.axes.text(
        x,
        y,
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
