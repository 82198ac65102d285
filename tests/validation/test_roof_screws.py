"""Roof screws of a corrugated sheet against a university's building course, and rivets against the code of practice.

Sources: corrugated sheets have 5 fasteners at end supports and 3 at internal supports (a university's construction
course on metal roof sheeting; status: seen); a cover of 762 mm has 10 crests at 76.2 (a maker's technical summary;
status: seen), every second of which is 5 (derived); rivets on flashings at 50 mm, screws at least 30 mm and more than 6
thread diameters in timber (NZ Metal Roof and Wall Cladding Code of Practice, fastener spacing and 14.5.1; status:
seen).
"""

from __future__ import annotations

import pytest

from takeoff.measure.roofing.fixings.screw_rows import crests, screw_crossings
from takeoff.model.basis import Status, Working
from takeoff.model.measured import PurlinLine
from takeoff.model.sheets import CutShape, EndCut, PlaneSheets, SheetPiece
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules

SETTINGS = default_rules()
CORRUGATED = load_catalogue().profiles["corrugated"]


def one_full_sheet() -> PlaneSheets:
    ring = ((0.0, 0.0), (762.0, 0.0), (762.0, 3000.0), (0.0, 3000.0))
    square = EndCut(CutShape.SQUARE)
    piece = SheetPiece(
        mark="P1.01",
        plane="P1",
        strip=1,
        run=1,
        part=0,
        profile="corrugated",
        start_side="left",
        lap_side="right",
        outline_uv=ring,
        cover_uv=(ring,),
        reach_mm=3000.0,
        order_mm=3000.0,
        left_mm=3000.0,
        right_mm=3000.0,
        foot_v_mm=0.0,
        foot=square,
        top=square,
        lap_mm=0.0,
        working=Working(""),
    )
    return PlaneSheets(
        plane="P1",
        profile="corrugated",
        start_side="left",
        start_u_mm=0.0,
        start_edge="",
        over_edge="left",
        cover_mm=762.0,
        overall_mm=845.0,
        first_cover_mm=762.0,
        sheeted_uv=(ring,),
        net_mm2=762.0 * 3000.0,
        pieces=(piece,),
        movement_mm=0.0,
    )


@pytest.mark.parametrize(("role", "screws"), [("eave", 5), ("ridge", 5), ("purlin", 3)])
def test_screws_a_sheet_and_row(role: str, screws: int) -> None:
    line = PurlinLine("PU1.01", "P1", role, 1, (0.0, 500.0), (762.0, 500.0))
    assert [crossing.screws for crossing in screw_crossings(one_full_sheet(), [line], CORRUGATED, SETTINGS)] == [screws]


def test_every_second_crest_of_a_sheet_is_five() -> None:
    assert crests(CORRUGATED) == 10
    assert crests(CORRUGATED) / 2 == SETTINGS.number("screws_end")


def test_rivets_and_embedment_are_the_published_ones() -> None:
    names = ("rivet_spacing_mm", "screw_embedment_mm", "screw_embedment_diameters")
    assert [SETTINGS.number(name) for name in names] == [50.0, 30.0, 6.0]
    assert all(SETTINGS.values[name].basis.status is Status.SEEN for name in names)
