"""A survey judged as a whole, and how it is told: terminal, JSON, exit code."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from books import Row, book_of
from survey.cli import cli
from survey.field.jobfile import read_job
from survey.field.levelling import adjust
from survey.field.readings import read_readings
from survey.job import Job, Laser
from survey.slab.judgement import Judgement, judge

SAMPLES = Path(__file__).parents[1] / "sample_surveys"


def _sample(name: str) -> Judgement:
    job = read_job(SAMPLES / name)
    return judge(adjust(read_readings(job), job.laser), job)


def _command(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(cli, ["survey", *words])
    return result.exit_code, result.stdout


def test_trouble_names_the_bad_row_and_the_kicked_tripod() -> None:
    judged = _sample("trouble")
    assert judged.suspects
    (misread,) = judged.quality.misread
    assert (misread.place.row, misread.column) == (15, "down")
    assert misread.amount == pytest.approx(1.0, abs=0.1)
    (kick,) = judged.quality.kicks
    assert kick.setup == "B"
    assert kick.after.row <= 26 < 27 <= kick.before.row
    assert kick.amount == pytest.approx(7 / 16, abs=0.1)
    assert len(judged.read_again) == 2


@pytest.mark.parametrize("name", ["quarry_house", "metric_cellar", "one_wall.csv"])
def test_sound_samples_are_not_accused(name: str) -> None:
    judged = _sample(name)
    assert not judged.suspects
    assert judged.read_again == ()


def test_the_terminal_ends_its_answer_with_what_to_read_again() -> None:
    code, text = _command(str(SAMPLES / "trouble"), "-q")
    assert code == 0
    told = [line for line in text.splitlines() if line.startswith("READ AGAIN")]
    assert len(told) == 2
    assert "row 15" in told[1]


def test_json_marks_suspects_groups_kicks_and_neighbours() -> None:
    code, text = _command(str(SAMPLES / "trouble"), "--json")
    assert code == 0
    record = json.loads(text)
    suspects = [one for one in record["residuals"] if one["suspect"]]
    assert [(one["row"], one["surface"]) for one in suspects] == [(15, "slab")]
    assert all(one["group"] is not None for one in suspects)
    (kick,) = record["kick"]
    assert kick["setup"] == "B"
    assert kick["amount"] == pytest.approx(0.448, abs=0.01)
    stand_out = [one for one in record["neighbours"] if one["suspect"]]
    assert {one["row"] for one in stand_out} <= {9, 15, 27, 38}
    checked = [one["smallest_detectable"] for one in record["residuals"]]
    assert any(value is None for value in checked)
    assert min(value for value in checked if value is not None) > 0.2


def test_check_fails_where_something_is_suspected() -> None:
    assert _command(str(SAMPLES / "trouble"), "--check")[0] == 3
    assert _command(str(SAMPLES / "quarry_house"), "--check")[0] == 0


def test_a_survey_without_a_wall_is_judged_too() -> None:
    rows = [Row(name="P", down=50.0), Row(name="Q", down=51.0)]
    judged = judge(adjust(book_of(rows), Laser()), Job())
    assert judged.neighbours.tested == ()
    assert not judged.suspects
