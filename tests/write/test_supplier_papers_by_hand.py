"""What goes to the mill and to suppliers, whole and as a variation: blocks by hand. The layout itself is no check value."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from sheets_ordered_by_hand import LONG, ORDER, ROLL, SHORT, WORK, line, takeoff

from takeoff.model.houses import Houses
from takeoff.model.issues import LineMarks, MovedMark, SheetMarks, Standing, StandingLine, Variation
from takeoff.model.items import Item, ItemKind, Trade
from takeoff.model.order import HOLD, Order, OrderLine, Pack, PackedSheet
from takeoff.write.papers import mill_paper, moved_papers, variation
from takeoff.write.papers.blocks import SMALL, Bar, Block, Column, Gap, Kind, Row, Table, Words

TOTAL = Kind.TOTAL
MADE = (
    Column("line"), Column("count", right=True, bold=True), Column("length mm", right=True, bold=True),
    Column("total m", right=True), Column("kg", right=True), Column("marks, written on the end of each sheet", share=1.0),
    Column("made", least_mm=12.0, boxed=True),
)  # fmt: skip
LAID = (PackedSheet("P1.01", 4500.4, 16.6), PackedSheet("P1.02", 3000.0, 2.0), PackedSheet("P1.04", 3000.0, 2.04))
PACKS = (
    Pack("P1a", "P\t1", 1, 2, "c", None, LAID, 20.64, 500.0, 4500.4, "", (), 180.0),
    Pack("P2", "P2", 1, 1, "c", None, LAID[1:2], 0.04, 500.0, 3000.0, "", (), 90.0),
)


def said(text: str) -> str:
    return text.replace("Underlay", "Wrap")


def house(order: Order | None = ORDER, **more: Any) -> Any:
    given = {"order": order, "issued": None, "supersedes": "", "job_hash": "abcdef0123"}
    given["job"] = SimpleNamespace(job="Shed", revision="B", date=None)
    given["settings"] = SimpleNamespace(number={"flashing_bmt_mm": 0.55}.__getitem__)
    return SimpleNamespace(**{**vars(takeoff()), **given, **more})


def without_heads(blocks: Any) -> list[Block]:
    """Blocks without tables of fields, whose columns are boxed, and gaps."""
    return [
        block
        for block in blocks
        if not isinstance(block, Gap)
        and not (isinstance(block, Table) and block.columns[-1].boxed and block.columns[-1].bold)
    ]


# -------------------------------------------------------------------- the mill


def test_the_mill_order_whole() -> None:
    """Longest first; 13.5 + 12.04 m, 48.1 + 42.9 kg; packs of 3 + 1 sheets, 20.64 + 0.04 kg shown as 20.7."""
    paper = mill_paper.mill_paper(house(), replace(ORDER, packs=PACKS), said)
    assert paper is not None
    assert (paper.name, paper.title, paper.banner) == ("mill_order", "Mill order: roof sheets", HOLD)
    lifted = (
        Column("pack", bold=True), Column("plane"), Column("sheets", right=True), Column("longest mm", right=True),
        Column("kg", right=True), Column("lifted to", share=1.0),
    )  # fmt: skip
    square = "Longest first. Cut square, tolerance +/- 5 mm unless agreed otherwise."
    blocks = without_heads(paper.blocks)
    words = [block for block in blocks if isinstance(block, Words)]
    assert blocks[:1] == [Bar("Clear sheet")]
    assert words[0].text.endswith(square) or words[0].text == square
    assert words[1].text.startswith("Cover 762, overall 845 mm. ")
    assert [block for block in blocks if not isinstance(block, Words)] == [
        Bar("Clear sheet"),
        Table(MADE, (
            Row(("2", "1", "3000", "3.00", "", "P1.09", "")),
            Row(("all", "1", "", "3.00", "", "longest 3000 mm", ""), TOTAL),
        )),
        Bar("Corrugated 0.55"),
        Table(MADE, (
            Row(("4", "2", "6020", "12.04", "42.9", "P3.01, P3.02", "")),
            Row(("3", "3", "4500", "13.50", "48.1",
                 "P1.01 (P2.01 cut from it), P1.02 (P2.02 cut from it), P1.03", "")),
            Row(("all", "5", "", "25.54", "91.0", "longest 6020 mm", ""), TOTAL),
            Row(("1", "1", "5000", "5.00", "17.8", "spare sheet, not in the total. for damage", "")),
        )),
        Bar("Packs, the sheet laid first on top, colour side up"),
        Table(lifted, (
            Row(("P1a", "P 1", "3", "4500", "20.6", "south side")),
            Row(("P2", "P2", "1", "3000", "", "east side")),
            Row(("all", "", "4", "4500", "20.7", ""), TOTAL),
        )),
    ]  # fmt: skip
    assert [block.text for block in words[2:]] == [
        "All sheets: 28.54 m, 91.0 kg; spare sheets beside them 5 m.",
        "Not ordered, cut from sheets on the site: P4.01 to P4.03.",
    ]
    assert (
        mill_paper.mill_paper(house(), replace(ORDER, lines=(line("u", "underlay", ROLL, 1.0, 0.0, 1.0),)), said)
        is None
    )


def test_sums_and_packs_that_are_not() -> None:
    bare = replace(ORDER, sheets_kg=0.0, spares_m=0.0, site_blanks=())
    assert list(mill_paper._sums(bare)) == [Words("All sheets: 28.54 m.", bold=True)]
    first = next(iter(mill_paper._sums(replace(bare, sheets_kg=1.0, spares_m=1.0))))
    assert first == Words("All sheets: 28.54 m, 1.0 kg; spare sheets beside them 1 m.", bold=True)
    assert list(mill_paper._packs(ORDER)) == []
    assert mill_paper._row(SHORT, {}, "x").cells[0] == ""
    assert mill_paper._row(SHORT, {"a": 1}, "x").cells[0] == "1"
    assert [mill_paper._kg(kg) for kg in (0.04, 0.05, -0.06, 1.0)] == ["", "0.1", "-0.1", "1.0"]


def test_houses_of_one_kind_carry_the_marks_of_one() -> None:
    houses = Houses(2, ("H1", "H2"), 0.0, 0.0, 0.0, ())
    assert mill_paper._today_marks((LONG,), replace(ORDER, houses=houses)) == {"b": "H1 to H2, each: P3.01, P3.02"}
    assert moved_papers.on_houses("", houses) == ""


# ------------------------------------------------------------------- variations


def standing_line(of: str, wanted: float, ordered: float, **more: Any) -> StandingLine:
    given = StandingLine(
        of, "roof sheets", "s55", "Sheet", 4500.0, "each", wanted, ordered, (wanted - ordered) * 4.5, "m", 16.0, (1,)
    )  # fmt: skip
    return replace(given, **more)


CHANGED = (
    standing_line("a", 3.0, 1.0),
    standing_line("", 0.0, 2.0, each_mm=6100.0, total_to_order=-12.2, kg_to_order=-43.4),
    standing_line("d", 0.0, 1.0, item="sp", each_mm=5000.0, total_to_order=-5.0, kg_to_order=-17.8),
)
VARIED = Variation("roof sheets", CHANGED, (2, 1), ("A", "B", "A"))
NEW = Variation("underlay", (standing_line("u", 2.0, 0.0, item="u", delivery="underlay", each_mm=0.0),), (), ())
MARKS = SheetMarks(
    (MovedMark(1, "s55", 4500.0, ("P1.01",), ("P1.05", "P1.06")), MovedMark(3, "s55", 4500.0, ("P9.01",), ("P1.07",))),
    (LineMarks("other", 4500.0, ()), LineMarks("s55", 4500.0, (("P1.01",), ("P1.02",), ("P1.04", "P2.05", "P2.06")))),
    (LineMarks("s55", 6100.0, (("P8.01", "P8.02"),)),),
    1,
)
STANDING = Standing(CHANGED, (1, 2), (VARIED, NEW), marks=MARKS, sheets_before=True)


def test_the_mill_order_of_a_variation_has_what_is_made_and_taken_back_apart() -> None:
    order = replace(ORDER, packs=PACKS)
    paper = mill_paper.mill_paper(house(order, issued=STANDING), order, said)
    assert paper is not None
    assert paper.title == "Mill order, variation: roof sheets"
    tables = [block for block in paper.blocks if isinstance(block, Table) and block.columns == MADE]
    gone = "P8.01 (P8.02 cut from it); no longer wanted"
    assert [table.rows for table in tables] == [
        (
            Row(("3", "2", "4500", "9.00", "16.0", "P1.01, P1.02, P1.04 (P2.05, P2.06 cut from it)", "")),
            Row(("to make", "2", "", "9.00", "16.0", "longest 4500 mm", ""), TOTAL),
        ),
        (
            Row(("", "-2", "6100", "-12.20", "-43.4", gone, "")),
            Row(("taken back", "-2", "", "-12.20", "-43.4", "longest 6100 mm", ""), TOTAL),
            Row(("1", "-1", "5000", "-5.00", "-17.8", "spare sheet, not in the total. for damage", "")),
        ),
    ]
    bars = [block.text for block in paper.blocks if isinstance(block, Bar)]
    assert bars == [
        "VARIATION of issues 1, 2, revision A, B", "Sheet", "To make", "Taken back",
        "Packs of what is to be made, colour side up", "Marks on sheets of earlier issues",
    ]  # fmt: skip


def test_packs_of_what_is_to_be_made() -> None:
    """Of the first pack P1.01 and P1.02 and P1.04 are made, 16.6 + 2 + 2.04 = 20.6 kg; of the second P1.02."""
    columns = (
        Column("pack", bold=True), Column("plane"), Column("sheets", right=True), Column("longest mm", right=True),
        Column("kg", right=True), Column("to make, the sheet laid first on top", share=1.0), Column("lifted to", share=1.0),
    )  # fmt: skip
    packs = (replace(PACKS[0], sheets=(*LAID, PackedSheet("P7.01", 9000.0, 99.0))), replace(PACKS[1], sheets=LAID[1:2]))
    order = replace(ORDER, packs=(*packs, replace(PACKS[1], sheets=(PackedSheet("P7.01", 9000.0, 99.0),))))
    assert list(moved_papers.variation_packs(house(issued=STANDING), order)) == [
        Bar("Packs of what is to be made, colour side up"),
        Table(columns, (
            Row(("P1a", "P 1", "3", "4500", "20.6", "P1.01, P1.02, P1.04", "south side")),
            Row(("P2", "P2", "1", "3000", "2.0", "P1.02", "east side")),
        ), SMALL),
        Gap(),
    ]  # fmt: skip
    assert list(moved_papers.variation_packs(house(issued=replace(STANDING, marks=None)), order)) == []
    assert list(moved_papers.variation_packs(house(), order)) == []


@pytest.mark.parametrize(
    ("change", "known", "words"),
    [
        ({}, True, "H1 to H2, each: P1.01, P1.02, P1.04 (P2.05, P2.06 cut from it)"),
        ({"each_mm": 4501.0}, True, ""),
        ({"count": -1.0, "each_mm": 6100.0, "note": "less"}, True, "H1 to H2, each: P8.01 (P8.02 cut from it)"),
        ({"count": -1.0, "note": "no longer wanted"}, True, "no longer wanted"),
        ({"count": -1.0, "note": "no longer wanted"}, False, "marks: see the earlier issue; no longer wanted"),
        ({"count": -1.0}, False, "marks: see the earlier issue"),
        ({"count": 0.0, "note": "no longer wanted"}, False, "marks: see the cutting lists"),
    ],
)
def test_marks_of_a_varied_line(change: dict[str, Any], known: bool, words: str) -> None:
    order = replace(ORDER, houses=Houses(2, ("H1", "H2"), 0.0, 0.0, 0.0, ()))
    standing = replace(STANDING, marks=MARKS if known else None)
    assert moved_papers.varied_marks(house(order, issued=standing), replace(SHORT, **change)) == words
    if not known:
        assert moved_papers.varied_marks(house(None), replace(SHORT, **change)) == words


def test_what_sheets_of_earlier_issues_are_called_now() -> None:
    words = (
        "MARKS HAVE MOVED: 2 sheets of issues 1, 3 stay in use under another mark; 1 mark on them or on sheets taken back "
        "now name another length."
    )
    columns = (
        Column("issue"), Column("mark on the sheet", share=1.0, bold=True), Column("length mm", right=True),
        Column("mark now", share=1.0, bold=True),
    )  # fmt: skip
    order = replace(ORDER, houses=Houses(2, ("H1", "H2"), 0.0, 0.0, 0.0, ()))
    rows = (Row(("1", "P1.01", "4500", "P1.05 and P1.06")), Row(("3", "P9.01", "4500", "P1.07")))
    head = Bar("Marks on sheets of earlier issues", strong=True)
    tail = (Table(columns, rows, SMALL), Words("2 sheets; every other sheet keeps its mark.", SMALL), Gap())
    said_of = Words(words, bold=True, keep=True)
    each = Words("The same in each of 2 houses, H1 to H2.", keep=True)
    assert list(moved_papers.moved_blocks(house(order, issued=STANDING))) == [head, said_of, each, *tail]
    assert list(moved_papers.moved_blocks(house(None, issued=STANDING))) == [head, said_of, *tail]
    assert list(moved_papers.moved_blocks(house())) == []
    unknown = list(moved_papers.moved_blocks(house(issued=replace(STANDING, marks=None))))
    assert unknown[0] == head
    assert len(unknown) == 2
    assert list(moved_papers.moved_blocks(house(issued=replace(STANDING, marks=None, sheets_before=False)))) == []


def test_what_is_still_to_order() -> None:
    """Of three 4.5 m sheets one was ordered; two of 6.1 m are taken back, which nothing in today's order is."""
    work = line("w", "rainwater", WORK, 2.0, 0.0, 2.0, labour=True)
    order = replace(ORDER, lines=(*ORDER.lines, line("u", "underlay", ROLL, 4.0, 0.0, 4.0), work))
    small = replace(STANDING, variations=(replace(VARIED, lines=CHANGED[:2]), NEW))
    found = variation.still_to_order(house(order, issued=small), order)
    gone = Item("s55", "Sheet", ItemKind.SHEET, Trade.ROOFING, "each")
    assert found.lines[0] == replace(SHORT, count=2.0, total=9.0, kg=16.0)
    assert found.lines[1] == OrderLine(
        "", "roof sheets", gone, -2.0, "each", 6100.0, -12.2, "m", -43.4, (), found.lines[1].working, "no longer wanted"
    )  # fmt: skip
    assert [one.id for one in found.lines] == ["a", "", "u", "w"]
    issuing = replace(small, issuing=3, issuing_of=("underlay",))
    assert [one.id for one in variation.still_to_order(house(order, issued=issuing), order).lines] == ["u", "w"]
    for standing in (None, replace(small, faults=("torn",)), replace(small, numbers=())):
        assert variation.still_to_order(house(order, issued=standing), order) is order
    first = replace(issuing, numbers=(), issuing=1)
    assert variation.still_to_order(house(order, issued=first), order) is not order
    for change, kind in (({"delivery": "underlay"}, ItemKind.FITTING), ({"each_mm": 0.0}, ItemKind.FITTING)):
        one = replace(CHANGED[1], **change)  # type: ignore[arg-type]
        assert variation._line(one, {}, {}).of.kind is kind
    assert variation._line(CHANGED[1], {}, {"s55": ROLL}).of is ROLL


def test_which_issue_a_paper_is_and_what_it_varies() -> None:
    def of(standing: Standing | None, *deliveries: str) -> list[Block]:
        return list(variation.issue_blocks(house(issued=standing), deliveries))

    issuing = replace(STANDING, issuing=3, issuing_of=("underlay",), issuing_on="2026-03-02")
    lines = Words("Only what differs from what was ordered, 3 lines; a count below 0 is taken back.", keep=True)
    assert of(None, "underlay") == []
    assert of(STANDING, "underlay") == []
    assert of(issuing, "underlay", "walls") == [Bar("Issue 3 of 2026-03-02")]
    assert of(issuing, "walls") == []
    assert of(STANDING, "roof sheets") == [Bar("VARIATION of issues 1, 2, revision A, B", strong=True), lines]
    one = replace(issuing, variations=(replace(VARIED, supersedes=(4,), lines=CHANGED[:1]),))
    assert of(one, "roof sheets", "underlay")[0] == Bar(
        "VARIATION of issue 4, revision A, B: Issue 3 of 2026-03-02", strong=True
    )
    assert of(one, "roof sheets")[1] == replace(lines, text=lines.text.replace("3 lines", "1 line"))
    torn = Bar("THE BOOK OF ISSUES IS DAMAGED: see what was ordered before this is sent", strong=True)
    assert of(replace(issuing, faults=("torn",)), "underlay") == [torn]
    assert variation.variations_of(house(), ("walls",)) == ()
