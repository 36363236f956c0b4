"""Whether a simulation bears out a claimed rate."""

from __future__ import annotations

from scipy.special import bdtr

ONE_IN_A_THOUSAND = 0.999


def within_claim(failures: int, n: int, rate: float) -> bool:
    """Whether so many failures of n are believable at the claimed rate (0.1 % bound).

    >>> within_claim(99, 1500, 0.05), within_claim(110, 1500, 0.05)
    (True, False)
    """
    return failures == 0 or bool(bdtr(failures - 1, n, rate) < ONE_IN_A_THOUSAND)
