"""What nobody gave and was taken for granted, and what must be asked before the slab is touched."""

from __future__ import annotations

from dataclasses import dataclass

from survey.job import ASKED_FOR, Job, SlabFacts, find_wall, resolve, settings_of

# Settings that change a stud length or a promise, in the order they are listed.
COUNTS = (
    *ASKED_FOR,
    "float.allowance",
    "laser.reading",
    "frame.stud",
    "frame.spacing",
    "frame.top_plates",
    "frame.precut",
    "slab_plate.size",
    "slab_plate.thickness",
    "slab_plate.count",
    "slab_plate.seal",
    "spikes.lengths",
    "trim.drywall",
)


@dataclass(frozen=True, kw_only=True)
class Gate:
    """Whether the slab may be drilled or ground: `asked` names what must be settled first."""

    asked: tuple[str, ...]
    tendons: bool

    @property
    def closed(self) -> bool:
        """Whether something must be asked before the slab is touched."""
        return bool(self.asked)


def taken_values(job: Job) -> dict[str, object]:
    """Settings that count and were not given, by dotted key, each with the value taken.

    >>> list(taken_values(Job()))[:2]
    ['float.rise', 'float.drop']
    """
    settings = settings_of(job)
    taken = {key: settings[key].value for key in COUNTS if settings[key].origin == "default"}
    if "slab_plate.thickness" in taken:
        taken["slab_plate.thickness"] = resolve(job, "").slab_board.thickness
    return taken


def float_assumed(job: Job, wall: str) -> tuple[str, ...]:
    """Which of rise and drop nobody gave for that wall.

    >>> float_assumed(Job(), "North")
    ('rise', 'drop')
    """
    own = find_wall(job, wall).overrides.get("float", {})
    settings = settings_of(job)
    names = (key.removeprefix("float.") for key in ASKED_FOR)
    return tuple(
        name for name in names if name not in own and settings[f"float.{name}"].origin == "default"
    )


def drilling_gate(slab: SlabFacts) -> Gate:
    """What is still to be asked, or is known to lie in the slab, before drilling or grinding.

    >>> drilling_gate(SlabFacts(post_tension="no", tubes="no")).asked
    ('the membrane under the slab (not known)',)
    """
    lies_there = {
        "post-tension tendons": slab.post_tension,
        "heating tubes": slab.tubes,
        "the membrane under the slab": slab.membrane,
    }
    state = {"yes": "there is some", "unknown": "not known"}
    return Gate(
        asked=tuple(f"{what} ({state[s]})" for what, s in lies_there.items() if s != "no"),
        tendons=slab.post_tension != "no",
    )
