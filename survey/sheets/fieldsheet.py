"""A sheet to print and fill by hand beside the laser: the columns of the readings file."""

from __future__ import annotations

ROWS = 20
COLUMNS = (("set-up", 7), ("wall", 14), ("station", 9), ("down", 11), ("up", 11), ("note", 20))
HEAD = """\
FIELD SHEET                 job ______________________   date ____________

Down: beam to slab. Up: beam to joist. Read both at one spot, every 16 in, and
at each joint, crack and drain. After moving the laser begin a new set-up and
read a mark on the foundation, and two spots already read, again.
"""
FOOT = """\
Before the laser is moved: mark read? two spots for the next set-up chosen?
"""


def field_sheet() -> str:
    """The sheet as plain text, one page of 80 columns.

    >>> max(len(line) for line in field_sheet().splitlines())
    79
    """
    rule = "+" + "+".join("-" * width for _, width in COLUMNS) + "+"
    heads = "|" + "|".join(f" {name}".ljust(width) for name, width in COLUMNS) + "|"
    empty = "|" + "|".join(" " * width for _, width in COLUMNS) + "|"
    body = "\n".join(line for _ in range(ROWS) for line in (empty, rule))
    return f"{HEAD}\n{rule}\n{heads}\n{rule}\n{body}\n\n{FOOT}"
