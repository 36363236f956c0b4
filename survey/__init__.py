"""Floor-profile surveys for walls that float over a moving slab.

Public names load on first use, so that `import survey` costs nothing.

>>> import survey
>>> job = survey.read_job(survey.example_folder())
>>> heights = survey.adjust(survey.read_readings(job), job.laser)
>>> house = survey.plan(survey.profile(heights, job), job)
>>> [(wall.name, wall.frame.stud, wall.verdict.passes) for wall in house.walls]
[('Hall', 92.625, True), ('Closet', 92.625, True)]
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from survey.errors import Fault, Note, SurveyError
    from survey.example import example_folder
    from survey.field.jobfile import read_job
    from survey.field.leaveout import leave_out
    from survey.field.levelling import adjust
    from survey.field.readings import read_readings
    from survey.lengths import parse_length
    from survey.slab.profile import profile
    from survey.wall.planning import plan

__version__ = "0.1.0"

_HOME = {
    "Fault": "survey.errors",
    "Note": "survey.errors",
    "SurveyError": "survey.errors",
    "adjust": "survey.field.levelling",
    "example_folder": "survey.example",
    "leave_out": "survey.field.leaveout",
    "parse_length": "survey.lengths",
    "plan": "survey.wall.planning",
    "profile": "survey.slab.profile",
    "read_job": "survey.field.jobfile",
    "read_readings": "survey.field.readings",
}
__all__ = [
    "Fault",
    "Note",
    "SurveyError",
    "adjust",
    "example_folder",
    "leave_out",
    "parse_length",
    "plan",
    "profile",
    "read_job",
    "read_readings",
]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'survey' has no attribute {name!r}")
    return getattr(import_module(_HOME[name]), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *_HOME])
