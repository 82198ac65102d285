"""Lengths and boxes of roof screws, and what is told of a sheet as it is laid: by hand. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace
from math import dist
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.vectors import Point2
from takeoff.measure.roofing.fixings import screw_counts
from takeoff.measure.roofing.fixings.screw_counts import (
    ScrewLength,
    clear_screws,
    length_findings,
    plane_screws,
    screw_length,
    screw_quantities,
)
from takeoff.measure.roofing.sheets import sheet_pieces
from takeoff.measure.roofing.sheets.sheet_pieces import sheet_left_mm
from takeoff.model.basis import Basis, Quantity, Status, Term, Working
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.measured import PlaneScrews, RoofScrews
from takeoff.model.products import Profile, ProfileKind
from takeoff.model.roof import Frame, Roof, RoofEdge, RoofPlane
from takeoff.shape.strips.strips import Widths

SEEN = Basis(Status.SEEN, "a book", "a clause")
RIB = Profile("rib", "Rib", ProfileKind.TRAPEZOIDAL, 760.0, 800.0, 190.0, 29.0, False, 940.0, {0.4: 4.0}, {"*": SEEN})
TRAY = replace(RIB, id="tray", name="Tray", kind=ProfileKind.TRAY)
VALUES: dict[str, Any] = {
    "screw_embedment_diameters": 5.0, "roof_screw_diameter_mm": 6.0, "screw_embedment_mm": 27.0, "over_purlin_mm": 4.0,
    "roof_screw_length_mm": 0.0, "roof_screw_lengths": "90 50 65", "lap_is_end": True, "screw_spare_percent": 10.0, "screw_box": 100.0,
    "rooflight_screws": 3.4, "rooflight_screw_box": 50.0, "count_by_overall": True,
}  # fmt: skip


def settings(**more: Any) -> Any:
    known = VALUES | more
    basis = SimpleNamespace(words=lambda: "its source")
    return SimpleNamespace(
        number=known.__getitem__,
        word=known.__getitem__,
        flag=known.__getitem__,
        term=lambda name: Term(name, known[name], ""),
        basis=lambda name: basis,
    )


@pytest.mark.parametrize(
    ("depth", "more", "length", "hold"),
    [
        (29.0, {}, 65, 30.0),  # 29 + 4 + 5 x 6
        (31.0, {}, 65, 30.0),
        (31.1, {}, 90, 30.0),
        (16.0, {}, 50, 30.0),
        (90.0, {}, 90, 30.0),  # none is long enough: the longest
        (29.0, {"screw_embedment_mm": 35.0}, 90, 35.0),
        (29.0, {"roof_screw_length_mm": 74.6}, 75, 30.0),
    ],
)
def test_the_length_of_a_screw(depth: float, more: dict[str, Any], length: int, hold: float) -> None:
    found = screw_length(replace(RIB, depth_mm=depth), settings(**more))
    assert (found.mm, found.hold_mm) == (length, hold)
    given = more.get("roof_screw_length_mm")
    if given:
        assert found.terms == (Term("roof_screw_length_mm", given, ""),)
    else:
        names = [term.name for term in found.terms]
        assert names == ["depth_mm", "over_purlin_mm", "hold", "roof_screw_lengths"]
        assert (found.terms[0].value, found.terms[2].value) == (depth, hold)


def crossing(role: str, row: int, screws: int) -> Any:
    return SimpleNamespace(role=role, row=row, screws=screws)


def test_screws_row_by_row(monkeypatch: pytest.MonkeyPatch) -> None:
    """Trimmers and boards of a plane stand together; a tray is held by clips; a plane without a crossing is left out."""
    crossings = {
        "P1": [crossing("eave", 1, 4), crossing("purlin", 2, 3), crossing("eave", 1, 2), crossing("hip trimmer", 3, 1), crossing("valley board", 9, 1), crossing("hip trimmer", 4, 5)],
        "P2": [], "P3": [crossing("ridge", 7, 2)],
    }  # fmt: skip
    monkeypatch.setattr(screw_counts, "screw_crossings", lambda plane, *_: crossings[plane.plane])
    planes: Any = [
        SimpleNamespace(plane="P1", profile="rib"),
        SimpleNamespace(plane="P2", profile="rib"),
        SimpleNamespace(plane="P3", profile="tray"),
    ]
    pattern = RoofScrews(4, 3, "as told", (Term("code", 1, ""),))
    screws = dict.fromkeys(("P1", "P2", "P3"), pattern)
    found = plane_screws(planes, (), settings(), {"rib": RIB, "tray": TRAY}, screws)
    rows = (("row 1, eave", 6), ("row 2", 3), ("hip trimmers", 6), ("valley boards", 1))
    assert found == (
        PlaneScrews("P1", "as told", 4, 3, 65, rows),
        PlaneScrews("P3", "as told", 4, 3, 0, (("row 7, ridge", 2),)),
    )
    more = replace(found[0], plane="P4", rows=(("row 1, eave", 90),))
    boxes = list(screw_quantities((*found, more), screws | {"P4": pattern}, settings()))
    assert [(one.item, one.figure, one.unit, one.refs) for one in boxes] == [
        ("roof_screw_65", 2.0, "box", ("P1", "P4")),
        ("sheet_clip", 1.0, "box", ("P3",)),
    ]
    counts = [Term(f"P1: {name}", count, "each", ref="P1") for name, count in rows] + [
        Term("P4: row 1, eave", 90, "each", ref="P4")
    ]
    assert boxes[0].working.terms == (
        Term("counted", 106, "each"),
        *counts,
        Term("code", 1, ""),
        Term("screw_spare_percent", 10.0, ""),
        Term("screw_box", 100.0, ""),
    )


def test_screws_of_clear_sheets(monkeypatch: pytest.MonkeyPatch) -> None:
    """3.4 are three; no fewer than the metal beside, no more than crests: 4 of 760 / 190."""
    asked: list[int] = []

    def crossed(plane: Any, lines: Any, profile: Any, pattern: RoofScrews) -> list[Any]:
        asked.append(pattern.end)
        assert pattern.between == pattern.end
        return [crossing("purlin", 1, 20), crossing("purlin", 2, 25)]

    monkeypatch.setattr(screw_counts, "screw_crossings", crossed)

    def clear(name: str) -> Any:
        return SimpleNamespace(plane=name, profile="rib", pieces=[SimpleNamespace(mark=f"{name}.01")])

    screws = {"P1": RoofScrews(2, 1, "", ()), "P2": RoofScrews(3, 4, "", ()), "P3": RoofScrews(9, 9, "", ())}
    (found,) = clear_screws([clear(f"P{n}") for n in range(1, 5)], (), settings(), {"rib": RIB}, screws)
    assert asked == [3, 4, 4, 3]
    rule = "crossings of clear sheets and rows by one pattern, no fewer than the metal has; the maker's table prevails; with spares, whole boxes"
    terms = (
        Term("counted", 180, "each"),
        Term("rooflight_screws", 3.4, ""),
        Term("screw_spare_percent", 10.0, ""),
        Term("rooflight_screw_box", 50.0, ""),
    )
    assert found == Quantity(
        "rooflight_screw", "rooflight_screw", 4.0, "box", ("P1.01", "P2.01", "P3.01", "P4.01"), Working(rule, terms)
    )
    assert clear_screws([], (), settings(), {}, {}) == []


def test_screws_that_are_too_short() -> None:
    """50 through 29 and 4 hold 17 of 30: 63, so 65. Without one too short, purlins of 29 are too thin."""
    planes: Any = [SimpleNamespace(plane=name, profile=profile, pieces=pieces) for name, profile, pieces in
                   (("P1", "rib", (1,)), ("P2", "tray", (1,)), ("P3", "rib", ()), ("P4", "flat", ()))]  # fmt: skip
    profiles = {"rib": RIB, "tray": TRAY}
    short = settings(roof_screw_length_mm=50.0)
    text = "A roof screw of 50 mm through Rib (29 mm deep) holds 17 mm in the purlin; the least is 30."
    told = Finding(
        "screw-too-short",
        Severity.WARN,
        text,
        "Take a longer screw: `settings: {roof_screw_length_mm: 65}`.",
        ("P1", "P3"),
        source="its source",
    )
    assert length_findings(planes, short, profiles, 20.0) == (told,)
    thin = Finding(
        "purlin-too-thin",
        Severity.WARN,
        "Purlins 29 mm deep hold a roof screw by less than the 30 mm it needs.",
        "Take a deeper purlin.",
        source="its source",
    )
    assert length_findings(planes, settings(), profiles, 29.0) == (thin,)
    for deep in (0.0, 30.0, 45.0):
        assert length_findings(planes, settings(), profiles, deep) == ()
    assert length_findings((), settings(), profiles, 29.0) == ()
    for length, fits in ((63.0, True), (62.0, False)):
        assert (length_findings(planes, settings(roof_screw_length_mm=length), profiles, 0.0) == ()) is fits
    assert length_findings(planes[1:2], short, profiles, 0.0) == ()
    assert screw_counts.roof_screw_item(65) == "roof_screw_65"
    assert ScrewLength(1, 2.0, ()).hold_mm == 2.0


def test_the_left_edge_of_a_sheet() -> None:
    """Strips of 760 from 100, or from 6000 leftwards, 800 wide."""
    wide = Widths(760.0, 800.0)
    left, right = SimpleNamespace(side="left", start_u_mm=100.0), SimpleNamespace(side="right", start_u_mm=6000.0)
    assert [sheet_left_mm(strip, left, wide) for strip in (1, 3)] == [100.0, 1620.0]  # type: ignore[arg-type]
    assert [sheet_left_mm(strip, right, wide) for strip in (1, 3)] == [5200.0, 3680.0]  # type: ignore[arg-type]


def edge(name: str, kind: EdgeKind, a: Point2, b: Point2) -> RoofEdge:
    ends = (*a, 0.0), (*b, 0.0)
    return RoofEdge(name, "main", kind, "N1", "N2", *ends, ("P1",), dist(a, b), dist(a, b), 0.0, 150.0, True)


def test_feet_that_are_turned_down() -> None:
    roof: Any = SimpleNamespace(
        edges=(edge("E1", EdgeKind.EAVE, (0.0, 0.0), (9.0, 0.0)), edge("V1", EdgeKind.VALLEY, (0.0, 0.0), (9.0, 9.0)))
    )

    def turned(foot: str, number: int, turn: float) -> float:
        part: Any = SimpleNamespace(sheet=[SimpleNamespace(foot_edge=""), SimpleNamespace(foot_edge=foot)])
        return sheet_pieces._turn(part, number, SimpleNamespace(foot_turn_mm=turn), SimpleNamespace(roof=roof))  # type: ignore[arg-type]

    assert [
        turned(*row) for row in (("E1", 0, 25.0), ("V1", 0, 25.0), ("E1", 1, 25.0), ("E1", 0, 0.0), ("", 0, 25.0))
    ] == [25.0, 0.0, 0.0, 0.0, 0.0]


def test_the_rule_of_a_sheet() -> None:
    laid: Any = SimpleNamespace(out=SimpleNamespace(side="left", why="from the lee end"))
    run: Any = SimpleNamespace(strip=3)

    def rule(raked: bool, turn: float, lap: float) -> str:
        return sheet_pieces._rule("P1.03", run, SimpleNamespace(lap_mm=lap), SimpleNamespace(raked=raked), turn, laid)  # type: ignore[arg-type]

    tail = ("rounded up once to the step; reach is the longest length over the sheet's overall width, between its edges moved by their trims; strip 3 from"
            " the left, from the lee end")  # fmt: skip
    assert rule(False, 0.0, 0.0) == f"P1.03: bought alone = (reach) {tail}"
    assert (
        rule(True, 25.0, 150.4)
        == f"P1.03: bought alone = (reach + raked allowance + turn-down) {tail}; lapped 150 mm under the part above"
    )


def test_what_a_sheet_is_bought_by() -> None:
    trim: Any = SimpleNamespace(mm=-25.0, terms=(Term("ridge_gap_mm", 50.0, "mm"),))
    plane = RoofPlane(
        "P1",
        "main",
        Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
        (),
        (1,),
        1,
        20.12345,
        180.0,
        1.0,
        1.0,
    )
    laid: Any = SimpleNamespace(
        ground=SimpleNamespace(plane=plane, trims={"R1": trim}),
        out=SimpleNamespace(start_u_mm=12.34567),
        laps=SimpleNamespace(terms=(Term("lap", 1, ""),)),
    )
    laying: Any = SimpleNamespace(
        profile=replace(RIB, foot_turn_mm=25.0), widths=Widths(760.0, 800.0), settings=settings()
    )
    bought = SimpleNamespace(mm=3050.0, terms=(Term("step", 10.0, "mm"),))
    ends: Any = SimpleNamespace(
        reach_mm=3012.34567, bought=bought, foot=SimpleNamespace(edges=("E1", "R1")), top=SimpleNamespace(edges=("R1",))
    )
    first = (
        Term("reach", 3012.346, "mm", ref="m"),
        Term("step", 10.0, "mm"),
        Term("bought alone", 3050.0, "mm", ref="m"),
    )
    last = (
        Term("cover_mm", 760.0, "mm", SEEN), Term("overall_mm", 800.0, "mm", SEEN), Term("count_by_overall", True, ""), Term("start line", 12.346, "mm", ref="P1"),
        Term("pitch", 20.123, "deg", ref="P1"), Term("trim", -25.0, "mm", ref="R1"), Term("ridge_gap_mm", 50.0, "mm", ref="R1"),
    )  # fmt: skip

    def terms(lap: float, turn: float) -> tuple[Term, ...]:
        own = sheet_pieces.plane_terms(laid, laying)
        return sheet_pieces._terms("m", SimpleNamespace(lap_mm=lap), ends, turn, laid, laying, own)  # type: ignore[arg-type]

    assert terms(0.0, 0.0) == (*first, *last)
    assert terms(150.0, 25.0) == (*first, Term("foot_turn_mm", 25.0, "mm", SEEN), *last, Term("lap", 1, ""))
    laid.laps = None
    assert terms(150.0, 0.0) == (*first, *last)


def test_edges_that_a_sheet_is_notched_along() -> None:
    """A wall up the slope at 400 from 1000 to 2000, the eave its foot follows, an apron across it; what lies on its sides, above
    it or aslant is none."""
    ring = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
    plane = RoofPlane(
        "P1",
        "main",
        Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
        (ring,),
        (1,),
        1,
        20.0,
        180.0,
        1.0,
        1.0,
    )
    side = EdgeKind.APRON_SIDE
    edges = (
        edge("S1", side, (400.0, 1000.0), (400.0, 2000.0)), edge("S2", side, (0.0, 1000.0), (0.0, 2000.0)), edge("S3", side, (800.0, 1000.0), (800.0, 2000.0)),
        edge("S4", side, (300.0, 3000.0), (300.0, 3900.0)), edge("S5", side, (400.0, 1000.0), (500.0, 2000.0)), edge("S6", side, (500.0, 2500.0), (500.0, 1500.0)),
    )  # fmt: skip
    roof = Roof("main", (0.0, 0.0, 0.0), (), (), (), (plane,), (), edges, ())
    piece: Any = SimpleNamespace(
        outline_uv=((0.0, 0.0), (800.0, 0.0), (800.0, 3000.0), (0.0, 3000.0)),
        foot_v_mm=0.0,
        foot=SimpleNamespace(edges=("E1",)),
        top=SimpleNamespace(edges=("R1",)),
    )
    slabs: Any = [SimpleNamespace(foot_edge="E1", top_edge=""), SimpleNamespace(foot_edge="A1", top_edge="R1")]
    assert sheet_pieces._beside(piece, slabs, SimpleNamespace(plane=plane), roof) == ("A1", "S1", "S6")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("u", "low", "high", "told"),
    [
        (102.0, 1000.0, 2000.0, False),  # 2 mm from its side is on its side
        (102.1, 1000.0, 2000.0, True),
        (898.0, 1000.0, 2000.0, False),
        (897.9, 1000.0, 2000.0, True),
        # from its foot at 500 to its head at 3000, by more than 2 mm
        (400.0, 100.0, 502.0, False),
        (400.0, 100.0, 502.1, True),
        (400.0, 2998.0, 3900.0, False),
        (400.0, 2997.9, 3900.0, True),
    ],
)
def test_edges_beside_a_notch_by_two_millimetres(u: float, low: float, high: float, told: bool) -> None:
    ring = ((0.0, 0.0), (6000.0, 0.0), (6000.0, 4000.0), (0.0, 4000.0))
    level = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    plane = RoofPlane("P1", "main", level, (ring,), (1,), 1, 20.0, 180.0, 1.0, 1.0)
    up = edge("S1", EdgeKind.APRON_SIDE, (u, low), (u, high))
    aslant = edge("S2", EdgeKind.APRON_SIDE, (400.0, 1000.0), (402.1, 2000.0))
    near = edge("S3", EdgeKind.APRON_SIDE, (600.0, 1000.0), (602.0, 2000.0))
    roof = Roof("main", (0.0, 0.0, 0.0), (), (), (), (plane,), (), (up, aslant, near), ())
    none: Any = SimpleNamespace(edges=())
    piece: Any = SimpleNamespace(
        outline_uv=((100.0, 500.0), (900.0, 500.0), (900.0, 3000.0), (100.0, 3000.0)),
        foot_v_mm=500.0,
        foot=none,
        top=none,
    )
    found = sheet_pieces._beside(piece, (), SimpleNamespace(plane=plane), roof)  # type: ignore[arg-type]
    assert found == (("S1", "S3") if told else ("S3",))


def test_clear_sheets_without_metal_beside_them(monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither the setting nor metal asks for a screw: none."""
    asked: list[RoofScrews] = []
    monkeypatch.setattr(screw_counts, "screw_crossings", lambda plane, lines, profile, own: asked.append(own) or ())
    clear: Any = SimpleNamespace(plane="P1", profile="rib", pieces=())
    assert clear_screws([clear], (), settings(rooflight_screws=0.4), {"rib": RIB}, {}) == []
    assert asked == [RoofScrews(0, 0, "", ())]


def test_purlins_of_a_depth_that_is_hardly_one() -> None:
    """0 says that it is not known."""
    planes: Any = [SimpleNamespace(plane="P1", profile="rib", pieces=(1,))]
    found = [length_findings(planes, settings(), {"rib": RIB}, mm) for mm in (0.0, 0.9)]
    assert found[0] == ()
    assert [one.text for one in found[1]] == ["Purlins 1 mm deep hold a roof screw by less than the 30 mm it needs."]
