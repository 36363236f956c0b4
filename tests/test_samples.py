"""The sample surveys: made again byte for byte, and what they promise holds of their numbers."""

from __future__ import annotations

import csv
import subprocess
import sys
import tomllib
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from statistics import mean, pstdev
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parent.parent
SAMPLES = ROOT / "sample_surveys"
EXAMPLE = ROOT / "survey" / "example"
MADE = (
    "sample_surveys/one_wall.csv",
    "sample_surveys/quarry_house/readings.csv",
    "sample_surveys/quarry_house/day2.csv",
    "sample_surveys/metric_cellar/readings.csv",
    "sample_surveys/trouble/readings.csv",
    "sample_surveys/trouble/untied.csv",
    "sample_surveys/trouble/truth.toml",
    "survey/example/readings.csv",
)
FOLDERS = (SAMPLES / "quarry_house", SAMPLES / "metric_cellar", SAMPLES / "trouble", EXAMPLE)
READING_SD = 1 / 16

Row = dict[str, str]
Spot = tuple[str, str, str]


def number(text: str) -> float:
    """Read `52 3/8`, `1-1/2` or `1334,5` without the program's own reader."""
    parts = text.replace("-", " ").replace(",", ".").split()
    return float(sum(Fraction(part) for part in parts))


def read_rows(path: Path, delimiter: str = ",") -> list[Row]:
    """Read a sample's rows, each with the line a spreadsheet gives it under `row`."""
    lines = path.read_text(encoding="utf-8").splitlines()
    first = next(index for index, line in enumerate(lines) if not line.startswith("#"))
    rows = list(csv.DictReader(lines[first:], delimiter=delimiter))
    return [row | {"row": str(first + 2 + index)} for index, row in enumerate(rows)]


def read_toml(path: Path) -> dict[str, Any]:
    """Read a TOML file."""
    return tomllib.loads(path.read_text(encoding="utf-8"))


def spot(row: Row) -> Spot:
    """Name, station and lip of a row."""
    return row["wall"], row["station"], row.get("side", "")


def spots_by_setup(rows: Sequence[Row]) -> dict[str, set[Spot]]:
    """Spots each set-up read."""
    found: dict[str, set[Spot]] = {}
    for row in rows:
        if row["down"] or row["up"]:
            found.setdefault(row["setup"], set()).add(spot(row))
    return found


def read_values(rows: Sequence[Row], setup: str, wall: str, column: str) -> dict[float, float]:
    """Readings of one column on a wall from one set-up, by station; lips and covers left out."""
    mine = [row for row in rows if (row["setup"], row["wall"]) == (setup, wall) and row[column]]
    plain = [row for row in mine if not row.get("side") and not row.get("cover")]
    return {number(row["station"]): number(row[column]) for row in plain}


QUARRY_JOB = read_toml(SAMPLES / "quarry_house" / "job.toml")
DAYS = [SAMPLES / "quarry_house" / file for file in QUARRY_JOB["job"]["readings"]]
QUARRY = [row for day in DAYS for row in read_rows(day)]
PLANTED = read_toml(SAMPLES / "invented" / "houses.toml")["quarry_house"]


def test_script_makes_the_committed_files_again(tmp_path: Path) -> None:
    script = SAMPLES / "make_samples.py"
    done = subprocess.run(
        [sys.executable, str(script), str(tmp_path)], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    made = {path.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("*") if path.is_file()}
    assert made == set(MADE)
    for name in MADE:
        assert (tmp_path / name).read_bytes() == (ROOT / name).read_bytes(), name


def test_every_file_is_labelled_invented() -> None:
    files = [path for path in SAMPLES.rglob("*") if path.suffix in (".csv", ".toml", ".txt", ".md")]
    files += [path for path in EXAMPLE.rglob("*") if path.suffix in (".csv", ".toml")]
    assert len(files) >= 20
    for path in files:
        assert "invented" in path.read_text(encoding="utf-8").casefold(), path


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_walls_hold_their_stations_and_doors(folder: Path) -> None:
    job = read_toml(folder / "job.toml")
    delimiter = ";" if job["job"].get("unit") == "mm" else ","
    rows = [row for file in job["job"]["readings"] for row in read_rows(folder / file, delimiter)]
    for wall in job["wall"]:
        across = [abs(b - a) for a, b in zip(wall["start"], wall["end"], strict=True)]
        assert min(across) == 0, "walls run square to the house"
        stations = [number(row["station"]) for row in rows if row["wall"] == wall["name"]]
        assert 0 <= min(stations) < max(stations) <= max(across)
        for door in wall.get("door", []):
            half = number(door["width"]) / 2
            assert half < number(door["at"]) < max(across) - half


def test_one_wall_takes_a_precut_stud() -> None:
    rows = read_rows(SAMPLES / "one_wall.csv")
    assert list(rows[0])[:3] == ["station", "down", "up"]
    assert len(rows) == 12
    down = [number(row["down"]) for row in rows]
    assert max(down) - min(down) == 0.375
    lowest_joist = min(number(row["up"]) for row in rows)
    clear = [lowest_joist + reading for reading in down]
    precut, plates, rise, allowance = 92.625, 3 * 1.5, 1.5, 0.125
    spare = min(clear) - (precut + plates + rise + allowance)
    assert 0.25 < spare < 0.5, "room for the doubt between readings, and no longer precut"
    assert 99 <= min(clear) < max(clear) <= 99.5


def test_quarry_house_has_the_size_of_a_real_survey() -> None:
    readings = sum(bool(row["down"]) + bool(row["up"]) for row in QUARRY)
    assert 280 <= readings <= 320
    assert 150 <= len(QUARRY) <= 170
    assert len(QUARRY_JOB["wall"]) >= 9
    assert sum(len(wall.get("door", [])) for wall in QUARRY_JOB["wall"]) == 2
    assert {wall.get("joists", "across") for wall in QUARRY_JOB["wall"]} == {"across", "along"}
    walls = {wall["name"] for wall in QUARRY_JOB["wall"]}
    assert walls == {row["wall"] for row in QUARRY if row["station"]}


def test_quarry_house_walls_meet_at_corners_and_tees() -> None:
    walls = {wall["name"]: (wall["start"], wall["end"]) for wall in QUARRY_JOB["wall"]}
    ends = [(name, tuple(end)) for name, pair in walls.items() for end in pair]
    corners = {end for name, end in ends for other, same in ends if other != name and same == end}
    assert (180, 100) in corners
    tees = {
        (name, other)
        for name, (x, y) in ends
        for other, ((x1, y1), (x2, y2)) in walls.items()
        if (x1 < x < x2 and y == y1 == y2) or (y1 < y < y2 and x == x1 == x2)
    }
    assert {("Bedroom", "Hall"), ("Bath", "Hall"), ("Laundry", "Mechanical")} <= tees


def test_quarry_house_set_ups_are_tied() -> None:
    marks = {mark["name"]: mark for mark in QUARRY_JOB["mark"]}
    assert sum(mark["on"] in ("foundation", "column") for mark in marks.values()) >= 2
    assert [name for name, mark in marks.items() if "elevation" in mark] == ["F1"]
    seen = spots_by_setup(QUARRY)
    assert set(seen) == {"A", "B", "C"}
    for one, two in (("A", "B"), ("B", "C")):
        shared = seen[one] & seen[two]
        assert sum(name in marks for name, _, _ in shared) >= 2
        assert sum(name not in marks for name, _, _ in shared) >= 4


def test_quarry_house_joint_steps_down() -> None:
    station, step = PLANTED["joint"]
    lips = {
        (row["setup"], row["side"]): number(row["down"])
        for row in QUARRY
        if (row["wall"], row["station"]) == ("Hall", str(station)) and row["side"]
    }
    assert len(lips) == 4
    falls = [lips[setup, "-"] - lips[setup, "+"] for setup in ("A", "B")]
    assert mean(falls) == pytest.approx(step, abs=3 * READING_SD)


def test_quarry_house_hump_just_spoils_a_level_wall() -> None:
    """A level wall's gap varies by the range of the slab; the hump takes it past the limit."""
    down = read_values(QUARRY, "A", "Store", "down")
    _, at, rise, spread = PLANTED["hump"]
    away = [reading for station, reading in down.items() if abs(station - at) > 2.5 * spread]
    limits = QUARRY_JOB["float"]
    doubt = 0.15
    room = number(limits["widest"]) - number(limits["rise"]) - number(limits["allowance"]) - doubt
    over = max(down.values()) - min(down.values()) - room
    assert 0 < over < rise / 2
    assert max(away) - min(away) < room - 0.1
    highest = min(down, key=lambda station: down[station])
    assert abs(highest - at) <= 8


def test_quarry_house_falls_to_the_drain() -> None:
    flagged = [row for row in QUARRY if row["flag"] == "drain"]
    assert [(row["wall"], row["station"], row["down"]) for row in flagged] == [("Drain", "58", "")]
    down = read_values(QUARRY, "C", "Drain", "down")
    deepest = max(down, key=lambda station: down[station])
    assert abs(deepest - 58) <= 16
    assert down[deepest] - mean((down[2.0], down[108.0])) > 0.4


def test_quarry_house_low_joist_stands_out() -> None:
    wall, station, amount = PLANTED["low_joist"]
    up = read_values(QUARRY, "B", wall, "up")
    low = up.pop(float(station))
    assert low < min(up.values()) - 0.1
    assert mean(up.values()) - low == pytest.approx(amount, abs=0.125)


def test_quarry_house_leaves_two_joists_unread() -> None:
    for setup, wall, station in (("A", "Hall", 144.0), ("C", "Laundry", 96.0)):
        up = read_values(QUARRY, setup, wall, "up")
        assert station in read_values(QUARRY, setup, wall, "down")
        assert station not in up
        assert {station - 16, station + 16} <= set(up)


def test_quarry_house_asks_for_both_precut_and_cut_studs() -> None:
    """With level lines and two top plates: lowest joist over highest slab, in one set-up."""
    doubt, plates = 0.15, 4 * 1.5
    fits = set()
    for wall in ("Hall", "Bedroom", "Play", "Stair", "Bath", "Office", "Drain", "Store"):
        rows = [row for row in QUARRY if row["wall"] == wall]
        setup = max("ABC", key=lambda name: sum(row["setup"] == name for row in rows))
        up = min(read_values(rows, setup, wall, "up").values())
        down = read_values(rows, setup, wall, "down").values()
        spare = up + min(down) - doubt - (92.625 + plates + 1.5 + 0.125)
        widest = up + max(down) - (92.625 + plates)
        if spare >= -READING_SD and widest <= number(QUARRY_JOB["float"]["widest"]) + READING_SD:
            fits.add(wall)
    assert {"Bedroom", "Play", "Stair"} <= fits
    assert fits.isdisjoint({"Bath", "Office", "Drain", "Store"})


def test_metric_cellar_is_written_as_a_metric_sheet_saves() -> None:
    text = (SAMPLES / "metric_cellar" / "readings.csv").read_text(encoding="utf-8")
    rows = read_rows(SAMPLES / "metric_cellar" / "readings.csv", ";")
    assert "." not in "".join(line for line in text.splitlines() if not line.startswith("#"))
    assert len({row["wall"] for row in rows if row["station"]}) == 3
    seen = spots_by_setup(rows)
    assert set(seen) == {"A", "B"}
    assert len(seen["A"] & seen["B"]) >= 3
    clear = [number(row["down"]) + number(row["up"]) for row in rows if row["down"] and row["up"]]
    assert 2400 < min(clear) < max(clear) < 2500


def test_trouble_tripod_was_kicked() -> None:
    rows = read_rows(SAMPLES / "trouble" / "readings.csv")
    kick = read_toml(SAMPLES / "trouble" / "truth.toml")["kick"][0]
    assert (kick["setup"], kick["amount"]) == ("B", 0.4375)
    mine = [row for row in rows if row["setup"] == kick["setup"]]
    elsewhere = {spot(row) for row in rows if row["setup"] != kick["setup"]}
    before = [row for row in mine if int(row["row"]) <= kick["after_row"]]
    after = [row for row in mine if int(row["row"]) >= kick["before_row"]]
    assert len(before) + len(after) == len(mine)
    assert sum(spot(row) in elsewhere for row in before) >= 2
    assert sum(spot(row) in elsewhere for row in after) >= 2
    marks = {
        mark: [number(row["down"]) for row in mine if row["wall"] == mark] for mark in ("M1", "M2")
    }
    moved = mean(late - early for early, late in marks.values())
    assert moved == pytest.approx(kick["amount"], abs=3 * READING_SD)


def test_trouble_blunder_shows_among_three_readings() -> None:
    rows = read_rows(SAMPLES / "trouble" / "readings.csv")
    blunder = read_toml(SAMPLES / "trouble" / "truth.toml")["blunder"][0]
    bad = next(row for row in rows if row["row"] == str(blunder["row"]))
    assert (bad["wall"], number(bad["station"])) == (blunder["wall"], blunder["station"])
    clear = [number(row["down"]) + number(row["up"]) for row in rows if spot(row) == spot(bad)]
    wrong = number(bad["down"]) + number(bad["up"])
    clear.remove(wrong)
    assert len(clear) == 2
    assert pstdev(clear) < 2 * READING_SD
    assert wrong - mean(clear) == pytest.approx(blunder["amount"], abs=5 * READING_SD)


def test_trouble_untied_set_ups_share_nothing() -> None:
    seen = spots_by_setup(read_rows(SAMPLES / "trouble" / "untied.csv"))
    assert set(seen) == {"D", "E"}
    assert seen["D"].isdisjoint(seen["E"])
    assert not {name for name, _, _ in seen["D"]} & {name for name, _, _ in seen["E"]}


def test_example_is_small_and_takes_a_precut_stud() -> None:
    rows = read_rows(EXAMPLE / "readings.csv")
    job = read_toml(EXAMPLE / "job.toml")
    assert [wall["name"] for wall in job["wall"]] == ["Hall", "Closet"]
    assert job["wall"][0]["end"] == job["wall"][1]["start"]
    seen = spots_by_setup(rows)
    assert len(seen["A"] & seen["B"]) >= 3
    for setup, wall in (("A", "Hall"), ("B", "Closet")):
        up = min(read_values(rows, setup, wall, "up").values())
        down = min(read_values(rows, setup, wall, "down").values())
        assert up + down - (92.625 + 3 * 1.5 + 1.5 + 0.125) > 0.2
