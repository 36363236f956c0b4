"""What each value of a job may be beside the others."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobfiles import faults_of, read_text

NORTH = '[[wall]]\nname = "North"\nlength = 120\n'
DOOR = "[[wall.door]]\nat = {}\nwidth = 30\n"


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("[job]\nreadings = []", ["[job] readings: at least one file is wanted"]),
        ('[job]\nreadings = ["a.csv", "A.csv"]', ['[job] readings "A.csv": stands twice']),
        (
            '[job]\nleave_out = ["17", "17:down", "day 2.csv:17:up", "17:on", "row 3"]',
            [
                f'[job] leave_out "{each}": must be a row, as 17, 17:down or day2.csv:17'
                for each in ("17:on", "row 3")
            ],
        ),
        (
            NORTH + '[[wall]]\nname = " NORTH"',
            ['[[wall]] name " NORTH": two have this name; letter case is not told'],
        ),
        ('[[wall]]\nname = " "', ["[[wall]] 1 name: a name is wanted"]),
        (
            NORTH + '[[mark]]\nname = "north "',
            ['[[mark]] name "north ": is the name of a wall too'],
        ),
        (
            '[[mark]]\nname = "A"\n[[mark]]\nname = "a"',
            ['[[mark]] name "a": two have this name; letter case is not told'],
        ),
        (
            '[float]\nrise = "2"\nwidest = "2"',
            ['[float] widest "2": is less than rise and allowance together (2-1/8")'],
        ),
        (
            '[[wall]]\nname = "N"\n[wall.float]\nrise = "3"\n[float]\nwidest = "3"',
            ['[[wall]] "N" float widest "3": is less than rise and allowance together (3-1/8")'],
        ),
        ("[spikes]\nlengths = []", ["[spikes] lengths: at least one length is wanted"]),
        (
            '[spikes]\nshank = "1/4"\nhole = "1/4"\npilot = "1/4"',
            [
                (
                    "[spikes] hole: must be wider than the shank, or the spike cannot slip; "
                    'drill 5/16"'
                ),
                "[spikes] pilot: must be narrower than the shank, or the spike does not hold",
            ],
        ),
        (
            "[laser.peg_test]\nnear_1 = 9\nnear_2 = 9\nfar_1 = 9\nfar_2 = 9\nd_near = 9\nd_far = 9",
            ["[laser] peg_test: d_far must be greater than d_near"],
        ),
        ("[lumber]\nstock = []", ["[lumber] stock: at least one length is wanted"]),
        ('[lumber]\nstock = ["8 ft", 96]', ["[lumber] stock: has a length twice"]),
        (
            "[lumber]\nprices = [1, 2]",
            ['[lumber] prices "2": 4 are wanted, one for each stock length'],
        ),
        (NORTH + "start = [0, 0]", ['[[wall]] "North" end: start and end go together']),
        (NORTH + "end = [0, 0]", ['[[wall]] "North" start: start and end go together']),
        (
            NORTH + "start = [5, 5]\nend = [5, 5]",
            ['[[wall]] "North" end: is where the wall starts'],
        ),
        (
            '[[wall]]\nname = "N"\nlength = 120\nstart = [0, 0]\nend = [0, 121.5]',
            ['[[wall]] "N" length "120": start and end lie 121-1/2" apart; change one or drop it'],
        ),
        (
            NORTH + "slab_joints = [0, 60, 60, 120]",
            [
                '[[wall]] "North" slab_joints "0": lies at or past an end of the wall',
                '[[wall]] "North" slab_joints "120": lies at or past an end of the wall',
                '[[wall]] "North" slab_joints: has a station twice',
            ],
        ),
        (
            NORTH + DOOR.format(10),
            ['[[wall]] "North" door 1 "-5": its opening starts before the wall does'],
        ),
        (
            NORTH + DOOR.format(60) + DOOR.format(110),
            [
                '[[wall]] "North" door 2 "125": its opening reaches past the wall\'s end at 120"',
            ],
        ),
        (
            NORTH + DOOR.format(60) + DOOR.format(40),
            ['[[wall]] "North" door 1: overlaps door 2'],
        ),
        (
            NORTH + DOOR.format(60) + "leaf = 31",
            ['[[wall]] "North" door 1 leaf "31": is wider than its opening'],
        ),
        (
            NORTH + "[[wall.under]]\nfrom = 9\nto = 9\nunderside = 80",
            ['[[wall]] "North" under 1: `to` must lie beyond `from`'],
        ),
        (
            NORTH + "[[wall.under]]\nfrom = 9\nto = 121\nunderside = 80",
            ['[[wall]] "North" under 1 "121": reaches past the wall\'s end at 120"'],
        ),
        (
            '[job]\nunit = "mm"\n[[wall]]\nname = "N"\nlength = 3000\nslab_joints = [3100]',
            ['[[wall]] "N" slab_joints "3100 mm": lies at or past an end of the wall'],
        ),
    ],
)
def test_values_that_do_not_go_together(text: str, faults: list[str], tmp_path: Path) -> None:
    assert faults_of(text, tmp_path) == [f"job.toml {fault}" for fault in faults]


@pytest.mark.parametrize(
    "text",
    [
        NORTH + "start = [0, 0]\nend = [0, 120.9]",
        NORTH + DOOR.format(15) + DOOR.format(45) + DOOR.format(105),
        NORTH + "slab_joints = [1, 119]\n[[wall.under]]\nfrom = 0\nto = 120\nunderside = 80",
        '[[wall]]\nname = "N"\nslab_joints = [900]\n[[wall.door]]\nat = 5000\nwidth = 30',
        '[float]\nrise = "2"\nwidest = "2-1/8"',
        NORTH + '[wall.frame]\nstud = "2x6"',
        '[job]\nreadings = ["day1/a.csv", "day2/a.csv"]',
    ],
)
def test_values_that_do(text: str, tmp_path: Path) -> None:
    assert read_text(text, tmp_path)


@pytest.mark.parametrize(
    "name",
    ["../a.csv", "a/../../b.csv", "/etc/a.csv", "C:\\\\a.csv", "C:a.csv", "..\\\\a.csv",
     "\\\\a.csv", "\\\\\\\\host\\\\a.csv", "", " ", ".", "x/.."],
)  # fmt: skip
def test_readings_outside_the_folder_are_refused(name: str, tmp_path: Path) -> None:
    (fault,) = faults_of(f'[job]\nreadings = ["{name}"]', tmp_path)
    assert fault.startswith("job.toml [job] readings")
    assert fault.endswith(": must be a file in the job's folder or below it")


def test_unknown_sections_are_told_wherever_they_are_asked_for(tmp_path: Path) -> None:
    text = (
        '[frame]\nstud = "2x5"\n[slab_plate]\nsize = "3x4"\n' + NORTH + '[wall.frame]\nstud = "9x9"'
    )
    faults = faults_of(text, tmp_path)
    assert [fault.split(":")[0] for fault in faults] == [
        'job.toml [frame] stud "2x5"',
        'job.toml [slab_plate] size "3x4"',
        'job.toml [[wall]] "North" frame stud "9x9"',
    ]
    assert all("known are 2x3, 2x4, 2x6, or add a [[section]]" in fault for fault in faults)


def test_a_faulty_section_is_not_also_unknown(tmp_path: Path) -> None:
    text = '[frame]\nstud = "mine"\n[[section]]\nname = "mine"\nthickness = "x1"\nwidth = 3'
    (fault,) = faults_of(text, tmp_path)
    assert fault.startswith('job.toml [[section]] "mine" thickness "x1": ')
