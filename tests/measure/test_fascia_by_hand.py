"""Fascia and barge boards by hand: what corners, plumb cuts and roofs in the way add to them or take off.

Boards of the settings: 180 x 20, 3600 to 6000 long in steps of 300, joined on rafters at 900. Common practice, no source;
the rest is arithmetic on the drawing.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from math import cos, pi, radians, sin, tan
from pathlib import Path

import pytest

from takeoff.measure.rainwater.chosen import Chosen
from takeoff.measure.rainwater.fascia import _external_deg, _free, _lengths, _rise, _side, fascia_need
from takeoff.model.basis import Term, Working
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.measured import Need
from takeoff.model.roof import Roof, RoofEdge
from takeoff.model.runs import RunDemand, StockChoice
from takeoff.model.settings import Settings

sys.path.insert(0, str(Path(__file__).parent))

from rain_by_hand import GUTTER, chosen

Build = Callable[..., Roof]
LEVEL = "length of the edge and its external corners to the long point"
RAKING = "length of the edge and a plumb cut"
SIZE = (Mark(MarkKind.SIZE, (180.0, 20.0)),)
STOCK = tuple(range(3600, 6001, 300))


def edge(roof: Roof, name: str) -> RoofEdge:
    return next(edge for edge in roof.edges if edge.id == name)


def lengths(roof: Roof, made: Chosen, supports: float | None = None) -> list[float]:
    return [demand.length_mm for demand in fascia_need([roof], None, made, supports).demands]


def level(made: Chosen, n: int, edge: str, length: float, mm: float, splits: object, *more: Term) -> RunDemand:
    terms = (Term("length", length, "mm", ref=edge), Term("with its ends", mm, "mm"))
    working = Working(LEVEL, (*terms, made.settings.term("fascia_least_piece_mm"), *more))
    return RunDemand(
        f"F{n}", "fascia board", mm, splits, least_mm=1200.0, refs=(edge,), working=working  # type: ignore[arg-type]
    )  # fmt: skip


def test_fascia_round_a_hip(settings: Settings, hip_roof: Build) -> None:
    """12 x 8 m, each end 20 longer to its long point. Rafters every 900 from the middle: 600 to 11 400 of the long sides
    and 400 to 7600 of the short ones, from the board's end 20 more."""
    made = chosen(settings)
    need = fascia_need([hip_roof(12_000.0, 8000.0)], None, made)
    long, short = (tuple(range(620, 11_500, 900)), tuple(range(420, 7700, 900)))
    sides = zip(("E1", "E2", "E3", "E4"), (12_000.0, 8000.0) * 2, (long, short) * 2, strict=True)
    assert len(need.demands) == 4
    for n, (demand, (name, length, splits)) in enumerate(zip(need.demands, sides, strict=True), start=1):
        assert demand.splits_mm == pytest.approx(splits)
        assert replace(demand, splits_mm=None) == level(made, n, name, length, pytest.approx(length + 40.0), None)
    assert need.stock == (StockChoice("fascia board", STOCK),)
    assert need.items == (Made("fascia board", "fascia board", SIZE),)
    assert [quantity.item for quantity in need.quantities] == ["Fascia nail"]


def test_barges_up_a_gable(settings: Settings, gable_roof: Build) -> None:
    """Half of 8 m at 20 degrees: 4000 / cos 20, and 180 tan 20 for the plumb cut. The eaves end free."""
    made = chosen(settings)
    need = fascia_need([gable_roof(10_000.0, 8000.0, 20.0)], 4000.0, made)
    slope = 4000.0 / cos(radians(20))
    barge = slope + 180.0 * tan(radians(20))
    assert [(d.id, d.item, d.length_mm, d.splits_mm, d.refs) for d in need.demands[2:]] == [
        (f"BB{n}", "barge board", pytest.approx(barge), None, (f"E{n + 2}",)) for n in (1, 2, 3, 4)
    ]
    assert [d.length_mm for d in need.demands[:2]] == [10_000.0, 10_000.0]
    terms = (Term("length", pytest.approx(slope), "mm", ref="E3"), Term("with its ends", pytest.approx(barge), "mm"))  # type: ignore[arg-type]
    depth, least = (made.settings.term(name) for name in ("fascia_board_depth_mm", "fascia_least_piece_mm"))
    assert need.demands[2].working == Working(RAKING, (*terms, depth, least))
    assert need.demands[2].least_mm == 1200.0
    assert need.stock == (StockChoice("fascia board", (3600, 3900)), StockChoice("barge board", (3600, 3900)))
    assert need.items == (
        Made("fascia board", "fascia board", SIZE),
        Made("barge board", "barge board", SIZE),
    )


def test_fascia_of_metal_or_none(settings: Settings, hip_roof: Build, gable_roof: Build) -> None:
    """Metal with a clip-on gutter, or where the job says so: 3 to 6 m in metres, 30 thick here; barges stay boards."""
    clip = replace(chosen(settings, metal_fascia_thickness_mm=30), gutter=replace(GUTTER, system="clip_on_metal"))
    for made in (clip, chosen(settings, fascia_kind="metal", metal_fascia_thickness_mm=30)):
        need = fascia_need([hip_roof(4000.0, 3000.0)], None, made)
        assert [d.length_mm for d in need.demands] == pytest.approx([4060.0, 3060.0, 4060.0, 3060.0])
        assert need.stock == (StockChoice("metal fascia", (3000, 4000, 5000, 6000)),)
        assert need.items == (Made("metal fascia", "metal fascia", ()),)
        assert [quantity.item for quantity in need.quantities] == ["Fascia bracket with screw"]
    boards = replace(clip, settings=chosen(settings, fascia_kind="timber").settings)
    assert fascia_need([hip_roof()], None, boards).items == (Made("fascia board", "fascia board", SIZE),)
    none = chosen(settings, fascia_kind="none")
    assert fascia_need([gable_roof()], None, none) == Need("rainwater")


def test_stock_lengths(settings: Settings) -> None:
    def of(**given: object) -> tuple[int, ...]:
        values = {f"fascia_board_{name}_mm": value for name, value in given.items()}
        return _lengths("fascia_board", chosen(settings, **values).settings)

    assert of(shortest=4000, longest=5200, step=600) == (4000, 4600, 5200)
    assert of(shortest=4000, longest=5199, step=600) == (4000, 4600)
    assert of(shortest=5998, longest=6000, step=0) == (5998, 5999, 6000)
    assert of(shortest=7000, longest=6000, step=300) == (6000,)


def test_rafters_that_stock_cannot_reach(settings: Settings, hip_roof: Build) -> None:
    """Rafters every 7 m: on 12 m only one in the middle, 6020 from either end, where 6 m is the longest: joined anywhere."""
    demands = fascia_need([hip_roof(12_000.0, 8000.0)], None, chosen(settings), 7000.0).demands
    assert [d.splits_mm for d in demands] == [None, pytest.approx((520.0, 7520.0)), None, pytest.approx((520.0, 7520.0))][:1] + [
        d.splits_mm for d in demands[1:]
    ]  # fmt: skip
    own = chosen(settings, purlin_supports_mm=7000)
    assert fascia_need([hip_roof(12_000.0, 8000.0)], None, own).demands == demands
    left = chosen(settings, purlin_supports_from="left")
    (first, *_) = fascia_need([hip_roof(4000.0, 3000.0)], None, left).demands
    assert first.splits_mm == pytest.approx((920.0, 1820.0, 2720.0, 3620.0))


def test_corners_of_any_angle(settings: Settings, build_roof: Build) -> None:
    """A six-sided roof of 3 m a side: 120 degrees at each corner, 20 / tan 60 more at each end."""
    ring = [(3000.0 * cos(n * pi / 3), 3000.0 * sin(n * pi / 3), 0.0) for n in range(6)]
    sides = list(zip(ring, [*ring[1:], ring[0]], strict=True))
    planes = {f"P{n}": (a, b, (0.0, 0.0, 1500.0)) for n, (a, b) in enumerate(sides, start=1)}
    edges = [(EdgeKind.EAVE, a, b, (f"P{n}",), n) for n, (a, b) in enumerate(sides, start=1)]
    roof = build_roof(planes, edges)
    assert lengths(roof, chosen(settings)) == pytest.approx([3000.0 + 2 * 20 / tan(radians(60))] * 6)
    assert _external_deg(roof, roof.edges[0], roof.edges[1], roof.edges[0].high) == pytest.approx(120.0)
    assert _external_deg(roof, roof.edges[1], roof.edges[0], roof.edges[0].high) == pytest.approx(120.0)
    assert _external_deg(roof, roof.edges[0], roof.edges[2], roof.edges[0].high) is None


def test_inside_corners_add_nothing(settings: Settings, ell_roof: Build) -> None:
    """An ell: five corners stand out, that at (6, 6) m does not: legs of 15, 6, 9, 6, 6 and 12 m."""
    found = lengths(ell_roof(), chosen(settings))
    assert found == pytest.approx([15_040.0, 6040.0, 9020.0, 6020.0, 6040.0, 12_040.0])


def turned(x: float, y: float, z: float) -> tuple[float, float, float]:
    """A point turned by 30 degrees on the plan, so that no direction is along an axis."""
    c, s = cos(radians(30)), sin(radians(30))
    return (c * x - s * y, s * x + c * y, z)


def test_which_way_a_level_edge_runs(build_roof: Build) -> None:
    """Seen from outside: an eave from left to right along its plane, a head at its top from right to left."""
    ring = [turned(*at) for at in ((0, 0, 0), (6000, 0, 0), (6000, 3000, 900), (0, 3000, 900))]
    a, b, c, d = ring
    for low, high in ((a, b), (b, a)):
        edges = [(EdgeKind.EAVE, low, high, ("P1",), 1), (EdgeKind.HEAD, d, c, ("P1",), 3)]
        roof = build_roof({"P1": ring}, edges)
        eave, head = _side(roof, roof.edges[0]), _side(roof, roof.edges[1])
        at = {node.id: node.at_mm for node in roof.nodes}
        assert (at[eave.left], at[eave.right]) == (a, b)
        assert (at[head.left], at[head.right]) == (c, d)
        along = (6000 * cos(radians(30)), 6000 * sin(radians(30)))
        assert eave.along == pytest.approx(along)
        assert head.along == pytest.approx((-along[0], -along[1]))


def against_a_slope(build_roof: Build, long: float = 1500.0, rise: float = 0.5) -> Roof:
    """A dormer's eave, its far end on a roof that rises along it on its outer side, half a metre wide there. The dormer's
    plane rises to the other side; a valley goes up from that end, as its own verge does."""
    z = 2000.0 * rise
    back, front = turned(5000.0, 2000.0, z), turned(5000.0, 2000.0 - long, z)
    top = turned(8000.0, 2000.0, z + 1500.0)
    dormer = (back, front, turned(8000.0, 2000.0 - long, z + 1500.0), top)
    main = [
        turned(4500.0, 0.0, 0.0),
        turned(5000.0, 0.0, 0.0),
        back,
        turned(5000.0, 3000.0, 1.5 * z),
        turned(4500.0, 3000.0, 1.5 * z),
    ]
    edges = [(EdgeKind.EAVE, back, front, ("D",), 1), (EdgeKind.VALLEY, back, top, ("D", "M"))]
    return build_roof({"D": dormer, "M": main}, edges)


def test_a_board_that_ends_on_a_roof(settings: Settings, build_roof: Build) -> None:
    """50 clear of a rise of 1 in 2 takes 100 off; 180 of depth is cut 360 shorter below. The rafter in the middle of 1500
    then stands 650 from the board's end. A rise of 0.7 takes 71.4 off, and 257.143 below."""
    made, roof = chosen(settings), against_a_slope(build_roof)
    assert _rise(roof, roof.edges[0], roof.edges[0].low, [roof]) == pytest.approx(0.5)
    assert _rise(roof, roof.edges[0], roof.edges[0].high, [roof]) == 0.0
    for rise, off, cut in ((0.5, 100.0, 360.0), (0.7, 50 / 0.7, 257.143)):
        (demand,) = fascia_need([against_a_slope(build_roof, rise=rise)], None, made).demands
        terms = (Term("lower edge shorter, cut to the roof's slope", cut, "mm", ref="E1"),)
        terms = (*terms, made.settings.term("fascia_clear_of_roof_mm"))
        wanted = level(made, 1, "E1", pytest.approx(1500.0), pytest.approx(1500.0 - off), None, *terms)  # type: ignore[arg-type]
        assert replace(demand, splits_mm=None) == wanted
        assert demand.splits_mm == pytest.approx((750.0 - off,))


def test_no_room_for_a_board_beside_a_roof(settings: Settings, build_roof: Build) -> None:
    """100 off an eave of 119.9 leave less than the board is thick, 20: it stays as the eave is; off 120.1 they leave it."""
    made = chosen(settings)
    assert lengths(against_a_slope(build_roof, 119.9), made) == pytest.approx([119.9])
    (demand,) = fascia_need([against_a_slope(build_roof, 120.1)], None, made).demands
    assert (demand.length_mm, demand.least_mm) == (pytest.approx(20.1), demand.length_mm)


def test_an_eave_between_two_planes_carries_no_board(settings: Settings, build_roof: Build) -> None:
    a, b, c, d = (0.0, 0.0, 0.0), (6000.0, 0.0, 0.0), (6000.0, 3000.0, 900.0), (0.0, 3000.0, 900.0)
    planes = {"P1": (a, b, c, d), "P2": (b, a, (0.0, -3000.0, 900.0), (6000.0, -3000.0, 900.0))}
    roof = build_roof(planes, [(EdgeKind.EAVE, a, b, ("P1", "P2"), 1), (EdgeKind.HEAD, d, c, ("P1",), 3)])
    assert [demand.refs for demand in fascia_need([roof], None, chosen(settings)).demands] == [("E2",)]


def test_edges_that_carry_no_board(build_roof: Build, gable_roof: Build) -> None:
    """Between two planes, or shorter than half a millimetre: none."""
    roof = gable_roof()
    assert [_free(roof, edge(roof, name)) for name in ("E1", "E7")] == [True, False]
    assert _free(roof, replace(edge(roof, "E1"), faces=("P9",))) is False
    assert [_free(roof, replace(edge(roof, "E1"), length_mm=mm)) for mm in (0.5, 0.49)] == [True, False]
