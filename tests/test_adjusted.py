"""An adjustment in which nothing was levelled, and what still can be asked of it."""

from __future__ import annotations

import numpy as np
import pytest

from fieldbooks import field_book
from survey.errors import SurveyError
from survey.field.levelling import adjust
from survey.field.quality import judge_quality
from survey.job import Laser


def test_clear_heights_alone_make_an_adjustment_without_spots() -> None:
    found = adjust(field_book([{"station": 8.0, "clear": 99.0}]), Laser())
    assert (found.dof, found.sigma0, found.passed, found.datum.kind) == (0, None, None, "none")
    assert found.spots.name.size == found.observations.reading.size == 0
    assert np.isnan(found.beams).all()
    assert found.sd_scaled.size == 0
    (note,) = found.notes
    assert (note.code, note.level) == ("nothing-levelled", "doubt")
    assert note.text.startswith("TAPE ONLY")
    assert not found.spots.elevation.flags.writeable


def test_its_quality_is_an_answer() -> None:
    quality = judge_quality(adjust(field_book([{"station": 8.0, "clear": 99.0}]), Laser()))
    assert quality.findings.found == ()
    assert quality.uncheckable.size == 0


def test_nothing_at_all_is_still_refused() -> None:
    with pytest.raises(SurveyError, match="no row has a down or up reading"):
        adjust(field_book([{"station": 8.0}]), Laser())
