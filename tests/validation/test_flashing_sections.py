"""Girths of the sections that flashings are bent to by default, from published covers.

Source: NZ Metal Roof and Wall Cladding Code of Practice, 8.3, category A (cover 130 mm, upstand 75 mm profiled with a hem,
turn-down 50 mm, two crests of corrugate at 76.2 mm); status: seen, the table's roles inferred from its values. The gap
and cover of a valley, 50 and 80 mm: E2/AS1, restated. Edges of 20 mm, hems of 10, kicks of 15, returns of 20, set-backs and
the lining's sizes: common practice, no source. Each sum stands as it is added by hand; a leg is folded in whole mm, up.
"""

from __future__ import annotations

import pytest

from takeoff.measure.roofing.flashings.flashing_cover import cover_category
from takeoff.measure.roofing.flashings.flashing_shapes import Wanted, shape_of
from takeoff.measure.roofing.flashings.fold_sections import section
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.roof import RoofEdge
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules

SETTINGS, CATALOGUE = default_rules(), load_catalogue()
PITCHES = {"pitch_change": (40.0, 20.0)}


@pytest.mark.parametrize(
    ("flashing", "girth_mm", "folds"),
    [
        ("ridge", 2 * (25 + 130 + 20 + 10), 5),
        ("hip", 2 * (25 + 130 + 20 + 10), 5),
        ("valley", 2 * (25 + 80 + 20), 3),
        ("barge", 10 + 20 + 153 + (50 + 18) + 15, 4),
        ("apron_head", 10 + 75 + 25 + 130 + 20 + 10, 4),
        ("apron_side", 10 + 75 + 153 + 20 + 10, 4),
        ("head_cap", 10 + 20 + 130 + (50 + 18) + 15, 4),
        ("pitch_change", 100 + 25 + 130 + 20 + 10, 3),
        ("gutter_lining", 300 + 2 * 100 + 2 * 60, 4),
    ],
)
def test_girth_of_a_section(flashing: str, girth_mm: int, folds: int) -> None:
    product = CATALOGUE.flashings[flashing]
    ends = ((0.0, 0.0, 0.0), (5000.0, 0.0, 0.0))
    kind = EdgeKind(product.edge_kind)
    edge = RoofEdge("X1", "main", kind, "N1", "N2", *ends, ("P1", "P2"), 5000.0, 5000.0, 0.0, 130.0, True)
    cover = cover_category("high", 25.0, SETTINGS)
    pitches = PITCHES.get(flashing, (25.0, 25.0))
    bent = shape_of(product, Wanted(edge, pitches, cover, CATALOGUE.profiles["corrugated"], SETTINGS)).bent
    found = section("an item", product.name, bent, 0)
    assert (found.girth_mm, found.folds) == (girth_mm, folds)
