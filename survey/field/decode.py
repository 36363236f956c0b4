"""The bytes of a readings file as text, whatever program wrote them; what is no text is refused."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from pathlib import Path

from survey.errors import Fault, Note, SurveyError

LARGEST_FILE = 100_000_000
SHOWN = 40
# Control characters but for the tab and line feed, and those that turn the text's direction.
HIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff]"
)
_JOINER = "\u200d"  # holds the parts of an emoji together
_FIRST_BYTES = (
    (b"PK\x03\x04", "a workbook or an archive"),
    (b"PK\x05\x06", "an archive"),
    (b"\xd0\xcf\x11\xe0", "a workbook"),
    (b"%PDF", "a PDF"),
    (b"{\\rtf", "a word processor's file"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"\x1f\x8b", "a packed file"),
)
_MARKUP = re.compile(r"\s*<(?:!doctype|html|head|body|table|\?xml|meta)\b", re.IGNORECASE)
_BYTE_ORDER_MARKS = (
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)


@dataclass(frozen=True, kw_only=True)
class FileText:
    """A file's text, its lines ended by line feeds, and the digest of its bytes."""

    file: str
    sha256: str
    text: str
    notes: tuple[Note, ...] = ()


def refusal(file: str, wanted: str, cure: str = "", row: int | None = None) -> SurveyError:
    """An error about a file as a whole, with its one fault."""
    fault = Fault(file=file, row=row, wanted=wanted, cure=cure)
    return SurveyError(str(fault), faults=(fault,))


def shown(text: str) -> str:
    r"""A text as a message may print it: short, on one line, nothing hidden in it.

    >>> shown("a\nb\x07")
    'a b\\x07'
    """
    short = text if len(text) <= SHOWN else text[:SHOWN] + " ..."
    return "".join(
        sign if sign.isprintable() or sign == _JOINER else ascii(sign)[1:-1]
        for sign in " ".join(short.split())
    )


def read_text(path: Path, file: str) -> FileText:
    """Read a file as text: by its byte-order mark, else UTF-8, else UTF-16, else Windows-1252.

    Parameters
    ----------
    path, file
        Where it lies, and what messages call it.

    Raises
    ------
    SurveyError
        If there is no such file, it is too large, or it is no plain text.
    """
    data = _read_bytes(path, file)
    for start, what in _FIRST_BYTES:
        if data.startswith(start):
            raise refusal(file, f"is {what}, not text", "Open it in its program and save as CSV")
    text, notes = _decoded(data, file)
    if _MARKUP.match(text[:1000]):
        raise refusal(file, "is a web page, not a table of text", "Open it and save as CSV")
    if "\0" in text:
        raise refusal(file, "holds zero bytes, so it is no text", "Save as CSV")
    if not text.strip():
        raise refusal(file, "is empty", "Begin with a heading such as station,down,up")
    return FileText(
        file=file,
        sha256=hashlib.sha256(data).hexdigest(),
        text=text.replace("\r\n", "\n").replace("\r", "\n") if "\r" in text else text,
        notes=notes,
    )


def _read_bytes(path: Path, file: str) -> bytes:
    try:
        if path.is_dir():
            raise refusal(file, "is a folder, not a file of readings")
        size = path.stat().st_size
        if size > LARGEST_FILE:
            raise refusal(file, f"has {size:,} bytes; at most {LARGEST_FILE:,} are read")
        return path.read_bytes()
    except FileNotFoundError as error:
        raise refusal(file, "there is no such file", _others_beside(path)) from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise refusal(file, f"cannot be read ({reason})") from error


def _others_beside(path: Path) -> str:
    """What a reader might have meant: the CSV files in the folder."""
    try:
        found = sorted(each.name for each in path.parent.glob("*.csv"))[:8]
    except OSError:
        found = []
    return f"In that folder: {', '.join(found)}" if found else "No CSV file is in that folder"


def _decoded(data: bytes, file: str) -> tuple[str, tuple[Note, ...]]:
    for mark, encoding in _BYTE_ORDER_MARKS:
        if data.startswith(mark):
            return _strictly(data, encoding, file), ()
    try:
        if not _half_zero(data):
            return data.decode("utf-8"), ()
    except UnicodeDecodeError:
        said = f"{file} is no UTF-8: read as Windows text (code page 1252)"
        return _strictly(data, "cp1252", file), (Note(code="code-page", text=said),)
    little = data[1::2].count(0) >= data[::2].count(0)
    return _strictly(data, "utf-16-le" if little else "utf-16-be", file), ()


def _half_zero(data: bytes) -> bool:
    """Whether the start looks like UTF-16: every other byte of plain text is zero there."""
    head = data[:400]
    return len(head) % 2 == 0 and 0.3 * len(head) < head.count(0) <= 0.5 * len(head)


def _strictly(data: bytes, encoding: str, file: str) -> str:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        raise refusal(file, f"is no text in {encoding.upper()}", "Save as CSV UTF-8") from error
