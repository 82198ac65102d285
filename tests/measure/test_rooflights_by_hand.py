"""Clear sheets in place of metal ones: by hand on plain planes. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace
from math import dist
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.vectors import Point2, Ring2
from takeoff.measure.roofing.sheets import rooflights
from takeoff.measure.roofing.sheets.rooflights import (
    ClearSpan,
    clear_profile,
    clear_spans,
    hole_in_clear,
    metal_and_clear,
)
from takeoff.model.basis import Basis, Status, Working
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.roofs import RooflightSheetJob
from takeoff.model.products import Profile, ProfileKind
from takeoff.model.roof import Frame, Roof, RoofEdge, RoofPlane
from takeoff.model.sheets import CutShape, EndCut, PlaneSheets, SheetPiece
from takeoff.shape.strips.slabs import Slab

SEEN, SET = Basis(Status.SEEN, "a book", "a clause"), Basis(Status.SEEN, "another book")
SQUARE = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
# its eave runs west from (6000, 1000): u goes west, v south
TURNED = Frame((6000.0, 1000.0, 0.0), (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
END = EndCut(CutShape.SQUARE)


def piece(mark: str, left: float, low: float, high: float, **more: Any) -> SheetPiece:
    cover = ((left, low), (left + 760.0, low), (left + 760.0, high), (left, high))
    outline = ((left, low), (left + 800.0, low), (left + 800.0, high), (left, high))
    parts: dict[str, Any] = {"strip": 1, "run": 0, "part": 0, "lap_mm": 0.0, "cover_uv": (cover,)} | more
    return SheetPiece(
        mark=mark, plane="P1", profile="rib", start_side="left", lap_side="right", outline_uv=outline, reach_mm=high - low,
        order_mm=high - low, left_mm=0.0, right_mm=0.0, foot_v_mm=low, foot=END, top=END, working=Working(""), **parts,
    )  # fmt: skip


def sheets(*pieces: SheetPiece, net: float = 0.0) -> PlaneSheets:
    return PlaneSheets("P1", "rib", "left", 0.0, "", "", 760.0, 800.0, 760.0, (), net, pieces, 0.0)


def test_the_clear_sheet_of_a_profile() -> None:
    """2.4 kg a square metre of its 800 overall."""
    rib = Profile(
        "rib", "Rib", ProfileKind.TRAPEZOIDAL, 760.0, 800.0, 190.0, 29.0, False, 940.0, {0.4: 4.0}, {"*": SEEN}
    )
    settings: Any = SimpleNamespace(number=lambda name: 2.4, basis=lambda name: SET)
    found = clear_profile(rib, settings)
    assert (found.id, found.name, found.basis) == ("rib_clear", "clear sheet, Rib", {"*": SEEN, "kg_per_m": SET})
    assert dict(found.kg_per_m) == {0.0: pytest.approx(1.92)}
    assert found == replace(rib, id=found.id, name=found.name, kg_per_m=found.kg_per_m, basis=found.basis)


def edge(
    name: str, a: Point2, b: Point2, plane: str, outline: tuple[int, ...], kind: EdgeKind = EdgeKind.EAVE
) -> RoofEdge:
    ends = (*a, 0.0), (*b, 0.0)
    return RoofEdge(name, "main", kind, "N1", "N2", *ends, (plane,), dist(a, b), dist(a, b), 0.0, 180.0, True, outline)


def roof() -> Roof:
    """An outline of 6 by 9 m with a courtyard; edge 1 in the south has its eave from 1000 on, edge 3 in the north another."""
    outer = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 9000.0), (0.0, 9000.0))
    court = ((2000.0, 4000.0), (2000.0, 5000.0), (3000.0, 5000.0), (3000.0, 4000.0))
    south = RoofPlane(
        "P1",
        "main",
        Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
        (SQUARE,),
        (1,),
        1,
        20.0,
        180.0,
        1.0,
        1.0,
    )
    north = RoofPlane(
        "P2", "main", replace(TURNED, origin_mm=(6000.0, 9000.0, 0.0)), (SQUARE,), (3,), 1, 20.0, 0.0, 1.0, 1.0
    )
    edges = (
        edge("B1", (0.0, 0.0), (6000.0, 0.0), "P1", (1,), EdgeKind.VERGE), edge("E1", (1000.0, 0.0), (6000.0, 0.0), "P1", (1,)),
        edge("E3", (6000.0, 9000.0), (0.0, 9000.0), "P2", (3,)), edge("E9", (0.0, 9000.0), (0.0, 0.0), "P9", (4,)),
        edge("E5", (2000.0, 4000.0), (3000.0, 4000.0), "P2", (5,)),
    )  # fmt: skip
    return Roof(
        "main",
        (0.0, 0.0, 0.0),
        (outer, court),
        (),
        (),
        (south, north),
        (),
        edges,
        (),
        edge_numbers=((1, 2, 3, 4), (7, 5, 6, 8)),
    )


def light(edge: int, left: float, **more: Any) -> RooflightSheetJob:
    return RooflightSheetJob.model_validate({"edge": edge, "from_left_mm": left} | more)


def test_sides_of_an_outline_from_outside() -> None:
    """Counter-clockwise outside, clockwise round a courtyard: both with the roof on their left, seen from outside left to
    right."""
    found = {number: rooflights._outline_side(roof(), number) for number in (1, 3, 5, 9)}
    assert found == {
        1: ((0.0, 0.0), (6000.0, 0.0)), 3: ((6000.0, 9000.0), (0.0, 9000.0)), 5: ((2000.0, 5000.0), (3000.0, 5000.0)), 9: None,
    }  # fmt: skip
    turned = replace(roof(), outline_mm=tuple(ring[::-1] for ring in roof().outline_mm))
    # typed the other way round: side 1 runs from (0, 9000) to (6000, 9000) as typed, and is seen the other way
    assert rooflights._outline_side(turned, 1) == ((6000.0, 9000.0), (0.0, 9000.0))


def test_where_clear_sheets_are_wanted() -> None:
    """2 m along edge 1 and a cover further on; from 500 up, 1500 long; edge 3 counts from its left, in the east."""
    spans, faults = clear_spans(roof(), [light(1, 2000.0, strips=2), light(3, 700.0, up_mm=500.0, length_mm=1500.0, name="Hall"),
                                         light(1, 6000.0, length_mm=900.0)], 760.0)  # fmt: skip
    first, hall, third = (
        "roof main: rooflight sheet 1",
        "roof main: rooflight sheet 2 (Hall)",
        "roof main: rooflight sheet 3",
    )
    assert spans == (
        ClearSpan(first, "P1", 2000.0, None, None), ClearSpan(first, "P1", 2760.0, None, None),
        ClearSpan(hall, "P2", 700.0, 500.0, 2000.0), ClearSpan(third, "P1", 6000.0, None, 900.0),
    )  # fmt: skip
    assert faults == ()
    _, faults = clear_spans(
        roof(),
        [light(9, 1.0), light(1, 900.0, strips=3), light(1, 5800.0, strips=3), light(4, 100.0), light(2, 5.0)],
        760.0,
    )
    assert faults == (
        "roof main: rooflight sheet 1: nothing is left of edge 9 in the outline",
        "roof main: rooflight sheet 2: 900 mm along edge 1 (6000 mm long) there is no eave",
        "roof main: rooflight sheet 3: 6560 mm along edge 1 (6000 mm long) there is no eave",
        "roof main: rooflight sheet 4: 100 mm along edge 4 (9000 mm long) there is no eave",
        "roof main: rooflight sheet 5: 5 mm along edge 2 (9000 mm long) there is no eave",
    )
    # a millimetre before the eave is on it
    near = {along: clear_spans(roof(), [light(1, along)], 760.0)[1] == () for along in (998.0, 999.5, 1000.0)}
    assert near[1000.0]
    assert not near[998.0]


def test_which_sheet_a_span_lies_in() -> None:
    low, high = piece("P1.01a", 0.0, 0.0, 2000.0), piece("P1.01b", 0.0, 2000.0, 4000.0, part=1)
    assert [rooflights._covers(low, u) for u in (-0.1, 0.0, 759.9, 760.0)] == [False, True, True, False]
    assert rooflights._head(high) == 4000.0

    def at(low_mm: float | None, high_mm: float | None) -> str:
        found = rooflights._piece_at([high, low], ClearSpan("", "P1", 1.0, low_mm, high_mm))
        return found.mark if found else ""

    rows = {(None, None): "P1.01a", (500.0, 1500.0): "P1.01a", (2500.0, None): "P1.01b", (None, 1800.0): "P1.01a",
            (1500.0, 2500.0): "", (2000.0, 4000.0): "P1.01b", (500.0, 500.0): "", (3000.0, 4300.0): "", (-300.0, 900.0): ""}  # fmt: skip
    assert {span: at(*span) for span in rows} == rows


def test_the_nearest_row() -> None:
    places = [100.0, 900.0, 1800.0]
    asked = {(1000.0, 0.0, 4000.0): 900.0, (1000.0, 950.0, 4000.0): 1800.0, (1400.0, 0.0, 1000.0): 900.0, (50.0, 100.0, 100.0): 100.0,
             (1350.0, 0.0, 4000.0): 900.0, (1000.0, 2000.0, 4000.0): 1000.0}  # fmt: skip
    assert {key: rooflights._on_row(key[0], places, *key[1:]) for key in asked} == asked


def test_parts_of_a_run_have_letters() -> None:
    given = (piece("P1.01", 0.0, 0.0, 9.0), piece("P1.02a", 0.0, 0.0, 9.0, strip=2), piece("P1.02b", 0.0, 0.0, 9.0, strip=2),
             piece("P1.02-2", 0.0, 0.0, 9.0, strip=2, run=1), piece("P1.02x", 0.0, 0.0, 9.0, strip=2), piece("P1.03b", 0.0, 0.0, 9.0, strip=3, part=1))  # fmt: skip
    found = [(one.mark, one.part) for one in rooflights._marked(given)]
    assert found == [("P1.01", 0), ("P1.02a", 0), ("P1.02b", 1), ("P1.02-2", 0), ("P1.02c", 2), ("P1.03", 0)]


def test_metal_and_clear_are_two_orders() -> None:
    clear = piece("P1.02", 760.0, 0.0, 1000.0, clear=True)
    metal = piece("P1.01", 0.0, 0.0, 1000.0)
    both = sheets(metal, clear, net=2e6)
    assert metal_and_clear(sheets(metal, net=2e6)) == (sheets(metal, net=2e6), None)
    assert metal_and_clear(both) == (
        replace(both, pieces=(metal,), net_mm2=2e6 - 760e3), replace(both, profile="rib_clear", pieces=(clear,), net_mm2=760e3)
    )  # fmt: skip

    def hole(u: float) -> Ring2:
        return ((u, 100.0), (u + 50.0, 100.0), (u + 50.0, 150.0), (u, 150.0))

    assert [hole_in_clear(both, hole(u)) for u in (100.0, 709.9, 710.0, 760.0, 1519.9, 1520.0)] == [
        "",
        "",
        "P1.02",
        "P1.02",
        "P1.02",
        "",
    ]


def test_a_sheet_with_a_clear_one_in_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sheet from 0 to 4 m, laps of 200, rows at 900, 1800, 2700: clear from 1000 to 2500 goes from 800 to 2800, its laps
    over rows; what would leave no more metal than a lap goes to the end."""
    made: list[tuple[Any, Any, float]] = []

    def part(of: SheetPiece, sheet: tuple[Slab, ...], cover: tuple[Slab, ...], turn: float, _: Any) -> SheetPiece:
        made.append(
            (
                (min(s.foot0 for s in sheet), max(s.top0 for s in sheet)),
                (min(s.foot0 for s in cover), max(s.top0 for s in cover)),
                turn,
            )
        )
        return replace(of, foot=END, top=END)

    monkeypatch.setattr(rooflights, "_part", part)
    laying: Any = SimpleNamespace(
        settings=SimpleNamespace(number={"clear_lap_mm": 200.0}.__getitem__, term=lambda name: name)
    )
    one = piece("P1.01", 0.0, 0.0, 4000.0, foot_turn_mm=20.0, lap_mm=150.0)
    rows = [900.0, 1800.0, 2700.0]

    def split(low: float | None, high: float | None) -> tuple[list[tuple[bool, str, float]], str]:
        made.clear()
        parts, problem = rooflights._parts(one, None, ClearSpan("", "P1", 1.0, low, high), rows, laying)  # type: ignore[arg-type]
        return [(own.clear, own.profile, own.lap_mm) for own in parts], problem

    metal, clear = (False, "rib", 200.0), (True, "rib_clear", 200.0)
    assert split(1000.0, 2500.0) == ([metal, clear, (False, "rib", 150.0)], "")
    # metal to 1000, which is 200 over the clear sheet's foot at 800; clear to its head at 2800; metal from 2600 on
    assert made == [
        ((0.0, 1000.0), (0.0, 800.0), 20.0),
        ((800.0, 2800.0), (800.0, 2600.0), 0.0),
        ((2600.0, 4000.0), (2600.0, 4000.0), 0.0),
    ]
    assert split(None, 2500.0) == ([clear, (False, "rib", 150.0)], "")
    assert [own[:2] for own in made] == [((0.0, 2800.0), (0.0, 2600.0)), ((2600.0, 4000.0), (2600.0, 4000.0))]
    assert split(1000.0, None) == ([metal, (True, "rib_clear", 150.0)], "")
    assert split(199.0, 3801.0)[0] == [(True, "rib_clear", 150.0)]  # neither leaves more than a lap of metal
    assert len(split(200.0, 3800.0)[0]) == 3
    # from 800 to 1000: as long as its two laps is too short
    short = "a clear sheet of 200 mm on P1.01 is no longer than its laps"
    assert split(900.0, 1000.0) == ([], short)
    raked = replace(one, outline_uv=((0.0, 0.0), (800.0, 0.0), (800.0, 4000.0), (0.0, 3000.0)))
    parts, problem = rooflights._parts(raked, None, ClearSpan("", "P1", 1.0, 1000.0, 3500.0), [900.0, 3300.0], laying)  # type: ignore[arg-type]
    assert (parts, problem) == (
        (),
        "P1.01 is cut on the rake there: its sides are whole from 0 to 3000 mm above its foot",
    )
