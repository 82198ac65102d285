"""Words of what is bought, cut, turned and offcut; each said whole. Shares and sums are worked by hand beside them."""

from __future__ import annotations

import datetime
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from bars_by_hand import ITEMS, PLAN, SITE, bar
from sheets_ordered_by_hand import ORDER, blank

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.basis import Basis, Setting, Status, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.issues import MovedMark, SheetMarks, Standing
from takeoff.model.items import Item, ItemKind, Mark, MarkKind, Pack, Trade
from takeoff.model.runs import CutPiece, StockBar
from takeoff.model.sheets import CutShape, EndCut, PairPlan, PlaneSheets, RakedPair, SheetPiece
from takeoff.write.words import (
    bought,
    cut_words,
    detail_words,
    item_names,
    mark_words,
    offcut_words,
    screw_words,
    words,
)
from takeoff.write.words import trade_words as trade

WORKING = Working("made up")
SQUARE, RAKED = EndCut(CutShape.SQUARE, ("eave 1",)), EndCut(CutShape.RAKED, ("hip\t1", "hip 2"), 47.8, "left")


def piece(mark: str = "P1.01", **more: Any) -> SheetPiece:
    plain = SheetPiece(
        mark, "P1", 1, 1, 0, "c", "left", "right", (), (), 4000.0, 4010.0, 4000.0, 4000.0, 0.0, SQUARE, SQUARE, 0.0, WORKING
    )  # fmt: skip
    return replace(plain, **more)


# ------------------------------------------------------------------------- cuts


@pytest.mark.parametrize(
    ("of", "foot", "top", "is_raked", "points"),
    [
        (piece(), "square", "square", False, False),
        (piece(top=RAKED), "square", "raked hip 1 hip 2", True, False),
        (piece(foot=RAKED), "raked hip 1 hip 2", "square", True, False),
        (piece(foot=RAKED, top=RAKED), "raked hip 1 hip 2", "raked hip 1 hip 2", True, True),
        (piece(top=EndCut(CutShape.APEX)), "square", "apex", True, True),
        (piece(foot=EndCut(CutShape.BROKEN, ("e",))), "cut to two lines e", "square", True, True),
        (piece(notched=True), "square", "square, notched", True, True),
        (piece(notched=True, beside=("S\t1", "A1")), "square", "square, notched at S 1 A1", True, True),
        (piece(notched=True, top=EndCut(CutShape.APEX, ("h",))), "square", "notched h", True, True),
        (piece(notched=True, foot=EndCut(CutShape.BROKEN, ("h",)), top=RAKED), "notched h", "raked hip 1 hip 2", True, True),
    ],
)  # fmt: skip
def test_how_a_sheet_is_cut(of: SheetPiece, foot: str, top: str, is_raked: bool, points: bool) -> None:
    assert (cut_words.foot_words(of), cut_words.top_words(of)) == (foot, top)
    assert (cut_words.raked(of), cut_words.needs_points(of)) == (is_raked, points)


def test_a_notch_is_said_beside_what_it_is_at() -> None:
    assert cut_words.notch_words(piece(beside=("S1",))) == ""
    assert cut_words.notch_words(piece(notched=True)) == "notched"
    assert cut_words.notch_words(piece(notched=True, beside=("S1",))) == "notched at S1"


@pytest.mark.parametrize(
    ("left", "right", "named", "side"),
    [
        (4000.0, 4000.9, "", ""),
        (4000.0, 4001.0, "", "right"),
        (4001.0, 4000.0, "", "left"),
        (4000.9, 4000.0, "", ""),
        (4000.0, 5000.0, "left", "left"),
    ],
)
def test_the_longer_side(left: float, right: float, named: str, side: str) -> None:
    """Sides within 1 mm are alike."""
    assert cut_words.hand(piece(left_mm=left, right_mm=right, foot=replace(RAKED, hand=named))) == side


SAME = TOLERANCES.tape_mm


@pytest.mark.parametrize(
    ("foot", "top", "said"),
    [
        ((), ((0.0, 1.0), (845.0, 1.0)), ""),
        (((0.0, 0.0), (845.0, 0.0)), (), ""),
        (((0.0, 10.0), (845.0, 0.0)), ((0.0, 3000.0), (400.0, 3500.4), (845.0, 2900.0)),
         "left side 10 to 3000, right side 0 to 2900; top 3500 at 400"),
        (((0.0, 500.0), (300.0, 0.0), (500.6, 10.0), (845.0, 0.0)), ((0.0, 3000.0), (845.0, 3000.0)),
         "left side 500 to 3000, right side 0 to 3000; foot 0 at 300, 10 at 501"),
        (((100.0, 0.0), (845.0, 0.0)), ((100.0, SAME), (845.0, SAME + 1.0)),
         f"left tip 0 at 100, right side 0 to {words.whole(SAME + 1.0)}"),
        (((SAME, 0.0), (845.0 - SAME - 1.0, 0.0)), ((SAME, 1000.0), (845.0, 1000.0)),
         f"left side 0 to 1000, right side at {words.whole(844.0 - SAME)} 0 to 1000"),
    ],
)  # fmt: skip
def test_points_that_are_marked_on_a_sheet(foot: Any, top: Any, said: str) -> None:
    """A side no longer than the tape tells is a tip; what is as near its edge as the tape tells is at its edge."""
    of = piece(foot=EndCut(CutShape.BROKEN, points_mm=foot), top=EndCut(CutShape.BROKEN, points_mm=top))
    assert cut_words.marking_words(of, 845.0) == said


def test_corners_of_a_notched_sheet_begin_at_the_left_end_of_its_foot() -> None:
    """Within what the tape tells the foot is level: of two corners as low the left one is first."""
    corners = ((845.0, 900.0), (0.0, 900.0), (0.0, 20.0 + SAME), (100.0, 20.0), (845.0, 20.0))
    said = f"{words.whole(20.0 + SAME)} at 0, 20 at 100, 20 at 845, 900 at 845, 900 at 0"
    assert cut_words.marking_words(piece(notched=True, corners_mm=corners), 845.0) == f"notched, corners in turn {said}"
    higher = (*corners[:2], (0.0, 20.1 + SAME), *corners[3:])
    first = cut_words.marking_words(piece(notched=True, corners_mm=higher), 845.0)
    assert first.startswith("notched, corners in turn 20 at 100, 20 at 845, 900 at 845")


SHEETS = PlaneSheets(
    "P1", "c", "left", 0.0, "left", "right", 762.0, 845.0, 700.4, (), 0.0,
    (piece("P1.01"), piece("P1.0\t3", strip=3), piece("P1.02", strip=2)), 0.0, WORKING, last_wide_mm=312.6,
)  # fmt: skip
LAST = "Last sheet P1.0 3 is 313 mm wide: rip it, or lap it further by whole ribs."


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({}, ["First sheet shows 700 mm.", LAST]),
        ({"first_cover_mm": 761.5}, [LAST]),
        ({"first_cover_mm": 762.51}, ["First sheet shows 763 mm.", LAST]),
        ({"last_wide_mm": 0.0, "first_cover_mm": 762.5}, []),
        ({"last_wide_mm": 0.6, "first_cover_mm": 762.5}, [LAST.replace("313", "1")]),
        ({"pieces": (piece(foot=RAKED), piece(strip=2)), "last_wide_mm": 0.0}, []),
        ({"pieces": (piece(), piece(strip=2, foot=RAKED)), "last_wide_mm": 0.0}, ["First sheet shows 700 mm."]),
    ],
)
def test_first_and_last_sheet(change: dict[str, Any], said: list[str]) -> None:
    assert cut_words.first_and_last_words(replace(SHEETS, **change)) == said


# ----------------------------------------------------------------------- bought


def test_pairs_and_what_lies_on_the_site() -> None:
    one = blank("S1", 5000.4, "P1.01", "P\t1.02")
    site = replace(one, site_mm=6000.0, mark="rack\t2")
    lies = "P1.01 as it lies from 0 mm; P 1.02 as it lies from 0 mm"
    assert bought.pair_words(one) == f"5000 mm: {lies}"
    assert bought.pair_words(site) == f"from site rack 2, 6000 mm long, 5000 mm cut from it, 5000 mm: {lies}"
    assert bought.site_sheet_words(replace(site, mark="")) == "from site, 6000 mm long, 5000 mm cut from it"
    pairs = PairPlan("c", (), (RakedPair("P1.01", "P1.02", True, 0.0, 0.0),), 0.0, 0.0)
    both, apart = blank("S1", 1.0, "P1.02", "P1.01"), blank("S2", 1.0, "P1.01", "P1.03")
    away = replace(both, id="S9", site_mm=2.0)
    order = replace(ORDER, blanks=(both, apart, blank("S3", 1.0, "P2.01")), site_blanks=(away,), pairs=(pairs,))
    assert bought.paired_blanks(order, {"P1.02"}) == (both, away)
    assert bought.paired_blanks(order, {"P1.03"}) == ()
    assert bought.paired_blanks(None, {"P1.02"}) == ()


def test_pieces_of_runs_and_bars_of_items() -> None:
    late, early = CutPiece("b", "R1", 3000.0, 1000), CutPiece("a", "R1", 0.0, 3000)
    plan = replace(PLAN, bars=(StockBar("t70", 1, 6000, (late,)),), site_bars=(StockBar("t70", 2, 4000, (early,)),))
    assert bought.cut_pieces(replace(ORDER, plans=(plan,))) == {"R1": (early, late)}
    assert bought.cut_pieces(None) == {}
    second = replace(PLAN, bars=(bar(1, 4800),), site_bars=())
    other = replace(second, item="t90")
    order = replace(ORDER, plans=(PLAN, other, second))
    assert bought.bars_by_item(order) == {"t70": "3 x 6000, 2 x 4800", "t90": "1 x 4800"}
    assert bought.bars_by_item(None) == {}
    assert [bought.site_words(PLAN, one) for one in (PLAN.bars[0], SITE[0])] == ["", ", from site: back shed"]
    bare = replace(SITE[0], mark="")
    assert bought.site_words(replace(PLAN, site_bars=(bare,)), bare) == ", from site"


# ---------------------------------------------------------------------- offcuts

PAIRS = PairPlan(
    "c", (), (RakedPair("a", "b", True, 0.0, 0.0),) * 2, 40_000.0, 38_500.0, "", 30.0, 29.25, 25.0, 9, 8, True
)


def test_sheets_and_their_offcuts() -> None:
    """21.5 + 1.6 - 20.1 = 3: of 23.1 13.0 %, of 20.1 14.9 %."""
    offcuts = "offcuts 3.00 m2, 13.0 % of bought and from site, 14.9 % of net"
    assert offcut_words.sheets_words(ORDER) == (
        f"28.54 m = 21.50 m2 bought for 20.10 m2 net (sheeted area, overhangs and trims in), 91.0 kg; {offcuts}"
    )
    assert offcut_words.offcuts_words(0.0, 1.0) == "offcuts -1.00 m2, -100.0 % of net"
    assert offcut_words.offcuts_words(1.0, 0.0) == "offcuts 1.00 m2, 100.0 % of bought"
    assert offcut_words.offcuts_words(0.0, 0.0) == "offcuts 0.00 m2"
    assert offcut_words.shown(1174.25, 1) == "1,174.3"


def test_what_pairs_save() -> None:
    """1.5 + 0.5 m of 2 + 2 pairs; plain 60 m2 for 50: 10, 16.7 and 20 %; with pairs 58.5: 8.5, 14.5 and 17 %."""
    second = replace(PAIRS, plain_mm=39_000.0)
    plans = (PAIRS, second, replace(PAIRS, net_m2=0.0))
    both = replace(ORDER, pairs=plans)
    assert offcut_words.pairs_words(both) == (
        "4 raked pairs save 2.00 m; plain list: 60.00 m2, offcuts 10.00 m2, 16.7 % of bought, 20.0 % of net"
    )
    some = replace(ORDER, pairs=(PAIRS, replace(second, bought=False)))
    assert offcut_words.pairs_words(some) == (
        "4 raked pairs would save 2.00 m: 58.50 m2, offcuts 8.50 m2, 14.5 % of bought, 17.0 % of net"
    )
    assert offcut_words.pairs_words(replace(ORDER, pairs=(replace(PAIRS, plain_mm=38_500.0),))) == ""
    small = replace(PAIRS, plain_mm=38_501.0, net_m2=1.0)
    assert offcut_words.pairs_words(replace(ORDER, pairs=(small,))).startswith("2 raked pairs save 0.00 m; ")
    metre = replace(PAIRS, plain_mm=39_500.0)
    assert offcut_words.pairs_words(replace(ORDER, pairs=(metre,))).startswith("2 raked pairs save 1.00 m; ")
    assert offcut_words.pairs_words(ORDER) == ""


# ------------------------------------------------------------- details and marks


def test_details_of_walls_in_the_order_they_come_up() -> None:
    """2400.4 + 2399.6 mm are 4.8 m; a line on walls 3 and 1 stands on both."""

    def line(detail: str, walls: tuple[int, ...], length: float, *parts: str, counted: str = "") -> Any:
        return SimpleNamespace(
            detail=detail,
            walls=walls,
            length_mm=length,
            parts=parts,
            counted=counted,
            words=f"{detail}\twords",
            why="as\tset",
        )

    lines = (
        line("C2", (3, 1), 2400.4, "t70", "other", counted="by the\tsheet"), line("C1", (2,), 1004.9),
        line("C2", (1,), 2399.6, "t90", "t70"),
    )  # fmt: skip
    house: Any = SimpleNamespace(cladding=SimpleNamespace(junctions=lines), items=ITEMS)
    first = detail_words.DetailWords(
        "C2", "C2 words", (1, 3), 2, 4.8, "Purlin 70 x 45, other, Purlin 90 x 45, by the sheet", "as set"
    )
    second = detail_words.DetailWords("C1", "C1 words", (2,), 1, 1.0, "nothing ordered", "as set")
    assert list(detail_words.details_of(house)) == [first, second]
    assert list(detail_words.details_of(house, 2)) == [second]
    assert [one.lines for one in detail_words.details_of(house, 3)] == [1]


def test_marks_that_have_moved() -> None:
    moved = (MovedMark(3, "s", 4500.4, ("P1.01",), ("P1.05", "P\t1.09")), MovedMark(1, "s", 1.0, ("a",), ("b",)))
    standing = Standing((), (1, 3), marks=SheetMarks(moved, (), (), 0), sheets_before=True)
    words_of = "MARKS HAVE MOVED: 2 sheets of issues 1, 3 stay in use under another mark"
    assert mark_words.moved_words(standing) == f"{words_of}."
    many = replace(standing, marks=SheetMarks(moved[1:], (), (), 2))
    one = "MARKS HAVE MOVED: 1 sheet of issue 1 stay in use under another mark"
    assert mark_words.moved_words(many) == f"{one}; 2 marks on them or on sheets taken back now name another length."
    assert mark_words.moved_words(replace(standing, marks=SheetMarks((), (), (), 2))) == ""
    assert mark_words.moved_words(replace(standing, marks=None)) == mark_words.NOT_KNOWN
    assert mark_words.moved_words(replace(standing, marks=None, sheets_before=False)) == ""
    assert mark_words.moved_rows(moved[:1]) == [("3", "P1.01", "4500", "P1.05 and P 1.09")]


def test_screws_of_a_plane() -> None:
    def house(*screws: Any) -> Any:
        return SimpleNamespace(roofing=SimpleNamespace(screws=screws))

    one = SimpleNamespace(plane="P1", rows=(("foot", 20), ("middle", 31)), pattern="every pan", length_mm=65)
    clips = SimpleNamespace(plane="P2", rows=(("foot", 7),), pattern="every rib", length_mm=0)
    assert screw_words.screw_words(house(clips, one), "P1") == "SCREWS every pan; 65 mm, 51 in all before spares."
    assert screw_words.screw_words(house(clips, one), "P2") == "CLIPS: every rib, 7 in all."
    assert screw_words.screw_words(house(clips, one), "P3") == ""


# ------------------------------------------------------------------------ items

MARKS: list[tuple[MarkKind, Any, str]] = [
    (MarkKind.CALLED, "Roll", "Roll"), (MarkKind.WAYS, 3.0, "3-way Fitting"), (MarkKind.SIZE, (70.5, 45.0), "Fitting 70.5 x 45"),
    (MarkKind.GIRTH, 369.6, "Fitting, girth 370"), (MarkKind.FOLDS, 5.0, "Fitting, 5 folds"), (MarkKind.BEND, 129.6, "Fitting, 130°"),
    (MarkKind.WAY, "hollow", "Fitting, hollow"), (MarkKind.HAND, "left", "Fitting, left"),
    (MarkKind.RIBBED, "", "Fitting, for ribbed sheets"), (MarkKind.PIPE, 100.0, "Fitting, for 100 mm"),
    (MarkKind.SPREAD, (400.0, 600.0), "Fitting, 400 wide x 600 long"), (MarkKind.LONG, 50.0, "Fitting, 50 long"),
    (MarkKind.LENGTH, 65.0, "Fitting, 65 mm"), (MarkKind.THICK, 0.55, "Fitting, 0.55 mm"), (MarkKind.COLOUR, "grey", "Fitting, grey"),
    (MarkKind.MADE_AS, "mitred", "Fitting, mitred"), (MarkKind.PIPES, 1.0, "Fitting, lengths for 1 pipe"),
    (MarkKind.PIPES, 2.0, "Fitting, lengths for 2 pipes"), (MarkKind.FITS, "80 mm", "Fitting, 80 mm"),
    (MarkKind.ROOF, "main", "Fitting, roof main"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "value", "said"), MARKS)
def test_an_item_with_one_mark(kind: MarkKind, value: Any, said: str) -> None:
    of = Item("f", "Fitting", ItemKind.FITTING, Trade.FIXINGS, "each", (Mark(kind, value),))
    assert item_names.item_words(of) == said


def test_what_an_item_comes_in() -> None:
    of = Item("f", "Screw", ItemKind.SPARE_SHEET, Trade.FIXINGS, "each")
    box = Pack("box", "s", 250.0)
    assert item_names.item_name(replace(of, pack=box)) == "spare sheet, Screw, box of 250"
    assert item_names.item_name(replace(of, pack=replace(box, holds=0.0), kind=ItemKind.FIXING)) == "Screw"
    assert (
        item_names.item_name(replace(of, pack=replace(box, holds=1.0), sold_in="m", kind=ItemKind.FIXING))
        == "Screw, box of 1 m"
    )
    assert item_names.words_of("none", {}) == "none"
    assert (item_names._sides("x"), item_names._number("x"), item_names._number(2)) == ((), 0.0, 2)


# ------------------------------------------------------------------------ prose


def test_settings_terms_and_findings_in_words() -> None:
    basis = Basis(Status.COMMON_PRACTICE)
    own = words.basis_words(basis)
    setting = Setting("valley_gap_mm", 60.0, "mm", basis, "clear\tof the valley")
    assert words.setting_words(setting) == f"valley gap, clear of the valley: 60 mm, {own}"
    assert words.setting_words(replace(setting, says="", value=True)) == f"valley gap: yes, {own}"
    terms = (Term("cover", 762.0, "mm", basis, "P1"), Term("count_by_overall", "yes", ""))
    assert [words.term_words(term) for term in terms] == [
        f"cover 762 mm (P1) [{own}]",
        "last sheet counted by its whole width yes",
    ]
    working = Working("a\tx b", terms)
    assert words.working_lines(working) == ("a x b", *map(words.term_words, terms))
    assert words.working_words(working) == "a x b: cover 762 mm; last sheet counted by its whole width yes"
    assert words.working_words(Working("a")) == "a"
    found = Finding("c", Severity.FIXED, "text\t1", "do", ("P1", "P\t2"))
    assert words.finding_words(found) == "mended (P1, P 2): text 1 do"
    assert words.finding_words(Finding("c", Severity.WARN, "text")) == "WARNING: text"
    assert [words.value_words(value, "mm") for value in (True, False, "a\tb", 1.5)] == ["yes", "no", "a b", "1.5 mm"]
    assert words.basis_words(None) == "measured on the shape"


@pytest.mark.parametrize(
    ("bearing", "said"),
    [
        (0.0, "north"), (22.4, "north (22.4 degrees)"), (44.5, "north-east"), (44.4, "north-east (44.4 degrees)"),
        (90.5, "east"), (90.6, "east (90.6 degrees)"), (338.0, "north (338 degrees)"), (359.5, "north"), (202.0, "south (202 degrees)"),
    ],
)  # fmt: skip
def test_a_bearing_in_words(bearing: float, said: str) -> None:
    assert words.compass_words(bearing) == said


def test_sides_dates_and_revisions() -> None:
    def side(pitch: float, bearing: float) -> str:
        return words.side_words(SimpleNamespace(pitch_deg=pitch, bearing_deg=bearing))  # type: ignore[arg-type]

    assert [side(0.05, 90.0), side(0.06, 90.0), side(25.0, 340.0), side(25.0, 137.0)] == [
        "flat", "east side", "north side", "south-east side",
    ]  # fmt: skip
    assert words.date_words(datetime.date(2026, 12, 1)) == "1 December 2026"
    assert words.date_words(datetime.date(2026, 1, 31)) == "31 January 2026"
    assert words.date_words(None) == "undated"
    assert words.revision_words("C\t1", "B") == "revision C 1, supersedes B"
    over = [words.over_words(replace(SHEETS, over_edge=edge)) for edge in ("left", "right", "the\thigh side")]
    assert over == [
        "The left edge of each sheet lies over",
        "The right edge of each sheet lies over",
        "Over: the high side",
    ]


# ------------------------------------------------------------------ trade words


OTHERS = "valley gutter, internal gutter, my_gutter, x.gutter, gutter_a"


@pytest.mark.parametrize(
    ("word", "own", "text", "said"),
    [
        ("gutter", (), "Spouting, 2 spoutings and internal spouting", "Gutter, 2 gutters and internal spouting"),
        ("spouting", (), "Gutters, gutter", "Spouting, spouting"),
        ("spouting", (), OTHERS, OTHERS),
        ("spouting", ("The gutter shed", "gutter shed", ""), "the gutter; The gutter shed; gutter shed",
         "the spouting; The gutter shed; gutter shed"),
        ("spouting", (), "set `gutter: quad` for the gutter", "set `gutter: quad` for the spouting"),
        ("spouting", (), "gutter: a key", "gutter: a key"),
        ("drain", (), "gutter", "gutter"),
        ("spouting", (), "nothing of it", "nothing of it"),
    ],
)  # fmt: skip
def test_one_word_for_one_thing(word: str, own: tuple[str, ...], text: str, said: str) -> None:
    assert trade.one_word(word, own)(text) == said


def test_texts_of_a_job() -> None:
    assert list(trade.texts_of({"a": "x", "b": ["y", {"c": "z"}], "d": 1, "e": None})) == ["x", "y", "z"]
