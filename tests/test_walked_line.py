"""Lines that can be walked, and those that cannot."""

from __future__ import annotations

import numpy as np
import pytest

from survey.errors import SurveyError
from survey.slab.walked_line import walk


def test_coinciding_stations_keep_the_higher_lip_whichever_comes_first() -> None:
    for lips in ((0.1, 0.3), (0.3, 0.1)):
        line = walk([0.0, 12.0, 12.0004, 24.0], [0.0, *lips, 0.0])
        assert line.station.tolist() == [0.0, 12.0, 24.0]
        assert line.elevation.tolist() == [0.0, 0.3, 0.0]


def test_the_given_line_is_left_alone_and_the_result_is_read_only() -> None:
    given = np.array([1.0, 2.0])
    line = walk([0.0, 1.0], given)
    with pytest.raises(ValueError, match="read-only"):
        line.elevation[0] = 5.0
    given[0] = 9.0
    assert line.elevation.tolist() == [1.0, 2.0]


@pytest.mark.parametrize(
    ("stations", "elevations", "words"),
    [
        ([], [], "one elevation a station: got 0 stations and 0 elevations"),
        ([0.0, 1.0], [0.0], "got 2 stations and 1 elevations"),
        ([[0.0]], [[0.0]], "one elevation a station"),
        ([0.0, float("nan")], [0.0, 0.0], "station at place 2 is nan: not a length"),
        ([0.0, 1.0], [1e308, 0.0], r"elevation at place 1 is 1e\+308: not a length"),
        ([0.0, 5.0, 4.0], [0.0, 0.0, 0.0], "station at place 3 is 4: less than the one before"),
    ],
)
def test_what_cannot_be_walked_is_refused(
    stations: list[float], elevations: list[float], words: str
) -> None:
    with pytest.raises(SurveyError, match=words):
        walk(stations, elevations)


def test_every_reason_is_named_at_once() -> None:
    with pytest.raises(SurveyError, match=r"elevation at place 1.*; station at place 2 is -3"):
        walk([0.0, -3.0], [float("inf"), 0.0])
