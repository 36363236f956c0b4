"""A job as one record, the headings of job.toml, and keys replaced by dotted name."""

from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Literal

from survey import standards
from survey.errors import Note, SurveyError
from survey.settings import (
    Frame,
    JobInfo,
    Laser,
    Lumber,
    Mark,
    Obstacle,
    PlateBoard,
    Section,
    SlabFacts,
    Spikes,
    Travel,
    Trim,
    WallLine,
)

Origin = Literal["default", "job", "option"]

# What a metric job starts from; stock lengths are common practice where lumber is sold by metre.
METRIC_DEFAULTS: Mapping[str, object] = MappingProxyType(
    {
        "job.round": 1 / 25.4,
        "frame.precut": (),
        "lumber.stock": tuple(metres * 1000 / 25.4 for metres in (2.4, 3.0, 3.6, 4.8)),
    }
)


@dataclass(frozen=True, kw_only=True)
class Setting:
    """A value as computed with (lengths in inches), and where it came from."""

    value: object
    origin: Origin


@dataclass(frozen=True, kw_only=True)
class Job:
    """All settings of a job.

    `given` maps a dotted key ("float.rise", "wall.North.float.rise") to where it was given; a key
    that is not there has its default. `folder` is where the files of the job lie. `options` holds
    the dotted keys of the command line, which win over every table.
    """

    info: JobInfo = field(default_factory=JobInfo)
    laser: Laser = field(default_factory=Laser)
    travel: Travel = field(default_factory=Travel)
    frame: Frame = field(default_factory=Frame)
    plate: PlateBoard = field(default_factory=PlateBoard)
    slab: SlabFacts = field(default_factory=SlabFacts)
    spikes: Spikes = field(default_factory=Spikes)
    trim: Trim = field(default_factory=Trim)
    lumber: Lumber = field(default_factory=Lumber)
    marks: tuple[Mark, ...] = ()
    walls: tuple[WallLine, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    sections: tuple[Section, ...] = ()
    folder: str = "."
    given: Mapping[str, Origin] = field(default_factory=lambda: MappingProxyType({}))
    options: Mapping[str, Any] = field(default_factory=lambda: MappingProxyType({}))
    notes: tuple[Note, ...] = ()


# Heading in job.toml -> (attribute of Job, record). The one place that pairs the two.
TABLES: Mapping[str, tuple[str, type]] = MappingProxyType(
    {
        "job": ("info", JobInfo),
        "laser": ("laser", Laser),
        "float": ("travel", Travel),
        "frame": ("frame", Frame),
        "slab_plate": ("plate", PlateBoard),
        "slab": ("slab", SlabFacts),
        "spikes": ("spikes", Spikes),
        "trim": ("trim", Trim),
        "lumber": ("lumber", Lumber),
    }
)
LISTS: Mapping[str, tuple[str, type]] = MappingProxyType(
    {
        "mark": ("marks", Mark),
        "wall": ("walls", WallLine),
        "obstacle": ("obstacles", Obstacle),
        "section": ("sections", Section),
    }
)
WALL_TABLES = ("float", "frame", "trim", "spikes")


def name_key(name: str) -> str:
    """A name as names are compared: trimmed and caseless.

    >>> name_key(" North ") == name_key("NORTH")
    True
    """
    return name.strip().casefold()


def wall_length(wall: WallLine) -> float | None:
    """Length as the job gives it [in]: `length`, else start to end; None if neither is given."""
    if wall.length is not None:
        return wall.length
    if wall.start is not None and wall.end is not None:
        return math.dist(wall.start, wall.end)
    return None


def find_wall(job: Job, name: str) -> WallLine:
    """The wall line of that name, compared trimmed and caselessly; a plain one if not listed."""
    wanted = name_key(name)
    for wall in job.walls:
        if name_key(wall.name) == wanted:
            return wall
    return WallLine(name=name.strip())


def is_metric(job: Job) -> bool:
    """Whether the job's own unit is metric."""
    return job.info.unit in ("mm", "cm", "m")


def with_metric_defaults(job: Job) -> Job:
    """The job with the metric default set, where its unit is metric and a key is left alone.

    >>> with_metric_defaults(Job(info=JobInfo(unit="mm"))).frame.precut
    ()
    """
    if not is_metric(job):
        return job
    untouched = {
        key: value
        for key, value in METRIC_DEFAULTS.items()
        if key not in job.given and setting(job, key) == setting(Job(), key)
    }
    return with_keys(job, untouched)


def setting(job: Job, key: str) -> Any:
    """The value of a dotted key of the tables.

    >>> setting(Job(), "float.rise")
    1.5
    """
    heading, name = key.split(".", 1)
    return getattr(getattr(job, TABLES[heading][0]), name)


def with_keys(job: Job, values: Mapping[str, Any]) -> Job:
    """The job with dotted keys replaced in its tables."""
    changed: dict[str, Any] = {}
    for key, value in values.items():
        heading, name = key.split(".", 1)
        attribute = TABLES[heading][0]
        record = changed.get(attribute, getattr(job, attribute))
        changed[attribute] = dataclasses.replace(record, **{name: value})
    return dataclasses.replace(job, **changed)


def find_section(job: Job, name: str) -> standards.LumberSection:
    """The lumber section of that name: the job's own first, then the standard ones.

    Raises
    ------
    SurveyError
        If there is none; the message names those there are.

    >>> find_section(Job(), "2 x 6").width
    5.5
    """
    own = [
        standards.LumberSection(name=s.name, thickness=s.thickness, width=s.width)
        for s in job.sections
    ]
    known = {_section_key(section.name): section for section in (*standards.LUMBER, *own)}
    found = known.get(_section_key(name))
    if found is None:
        names = ", ".join(section.name for section in known.values())
        raise SurveyError(f'no lumber section "{name}"; known are {names}, or add a [[section]]')
    return found


def _section_key(name: str) -> str:
    return re.sub(r"\s*[x×]\s*", "x", name_key(name))
