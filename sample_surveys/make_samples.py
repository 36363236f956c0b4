"""Make the readings of the invented sample surveys, the same bytes every time.

    python sample_surveys/make_samples.py [FOLDER]

writes them under FOLDER, by default the checkout this file lies in. The walls of a survey stand
in its job.toml; what is planted in its floor, and the order in which it was walked, in invented/.

The floor is one surface over the whole plan, so that walls which meet agree: random waves whose
covariance is that of a Matern 3/2 field, and on it a tilt, a joint with a step, a cone that
falls to a drain and a round hump. Inches inside; elevation up from the job's datum.
"""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

HERE = Path(__file__).resolve().parent
FIRST_ROW = 4  # the line of the first reading, as a spreadsheet counts
MADE_BY = "# Not a real house; made by sample_surveys/make_samples.py."
READING_SD = 1 / 16
UNDULATION_SD = 0.15
UNDULATION_RANGE = 48.0
WAVES = 400
JOIST_SPAN = 168.0
JOIST_SAG = 0.08
INCHES_PER = {"in": 1.0, "mm": 1 / 25.4}

FloatArray = npt.NDArray[np.float64]
Spot = tuple[str, float, str]


@dataclass(frozen=True, kw_only=True)
class Shot:
    """One row as it was walked; lengths [in] but for the station."""

    setup: str
    beam: float
    name: str
    part: str  # both, down, up or flag
    note: str
    station: float = -1.0  # in the survey's unit; -1 for marks and points
    side: str = ""
    flag: str = ""
    cover: float = 0.0
    miss: float = 0.0  # a blunder in the down reading

    @property
    def spot(self) -> Spot:
        """Name, station and lip of the joint."""
        return self.name, self.station, self.side


@dataclass(frozen=True, kw_only=True)
class Line:
    """A wall line in plan [in]; `along` when its joists run along it."""

    start: tuple[float, float] = (0.0, 0.0)
    end: tuple[float, float] = (1.0, 0.0)
    along: bool = False

    def at(self, station: float) -> tuple[float, float]:
        """Return the plan position of a station [in]."""
        span = (self.end[0] - self.start[0], self.end[1] - self.start[1])
        share = station / float(np.hypot(*span))
        return self.start[0] + share * span[0], self.start[1] + share * span[1]


@dataclass(frozen=True, kw_only=True)
class House:
    """What is invented about one survey [in]; `walks` pairs a walk with the file it makes."""

    folder: str
    seed: int
    title: str
    walks: Mapping[str, str]
    columns: str
    unit: str = "in"
    delimiter: str = ","  # a semicolon where the comma is the decimal mark
    under: float = 101.0  # joist undersides, mean
    scatter: float = 1 / 8  # sd of one joist about that mean
    pitch: float = 16.0  # from joist to joist
    tilt: tuple[float, float] = (0.0, 0.0)  # slope of the slab in x and y [in per in]
    joint: tuple[float, float] = (1e9, 0.0)  # x of a slab joint, step from left to right
    drain: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 1.0)  # x, y, height, radius
    hump: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 1.0)  # x, y, height, spread
    marks: Mapping[str, float] = field(default_factory=dict)  # elevations
    points: Mapping[str, tuple[float, float]] = field(default_factory=dict)  # named slab spots
    low_joist: tuple[str, float, float] = ("", 0.0, 0.0)  # wall, station, how much lower


def read_stations(text: str) -> list[float]:
    """Spell out `2,16:48:16`; a lone dot is a mark or point."""
    if text == ".":
        return [-1.0]
    stations: list[float] = []
    for part in text.split(","):
        first, *rest = (int(number) for number in part.split(":"))
        last, step = rest or (first, 1)
        stations += range(first, last + (1 if step > 0 else -1), step)
    return stations


def read_keys(words: Sequence[str]) -> dict[str, Any]:
    """Read `side=- miss=1` as arguments of a shot."""
    pairs = dict(word.split("=") for word in words)
    return {key: float(text) if key in ("cover", "miss") else text for key, text in pairs.items()}


def read_walk(text: str) -> list[Shot]:
    """Read a walk, written in the words of invented/README.md."""
    shots: list[Shot] = []
    setup, beam = "", 0.0
    for line in text.splitlines():
        order, _, note = line.partition(";")
        words = order.split()
        if words[0] == "setup":
            setup, beam = words[1], float(words[2])
        elif words[0] == "kick":
            beam += float(words[1])
        elif words[0] != "#":
            name, stations, part, *keys = words
            shot = Shot(setup=setup, beam=beam, name=name, part=part, note=note.strip())
            shot = replace(shot, **read_keys(keys))
            shots += [replace(shot, station=station) for station in read_stations(stations)]
    return shots


def read_lines(house: House) -> dict[str, Line]:
    """Read the wall lines of a survey's job file [in]; without marks it is one bare wall."""
    if not house.marks:
        return {"Wall": Line()}
    job = tomllib.loads((HERE.parent / house.folder / "job.toml").read_text(encoding="utf-8"))
    scale = INCHES_PER[house.unit]
    return {
        wall["name"]: Line(
            start=(wall["start"][0] * scale, wall["start"][1] * scale),
            end=(wall["end"][0] * scale, wall["end"][1] * scale),
            along=wall.get("joists") == "along",
        )
        for wall in job["wall"]
    }


def draw_waves(rng: np.random.Generator) -> FloatArray:
    """Draw wave numbers in x and y [1/in] and a phase, shape (WAVES, 3).

    A Matern field of smoothness 3/2 in the plane has a bivariate t spectrum with 3 degrees of
    freedom (Rasmussen and Williams, Gaussian Processes for Machine Learning, ch. 4; memory).
    """
    width = np.sqrt(3.0 / rng.chisquare(3.0, WAVES)) / UNDULATION_RANGE
    direction = rng.standard_normal((WAVES, 2))
    phase = rng.uniform(0.0, 2.0 * np.pi, WAVES)
    return np.column_stack((direction * width[:, None], phase))


def slab_height(house: House, waves: FloatArray, place: tuple[float, float], side: str) -> float:
    """Return the elevation of the slab at a place in plan, on the lip `side` of a joint [in]."""
    x, y = place
    ripple = np.cos(waves[:, 0] * x + waves[:, 1] * y + waves[:, 2]).sum()
    height = UNDULATION_SD * float(np.sqrt(2.0 / WAVES) * ripple)
    height += house.tilt[0] * x + house.tilt[1] * y
    joint_x, step = house.joint
    if side == "+" or (side == "" and x >= joint_x):
        height += step
    drain_x, drain_y, fall, radius = house.drain
    height += fall * max(0.0, 1.0 - float(np.hypot(x - drain_x, y - drain_y)) / radius)
    hump_x, hump_y, rise, width = house.hump
    height += rise * float(np.exp(-((x - hump_x) ** 2 + (y - hump_y) ** 2) / (2.0 * width**2)))
    return height


def name_joist(house: House, line: Line, spot: Spot) -> Spot:
    """Name the joist over a spot: blocking is its wall's own, a joist runs over every wall."""
    if line.along:
        return spot[0], spot[1], "block"
    x, y = line.at(spot[1] * INCHES_PER[house.unit])
    return "joist", float(round(x / house.pitch)), str(y > JOIST_SPAN)


def draw_heights(
    house: House, spots: Sequence[Spot], lines: Mapping[str, Line], rng: np.random.Generator
) -> dict[Spot, tuple[float, float]]:
    """Draw the elevations of slab and joist at every spot [in]; a mark has one for both."""
    waves = draw_waves(rng)
    joists = {spot: name_joist(house, lines[spot[0]], spot) for spot in spots if spot[0] in lines}
    names = sorted(set(joists.values()))
    offset = dict(zip(names, rng.normal(0.0, house.scatter, len(names)), strict=True))
    heights = {(mark, -1.0, ""): (height, height) for mark, height in house.marks.items()}
    for point, place in house.points.items():
        heights[point, -1.0, ""] = (slab_height(house, waves, place, ""), np.nan)
    for spot, joist in joists.items():
        place = lines[spot[0]].at(spot[1] * INCHES_PER[house.unit])
        sag = JOIST_SAG * float(np.sin(np.pi * (place[1] % JOIST_SPAN) / JOIST_SPAN))
        low = spot[:2] == tuple(house.low_joist[:2])
        lift = -house.low_joist[2] if low else float(offset[joist])
        heights[spot] = (slab_height(house, waves, place, spot[2]), house.under - sag + lift)
    return heights


def show_length(inches: float, unit: str) -> str:
    """Write a length as the rod shows it: sixteenths of an inch, or half millimetres."""
    if unit == "mm":
        return f"{round(inches * 50.8) / 2:.1f}".replace(".", ",")
    whole, part = divmod(round(inches * 16), 16)
    common = int(np.gcd(part, 16))
    fraction = f" {part // common}/{16 // common}" if part else ""
    return f"{whole}{fraction}".removeprefix("0 ")


def show_row(house: House, shot: Shot, height: tuple[float, float], error: FloatArray) -> str:
    """Write one row of a readings file; `error` holds the errors of its two readings [in]."""
    down = shot.beam - height[0] - shot.cover + shot.miss + float(error[0])
    up = height[1] - shot.beam + float(error[1])
    cells = {
        "setup": shot.setup,
        "wall": shot.name,
        "station": "" if shot.station < 0 else f"{shot.station:g}",
        "side": shot.side,
        "down": show_length(down, house.unit) if shot.part in ("both", "down") else "",
        "up": show_length(up, house.unit) if shot.part in ("both", "up") else "",
        "cover": show_length(shot.cover, house.unit) if shot.cover > 0 else "",
        "flag": shot.flag,
        "note": shot.note,
    }
    return house.delimiter.join(cells[column] for column in house.columns.split(","))


def show_readings(house: House, rows: Sequence[str]) -> str:
    """Write a readings file: what it is, its heading and its rows."""
    heading = house.columns.replace(",", house.delimiter)
    return "\n".join([f"# {house.title}", MADE_BY, heading, *rows, ""])


def show_record(kind: str, **values: object) -> str:
    """Write one table of truth.toml."""
    lines = [
        f'{key} = "{value}"' if isinstance(value, str) else f"{key} = {value:g}"
        for key, value in values.items()
    ]
    return "\n".join([f"\n[[{kind}]]", *lines])


def list_faults(file: str, shots: Sequence[Shot]) -> list[str]:
    """List the planted kicks and blunders by the row a spreadsheet gives them."""
    records = []
    for row, (before, shot) in enumerate(pairwise(shots), start=FIRST_ROW + 1):
        place = {"file": file, "setup": shot.setup}
        if before.setup == shot.setup and before.beam != shot.beam:
            moved = {"after_row": row - 1, "before_row": row, "amount": shot.beam - before.beam}
            records.append(show_record("kick", **place, **moved))
        if shot.miss != 0:
            spot = {"row": row, "wall": shot.name, "station": shot.station, "column": "down"}
            records.append(show_record("blunder", **place, **spot, amount=shot.miss))
    return records


def make_survey(house: House) -> dict[str, str]:
    """Make the files of one survey: text by path."""
    rng = np.random.Generator(np.random.PCG64(house.seed))
    walks = {
        file: read_walk((HERE / "invented" / f"{walk}.txt").read_text(encoding="utf-8"))
        for walk, file in house.walks.items()
    }
    spots = list(dict.fromkeys(shot.spot for shots in walks.values() for shot in shots))
    heights = draw_heights(house, spots, read_lines(house), rng)
    files, faults = {}, []
    for file, shots in walks.items():
        faults += list_faults(file, shots)
        errors = rng.normal(0.0, READING_SD, (len(shots), 2))
        pairs = zip(shots, errors, strict=True)
        rows = [show_row(house, shot, heights[shot.spot], error) for shot, error in pairs]
        files[f"{house.folder}/{file}"] = show_readings(house, rows)
    if faults:
        files[f"{house.folder}/truth.toml"] = "\n".join([f"# {house.title}", MADE_BY, *faults, ""])
    return files


def main() -> None:
    """Write every file under the folder named on the command line."""
    root = Path(sys.argv[1]) if len(sys.argv) > 1 else HERE.parent
    houses = tomllib.loads((HERE / "invented" / "houses.toml").read_text(encoding="utf-8"))
    for table in houses.values():
        for path, text in make_survey(House(**table)).items():
            (root / path).parent.mkdir(parents=True, exist_ok=True)
            (root / path).write_bytes(text.encode("utf-8"))


if __name__ == "__main__":
    main()
