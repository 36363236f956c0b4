"""Lines of a job file that do not parse: each shown with its cure, the rest looked at too."""

from __future__ import annotations

import pytest

from survey.field.jobtext import parse_tables

QUOTES = "Put lengths and names in straight quotes: "
DATE = "Write a date as year-month-day without quotes, as 2027-10-04"


@pytest.mark.parametrize(
    ("line", "cure"),
    [
        ("rise = 1-1/2", QUOTES + 'rise = "1-1/2"'),
        ("rise = 1-1/2   # as asked", QUOTES + 'rise = "1-1/2"'),
        ('spacing = 16"', QUOTES + 'spacing = "16"'),
        ("length = 12' 6", QUOTES + 'length = "12\' 6"'),
        ('rise = "1-1/2', QUOTES + 'rise = "1-1/2"'),
        ('rise = "1";', QUOTES + 'rise = "1"'),
        ("tubes = yes", QUOTES + 'tubes = "yes"'),
        ("name = North wall", QUOTES + 'name = "North wall"'),
        ("confidence = .95", QUOTES + 'confidence = ".95"'),
        ("name = “North”", 'Those are curly quotes; straight ones are wanted: name = "North"'),
        ("surveyed = 4/10/2027", DATE),
        ("surveyed = 4.10.2027", DATE),
        ("surveyed = 2027-10-4", DATE),
        ("rise: 2", "Write key = value, with an equals sign"),
        ("rise 2", "Write key = value, with an equals sign"),
        ("// asked the building office", "A remark begins with #"),
        ("[slab", "Write a heading as [float], or [[wall]], on a line of its own"),
        ("[wall door]", "Write a heading as [float], or [[wall]], on a line of its own"),
        ("stock = [8 ft, 10 ft]", 'Write a list as ["8 ft", "10 ft"], closed by ]'),
        ("= 3", "A line is [heading], key = value, or a remark after #"),
    ],
)
def test_a_line_that_does_not_parse_is_shown_with_its_cure(line: str, cure: str) -> None:
    _, faults = parse_tables(f"[float]\n{line}\n[trim]\nlap = 1\n", "job.toml")
    assert [(fault.file, fault.column, fault.found) for fault in faults] == [
        ("job.toml", "line 2", line)
    ]
    assert faults[0].wanted == "cannot be read"
    assert faults[0].cure == cure


def test_every_such_line_is_found_in_one_go() -> None:
    text = '[float]\nrise = 1-1/2\ndrop: 1\n[frame]\nspacing = 16"\n[job]\nsurveyed = 4/10/2027\n'
    tables, faults = parse_tables(text, "job.toml")
    assert [fault.column for fault in faults] == ["line 2", "line 3", "line 5", "line 7"]
    assert tables["float"] == {"rise": "1-1/2"}
    assert set(tables) == {"float", "frame", "job"}


def test_a_key_that_stands_twice_is_found() -> None:
    tables, faults = parse_tables('[float]\nrise = 1\nrise = "2"\ndrop = 3', "job.toml")
    assert [(fault.column, fault.cure) for fault in faults] == [
        ("line 3", "This key or heading stands twice; keep one")
    ]
    assert tables == {"float": {"rise": 1, "drop": 3}}


def test_a_heading_that_stands_twice_is_found() -> None:
    _, faults = parse_tables("[float]\nrise = 1\n[float]\ndrop = 1", "job.toml")
    assert [fault.column for fault in faults] == ["line 3"]
    assert "stands twice" in faults[0].cure


def test_a_list_left_open_is_told_where_it_opens() -> None:
    text = '[lumber]\nstock = ["8 ft",\n  "10 ft"\nkerf = "1/8"\n[slab]\n'
    _, faults = parse_tables(text, "job.toml")
    assert [fault.column for fault in faults] == ["line 2"]
    assert "closed by ]" in faults[0].cure


def test_a_slip_inside_a_list_of_several_lines_is_told_where_it_is() -> None:
    text = '[lumber]\nstock = [\n  "8 ft",\n  10 ft,\n]\nkerf = "1/8"\n'
    _, faults = parse_tables(text, "job.toml")
    assert [fault.column for fault in faults] == ["line 4"]


@pytest.mark.parametrize("value", ["9" * 5_000, "[" * 3_000])
def test_a_value_no_parser_takes_is_found_on_its_line(value: str) -> None:
    _, faults = parse_tables(f"[float]\nrise = 1\ndrop = {value}\n", "job.toml")
    assert [fault.column for fault in faults] == ["line 3"]
    assert len(faults[0].found) <= 60


def test_a_file_of_slips_alone_comes_to_an_end() -> None:
    _, faults = parse_tables("\n".join(f"key{i} = 1-1/2" for i in range(500)), "job.toml")
    assert len(faults) == 50


def test_hidden_characters_are_spelled_out() -> None:
    _, faults = parse_tables("name = \u202eabc", "job.toml")
    assert faults[0].found == r"name = \u202eabc"
    assert "\u202e" not in faults[0].cure


def test_a_sound_text_has_no_faults() -> None:
    assert parse_tables("[float]\r\nrise = 1\r\n", "job.toml") == ({"float": {"rise": 1}}, [])
