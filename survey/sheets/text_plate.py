"""The slab plate on the slab in words: pieces and splices, voids, anchors and what to ask first."""

from __future__ import annotations

import math
from collections.abc import Sequence

from survey import standards
from survey.job import SlabFacts
from survey.lengths import fraction
from survey.sheets.blocks import Block, Grid, Line, grid
from survey.sheets.ruler import FINEST, Ruler, counted, listed
from survey.sheets.text_notes import gate_lines
from survey.slab.contact import Void
from survey.wall.plate import THINNEST_VOID, Anchor, anchor_limit
from survey.wall.wall_plan import WallPlan

ADHESIVE_ONLY = "post-tension tendons lie in this slab: drill nothing, fix the plate by adhesive"
NEWTONS_PER_POUND = 4.4482216152605  # exact, by definition of pound and standard gravity
SUPPORTED = 1e-6


def pull_words(pull: float, ruler: Ruler) -> str:
    """A pull [lb] as the reader's unit has it, rounded up.

    >>> pull_words(62.3, Ruler(unit="in")), pull_words(62.3, Ruler(unit="mm"))
    ('63 lb', '278 N')
    """
    return f"{pull_bare(pull, ruler)} {'lb' if ruler.unit == 'in' else 'N'}"


def pull_bare(pull: float, ruler: Ruler) -> str:
    """A pull [lb] without its unit."""
    amount = pull if ruler.unit == "in" else pull * NEWTONS_PER_POUND
    return f"{math.ceil(amount - SUPPORTED):,}"


def adhesive_only(slab: SlabFacts) -> bool:
    """Whether nothing may be drilled, because tendons are known to lie in the slab."""
    return slab.post_tension == "yes"


def plate_lines(wall: WallPlan, ruler: Ruler) -> list[Block]:
    """The pieces of the slab plate as they lie on the slab, and where they stand off it."""
    pieces = wall.plate.pieces
    if not pieces:
        return []
    laid = listed([f"{ruler.length(p.start)} to {ruler.length(p.end)}" for p in pieces])
    bent = max(piece.stress for piece in pieces)
    limit = standards.BENDING_LIMIT
    over = bent > limit.value
    verdict = "MORE than" if over else "within"
    text = (
        f"{counted(len(pieces), 'piece')}, {laid}; splices: {splice_words(wall, ruler)}; "
        f"lying on the slab it is bent to {_stress(bent, ruler)}, {verdict} the "
        f"{_stress(limit.value, ruler)} it may be ({_status(limit)})"
    )
    return [
        Line(label="SLAB PLATE", text=text, level="doubt" if over else "plain"),
        Line(label="VOIDS", text=_voids([v for p in pieces for v in p.voids], ruler)),
    ]


def plate_summary(wall: WallPlan, ruler: Ruler) -> list[Block]:
    """The same in short: splices, anchors, and how far the plate stands off the slab."""
    if not wall.plate.pieces:
        return []
    lines: list[Block] = [Line(label="SPLICES", text=splice_words(wall, ruler))]
    lines.append(_anchor_summary(wall, ruler))
    voids = [void for piece in wall.plate.pieces for void in piece.voids]
    if voids and not wall.tape_only:
        deepest = max(voids, key=lambda void: void.depth)
        text = (
            f"the slab plate stands off the slab up to {ruler.said(deepest.depth)}, at "
            f"{ruler.length(deepest.at)}"
        )
        lines.append(Line(label="VOIDS", text=text))
    return lines


def _anchor_summary(wall: WallPlan, ruler: Ruler) -> Line:
    if adhesive_only(wall.settings.slab):
        return Line(label="ANCHORS", text=f"none: {ADHESIVE_ONLY}", level="stop")
    anchors, limit = all_anchors(wall), anchor_limit(wall.settings)
    if wall.tape_only:
        text = f"{len(anchors)}; what they must pull is not known: the slab was not levelled"
        return Line(label="ANCHORS", text=text)
    most = max(anchors, key=lambda anchor: anchor.pull)
    over = most.pull > limit
    rule = f": MORE than the {pull_words(limit, ruler)} it is to hold" if over else ""
    text = (
        f"{len(anchors)}; greatest pull {pull_words(most.pull, ruler)}, at "
        f"{ruler.length(most.station)}{rule}. Each one is listed by: floatwall slab"
    )
    return Line(label="ANCHORS", text=text, level="doubt" if over else "plain")


def anchor_blocks(wall: WallPlan, ruler: Ruler) -> list[Block]:
    """What to ask before drilling, what an anchor must hold, and the anchors one by one."""
    facts = wall.settings.slab
    if not wall.plate.pieces:
        return []
    if adhesive_only(facts):
        return [
            Line(label="ANCHORS", text=f"none: {ADHESIVE_ONLY}", level="stop"),
            *gate_lines(facts),
        ]
    anchors = all_anchors(wall)
    return [
        Line(label="ANCHORS", text=f"{len(anchors)}. {pull_rule(wall, ruler)}"),
        *(gate_lines(facts) or [Line(label="DRILLING", text=_settled())]),
        _anchor_grid(anchors, ruler),
    ]


def pull_rule(wall: WallPlan, ruler: Ruler) -> str:
    """What an anchor's pull is, and how much it may be."""
    slack = standards.ANCHOR_SLACK
    return (
        f"The pull is what keeps the plate within {_exactly(slack.value, ruler)} of the slab at "
        f"the anchor ({_status(slack)}), 0 where it lies there by itself; an anchor is to hold "
        f"{limit_words(wall, ruler)}"
    )


def all_anchors(wall: WallPlan) -> tuple[Anchor, ...]:
    """Anchors of all pieces of a wall's plate, from the named end."""
    return tuple(anchor for piece in wall.plate.pieces for anchor in piece.anchors)


def splice_words(wall: WallPlan, ruler: Ruler) -> str:
    """Where pieces of the plate meet, and which of it is because of a joint of the slab."""
    joints = set(wall.joints)
    at = [
        ruler.length(splice) + (" (slab joint)" if splice in joints else "")
        for splice in wall.plate.splices
    ]
    return f"at {listed(at)}" if at else "none"


def _voids(voids: Sequence[Void], ruler: Ruler) -> str:
    if not voids:
        return f"none deeper than {_exactly(THINNEST_VOID, ruler)}"
    said = [
        f"{ruler.length(void.start)} to {ruler.length(void.end)}, deepest "
        f"{ruler.said(void.depth)} at {ruler.length(void.at)}"
        + (" (open at the plate's end)" if void.open_end else "")
        for void in voids
    ]
    return f"the plate stands off the slab from {'; from '.join(said)}"


def _exactly(x: float, ruler: Ruler) -> str:
    """A small length that is a rule, finer than lengths are otherwise printed."""
    return fraction(x, FINEST) if ruler.unit == "in" else ruler.fine(x)


def _stress(stress: float, ruler: Ruler) -> str:
    """A stress [psi] as the reader's unit has it."""
    if ruler.unit == "in":
        return f"{stress:,.0f} psi"
    return f"{stress * NEWTONS_PER_POUND / 25.4**2:.1f} MPa"


def _status(standard: standards.Standard) -> str:
    words = {"practice": "common practice", "memory": "from memory"}
    return words.get(standard.status, standard.status)


def limit_words(wall: WallPlan, ruler: Ruler) -> str:
    """The most an anchor is to hold, and who says so."""
    limit = pull_words(anchor_limit(wall.settings), ruler)
    if wall.settings.plate.anchor_limit is not None:
        return f"{limit} at most, as the job says"
    return f"{limit} at most ({_status(standards.ANCHOR_PULL)}: its maker's table rules)"


def _settled() -> str:
    return "the job says that no tendons, no heating tubes and no membrane are in the way"


def _anchor_grid(anchors: Sequence[Anchor], ruler: Ruler) -> Grid:
    force = "lb" if ruler.unit == "in" else "N"
    rows = [
        [ruler.bare(anchor.station), pull_bare(anchor.pull, ruler), anchor.remark]
        for anchor in anchors
    ]
    title = f"ANCHORS (stations in {ruler.heading}, pull in {force})"
    return grid(title, ["station", "pull", "remark"], rows, words=["remark"])
