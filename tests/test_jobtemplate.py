"""The text of a new job.toml follows the records, and takes their defaults."""

from __future__ import annotations

import re
from pathlib import Path

from jobfiles import read_text
from survey.field.jobwords import hints_of, key_of
from survey.job import LISTS, TABLES, Door, Job, Mark, Obstacle, Section, Under, WallLine
from survey.sheets.jobremarks import EXAMPLES, REMARKS
from survey.sheets.jobtemplate import NESTED, job_template


def uncommented(text: str) -> str:
    """Every line with one # and one blank taken away."""
    return re.sub(r"^# ?", "", text, flags=re.MULTILINE)


def every_key() -> set[str]:
    records = [(heading, record) for heading, (_, record) in ({**TABLES, **LISTS}).items()]
    records += list(NESTED.values())
    return {
        f"{heading}.{key_of(name)}"
        for heading, record in records
        for name in hints_of(record)
        if name != "overrides" and name not in NESTED
    }


def test_as_it_comes_it_sets_nothing(tmp_path: Path) -> None:
    job = read_text(job_template(), tmp_path)
    assert job == Job(folder=str(tmp_path))


def test_every_line_uncommented_gives_the_defaults(tmp_path: Path) -> None:
    job = read_text(uncommented(job_template()), tmp_path)
    for attribute, record in TABLES.values():
        assert getattr(job, attribute) == record()
    assert job.marks == (Mark(name="Bench"),)
    assert job.sections == (Section(name="2x8", thickness=1.5, width=7.25),)
    assert job.obstacles == (Obstacle(name="Duct", at=(80.0, 60.0), underside=90.0),)
    (wall,) = job.walls
    assert wall == WallLine(
        name="North",
        door=(Door(at=60.0, width=34.5),),
        under=(Under(from_=100.0, to=124.0, underside=84.0),),
        overrides=wall.overrides,
    )
    assert {key: list(own) for key, own in wall.overrides.items()} == {
        "float": ["rise"],
        "frame": ["stud"],
        "trim": ["drywall"],
        "spikes": ["lengths"],
    }


def test_the_examples_too_are_accepted_and_every_key_is_there(tmp_path: Path) -> None:
    once = uncommented(job_template())
    twice = re.sub(r"^# (?=[a-z_0-9]+ = )", "", once, flags=re.MULTILINE)
    job = read_text(twice, tmp_path)
    given = {
        re.sub(r"^(mark|wall|obstacle|section)\.[A-Za-z0-9]+\.", r"\1.", key) for key in job.given
    }
    nested = {key for key in every_key() if key.startswith(("wall.door.", "wall.under."))}
    assert every_key() - nested <= given
    assert all(f"{key.rsplit('.', 1)[-1]} = " in twice for key in nested)
    assert job.laser.peg_test is not None
    assert job.walls[0].door[0].leaf == 32.0


def test_every_key_has_its_remark_and_no_remark_is_without_key() -> None:
    headings = {*TABLES, *LISTS, "wall.door", "wall.under"}
    headings |= {f"wall.{table}" for table in ("float", "frame", "trim", "spikes")}
    assert set(REMARKS) == every_key() | headings
    assert set(EXAMPLES) <= every_key()


def test_remarks_stand_clear_of_the_values() -> None:
    for line in job_template().splitlines():
        if re.match(r"##? [a-z_0-9]+ = ", line):
            assert re.search(r"\S  +# \S", line)
    assert job_template().isascii()
