"""The objects `--json` prints. Version 1 may gain keys and loses none."""

from __future__ import annotations

import json
from collections.abc import Mapping

from survey.sheets.record_plan import plan_record
from survey.sheets.record_slab import slab_record
from survey.sheets.record_survey import survey_record

__all__ = ["dump", "plan_record", "slab_record", "survey_record"]


def dump(record: Mapping[str, object]) -> str:
    r"""One object as one line of JSON, so that several jobs make one line each.

    Raises
    ------
    ValueError
        If a number is not finite: JSON has none such.

    >>> dump({"wall": "Nord", "length": 12.5})
    '{"wall": "Nord", "length": 12.5}\n'
    """
    return json.dumps(record, allow_nan=False, ensure_ascii=False) + "\n"
