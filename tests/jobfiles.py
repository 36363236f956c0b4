"""Job files for tests: one with every key there is, and reading a text as a file would be."""

from __future__ import annotations

from pathlib import Path

import pytest

from survey.errors import SurveyError
from survey.field.jobfile import read_job
from survey.job import Job

EVERY_KEY = """
[job]
name = "Invented house"
surveyed = 2024-09-14
unit = "in"
round = "1/16"
readings = ["readings.csv", "day2.csv"]
leave_out = ["17:down"]

[laser]
reading = "1/16"
accuracy = "1/8 at 30 ft"
peg_test = { near_1 = "48", near_2 = "50", far_1 = 51, far_2 = "53-1/8", d_near = "10 ft", \
d_far = "60 ft" }
wall_test = { distance = "40 ft", difference = "-1/16" }

[[mark]]
name = "Bench"
elevation = "48"
on = "foundation"

[float]
rise = "1-1/2"
drop = "1"
widest = "3"
allowance = "1/8"
confidence = 0.95

[frame]
stud = "2x4"
thickness = "1-1/2"
width = "3-1/2"
spacing = "16"
top_plates = "auto"
precut = ["92-5/8"]
build = "in place"
top = "straight"
bottom = "one length"
section = "12 ft"
pull_up = "1/8"
screw_pull = 150
share_top = "meeting"
joist_height = "8' 1/2\\""
joist_sd = "1/4"
joist_scatter = "1/8"

[slab_plate]
size = "2x4"
thickness = "1-7/16"
count = 2
seal = "0"
anchor_spacing = "32"
anchor_limit = 200.5

[slab]
post_tension = "no"
tubes = "yes"
membrane = "unknown"
straightedge = "10 ft"
tolerance = "1/4"

[spikes]
lengths = ["6", "8", "10"]
spacing = "36"
shank = "17/64"
hole = "21/64"
pilot = "7/32"
grip = "1-1/4"
fyb = 70_000

[trim]
drywall = "1/2"
drywall_bottom = "2-1/4"
filler_height = "3"
lap = "1"
base_height = "5-1/2"
flooring = "0"
jamb = "gauge"

[lumber]
stock = ["8 ft", "10 ft", "12 ft", "16 ft"]
prices = [4.10, 5.35, 6.60, 9]
kerf = "1/8"
carry = "12 ft"

[[wall]]
name = "North"
start = [0, "8 ft"]
end = [160, 96]
length = "160"
from = "stair corner"
face = "south"
joists = "along"
blocking_drop = "1-1/2"
slab_joints = ["100", 120.5]
cross_fall = "1/16"
read_offset = "1"
hang = "top"

[wall.float]
rise = "2"

[wall.frame]
stud = "2x8"
precut = ["104-5/8"]

[wall.trim]
drywall_bottom = "plate"

[wall.spikes]
lengths = ["8"]

[[wall.door]]
at = "60"
width = "34-1/2"
height = "82-1/2"
leaf = "32"
swing = "left"
cover = "1/4"

[[wall.under]]
from = "100"
to = "124"
underside = "84"

[[obstacle]]
name = "Duct"
at = [80, 60]
underside = "90"

[[section]]
name = "2x8"
thickness = "1-1/2"
width = "7-1/4"
"""


def read_text(text: str, folder: Path) -> Job:
    """The job of a text saved as job.toml in a folder."""
    (folder / "job.toml").write_text(text, encoding="utf-8", newline="")
    return read_job(folder)


def faults_of(text: str, folder: Path) -> list[str]:
    """The faults found in a text saved as job.toml, as printed."""
    with pytest.raises(SurveyError, match=r"fault.* in the job file") as caught:
        read_text(text, folder)
    return [str(fault) for fault in caught.value.faults]
