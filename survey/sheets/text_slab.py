"""The slab under every wall line on the terminal: its shape, how sure it is, where to grind."""

from __future__ import annotations

import numpy as np

from survey.sheets.blocks import Block, Grid, Heading, Line, grid
from survey.sheets.ruler import Ruler
from survey.sheets.text_notes import gate_lines, left_out_lines, note_lines
from survey.sheets.text_plan import highest_lines, house_notes
from survey.sheets.text_remedies import grind_lines
from survey.sheets.text_slab_line import end_name, slab_lines, wall_title
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
    planned = {wall.name.casefold(): wall for wall in house.walls}
    blocks: list[Block] = [
        Heading(text=f"Slab of {house.job.info.name}" if house.job.info.name else "Slab"),
        *highest_lines(house.walls, ruler),
        _model_line(profile.model, ruler),
        *gate_lines(house.job.slab),
        *left_out_lines(profile.heights.book.left_out),
    ]
    if brief:
        return blocks
    for line in profile.lines:
        wall = planned.get(line.wall.name.casefold())
        blocks += _line_blocks(line, profile.model, wall, ruler)
    rest = note_lines(house_notes(house), ruler, name_wall=True)
    return [*blocks, Heading(text="About the whole job"), *rest] if rest else blocks


def _model_line(model: FloorModel, ruler: Ruler) -> Line:
    text = (
        f"wavy by about {ruler.fine(model.mean_sill_sd)} (one standard deviation) over "
        f"distances of {ruler.length(model.mean_range)}, as all lines together show it"
    )
    return Line(label="ROUGHNESS", text=text)


def _line_blocks(
    line: LineProfile, model: FloorModel, wall: WallPlan | None, ruler: Ruler
) -> list[Block]:
    at = stations_along(line)
    slab = predict_slab(line, model, at) if wall is None else wall.slab
    notes = line.notes if wall is None else wall.notes
    blocks: list[Block] = [
        Heading(text=wall_title(line.wall.name)),
        Line(
            label="PLACE",
            text=f"{ruler.long(line.length)} long, stations from {end_name(line.wall)}",
        ),
        *slab_lines(slab, end_name(line.wall), line.joints, ruler),
        Line(label="HOW SURE", text=_sure(slab, wall, ruler)),
    ]
    if wall is not None:
        blocks += grind_lines(wall.grind, ruler) or [_nothing_to_grind(wall)]
    return [*blocks, *note_lines(notes, ruler), _profile_grid(line, slab, wall, ruler)]


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


def _profile_grid(line: LineProfile, slab: SlabLine, wall: WallPlan | None, ruler: Ruler) -> Grid:
    """The slab at each station read: height against the highest, sd, and what is planned with."""
    at = np.unique(line.slab.station)
    height = slab.height(at)
    top = float(slab.mean.max())
    sd = np.interp(at, slab.at.station, slab.sd)
    names = ["station", "elevation", "below highest", "sd"]
    columns = [
        [ruler.bare(x) for x in at],
        [ruler.bare(x) for x in height],
        [ruler.bare(top - x) for x in height],
        [ruler.fine_bare(x) for x in sd],
    ]
    if wall is not None:
        names.append("planned with")
        planned = np.interp(at, slab.at.station, wall.planning)
        columns.append([ruler.bare(x) for x in planned])
    title = f"SLAB AS READ ({ruler.heading}; elevations over the datum)"
    return grid(title, names, list(zip(*columns, strict=True)))
