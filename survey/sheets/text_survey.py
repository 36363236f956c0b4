"""The adjusted survey on the terminal: set-ups, datum, how well the readings agree."""

from __future__ import annotations

import numpy as np

from survey.field.levelling import Adjustment, Surface
from survey.job import Job
from survey.sheets.blocks import Block, Grid, Heading, Line, grid
from survey.sheets.gathered_notes import survey_notes
from survey.sheets.ruler import Ruler, counted, listed
from survey.sheets.text_notes import left_out_lines, note_lines, note_text
from survey.slab.judgement import Judgement

MOST_RESIDUALS = 10
UNTESTED = "-"


def survey_blocks(
    judged: Judgement, job: Job, ruler: Ruler, *, wall: str = "", detail: bool = False
) -> list[Block]:
    """The survey as blocks of a report.

    Parameters
    ----------
    judged
        The adjusted survey, judged.
    job
        Gives its name and date.
    ruler
        Prints the lengths.
    wall
        Name of the only wall whose readings are listed; empty for all.
    detail
        Whether to list every reading and every spot.
    """
    heights = judged.heights
    shown = _shown(heights, wall)
    blocks: list[Block] = [
        *answer_blocks(judged, job, ruler),
        Line(label="DATUM", text=_datum(heights)),
        Line(label="SPOTS", text=_spots(heights)),
        *note_lines((*survey_notes(heights, job), *judged.notes), ruler, name_wall=True),
        *([_setups(heights, ruler)] if heights.observations.reading.size else []),
        *_marks(heights, ruler),
        *_residuals(heights, shown, ruler, most=None if detail else MOST_RESIDUALS),
    ]
    return [*blocks, _elevations(heights, wall, ruler)] if detail or wall else blocks


def answer_blocks(judged: Judgement, job: Job, ruler: Ruler) -> list[Block]:
    """Whether the readings agree, what to read again, what was left out: the answer by itself."""
    info, heights = job.info, judged.heights
    dated = f", surveyed {info.surveyed}" if info.surveyed is not None else ""
    return [
        Heading(text=f"Survey of {info.name}{dated}" if info.name else f"Survey{dated}"),
        *check_lines(heights),
        *_neighbour_lines(judged),
        *_read_again(judged, ruler),
        *left_out_lines(heights.book.left_out),
    ]


def _neighbour_lines(judged: Judgement) -> list[Block]:
    """The check that works where most spots are read once: each against those beside it."""
    count, suspects = len(judged.neighbours.tested), len(judged.neighbours.suspects)
    if count == 0:
        return []
    spots = f"{counted(count, 'spot')} tested against those beside"
    if suspects == 0:
        text = f"{spots}: none stands out"
        return [Line(label="NEIGHBOURS", text=text, level="good")]
    text = f"{spots}: {counted(suspects, 'stands', 'stand')} out"
    return [Line(label="NEIGHBOURS", text=text, level="doubt")]


def _read_again(judged: Judgement, ruler: Ruler) -> list[Block]:
    return [
        Line(label="READ AGAIN", text=note_text(note, ruler), level="doubt")
        for note in judged.read_again
    ]


def check_lines(heights: Adjustment) -> list[Block]:
    """The global test in words."""
    if heights.datum.kind == "none":
        text = "nothing was levelled, so that there is nothing to check: only clear heights"
        return [Line(label="CHECK", text=text, level="doubt")]
    test = heights.test
    if test is None or heights.sigma0 is None:
        text = "nothing checks this survey: every reading is needed to find an elevation"
        return [Line(label="CHECK", text=text, level="doubt")]
    text = (
        f"{counted(heights.dof, 'reading')} more than needed; the readings scatter "
        f"{heights.sigma0:.2f} times what was stated for them (sigma0); weighted squares "
        f"{test.statistic:.1f}, most {test.critical:.1f}"
    )
    if test.passed:
        return [Line(label="PASSES", text=f"the readings agree: {text}", level="good")]
    return [Line(label="FAILS", text=f"the readings do not agree: {text}", level="stop")]


def _datum(heights: Adjustment) -> str:
    names = listed(list(heights.datum.marks)) if heights.datum.marks else ""
    return {
        "fixed marks": f"elevations as given for {names}",
        "free marks": f"the mean elevation of {names} is called zero",
        "first beam": "no mark was read: the lowest slab spot is called zero",
        "none": "none: nothing was levelled, only clear heights were taken",
    }[heights.datum.kind]


def _spots(heights: Adjustment) -> str:
    surface = heights.spots.surface
    taped = int(np.sum(np.isfinite(heights.book.clear)))
    tapes = counted(taped, "clear height") + " by tape" if taped else ""
    if surface.size == 0:
        return f"none was levelled; {tapes}"
    kinds = [
        counted(n, f"{kind.word} spot" if kind < Surface.MARK else kind.word)
        for kind in Surface
        if (n := int(np.sum(surface == kind)))
    ]
    observed = heights.observations
    unchecked = int(np.sum(np.isnan(observed.standardized)))
    text = f"{listed(kinds)}, by {counted(observed.reading.size, 'reading')}"
    if unchecked and heights.dof:
        text += f", {unchecked} of them checked by no other reading"
    return f"{text}; {tapes}" if tapes else text


def _setups(heights: Adjustment, ruler: Ruler) -> Grid:
    book, observed = heights.book, heights.observations
    readings = np.bincount(observed.setup, minlength=len(book.setups))
    rows = [
        [name, ruler.bare(beam), ruler.fine_bare(sd), str(n)]
        for name, beam, sd, n in zip(
            book.setups, heights.beams, heights.beam_sd, readings, strict=True
        )
        if n
    ]
    title = f"SET-UPS ({ruler.heading}; elevations over the datum)"
    return grid(title, ["set-up", "beam", "sd", "readings"], rows, words=["set-up"])


def _marks(heights: Adjustment, ruler: Ruler) -> list[Block]:
    """Marks as found, and how each fixed one fits the first."""
    spots = heights.spots
    fits = {fit.name: fit for fit in heights.mark_fits}
    rows = []
    for i in np.flatnonzero(spots.surface == Surface.MARK):
        name = heights.book.names[spots.name[i]].name
        fit = fits.get(name)
        said = ""
        if fit is not None:
            word = "fits" if fit.fits else "DOES NOT FIT"
            said = f"{word}: {ruler.fine(fit.difference)} off with {fit.held} held"
        rows.append(
            [
                name,
                ruler.bare(spots.elevation[i]),
                ruler.fine_bare(spots.sd[i]),
                str(spots.readings[i]),
                said,
            ]
        )
    if not rows:
        return []
    names = ["mark", "elevation", "sd", "readings", "fit"]
    return [grid(f"MARKS ({ruler.heading})", names, rows, words=["mark", "fit"])]


def _shown(heights: Adjustment, wall: str) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    """Readings to list, the one that fits worst first."""
    observed, names = heights.observations, heights.book.names
    misfit = np.nan_to_num(np.abs(observed.standardized), nan=-1.0)
    order = np.lexsort((-np.abs(observed.residual), -misfit))
    if not wall:
        return order
    codes = [i for i, named in enumerate(names) if named.name.casefold() == wall.casefold()]
    of_wall = np.isin(heights.spots.name[observed.spot[order]], codes)
    return np.asarray(order[of_wall])


def _residuals(
    heights: Adjustment,
    shown: np.ndarray[tuple[int], np.dtype[np.int64]],
    ruler: Ruler,
    *,
    most: int | None,
) -> list[Block]:
    """Readings that fit worst; none where nothing checks the survey."""
    tested = shown[~np.isnan(heights.observations.standardized[shown])]
    listed_ = tested[:most] if most is not None else shown
    if heights.dof == 0 or listed_.size == 0:
        return []
    names = ["row", "wall", "station", "surface", "set-up", "reading", "residual", "in sd"]
    word = "ALL READINGS" if most is None else "LARGEST RESIDUALS"
    title = f"{word} ({ruler.heading}; over 3.29 sd is suspect)"
    rows = [_residual(heights, int(i), ruler) for i in listed_]
    return [grid(title, names, rows, words=["wall", "surface", "set-up"])]


def _residual(heights: Adjustment, i: int, ruler: Ruler) -> list[str]:
    book, observed, spots = heights.book, heights.observations, heights.spots
    spot, row = observed.spot[i], observed.row_index[i]
    station, standardized = float(spots.station[spot]), float(observed.standardized[i])
    return [
        row_name(heights, int(row)),
        book.names[spots.name[spot]].name,
        "" if np.isnan(station) else ruler.bare(station),
        Surface(spots.surface[spot]).word,
        book.setups[observed.setup[i]],
        ruler.bare(float(observed.reading[i])),
        ruler.fine_bare(float(observed.residual[i])),
        UNTESTED if np.isnan(standardized) else f"{standardized:.1f}",
    ]


def row_name(heights: Adjustment, row: int) -> str:
    """A row of the book as --leave-out wants it: its number, with its file where there are more."""
    book = heights.book
    number = str(book.row[row])
    return number if len(book.sources) == 1 else f"{book.sources[book.file[row]].file}:{number}"


def _elevations(heights: Adjustment, wall: str, ruler: Ruler) -> Grid:
    spots, names = heights.spots, heights.book.names
    rows = [
        [
            names[spots.name[i]].name,
            "" if np.isnan(spots.station[i]) else ruler.bare(float(spots.station[i])),
            {-1: "-", 0: "", 1: "+"}[int(spots.side[i])],
            Surface(spots.surface[i]).word,
            ruler.bare(float(spots.elevation[i])),
            ruler.fine_bare(float(spots.sd[i])),
            str(spots.readings[i]),
        ]
        for i in range(spots.name.size)
        if not wall or names[spots.name[i]].name.casefold() == wall.casefold()
    ]
    columns = ["wall", "station", "side", "surface", "elevation", "sd", "readings"]
    title = f"ELEVATIONS ({ruler.heading}; over the datum)"
    return grid(title, columns, rows, words=["wall", "side", "surface"])
