"""What stands over and under the drawing of a slab line, in words."""

from __future__ import annotations

from survey.sheets.drawings.slab_rows import grind_names
from survey.sheets.drawings.wall_words import title_words
from survey.sheets.gathered_notes import gate_notes
from survey.sheets.ruler import Ruler, counted
from survey.sheets.slab_walls import SlabWall
from survey.sheets.text_flatness import straightedge_words
from survey.sheets.text_plate import (
    ADHESIVE_ONLY,
    adhesive_only,
    all_anchors,
    limit_words,
    splice_words,
)
from survey.sheets.text_remedies import spot_words
from survey.wall.planning import HousePlan
from survey.wall.wall_plan import WallPlan

DUST_BRIEF = (
    "Grinding frees silica dust: shroud, vacuum, respirator (OSHA 29 CFR 1926.1153, Table 1)."
)


def slab_title(item: SlabWall) -> str:
    """Heading of the sheet."""
    what = "slab and slab plate" if item.line.surface == "slab" else "the fixed slab plate"
    return f"{title_words(item.name)}: {what}"


def slab_panel_title(item: SlabWall) -> str:
    """Name of the panel without the plate that is to come."""
    if item.line.surface == "plate":
        return "TOP OF THE FIXED SLAB PLATE"
    return "BARE SLAB, with the straightedge at its worst place"


def slab_alarms(item: SlabWall, house: HousePlan) -> tuple[str, ...]:
    """What must not be overlooked before the slab is touched, the gravest first."""
    heights = house.profile.heights
    said = [note.text for note in gate_notes(house.job.slab)]
    if item.plan is not None and adhesive_only(item.settings.slab):
        said.insert(0, f"NO ANCHORS, NO GRINDING: {ADHESIVE_ONLY}")
    if heights.passed is False:
        said.append("THE SURVEY FAILS ITS CHECK: see what fits worst before you drill or grind")
    if heights.book.left_out:
        said.append(f"LEFT OUT as asked: rows {', '.join(heights.book.left_out)}")
    return tuple(said)


def slab_words(item: SlabWall, ruler: Ruler, times: float) -> tuple[str, ...]:
    """Straightedge, plate, anchors and grinding in words, and how to read the drawing."""
    bar = straightedge_words(item.evenness, ruler)
    said = [f"{bar[0].upper()}{bar[1:]}."] if item.line.bare_slab else []
    plan = item.plan
    if plan is not None:
        said += [*_plate(plan, ruler), *_grinding(plan, ruler)]
    return (*said, _key(item, times))


def _plate(wall: WallPlan, ruler: Ruler) -> list[str]:
    pieces = wall.plate.pieces
    if not pieces:
        return []
    laid = f"{counted(len(pieces), 'piece')} of slab plate; splices: {splice_words(wall, ruler)}."
    anchors = len(all_anchors(wall))
    if anchors == 0:
        return [laid]
    return [f"{laid} {counted(anchors, 'anchor')}; one is to hold {limit_words(wall, ruler)}."]


def _grinding(wall: WallPlan, ruler: Ruler) -> list[str]:
    if not wall.grind:
        return []
    spots = [
        f"{name} {spot_words(spot, ruler)}."
        for name, spot in zip(grind_names(wall), wall.grind, strict=True)
    ]
    return [" ".join(spots), DUST_BRIEF]


def _key(item: SlabWall, times: float) -> str:
    key = (
        f"Heights are drawn {times:g} times as large as lengths. At the left: elevations over the "
        f"datum; at the foot: stations. Rings: {item.line.surface} as read. Black: to grind."
    )
    if item.plan is None or not item.plan.plate.pieces:
        return key
    return (
        f"{key} Hatched: where the plate, its thickness not to scale, stands off the slab, and "
        "under it by how much. Bolts: anchors with station and pull (!: past what one is to hold)."
    )
