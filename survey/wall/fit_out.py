"""What is fitted to a hung wall: spikes, trim, doors, the travel they leave, and standing it up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from survey.errors import Note
from survey.job import WallSettings
from survey.wall.clearance import Clearance, clearance_notes, travel_table
from survey.wall.doorways import Doorway, hang_doors
from survey.wall.lines import BareWall
from survey.wall.spike_notes import spike_notes
from survey.wall.spikes import Spike, plan_spikes
from survey.wall.standing import WallSection, stand_up, standing_notes
from survey.wall.studs import Hung, Stud
from survey.wall.trim_lines import TrimLines, trim_lines


@dataclass(frozen=True, kw_only=True, eq=False)
class FitOut:
    """Everything that is fitted to a wall, with what to know of it."""

    spikes: tuple[Spike, ...]
    trim: TrimLines
    doors: tuple[Doorway, ...]
    clearances: tuple[Clearance, ...]
    sections: tuple[WallSection, ...]
    notes: tuple[Note, ...]


def fit_out(bare: BareWall, wall: Hung, studs: Sequence[Stud], settings: WallSettings) -> FitOut:
    """Spikes, drywall, base and doors of a hung wall, and the sections it is stood up in.

    Raises
    ------
    SurveyError
        If a hole the job gives binds on the shank of a spike that is used.
    """
    spiking = plan_spikes(bare.layout, wall, settings)
    trim = trim_lines(bare, wall, settings)
    doors = hang_doors(bare.layout, wall, settings)
    sections = stand_up(bare, wall, studs, settings)
    return FitOut(
        spikes=spiking.spikes,
        trim=trim,
        doors=doors,
        clearances=travel_table(bare, wall, spiking.spikes, trim, doors),
        sections=sections,
        notes=(
            *spike_notes(spiking, wall, settings),
            *clearance_notes(bare, trim, doors, settings),
            *standing_notes(sections, settings),
        ),
    )
