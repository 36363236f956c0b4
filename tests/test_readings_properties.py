"""Readings as properties: written then read gives the same, and nothing but our error comes out."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from readingsfiles import job_of
from survey.errors import SurveyError
from survey.field.book import FieldBook
from survey.field.decode import HIDDEN
from survey.field.headings import LENGTHS, SYNONYMS
from survey.field.readings import read_readings
from survey.lengths import Unit, fraction, to_unit

FOLDER_STAYS = settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
SIXTEENTHS = st.integers(1, 240 * 16 - 1).map(lambda parts: parts / 16)
WORDS = st.text(alphabet="abcXYZ éß0123,;\"'=+<$#(", min_size=1, max_size=12).map(str.strip)
NAMES = WORDS.filter(lambda word: any(c.isalnum() for c in word) and not word.startswith("#"))


@dataclass(frozen=True)
class Row:
    """A row to write: name, station or None for a point, down, up, side, note."""

    setup: str
    wall: str
    station: float | None
    down: float
    up: float | None
    side: str
    note: str


@st.composite
def tables(draw: st.DrawFn) -> list[Row]:
    """Rows of walls and of points, whose names never mix."""
    walls = draw(st.lists(NAMES, min_size=1, max_size=4, unique_by=str.casefold))
    points = draw(st.lists(NAMES, max_size=2, unique_by=str.casefold))
    taken = {wall.casefold() for wall in walls}
    points = [point for point in points if point.casefold() not in taken]
    rows = []
    for _ in range(draw(st.integers(1, 12))):
        wall = draw(st.sampled_from(walls + points))
        on_wall = wall in walls
        rows.append(
            Row(
                setup=draw(st.sampled_from(["A", "b2", "Set 3"])),
                wall=wall,
                station=draw(SIXTEENTHS) if on_wall else None,
                down=draw(SIXTEENTHS),
                up=draw(st.none() | SIXTEENTHS),
                side=draw(st.sampled_from(["", "-", "+"])) if on_wall else "",
                note=" ".join(draw(WORDS).split()),
            )
        )
    return rows


def cell_of(x: float | None, unit: Unit, delimiter: str) -> str:
    """A length as somebody might write it in that unit."""
    if x is None:
        return ""
    if unit == "in":
        return fraction(x).rstrip('"')
    text = f"{to_unit(x, unit):.6f}"
    return text.replace(".", ",") if delimiter == ";" else text


def written(rows: list[Row], unit: Unit, delimiter: str, line_end: str) -> str:
    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter, lineterminator=line_end)
    writer.writerow(["Set-up", "LINE", "sta.", "Floor", "up", "side", "notes"])
    for row in rows:
        lengths = [cell_of(x, unit, delimiter) for x in (row.station, row.down, row.up)]
        writer.writerow([row.setup, row.wall, *lengths, row.side, row.note])
    return out.getvalue()


def same(
    found: np.ndarray[tuple[int, ...], np.dtype[np.float64]], wanted: list[float | None]
) -> bool:
    """Whether a column has these lengths, to a hundred-thousandth of an inch."""
    numbers = np.array([np.nan if x is None else x for x in wanted])
    return bool(np.allclose(found, numbers, atol=2e-5, rtol=0, equal_nan=True))


@FOLDER_STAYS
@given(
    rows=tables(),
    unit=st.sampled_from(["in", "ft", "mm", "cm", "m"]),
    delimiter=st.sampled_from([",", ";", "\t"]),
    line_end=st.sampled_from(["\n", "\r\n"]),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
)
def test_written_then_read_is_the_same(
    rows: list[Row], unit: Unit, delimiter: str, line_end: str, encoding: str, tmp_path: Path
) -> None:
    content = written(rows, unit, delimiter, line_end)
    (tmp_path / "readings.csv").write_bytes(content.encode(encoding))
    book = read_readings(job_of(tmp_path, unit=unit))
    assert book.row.tolist() == list(range(2, len(rows) + 2))
    assert [book.setups[i] for i in book.setup] == [row.setup for row in rows]
    names = [book.names[i].name for i in book.name]
    assert names == [row.wall for row in rows]
    kinds = [book.names[i].kind for i in book.name]
    assert kinds == ["point" if row.station is None else "wall" for row in rows]
    assert same(book.station, [row.station for row in rows])
    assert same(book.down, [row.down for row in rows])
    assert same(book.up, [row.up for row in rows])
    assert book.side.tolist() == [{"": 0, "-": -1, "+": 1}[row.side] for row in rows]
    assert book.note == tuple(row.note for row in rows)


def check_book(book: FieldBook) -> None:
    """What holds of every book that is read."""
    for name in LENGTHS:
        values = getattr(book, name)
        assert values.shape == book.row.shape
        assert not np.isinf(values).any()
        assert not (values < 0).any()
        assert not values.flags.writeable
    assert len(book.flag) == len(book.note) == book.row.size > 0
    assert not any(HIDDEN.search(text) for text in (*book.note, *book.setups))
    assert not any(HIDDEN.search(named.name) for named in book.names)
    assert 0 <= book.name.min() <= book.name.max() < len(book.names)
    assert 0 <= book.setup.min() <= book.setup.max() < len(book.setups)


def read_anything(folder: Path, data: bytes) -> None:
    """Read bytes: a sound book comes of them, or our own error with every place in it."""
    (folder / "readings.csv").write_bytes(data)
    try:
        book = read_readings(job_of(folder))
    except SurveyError as error:
        assert error.faults
        assert all(fault.file == "readings.csv" and fault.wanted for fault in error.faults)
        assert all(str(fault).replace("\u200d", "").isprintable() for fault in error.faults)
        assert all(len(str(fault)) < 400 for fault in error.faults)
    else:
        check_book(book)


@FOLDER_STAYS
@given(st.binary(max_size=300))
@example(b"station,down,up\n\xff\xfe")
@example(b"\xff\xfe\x00")
@example(b"\xef\xbb\xbf\xef\xbb\xbf")
def test_any_bytes(tmp_path: Path, data: bytes) -> None:
    read_anything(tmp_path, data)
    read_anything(tmp_path, b"station,down,up\n" + data)


CELLS = st.one_of(
    st.sampled_from([word for words in SYNONYMS.values() for word in words]),
    st.sampled_from(
        ["0", "16", "52 3/8", '52"', "16-May", "-", "+", "45352", "52,5", "#", "sep=;"]
    ),
    st.text(alphabet='0123456789/ .,-\'"\n\t;#⅜"”', max_size=8),
    st.text(max_size=6),
)


@FOLDER_STAYS
@given(
    rows=st.lists(st.lists(CELLS, max_size=6), max_size=8),
    heading=st.sampled_from(
        ["", "station,down,up\n", "wall;station;down;flag\n", "sta\tup\tnote\n"]
    ),
    mark=st.sampled_from([",", ";", "\t"]),
    quoted=st.booleans(),
)
@example(rows=[["\x00"]], heading="station,down,up\n", mark=",", quoted=False)
@example(rows=[['"']], heading="station,down,up\n", mark=",", quoted=False)
@example(rows=[["0", "52", "x" * 200_000]], heading="station,down,up\n", mark=",", quoted=True)
@example(rows=[["," * 5000]], heading="station,down,up\n", mark=",", quoted=False)
def test_any_cells(
    tmp_path: Path, rows: list[list[str]], heading: str, mark: str, *, quoted: bool
) -> None:
    if quoted:
        out = io.StringIO()
        csv.writer(out, delimiter=mark, quoting=csv.QUOTE_ALL).writerows(rows)
        body = out.getvalue()
    else:
        body = "\n".join(mark.join(row) for row in rows)
    read_anything(tmp_path, (heading + body).encode("utf-8", errors="surrogatepass"))


@pytest.mark.parametrize("columns", [1, 2000])
def test_wide_rows_stay_small(tmp_path: Path, columns: int) -> None:
    """One row of many blank cells must not widen every other row."""
    body = "".join(f"{i},52,47\n" for i in range(2000))
    read_anything(tmp_path, f"station,down,up\n{body}{',' * columns}\n".encode())
