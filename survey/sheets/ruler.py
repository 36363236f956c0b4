"""How numbers are said to the reader: one unit, one ladder of fractions, throughout a report."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from survey import lengths
from survey.job import Job, is_metric, resolve
from survey.wall.studs import Part

Show = Literal["in", "mm"]
COARSEST = 16
FINEST = 64
NEGLIGIBLE = 1e-6


@dataclass(frozen=True, kw_only=True)
class Ruler:
    """Prints lengths in `unit`: inches to 1/`denominator`, millimetres to `decimals` places."""

    unit: Show
    denominator: int = COARSEST
    decimals: int = 0

    @property
    def step(self) -> float:
        """Distance between neighbouring printed lengths [in]."""
        if self.unit == "in":
            return 1.0 / self.denominator
        return lengths.from_unit(10.0**-self.decimals, "mm")

    def length(self, x: float) -> str:
        """A length with its mark.

        >>> Ruler(unit="in").length(92.625), Ruler(unit="mm").length(92.625)
        ('92-5/8"', '2353 mm')
        """
        return lengths.fraction(x, self.denominator) if self.unit == "in" else f"{self.bare(x)} mm"

    def bare(self, x: float) -> str:
        """A length without its mark, for a table whose heading names the unit.

        >>> Ruler(unit="in").bare(0.5), Ruler(unit="mm", decimals=1).bare(0.5)
        ('1/2', '12.7')
        """
        if self.unit == "in":
            return lengths.fraction(x, self.denominator).removesuffix('"')
        return _plain(lengths.to_unit(x, "mm"), self.decimals)

    def said(self, x: float) -> str:
        """A length inside a sentence: one too small for the ladder is a decimal, never a bare 0.

        >>> Ruler(unit="in").said(0.02), Ruler(unit="in").said(0.25)
        ('0.02"', '1/4"')
        """
        small = NEGLIGIBLE < abs(x) < self.step / 2
        return self.fine(x) if small else self.length(x)

    def fine(self, x: float) -> str:
        """A standard deviation or residual: a decimal with its mark.

        >>> Ruler(unit="in").fine(0.0625), Ruler(unit="mm").fine(0.0625)
        ('0.06"', '1.6 mm')
        """
        return self.fine_bare(x) + ('"' if self.unit == "in" else " mm")

    def fine_bare(self, x: float) -> str:
        """A standard deviation or residual without its mark."""
        return _plain(x, 2) if self.unit == "in" else _plain(lengths.to_unit(x, "mm"), 1)

    def long(self, x: float) -> str:
        """A length of a wall, in inches with feet beside them, or in millimetres.

        >>> Ruler(unit="in").long(320.0), Ruler(unit="in").long(9.5)
        ('320" (26 ft 8")', '9-1/2"')
        """
        if self.unit == "mm" or x < 12.0:
            return self.length(x)
        feet, inches = divmod(round(x * self.denominator), 12 * self.denominator)
        return f"{self.length(x)} ({feet} ft {self.length(inches / self.denominator)})"

    @property
    def heading(self) -> str:
        """The unit as a table's heading names it."""
        return "inches" if self.unit == "in" else "mm"

    @property
    def per_run(self) -> tuple[float, str]:
        """Run over which a slope is said [in], and its name."""
        return (12.0, "foot") if self.unit == "in" else (lengths.from_unit(1.0, "m"), "metre")


def ruler_for(job: Job, show: Show | None = None) -> Ruler:
    """The ruler a job's reports are printed with: its own unit unless another is asked for.

    Fractions go at least to sixteenths, finer where the job's `round` is finer; millimetres are
    whole where the job cuts to whole millimetres, else to a tenth.

    >>> ruler_for(Job())
    Ruler(unit='in', denominator=16, decimals=1)
    """
    step = resolve(job, "").round
    unit: Show = ("mm" if is_metric(job) else "in") if show is None else show
    steps_mm = lengths.to_unit(step, "mm")
    whole = abs(steps_mm - round(steps_mm)) < NEGLIGIBLE and steps_mm > 0.5
    return Ruler(unit=unit, denominator=_denominator(step), decimals=0 if whole else 1)


def bit_ruler(ruler: Ruler) -> Ruler:
    """The same ruler for drill bits and shanks, which go in finer steps.

    >>> bit_ruler(Ruler(unit="in")).length(15 / 64)
    '15/64"'
    """
    return Ruler(unit=ruler.unit, denominator=FINEST, decimals=1)


def close_sum(parts: Sequence[Part], ruler: Ruler) -> tuple[tuple[str, str], ...]:
    """Parts as printed (name, length), the last being their sum, exact in the digits printed.

    On the job's own ladder nothing is lost. On another one each part is rounded by itself, and
    what that loses is put into the float gap, the one part nobody cuts.

    >>> close_sum([Part(part="stud", thickness=92.625)], Ruler(unit="in"))
    (('stud', '92-5/8"'), ('', '92-5/8"'))
    """
    steps = [round(part.thickness / ruler.step) for part in parts]
    total = round(sum(part.thickness for part in parts) / ruler.step)
    named = [part.part for part in parts]
    if "float gap" in named:
        steps[named.index("float gap")] += total - sum(steps)
    said = [
        (part.part, ruler.length(count * ruler.step))
        for part, count in zip(parts, steps, strict=True)
        if count
    ]
    return (*said, ("", ruler.length(sum(steps) * ruler.step)))


def percent(share: float) -> str:
    """A probability in words, never a false zero.

    >>> percent(0.0), percent(0.031)
    ('under 0.1 %', '3.1 %')
    """
    return "under 0.1 %" if share < 0.001 else f"{100.0 * share:.1f} %"


def counted(count: int, one: str, many: str = "") -> str:
    """A count with its noun.

    >>> counted(1, "spot"), counted(3, "spot"), counted(2, "set-up")
    ('1 spot', '3 spots', '2 set-ups')
    """
    return f"{count} {one if count == 1 else many or one + 's'}"


def listed(words: Sequence[str]) -> str:
    """Words joined as a sentence lists them.

    >>> listed(["8", "72", "184"])
    '8, 72 and 184'
    """
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _denominator(step: float) -> int:
    """Least denominator of a tape, sixteenths or finer, on which the ladder lies."""
    denominator = COARSEST
    while denominator < FINEST and abs(step * denominator - round(step * denominator)) > 1e-9:
        denominator *= 2
    return denominator if abs(step * denominator % 1.0) < 1e-9 else 2 * COARSEST


def _plain(x: float, decimals: int) -> str:
    """A decimal without a minus before zero."""
    text = f"{x:.{decimals}f}"
    return text.removeprefix("-") if float(text) == 0.0 else text
