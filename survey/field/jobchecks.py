"""Checks of a job as a whole: what each value may be beside the others."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import PurePosixPath, PureWindowsPath

from survey.errors import Fault, SurveyError
from survey.field.jobwords import plain
from survey.job import (
    Door,
    Job,
    Spikes,
    Travel,
    Unit,
    WallLine,
    find_section,
    name_key,
    resolve,
    wall_length,
)
from survey.lengths import show
from survey.nails import INCH_BITS, METRIC_BITS, slip_hole

ON_THE_END = 1e-6
DRAWN_AND_GIVEN = 1.0
_LEFT_OUT = re.compile(r"(?:.+:)?[0-9]+(?::(?:down|up|clear))?")

# Label of the place, what is wanted there, what was found.
Finding = tuple[str, str, str]


def check_job(job: Job, file: str, *, sections: bool = True) -> list[Fault]:
    """Faults of a job whose values are each sound by themselves.

    Parameters
    ----------
    job
        The job as read.
    file
        Name of the job file, for the faults.
    sections
        Whether lumber sections are looked up; not where one of the job's own is faulty itself.
    """
    findings = (
        *_check_files(job),
        *_check_names(job),
        *(_check_sections(job) if sections else ()),
        *_check_tables(job),
        *(finding for wall in job.walls for finding in _check_wall(job, wall)),
    )
    return [
        Fault(file=file, column=label, wanted=wanted, found=plain(found))
        for label, wanted, found in findings
    ]


def _check_files(job: Job) -> Iterator[Finding]:
    label = "[job] readings"
    if not job.info.readings:
        yield label, "at least one file is wanted", ""
    for name in job.info.readings:
        if _leads_out(name):
            yield label, "must be a file in the job's folder or below it", name
    for name in _repeated(job.info.readings):
        yield label, "stands twice", name
    for each in job.info.leave_out:
        if _LEFT_OUT.fullmatch(each.strip()) is None:
            yield "[job] leave_out", "must be a row, as 17, 17:down or day2.csv:17", each


def _leads_out(name: str) -> bool:
    """Whether a file name is empty or could lead out of the job's folder, on any system."""
    posix, windows = PurePosixPath(name), PureWindowsPath(name)
    rooted = posix.is_absolute() or bool(windows.anchor)
    return rooted or ".." in windows.parts or not name.strip() or not posix.name


def _check_names(job: Job) -> Iterator[Finding]:
    walls = [wall.name for wall in job.walls]
    marks = [mark.name for mark in job.marks]
    for heading, names in (
        ("wall", walls),
        ("mark", marks),
        ("section", [section.name for section in job.sections]),
        ("obstacle", [obstacle.name for obstacle in job.obstacles]),
    ):
        for number, name in enumerate(names, start=1):
            if not name.strip():
                yield f"[[{heading}]] {number} name", "a name is wanted", ""
        if heading != "obstacle":
            for name in _repeated(names):
                yield f"[[{heading}]] name", "two have this name; letter case is not told", name
    taken = {name_key(name) for name in walls if name.strip()}
    for name in marks:
        if name_key(name) in taken:
            yield "[[mark]] name", "is the name of a wall too", name


def _repeated(names: Sequence[str]) -> Iterator[str]:
    seen: set[str] = set()
    for name in names:
        key = name_key(name)
        if key and key in seen:
            yield name
        seen.add(key)


def _check_sections(job: Job) -> Iterator[Finding]:
    asked = [("[frame] stud", job.frame.stud), ("[slab_plate] size", job.plate.size)]
    asked += [
        (f'[[wall]] "{plain(wall.name)}" frame stud', wall.overrides["frame"]["stud"])
        for wall in job.walls
        if "stud" in wall.overrides.get("frame", {})
    ]
    for label, name in asked:
        try:
            find_section(job, name)
        except SurveyError as error:
            yield label, error.message, name


def _check_tables(job: Job) -> Iterator[Finding]:
    yield from _check_travel("[float]", job.travel, job.info.unit)
    yield from _check_spikes("[spikes]", job.spikes, job.info.unit)
    peg, lumber = job.laser.peg_test, job.lumber
    if peg is not None and peg.d_far <= peg.d_near:
        yield "[laser] peg_test", "d_far must be greater than d_near", ""
    if not lumber.stock:
        yield "[lumber] stock", "at least one length is wanted", ""
    if len(set(lumber.stock)) < len(lumber.stock):
        yield "[lumber] stock", "has a length twice", ""
    if lumber.prices and len(lumber.prices) != len(lumber.stock):
        count = f"{len(lumber.stock)} are wanted, one for each stock length"
        yield "[lumber] prices", count, str(len(lumber.prices))


def _check_travel(label: str, travel: Travel, unit: Unit) -> Iterator[Finding]:
    least = travel.rise + travel.allowance
    if travel.widest is not None and travel.widest < least:
        wanted = f"is less than rise and allowance together ({show(least, unit)})"
        yield f"{label} widest", wanted, _bare(travel.widest, unit)


def _check_spikes(label: str, spikes: Spikes, unit: Unit) -> Iterator[Finding]:
    if not spikes.lengths:
        yield f"{label} lengths", "at least one length is wanted", ""
    if spikes.shank is None:
        return
    if spikes.hole is not None and spikes.hole <= spikes.shank:
        steps = INCH_BITS if unit in ("in", "ft") else METRIC_BITS
        bit = show(slip_hole(spikes.shank, step=steps[0]), unit, denominator=64, decimals=1)
        wanted = f"must be wider than the shank, or the spike cannot slip; drill {bit}"
        yield f"{label} hole", wanted, ""
    if spikes.pilot is not None and spikes.pilot >= spikes.shank:
        yield f"{label} pilot", "must be narrower than the shank, or the spike does not hold", ""


def _bare(x: float, unit: Unit) -> str:
    """A length as found, without the inch mark, for it stands between quotes."""
    return show(x, unit).removesuffix('"')


def _check_wall(job: Job, wall: WallLine) -> Iterator[Finding]:
    label, unit, length = f'[[wall]] "{plain(wall.name)}"', job.info.unit, wall_length(wall)
    yield from _check_ends(label, wall, unit)
    yield from _check_doors(label, wall.door, length, unit)
    for joint in wall.slab_joints:
        if joint <= 0.0 or (length is not None and joint >= length):
            yield f"{label} slab_joints", "lies at or past an end of the wall", _bare(joint, unit)
    if len(set(wall.slab_joints)) < len(wall.slab_joints):
        yield f"{label} slab_joints", "has a station twice", ""
    for number, under in enumerate(wall.under, start=1):
        if under.to <= under.from_:
            yield f"{label} under {number}", "`to` must lie beyond `from`", ""
        elif length is not None and under.to > length + ON_THE_END:
            wanted = f"reaches past the wall's end at {show(length, unit)}"
            yield f"{label} under {number}", wanted, _bare(under.to, unit)
    yield from _check_own(job, wall, label)


def _check_own(job: Job, wall: WallLine, label: str) -> Iterator[Finding]:
    """What a wall sets for itself, beside what the job says."""
    if not {"float", "spikes"} & set(wall.overrides):
        return
    try:
        settings = resolve(job, wall.name)
    except SurveyError:
        return
    if "float" in wall.overrides:
        yield from _check_travel(f"{label} float", settings.travel, job.info.unit)
    if "spikes" in wall.overrides:
        yield from _check_spikes(f"{label} spikes", settings.spikes, job.info.unit)


def _check_ends(label: str, wall: WallLine, unit: Unit) -> Iterator[Finding]:
    if wall.start is None and wall.end is None:
        return
    if wall.start is None or wall.end is None:
        yield f"{label} {'start' if wall.start is None else 'end'}", "start and end go together", ""
        return
    drawn = math.dist(wall.start, wall.end)
    if drawn < ON_THE_END:
        yield f"{label} end", "is where the wall starts", ""
    elif wall.length is not None and abs(drawn - wall.length) > DRAWN_AND_GIVEN:
        wanted = f"start and end lie {show(drawn, unit)} apart; change one or drop it"
        yield f"{label} length", wanted, _bare(wall.length, unit)


def _check_doors(
    label: str, doors: Iterable[Door], length: float | None, unit: Unit
) -> Iterator[Finding]:
    spans: list[tuple[float, float, int]] = []
    for number, door in enumerate(doors, start=1):
        place, half = f"{label} door {number}", door.width / 2
        if door.at - half < -ON_THE_END:
            yield place, "its opening starts before the wall does", _bare(door.at - half, unit)
        if length is not None and door.at + half > length + ON_THE_END:
            wanted = f"its opening reaches past the wall's end at {show(length, unit)}"
            yield place, wanted, _bare(door.at + half, unit)
        if door.leaf is not None and door.leaf > door.width:
            yield f"{place} leaf", "is wider than its opening", _bare(door.leaf, unit)
        spans.append((door.at - half, door.at + half, number))
    spans.sort()
    for (_, end, first), (start, _, second) in itertools.pairwise(spans):
        if start < end - ON_THE_END:
            yield f"{label} door {second}", f"overlaps door {first}", ""
