"""The slab under every wall line on the terminal: its shape, how sure it is, where to grind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from survey.sheets.blocks import Block, Grid, Heading, Line, grid
from survey.sheets.ruler import Ruler
from survey.sheets.text_notes import gate_lines, left_out_lines, note_lines
from survey.sheets.text_plan import grind_answer, house_notes
from survey.sheets.text_remedies import grind_lines
from survey.sheets.text_slab_line import end_name, highest_lines, slab_lines, wall_title
from survey.sheets.text_surface import SHAPE_UNKNOWN
from survey.slab.kriging import FloatArray
from survey.slab.profile import LineProfile
from survey.slab.roughness import FloorModel
from survey.slab.slab_line import SlabLine, predict_slab, stations_along
from survey.wall.planning import HousePlan
from survey.wall.wall_plan import WallPlan


def slab_blocks(house: HousePlan, ruler: Ruler, *, brief: bool = False) -> list[Block]:
    """The slab along every profiled line, planned or not.

    Parameters
    ----------
    house
        The planned walls and the profile they stand on; lines in `house.profile.lines` are shown.
    ruler
        Prints the lengths.
    brief
        Whether to stop before the walls.
    """
    profile = house.profile
    walls = {wall.name.casefold(): wall for wall in house.walls}
    found = [_found(line, profile.model, walls) for line in profile.lines]
    blocks: list[Block] = [
        Heading(text=f"Slab of {house.job.info.name}" if house.job.info.name else "Slab"),
        *_look(found, ruler),
        grind_answer(house.walls),
        _model_line(profile.model, ruler),
        *gate_lines(house.job.slab),
        *left_out_lines(profile.heights.book.left_out),
    ]
    if brief:
        return blocks
    for item in found:
        blocks += _line_blocks(item, ruler)
    rest = note_lines(house_notes(house), ruler, name_wall=True)
    return [*blocks, Heading(text="About the whole job"), *rest] if rest else blocks


def _look(found: Sequence[_Found], ruler: Ruler) -> list[Block]:
    """Where the highest slab is; among lines of one surface, slab before plate."""
    levelled = [item for item in found if not item.line.tape_only]
    for surface, what in (("slab", "slab"), ("plate", "slab plate")):
        of = [(x.line.wall.name, x.slab) for x in levelled if x.line.surface == surface]
        if of:
            return highest_lines(of, ruler, what=what)
    return []


@dataclass(frozen=True, kw_only=True, eq=False)
class _Found:
    """A line with its slab, and its plan where there is one."""

    line: LineProfile
    slab: SlabLine
    plan: WallPlan | None


def _found(line: LineProfile, model: FloorModel, walls: Mapping[str, WallPlan]) -> _Found:
    plan = walls.get(line.wall.name.casefold())
    slab = predict_slab(line, model, stations_along(line)) if plan is None else plan.slab
    return _Found(line=line, slab=slab, plan=plan)


def _model_line(model: FloorModel, ruler: Ruler) -> Line:
    text = (
        f"wavy by about {ruler.fine(model.mean_sill_sd)} (one standard deviation) over "
        f"distances of {ruler.length(model.mean_range)}, as all lines together show it"
    )
    return Line(label="ROUGHNESS", text=text)


def _line_blocks(item: _Found, ruler: Ruler) -> list[Block]:
    line, slab, plan = item.line, item.slab, item.plan
    notes = line.notes if plan is None else plan.notes
    place = f"{ruler.long(line.length)} long, stations from {end_name(line.wall)}"
    blocks: list[Block] = [
        Heading(text=wall_title(line.wall.name)),
        Line(label="PLACE", text=place),
    ]
    if line.tape_only:
        unknown = Line(label="SLAB", text=SHAPE_UNKNOWN, level="doubt")
        return [*blocks, unknown, *note_lines(notes, ruler)]
    label = "SLAB" if line.surface == "slab" else "PLATE TOP"
    blocks += [
        *slab_lines(slab, end_name(line.wall), line.joints, ruler, label=label),
        Line(label="HOW SURE", text=_sure(slab, plan, ruler)),
    ]
    if plan is not None and line.surface == "slab":
        blocks += grind_lines(plan.grind, ruler) or [_nothing_to_grind(plan)]
    return [*blocks, *note_lines(notes, ruler), _profile_grid(item, ruler)]


def _sure(slab: SlabLine, wall: WallPlan | None, ruler: Ruler) -> str:
    text = (
        f"one standard deviation is {ruler.fine(float(slab.sd.min()))} where best known and "
        f"{ruler.fine(float(slab.sd.max()))} where least, at "
        f"{ruler.length(float(slab.at.station[np.argmax(slab.sd)]))}"
    )
    return text if wall is None else f"{text}; k = {wall.k:.2f}"


def _nothing_to_grind(wall: WallPlan) -> Line:
    if wall.verdict.passes:
        return Line(label="GRIND", text="nothing: the wall keeps its float", level="good")
    return Line(label="GRIND", text="grinding cannot cure this wall", level="doubt")


def _profile_grid(item: _Found, ruler: Ruler) -> Grid:
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
