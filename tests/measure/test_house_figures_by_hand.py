"""The flat row of a house's quantities: every figure by hand on a house that nobody would build."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import cos, hypot, radians
from types import SimpleNamespace
from typing import cast

import pytest

from takeoff.measure.house_figures import boards_counted, counted, house_figures
from takeoff.model.basis import Working
from takeoff.model.drainage import GutterLeg, GutterRun, Received
from takeoff.model.measured import PurlinLine
from takeoff.model.quantities import HOUSE_FIGURES, UNIT_OF, BoardCount, Figure, SheetCount
from takeoff.model.roof import Roof
from takeoff.model.sheets import PlaneSheets
from takeoff.model.walls import BoardPiece, WallBoards

SHEETS = (SheetCount("P1", 7, 31_500.0, 20.5e6, 760.0), SheetCount("P2", 3, 9000.0, 5e6, 500.0))
PURLINS = (
    PurlinLine("R1", "P1", "purlin", 1, (0.0, 0.0), (4000.0, 0.0)),
    PurlinLine("R2", "P1", "purlin", 1, (4500.0, 0.0), (6000.0, 0.0)),
    PurlinLine("R3", "P1", "ridge", 2, (100.0, 900.0), (2100.0, 900.0)),
    PurlinLine("R4", "P1", "hip trimmer", 3, (0.0, 0.0), (300.0, 400.0)),
    PurlinLine("R5", "P2", "eave", 1, (0.0, 0.0), (0.0, 700.0)),
    PurlinLine("R6", "P2", "head", 1, (50.0, 70.0), (350.0, 470.0)),
)


def gutter(name: str, lengths: tuple[float, ...], plan_mm2: float, brought_mm2: float = 0.0) -> GutterRun:
    legs = tuple(GutterLeg("E", (1,), (0.0, 0.0, 0.0), (mm, 0.0, 0.0), mm, 0.0) for mm in lengths)
    water = (Received("main", "DP1", "P1", 0.0, brought_mm2), Received("main", "", "P1", 0.0, 1e6))
    return GutterRun(name, "main", legs, (), False, plan_mm2, 25.0, received=water)


def boards(wall: int, zone: str, net: float, gross: float, *lengths: float) -> BoardCount:
    pieces = tuple(BoardPiece(f"B{n}", wall, zone, 1, (), mm) for n, mm in enumerate(lengths))
    return boards_counted(
        WallBoards(wall, zone, "horizontal", "b", 150.0, 187.0, 1, net, gross, pieces, (), Working(""))
    )


@pytest.fixture
def roofs(gable_roof: Callable[..., Roof], lean_to: Callable[..., Roof]) -> tuple[Roof, Roof]:
    """A gable of 10 x 8 m at 20 degrees, and a deck of 6 x 3 m that is all but level with walls above it on two sides."""
    deck = replace(lean_to(6000.0, 3000.0, 0.5), name="deck")
    under = ((0.0, 0.0), (1000.0, 0.0), (1000.0, 2000.0 / cos(radians(0.5))), (0.0, 2000.0 / cos(radians(0.5))))
    planes = tuple(replace(plane, id="Q1", pitch_deg=0.05, covered_uv=((under,),)) for plane in deck.planes)
    edges = tuple(replace(edge, roof="deck") for edge in deck.edges)
    uprights = tuple(replace(face, area_mm2=area) for face, area in zip(deck.uprights, (6.5e6, 1.25e6), strict=True))
    return gable_roof(10_000.0, 8000.0, 20.0), replace(deck, planes=planes, edges=edges, uprights=uprights)


def test_every_figure_of_a_house(roofs: tuple[Roof, Roof]) -> None:
    """Slopes 4 / cos 20 by 10 m twice and 3 / cos 0.5 by 6; uprights of 6.5 and
    1.25; sheets 31.5 m at 0.76 and 9 at 0.5; purlins 4 + 1.5 (one row) + 2, 0.7 + 0.5 (one row), and half
    a metre of trimmer; gutters of 5 + 3 and 4 m, of 30 and 20 m2 less 6 that spreaders bring, and the deck's 18 less 2
    that are covered; boards of 1.2 + 3.4 and 0.9 m."""
    runs = (gutter("G1", (5000.0, 3000.0), 30e6, 6e6), gutter("G2", (4000.0,), 20e6))
    walls = (boards(1, "zone 1", 7e6, 9e6, 1200.0, 3400.0), boards(2, "zone 2", 1.5e6, 2e6, 900.0))
    house, parts = house_figures(roofs, SHEETS, PURLINS, runs, walls)
    slope, top = 4.0 / cos(radians(20)), 3.0 / cos(radians(0.5))
    wanted = {
        "roof_m2": 20.0 * slope + 6.0 * top, "roof_plan_m2": 80.0 + 18.0, "upright_m2": 7.75,
        "sheets_each": 10, "sheets_m": 40.5, "sheets_m2": 31.5 * 0.76 + 9.0 * 0.5, "sheeted_m2": 25.5,
        "purlin_rows_each": 3, "purlin_rows_m": 7.5 + 1.2, "roof_timber_m": 7.5 + 0.5 + 1.2,
        "gutters_each": 2, "gutters_m": 12.0, "catchment_m2": 24.0 + 20.0 + 16.0,
        "wall_m2": 8.5, "wall_gross_m2": 11.0, "boards_each": 3, "boards_m": 5.5,
        "eave_m": 26.0, "verge_m": 4 * slope + top, "ridge_m": 10.0, "apron_side_m": top, "apron_head_m": 6.0,
    }  # fmt: skip
    assert [figure.name for figure in house] == list(HOUSE_FIGURES)
    assert {figure.name: figure.value for figure in house if figure.value} == pytest.approx(
        {name: value for name, value in wanted.items() if value}
    )
    assert all(figure.unit == UNIT_OF[figure.name] for figure in house)
    named = {figure.name: (figure.value, figure.unit) for figure in parts}
    assert named == {
        "area.P1": (pytest.approx(10 * slope), "m2"), "plan_area.P1": (pytest.approx(40.0), "m2"),
        "pitch.P1": (pytest.approx(20.0), "degrees"),
        "area.P2": (pytest.approx(10 * slope), "m2"), "plan_area.P2": (pytest.approx(40.0), "m2"),
        "pitch.P2": (pytest.approx(20.0), "degrees"),
        "area.Q1": (pytest.approx(6 * top), "m2"), "plan_area.Q1": (pytest.approx(18.0), "m2"), "pitch.Q1": (0.05, "degrees"),
        "length.main.eave": (pytest.approx(20.0), "m"), "length.main.verge": (pytest.approx(4 * slope), "m"),
        "length.main.ridge": (pytest.approx(10.0), "m"), "length.deck.eave": (pytest.approx(6.0), "m"),
        "length.deck.verge": (pytest.approx(top), "m"), "length.deck.apron_side": (pytest.approx(top), "m"),
        "length.deck.apron_head": (pytest.approx(6.0), "m"),
        "sheets.P1": (7.0, "each"), "sheet_length.P1": (31.5, "m"), "sheeted.P1": (20.5, "m2"),
        "sheets.P2": (3.0, "each"), "sheet_length.P2": (9.0, "m"), "sheeted.P2": (5.0, "m2"),
        "purlin_rows.P1": (2.0, "each"), "purlin_rows_length.P1": (7.5, "m"),
        "purlin_rows.P2": (1.0, "each"), "purlin_rows_length.P2": (pytest.approx(0.7 + hypot(0.3, 0.4)), "m"),
        "gutter.G1": (8.0, "m"), "catchment.G1": (30.0, "m2"), "gutter.G2": (4.0, "m"), "catchment.G2": (20.0, "m2"),
        "boards.1.zone 1": (2.0, "each"), "board_length.1.zone 1": (pytest.approx(4.6), "m"), "clad.1.zone 1": (7.0, "m2"),
        "boards.2.zone 2": (1.0, "each"), "board_length.2.zone 2": (pytest.approx(0.9), "m"), "clad.2.zone 2": (1.5, "m2"),
    }  # fmt: skip


def test_without_gutters_nothing_is_caught(roofs: tuple[Roof, Roof]) -> None:
    house, _ = house_figures(roofs, (), (), (), ())
    assert Figure("catchment_m2", 0.0, "m2") in house
    assert Figure("gutters_each", 0.0, "each") in house


def test_sheets_of_a_plane_counted(roofs: tuple[Roof, Roof]) -> None:
    pieces = (SimpleNamespace(order_mm=4500.0), SimpleNamespace(order_mm=3210.0))
    laid = SimpleNamespace(plane="P7", pieces=pieces, net_mm2=6e6, cover_mm=762.0)
    assert counted(cast(PlaneSheets, laid)) == SheetCount("P7", 2, 7710.0, 6e6, 762.0)
