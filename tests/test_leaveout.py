"""Leaving out: what a reference means, and what refers to nothing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from readingsfiles import job_of, read_file
from survey.errors import SurveyError
from survey.field.leaveout import leave_out
from survey.field.readings import read_readings
from survey.job import with_options

DAY_1 = "setup,wall,station,down,up,flag\nA,N,0,52,47,\nA,N,16,51,,\nA,N,32,,,joint\n"
DAY_2 = "setup,wall,station,down,up\nB,N,16,50,46\n\nB,N,48,50,\n"


def test_a_row_and_one_reading(tmp_path: Path) -> None:
    book = read_file(tmp_path, DAY_1)
    left = leave_out(book, ["2", "3:floor"])
    assert np.isnan(left.down).all()
    assert np.isnan(left.up).all()
    assert left.left_out == ("2", "3:floor")
    assert book.down.tolist()[:2] == [52.0, 51.0], "the caller's book is left alone"
    one = leave_out(book, ["2:up", "2:up"])
    assert one.down[0] == 52.0
    assert np.isnan(one.up[0])
    assert one.left_out == ("2:up",)
    with pytest.raises(ValueError, match="read-only"):
        one.down[0] = 1.0


def test_nothing_to_leave_out_is_nothing_changed(tmp_path: Path) -> None:
    book = read_file(tmp_path, DAY_1)
    assert leave_out(book, []).left_out == ()


@pytest.mark.parametrize(
    ("ref", "words"),
    [
        ("17", 'no reading stands there; near it are 2 (N at 0"); 3 (N at 16")'),
        ("4", "no reading stands there"),
        ("3:up", "no up stands there"),
        ("3:station", "is no reading"),
        ("3:", "is no reading"),
        ("north", "cannot be read"),
        ("day2.csv:3", "no such file among readings.csv"),
        ("99999999999999999999", "cannot be read"),
        ("", "cannot be read"),
    ],
)
def test_references_to_nothing(tmp_path: Path, ref: str, words: str) -> None:
    with pytest.raises(SurveyError, match="1 reference of") as caught:
        leave_out(read_file(tmp_path, DAY_1), [ref, "2"])
    assert words in str(caught.value.faults[0])


def test_every_bad_reference_is_told(tmp_path: Path) -> None:
    with pytest.raises(SurveyError, match="2 references") as caught:
        leave_out(read_file(tmp_path, DAY_1), ["17", "2", "18"])
    assert [fault.found for fault in caught.value.faults] == ["17", "18"]


def test_several_files(tmp_path: Path) -> None:
    (tmp_path / "day2.csv").write_text(DAY_2)
    job = job_of(tmp_path, "readings.csv", "day2.csv")
    read_file(tmp_path, DAY_1, job)
    book = read_readings(with_options(job, {"job.leave_out": ("Day2.csv:2:down",)}))
    assert book.left_out == ("Day2.csv:2:down",)
    assert np.isnan(book.down[3])
    assert book.up[3] == 46.0
    with pytest.raises(SurveyError) as caught:
        leave_out(book, ["2"])
    assert "write readings.csv:2 or day2.csv:2" in str(caught.value.faults[0])
    assert np.isnan(leave_out(book, ["day2.csv:4"]).down[4])


def test_job_and_options_both_leave_out(tmp_path: Path) -> None:
    job = job_of(tmp_path)
    job = replace(job, info=replace(job.info, leave_out=("2:up",)))
    read_file(tmp_path, DAY_1, job)
    book = read_readings(with_options(job, {"job.leave_out": ("3",)}))
    assert book.left_out == ("2:up", "3")
    assert np.isnan([book.up[0], book.down[1]]).all()
