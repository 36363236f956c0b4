"""What a spreadsheet does to fractions: found, told together, guessed at and never used."""

from __future__ import annotations

from pathlib import Path

import pytest

from readingsfiles import faults_in, job_of, read_file, said_of
from survey.field.damage import date_damage


@pytest.mark.parametrize(
    ("text", "guess"),
    [
        ("16-May", "5/16"),
        ("May-16", "5/16"),
        ("8-Mar", "3/8"),
        ("7-Aug", "7/8"),
        ("5-Jan", ""),
        ("8 March 2024", "3/8"),
        ("Mar 8, 2024", "3/8"),
        ("3/8/2024", "3/8"),
        ("03/08/24", "3/8"),
        ("2024-03-08", "3/8"),
        ("2024-03-08 00:00:00", "3/8"),
        ("8.3.2024", "3/8"),
        ("1/3/2008", "1-3/8"),
        ("45352", ""),
        ("45359", "3/8"),
        ("36526", ""),
        ("73050", ""),
    ],
)
def test_dates_and_their_likely_fraction(text: str, guess: str) -> None:
    assert date_damage(text, day_numbers=True) == guess


@pytest.mark.parametrize(
    "text",
    ["52", "52 3/8", "52-3/8", "4-4-3/8", "36525", "73051", "may", "52-3-8", "13/32/2024", "mm 8"],
)
def test_lengths_are_no_dates(text: str) -> None:
    assert date_damage(text, day_numbers=True) is None


def test_day_numbers_only_where_asked(tmp_path: Path) -> None:
    assert date_damage("45359", day_numbers=False) is None
    job = job_of(tmp_path, unit="mm")
    assert read_file(tmp_path, "wall,station,down\nF1,,45359\n", job).down[0] > 1000


def test_one_cell_is_told_with_guess_and_cure(tmp_path: Path) -> None:
    assert said_of(tmp_path, "station,down,up\n0,16-May,47\n") == (
        'readings.csv row 2 down "16-May": a spreadsheet made this date from a fraction '
        '(perhaps 5/16). Set the column to Text before typing, or type 0 5/16 or 5/16"'
    )


def test_all_cells_are_told_together_with_one_cure(tmp_path: Path) -> None:
    content = "station,down,up\n0,52,5-Jan\n16,3/8/2024,2/7\n32,45352,47\n48,47,May-16\n"
    faults = faults_in(tmp_path, content)
    assert [fault.row for fault in faults] == [3, 2, 3, 4, 5]
    assert "/7" in str(faults[0])
    assert all("a spreadsheet made this date" in fault.wanted for fault in faults[1:])
    assert [bool(fault.cure) for fault in faults[1:]] == [False, False, False, True]
    assert faults[-1].cure.startswith("For all 4 such cells: ")
