"""Columns of lengths: decimal marks, units, fractions in metric files."""

from __future__ import annotations

from pathlib import Path

from readingsfiles import faults_in, job_of, read_file, said_of


def test_decimal_commas(tmp_path: Path) -> None:
    book = read_file(tmp_path, "station;down;up\n0;52,5;47 1/8\n16;52;,5\n")
    assert book.down.tolist() == [52.5, 52.0]
    assert book.up.tolist() == [47.125, 0.5]
    points = read_file(tmp_path, "station\tdown\n0\t52.5\n16\t52\n")
    assert points.down.tolist() == [52.5, 52.0]
    assert "1,000" in said_of(tmp_path, 'station,down\n0,"1,000"\n')


def test_two_kinds_of_decimal_mark(tmp_path: Path) -> None:
    rows = "".join(f"{i};52,5\n" for i in range(10))
    faults = faults_in(tmp_path, f"station;down\n{rows}11;52.5\n12;1.052,5\n")
    assert [fault.row for fault in faults] == [12, 13]
    assert "commas in rows 2, 3, 4, 5, 6, 7 and 4 more, points in row 12" in str(faults[0])
    assert "thousands mark" in str(faults[1])


def test_fraction_in_a_metric_file_needs_its_mark(tmp_path: Path) -> None:
    job = job_of(tmp_path, unit="mm")
    assert read_file(tmp_path, 'station,down\n0,52-3/8"\n', job).down[0] == 52.375
    assert "is a fraction, so inches" in said_of(tmp_path, "station,down\n0,52-3/8\n", job)
