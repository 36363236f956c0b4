"""A heavy elastic plank: its section, and the equations of its deflection on many supports.

Between two stations the plank carries its own weight alone, so that its deflection is known
exactly from the heights and moments at both; no finite-difference error is made. The unknowns are
the lift v and the moment M at every station:

    at an inner station   B w - T M = g     the slope is continuous (equation of three moments)
    at every station      B' M + c = f      the contact force f balances weight and shear

with w = surface + v; B takes the change of slope between the chords left and right of a station,
T = tridiag(h/6, (h + h')/3, h'/6) / EI, g = q (h^3 + h'^3) / (24 EI), c = q (h + h') / 2; M is zero
at both ends.

References
----------
Timoshenko, S., *Strength of Materials*, part I: the equation of three moments (from memory;
derived again here by integrating EI w'' = M between stations).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey import standards
from survey.errors import SurveyError
from survey.slab.kriging import FloatArray

REACH = 3
LEAST_RELIEF = 0.01
CUBIC_INCHES_PER_CUBIC_FOOT = 1728.0


@dataclass(frozen=True, kw_only=True)
class Plank:
    """A plank lying flat: what it is made of, and where its stiffness and weight come from.

    Attributes
    ----------
    thickness, width
        Of one board [in].
    stiffness
        Modulus of elasticity [psi].
    weight
        Of all boards together [lb per in].
    boards
        How many lie on one another. Nailed together they slip, so that each bends on its own.
    name, source
        What it is called, and where stiffness and weight come from.
    """

    thickness: float
    width: float
    stiffness: float
    weight: float
    boards: int = 1
    name: str = "plank"
    source: str = ""

    def __post_init__(self) -> None:
        wrong = [
            f"{what} {value:g}"
            for what, value in (
                ("thickness", self.thickness),
                ("width", self.width),
                ("stiffness", self.stiffness),
                ("weight", self.weight),
                ("boards", self.boards),
            )
            if not 0.0 < value < np.inf
        ]
        if wrong:
            raise SurveyError(f"{self.name}: {', '.join(wrong)}: each must be above zero")

    @property
    def inertia(self) -> float:
        """Second moments of area of all boards, width thickness^3 / 12 each [in4]."""
        return self.boards * self.width * self.thickness**3 / 12.0

    @property
    def section_modulus(self) -> float:
        """Moment over greatest stress, width thickness^2 / 6 a board [in3]."""
        return self.boards * self.width * self.thickness**2 / 6.0

    @property
    def rigidity(self) -> float:
        """Stiffness times inertia, EI [lb in2]."""
        return self.stiffness * self.inertia


def lumber_plank(section: standards.LumberSection, *, boards: int = 1) -> Plank:
    """Plank of framing lumber laid flat, with the stiffness and density of the standards.

    >>> plank = lumber_plank(standards.LumberSection(name="2x4", thickness=1.5, width=3.5))
    >>> round(plank.inertia, 6), round(12 * plank.weight, 2)
    (0.984375, 1.28)
    """
    density = standards.DENSITY.value / CUBIC_INCHES_PER_CUBIC_FOOT
    return Plank(
        name=section.name,
        thickness=section.thickness,
        width=section.width,
        stiffness=standards.WOOD_STIFFNESS.value,
        weight=density * section.thickness * section.width * boards,
        boards=boards,
        source=f"E: {standards.WOOD_STIFFNESS.source}; weight: {standards.DENSITY.source}",
    )


@dataclass(frozen=True, kw_only=True, eq=False)
class PlankSystem:
    """The equations, in units in which they are of the order of one.

    Unknown 2 i is the lift at station i over `lift_unit` [in], unknown 2 i + 1 the moment there
    over `moment_unit` [lb in]; forces are over `force_unit` [lb]. `bands[3 + i - j, j]` is the
    coefficient of unknown j in row i, shape (7, 2 n).
    """

    bands: FloatArray
    right: FloatArray
    lift_unit: float
    force_unit: float
    moment_unit: float


def plank_system(station: FloatArray, surface: FloatArray, plank: Plank) -> PlankSystem:
    """Equations of the plank over a surface, shape (n,) each [in], stations strictly ascending."""
    size = station.size
    pitch = float(station[-1] - station[0]) / max(size - 1, 1)
    lift_unit = max(float(np.ptp(detrended(station, surface))), LEAST_RELIEF)
    step = np.diff(station) / (pitch or 1.0)
    supple = plank.weight * pitch**4 / (plank.rigidity * lift_unit)
    right = np.zeros(2 * size)
    right[::2] = -_share_of_weight(step)
    if size > 2:
        left, ahead = step[:-1], step[1:]
        bend = np.diff(np.diff(surface / lift_unit) / step)
        right[3:-1:2] = supple * (left**3 + ahead**3) / 24.0 - bend
    return PlankSystem(
        bands=_bands(step, supple),
        right=right,
        lift_unit=lift_unit,
        force_unit=plank.weight * pitch,
        moment_unit=plank.weight * pitch**2,
    )


def detrended(station: FloatArray, surface: FloatArray) -> FloatArray:
    """Surface less its straight line of best fit; a plank's lift does not depend on that line."""
    lever, height = station - station.mean(), surface - surface.mean()
    spread = float(lever @ lever)
    slope = float(lever @ height) / spread if spread > 0.0 else 0.0
    return np.asarray(height - slope * lever)


def _share_of_weight(step: FloatArray) -> FloatArray:
    """Weight between stations, half to each; a single station is given one to rest by."""
    if step.size == 0:
        return np.ones(1)
    share = np.zeros(step.size + 1)
    share[:-1] += step / 2.0
    share[1:] += step / 2.0
    return share


def _bands(step: FloatArray, supple: float) -> FloatArray:
    size = step.size + 1
    bands = np.zeros((2 * REACH + 1, 2 * size))
    bands[REACH, [1, -1]] = 1.0
    if size < 3:
        return bands
    inner = np.arange(1, size - 1)
    moment = 2 * inner + 1
    left, ahead = step[:-1], step[1:]
    for shift, factor in ((-1, 1 / left), (0, -(1 / left + 1 / ahead)), (1, 1 / ahead)):
        lift = 2 * (inner + shift)
        bands[REACH + moment - lift, lift] = factor
        bands[REACH + lift - moment, moment] = factor
    bands[REACH, moment] = -supple * (left + ahead) / 3.0
    bands[REACH + 2, moment[:-1]] = -supple * ahead[:-1] / 6.0
    bands[REACH - 2, moment[1:]] = -supple * left[1:] / 6.0
    return bands
