"""The CSV tables of `--csv`: lengths twice, as text with its mark and as a number."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

import numpy as np

from survey.errors import Note
from survey.field.levelling import Adjustment
from survey.job import Job
from survey.sheets.against import Against
from survey.sheets.csv_table import Cell, Pen, table
from survey.sheets.fit_tables import clearance_table, spike_table
from survey.sheets.gathered_notes import gate_notes, judged_notes, plan_notes, slab_notes
from survey.sheets.record_against import FILE as AGAINST
from survey.sheets.record_against import against_table
from survey.sheets.record_quality import SURFACES
from survey.sheets.record_survey import SIDES
from survey.sheets.ruler import Ruler, close_sum, ruler_for
from survey.sheets.slab_walls import slab_walls
from survey.sheets.tables_slab import (
    anchors_table,
    grinding_table,
    points_table,
    profile_table,
    straightedge_table,
    voids_table,
)
from survey.slab.judgement import Judgement
from survey.wall.planning import HousePlan
from survey.wall.wall_plan import WallPlan

# What each command writes, so that targets can be checked before anything is computed.
FILES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "survey": ("setups.csv", "spots.csv", "residuals.csv", "survey_notes.csv"),
        "slab": (
            "profile.csv",
            "highs_lows.csv",
            "straightedge.csv",
            "voids.csv",
            "slab_notes.csv",
        ),
        "plan": (
            "studs.csv",
            "bays.csv",
            "walls.csv",
            "packing.csv",
            "grinding.csv",
            "anchors.csv",
            "tape_first.csv",
            "spikes.csv",
            "clearances.csv",
            "notes.csv",
        ),
    }
)


def survey_tables(judged: Judgement, job: Job, *, ruler: Ruler | None = None) -> dict[str, bytes]:
    """Set-ups, spots, residuals and notes of a survey, by file name.

    Parameters
    ----------
    judged
        The adjusted survey, judged.
    job
        Its settings.
    ruler
        Writes lengths as text; the job's own when None.
    """
    pen, heights = _pen(job, ruler), judged.heights
    made = (
        _setups(heights, pen),
        _spots(heights, pen),
        _residuals(heights, pen),
        _notes(judged_notes(judged, job), heights.book.left_out, pen),
    )
    return dict(zip(FILES["survey"], made, strict=True))


def slab_tables(house: HousePlan, *, ruler: Ruler | None = None) -> dict[str, bytes]:
    """Profile, highs and lows, straightedge and voids of every line, and notes, by file name.

    Parameters
    ----------
    house
        The plan and the profile it stands on.
    ruler
        Writes lengths as text; the job's own when None.
    """
    pen = _pen(house.job, ruler)
    found = [item for item in slab_walls(house) if not item.line.tape_only]
    made = (
        profile_table(found, pen),
        points_table(found, pen),
        straightedge_table(found, pen),
        voids_table(house.walls, pen),
        _notes(slab_notes(house), house.profile.heights.book.left_out, pen),
    )
    return dict(zip(FILES["slab"], made, strict=True))


def plan_tables(
    house: HousePlan, *, ruler: Ruler | None = None, against: Against | None = None
) -> dict[str, bytes]:
    """Everything planned, by file name: studs, bays, walls and what goes with them.

    Parameters
    ----------
    house
        The planned walls.
    ruler
        Writes lengths as text; the job's own when None.
    against
        An earlier plan it was held against, which makes a table more; None where none was given.
    """
    pen = _pen(house.job, ruler)
    heights = house.profile.heights
    ask = "; ".join(note.text for note in gate_notes(house.job.slab))
    more = {} if against is None else {AGAINST: against_table(against, pen)}
    made = (
        _studs(house.walls, pen),
        _bays(house.walls, pen),
        _walls(house.walls, pen),
        _packing(house.walls, pen),
        grinding_table(house.walls, pen, ask=ask),
        anchors_table(house.walls, pen, ask=ask),
        _tape(house.walls, pen),
        spike_table(house.walls, pen),
        clearance_table(house.walls, pen),
        _notes(plan_notes(house), heights.book.left_out, pen),
    )
    return dict(zip(FILES["plan"], made, strict=True)) | more


def _pen(job: Job, ruler: Ruler | None) -> Pen:
    return Pen(ruler=ruler_for(job) if ruler is None else ruler, unit=job.info.unit)


def _setups(heights: Adjustment, pen: Pen) -> bytes:
    readings = np.bincount(heights.observations.setup, minlength=len(heights.book.setups))
    columns = (heights.book.setups, heights.beams, heights.beam_sd, readings.tolist())
    rows = list(zip(*columns, strict=True))
    return table(["setup", "beam:length", "sd:fine", "readings:number"], rows, pen)


def _spots(heights: Adjustment, pen: Pen) -> bytes:
    spots, names = heights.spots, heights.book.names
    scaled = heights.sd_scaled
    columns = [
        "wall",
        "station:length",
        "side",
        "surface",
        "elevation:length",
        "sd:fine",
        "sd_scaled:fine",
        "readings:number",
    ]
    rows: list[list[Cell]] = [
        [
            names[spots.name[i]].name,
            float(spots.station[i]),
            SIDES[int(spots.side[i])],
            SURFACES[int(spots.surface[i])],
            float(spots.elevation[i]),
            float(spots.sd[i]),
            float(scaled[i]),
            int(spots.readings[i]),
        ]
        for i in range(spots.name.size)
    ]
    return table(columns, rows, pen)


def _residuals(heights: Adjustment, pen: Pen) -> bytes:
    book, spots, observed = heights.book, heights.spots, heights.observations
    columns = [
        "file",
        "row:number",
        "wall",
        "station:length",
        "surface",
        "setup",
        "residual:fine",
        "redundancy:number",
        "standardized:number",
    ]
    rows: list[list[Cell]] = []
    for i, (row, spot) in enumerate(zip(observed.row_index, observed.spot, strict=True)):
        rows.append(
            [
                book.sources[book.file[row]].file,
                int(book.row[row]),
                book.names[spots.name[spot]].name,
                float(spots.station[spot]),
                SURFACES[int(spots.surface[spot])],
                book.setups[observed.setup[i]],
                float(observed.residual[i]),
                float(observed.redundancy[i]),
                float(observed.standardized[i]),
            ]
        )
    return table(columns, rows, pen)


def _studs(walls: Iterable[WallPlan], pen: Pen) -> bytes:
    columns = ["wall", "mark", "kind", "station:length", "length:length", "gap:length"]
    rows: list[list[Cell]] = [
        [wall.name, s.mark, s.kind, s.station, s.length, s.gap, s.assured_gap]
        for wall in walls
        for s in wall.studs
    ]
    return table([*columns, "assured_gap:length"], rows, pen)


def _bays(walls: Iterable[WallPlan], pen: Pen) -> bytes:
    lengths = ("from", "to", "stud_length", "gap_least", "gap_greatest", "assured_least")
    columns = ["wall", "bay:number", "studs", *(f"{name}:length" for name in lengths)]
    rows: list[list[Cell]] = []
    for wall in walls:
        for bay in wall.bays:
            extreme = (None, None) if wall.tape_only else (bay.high, bay.low)
            gaps = (bay.gap_least, bay.gap_greatest, bay.assured_least, *extreme)
            studs = " ".join(bay.studs)
            rows.append([wall.name, bay.bay, studs, bay.start, bay.end, bay.stud_length, *gaps])
    return table([*columns, "high:length", "low:length"], rows, pen)


def _walls(walls: Iterable[WallPlan], pen: Pen) -> bytes:
    lengths = (
        *("length", "stud", "gap_required", "gap_least", "gap_least_at", "gap_assured"),
        *("gap_greatest", "gap_greatest_at", "gap_assured_greatest", "short_by"),
    )
    columns = ["wall", "passes", "why", *(f"{name}:length" for name in lengths)]
    columns += ["k:number", "probability:number", "top_plates:number", "slab_plates:number"]
    columns += ["packed:number", "pounds_per_foot:number", "pounds_per_joist:number"]
    columns += ["measured_from", "tape_only"]
    rows: list[list[Cell]] = []
    for wall in walls:
        gap, verdict = wall.gap, wall.verdict
        rows.append(
            [
                *(
                    wall.name,
                    "yes" if verdict.passes else "no",
                    verdict.why,
                    wall.length,
                    wall.frame.stud,
                ),
                *(gap.required, gap.least, gap.least_at, gap.assured_least),
                *(gap.greatest, gap.greatest_at, gap.assured_greatest, verdict.short_by),
                *(wall.k, verdict.probability, wall.frame.top_plates, wall.plate.count),
                *(len(wall.top.packing), wall.hung_weight.per_foot, wall.hung_weight.per_joist),
                *(wall.surface, "yes" if wall.tape_only else "no"),
            ]
        )
    return table(columns, rows, pen)


def _packing(walls: Iterable[WallPlan], pen: Pen) -> bytes:
    rows = [(wall.name, p.station, p.thickness) for wall in walls for p in wall.top.packing]
    return table(["wall", "station:length", "thickness:length"], rows, pen)


def _tape(walls: Iterable[WallPlan], pen: Pen) -> bytes:
    """Spots to tape, each with the sum that a tape checks, part by part in words."""
    columns = ["wall", "station:length", "on", "clear:length", "sd:fine", "stud:length", "sum"]
    rows: list[list[Cell]] = []
    for wall in walls:
        for spot in wall.tape_first:
            *parts, _ = close_sum(spot.parts, pen.ruler)
            said = " + ".join(f"{name} {length}" for name, length in parts)
            rows.append([wall.name, spot.station, spot.on, spot.clear, spot.sd, spot.stud, said])
    return table(columns, rows, pen)


def _notes(notes: Iterable[Note], left_out: Iterable[str], pen: Pen) -> bytes:
    """Notes once each, and readings left out."""
    rows: list[list[Cell]] = [
        [note.code, note.level, note.wall, note.station, note.row, note.said(pen.ruler.said)]
        for note in dict.fromkeys(notes)
    ]
    rows += [
        ["left-out", "doubt", None, None, None, f"reading left out as asked: {reference}"]
        for reference in left_out
    ]
    return table(["code", "level", "wall", "station:length", "row:number", "text"], rows, pen)
