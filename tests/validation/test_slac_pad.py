"""A test pad levelled for floor flatness: curvatures, F-numbers, straightedge.

Source: SLAC Alignment Engineering Group, worksheet on ASTM E1155M-96 (2003): elevations at 300 mm
and their curvatures, both read there. FF is derived from those curvatures by hand with the
constants of ASTM E1155, which are from memory; the straightedge values are derived from the upper
hull of the elevations within a 3.0 m bar.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from survey.slab.f_numbers import combine, curvatures, f_numbers
from survey.slab.flatness import straightedge

PAD = Path(__file__).parents[2] / "shared" / "flatness" / "slac_pad.csv"
MM = 25.4
FOOT = 12.0 / 300.0


@dataclass(frozen=True, kw_only=True, eq=False)
class PadLine:
    """One line of the pad [mm], with its published curvatures from the third station on."""

    station: np.ndarray
    elevation: np.ndarray
    curvature: np.ndarray


def pad_line(number: int) -> PadLine:
    with PAD.open(newline="", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["line"] == str(number)]
    return PadLine(
        station=np.array([float(row["station_mm"]) for row in rows]),
        elevation=np.array([float(row["elevation_mm"]) for row in rows]),
        curvature=np.array([float(row["curvature_mm"]) for row in rows[2:]]),
    )


@pytest.mark.parametrize("number", [0, 1, 2])
def test_curvatures_are_those_published(number: int) -> None:
    line = pad_line(number)
    assert curvatures(line.elevation) == pytest.approx(line.curvature, abs=0.00101)


@pytest.mark.parametrize(("number", "expected"), [(0, 28.841), (1, 20.446), (2, 34.623)])
def test_flatness_of_each_line(number: int, expected: float) -> None:
    line = pad_line(number)
    curved = np.concatenate([[0.0, 0.0], np.cumsum(np.cumsum(line.curvature))])
    found = f_numbers(line.station * FOOT, curved / MM)
    assert found.flatness.value == pytest.approx(expected, abs=0.0005)
    assert not found.estimate
    # The elevations are printed to 0.001 mm, which moves FF by a few thousandths.
    as_read = f_numbers(line.station * FOOT, line.elevation / MM)
    assert as_read.flatness.value == pytest.approx(expected, abs=0.01)


def test_the_pad_as_a_whole_lies_between_its_lines() -> None:
    lines = [pad_line(number) for number in (0, 1, 2)]
    found = combine([f_numbers(line.station * FOOT, line.elevation / MM) for line in lines])
    by_hand = (12 / 28.841**2 + 13 / 20.446**2 + 12 / 34.623**2) / 37
    assert found.flatness.count == 37
    assert found.flatness.value == pytest.approx(by_hand**-0.5, abs=0.01)


@pytest.mark.parametrize(
    ("number", "gap", "station", "contacts"),
    [(0, 1.524, 1800, (1200, 2400)), (1, 1.992, 1200, (600, 3300)), (2, 1.748, 1500, (300, 2400))],
)
def test_straightedge_of_three_metres(
    number: int, gap: float, station: float, contacts: tuple[float, float]
) -> None:
    line = pad_line(number)
    found = straightedge(line.station / MM, line.elevation / MM, 3000 / MM)
    assert found.gap * MM == pytest.approx(gap, abs=0.0005)
    assert found.station * MM == pytest.approx(station)
    assert np.array(found.contacts) * MM == pytest.approx(contacts)
