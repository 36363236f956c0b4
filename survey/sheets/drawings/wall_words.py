"""What stands over and under a wall's drawing, in words."""

from __future__ import annotations

from collections import Counter

from survey.job import WallLine
from survey.sheets.drawings.wall_marks import wall_marks
from survey.sheets.drawings.wall_rows import Stretch, full_height
from survey.sheets.gathered_notes import gate_notes
from survey.sheets.given import float_assumed
from survey.sheets.ruler import Ruler, counted, listed
from survey.wall.planning import HousePlan
from survey.wall.wall_plan import WallPlan


def title_words(name: str) -> str:
    """Heading of the sheet of a wall."""
    return name if name.casefold().startswith("wall") else f"Wall {name}"


def place_words(
    house: HousePlan, line: WallLine, length: float, ruler: Ruler, stretch: Stretch
) -> str:
    """Whose wall, when it was surveyed, where stations begin, which part is on this page."""
    info = house.job.info
    job = [info.name] if info.name else []
    dated = [] if info.surveyed is None else [f"surveyed {info.surveyed.isoformat()}"]
    face = [f"{line.face} face"] if line.face else []
    part = (
        []
        if stretch.pages == 1
        else [f"page {stretch.page} of {stretch.pages}: {_ends(stretch, ruler)}"]
    )
    ends = f"{ruler.long(length)} long, stations from {line.from_ or 'its start'}, at the left"
    return "; ".join([*job, *dated, *face, ends, *part])


def _ends(stretch: Stretch, ruler: Ruler) -> str:
    return f"stations {ruler.length(stretch.start)} to {ruler.length(stretch.end)}"


def alarm_words(wall: WallPlan, house: HousePlan, ruler: Ruler) -> tuple[str, ...]:
    """What must not be overlooked on this sheet, the gravest first."""
    heights, travel = house.profile.heights, wall.settings.travel
    said = []
    if not wall.verdict.passes:
        short = ruler.said(wall.verdict.short_by)
        said.append(f"CANNOT BE BUILT SO: {wall.verdict.why}; short by {short}")
    if heights.passed is False:
        said.append("THE SURVEY FAILS ITS CHECK: do not cut from it")
    missing = float_assumed(house.job, wall.name)
    if missing:
        word = "FLOAT" if len(missing) == 2 else missing[0].upper()
        taken = f"rise {ruler.length(travel.rise)}, drop {ruler.length(travel.drop)}"
        said.append(f"{word} ASSUMED: ASK. Taken: {taken}")
    if wall.tape_only:
        said.append("TAPE ONLY: level and slab shape not known; for a top plate drawn tight")
    if wall.joists.assumed:
        said.append("JOISTS ASSUMED: read them before cutting")
    if wall.grind or wall.plate.pieces:
        said += [note.text for note in gate_notes(house.job.slab)]
    said += [note.said(ruler.said) for note in wall.notes if note.level == "stop"]
    if heights.book.left_out:
        said.append(f"LEFT OUT as asked: rows {', '.join(heights.book.left_out)}")
    return tuple(said)


def gap_words(wall: WallPlan, ruler: Ruler) -> str:
    """The gap asked and built, in numbers."""
    gap = wall.gap
    return (
        f"Float gap: at least {ruler.length(gap.required)} asked; least {ruler.length(gap.least)} "
        f"at {ruler.length(gap.least_at)}, assured {ruler.length(gap.assured_least)}; greatest "
        f"{ruler.length(gap.greatest)} at {ruler.length(gap.greatest_at)}, surely under "
        f"{ruler.length(gap.assured_greatest)}."
    )


def stack_words(wall: WallPlan, ruler: Ruler) -> str:
    """Studs by length, plates, and how many joists want packing."""
    full = full_height(wall)
    counts = Counter(stud.length for stud in wall.studs if stud.mark in full)
    studs = listed([f"{n} at {ruler.length(x)}" for x, n in sorted(counts.items(), reverse=True)])
    packed = len(wall.top.packing)
    shims = f"{counted(packed, 'joist')} packed" if packed else "no joist packed"
    slab_board, frame_board = wall.plate.thickness, wall.frame.plate_thickness
    on_slab = f"{counted(wall.plate.count, 'slab plate')} of {ruler.length(slab_board)}, "
    if wall.surface == "plate":
        on_slab = "All heights from the top of the fixed slab plate, drawn as the ground. "
    return (
        f"Studs from plate to plate: {studs} ({wall.settings.stud.name}). "
        f"{on_slab}"
        f"{counted(wall.frame.top_plates, 'top plate')} and the bottom plate of "
        f"{ruler.length(frame_board)}; {shims}."
    )


def key_words(wall: WallPlan, times: float) -> str:
    """How to read the drawing: its exaggeration, and what each line means."""
    unread = "" if wall.joists.read.all() else "; a joist drawn dashed, with ?, was not read"
    doors = (
        " At a door, studs drawn at one end only are trimmers (below) and cripples (above)."
        if wall.layout.openings
        else ""
    )
    crossed = (
        "; dotted: what the slab's fall across the plate takes" if wall.plate.cross_fall else ""
    )
    return (
        f"Heights are drawn {times:g} times as large as lengths, and the middle of the studs is "
        f"left out. {_levels(wall)} Rings: {_as_read(wall)}. Dashed: "
        f"the highest the {wall.surface} is planned to lie (k = {wall.k:.2f}){crossed}. Under the "
        f"slab: stations of the studs' centres; over the joists: their stations, and the packing, "
        f"drawn black{unread}.{_fastening(wall)}{doors}"
    )


def _as_read(wall: WallPlan) -> str:
    return f"{wall.surface} as {'taped' if wall.tape_only else 'read'}"


def _levels(wall: WallPlan) -> str:
    if wall.tape_only:
        return "TAPE ONLY: numbers at the left are from the top plate, which follows the joists."
    return "Numbers at the left: elevations over the datum."


def _fastening(wall: WallPlan) -> str:
    bolts = any(piece.anchors for piece in wall.plate.pieces)
    said = " Bolts in the slab plate: anchors." if bolts else ""
    return said + (" A line across it: a splice." if wall.plate.splices else "")


def mark_words(wall: WallPlan, ruler: Ruler, stretch: Stretch) -> tuple[str, ...]:
    """What the marks on this page mean."""
    return tuple(
        f"{mark.name} {mark.words}."
        for mark in wall_marks(wall, ruler)
        if stretch.start <= mark.station <= stretch.end
    )
