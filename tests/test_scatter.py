"""The global test and what it says."""

from __future__ import annotations

import pytest
from scipy import stats

from survey.field.scatter import judge_scatter, scatter_notes


@pytest.mark.parametrize("dof", [1, 3, 40, 79_501])
def test_points_are_those_of_chi_square(dof: int) -> None:
    found = judge_scatter(1.0, dof)
    assert found is not None
    assert found.critical == pytest.approx(stats.chi2.ppf(0.95, dof), rel=1e-9)
    assert found.lower == pytest.approx(stats.chi2.ppf(0.05, dof), rel=1e-9)


@pytest.mark.parametrize(
    ("vpv", "passed", "codes"),
    [
        (0.30, True, ["scatter-low"]),
        (3.0, True, []),
        (7.81, True, []),
        (7.82, False, ["scatter-high"]),
    ],
)
def test_verdict_at_three_degrees_of_freedom(vpv: float, passed: bool, codes: list[str]) -> None:
    found = judge_scatter(vpv, 3)
    assert found is not None
    assert found.passed is passed
    assert [note.code for note in scatter_notes(found)] == codes


def test_without_redundancy_there_is_no_test() -> None:
    assert judge_scatter(0.0, 0) is None
    (note,) = scatter_notes(None)
    assert (note.code, note.level) == ("nothing-checked", "doubt")
