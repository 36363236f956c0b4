"""JSON of the slab: straightedge, F-numbers, the plate on it."""

from __future__ import annotations

import json

import numpy as np
import pytest

from plans import SAMPLES, sample, wavy_house
from small_houses import house_of, rows_of
from survey.lengths import to_unit
from survey.sheets.record import dump, plan_record, slab_record
from survey.sheets.record_head import plain


@pytest.mark.parametrize("name", SAMPLES)
def test_straightedge_and_contact_are_those_computed(name: str) -> None:
    house = sample(name)
    unit = house.job.info.unit
    for found, wall in zip(slab_record(house)["walls"], house.walls, strict=True):
        bar, contact = found["straightedge"], found["contact"]
        assert bar is not None
        assert contact is not None
        computed = wall.evenness.straightedge
        assert bar["gap"] == plain(to_unit(computed.gap, unit))
        assert bar["contacts"] == [plain(to_unit(x, unit)) for x in computed.contacts]
        assert bar["keeps"] == (bar["gap"] <= bar["tolerance"] + 1e-6)
        voids = [void for piece in wall.plate.pieces for void in piece.voids]
        assert [v["depth"] for v in contact["voids"]] == [
            plain(to_unit(v.depth, unit)) for v in voids
        ]
        pulls = [anchor.pull for piece in wall.plate.pieces for anchor in piece.anchors]
        assert [anchor["pull"] for anchor in contact["anchors"]] == [plain(x) for x in pulls]
        assert contact["stress"] == plain(max(piece.stress for piece in wall.plate.pieces))


@pytest.mark.parametrize("name", SAMPLES)
def test_plan_and_slab_agree_on_anchors_and_splices(name: str) -> None:
    house = sample(name)
    for planned, found in zip(
        plan_record(house)["walls"], slab_record(house)["walls"], strict=True
    ):
        assert found["contact"] is not None
        assert planned["anchors"] == found["contact"]["anchors"]
        assert planned["anchors"]
        ends = [piece["to"] for piece in planned["bottom"]["pieces"]]
        assert all(0.0 < splice < max(ends) for splice in planned["splices"])
    hall = plan_record(sample("quarry_house"))["walls"][0]
    assert hall["splices"] == [200.0]


def test_f_numbers_of_a_straight_slab_are_null_and_not_infinite() -> None:
    (wall,) = slab_record(house_of(rows_of("North", [0.0] * 24)))["walls"]
    flatness = wall["flatness"]
    assert flatness is not None
    assert flatness["FF"] is None
    assert flatness["FL"] is None
    assert flatness["class"] == "super flat"
    assert "Infinity" not in dump(slab_record(house_of(rows_of("North", [0.0] * 24))))


def test_f_numbers_of_a_short_line_are_null_altogether() -> None:
    (wall,) = slab_record(house_of(rows_of("North", [0.0, 0.1])))["walls"]
    assert wall["flatness"] is None
    assert wall["straightedge"] is not None


def test_known_f_numbers_are_given_with_their_standing() -> None:
    house = sample("quarry_house")
    found = slab_record(house)["walls"][0]["flatness"]
    computed = house.walls[0].evenness.f_numbers
    assert found is not None
    assert found["FF"] == plain(computed.flatness.value)
    assert found["estimate"] is True
    assert found["class"] == computed.floor_class


def test_a_line_that_is_not_hung_has_no_plate() -> None:
    (wall,) = slab_record(wavy_house("W", 160.0, wall={"hang": "none"}))["walls"]
    assert wall["contact"] is None
    assert wall["straightedge"] is not None


def test_voids_lie_inside_the_wall_and_json_has_plain_truths() -> None:
    record = json.loads(dump(slab_record(sample("quarry_house"))))
    voids = [(wall, v) for wall in record["walls"] for v in wall["contact"]["voids"]]
    assert {type(void["open_end"]) for _, void in voids} == {bool}
    for wall, void in voids:
        assert 0.0 <= void["from"] <= void["at"] <= void["to"] <= wall["length"]
    assert np.all([void["depth"] > 0.0 for _, void in voids])
