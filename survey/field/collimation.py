"""The laser's collimation error: found by a peg or two-wall test, judged, and taken out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from survey.errors import Fault, Note, SurveyError
from survey.job import Laser, PegTest, WallTest
from survey.lengths import Unit

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

THIRTY_FEET = 360.0  # in; the distances over which a slope is said
TEN_METRES = 10.0 / 0.0254  # in


@dataclass(frozen=True, kw_only=True)
class Collimation:
    """How far a beam rises with distance, from one test of the laser.

    `error` is the slope of the beam, up positive [in per in]; `misclosure` what the test showed
    and `limit` the most it may show for the stated accuracy [in].
    """

    test: Literal["peg", "wall"]
    error: float
    misclosure: float
    limit: float

    @property
    def within(self) -> bool:
        """Whether the laser keeps its stated accuracy."""
        return abs(self.misclosure) <= self.limit


def judge_laser(laser: Laser) -> Collimation | None:
    """Find the collimation error from the laser's peg test, else its two-wall test.

    Returns None where neither was made. The peg test is taken first, for it is read on a rod as
    the survey is.

    Raises
    ------
    SurveyError
        A peg test whose far distances are not in order.
    """
    if laser.peg_test is not None:
        return peg_error(laser.peg_test, accuracy=laser.accuracy)
    if laser.wall_test is not None:
        return wall_error(laser.wall_test, accuracy=laser.accuracy)
    return None


def peg_error(peg: PegTest, *, accuracy: float) -> Collimation:
    """Collimation error from rod readings at two pegs.

    `near_1` and `near_2` are read from midway, where the error cancels; `far_1` and `far_2` from
    beyond peg 2 on the line through both, `d_far` from peg 1 and `d_near` from peg 2.

    Raises
    ------
    SurveyError
        `d_far` is not greater than `d_near`.

    References
    ----------
    Ghilani, C. D. and Wolf, P. R., *Elementary Surveying*: the horizontal collimation test, from
    memory.

    >>> peg = PegTest(near_1=2.0, near_2=3.0, far_1=1.5, far_2=2.75, d_near=20.0, d_far=120.0)
    >>> round(peg_error(peg, accuracy=0.001).error, 9)
    -0.0025
    """
    baseline = peg.d_far - peg.d_near
    if baseline <= 0.0:
        fault = Fault(
            file="job.toml",
            column="[laser] peg_test",
            wanted="d_far, from the far set-up to peg 1, must be greater than d_near, to peg 2",
            cure="Call the peg next to the far set-up peg 2",
        )
        raise SurveyError(str(fault), faults=[fault])
    misclosure = (peg.far_1 - peg.far_2) - (peg.near_1 - peg.near_2)
    return Collimation(
        test="peg",
        error=misclosure / baseline,
        misclosure=misclosure,
        limit=accuracy * baseline,
    )


def wall_error(wall: WallTest, *, accuracy: float) -> Collimation:
    """Collimation error from beam marks on two walls `distance` apart.

    The beam is marked on both walls from a set-up close to the first; from one close to the
    second it is brought to the mark there, and marked on the first again. `difference` is how far
    that last mark lies above the first: the error over the distance, there and back.

    >>> round(wall_error(WallTest(distance=240.0, difference=0.12), accuracy=0.0004).error, 9)
    0.00025
    """
    there_and_back = 2.0 * wall.distance
    return Collimation(
        test="wall",
        error=wall.difference / there_and_back,
        misclosure=wall.difference,
        limit=accuracy * there_and_back,
    )


def corrected(
    reading: FloatArray, sign: IntArray, distance: FloatArray, *, error: float
) -> FloatArray:
    """Readings with the collimation error taken out; shape (n,) [in].

    `sign` is -1 for a reading down from the beam, which is too long under a rising beam, and +1
    for one up, which is too short. A reading without a `distance` (NaN) stays as it is.

    >>> far, sign = np.array([1.50, 2.75]), np.array([-1, -1])
    >>> corrected(far, sign, np.array([120.0, 20.0]), error=-0.0025).round(9).tolist()
    [1.8, 2.8]
    """
    known = np.where(np.isnan(distance), 0.0, distance)
    return np.asarray(reading + sign * error * known)


def laser_notes(
    found: Collimation | None, *, accuracy: float, corrected_rows: int, rows: int, unit: Unit
) -> tuple[Note, ...]:
    """What the test says of the laser, and how far the slab's slope can be trusted."""
    over = TEN_METRES if unit in ("mm", "cm", "m") else THIRTY_FEET
    notes = []
    if found is not None:
        notes.append(_verdict(found, accuracy=accuracy, over=over))
    if corrected_rows > 0:
        text = f"{corrected_rows} of {rows} rows corrected for the beam's slope"
        notes.append(Note(code="beam-corrected", text=text))
    if corrected_rows < rows:
        text = (
            "the slab's slope is good only to the laser's accuracy, {} at {}: a peg test and the "
            "distance to each spot would take the beam's own slope out"
        )
        notes.append(Note(code="slope-accuracy", text=text, lengths=(accuracy * over, over)))
    return tuple(notes)


def _verdict(found: Collimation, *, accuracy: float, over: float) -> Note:
    name = {"peg": "peg test", "wall": "two-wall test"}[found.test]
    way = "rises" if found.error >= 0.0 else "falls"
    relation = "within" if found.within else "more than"
    cure = "" if found.within else ". Have the laser set, or give the distance to every spot"
    return Note(
        code="laser-within" if found.within else "laser-out",
        level="note" if found.within else "doubt",
        text=f"{name}: the beam {way} {{}} at {{}}, {relation} the stated accuracy of {{}}{cure}",
        lengths=(abs(found.error) * over, over, accuracy * over),
    )
