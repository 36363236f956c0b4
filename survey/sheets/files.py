"""Writing files: targets checked before anything is computed, each written whole or not at all."""

from __future__ import annotations

import os
import re
import secrets
import unicodedata
from collections.abc import Iterable, Mapping
from pathlib import Path

from survey.errors import Fault, SurveyError

LONGEST_SLUG = 80  # bytes; leaves room for a suffix within the 255 of every common file system
DEVICES = frozenset(
    ["con", "prn", "aux", "nul", "conin$", "conout$"]
    + [f"{device}{n}" for device in ("com", "lpt") for n in "0123456789¹²³"]
)
UNNAMED = "unnamed"


def check_targets(targets: Iterable[Path], *, overwrite: bool) -> None:
    """Refuse targets that cannot or must not be written; all of them in one report.

    Parameters
    ----------
    targets
        Files about to be written; folders that do not exist yet will be made.
    overwrite
        Whether existing files may be replaced.

    Raises
    ------
    SurveyError
        With a fault for every target that exists, is a folder, lies under a file, or lies in a
        folder that may not be written to.
    """
    faults = [
        fault
        for fault in (_fault(target, overwrite=overwrite) for target in dict.fromkeys(targets))
        if fault is not None
    ]
    if faults:
        count = "1 file" if len(faults) == 1 else f"{len(faults)} files"
        raise SurveyError(f"{count} cannot be written; nothing was done", faults=faults)


def _fault(target: Path, *, overwrite: bool) -> Fault | None:
    if target.is_dir():
        return Fault(file=str(target), wanted="is a folder; name a file")
    if target.exists() and not overwrite:
        return Fault(
            file=str(target), wanted="exists already", cure="Use --overwrite to replace it"
        )
    above = next((p for p in target.absolute().parents if os.path.lexists(p)), None)
    if above is None or not above.is_dir():
        return Fault(file=str(target), wanted=f"{above} is no folder")
    if not os.access(above, os.W_OK | os.X_OK):
        return Fault(file=str(target), wanted=f"the folder {above} may not be written to")
    return None


def write_files(contents: Mapping[Path, bytes]) -> None:
    """Write files so that each is either its old self or whole.

    Everything is first written and synced beside its target; only when all of it is on the disk
    are the targets replaced.

    Parameters
    ----------
    contents
        Bytes by target; folders are made as needed.

    Raises
    ------
    SurveyError
        If the disk or the folder refuses; what was written beside the targets is removed.
    """
    written: dict[Path, Path] = {}
    target = Path()
    try:
        for target, data in contents.items():
            target.parent.mkdir(parents=True, exist_ok=True)
            written[target] = beside = _name_beside(target)
            _write_synced(beside, data)
        for target, beside in written.items():
            beside.replace(target)
    except OSError as error:
        raise SurveyError(f"{target}: cannot be written ({error.strerror or error})") from error
    finally:
        for beside in written.values():
            beside.unlink(missing_ok=True)


def _name_beside(target: Path) -> Path:
    """A new name in the same folder, so that replacing does not cross file systems."""
    return target.with_name(f".{target.name[:40]}.{secrets.token_hex(8)}.part")


def _write_synced(path: Path, data: bytes) -> None:
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def slugs(names: Iterable[str]) -> tuple[str, ...]:
    """File names for people's names: one each, in order, all different without regard to case.

    Letters and digits of any script are kept; all else becomes one hyphen. No slug is a device
    name, starts with a dot, or leads out of its folder; none is over 80 bytes.

    >>> slugs(["North wall", "north-WALL", "../../etc", "CON", "<b>"])
    ('north-wall', 'north-wall-2', 'etc', 'con-wall', 'b')
    """
    taken: set[str] = set()
    found = []
    for name in names:
        base = _slug(name)
        slug, n = base, 1
        while slug in taken:
            n += 1
            ending = f"-{n}"
            slug = _cut(base, LONGEST_SLUG - len(ending)) + ending
        taken.add(slug)
        found.append(slug)
    return tuple(found)


def _slug(name: str) -> str:
    plain = unicodedata.normalize("NFC", name.casefold())
    words = re.findall(r"[^\W_]+", plain)
    slug = _cut("-".join(words), LONGEST_SLUG) or UNNAMED
    return f"{slug}-wall" if slug in DEVICES else slug


def _cut(text: str, most: int) -> str:
    """The text cut to so many bytes of UTF-8, at a character."""
    return text.encode()[:most].decode(errors="ignore").strip("-")
