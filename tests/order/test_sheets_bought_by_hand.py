"""Sheets as they are bought, by hand: ends that nest, pairs, short pieces, lines and totals."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from made_up_sheets import RIB, SEEN, SQUARE, piece, planes, raked

from takeoff.model.basis import Basis, Status, Term, Working
from takeoff.model.items import Item, ItemKind, Trade
from takeoff.model.order import OrderLine
from takeoff.model.sheets import BlankPart, CutShape, EndCut, SheetBlank, SheetGroup
from takeoff.order.sheets import sheet_blanks as of_blanks
from takeoff.order.sheets.nesting import EndLine, end_line, nested_mm
from takeoff.order.sheets.raked_pairs import Half, PairRule, _parts, best_ends, halves_of, pair_length, why_not


def line(*points: tuple[float, float]) -> EndLine:
    return EndLine(points)


def test_slack_along_an_end() -> None:
    one = line((0.0, 0.0), (400.0, 100.0), (800.0, 500.0))
    assert [one.at(u) for u in (0.0, 200.0, 400.0, 600.0, 800.0)] == [0.0, 50.0, 100.0, 300.0, 500.0]
    assert one.turned(800.0).points == ((0.0, 500.0), (400.0, 100.0), (800.0, 0.0))
    assert one.turned(1000.0).points == ((200.0, 500.0), (600.0, 100.0), (1000.0, 0.0))
    assert (hash(one) == hash(line(*one.points)), one == line(*one.points)) == (True, True)


@pytest.mark.parametrize(
    ("low", "high", "nested"),
    [
        (((0.0, 0.0), (800.0, 300.0)), ((0.0, 300.0), (800.0, 0.0)), 300.0),  # one rake and its offcut
        (((0.0, 0.0), (800.0, 300.0)), ((0.0, 0.0), (800.0, 300.0)), 0.0),  # the same hand, not turned
        (((0.0, 0.0), (800.0, 300.0)), ((0.0, 200.0), (800.0, 0.0)), 200.0),
        (((0.0, 0.0), (400.0, 300.0), (800.0, 0.0)), ((0.0, 300.0), (400.0, 0.0), (800.0, 300.0)), 300.0),
        (((0.0, 0.0), (400.0, 300.0), (800.0, 0.0)), ((0.0, 100.0), (800.0, 100.0)), 100.0),
        (((0.0, 300.0), (400.0, 300.0), (800.0, 50.0)), ((0.0, 10.0), (800.0, 10.0)), 60.0),
        # only from 300 to 500 both need their place: 300 / 800 of a rake and all of 80
        (((0.0, 0.0), (500.0, 500.0)), ((300.0, 0.0), (800.0, 500.0)), 300.0),
        (((0.0, 0.0), (400.0, 0.0)), ((400.0, 0.0), (800.0, 0.0)), 0.0),
        (((0.0, 70.0), (300.0, 70.0)), ((500.0, 50.0), (800.0, 50.0)), 0.0),
    ],
)
def test_what_two_ends_leave_free(low: Any, high: Any, nested: float) -> None:
    assert nested_mm(line(*low), line(*high)) == nested_mm(line(*high), line(*low)) == pytest.approx(nested)


def test_ends_that_may_face_another() -> None:
    top, foot = raked(2000.0, 1700.0), raked(300.0, 0.0, top=False)
    assert end_line(piece("a", 2000.0, top), "top", 800.0) == line((0.0, 0.0), (800.0, 300.0))
    assert end_line(piece("a", 2000.0, SQUARE, foot), "foot", 800.0) == line((0.0, 300.0), (800.0, 0.0))
    assert end_line(piece("a", 2000.0, top), "foot", 800.0) is None  # square
    assert end_line(piece("a", 2000.0, top, notched=True), "top", 800.0) is None
    assert end_line(piece("a", 2000.0, top, cover_uv=((), ())), "top", 800.0) is None
    step = EndCut(CutShape.BROKEN, points_mm=((0.0, 9.0), (400.0, 9.0), (400.0, 5.0), (800.0, 5.0)))
    assert end_line(piece("a", 2000.0, step), "top", 800.0) is None
    # a stretch of just a millimetre is a side, a shorter one a step
    for wide, met in ((1.0, line((0.0, 0.0), (400.0, 0.0), (401.0, 4.0), (800.0, 4.0))), (0.75, None)):
        bent = EndCut(CutShape.BROKEN, points_mm=((0.0, 9.0), (400.0, 9.0), (400.0 + wide, 5.0), (800.0, 5.0)))
        assert end_line(piece("a", 2000.0, bent), "top", 800.0) == met
    # ripped along its right side, 100 short of the sheet's edge: not where that side is a point
    cut = EndCut(CutShape.RAKED, points_mm=((0.0, 2000.0), (700.0, 1700.0)))
    short = EndCut(CutShape.SQUARE, points_mm=((0.0, 0.0), (700.0, 0.0)))
    corners = ((0.0, 0.0), (700.0, 0.0))
    assert end_line(piece("a", 2000.0, cut, short, corners_mm=corners), "top", 800.0) is None
    point = EndCut(CutShape.RAKED, points_mm=((0.0, 2000.0), (700.0, 0.0)))
    assert end_line(piece("a", 2000.0, point, short, corners_mm=corners), "top", 800.0) == line(
        (0.0, 0.0), (700.0, 2000.0)
    )
    # a point halfway up, 500 over its foot, is one too
    rising, falling = (EndCut(CutShape.RAKED, points_mm=((0.0, at), (700.0, 500.0))) for at in (0.0, 2000.0))
    both = piece("a", 2000.0, falling, rising, corners_mm=corners)
    assert end_line(both, "top", 800.0) == line((0.0, 0.0), (700.0, 1500.0))
    assert end_line(both, "foot", 800.0) == line((0.0, 0.0), (700.0, 500.0))
    # a millimetre off the sheet's edge is on it, at either side
    for left, right, free in ((1.0, 800.0, True), (1.1, 800.0, False), (0.0, 799.0, True), (0.0, 798.9, False)):
        top = EndCut(CutShape.RAKED, points_mm=((left, 2000.0), (right, 1700.0)))
        square = EndCut(CutShape.SQUARE, points_mm=((left, 0.0), (right, 0.0)))
        own = piece("a", 2000.0, top, square, corners_mm=((left, 0.0), (right, 0.0)))
        assert (end_line(own, "top", 800.0) is not None) is free


def rule(**more: Any) -> PairRule:
    return PairRule(**{"overall_mm": 800.0, "half_turn_same": False, "limit_mm": 6000.0, "rake_deg": 0.5, "allowance_mm": 50.0,
                       "step_mm": 10.0, "least_mm": 600.0} | more)  # fmt: skip


def half(
    end: str = "top",
    *,
    side: str = "left",
    rises: str = "left",
    rake: float = 20.0,
    order: float = 2000.0,
    slack: Any = None,
    **more: Any,
) -> Half:
    points = slack or (((0.0, 0.0), (800.0, 300.0)) if rises == "left" else ((0.0, 300.0), (800.0, 0.0)))
    guests = more.pop("guests", 0.0)
    return Half(piece(f"{end}{order}", order, start_side=side, **more), end, line(*points), rises, rake, order, guests)


def test_the_ends_of_a_piece() -> None:
    top, foot = raked(2000.0, 1700.0), raked(300.0, 0.0, top=False)
    one = piece("a", 2000.0, top, foot)
    high, low = halves_of(one, RIB)
    assert (high.end, high.rises, high.rake_deg, high.alone_mm, high.guests_mm) == ("top", "left", 20.0, 2000.0, 0.0)
    # a foot is lower where the sheet is longer: it rises away from there
    assert (low.end, low.rises, low.simple) == ("foot", "left", True)
    assert halves_of(piece("b", 2000.0), RIB) == ()
    # a rake over a part of the width is no simple one; 799 of 800 is the whole
    for wide, simple in ((798.9, False), (799.0, True)):
        cut = EndCut(CutShape.RAKED, ("H1",), 20.0, "left", ((800.0 - wide, 2000.0), (800.0, 1700.0)))
        corner = ((800.0 - wide, 0.0), (800.0, 0.0))
        square = EndCut(CutShape.SQUARE, points_mm=corner)
        found = halves_of(piece("c", 2000.0, cut, square, corners_mm=corner), RIB)
        assert [own.simple for own in found] == [simple] * len(found)
    for off, simple in ((0.6, False), (0.5, True)):
        cut = EndCut(CutShape.RAKED, ("H1",), 20.0, "left", ((off, 2000.0), (800.0 - off, 1700.0)))
        corner = ((off, 0.0), (800.0 - off, 0.0))
        square = EndCut(CutShape.SQUARE, points_mm=corner)
        (found_end,) = halves_of(piece("c", 2000.0, cut, square, corners_mm=corner), RIB)
        assert (found_end.simple, found_end.rises) == (simple, "left" if simple else "")
    # what a piece adds alone: the mill's least run, unless others are cut from it or it from another
    guest = piece("g", 200.0)
    assert halves_of(piece("d", 500.0, top), RIB, (), 600.0)[0].alone_mm == 600.0
    assert halves_of(piece("d", 700.0, top), RIB, (), 600.0)[0].alone_mm == 700.0
    with_guest = halves_of(piece("d", 500.0, top), RIB, (guest, guest), 600.0)[0]
    assert (with_guest.alone_mm, with_guest.guests_mm) == (500.0, 400.0)
    assert halves_of(piece("d", 500.0, top, cut_from="e"), RIB, (), 600.0)[0].alone_mm == 500.0


def test_the_length_of_a_pair() -> None:
    """1950 + 2450 and two allowances of 50 less 300 that nest: 4200; never under the longer one, nor the least run."""
    long = half(side="right", order=2500.0)
    assert pair_length(half(), long, rule()) == 1950.0 + 2450.0 + 100.0 - 300.0
    assert (
        pair_length(half(), half("foot", rises="left", order=2500.0, slack=((0.0, 300.0), (800.0, 0.0))), rule())
        == 4200.0
    )
    turned = half(order=2500.0, foot_turn_mm=27.0, reach_mm=2450.5)
    assert pair_length(half(), turned, rule()) == 4230.0  # 4227.5 in steps of 10
    deep = half("foot", slack=((0.0, 9000.0), (800.0, 9000.0)), order=2500.0)
    assert pair_length(half(), deep, rule()) == 2500.0
    assert pair_length(half(order=100.0), half(order=100.0), rule()) == 600.0


def test_why_two_pieces_are_no_pair() -> None:
    """Turned, the same hand on planes laid opposite ways; not turned, a top and a foot on planes laid the same way."""
    one, other = half(), half(side="right")
    foot = half("foot", slack=((0.0, 300.0), (800.0, 0.0)))
    same = "both planes are laid the same way: turned, its lap would be on the wrong side"
    opposite = "the planes are laid opposite ways: not turned, its lap would be on the wrong side"
    rows = [
        (one, other, rule(), ""),
        (one, half(), rule(), same),
        (one, half(), rule(half_turn_same=True), ""),
        (one, foot, rule(), ""),
        (one, replace(foot, piece=other.piece), rule(), opposite),
        (one, replace(foot, piece=other.piece), rule(half_turn_same=True), ""),
        (one, half(side="right", profile="wave"), rule(), "not the same profile"),
        (one, half(side="right", rake=20.6), rule(), "not the same rake"),
        (one, half(side="right", rake=20.5), rule(), ""),
        (one, half(side="right", rises="right"), rule(), "not the same hand"),
        (one, half("foot", rises="right"), rule(), "the valley does not rise the way the hip does"),
        (one, other, rule(limit_mm=3700.0), ""),
        (one, other, rule(limit_mm=3699.0), "together longer than the longest piece"),
        (one, replace(other, guests_mm=100.0), rule(limit_mm=3799.0), "together longer than the longest piece"),
        (one, half(side="right", slack=((0.0, 0.0), (800.0, 100.0))), rule(), ""),
        (one, half(side="right", slack=((0.0, 0.0), (800.0, 0.0))), rule(), "their outlines do not nest"),
        (one, replace(half(side="right", rises="right"), rake_deg=0.0), rule(), "their outlines do not nest"),
    ]
    for a, b, by, why in rows:
        assert why_not(a, b, by) == why_not(b, a, by) == why
    assert best_ends([one], [half(), other], rule()) == (0, 1)
    assert best_ends([one], [half()], rule()) is None
    little = half(side="right", slack=((0.0, 0.0), (800.0, 100.0)))
    assert best_ends([one], [little, other], rule()) == (0, 1)


def test_where_two_pieces_lie_in_their_length() -> None:
    """Two tops: the second turned, its top down; two feet: the first turned; a top and a foot: the foot above the top."""
    a, b = half(), half(side="right", order=2500.0, foot_turn_mm=27.0)
    first, second = a.piece.mark, b.piece.mark
    assert _parts(a, b, 4200.0) == (BlankPart(first, 0.0, False), BlankPart(second, 4200.0 - 2450.0 - 27.0, True))
    low, high = half("foot"), half("foot", order=2500.0, foot_turn_mm=27.0)
    assert _parts(low, high, 4200.0) == (
        BlankPart(low.piece.mark, 0.0, True),
        BlankPart(high.piece.mark, 1750.0, False),
    )
    for pair in ((a, high), (high, a)):
        assert _parts(*pair, 4200.0) == (BlankPart(first, 0.0, False), BlankPart(high.piece.mark, 1750.0, False))


def blank(name: str, length: float, *parts: tuple[str, float], **more: Any) -> SheetBlank:
    return SheetBlank(name, "rib", length, tuple(BlankPart(mark, start, False) for mark, start in parts), **more)


def test_short_pieces_in_the_length_they_are_cut_from() -> None:
    settings: Any = SimpleNamespace(number={"least_run_mm": 600.0}.__getitem__)
    found = of_blanks.plain_blanks(
        [
            planes(
                piece("a", 2000.0),
                piece("b", 300.0, cut_from="a"),
                piece("c", 2500.0),
                piece("d", 200.0, cut_from="a"),
                piece("e", 500.0),
            )
        ],
        RIB,
        settings,
    )
    assert found == (
        blank("rib 001", 2500.0, ("a", 0.0), ("b", 2000.0), ("d", 2300.0)),
        blank("rib 002", 2500.0, ("c", 0.0)),
        blank("rib 003", 600.0, ("e", 0.0)),
    )


STEEL: Any = SimpleNamespace(
    number={"steel_kg_per_m2_mm": 7.85, "coating_kg_per_m2": 0.3}.__getitem__, term=lambda name: Term(name, 1.0, "")
)
SHEET = Item("rib_sheet", "rib", ItemKind.SHEET, Trade.ROOFING, "m")


def test_mass_of_a_metre() -> None:
    """0.94 m of girth: 0.55 mm x 7.85 + 0.3 kg/m2."""
    assert of_blanks.kg_per_m(RIB, 0.4, STEEL) == (4.0, (Term("kg_per_m", 4.0, "kg/m", SEEN, "0.4 mm"),))
    value, terms = of_blanks.kg_per_m(RIB, 0.55, STEEL)
    assert value == pytest.approx(0.94 * (0.55 * 7.85 + 0.3))
    assert terms == (
        Term("girth_mm", 940.0, "mm", SEEN), Term("bmt_mm", 0.55, "mm"), Term("steel_kg_per_m2_mm", 1.0, ""),
        Term("coating_kg_per_m2", 1.0, ""), Term("kg_per_m", 4.34, "kg/m", Basis(Status.DERIVED)),
    )  # fmt: skip


def test_figures_of_the_mill_are_rounded_once() -> None:
    """Three of 1234.56 mm: 3.70368 m and 14.81472 kg; their cover of 0.76 m is 2.8147968 m2."""
    foot = raked(300.0, 0.0, top=False)
    sheets = planes(*(piece(mark, 1234.56, SQUARE, foot) for mark in "abc"), net=2_345_678.0)
    blanks = [SheetBlank(mark, "rib", 1234.56, (BlankPart(mark, 0.0, mark == "c"),)) for mark in "abc"]
    blanks[2] = replace(blanks[2], pieces=(BlankPart("c", 0.0, True), BlankPart("a", 9.0, False)))
    (found,) = of_blanks.mill_lines(blanks, SheetGroup(RIB, 0.4, "", (sheets,)), SHEET, STEEL)
    assert (found.count, found.total, found.kg) == (3, 3.704, 14.8)
    assert [term.value for term in found.working.terms] == [3, 1234.56, 3.704, 4.0, 14.8]
    assert found.note == "trim rakes on site; a turned, with c"
    plain: Any = SimpleNamespace(flag=lambda name: False)
    lines = [replace(found, total=1.23456, kg=7.89), replace(found, total=1.0, kg=0.0)]
    totals = of_blanks.sheet_totals(lines, blanks, [sheets], RIB, plain, blanks)
    assert totals == of_blanks.SheetTotals(2.235, 2.81, 2.35, 7.9, 1234.56, 3.704, 2.81)


def test_lines_at_the_mill_and_their_totals() -> None:
    """Two of 2.5 m are 5 m and 20 kg; one of 1.2 m is 4.8 kg. The last sheet covers with its overall width."""
    top = raked(2000.0, 1700.0)
    wide = (((0.0, 0.0), (800.0, 0.0), (800.0, 9.0), (0.0, 9.0)),)
    sheets = planes(
        piece("a", 2500.0, top),
        piece("b", 500.0, cut_from="a"),
        piece("c", 2500.0, cover_uv=wide),
        piece("d", 1200.0),
        net=4e6,
    )
    blanks = [
        SheetBlank("1", "rib", 2500.0, (BlankPart("a", 0.0, False), BlankPart("b", 2000.0, False))),
        SheetBlank("2", "rib", 1200.0, (BlankPart("d", 0.0, False),)),
        SheetBlank("3", "rib", 2500.0, (BlankPart("c", 0.0, False), BlankPart("a", 9.0, True))),
    ]
    group = SheetGroup(RIB, 0.4, "", (sheets,))
    lines = of_blanks.mill_lines(blanks, group, SHEET, STEEL)
    rule_ = "metres = sheets x length; kg = metres x mass of a metre"
    mass = Term("kg_per_m", 4.0, "kg/m", SEEN, "0.4 mm")
    assert lines == (
        OrderLine(
            "S-rib-2500", "roof sheets", SHEET, 2, "each", 2500.0, 5.0, "m", 20.0, ("a", "b", "c", "a"),
            Working(rule_, (Term("sheets", 2, "each", ref="a, c"), Term("length", 2500.0, "mm"), Term("metres", 5.0, "m"), mass,
                            Term("kg", 20.0, "kg"))),
            note="trim rakes on site; b cut from a; a turned, with c",
        ),
        OrderLine(
            "S-rib-1200", "roof sheets", SHEET, 1, "each", 1200.0, 1.2, "m", 4.8, ("d",),
            Working(rule_, (Term("sheets", 1, "each", ref="d"), Term("length", 1200.0, "mm"), Term("metres", 1.2, "m"), mass,
                            Term("kg", 4.8, "kg"))),
        ),
    )  # fmt: skip
    counted: Any = SimpleNamespace(flag=lambda name: True)
    totals = of_blanks.sheet_totals(lines, blanks, [sheets], RIB, counted, blanks[1:2])
    # 2.5 x 0.76 + 1.2 x 0.76 + 2.5 x 0.8 = 4.812
    assert totals == of_blanks.SheetTotals(6.2, 4.81, 4.0, 24.8, 2500.0, 1.2, 0.91)
    plain: Any = SimpleNamespace(flag=lambda name: False)
    assert of_blanks.sheet_totals(lines, blanks, [sheets], RIB, plain).bought_m2 == 4.71
    assert of_blanks.sheet_totals((), (), [replace(sheets, profile="wave")], RIB, counted) == of_blanks.SheetTotals(
        0.0, 0.0, 0.0, 0.0, 0.0
    )
    # half a millimetre over the cover is not the overall width
    near = planes(
        piece("a", 9.0, cover_uv=(((100.0, 0.0), (860.4, 0.0)),)),
        piece("b", 9.0, cover_uv=(((100.0, 0.0), (860.6, 0.0)),)),
    )
    assert of_blanks._last_sheets([near], "rib") == {"b"}
