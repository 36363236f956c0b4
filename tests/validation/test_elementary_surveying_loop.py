"""A differential levelling loop from a textbook.

Source: Charles D. Ghilani and Paul R. Wolf, *Elementary Surveying: An Introduction to Geomatics*,
14th ed., problem 5.12. Readings: read there. Misclosure and adjusted elevations: derived, the
misclosure shared out equally over the set-ups, worked by hand from the readings.
"""

from __future__ import annotations

import pytest

from networks import INCH, Reading, as_book, heights, read_table
from survey.field.levelling import Adjustment, adjust
from survey.job import Laser

TABLE = read_table("elementary_surveying_5_12.csv")


@pytest.fixture(scope="module")
def found() -> Adjustment:
    readings = [
        Reading(
            setup=row["setup"],
            name=row["name"],
            down=float(row["backsight_m"] or row["foresight_m"]) / INCH,
            sd=0.1,
        )
        for row in TABLE
    ]
    return adjust(as_book(readings, {"BM7": 852.045}), Laser())


def test_misclosure(found: Adjustment) -> None:
    back = sum(float(row["backsight_m"] or 0) for row in TABLE)
    fore = sum(float(row["foresight_m"] or 0) for row in TABLE)
    assert back - fore == pytest.approx(0.010, abs=0.0005)
    backsights_less_foresights = found.observations.residual.reshape(-1, 2) @ [1.0, -1.0]
    assert backsights_less_foresights.sum() * INCH == pytest.approx(-0.010, abs=0.0005)
    assert backsights_less_foresights * INCH == pytest.approx([-0.002] * 5, abs=1e-9)


def test_adjusted_elevations(found: Adjustment) -> None:
    published = {"TP1": 851.893, "BM8": 849.998, "TP2": 848.698, "TP3": 847.181}
    for name, height in published.items():
        assert heights(found)[name] == pytest.approx(height, abs=0.0005)
    assert found.dof == 1
