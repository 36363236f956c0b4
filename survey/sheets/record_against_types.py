"""What `plan --against --json` says of an earlier plan, in the units of `record_types`."""

from __future__ import annotations

from typing import Literal, TypedDict


class CountedRecord(TypedDict):
    """Studs of one length."""

    length: float
    count: int


class SideRecord(TypedDict):
    """What one of two plans says of a wall."""

    studs: list[CountedRecord]
    top: str
    gap_least: float
    assured_least: float
    gap_greatest: float


class AlreadyCutRecord(TypedDict):
    """Studs the earlier plan cut; `misses` names the limit they miss by most, by `short_by`."""

    length: float
    count: int
    still_good: bool
    misses: str | None
    short_by: float


class WallChangeRecord(TypedDict):
    """A wall then and now: `old` is null for a new one, `new` for one that is gone.

    `top_rise` is by how much the top plate lies higher, null where the datum is another.
    """

    wall: str
    status: Literal["same", "changed", "new", "gone"]
    old: SideRecord | None
    new: SideRecord | None
    top_rise: float | None
    already_cut: list[AlreadyCutRecord]


class AgainstRecord(TypedDict):
    """An earlier plan against this one."""

    file: str
    sha256: str
    surveyed: str | None
    walls: list[WallChangeRecord]
