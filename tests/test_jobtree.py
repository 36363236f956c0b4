"""Tables and keys of a job file: unknown ones, those in the wrong place, those wanted."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobfiles import faults_of


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("[flaot]\nrise = 1", ["[flaot]: there is no such heading. Perhaps float"]),
        (
            "[paint]",
            [
                "[paint]: there is no such heading. Known are job, laser, float, frame, slab_plate"
            ],
        ),
        ("rise = 1", ["rise: stands above the first heading. It belongs under [float]"]),
        ("zzz = 1", ["zzz: stands above the first heading. Put it under a heading, as [float]"]),
        ("[float]\nriise = 1", ["[float] riise: there is no such key. Perhaps rise"]),
        ("[float]\nRise = 1", ["[float] Rise: there is no such key. Perhaps rise"]),
        ("[slab]\nstud = 1", ["[slab] stud: there is no such key. It belongs under [frame]"]),
        ("[slab]\nzzz = 1", ["[slab] zzz: there is no such key"]),
        ('[slab]\n"a\\u202e" = 1', [r"[slab] a\u202e: there is no such key"]),
        (
            '[[wall]]\nname = "N"\nform = "x"',
            ['[[wall]] "N" form: there is no such key. Perhaps from'],
        ),
        ("[[wall]]\nface = 'x'", ["[[wall]] 1 name: is wanted and not given"]),
        ("[[wall]]\nname = 3", ['[[wall]] 1 name "3": a text in straight quotes is wanted']),
        ("[wall]\nname = 'N'", ["[[wall]]: may stand more than once. Head each one [[wall]]"]),
        ("wall = 3", ["[[wall]]: may stand more than once. Head each one [[wall]]"]),
        (
            "[[wall]]\nname = 'N'\n[wall.door]\nat = 9",
            ['[[wall]] "N" door: may stand more than once. Head each one [[wall.door]]'],
        ),
        ("[[float]]\nrise = 1", ["[float]: a table is wanted. Write [float] on a line of its own"]),
        ("float = 2", ['[float] "2": a table is wanted. Write [float] on a line of its own']),
        ("wall = [3]", ['[[wall]] 1 "3": a table is wanted']),
        (
            "[[wall]]\nname = 'N'\n[[wall.door]]\n[[wall.door]]\nat = 9\nwidth = 'x1'",
            [
                '[[wall]] "N" door 2 width "x1": ',
                '[[wall]] "N" door 1 at: is wanted and not given',
                '[[wall]] "N" door 1 width: is wanted and not given',
            ],
        ),
        (
            "[[wall]]\nname = 'N'\n[wall.float]\nrize = 1\ndrop = 'x1'\n[wall.frame]\nstud = 3",
            [
                '[[wall]] "N" float rize: there is no such key. Perhaps rise',
                '[[wall]] "N" float drop "x1": ',
                '[[wall]] "N" frame stud "3": a text in straight quotes is wanted',
            ],
        ),
        ("[[wall]]\nname = 'N'\nfloat = 3", ['[[wall]] "N" float "3": a table is wanted']),
        (
            "[[wall]]\nname = 'N'\nstart = [1]\nend = [1, 2, 3]",
            [
                '[[wall]] "N" start: a pair of lengths is wanted, as [0, 96]',
                '[[wall]] "N" end: a pair of lengths is wanted, as [0, 96]',
            ],
        ),
        (
            "[[section]]\nname = 'a'\n[[obstacle]]\nname = 'b'\nat = [0, 'x1']",
            [
                '[[section]] "a" thickness: is wanted and not given',
                '[[section]] "a" width: is wanted and not given',
                '[[obstacle]] "b" at 2 "x1": ',
                '[[obstacle]] "b" underside: is wanted and not given',
            ],
        ),
    ],
)  # fmt: skip
def test_faults_are_placed_by_table_name_and_key(
    text: str, faults: list[str], tmp_path: Path
) -> None:
    found = faults_of(text, tmp_path)
    assert len(found) == len(faults)
    for line, start in zip(found, faults, strict=True):
        assert line.startswith(f"job.toml {start}")


def test_long_names_are_cut_short_in_messages(tmp_path: Path) -> None:
    (fault,) = faults_of(f"[[mark]]\nname = '{'n' * 300}'\nelevation = 'x1'", tmp_path)
    assert len(fault) < 200
    assert "nnn..." in fault
