"""What a record or a rule takes where nothing is said: nothing, unless it stands here.

A number that is left out counts as 0 (no lap, no kerf, no mass known), so that a figure nobody gave adds nothing. The
few that are something else are listed with what they mean.
"""

from __future__ import annotations

import inspect
import pkgutil
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from importlib import import_module
from math import inf
from types import ModuleType

import pytest

SAID = {
    # records
    "CoverRow.below_deg": 90.0,  # of a rule for every pitch: no roof is steeper
    "DownpipeProfile.width_mm": 80.0,  # common practice, no source: across the wall where its maker does not say
    "RunDemand.rows_apart": 1,  # joints keep off those of the row beside
    "StockChoice.pack": 1,  # sold singly
    "Zone.pack_pieces": 1,  # sold singly
    "Face.part": 1,  # a wall is one part unless it is split
    "End.angle_deg": 180.0,  # an end of gutter that meets nothing goes straight on
    "Plan.near_mm": 0.1,  # an edge of a roof lies on a side of its outline
    "Plan.scale": 1.0,  # of an outline that is not scaled yet
    "Edge.like": -1,  # no edge yet
    "WallRule.to_mm": 10000.0,  # code of practice v25.12, 5.3.1: walls count to 10 m
    # rules
    "nearest(most)": 1,
    "nearest(likeness)": 0.6,  # the library's own
    "did_you_mean(likeness)": 0.6,
    "foot_and_head(level)": 1.0,
    "_open(buffering)": -1,  # the language's own
    "count_up(tolerance)": 0.5,  # half a unit
    "round_up_mm(tolerance_mm)": 0.01,
    "_battens(slope)": 1.0,
    "small_items(batten_mm)": 20.0,
    "lay_vertical(longest_mm)": inf,
    "flow_l_per_s(runoff)": 1.0,
    "place_pipes(apart_mm)": 3000.0,
    "yearly_yield_l(share)": 0.8,  # enHealth, Appendix B: A is 0.80 to 0.85
    "yearly_yield_l(loss_mm)": 24.0,  # enHealth, Appendix B: B is 2 mm a month
    "find_holes(first_number)": 1,
    "end_cut(square_deg)": 0.1,
    "assemble(flat_mm)": 0.01,
    "assemble(flat_deg)": 0.1,
    "assemble(straight_mm)": 0.01,
    "straightened(slack_mm)": 0.01,
    "_boxes_meet(least_mm)": 1.0,
    "rings_of(least_side_mm)": 600.0,  # nothing that is roofed is narrower
    "roof_from_outline(first_plane)": 1,
    "roof_from_faces(first_plane)": 1,
}
ROOMS = ("basics", "model", "measure", "shape")
BY_NAME = ("Tolerances", "ModelLimits")  # records of nothing but limits, held by name in tests/basics


def _modules(room: str) -> Iterator[ModuleType]:
    package = import_module(f"takeoff.{room}")
    for info in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
        yield import_module(info.name)


def _numbers(module: ModuleType) -> Iterator[tuple[str, float]]:
    """(name, value) of each default that is a number."""
    for name, one in vars(module).items():
        if getattr(one, "__module__", "") != module.__name__ or name in BY_NAME:
            continue
        if isinstance(one, type) and is_dataclass(one):
            given = [(f"{name}.{field.name}", field.default) for field in fields(one)]
        elif inspect.isfunction(one):
            given = [(f"{name}({each.name})", each.default) for each in inspect.signature(one).parameters.values()]
        else:
            continue
        yield from ((where, value) for where, value in given if type(value) in (int, float))


@pytest.mark.parametrize("room", ROOMS)
def test_what_nobody_says_counts_as_nothing(room: str) -> None:
    found = {where: value for module in _modules(room) for where, value in _numbers(module)}
    assert found
    assert {where: value for where, value in found.items() if value != SAID.get(where, 0)} == {}


def test_what_stands_here_is_still_asked() -> None:
    every = {where for room in ROOMS for module in _modules(room) for where, _ in _numbers(module)}
    assert set(SAID) - every == set()
