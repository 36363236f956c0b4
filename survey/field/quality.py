"""Whether the readings can be trusted: all that one survey says of itself."""

from __future__ import annotations

from dataclasses import dataclass, field

from survey.errors import Note
from survey.field.evidence import FloatArray, IntArray
from survey.field.findings import Explanation, Finding, Findings, explain
from survey.field.kicks import Kick
from survey.field.levelling import Adjustment
from survey.field.marks_moved import MarkShift
from survey.field.outliers import Misread, smallest_detectable, uncheckable
from survey.field.quality_notes import quality_notes

__all__ = [
    "Explanation",
    "Finding",
    "Findings",
    "Kick",
    "MarkShift",
    "Misread",
    "Quality",
    "judge_quality",
]


@dataclass(frozen=True, kw_only=True, eq=False)
class Quality:
    """What the readings of an adjusted survey say of one another.

    `smallest_detectable` (n,) [in], NaN where nothing checks the reading, and `uncheckable`, the
    indices of those, go with the adjustment's observations.
    """

    heights: Adjustment = field(repr=False)
    findings: Findings
    smallest_detectable: FloatArray
    uncheckable: IntArray
    notes: tuple[Note, ...]

    def __post_init__(self) -> None:
        self.smallest_detectable.setflags(write=False)
        self.uncheckable.setflags(write=False)

    @property
    def kicks(self) -> tuple[Kick, ...]:
        """Moves of a beam that explain a finding best."""
        return tuple(f.best for f in self.findings.found if isinstance(f.best, Kick))

    @property
    def misread(self) -> tuple[Misread, ...]:
        """Readings that may be wrong: all among the explanations."""
        every = [error for finding in self.findings.found for error in finding.explanations]
        return tuple(error for error in every if isinstance(error, Misread))


def judge_quality(heights: Adjustment) -> Quality:
    """Find what does not fit in an adjusted survey, what explains it, and what nothing checks.

    >>> from survey.example import example_folder
    >>> from survey import adjust, read_job, read_readings
    >>> job = read_job(example_folder())
    >>> quality = judge_quality(adjust(read_readings(job), job.laser))
    >>> quality.findings.found, quality.findings.tests, len(quality.uncheckable)
    ((), 24, 27)
    """
    findings, unchecked = explain(heights), uncheckable(heights)
    return Quality(
        heights=heights,
        findings=findings,
        smallest_detectable=smallest_detectable(heights, critical=findings.critical),
        uncheckable=unchecked,
        notes=quality_notes(heights, findings, unchecked.size),
    )
