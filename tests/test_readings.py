"""The field book from readings files: what is read, what is told, what is refused."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from readingsfiles import codes_of, job_of, read_file, said_of
from survey.errors import SurveyError
from survey.field.readings import read_readings
from survey.job import Job, JobInfo, Mark, WallLine

MESSY = Path(__file__).parent / "data" / "messy"
NORTH = WallLine(name="North", length=100.0)


def messy(name: str) -> Job:
    return Job(info=JobInfo(readings=(name,)), folder=str(MESSY))


def test_smallest_file(tmp_path: Path) -> None:
    book = read_file(tmp_path, "station,down,up\n0,52 3/8,47\n16,52.5,\n")
    assert [named.name for named in book.names] == ["Wall"]
    assert book.names[0].kind == "wall"
    assert book.setups == ("A",)
    assert book.station.tolist() == [0.0, 16.0]
    assert book.down.tolist() == [52.375, 52.5]
    assert book.up[0] == 47.0
    assert np.isnan([book.up[1], *book.clear, *book.sd, *book.distance, *book.cover]).all()
    assert book.flag == book.note == ("", "")
    assert not book.notes
    assert book.unit == "in"


def test_every_column(tmp_path: Path) -> None:
    content = (
        "setup,wall,station,side,on,down,up,clear,sd,distance,cover,flag,note\n"
        "A,North,16,-,plate,51,47,,1/8,20',,,\n"
        "B,North,16,+,Slab,52,,,,,3/8,Crack,  wide  \n"
        "B,North,32,,,,,99 1/2,,,,,\n"
        "B,Bolt,,,,,12,,,,,,\n"
    )
    book = read_file(tmp_path, content)
    assert book.setups == ("A", "B")
    assert book.side.tolist() == [-1, 1, 0, 0]
    assert book.on_plate.tolist() == [True, False, False, False]
    assert book.clear[2] == 99.5
    assert (book.sd[0], book.distance[0], book.cover[1]) == (0.125, 240.0, 0.375)
    assert book.flag == ("", "crack", "", "")
    assert book.note[1] == "wide"
    assert [(n.name, n.kind) for n in book.names] == [("North", "wall"), ("Bolt", "point")]


def test_phone_typed_file(tmp_path: Path) -> None:
    content = (
        "Basement, Saturday\n".replace(",", " -")
        + " Station , DOWN , Up ,Notes,,\n"
        + '0, 52 3/8" ,47,,,\n'
        + "16,52⅜,47 1⁄8”,“by the door”,,\n"
        + "\n ,,,\n"
        + "# the rest on Sunday, if dry\n"
        + "32,4’ 4–1/2”,47,,,\n"
        + ",,,,,\n"
    )
    book = read_file(tmp_path, content)
    assert book.row.tolist() == [3, 4, 8]
    assert book.down.tolist() == [52.375, 52.375, 52.5]
    assert book.up.tolist() == [47.0, 47.125, 47.0]
    assert book.note[1] == "“by the door”"
    assert codes_of(book) == ["title-line"]


def test_marks_points_and_walls(tmp_path: Path) -> None:
    job = replace(
        job_of(tmp_path),
        marks=(Mark(name="F1", elevation=48.0, on="foundation"), Mark(name="Col")),
        walls=(WallLine(name="North"), WallLine(name="Never read")),
    )
    content = "wall,station,down\nf1,,4\n north ,0,52\nPost,,40\nNORTH,16,52\nF1,,4\n"
    book = read_file(tmp_path, content, job)
    assert [(n.name, n.kind, n.elevation, n.on) for n in book.names] == [
        ("F1", "mark", 48.0, "foundation"),
        ("North", "wall", None, ""),
        ("Post", "point", None, ""),
    ]
    assert book.name.tolist() == [0, 1, 2, 1, 0]


def test_station_kind_is_told_by_all_files(tmp_path: Path) -> None:
    (tmp_path / "day2.csv").write_text("setup,wall,station,down\nB,N,16,52\n")
    job = job_of(tmp_path, "readings.csv", "day2.csv")
    assert "wall N has no station" in said_of(tmp_path, "setup,wall,station,down\nA,N,,52\n", job)


def test_unit_of_job_and_option(tmp_path: Path) -> None:
    asked = replace(job_of(tmp_path), options={"job.unit": "cm"})
    book = read_file(tmp_path, "station,down\n0,133\n", asked)
    assert book.unit == "cm"
    assert book.down[0] == pytest.approx(1330 / 25.4)
    given = replace(job_of(tmp_path, unit="mm"), given={"job.unit": "job"})
    with pytest.raises(SurveyError, match='--unit cm differs from unit = "mm"'):
        read_readings(replace(given, options={"job.unit": "cm"}))
    same = replace(given, options={"job.unit": "mm"})
    assert read_file(tmp_path, "station,down\n0,1330\n", same).unit == "mm"


def test_faults_of_all_files_together(tmp_path: Path) -> None:
    (tmp_path / "day2.csv").write_text("setup,wall,station,down\nB,N,0,16-May\nB,N,16,2/7\n")
    job = job_of(tmp_path, "readings.csv", "day2.csv", "day3.csv")
    with pytest.raises(SurveyError, match="4 faults in the readings") as caught:
        read_file(tmp_path, "setup,wall,station,down\nA,N,16,9/8\n", job)
    assert [(fault.file, fault.row) for fault in caught.value.faults] == [
        ("readings.csv", 2),
        ("day2.csv", 3),
        ("day3.csv", None),
        ("day2.csv", 2),
    ]
    assert caught.value.message.startswith("readings.csv, day2.csv, day3.csv: ")


def test_several_files_make_one_book(tmp_path: Path) -> None:
    (tmp_path / "day2.csv").write_text("wall,station,down\nnorth,32,50\nS,0,50\n")
    job = job_of(tmp_path, "readings.csv", "day2.csv")
    book = read_file(tmp_path, "setup,wall,station,down\nA,North,0,52\nA,North,16,52\n", job)
    assert book.setups == ("A", "day2")
    assert book.file.tolist() == [0, 0, 1, 1]
    assert book.row.tolist() == [2, 3, 2, 3]
    assert [n.name for n in book.names] == ["North", "S"]
    assert book.name.tolist() == [0, 0, 0, 1]
    assert [n.text for n in book.notes if n.code == "own-setup"] == [
        'day2.csv has no column `setup`: it is one set-up, "day2"'
    ]
    with pytest.raises(SurveyError, match="named twice"):
        read_readings(job_of(tmp_path, "day2.csv", "day2.csv"))
    with pytest.raises(SurveyError, match="no readings file is named"):
        read_readings(replace(job, info=replace(job.info, readings=())))


def test_wall_column_where_there_are_several_walls(tmp_path: Path) -> None:
    job = replace(job_of(tmp_path), walls=(NORTH, WallLine(name="South")))
    said = said_of(tmp_path, "station,down\n0,52\n", job)
    assert "has no column `wall`, and job.toml has 2 walls" in said
    one = replace(job_of(tmp_path), walls=(NORTH,))
    assert read_file(tmp_path, "station,down\n0,52\n", one).names[0].name == "North"


@pytest.mark.parametrize(
    ("name", "down"),
    [
        ("smart_quotes.csv", [52.375, 52.375, 52.4375, 52.5, 52.5, 52.5625]),
        ("title_lines.csv", [52.375, 52.4375, 52.5]),
        ("utf16_tabs.csv", [52.375, 52.4375, 52.5]),
        ("cp1252_halves.csv", [52.5, 52.25, 52.375]),
        ("trailing_commas.csv", [52.375, 52.4375, 52.5, 52.4375]),
        ("blank_cells.csv", [52.375, 52.4375, 52.5, 52.25, 52.3125, 50.375, 50.25]),
    ],
)
def test_messy_files_that_are_read(name: str, down: list[float]) -> None:
    assert read_readings(messy(name)).down.tolist() == down


@pytest.mark.parametrize(
    ("name", "rows"),
    [
        ("every_fault.csv", set(range(2, 13))),
        ("spreadsheet_dates.csv", {2, 4, 5, 6, 7}),
        ("decimal_marks_mixed.csv", {3, 5}),
        ("millimetres_in_inches.csv", {3, 4}),
    ],
)
def test_messy_files_that_are_refused(name: str, rows: set[int]) -> None:
    with pytest.raises(SurveyError, match="faults in the readings") as caught:
        read_readings(messy(name))
    assert {fault.row for fault in caught.value.faults} == rows


def test_strange_names_stay_as_typed() -> None:
    book = read_readings(messy("strange_names.csv"))
    assert [n.name for n in book.names][:4] == [
        "=SUM(A1:A9)",
        'the "big" wall',
        "🚪 door wall",
        "<b>$x_1$ & [red]</b>",
    ]
    assert "names-alike" in codes_of(book)
