"""Rows that cannot be, and what the rows say together."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from readingsfiles import codes_of, faults_in, job_of, read_file, said_of
from survey.job import Job, JobInfo, Mark, WallLine

NORTH = WallLine(name="North", length=100.0)


def test_impossible_lengths(tmp_path: Path) -> None:
    content = (
        "station,down,up,sd,distance,cover\n-1,52,47,,,\n0,-52,47,,,\n0,52,47,0,,\n"
        "0,52,47,,-1,\n0,52,47,,,-1/8\n0,0,0,,,\n0,nan,47,,,\n0,1e308,47,,,\n"
    )
    faults = faults_in(tmp_path, content)
    assert [fault.row for fault in faults] == [2, 3, 4, 5, 6, 7, 8, 9]
    words = ["before the wall's start", "negative", "above 0", "negative", "negative"]
    words += ["at or below the slab", "no number", "exponent"]
    for fault, said in zip(faults, words, strict=True):
        assert said in str(fault)
    assert faults[0].found == "-1"


def test_station_past_the_end(tmp_path: Path) -> None:
    job = replace(job_of(tmp_path), walls=(NORTH,))
    said = said_of(tmp_path, "station,down\n100,52\n100 1/16,52\n", job)
    assert said == (
        'readings.csv row 3 station "100 1/16": is past the end of North, which is 100 in long'
    )
    metric = Job(
        info=JobInfo(unit="mm"), walls=(replace(NORTH, length=3200 / 25.4),), folder=str(tmp_path)
    )
    assert read_file(tmp_path, "station,down\n3200,1330\n", metric).unit == "mm"
    assert "which is 3200 mm long" in said_of(tmp_path, "station,down\n3201,1330\n", metric)


def test_millimetres_in_a_file_of_inches(tmp_path: Path) -> None:
    job = replace(job_of(tmp_path), marks=(Mark(name="Far"),))
    content = "wall,station,down,up\nN,0,1332,47\nN,16,1329 mm,47\nFar,,1332,\nN,32,52,241\n"
    faults = faults_in(tmp_path, content, job)
    assert [(f.row, f.column, f.cure) for f in faults] == [
        (2, "down", "Is this file in mm?"),
        (5, "up", "Is this file in mm?"),
    ]
    metric = job_of(tmp_path, unit="mm")
    assert "in mm?" not in said_of(tmp_path, "station,down\n0,13320\n", metric)


def test_far_off_reading_is_told(tmp_path: Path) -> None:
    rows = "".join(f"{i},20,47\n" for i in range(0, 96, 16))
    book = read_file(tmp_path, f"station,down,up\n{rows}96,101,47\n112,99,47\n")
    told = [note for note in book.notes if note.code == "reading-far-off"]
    assert [(note.row, note.station, note.lengths) for note in told] == [(8, 96.0, (101.0, 20.0))]
    assert told[0].said(lambda x: f"{x:g}") == (
        "readings.csv row 8: down 101 is over five times the usual 20"
    )


def test_readings_missing_or_beside_each_other(tmp_path: Path) -> None:
    content = "station,down,up,clear,flag\n0,,,,\n16,,,,drain\n32,52,,99,\n,,,99,\n48,x,,,\n"
    said = [str(fault) for fault in faults_in(tmp_path, content)]
    assert said[0].startswith("readings.csv row 2: has neither down nor up")
    assert 'row 4 clear "99": stands beside down or up' in said[1]
    assert any('row 5 clear "99": is taken on a wall' in each for each in said)
    assert [each for each in said if "row 6" in each] == [
        'readings.csv row 6 down "x": says nothing was read; leave it empty instead'
    ]


def test_bare_ends_are_told(tmp_path: Path) -> None:
    job = replace(job_of(tmp_path), walls=(NORTH,))
    book = read_file(tmp_path, "station,down,up,flag\n0,,47,\n9,52,,\n92,52,,\n99,,,crack\n", job)
    told = [note for note in book.notes if note.code == "bare-end"]
    assert [(note.wall, note.lengths) for note in told] == [("North", (9.0,))]
    assert "bare-end" not in codes_of(read_file(tmp_path, "station,down\n8,52\n92,52\n", job))


def test_wall_without_station(tmp_path: Path) -> None:
    said = said_of(tmp_path, "wall,station,down\nN,0,52\nN,,52\n")
    assert said.startswith("readings.csv row 3: wall N has no station. Give it; or, if this is")
    job = replace(job_of(tmp_path), walls=(NORTH,))
    only = said_of(tmp_path, "wall,station,down\nNorth,,52\n", job)
    assert only == "readings.csv row 2: wall North has no station"
    marked = replace(job_of(tmp_path), marks=(Mark(name="F1"),))
    assert "marks have none" in said_of(tmp_path, "wall,station,down\nF1,3,52\nN,0,5\n", marked)
