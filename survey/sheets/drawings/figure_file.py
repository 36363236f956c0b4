"""Pages put into one file: a PDF with a page each, or one tall picture, the same bytes each time."""

from __future__ import annotations

import io
from collections.abc import Sequence

import matplotlib as mpl
import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.image import imsave

from survey.errors import SurveyError
from survey.sheets.drawings.paper import DPI, POINTS, STYLE

SUFFIXES = (".png", ".pdf", ".svg")
MOST_IN_A_PICTURE = 40  # a picture is held in memory whole: 8 MB a page


def figure_bytes(figures: Sequence[Figure], suffix: str) -> bytes:
    """The pages as the bytes of one file.

    Parameters
    ----------
    figures
        Pages of one size, one at least.
    suffix
        ".pdf" for a page each; ".png" or ".svg" for one picture, the pages below one another.

    Raises
    ------
    SurveyError
        If there are too many pages for one picture.
    """
    if suffix.lower() != ".pdf" and len(figures) > MOST_IN_A_PICTURE:
        raise SurveyError(
            f"{len(figures)} pages are too many for one picture: name a .pdf file, or show one "
            "wall with --wall"
        )
    make = {".pdf": _pdf, ".png": _png, ".svg": _svg}[suffix.lower()]
    with mpl.rc_context(dict(STYLE)):
        return make(figures)


def _pdf(figures: Sequence[Figure]) -> bytes:
    file = io.BytesIO()
    with PdfPages(file, metadata={"CreationDate": None}) as pages:
        for figure in figures:
            pages.savefig(figure)
    return file.getvalue()


def _png(figures: Sequence[Figure]) -> bytes:
    canvases = [FigureCanvasAgg(figure) for figure in figures]
    for canvas in canvases:
        canvas.draw()
    file = io.BytesIO()
    picture = np.concatenate([np.asarray(canvas.buffer_rgba()) for canvas in canvases])
    imsave(file, picture, format="png", dpi=DPI, metadata={"Software": None})
    return file.getvalue()


def _svg(figures: Sequence[Figure]) -> bytes:
    """Drawings nested in one; lengths in points, the unit matplotlib gives its own."""
    widest = max(figure.get_figwidth() for figure in figures)
    tall = sum(figure.get_figheight() for figure in figures)
    parts = [
        '<?xml version="1.0" encoding="utf-8" standalone="no"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{widest * POINTS:g}pt" '
        f'height="{tall * POINTS:g}pt" version="1.1">\n'
    ]
    down = 0.0
    for figure in figures:
        file = io.StringIO()
        figure.savefig(file, format="svg", metadata={"Date": None})
        page = file.getvalue()
        page = page[page.index("<svg") :]
        parts.append(page.replace("<svg", f'<svg y="{down * POINTS:g}pt"', 1))
        down += figure.get_figheight()
    return "".join([*parts, "</svg>\n"]).encode()
