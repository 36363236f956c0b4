"""Bytes to text: encodings read, other kinds of file refused."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from readingsfiles import codes_of, read_file, said_of
from survey.errors import SurveyError
from survey.field import decode
from survey.field.decode import read_text

PLAIN = "station,down,up,note\n0,52⅜,47,“dry”\n16,52 1/2,47 1/8,\n"


@pytest.mark.parametrize(
    "data",
    [
        PLAIN.encode(),
        PLAIN.encode("utf-8-sig"),
        PLAIN.encode("utf-16"),
        b"\xfe\xff" + PLAIN.encode("utf-16-be"),
        PLAIN.encode("utf-16-le"),
        PLAIN.encode("utf-16-be"),
        PLAIN.replace("\n", "\r\n").encode(),
        PLAIN.replace("\n", "\r").encode(),
        PLAIN.rstrip("\n").encode(),
    ],
    ids=["utf-8", "bom", "utf-16", "utf-16-be bom", "le", "be", "crlf", "cr", "no last line end"],
)
def test_encodings_and_line_ends_give_the_same_book(tmp_path: Path, data: bytes) -> None:
    book = read_file(tmp_path, data)
    assert book.row.tolist() == [2, 3]
    assert book.down.tolist() == [52.375, 52.5]
    assert book.note == ("“dry”", "")
    assert book.sources[0].sha256 == hashlib.sha256(data).hexdigest()
    assert "code-page" not in codes_of(book)


def test_windows_code_page_is_told(tmp_path: Path) -> None:
    book = read_file(tmp_path, "station,down,up,note\n0,52½,47,Kid’s – room\n".encode("cp1252"))
    assert book.down.tolist() == [52.5]
    assert book.note == ("Kid’s – room",)
    assert "code-page" in codes_of(book)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"PK\x03\x04rest", "workbook"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1", "workbook"),
        (b"%PDF-1.7 rest", "PDF"),
        (b"{\\rtf1 rest}", "word processor"),
        (b"\x89PNG\r\n", "picture"),
        (b"\x1f\x8b\x08", "packed"),
    ],
)
def test_other_kinds_are_refused_with_the_cure(tmp_path: Path, data: bytes, words: str) -> None:
    said = said_of(tmp_path, data)
    assert words in said
    assert "save as CSV" in said


@pytest.mark.parametrize(
    "start", ["<!DOCTYPE html>", " \n<html><body>", "<?xml version='1.0'?>", "<TABLE>"]
)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_web_pages_are_refused(tmp_path: Path, start: str, encoding: str) -> None:
    said = said_of(tmp_path, (start + "station,down,up").encode(encoding))
    assert "web page" in said
    assert "save as CSV" in said


@pytest.mark.parametrize("data", [b"", b"\n\n", b"\xef\xbb\xbf", b" \r\n\t"])
def test_empty_files(tmp_path: Path, data: bytes) -> None:
    assert "is empty" in said_of(tmp_path, data)


def test_zero_bytes_and_undecodable_bytes(tmp_path: Path) -> None:
    assert "zero bytes" in said_of(tmp_path, b"station,down,up\n0,5\x002,47\n")
    assert "CP1252" in said_of(tmp_path, b"station,down,up\n0,5\x81\xff,47\n")
    assert "UTF-8" in said_of(tmp_path, b"\xef\xbb\xbfstation,down,up\n\xff,1,2\n")


def test_missing_file_names_those_beside(tmp_path: Path) -> None:
    (tmp_path / "monday.csv").write_text("station,down,up\n")
    with pytest.raises(SurveyError, match=r"no such file. In that folder: monday.csv"):
        read_text(tmp_path / "readings.csv", "readings.csv")
    (tmp_path / "monday.csv").unlink()
    with pytest.raises(SurveyError, match="No CSV file is in that folder"):
        read_text(tmp_path / "readings.csv", "readings.csv")


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(SurveyError, match="is a folder"):
        read_text(tmp_path, "here")
    with pytest.raises(SurveyError, match="cannot be read"):
        read_text(Path("nul\0byte.csv"), "nul")


def test_size_is_refused_before_reading(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(decode, "LARGEST_FILE", 20)
    said = said_of(tmp_path, PLAIN)
    assert f"{len(PLAIN.encode())} bytes; at most 20" in said
