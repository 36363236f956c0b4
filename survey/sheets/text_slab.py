"""The slab under every wall line on the terminal: its shape, the plate on it, where to grind."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from survey.sheets.blocks import Block, Grid, Heading, Line, grid
from survey.sheets.ruler import Ruler
from survey.sheets.slab_walls import SlabWall, slab_walls
from survey.sheets.text_flatness import f_number_line, flatness_lines
from survey.sheets.text_notes import gate_lines, left_out_lines, note_lines
from survey.sheets.text_plan import grind_answer, house_notes
from survey.sheets.text_plate import anchor_blocks, plate_lines
from survey.sheets.text_remedies import grind_lines, no_grinding
from survey.sheets.text_slab_line import end_name, highest_lines, slab_lines, wall_title
from survey.sheets.text_surface import SHAPE_UNKNOWN
from survey.slab.f_numbers import combine
from survey.slab.kriging import FloatArray
from survey.slab.roughness import FloorModel
from survey.slab.slab_line import SlabLine
from survey.wall.planning import HousePlan
from survey.wall.wall_plan import WallPlan


def slab_blocks(
    house: HousePlan, ruler: Ruler, *, detail: bool = False, brief: bool = False
) -> list[Block]:
    """The slab along every profiled line, planned or not.

    Parameters
    ----------
    house
        The planned walls and the profile they stand on; lines in `house.profile.lines` are shown.
    ruler
        Prints the lengths.
    detail
        Whether to say F-numbers that are only an estimate.
    brief
        Whether to stop before the walls.
    """
    profile = house.profile
    found = slab_walls(house)
    blocks: list[Block] = [
        Heading(text=f"Slab of {house.job.info.name}" if house.job.info.name else "Slab"),
        *_look(found, ruler),
        *(no_grinding(house.job.slab) or [grind_answer(house.walls)]),
        _model_line(profile.model, ruler),
        *_all_lines_flat(found, ruler, detail=detail),
        *gate_lines(house.job.slab),
        *left_out_lines(profile.heights.book.left_out),
    ]
    if brief:
        return blocks
    for item in found:
        blocks += _line_blocks(item, ruler, detail=detail)
    rest = note_lines(house_notes(house), ruler, name_wall=True)
    return [*blocks, Heading(text="About the whole job"), *rest] if rest else blocks


def _look(found: Sequence[SlabWall], ruler: Ruler) -> list[Block]:
    """Where the highest slab is; among lines of one surface, slab before plate."""
    levelled = [item for item in found if not item.line.tape_only]
    for surface, what in (("slab", "slab"), ("plate", "slab plate")):
        of = [(item.name, item.slab) for item in levelled if item.line.surface == surface]
        if of:
            return highest_lines(of, ruler, what=what)
    return []


def _model_line(model: FloorModel, ruler: Ruler) -> Line:
    text = (
        f"wavy by about {ruler.fine(model.mean_sill_sd)} (one standard deviation) over "
        f"distances of {ruler.length(model.mean_range)}, as all lines together show it"
    )
    return Line(label="ROUGHNESS", text=text)


def _all_lines_flat(found: Sequence[SlabWall], ruler: Ruler, *, detail: bool) -> list[Block]:
    """F-numbers of several lines together."""
    read = [item.evenness.f_numbers for item in found if item.line.bare_slab]
    if len(read) < 2:
        return []
    together = combine(read)
    if together.estimate and not detail:
        return []
    return [f_number_line(together, ruler)]


def _line_blocks(item: SlabWall, ruler: Ruler, *, detail: bool) -> list[Block]:
    """One story: the slab, how flat it is, the plate on it, what to grind, where to drill."""
    line, slab, plan = item.line, item.slab, item.plan
    notes = note_lines(line.notes if plan is None else plan.notes, ruler)
    place = f"{ruler.long(line.length)} long, stations from {end_name(line.wall)}"
    blocks: list[Block] = [
        Heading(text=wall_title(line.wall.name)),
        Line(label="PLACE", text=place),
    ]
    if line.tape_only:
        return [*blocks, Line(label="SLAB", text=SHAPE_UNKNOWN, level="doubt"), *notes]
    label = "SLAB" if line.surface == "slab" else "PLATE TOP"
    blocks += [
        *slab_lines(slab, end_name(line.wall), line.joints, ruler, label=label),
        Line(label="HOW SURE", text=_sure(slab, plan, ruler)),
    ]
    if line.bare_slab:
        asked = item.settings.flat_asked
        blocks += flatness_lines(item.evenness, ruler, asked=asked, detail=detail)
    if plan is None or not line.bare_slab:
        return [*blocks, *notes, _profile_grid(item, ruler)]
    blocks += [*plate_lines(plan, ruler), *_grind(plan, ruler), *notes]
    return [*blocks, *anchor_blocks(plan, ruler), _profile_grid(item, ruler)]


def _sure(slab: SlabLine, wall: WallPlan | None, ruler: Ruler) -> str:
    text = (
        f"one standard deviation is {ruler.fine(float(slab.sd.min()))} where best known and "
        f"{ruler.fine(float(slab.sd.max()))} where least, at "
        f"{ruler.length(float(slab.at.station[np.argmax(slab.sd)]))}"
    )
    return text if wall is None else f"{text}; k = {wall.k:.2f}"


def _grind(wall: WallPlan, ruler: Ruler) -> list[Block]:
    """What to grind under a wall, or why there is nothing."""
    told = no_grinding(wall.settings.slab) or grind_lines(wall.grind, ruler)
    if told:
        return told
    if wall.verdict.passes:
        return [Line(label="GRIND", text="nothing: the wall keeps its float", level="good")]
    return [Line(label="GRIND", text="grinding cannot cure this wall", level="doubt")]


def _profile_grid(item: SlabWall, ruler: Ruler) -> Grid:
    """The slab at each station read: height against the highest, sd, and what is planned with."""
    slab, top = item.slab, float(item.slab.mean.max())
    spots = sorted(
        {*zip(item.line.slab.station.tolist(), item.line.slab.piece.tolist(), strict=True)}
    )
    rows = []
    for station, piece in spots:
        height = _on_piece(slab, slab.mean, station, piece)
        row = [ruler.bare(station), ruler.bare(height), ruler.bare(top - height)]
        row.append(ruler.fine_bare(_on_piece(slab, slab.sd, station, piece)))
        if item.plan is not None:
            row.append(ruler.bare(_on_piece(slab, item.plan.planning, station, piece)))
        rows.append(row)
    names = ["station", "elevation", "below highest", "sd"]
    title = f"{item.line.surface.upper()} AS READ ({ruler.heading}; elevations over the datum)"
    return grid(title, names if item.plan is None else [*names, "planned with"], rows)


def _on_piece(slab: SlabLine, values: FloatArray, station: float, piece: int) -> float:
    """A grid quantity at a station of one piece of slab, so that a joint keeps both its lips."""
    of_piece = slab.at.piece == piece
    return float(np.interp(station, slab.at.station[of_piece], values[of_piece]))
