"""How even the slab is, in words: under a straightedge, by DIN 18202, by F-numbers."""

from __future__ import annotations

from survey import standards
from survey.sheets.blocks import Block, Line
from survey.sheets.ruler import Ruler
from survey.slab.evenness import Evenness
from survey.slab.f_numbers import Flatness, FNumber

EXEMPT = "A house slab is often exempt from both (common practice)"
ACI = ", ".join((*standards.ACI_117.split(", ")[:1], *standards.ACI_117.split(", ")[-1:]))
BEYOND = 200.0  # an F-number past this says no more than that the line is straight


def flatness_lines(evenness: Evenness, ruler: Ruler, *, asked: bool, detail: bool) -> list[Block]:
    """What a straightedge finds along a line, and its F-numbers where they are wanted.

    Parameters
    ----------
    evenness
        What was found.
    ruler
        Prints the lengths.
    asked
        Whether the job gives a tolerance of its own.
    detail
        Whether F-numbers that are only an estimate are said too.
    """
    missed = asked and not evenness.keeps
    limits = _limits(evenness, ruler, asked=asked)
    lines: list[Block] = [
        Line(
            label="FLATNESS",
            text=f"{straightedge_words(evenness, ruler)}; {limits}. {EXEMPT}",
            level="doubt" if missed else "plain",
        )
    ]
    crown = evenness.straightedge.crown
    if crown >= ruler.step / 2:
        text = (
            f"over the crown at {ruler.length(evenness.straightedge.crown_station)} the "
            f"straightedge rests on one point: balanced there, both its ends stand off by "
            f"{ruler.length(crown)}. That is no gap"
        )
        lines.append(Line(label="ROCKS", text=text))
    if detail or not evenness.f_numbers.estimate:
        lines.append(f_number_line(evenness.f_numbers, ruler))
    return lines


def straightedge_words(evenness: Evenness, ruler: Ruler) -> str:
    """Where a straightedge rests at its worst place, and the gap it leaves."""
    found = evenness.straightedge
    bar = f"a straightedge of {ruler.long(found.span)}"
    if found.gap <= 0.0:
        return f"{bar} leaves no gap anywhere"
    gap = ruler.said(found.gap)
    if not evenness.keeps and gap == ruler.said(evenness.tolerance):
        gap = ruler.fine(found.gap)  # rounded, it would look like what it is not
    rests = " and ".join(ruler.length(x) for x in found.contacts)
    return f"{bar} resting at {rests} leaves {gap} at {ruler.length(found.station)}"


def _limits(evenness: Evenness, ruler: Ruler, *, asked: bool) -> str:
    tolerance = ruler.length(evenness.tolerance)
    if asked:
        word = "within" if evenness.keeps else "MORE than"
        own = f"{word} the {tolerance} this job asks for"
    else:
        word = "within" if evenness.keeps else "more than"
        own = f"{word} the default of {tolerance}, which this job does not ask for"
    if evenness.straightedge.gap <= 0.0:
        return own
    limit, between = ruler.length(evenness.din_limit), ruler.length(evenness.straightedge.between)
    source = standards.DIN_18202_FINISHED.source
    return f"{own}; between contacts {between} apart {limit} would be allowed by {source}"


def f_number_line(found: Flatness, ruler: Ruler, *, label: str = "F-NUMBERS") -> Line:
    """F-numbers with their class, and whether they are measured or an estimate."""
    every = ruler.length(standards.F_NUMBER_SPACING.value)
    how = (
        f"an ESTIMATE, since the slab was not read every {every}"
        if found.estimate
        else f"from readings every {every} (ASTM E1155, its constants from memory)"
    )
    text = (
        f"flatness FF {_f_number(found.flatness)}, levelness FL {_f_number(found.levelness)}: "
        f"{found.floor_class} ({ACI}); {how}"
    )
    return Line(label=label, text=text)


def _f_number(number: FNumber) -> str:
    if not number.known:
        return "not known (the line is too short)"
    return f"{number.value:.1f}" if number.value < BEYOND else f"over {BEYOND:.0f}"
