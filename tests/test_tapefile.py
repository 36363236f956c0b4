"""The file of taped heights beside a job: read with the readings, by the same rules. Invented."""

from __future__ import annotations

from pathlib import Path

import pytest

from readingsfiles import codes_of, faults_in, job_of, read_file, said_of
from survey.errors import SurveyError
from survey.field.book import FieldBook
from survey.field.leaveout import leave_out
from survey.field.readings import read_readings
from survey.field.tapefile import TAPE_FILE, is_tape_file, tape_file
from survey.field.tapes import tapes_on
from survey.job import Job, JobInfo, Mark, WallLine

WALL = "wall,station,down,up\nNorth,0,52,47\nNorth,16,52 1/8,47\n"
HEADING = "wall,station,on,clear\n"


def read_both(folder: Path, taped: str, readings: str = WALL) -> FieldBook:
    (folder / TAPE_FILE).write_text(taped, "utf-8")
    return read_file(folder, readings)


def test_taped_heights_are_rows_of_the_book_with_their_file(tmp_path: Path) -> None:
    book = read_both(tmp_path, HEADING + "north,16,plate,97-1/2\nNorth,0,,99\n")
    assert [(s.file, s.taped) for s in book.sources] == [
        ("readings.csv", False),
        ("taped.csv", True),
    ]
    assert book.taped.tolist() == [False, False, True, True]
    assert len(book.sources[1].sha256) == 64
    assert [named.name for named in book.names] == ["North"]
    first, second = tapes_on(book, 0)
    assert (first.station, first.clear, first.on_plate, first.row) == (0.0, 99.0, False, 3)
    assert (second.station, second.clear, second.on_plate, second.file) == (
        16.0,
        97.5,
        True,
        "taped.csv",
    )
    assert first.afterwards
    assert second.sd == 1 / 16


def test_taped_heights_hang_on_no_set_up_of_their_own(tmp_path: Path) -> None:
    book = read_both(tmp_path, HEADING + "North,16,,99\n")
    assert book.setups == ("A",)
    assert codes_of(book) == []


def test_sd_and_cover_of_a_row_count(tmp_path: Path) -> None:
    book = read_both(tmp_path, "wall,station,clear,sd,cover\nNorth,16,98.5,1/32,1/4\n")
    (tape,) = tapes_on(book, 0)
    assert (tape.clear, tape.sd) == (98.75, 1 / 32)


def test_a_single_wall_needs_no_column_for_it(tmp_path: Path) -> None:
    book = read_both(tmp_path, "station,clear\n16,99\n", "station,down,up\n0,52,47\n16,52,47\n")
    assert [named.name for named in book.names] == ["Wall"]
    assert len(tapes_on(book, 0)) == 1


def test_lengths_follow_the_rules_of_readings(tmp_path: Path) -> None:
    (tmp_path / TAPE_FILE).write_text(HEADING + "North,16,slab,16-May\n", "utf-8")
    said = said_of(tmp_path, WALL)
    assert said.startswith('taped.csv row 2 clear "16-May"')
    assert "5/16" in said


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (HEADING + "Nroth,16,,99\n", 'row 2 wall "Nroth": is no wall of the readings'),
        (HEADING + "Nroth,16,,99\n", 'The nearest name is "North"'),
        (HEADING + "North,16,,\n", "row 2 clear: has no height"),
        (HEADING + "North,,,99\n", "is taken on a wall"),
        (HEADING + "North,16,floor,99\n", "wanted is slab or plate"),
        ("wall,station,down,clear\nNorth,16,52,\n", "holds down or up"),
    ],
)
def test_faults_are_told_with_the_file(tmp_path: Path, rows: str, words: str) -> None:
    (tmp_path / TAPE_FILE).write_text(rows, "utf-8")
    said = "\n".join(str(fault) for fault in faults_in(tmp_path, WALL))
    assert words in said
    assert "taped.csv" in said


def test_faults_of_both_files_are_in_one_report(tmp_path: Path) -> None:
    (tmp_path / TAPE_FILE).write_text(HEADING + "North,16,,x\n", "utf-8")
    files = {fault.file for fault in faults_in(tmp_path, WALL + "North,32,y,47\n")}
    assert files == {"readings.csv", "taped.csv"}


def test_a_wall_that_only_the_job_lists_may_be_taped(tmp_path: Path) -> None:
    (tmp_path / TAPE_FILE).write_text(HEADING + "Hall,16,,99\n", "utf-8")
    walls = (WallLine(name="North"), WallLine(name="Hall"))
    book = read_file(tmp_path, WALL, Job(folder=str(tmp_path), walls=walls))
    assert [(named.name, named.kind) for named in book.names] == [
        ("North", "wall"),
        ("Hall", "wall"),
    ]


def test_a_mark_is_no_wall_to_tape(tmp_path: Path) -> None:
    (tmp_path / TAPE_FILE).write_text(HEADING + "M,16,,99\n", "utf-8")
    with pytest.raises(SurveyError, match="in the readings"):
        read_file(tmp_path, WALL + "M,,12,\n", Job(folder=str(tmp_path), marks=(Mark(name="M"),)))


def test_a_readings_file_of_that_name_is_a_readings_file(tmp_path: Path) -> None:
    job = job_of(tmp_path, TAPE_FILE)
    (tmp_path / TAPE_FILE).write_text(WALL, "utf-8")
    assert tape_file(job) == []
    assert not is_tape_file(TAPE_FILE, job)
    assert not read_readings(job).taped.any()


def test_without_the_file_nothing_changes(tmp_path: Path) -> None:
    assert tape_file(Job(folder=str(tmp_path))) == []


def test_row_numbers_mean_the_readings_unless_the_file_is_named(tmp_path: Path) -> None:
    book = read_both(tmp_path, HEADING + "North,16,,99\n")
    left = leave_out(book, ["2:down"])
    assert left.left_out == ("2:down",)
    assert tapes_on(left, 0)
    assert tapes_on(leave_out(book, ["taped.csv:2"]), 0) == ()


def test_several_readings_files_and_the_tapes(tmp_path: Path) -> None:
    (tmp_path / "day2.csv").write_text("wall,station,down,up\nHall,0,50,49\n", "utf-8")
    (tmp_path / TAPE_FILE).write_text(HEADING + "Hall,0,,99\n", "utf-8")
    info = JobInfo(readings=("readings.csv", "day2.csv"))
    book = read_file(tmp_path, WALL, Job(info=info, folder=str(tmp_path)))
    assert [source.file for source in book.sources] == ["readings.csv", "day2.csv", "taped.csv"]
    assert book.setups == ("readings", "day2")
    assert sorted(codes_of(book)) == ["own-setup", "own-setup"]
