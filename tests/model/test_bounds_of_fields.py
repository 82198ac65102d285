"""Every kind of field of jobs and office files at its bounds and just beyond, by hand."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from takeoff.model import own_products
from takeoff.model.job import fields
from takeoff.model.job.ordering import TruckJob
from takeoff.model.job.tanks import RainJob, TankJob, UseJob

# a kind of field: what it takes, least and most, and what lies just beyond either
BOUNDS: list[tuple[Any, list[Any], list[Any]]] = [
    (fields.Length, [0.001, 1_000_000], [0, 1_000_000.1]), (fields.Offset, [0, 100_000], [-0.1, 100_000.1]), (fields.Height, [-100_000, 1_000_000], [-100_000.1, 1_000_000.1]),
    (fields.Pitch, [1, 85], [0.99, 85.01]), (fields.Coordinate, [-1e11, 1e11], [-1.01e11, 1.01e11]), (fields.PlanRing, [[(0, 0)] * 3, [(0, 0)] * 20_000], [[(0, 0)] * 2, [(0, 0)] * 20_001]),
    (fields.Spacing, [200, 3000], [199.9, 3000.1]), (fields.Studs, [150, 1500], [149.9, 1500.1]), (fields.WallHeight, [0.001, 12_000], [0, 12_000.1]), (fields.Name, ["n", "n" * 60], ["", "n" * 61]),
    (own_products.BasisWords, ["b", "b" * 300], ["", "b" * 301]), (own_products.Area, [0.001, 1_000_000], [0, 1_000_001]), (own_products.Bmt, [0.001, 3], [0, 3.01]), (own_products.Rate, [0, 10_000], [-1, 10_001]),
    (own_products.Stock, [[1], [30_000] * 100], [[], [0], [30_001], [3] * 101]),
]  # fmt: skip


@pytest.mark.parametrize("at", range(len(BOUNDS)))
def test_every_kind_of_field_at_its_bounds_and_just_beyond(at: int) -> None:
    kind, taken, beyond = BOUNDS[at]
    adapter = TypeAdapter(kind)
    for value in taken:
        adapter.validate_python(value)
    for value in (*beyond, float("nan"), float("inf")):
        with pytest.raises(ValidationError):
            adapter.validate_python(value)
    assert (fields.SPACING_MM, fields.STUD_MM, fields.WALL_MM) == ((200.0, 3000.0), (150.0, 1500.0), 12_000.0)


RECORDS: list[tuple[Any, dict[str, Any], list[dict[str, Any]]]] = [
    (TruckJob, {"payload_kg": 60_000.0, "deck_mm": 5000.0}, [{"payload_kg": 60_001.0}, {"payload_kg": 0.0}]),
    (TankJob, {"volume_l": 1e8, "dead_l": 1e8}, [{"volume_l": 0.0}, {"volume_l": 1.1e8}, {"dead_l": -1.0}, {"dead_l": 1.1e8}]),
    (UseJob, {"people": 1e5, "litres_a_day": 1e6, "by_month": [0.0] * 12}, [{"people": 0.0}, {"people": 1.1e5}, {"litres_a_day": 1.1e6}, {"litres_a_day": -1.0}, {"by_month": [0.0] * 11}, {"by_month": [0.0] * 13}]),
    (RainJob, {"monthly_mm": [1e4] * 12}, [{"monthly_mm": [1e4] * 11}, {"monthly_mm": [1e4] * 13}, {"monthly_mm": [1.1e4] * 12}, {"monthly_mm": [-1.0] * 12}]),
    (own_products.OwnPattern, {"screws": 60, "of": 60, "says": "x"}, [{"screws": 0}, {"screws": 61}, {"of": 0}, {"of": 61}]),
    (own_products.OwnGutterType, {"type": "A", "shape": "any", "mm2": 1e6}, [{"type": ""}, {"type": "AB"}, {"mm2": -1.0}, {"mm2": 1.1e6}]),
    (own_products.OwnScrew, {"family": "f", "bmt_mm": 0.4, "by_zone": ["a"] * 20, "end": "e" * 60, "internal": "i" * 60, "traffic": "t" * 60}, [{"by_zone": ["a"] * 21}, {"end": "e" * 61}, {"internal": "e" * 61}, {"traffic": "e" * 61}]),
    (own_products.OwnNeeded, {"mm_per_h": 1.0, "types": ["a"] * 20}, [{"types": []}, {"types": ["a"] * 21}]),
    (own_products.OwnFlashing, {"name": "n", "edge_kind": "ridge", "stock_mm": 30_000, "handed": "h" * 200, "basis": "b"}, [{"stock_mm": 0}, {"stock_mm": 30_001}, {"handed": "h" * 201}]),
    (own_products.OwnGutter, {"name": "n", "system": "pvc", "area_mm2": 1.0, "width_mm": 1.0, "lengths_mm": [1], "type": "A", "basis": "b"}, [{"type": "AB"}]),
    (own_products.OwnDownpipe, {"name": "n", "area_mm2": 1.0, "lengths_mm": [1], "table_m2": [1.0] * 4, "size": "s" * 40, "basis": "b"}, [{"table_m2": [1.0] * 5}, {"size": "s" * 41}]),
]  # fmt: skip


@pytest.mark.parametrize("at", range(len(RECORDS)))
def test_every_record_at_the_bounds_of_its_fields(at: int) -> None:
    kind, sound, beyond = RECORDS[at]
    kind.model_validate(sound)
    for more in beyond:
        with pytest.raises(ValidationError):
            kind.model_validate({**sound, **more})


def test_rows_of_own_tables_at_their_most() -> None:
    span, foot = {"family": "f", "bmt_mm": 0.4, "end_mm": 1.0, "internal_mm": 1.0}, {"family": "f", "bmt_mm": 0.4}
    rows = {"spans": (span, 500), "on_foot": (foot, 500), "screws": (foot, 500), "brackets": ({"spacing_mm": 1.0}, 100), "types": ({"type": "A", "shape": "any"}, 60),
            "needed_areas_m2": (1.0, 20), "needed": ({"mm_per_h": 1.0, "types": ["A"]}, 100), "pipes": ({"types": "A"}, 100)}  # fmt: skip
    for name, (row, most) in rows.items():
        own_products.OwnTables.model_validate({name: [row] * most})
        with pytest.raises(ValidationError):
            own_products.OwnTables.model_validate({name: [row] * (most + 1)})
    assert own_products.OwnFoot.model_validate(foot).restricted_mm == 0.0
    pipe = own_products.OwnDownpipe.model_validate({"name": "n", "area_mm2": 1.0, "lengths_mm": [1], "basis": "b"})
    assert (pipe.width_mm, pipe.size, pipe.table_m2) == (80.0, "", [])
