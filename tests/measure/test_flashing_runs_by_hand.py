"""One flashing along one edge, whole: its dressings, pieces, hand, section and what it is bought as. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace
from math import dist
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.vectors import Point3
from takeoff.measure.roofing.flashings import flashings
from takeoff.measure.roofing.flashings.flashing_cover import Cover
from takeoff.measure.roofing.flashings.flashing_shapes import Shaped, Wanted
from takeoff.measure.roofing.flashings.fold_sections import Bent, Leg, section
from takeoff.model.basis import SET_IN_JOB, Term, Working
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.job.site import Site
from takeoff.model.measured import FlashingRun
from takeoff.model.products import ProfileKind
from takeoff.model.roof import Frame, Roof, RoofEdge, RoofPlane

VALUES = {
    "low_mm": 130.0, "high_mm": 70.0, "flashing_lap_mm": 150.0, "flashing_length_mm": 0.0, "rain_if_not_given_mm_per_h": 90.0,
    "square_to_wind_deg": 1.0,
}  # fmt: skip
SQUARE = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
PLANE = RoofPlane(
    "P1", "main", Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)), (SQUARE,), (1,), 1, 20.0, 180.0, 1.0, 1.0
)  # fmt: skip
BENT = Bent((Leg("hem", 10.0), Leg("top", 100.2, -180.0), Leg("face", 60.0, -90.0)), 30.0)
COVER = Cover("a", Term("cover category", "A", ""))
SHAPE = Term("shape", 1.0, "mm")


def settings(**more: float) -> Any:
    known = VALUES | more
    return SimpleNamespace(
        number=known.__getitem__, term=lambda name: Term(name, known[name], "mm"), unit=lambda name: "mm"
    )


def edge(kind: EdgeKind, a: Point3, b: Point3) -> RoofEdge:
    return RoofEdge("X1", "main", kind, "N1", "N2", a, b, ("P1",), dist(a, b), dist(a, b), 0.0, 150.0, True)


RIDGE = edge(EdgeKind.RIDGE, (100.0, 4000.0, 0.0), (5900.0, 4000.0, 0.0))
RIGHT, LEFT = (edge(EdgeKind.VERGE, (x, 0.0, 0.0), (x, 4000.0, 0.0)) for x in (6000.0, 0.0))


def run(
    of: RoofEdge, shaped: Shaped, monkeypatch: pytest.MonkeyPatch, *, corrugate: bool = True, handed: bool = True,
    chosen: Any = None, site: Site | None = None, planes: tuple[RoofPlane, ...] = (PLANE,), lee: str = "east", **more: float,
) -> tuple[FlashingRun, Wanted]:  # fmt: skip
    """The run, and what its shape was asked for by."""
    asked: list[Wanted] = []

    def shape(product: Any, wanted: Wanted) -> Shaped:
        asked.append(wanted)
        return shaped

    monkeypatch.setattr(flashings, "shape_of", shape)
    monkeypatch.setattr(flashings, "end_dressings", lambda roof, of: ("low_mm", "high_mm"))
    products: Any = {
        name: SimpleNamespace(id=name, name=name.title(), handed=handed, stock_mm=6000, basis={"*": SET_IN_JOB}) for name in ("ridge", "barge", "own")
    }  # fmt: skip
    profile: Any = SimpleNamespace(kind=ProfileKind.CORRUGATED if corrugate else ProfileKind.TRAPEZOIDAL)
    roof = Roof("main", (0.0, 0.0, 0.0), (), (), (), (PLANE,), (), (of,), ())
    ground = flashings._Ground(roof, profile, site or Site(), settings(**more), products, chosen or {}, lee, 0.0)
    return flashings._run(ground, of, planes, COVER), asked[0]


def test_a_ridge_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    """5800 with 130 and 70 are 6000, one piece of 6 m; 171 of girth, two folds, at 131 degrees."""
    shaped = Shaped(BENT, 130.5, (SHAPE,), soft_edges=2, way="convex")
    found, wanted = run(RIDGE, shaped, monkeypatch)
    terms = (
        Term("net length", 5800.0, "mm", ref="X1"),
        *(Term(name, VALUES[name], "mm") for name in ("low_mm", "high_mm", "flashing_lap_mm")),
        *(Term("stock_mm", 6000, "mm", SET_IN_JOB), SHAPE),
    )
    rule = "net length and dressings; pieces = ceil((run - lap) / (stock - lap)) = 1"
    item = "ridge_171_131_convex"
    folded = replace(section(item, "Ridge", BENT, 2), hand="", handed=True)
    assert found == FlashingRun(
        "FX1", "X1", EdgeKind.RIDGE, "ridge", 5800.0, 130.0, 70.0, 171.0, 2, 130.5, "", Working(rule, terms), item, folded,
        "the lee end (east)", 6000, "convex", False,
    )  # fmt: skip
    assert (wanted.edge, wanted.pitches_deg, wanted.cover, wanted.rain_mm_per_h) == (RIDGE, (20.0,), COVER, 90.0)
    assert run(RIDGE, shaped, monkeypatch, site=Site(rain_mm_per_h=120.0))[1].rain_mm_per_h == 120.0


@pytest.mark.parametrize(
    ("more", "stock", "pieces"),
    [
        ({}, 6000, 1),
        ({"high_mm": 70.1}, 6000, 2),
        ({"low_mm": 130.1}, 6000, 2),
        ({"low_mm": 6000.0, "high_mm": 50.0}, 6000, 2),  # 11,850 is two lengths and a lap
        ({"low_mm": 50.0, "high_mm": 6001.0}, 6000, 3),
        ({"flashing_length_mm": 3075.0}, 3075, 2),
        ({"flashing_length_mm": 3074.0}, 3074, 3),
    ],
)
def test_lengths_of_a_flashing(
    more: dict[str, float], stock: int, pieces: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    found, _ = run(RIDGE, Shaped(BENT, 130.0, ()), monkeypatch, **more)
    assert (found.stock_mm, found.working.rule.rpartition(" ")[2]) == (stock, f"{pieces}")


@pytest.mark.parametrize(
    ("soft", "corrugate", "ribbed", "edges"),
    [(2, True, False, 2), (2, False, True, 0), (0, False, False, 0), (0, True, False, 0)],
)
def test_what_is_dressed_or_notched(
    soft: int, corrugate: bool, ribbed: bool, edges: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Into corrugate, or over ribs: two things to order."""
    found, _ = run(RIDGE, Shaped(BENT, 90.0, (), soft_edges=soft), monkeypatch, corrugate=corrugate)
    assert (found.ribbed, found.item) == (ribbed, "ridge_171_90" + ("_ribbed" if ribbed else ""))
    assert found.section is not None
    assert found.section.soft_edges == edges


def test_hands_of_a_barge(monkeypatch: pytest.MonkeyPatch) -> None:
    """Drawn for the left one: the right one is its mirror image. What can be turned end for end is one thing to buy."""
    shaped = Shaped(BENT, 90.0, (), hand="left")
    for of, hand, bent in ((LEFT, "left", BENT), (RIGHT, "right", BENT.mirrored())):
        for handed in (True, False):
            found, _ = run(of, shaped, monkeypatch, handed=handed)
            item = f"barge_171_90_{hand}" if handed else "barge_171_90"
            assert (found.hand, found.item, found.lap_from) == (hand, item, "the eave up")
            assert found.section == replace(section(item, "Barge", bent, 0), hand=hand, handed=handed)
    # what has no hand is not mirrored, though its edge has a side
    plain, _ = run(RIGHT, Shaped(BENT, 90.0, ()), monkeypatch)
    assert plain.hand == ""
    assert plain.section == replace(section("barge_171_90", "Barge", BENT, 0), hand="", handed=True)


def test_a_flashing_that_the_job_chose(monkeypatch: pytest.MonkeyPatch) -> None:
    found, _ = run(RIDGE, Shaped(BENT, 90.0, ()), monkeypatch, chosen={"ridge": "own", "verge": "barge"})
    assert (found.flashing, found.item) == ("own", "own_171_90")
    assert found.section is not None
    assert found.section.name == "Own"


def test_a_ridge_square_to_the_wind(monkeypatch: pytest.MonkeyPatch) -> None:
    """It has no lee end: it is lapped from the left end seen from the eave of the first of its planes."""
    across = replace(
        PLANE,
        id="P2",
        pitch_deg=25.0,
        frame=Frame((0.0, 8000.0, 0.0), (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),
    )
    for planes, end, pitches in (((PLANE, across), "west", (20.0, 25.0)), ((across, PLANE), "east", (25.0, 20.0))):
        found, wanted = run(RIDGE, Shaped(BENT, 90.0, ()), monkeypatch, planes=planes, lee="north")
        assert found.lap_from == f"the {end} end (square to the wind: no lee end)"
        assert wanted.pitches_deg == pitches
