"""Words in readings: names, what blanks repeat, lips, surfaces, flags."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from readingsfiles import job_of, read_file, said_of
from survey.job import WallLine


def test_blanks_repeat_what_stands_above(tmp_path: Path) -> None:
    book = read_file(tmp_path, "setup,wall,station,down\nA,N,0,52\n,,16,52\n,S,0,52\nB,,16,51\n")
    assert [book.setups[i] for i in book.setup] == ["A", "A", "A", "B"]
    assert [book.names[i].name for i in book.name] == ["N", "N", "S", "S"]
    told = [note for note in book.notes if note.code == "blank-repeated"]
    assert [note.row for note in told] == [3, 3]
    assert "2 blanks in `setup` repeat" in told[0].text


def test_blank_with_nothing_above(tmp_path: Path) -> None:
    said = said_of(tmp_path, "setup,wall,station,down\n,N,0,52\nA,N,16,52\n")
    assert "row 2 setup: is blank, and nothing stands above it" in said
    empty = read_file(tmp_path, "setup,wall,station,down\n,,0,52\n,,16,52\n")
    assert (empty.setups, empty.names[0].name) == (("A",), "Wall")


@pytest.mark.parametrize("name", ['""""', "”", "-", ".."])
def test_marks_that_are_no_names(tmp_path: Path, name: str) -> None:
    assert "is no name" in said_of(tmp_path, f"wall,station,down\nN,0,52\n{name},16,52\n")


def test_names_nearly_equal_are_told(tmp_path: Path) -> None:
    job = replace(job_of(tmp_path), walls=(WallLine(name="North wall"), WallLine(name="West")))
    content = "wall,station,down\nNorth-wall,0,52\nwest,0,52\n🚪,0,5\n🪟,0,5\n"
    told = [n for n in read_file(tmp_path, content, job).notes if n.code == "names-alike"]
    assert len(told) == 1
    assert told[0].text.startswith('"North wall", "North-wall" differ only in spaces')


def test_name_on_two_lines(tmp_path: Path) -> None:
    assert "on one line" in said_of(tmp_path, 'wall,station,down\n"N\nx",0,52\n')


def test_flags(tmp_path: Path) -> None:
    content = (
        "station,down,flag,note\n0,52,JOINT,\n16,,,Joint: here\n32,52,,by the drain\n"
        "48,52,crack,drain beside\n64,52,,jointed\n80,,,drain\n"
    )
    book = read_file(tmp_path, content)
    assert book.flag == ("joint", "joint", "", "crack", "", "drain")
    assert [n.row for n in book.notes if n.code == "flag-mentioned"] == [4]
    assert "joint, crack, drain or nothing" in said_of(tmp_path, "station,down,flag\n0,52,hole\n")


def test_sides_and_surfaces(tmp_path: Path) -> None:
    book = read_file(tmp_path, "station,side,down\n0,−,52\n0,–,52\n0, + ,52\n0,'-,52\n")
    assert book.side.tolist() == [-1, -1, 1, -1]
    assert "wanted is - or +" in said_of(tmp_path, "station,side,down\n0,left,52\n")
    assert "wanted is slab or plate" in said_of(tmp_path, "station,on,down\n0,roof,52\n")
    said = said_of(tmp_path, "wall,station,side,down\nN,0,,52\nPost,,+,52\n")
    assert "is for a joint across a wall" in said
