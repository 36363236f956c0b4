"""A job: its records put together, what holds for one wall, and where each value came from.

Every setting is settled in this order: default < job.toml < [wall.*] < option. A metric job has
its own defaults for the rounding, the precut studs and the stock lengths.
"""

from __future__ import annotations

import dataclasses
import difflib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from survey import standards
from survey.errors import SurveyError
from survey.jobtables import (
    LISTS,
    TABLES,
    WALL_TABLES,
    Job,
    Origin,
    Setting,
    find_section,
    find_wall,
    is_metric,
    name_key,
    setting,
    wall_length,
    with_keys,
    with_metric_defaults,
)
from survey.lengths import Unit
from survey.settings import (
    Door,
    Frame,
    JobInfo,
    Laser,
    Lumber,
    Mark,
    Obstacle,
    PegTest,
    PlateBoard,
    Point,
    Quantity,
    Section,
    SlabFacts,
    Spikes,
    Travel,
    Trim,
    Under,
    WallLine,
    WallTest,
)

__all__ = [
    "ASKED_FOR",
    "LISTS",
    "TABLES",
    "WALL_TABLES",
    "Door",
    "Frame",
    "Job",
    "JobInfo",
    "Laser",
    "Lumber",
    "Mark",
    "Obstacle",
    "Origin",
    "PegTest",
    "PlateBoard",
    "Point",
    "Quantity",
    "Section",
    "Setting",
    "SlabFacts",
    "Spikes",
    "Travel",
    "Trim",
    "Under",
    "Unit",
    "WallLine",
    "WallSettings",
    "WallTest",
    "assumed",
    "check_option_keys",
    "find_section",
    "find_wall",
    "is_metric",
    "name_key",
    "resolve",
    "setting",
    "settings_of",
    "wall_length",
    "with_metric_defaults",
    "with_options",
]

# Keys the answer hangs on that only the place itself can tell: using their default is said aloud.
ASKED_FOR = ("float.rise", "float.drop")


@dataclass(frozen=True, kw_only=True)
class WallSettings:
    """What holds for one wall after defaults, job, wall and options are settled.

    With `flat_asked` the job gives a tolerance of its own: the slab is ground flat to it too.
    """

    line: WallLine
    travel: Travel
    frame: Frame
    plate: PlateBoard
    slab: SlabFacts
    spikes: Spikes
    trim: Trim
    lumber: Lumber
    round: float
    stud: standards.LumberSection
    slab_board: standards.LumberSection
    flat_asked: bool = False
    obstacles: tuple[Obstacle, ...] = ()


def with_options(job: Job, options: Mapping[str, Any]) -> Job:
    """The job with dotted keys that win over every table and every wall.

    Parameters
    ----------
    job
        All settings.
    options
        Values by dotted key ("float.rise"), lengths in inches. "job.leave_out" adds to what the
        job leaves out; every other key replaces.

    Raises
    ------
    SurveyError
        If there is no such key, or "job.unit" differs from the unit the job file gives.

    >>> changed = with_options(Job(), {"float.rise": 2.0})
    >>> changed.travel.rise, changed.given["float.rise"]
    (2.0, 'option')
    """
    check_option_keys(options)
    unit = options.get("job.unit", job.info.unit)
    if unit != job.info.unit and job.given.get("job.unit") == "job":
        raise SurveyError(
            f'--unit {unit} differs from unit = "{job.info.unit}" in job.toml; change one of them'
        )
    values = dict(options)
    if "job.leave_out" in values:
        values["job.leave_out"] = (*job.info.leave_out, *values["job.leave_out"])
    given: dict[str, Origin] = {**job.given, **dict.fromkeys(options, "option")}
    kept = {**job.options, **{k: v for k, v in options.items() if k != "job.leave_out"}}
    changed = dataclasses.replace(
        with_keys(job, values), given=MappingProxyType(given), options=MappingProxyType(kept)
    )
    return with_metric_defaults(changed)


def check_option_keys(keys: Iterable[str]) -> None:
    """Refuse dotted keys that no table has; the message names the nearest one."""
    known = {
        f"{heading}.{attribute.name}"
        for heading, (_, record) in TABLES.items()
        for attribute in dataclasses.fields(record)
    }
    for key in keys:
        if key not in known:
            near = difflib.get_close_matches(key, sorted(known), n=1, cutoff=0.0)
            raise SurveyError(f'no setting is called "{key}"; the nearest is "{near[0]}"')


def resolve(job: Job, wall: str) -> WallSettings:
    """Settle every setting of one wall: default < job < [wall.*] < option.

    Parameters
    ----------
    job
        All settings.
    wall
        Name of a wall line, listed in the job or only in the readings.

    Raises
    ------
    SurveyError
        If a lumber section is not known.
    """
    line = find_wall(job, wall)
    own = _own_keys(line)
    if "frame.stud" in own:
        # What was measured for the job's stud says nothing of another section.
        own = {"frame.thickness": None, "frame.width": None, **own}
    settled = with_keys(with_metric_defaults(job), {**own, **job.options})
    frame, plate = settled.frame, settled.plate
    return WallSettings(
        line=line,
        travel=settled.travel,
        frame=frame,
        plate=plate,
        slab=settled.slab,
        spikes=settled.spikes,
        trim=settled.trim,
        lumber=settled.lumber,
        round=settled.info.round,
        stud=_measured(find_section(job, frame.stud), frame.thickness, frame.width),
        slab_board=_measured(find_section(job, plate.size), plate.thickness, None),
        flat_asked="slab.tolerance" in job.given,
        obstacles=job.obstacles,
    )


def _own_keys(line: WallLine) -> dict[str, Any]:
    """A wall's own settings by dotted key."""
    return {
        f"{table}.{name}": value
        for table, values in line.overrides.items()
        for name, value in values.items()
    }


def _measured(
    section: standards.LumberSection, thickness: float | None, width: float | None
) -> standards.LumberSection:
    """A section with what was measured in place of what is usual."""
    return dataclasses.replace(
        section,
        thickness=section.thickness if thickness is None else thickness,
        width=section.width if width is None else width,
    )


def settings_of(job: Job) -> dict[str, Setting]:
    """Every setting by dotted key: those of the tables, then what walls set for themselves.

    >>> settings_of(Job())["float.rise"]
    Setting(value=1.5, origin='default')
    """
    settled = with_metric_defaults(job)
    keys = [
        f"{heading}.{attribute.name}"
        for heading, (_, record) in TABLES.items()
        for attribute in dataclasses.fields(record)
    ]
    found = {
        key: Setting(value=setting(settled, key), origin=job.given.get(key, "default"))
        for key in keys
    }
    for wall in job.walls:
        for key, value in _own_keys(wall).items():
            if key not in job.options:
                found[f"wall.{wall.name}.{key}"] = Setting(value=value, origin="job")
    return found


def assumed(job: Job, walls: Sequence[str] = ()) -> tuple[str, ...]:
    """Dotted keys whose default was used though only the place can tell the value.

    Parameters
    ----------
    job
        All settings.
    walls
        Names of the walls computed; a key that each of them sets for itself is not assumed.

    >>> assumed(Job())
    ('float.rise', 'float.drop')
    """
    own = [_own_keys(find_wall(job, name)) for name in walls]
    return tuple(
        key
        for key in ASKED_FOR
        if key not in job.given
        and key not in job.options
        and not (own and all(key in keys for keys in own))
    )
