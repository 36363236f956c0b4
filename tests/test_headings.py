"""The heading: where it is, which columns, units, and tables of another form."""

from __future__ import annotations

from pathlib import Path

import pytest

from readingsfiles import codes_of, faults_in, read_file, said_of
from survey.field.headings import SYNONYMS, column_meant, find_heading


@pytest.mark.parametrize(
    ("own", "word"), [(own, word) for own, words in SYNONYMS.items() for word in words]
)
def test_synonyms_in_any_dress(own: str, word: str) -> None:
    for dressed in (word, word.upper(), f"  {word.title()} ", f"“{word}”", f"{word}:"):
        assert column_meant(dressed) == (own, None)


@pytest.mark.parametrize(
    ("cell", "meant"),
    [
        ("down_mm", ("down", "mm")),
        ("down (ft)", ("down", "ft")),
        ("Station [in]", ("station", "in")),
        ("FLOOR MM", ("down", "mm")),
        ("joist(inches)", ("up", "in")),
        ("sta. (feet)", ("station", "ft")),
        ("sd_m", ("sd", "m")),
        ("Set-Up", ("setup", None)),
        ("set up", ("setup", None)),
        ("wall_mm", (None, None)),
        ("down (yd)", (None, None)),
        ("downmm", (None, None)),
        ("", (None, None)),
    ],
)
def test_units_in_headings(cell: str, meant: tuple[str | None, str | None]) -> None:
    assert column_meant(cell) == meant


def test_units_of_columns_win_over_the_job(tmp_path: Path) -> None:
    book = read_file(tmp_path, "station (ft),down_mm,up\n4,1330,47\n")
    assert book.station.tolist() == [48.0]
    assert book.down.tolist() == pytest.approx([1330 / 25.4])
    assert book.up.tolist() == [47.0]


@pytest.mark.parametrize(
    ("content", "delimiter"),
    [
        ("station,down,up\n0,52,47\n", ","),
        ("station;down;up\n0;52;47\n", ";"),
        ("station\tdown\tup\n0\t52\t47\n", "\t"),
        ("Walls; and floors\nstation,down,up\n0,52,47\n", ","),
        ("# a;b;c;d;e\nstation,down,up\n0,52,47\n", ","),
    ],
)
def test_delimiter_comes_from_the_heading(tmp_path: Path, content: str, delimiter: str) -> None:
    assert find_heading(content, "a.csv").delimiter == delimiter
    assert read_file(tmp_path, content).down.tolist() == [52.0]


def test_separator_line_is_no_row(tmp_path: Path) -> None:
    """A spreadsheet takes `sep=;` for itself, so that the heading is its row 1."""
    book = read_file(tmp_path, "sep=;\nstation;down;up\n0;52;47\n")
    assert book.row.tolist() == [2]
    assert book.up.tolist() == [47.0]
    assert 'parts its columns by "|"' in said_of(tmp_path, "sep=|\nstation|down|up\n0|52|47\n")


def test_lines_over_the_heading(tmp_path: Path) -> None:
    content = 'North basement,,\n\n# 3 Oct\n"two\nlines",,\nstation,down,up\n0,52,47\n'
    book = read_file(tmp_path, content)
    assert book.row.tolist() == [6], "a quoted line end inside a cell is no new row"
    titles = [note for note in book.notes if note.code == "title-line"]
    assert [note.row for note in titles] == [1, 4]
    assert '"North basement"' in titles[0].text


@pytest.mark.parametrize("above", ["0,52,47", "52 3/8,,", "by,whom,"])
def test_other_rows_over_the_heading_are_faults(tmp_path: Path, above: str) -> None:
    faults = faults_in(tmp_path, f"{above}\nstation,down,up\n0,52,2/7\n")
    assert [fault.row for fault in faults] == [1, 3]
    assert "over the heading, which is row 2" in str(faults[0])


def test_two_columns_of_one_meaning(tmp_path: Path) -> None:
    faults = faults_in(tmp_path, "station,down,floor,up\n0,52,52,x\n")
    assert [str(fault).split(":")[0] for fault in faults] == [
        "readings.csv row 1 floor",
        'readings.csv row 2 up "x"',
    ]
    assert 'means the same as "down"' in str(faults[0])
    assert "stands twice" in said_of(tmp_path, "station,down,down\n0,52,52\n")


def test_unknown_columns_are_kept_as_notes_and_told(tmp_path: Path) -> None:
    book = read_file(
        tmp_path, "station,down,up,weather,note,dwn\n0,52,47,rain,wet,1\n16,52,47,,,\n"
    )
    assert book.note == ("wet; weather: rain; dwn: 1", "")
    told = [note for note in book.notes if note.code == "unknown-column"]
    assert len(told) == 2
    assert told[0].level == "note"
    assert told[1].level == "doubt"
    assert '"down" is meant' in told[1].text


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("station,North,South\n0,52,51\n16,52,51\n", 'a column for each wall ("North")'),
        ("setup,station,North,South\nA,0,52,51\n", "a column for each wall"),
        ("wall,station,surface,reading\nN,0,slab,52\n", "a row for each surface"),
        ("surface,reading\nslab,52\n", "a row for each surface"),
        ("0,52,47\n16,52,47\n", "readings where the heading should be"),
        ("place,value\nhere,52\n", "none of the columns"),
        ("down,up\n52,47\n", "no column `station`"),
        ("wall,station,note\nN,0,x\n", "no column `down`, `up` or `clear`"),
        ("station,dwon,weather\n0,52,x\n", "no column `down`, `up` or `clear`"),
        ("# only a comment\n\n", "no heading and no readings"),
        ("station|down|up\n0|52|47\n", "none of the columns"),
        ("station,down,up\n", "no readings under it"),
        ("station,down,up\n\n# x\n,,\n", "no readings under it"),
    ],
)
def test_tables_of_another_form(tmp_path: Path, content: str, words: str) -> None:
    assert words in said_of(tmp_path, content)


def test_notes_come_with_the_book(tmp_path: Path) -> None:
    assert codes_of(read_file(tmp_path, "Title\nstation,down,up\n0,52,47\n")) == ["title-line"]
