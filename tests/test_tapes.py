"""Clear heights of a book, wall by wall."""

from __future__ import annotations

from fieldbooks import field_book
from survey.field.tapes import tapes_on


def test_clear_heights_are_by_station_with_cover_added_back() -> None:
    book = field_book(
        [
            {"station": 32.0, "clear": 98.0, "cover": 0.5, "on_plate": True, "side": 1},
            {"station": 0.0, "clear": 99.0, "sd": 0.02},
            {"station": 16.0, "down": 52.0},
            {"name": "Hall", "station": 8.0, "clear": 97.0},
        ]
    )
    first, second = tapes_on(book, 0)
    assert (first.station, first.clear, first.sd, first.row) == (0.0, 99.0, 0.02, 3)
    assert (second.clear, second.on_plate, second.side) == (98.5, True, 1)
    assert not second.afterwards
    assert [tape.station for tape in tapes_on(book, 1)] == [8.0]
