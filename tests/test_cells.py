"""Cells under a heading: row numbers, ragged rows, quotes, limits, hidden characters."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from readingsfiles import faults_in, read_file, said_of
from survey.field import cells


def test_row_is_the_spreadsheets_row(tmp_path: Path) -> None:
    content = (
        '\n# one\nstation,down,up,note\n0,52,47,"a\n\nb"\n\n16,52,47,"say ""so"""\n# x\n32,52,47,\n'
    )
    book = read_file(tmp_path, content)
    assert book.row.tolist() == [4, 6, 8]
    assert book.note == ("a b", 'say "so"', "")


def test_ragged_rows(tmp_path: Path) -> None:
    book = read_file(tmp_path, "station,down,up,note\n0,52\n16,52,47,,, ,\n32,52,47,ok\n")
    assert np.isnan(book.up[0])
    content = "station,down,up\n0,52,5,47\n16,52,47,,x\n# a,b,c,d,e\n32,52,47\n"
    faults = faults_in(tmp_path, content)
    assert [(fault.row, fault.found) for fault in faults] == [(2, "47"), (3, "x")]
    assert "past the last heading (column 3)" in str(faults[0])
    quoted = faults_in(tmp_path, 'station,down,up\n0,"52",5,47\n"16",52,47,"",\n')
    assert [(fault.row, fault.found) for fault in quoted] == [(2, "47")]


def test_cells_under_no_heading(tmp_path: Path) -> None:
    assert "column 2, which has no heading" in said_of(tmp_path, "station,,down\n0,x,52\n16,,52\n")


def test_heading_again(tmp_path: Path) -> None:
    content = "station,down,up\n0,52,47\n Station,down,up\n station,down,up\n16,52,47\n"
    faults = faults_in(tmp_path, content)
    assert [(f.row, f.wanted) for f in faults if "heading again" in f.wanted] == [
        (4, "is the heading again")
    ]


def test_open_quotation_mark(tmp_path: Path) -> None:
    said = said_of(tmp_path, 'station,down,up\n0,52,47\n16,"52,47\n32,52,47\n')
    assert "readings.csv row 3: a quotation mark opens a cell and is never closed" in said
    faults = faults_in(tmp_path, 'station,down,up\n0,"52,47\n16,52",47\n')
    assert "runs over several lines" in str(faults[0])


def test_long_quoted_cells(tmp_path: Path) -> None:
    """Beyond what the csv module splits, inside the headed columns or past them."""
    for cells_of_row in ('0,52,"{}"', '0,52,47,"{}"', '0,52,"{}'):
        content = "station,down,up\n" + cells_of_row.format("x" * 200_000)
        assert "over 10,000 characters" in said_of(tmp_path, content)


@pytest.mark.parametrize("hidden", ["\x07", "\x1b[31m", "\u202e", "\u2066", "\u200b", "\x7f"])
def test_hidden_characters_are_refused(tmp_path: Path, hidden: str) -> None:
    said = said_of(tmp_path, f"wall,station,down,note\nN,0,52,\nN{hidden}x,0,52,\n")
    assert "control or text-direction" in said
    assert hidden[0] not in said
    assert "row 2 note" in said_of(tmp_path, f"wall,station,down,note\nN,0,52,a{hidden}b\n")


def test_limits(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    long = "x" * 10_001
    said = said_of(tmp_path, f"wall,station,down\n{long},0,52\n")
    assert "has 10,001 characters; a cell has at most 10,000" in said
    assert len(said) < 200
    fine = read_file(tmp_path, f"wall,station,down\n{long[1:]},0,52\n")
    assert len(fine.names[0].name) == 10_000
    monkeypatch.setattr(cells, "MOST_ROWS", 3)
    assert "has 4 rows; at most 3" in said_of(tmp_path, "station,down\n0,52\n1,52\n2,52")
