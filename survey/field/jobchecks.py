"""Checks of a job as a whole: what each value may be beside the others."""

from __future__ import annotations

import math
from collections.abc import Iterable
from pathlib import PurePath, PureWindowsPath

from survey.errors import Fault
from survey.job import Door, Job, WallLine, wall_length


def check_job(job: Job, file: str, faults: list[Fault]) -> None:
    """Add the faults of a job whose values are each sound by themselves."""

    def fault(place: str, wanted: str, found: object = "") -> None:
        faults.append(Fault(file=file, column=place, found=str(found), wanted=wanted))

    for name in job.info.readings:
        if _leads_out(name):
            fault("[job] readings", "a file in the job's folder is wanted", name)
    for wall in job.walls:
        for place, wanted in _wall_faults(wall):
            fault(f'[[wall]] "{wall.name}" {place}'.rstrip(), wanted)
    for heading, names in (
        ("[[wall]]", [wall.name for wall in job.walls]),
        ("[[mark]]", [mark.name for mark in job.marks]),
        ("[[section]]", [section.name for section in job.sections]),
    ):
        for name in _twice(names):
            fault(f"{heading} name", "two have this name; letter case does not count", name)
        for name in names:
            if not name.strip():
                fault(f"{heading} name", "a name is wanted")
    both = {w.name.strip().casefold() for w in job.walls} & {
        m.name.strip().casefold() for m in job.marks
    }
    for name in sorted(both):
        fault("[[mark]] name", "a wall has this name too", name)
    if job.lumber.prices and len(job.lumber.prices) != len(job.lumber.stock):
        fault("[lumber] prices", f"as many as stock lengths are wanted ({len(job.lumber.stock)})")
    for key, values in (
        ("spikes] lengths", job.spikes.lengths),
        ("lumber] stock", job.lumber.stock),
    ):
        if not values:
            fault(f"[{key}", "at least one is wanted")


def _wall_faults(wall: WallLine) -> Iterable[tuple[str, str]]:
    length = wall_length(wall)
    if (wall.start is None) != (wall.end is None):
        yield "start", "start and end go together"
    if wall.start is not None and wall.end is not None:
        drawn = math.dist(wall.start, wall.end)
        if drawn <= 0:
            yield "end", "lies on the start"
        elif wall.length is not None and abs(drawn - wall.length) > 1.0:
            yield "length", f"start and end are {drawn:g} in apart, length says {wall.length:g}"
    yield from _door_faults(wall.door, length)
    for number, under in enumerate(wall.under, start=1):
        if under.to <= under.from_:
            yield f"under {number}", "`to` must lie beyond `from`"
        if length is not None and under.to > length + 1e-6:
            yield f"under {number}", f"reaches past the wall's end at {length:g} in"
    for joint in wall.slab_joints:
        if length is not None and not 0.0 < joint < length:
            yield "slab_joints", f"{joint:g} in lies outside the wall (0 to {length:g})"


def _door_faults(doors: tuple[Door, ...], length: float | None) -> Iterable[tuple[str, str]]:
    for number, door in enumerate(doors, start=1):
        if door.at - door.width / 2 < -1e-6:
            yield f"door {number}", "its opening begins before the wall does"
        if length is not None and door.at + door.width / 2 > length + 1e-6:
            yield f"door {number}", f"its opening reaches past the wall's end at {length:g} in"
    spans = sorted((door.at - door.width / 2, door.at + door.width / 2) for door in doors)
    for (_, end), (start, _) in zip(spans[:-1], spans[1:], strict=True):
        if start < end:
            yield "door", f"two openings overlap between {start:g} and {end:g} in"


def _twice(names: list[str]) -> list[str]:
    seen: set[str] = set()
    found = []
    for name in names:
        key = name.strip().casefold()
        if key in seen:
            found.append(name)
        seen.add(key)
    return found


def _leads_out(name: str) -> bool:
    """Whether a file name could lead out of the job's folder, on any system."""
    posix, windows = PurePath(name), PureWindowsPath(name)
    outside = posix.is_absolute() or windows.is_absolute() or bool(windows.drive)
    return outside or ".." in posix.parts or ".." in windows.parts or not name.strip()
