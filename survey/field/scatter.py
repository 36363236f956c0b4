"""The global test: whether the readings scatter as their sd say."""

from __future__ import annotations

from dataclasses import dataclass

from scipy.special import chdtri

from survey.errors import Note

LEVEL = 0.05


@dataclass(frozen=True, kw_only=True)
class GlobalTest:
    """Result of `judge_scatter`; `lower` and `critical` are the 5 % and 95 % points."""

    statistic: float
    dof: int
    lower: float
    critical: float

    @property
    def passed(self) -> bool:
        """Whether the readings scatter no more than their sd say."""
        return self.statistic <= self.critical


def judge_scatter(vpv: float, dof: int) -> GlobalTest | None:
    """Global test of an adjustment; None where dof is 0.

    Hypothesis: the readings are normal with the stated sd and free of blunders. Statistic: the
    weighted sum of squared residuals, chi-square with `dof` degrees of freedom, rejected above
    its 95 % point. It says nothing of readings that no other reading checks.

    References
    ----------
    Ghilani, C. D., *Adjustment Computations*: goodness of fit of an adjustment; the point is from
    the incomplete gamma function.

    >>> test = judge_scatter(1.272123, 3)
    >>> test.passed, round(test.critical, 4)
    (True, 7.8147)
    """
    if dof == 0:
        return None
    lower, critical = float(chdtri(dof, 1.0 - LEVEL)), float(chdtri(dof, LEVEL))
    return GlobalTest(statistic=vpv, dof=dof, lower=lower, critical=critical)


def scatter_notes(test: GlobalTest | None) -> tuple[Note, ...]:
    """What the global test says; a doubt where it fails or where nothing can be tested."""
    if test is None:
        return (
            Note(
                code="nothing-checked",
                level="doubt",
                text="nothing checks this survey: every reading is needed to find an elevation. "
                "Read a few spots again from another set-up",
            ),
        )
    ratio = (test.statistic / test.dof) ** 0.5
    if not test.passed:
        text = (
            f"the readings scatter {ratio:.2f} times their stated sd (weighted squares "
            f"{test.statistic:.2f}, most {test.critical:.2f} at {test.dof} degrees of freedom)"
        )
        return (Note(code="scatter-high", level="doubt", text=text),)
    if test.statistic < test.lower:
        text = f"the readings agree better than stated: they scatter {ratio:.2f} times their sd"
        return (Note(code="scatter-low", text=text),)
    return ()
