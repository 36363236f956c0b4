"""The short list at the end of a survey: what to read again, and why."""

from __future__ import annotations

from survey.errors import Note
from survey.field.levelling import Adjustment, Surface
from survey.field.quality import Finding, Kick, MarkShift, Misread, Quality
from survey.field.quality_notes import Said, joined, plain, say_error, say_row, say_rows, say_spot
from survey.slab.neighbours import Neighbour, Neighbours

MOST_LISTED = 8


def read_again(quality: Quality, neighbours: Neighbours | None = None) -> tuple[Note, ...]:
    """What to read again, the gravest first, each with its reason; a last line counts the rest.

    A moved beam comes before a moved mark, that before single readings, and these before spots
    that only differ from their neighbours. A spot is listed once; one that was read from a set-up
    whose beam moved is not listed for that.

    Parameters
    ----------
    quality
        What the readings say of one another.
    neighbours
        What the spots beside them say; None where that was not asked.
    """
    rank = {Kick: 0, MarkShift: 1, Misread: 2}
    findings = sorted(quality.findings.found, key=lambda finding: rank[type(finding.best)])
    notes = [_finding_item(quality.heights, finding) for finding in findings]
    if neighbours is not None:
        notes += [
            _neighbour_item(quality.heights, spot)
            for spot in neighbours.suspects
            if not _explained(quality, spot)
        ]
    if len(notes) > MOST_LISTED:
        more = len(notes) - MOST_LISTED
        notes = [
            *notes[:MOST_LISTED],
            Note(code="read-again", level="doubt", text=f"and {more} more: see the list of doubts"),
        ]
    return tuple(notes)


def _finding_item(heights: Adjustment, finding: Finding) -> Note:
    best, alone = finding.best, len(finding.explanations) == 1
    errors = finding.explanations[:MOST_LISTED]
    reason = joined([say_error(heights, error) for error in errors], "; or ")
    if isinstance(best, Kick):
        return _item(_kick_cure(heights, best) + plain(": ") + reason)
    if isinstance(best, MarkShift):
        cure = "compare the marks held, and their elevations in job.toml: "
        return _item(plain(cure) + reason)
    if alone:
        spot = say_spot(best.name, best.station, best.side, best.surface)
        return _item(plain("read ") + spot + plain(" again: ") + reason, best)
    return _item(plain("read any of these again: ") + reason, best)


def _kick_cure(heights: Adjustment, kick: Kick) -> Said:
    """What to do about a moved beam: it is two set-ups, and what lies between may be either."""
    rows = say_row(heights, kick.before)
    cure = plain(f"give set-up {kick.setup} another name from ") + rows + plain(" on")
    if kick.before.row - kick.after.row > 1 or kick.before.file != kick.after.file:
        cure += plain(", and read again what it read between ")
        cure += say_rows(heights, kick.after, kick.before)
    return cure


def _neighbour_item(heights: Adjustment, spot: Neighbour) -> Note:
    way = "above" if spot.difference > 0.0 else "below"
    what = "the other joists say" if spot.surface == Surface.JOIST else "its neighbours say"
    said = plain("read ") + say_spot(spot.wall, spot.station, spot.side, spot.surface)
    said += plain(" again (") + say_row(heights, spot.places[0])
    said += Said(text="): {} ", lengths=(abs(spot.difference),)) + plain(f"{way} what {what}")
    return Note(
        code="read-again",
        level="doubt",
        text=said.text,
        lengths=said.lengths,
        wall=spot.wall,
        station=spot.station,
        row=spot.places[0].row,
    )


def _item(said: Said, misread: Misread | None = None) -> Note:
    """An item of the list, at the reading it is about where it is about one."""
    return Note(
        code="read-again",
        level="doubt",
        text=said.text,
        lengths=said.lengths,
        wall="" if misread is None or misread.station is None else misread.name,
        station=None if misread is None else misread.station,
        row=None if misread is None else misread.place.row,
    )


def _explained(quality: Quality, spot: Neighbour) -> bool:
    """Whether a finding already tells of the spot, or of every set-up that read it."""
    where = (spot.wall.casefold(), round(spot.station, 6), spot.surface)
    for error in quality.misread:
        station = None if error.station is None else round(error.station, 6)
        if (error.name.casefold(), station, error.surface) == where:
            return True
    return {place.setup for place in spot.places} <= {kick.setup for kick in quality.kicks}
