"""A house made up of typed planes, edges and lines, as the bounds of an order see it: no stage has worked out a figure of
it, so that every figure that a bound comes to can be told by hand. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import cos, dist, radians, sin
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.polygons import rings_area
from takeoff.basics.vectors import Point2, Point3
from takeoff.model.basis import Working
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.items import Item, ItemKind, Pack, Trade
from takeoff.model.measured import CladdingMeasured, RainwaterMeasured, RoofingMeasured
from takeoff.model.order import OrderLine
from takeoff.model.roof import Covering, Frame, Roof, RoofEdge, RoofPlane
from takeoff.model.runs import CutPiece, CutPlan, StockBar
from takeoff.model.sheets import CutShape, EndCut, PlaneSheets, SheetPiece
from takeoff.order.bounds.bounded import Bounded, Case, case_of

WORKING = Working("made up")
# 20 m2: 6 m along its foot, 4 m along its top, 4 m up its right side; its left side runs 2 m across and 4 m up,
# sqrt(20) = 4.47214 m. Round it 18.47214 m
TRAPEZE = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (2000.0, 4000.0))
RAKE_M = 20.0**0.5
AROUND_M = 14.0 + RAKE_M
# what two bands share or miss at both ends of the raked side: (1 + |cos|) / |sin| with tan 2
GOLDEN = (1.0 + 5.0**0.5) / 2.0


@dataclass(frozen=True, slots=True)
class Given:
    """Settings by hand: one that is not given may not be asked for."""

    values: Mapping[str, Any]
    rules: Any = None

    def number(self, name: str) -> float:
        return float(self.values[name])

    def word(self, name: str) -> str:
        return str(self.values[name])

    def flag(self, name: str) -> bool:
        return bool(self.values[name])


def frame(pitch: float, origin: Point3 = (0.0, 0.0, 0.0)) -> Frame:
    """Rising northwards."""
    up, flat = sin(radians(pitch)), cos(radians(pitch))
    return Frame(origin, (1.0, 0.0, 0.0), (0.0, flat, up), (0.0, -up, flat))


def plane(
    name: str = "P1",
    *rings: tuple[Point2, ...],
    pitch: float = 30.0,
    origin: Point3 = (0.0, 0.0, 0.0),
    covering: Covering = Covering.SHEETS,
) -> RoofPlane:
    rings = rings or (TRAPEZE,)
    area = rings_area(rings)
    return RoofPlane(
        name,
        "main",
        frame(pitch, origin),
        rings,
        (1,),
        0,
        pitch,
        180.0,
        area,
        area * cos(radians(pitch)),
        0.0,
        covering,
    )


def edge(
    name: str,
    kind: EdgeKind,
    a: Point3,
    b: Point3,
    faces: tuple[str, ...] = ("P1",),
    roof: str = "main",
    outline: tuple[int, ...] = (),
    slope: float = 0.0,
) -> RoofEdge:
    long = dist(a, b)
    return RoofEdge(name, roof, kind, "N1", "N2", a, b, faces, long, long, slope, 180.0, False, outline)


def line_of_edge(name: str, kind: EdgeKind, long: float, **more: Any) -> RoofEdge:
    """An edge of that length far from all others."""
    y = 50000.0 * (1 + sum(ord(letter) * 7**at for at, letter in enumerate(name)))
    return edge(name, kind, (0.0, y, 0.0), (long, y, 0.0), **more)


# an edge of another kind along each side of the trapeze
ROUND_TRAPEZE = (
    edge("E1", EdgeKind.EAVE, (0.0, 0.0, 0.0), (6000.0, 0.0, 0.0)),
    edge("B1", EdgeKind.VERGE, (6000.0, 0.0, 0.0), (6000.0, 4000.0, 0.0)),
    edge("R1", EdgeKind.RIDGE, (2000.0, 4000.0, 0.0), (6000.0, 4000.0, 0.0)),
    edge("H1", EdgeKind.HIP, (0.0, 0.0, 0.0), (2000.0, 4000.0, 0.0)),
)


def roof(planes: Iterable[RoofPlane] = (), edges: Iterable[RoofEdge] = ROUND_TRAPEZE, name: str = "main") -> Roof:
    return Roof(name, (0.0, 0.0), (), (), (), tuple(planes) or (plane(),), (), tuple(edges), ())


def item(
    name: str, *, kind: ItemKind = ItemKind.FIXING, sort: str = "", sold_in: str = "each", pack: Pack | None = None
) -> Item:
    return Item(name, f"{name}, called", kind, Trade.ROOFING, sold_in, pack=pack, sort=sort or name)


def line(name: str, count: float, unit: str = "each", each_mm: float = 0.0, **more: Any) -> OrderLine:
    """A line that buys an item; `of`: its record, `total` and `total_unit` where they are other than the count."""
    of = more.pop("of", None) or item(name)
    total, total_unit = more.pop("total", count), more.pop("total_unit", unit)
    delivery, refs = more.pop("delivery", of.delivery), more.pop("refs", ())
    return OrderLine("L1", delivery, of, count, unit, each_mm, total, total_unit, 0.0, refs, WORKING, **more)


def sheet(mark: str, *cover: tuple[Point2, ...], order_mm: float = 0.0, **more: Any) -> SheetPiece:
    square = EndCut(CutShape.SQUARE)
    parts: dict[str, Any] = {"part": 0, "foot_v_mm": 0.0, "lap_mm": 0.0} | more
    return SheetPiece(
        mark=mark, plane="P1", strip=1, run=0, profile="wavy", start_side="left", lap_side="right", outline_uv=(),
        cover_uv=cover, reach_mm=order_mm, order_mm=order_mm, left_mm=0.0, right_mm=0.0, foot=square, top=square,
        working=WORKING, **parts,
    )  # fmt: skip


def sheets(*pieces: SheetPiece, name: str = "P1", net_mm2: float = 0.0, sheeted: Any = (), **more: Any) -> PlaneSheets:
    """Sheets that cover 762 of 845 mm."""
    return PlaneSheets(name, "wavy", "left", 0.0, "", "", 762.0, 845.0, 762.0, sheeted, net_mm2, pieces, 0.0, **more)


def plan(name: str, bars: Iterable[tuple[int, tuple[int, ...]]], **more: Any) -> CutPlan:
    """Bars as (stock length, pieces); `site` those from the site."""
    site = more.pop("site", ())
    made = (
        tuple(
            StockBar(name, at, stock, tuple(CutPiece(f"{at}{n}", "r", 0.0, mm) for n, mm in enumerate(pieces)))
            for at, (stock, pieces) in enumerate(rows)
        )
        for rows in (bars, site)
    )
    bought, from_site = made
    figures = {"bound_mm": 0, "bought_mm": sum(bar.stock_mm for bar in bought), "placed_mm": 0.0, "laps_mm": 0.0}
    return CutPlan(name, bought, site_bars=from_site, **(figures | more))


def case(
    values: Mapping[str, Any] | None = None,
    *,
    roofs: tuple[Roof, ...] | None = None,
    roofing: Mapping[str, Any] | None = None,
    rainwater: Mapping[str, Any] | None = None,
    cladding: Mapping[str, Any] | None = None,
    order: Mapping[str, Any] | None = None,
    **takeoff: Any,
) -> Case:
    """What the rules look at, of one roof with the trapeze unless `roofs` says otherwise; whatever is not given is
    empty, or is not there to be asked for."""
    water = RainwaterMeasured(
        **({"gutters": (), "downpipes": (), "catchment": (), "needs": ()} | dict(rainwater or {}))
    )
    parts: dict[str, Any] = {
        "roofs": (roof(),) if roofs is None else roofs,
        "elevations": (),
        "roofing": RoofingMeasured(
            **({"sheets": (), "purlins": (), "flashings": (), "needs": ()} | dict(roofing or {}))
        ),
        "rainwater": water,
        "gutters": water.gutters,
        "cladding": CladdingMeasured(**({"boards": (), "battens": (), "needs": ()} | dict(cladding or {}))),
        "settings": Given(values or {}),
        "site": None,
        "items": {},
    }
    bought: dict[str, Any] = {"lines": (), "plans": (), "blanks": (), "site_blanks": ()} | dict(order or {})
    return case_of(SimpleNamespace(**(parts | takeoff)), SimpleNamespace(**bought))  # type: ignore[arg-type]


Row = tuple[float, float, float, str, str, str, tuple[str, ...]]


def check(found: Iterable[Bounded], *rows: Row) -> None:
    """Every bound whole: figure, least, most, unit, what it was worked out from, what it is of, and what it stands on."""
    bounds = tuple(found)
    words = [(bound.unit, bound.from_what, bound.of, bound.refs) for bound in bounds]
    assert words == [row[3:] for row in rows]
    for bound, row in zip(bounds, rows, strict=True):
        assert (bound.figure, bound.low, bound.high) == pytest.approx(row[:3], rel=1e-9, abs=1e-9), bound
