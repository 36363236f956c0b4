"""From the text of job.toml to its tables; each line that does not parse is shown with its cure."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from typing import Any

from survey.errors import Fault
from survey.field.jobwords import plain

MOST_SLIPS = 50
CURLY = "“”„‟‘’‚″′"
_PAIR = re.compile(r"(\s*([A-Za-z0-9_-]+)\s*)=\s*(.+)")
_DATE = re.compile(r"[0-9]{1,4}([/.-])[0-9]{1,2}\1[0-9]{1,4}")
_ANY_DATE = "2000-01-01"


@dataclass(frozen=True, kw_only=True)
class Slip:
    """A line that does not parse: what to do, and the line as it may be meant, if one can tell."""

    cure: str
    mended: str | None = None


def parse_tables(text: str, file: str) -> tuple[dict[str, Any], list[Fault]]:
    r"""The tables of a TOML text, and a fault for each line that does not parse.

    A line whose cure is plain is read as if cured, only so that the lines after it are looked at
    too; its fault stays, so nothing is computed from the guess. Tables are empty where a line
    cannot be mended.

    >>> tables, faults = parse_tables("[float]\nrise = 1-1/2\ndrop = 1", "job.toml")
    >>> tables
    {'float': {'rise': '1-1/2', 'drop': 1}}
    >>> faults[0].column, faults[0].found
    ('line 2', 'rise = 1-1/2')
    """
    lines = text.replace("\r\n", "\n").split("\n")
    faults: list[Fault] = []
    for _ in range(MOST_SLIPS):
        try:
            return tomllib.loads("\n".join(lines)), faults
        except (ValueError, RecursionError) as error:
            at = _line_of(error, lines)
            slip = _slip(lines, at, str(error))
            found = plain(lines[at].strip())
            faults.append(
                Fault(
                    file=file,
                    column=f"line {at + 1}",
                    found=found,
                    wanted="cannot be read",
                    cure=slip.cure,
                )
            )
            if slip.mended is None or slip.mended == lines[at]:
                break
            lines[at] = slip.mended
    return {}, faults


def _line_of(error: Exception, lines: list[str]) -> int:
    """Index of the line a parser's error is about, or of the line that opened its open list."""
    found = re.search(r"line (\d+)", str(error))
    if found:
        at = min(int(found[1]), len(lines)) - 1
    elif "end of document" in str(error):
        at = max((i for i, line in enumerate(lines) if line.strip()), default=0)
    else:
        return max(range(len(lines)), key=lambda i: len(lines[i]))
    opened = _open_list(lines, at)
    return at if opened is None else opened


def _open_list(lines: list[str], at: int) -> int | None:
    """Index of a line above that opens a list which nothing closes before the next key."""
    for first in range(at - 1, -1, -1):
        pair = _PAIR.fullmatch(lines[first])
        if pair is None and not _is_heading(lines[first]):
            continue
        if pair is None or not pair[3].startswith("["):
            return None
        rest = [pair[3]]
        for line in lines[first + 1 :]:
            if _PAIR.fullmatch(line) or _is_heading(line):
                break
            rest.append(line)
        bare = re.sub(r'"[^"]*"|#.*', "", "\n".join(rest))
        return first if bare.count("[") > bare.count("]") else None
    return None


def _is_heading(line: str) -> bool:
    return re.fullmatch(r"\s*\[{1,2}[A-Za-z_.]+\]{1,2}\s*(#.*)?", line) is not None


def _slip(lines: list[str], at: int, reason: str) -> Slip:
    """What is wrong with a line, as far as one can tell."""
    line = lines[at]
    pair = _PAIR.fullmatch(line)
    if re.search(r"overwrite|twice|mutate|redefine", reason):
        mended = None if pair is None else "#" + line
        return Slip(cure="This key or heading stands twice; keep one", mended=mended)
    if pair is not None and pair[3].startswith("["):
        return Slip(cure='Write a list as ["8 ft", "10 ft"], closed by ]')
    if pair is not None and not pair[3].startswith("{"):
        return _unquoted(pair)
    stripped = line.strip()
    if stripped.startswith("["):
        return Slip(cure="Write a heading as [float], or [[wall]], on a line of its own")
    if stripped.startswith(("//", ";", "--", "/*")):
        return Slip(cure="A remark begins with #", mended="#" + line)
    if re.match(r"[A-Za-z_]+\s*[:\s]\s*\S", stripped) and "=" not in stripped:
        return Slip(cure="Write key = value, with an equals sign", mended="#" + line)
    return Slip(cure="A line is [heading], key = value, or a remark after #")


def _unquoted(pair: re.Match[str]) -> Slip:
    """A value that wants straight quotes, or is a date."""
    before, key, value = pair[1], pair[2], pair[3]
    bare = re.split(r"\s#", value, maxsplit=1)[0].strip().strip(f"\"',;{CURLY}").strip()
    bare = re.sub(r'["\\\x00-\x1f\x7f]', "", bare)
    quoted = f'{key} = "{plain(bare)}"'
    if _DATE.fullmatch(bare):
        cure = "Write a date as year-month-day without quotes, as 2027-10-04"
        return Slip(cure=cure, mended=f"{before}= {_ANY_DATE}")
    if any(quote in value for quote in CURLY):
        cure = f"Those are curly quotes; straight ones are wanted: {quoted}"
    else:
        cure = f"Put lengths and names in straight quotes: {quoted}"
    return Slip(cure=cure, mended=f'{before}= "{bare}"')
