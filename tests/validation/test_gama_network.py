"""A one-dimensional network from the documentation of an adjustment program.

Source: Ales Cepek, *GNU Gama* documentation, sample of a levelling network. Observations, heights,
their sd, [pvv], sd of unit weight and largest standardized residual: read there. Unit weight is
5 mm; the sd and the standardized residual printed there are a priori, not scaled by sigma0. Every
tolerance is half a unit of the last digit printed.
"""

from __future__ import annotations

import numpy as np
import pytest

from networks import adjust_legs, heights, leg_standardized, read_legs, stated_sd
from survey.field.levelling import Adjustment

UNIT_WEIGHT = 5.0  # mm


@pytest.fixture(scope="module")
def found() -> Adjustment:
    return adjust_legs(read_legs("gama_one_dimensional.csv"), {"1a": 1000.0})


def test_heights_and_sd(found: Adjustment) -> None:
    height, sd = heights(found), stated_sd(found)
    published = {"4": (998.77513, 3.1), "3": (997.93325, 3.5), "2": (999.27487, 3.1)}
    for name, (value, value_sd) in published.items():
        # 999.274875 is exact and was printed rounded down: hence the one part in a thousand more
        assert height[name] == pytest.approx(value, abs=0.000005005)
        assert sd[name] == pytest.approx(value_sd, abs=0.05)


def test_fit(found: Adjustment) -> None:
    assert found.dof == 5
    assert found.vpv * UNIT_WEIGHT**2 == pytest.approx(146.625, abs=0.0005)
    assert found.sigma0 is not None
    assert found.sigma0 * UNIT_WEIGHT == pytest.approx(5.42, abs=0.005)


def test_largest_standardized_residual_is_on_the_sixth(found: Adjustment) -> None:
    size = np.abs(leg_standardized(found))
    assert int(np.argmax(size)) == 5
    assert size[5] == pytest.approx(1.68, abs=0.005)
