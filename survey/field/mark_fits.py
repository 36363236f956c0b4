"""How fixed marks agree with one another: hold one, see how the others fit."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from survey.errors import Note
from survey.field import least_squares
from survey.field.book import FieldBook
from survey.field.sights import Sights

CRITICAL = 3.2905  # two-sided 0.001 of the normal distribution (Baarda)


@dataclass(frozen=True, kw_only=True)
class MarkFit:
    """How a fixed mark agrees with the mark that was held to try it.

    `difference` is found - given elevation and `sd` that of the difference, a priori [in]. `fits`
    where |difference| is at most 3.29 sd.
    """

    name: str
    held: str
    difference: float
    sd: float
    fits: bool


def fit_marks(
    book: FieldBook, sights: Sights, problem: least_squares.Differences
) -> tuple[MarkFit, ...]:
    """Try each held spot of `problem` against the first one held.

    Marks that only the holding ties together are tried within their own group of set-ups.
    """
    fixed = np.flatnonzero(~problem.free)
    loose = dataclasses.replace(problem, held=np.full(problem.held.size, np.nan))
    group = np.zeros(problem.held.size, dtype=np.int64)
    group[problem.many] = least_squares.groups(loose)[problem.few]
    _, first = np.unique(group[fixed], return_index=True)
    holders = fixed[first]
    tried = np.setdiff1d(fixed, holders)
    if tried.size == 0:
        return ()
    loose.held[holders] = problem.held[holders]
    found = least_squares.solve(loose)
    sd = np.sqrt(least_squares.variances(found))
    return tuple(
        MarkFit(
            name=book.names[sights.name[spot]].name,
            held=book.names[sights.name[holders[group[spot]]]].name,
            difference=float(found.many[spot] - problem.held[spot]),
            sd=float(sd[spot]),
            fits=bool(abs(found.many[spot] - problem.held[spot]) <= CRITICAL * sd[spot]),
        )
        for spot in tried
    )


def fit_notes(fits: tuple[MarkFit, ...]) -> tuple[Note, ...]:
    """One note a mark tried; a doubt where it does not fit."""
    notes = []
    for fit in fits:
        way = "above" if fit.difference >= 0.0 else "below"
        name, held = (word.replace("{}", "( )") for word in (fit.name, fit.held))
        text = (
            f"mark {name} is found {{}} {way} its given elevation with mark {held} held, "
            f"{abs(fit.difference) / fit.sd:.1f} sd"
        )
        cure = ": one of the two has moved, or an elevation or reading is wrong"
        notes.append(
            Note(
                code="mark-fits" if fit.fits else "mark-misfit",
                level="note" if fit.fits else "doubt",
                text=text if fit.fits else text + cure,
                lengths=(abs(fit.difference),),
            )
        )
    return tuple(notes)
