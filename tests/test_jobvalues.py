"""Values of job files: units, slopes, words, ranges, and what else than a value may stand there."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from jobfiles import faults_of, read_text
from survey.errors import SurveyError
from survey.field.jobvalues import read_setting
from survey.job import Job, JobInfo, Unit

IN_MM = Job(info=JobInfo(unit="mm"))


@pytest.mark.parametrize(
    ("unit", "text", "inches"),
    [
        ("in", "2", 2.0),
        ("in", "'1-1/2'", 1.5),
        ("in", '"38.1 mm"', 1.5),
        ("ft", "0.5", 6.0),
        ("ft", '"0.5"', 6.0),
        ("ft", "'6 in'", 6.0),
        ("mm", "38.1", 1.5),
        ("mm", "'1-1/2\"'", 1.5),
        ("cm", "3.81", 1.5),
        ("m", "0.0381", 1.5),
    ],
)
def test_lengths_are_in_the_unit_of_the_job(
    unit: str, text: str, inches: float, tmp_path: Path
) -> None:
    job = read_text(f'[float]\nrise = {text}\n[job]\nunit = "{unit}"', tmp_path)
    assert job.travel.rise == pytest.approx(inches, rel=1e-12)


@pytest.mark.parametrize("unit", ["ft", "mm", "cm", "m"])
def test_a_fraction_without_mark_is_refused_where_the_unit_is_not_inches(
    unit: str, tmp_path: Path
) -> None:
    (fault,) = faults_of(f'[job]\nunit = "{unit}"\n[float]\nrise = "1-1/2"', tmp_path)
    assert fault.startswith('job.toml [float] rise "1-1/2": ')


@pytest.mark.parametrize(
    ("unit", "text", "slope"),
    [
        ("in", '"1/8 at 30 ft"', 0.125 / 360),
        ("in", '"±1/8 at 30 ft"', 0.125 / 360),
        ("in", '"+/- 1/8 in at 30 ft"', 0.125 / 360),
        ("in", '"3 mm at 10 m"', 3e-4),
        ("in", '"3 mm per 10 m"', 3e-4),
        ("in", '"1/16 per ft"', 1 / 192),
        ("in", '"1/16"', 1 / 192),
        ("in", "0.0625", 1 / 192),
        ("ft", "0.0625", 1 / 192),
        ("ft", '"0.0625"', 1 / 192),
        ("ft", '"1/16"', 1 / 192),
        ("mm", '"3 at 10 m"', 3e-4),
        ("mm", "0.3", 3e-4),
        ("m", "0.3", 3e-4),
        ("cm", '"0.3"', 3e-4),
        ("cm", '"3 mm"', 3e-3),
    ],
)
def test_slopes(unit: str, text: str, slope: float, tmp_path: Path) -> None:
    job = read_text(f'[laser]\naccuracy = {text}\n[job]\nunit = "{unit}"', tmp_path)
    assert job.laser.accuracy == pytest.approx(slope, rel=1e-12)


def test_a_cross_fall_may_be_negative(tmp_path: Path) -> None:
    job = read_text('[[wall]]\nname = "N"\ncross_fall = "-1/8 per ft"', tmp_path)
    assert job.walls[0].cross_fall == pytest.approx(-1 / 96)


@pytest.mark.parametrize(
    ("heading", "line", "fault"),
    [
        ("float", 'rise = "x1"', 'rise "x1": '),
        ("float", "rise = 40", 'rise "40": must be from 0 to 12 in. If it is in millim'),
        ("float", "rise = -1", 'rise "-1": must be from 0 to 12 in'),
        ("float", "rise = nan", 'rise "nan": a finite number is wanted'),
        ("float", "rise = inf", 'rise "inf": a finite number is wanted'),
        ("float", "rise = 1e308", 'rise "1e+308": must be from 0 to 12 in'),
        ("float", f"rise = {'9' * 400}", 'rise "a very large number": a finite number is wanted'),
        ("float", f"rise = 0x{'f' * 9000}", 'rise "a very large number": a finite number is'),
        ("float", "rise = true", 'rise "true": a length is wanted'),
        ("float", "rise = [1]", "rise: a length is wanted"),
        ("float", "rise = { a = 1 }", "rise: a length is wanted"),
        ("float", "rise = 2027-10-04", 'rise "2027-10-04": a length is wanted'),
        ("float", 'rise = ""', "rise: "),
        ("float", "confidence = 1", 'confidence "1": must be from 0.5 to 0.999'),
        ("float", 'confidence = "0.95"', 'confidence "0.95": a plain number is wanted, without'),
        ("float", "confidence = true", 'confidence "true": a number is wanted'),
        ("frame", "precut = [0]", 'precut 1 "0": must be from 1 to 1,200 in'),
        ("frame", 'precut = "92-5/8"', 'precut "92-5/8": a list of lengths in square brackets is'),
        ("frame", "top_plates = 3", 'top_plates "3": 1, 2 or "auto" is wanted'),
        ("frame", "top_plates = true", 'top_plates "true": 1, 2 or "auto" is wanted'),
        ("frame", "top_plates = 1.0", 'top_plates "1.0": 1, 2 or "auto" is wanted'),
        ("frame", 'top = "Levl"', 'top "Levl": "level", "straight", "tight" or "auto" is'),
        ("frame", "stud = 24", 'stud "24": a text in straight quotes is wanted'),
        ("frame", "stud = { a = 1 }", "stud: a text in straight quotes is wanted"),
        ("trim", 'drywall_bottom = "low"', 'drywall_bottom "low": "plate", or a length: '),
        ("trim", "drywall_bottom = true", 'drywall_bottom "true": "plate", or a length: a length'),
        ("laser", 'accuracy = "1/8 on 30"', 'accuracy "1/8 on 30": '),
        ("laser", 'accuracy = "1/8 at 0 ft"', 'accuracy "1/8 at 0 ft": a slope is over some dist'),
        ("laser", "accuracy = 5", 'accuracy "5": must be from 0 to 0.24 in per ft'),
        ("laser", "peg_test = 3", 'peg_test "3": a table is wanted'),
        ("laser", "wall_test = { distance = 9 }", "wall_test difference: is wanted and not given"),
        ("laser", "wall_test = { distance = 9, difference = 0, by = 1 }", "wall_test by: there is"),
        ("job", "surveyed = 20271004", 'surveyed "20271004": a date is wanted, as 2027-10-04'),
        ("job", 'surveyed = "4/10/2027"', 'surveyed "4/10/2027": a date is wanted, as 2027-10-04'),
        ("job", 'surveyed = "2027-02-30"', 'surveyed "2027-02-30": there is no such day'),
        ("job", "surveyed = 2027-10-04T08:00:00", 'surveyed "2027-10-04 08:00:00": a date is'),
        ("job", "surveyed = 08:00:00", "surveyed: a date is wanted"),
        ("job", 'unit = "inch"', 'unit "inch": "in", "ft", "mm", "cm" or "m" is wanted'),
        ("job", 'readings = "a.csv"', 'readings "a.csv": a list of texts in square brackets is'),
        ("job", "readings = [1]", 'readings 1 "1": a text in straight quotes is wanted'),
        ("job", 'name = "a\\u202eb"', r'name "a\u202eb": holds control or text-direction'),
        ("job", 'name = "a\\nb"', r'name "a\nb": holds control or text-direction characters. Type'),
        ("job", f'name = "{"n" * 10_001}"', 'name "nnn'),
        ("lumber", "prices = [-1]", 'prices 1 "-1": must be from 0 to 1,000,000'),
    ],
)  # fmt: skip
def test_a_value_that_does_not_do_says_what_is_wanted(
    heading: str, line: str, fault: str, tmp_path: Path
) -> None:
    (found,) = faults_of(f"[{heading}]\n{line}", tmp_path)
    assert found.startswith(f"job.toml [{heading}] {fault}")


def test_limits_are_told_in_the_unit_of_the_job(tmp_path: Path) -> None:
    text = '[job]\nunit = "mm"\n[float]\nrise = 400\n[laser]\naccuracy = 30'
    assert faults_of(text, tmp_path) == [
        'job.toml [float] rise "400": must be from 0 to 304.8 mm',
        'job.toml [laser] accuracy "30": must be from 0 to 20 mm per m',
    ]


@pytest.mark.parametrize("name", ["Nord-Süd", "$<=[]\"'", "🏠", "👩‍🔧", "=1+1", "n" * 300])
def test_odd_names_are_kept(name: str, tmp_path: Path) -> None:
    quoted = name.replace('"', '\\"')
    job = read_text(f'[[wall]]\nname = "{quoted}"', tmp_path)
    assert job.walls[0].name == name


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("float.rise", "1-1/2", 1.5),
        ("float.widest", "3", 3.0),
        ("float.confidence", "0.9", 0.9),
        ("frame.top", "straight", "straight"),
        ("laser.accuracy", "1/8 at 30 ft", 0.125 / 360),
        ("trim.drywall_bottom", "plate", "plate"),
        ("job.surveyed", "2027-10-04", date(2027, 10, 4)),
    ],
)
def test_an_option_is_read_as_the_job_file_is(key: str, text: str, value: object) -> None:
    assert read_setting(Job(), key, text) == value


@pytest.mark.parametrize(
    ("job", "key", "text", "match"),
    [
        (Job(), "float.rise", "x1", '^float.rise "x1": '),
        (Job(), "float.rise", "40", r'must be from 0 to 12 in. If it is in millimetres, write "40'),
        (Job(), "float.rize", "1", 'no setting is called "float.rize"'),
        (Job(), "frame.top", "levle", 'top "levle": .* is wanted. Perhaps "level"'),
        (IN_MM, "float.rise", "1-1/2", '^float.rise "1-1/2": '),
    ],
)
def test_an_option_that_does_not_do_is_refused(job: Job, key: str, text: str, match: str) -> None:
    with pytest.raises(SurveyError, match=match):
        read_setting(job, key, text)


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_a_plain_option_is_in_the_unit_of_the_job(unit: Unit) -> None:
    job = Job(info=JobInfo(unit=unit))
    inches = 10.0 if unit == "in" else 10 / 25.4
    assert read_setting(job, "float.rise", "10") == pytest.approx(inches, rel=1e-12)
