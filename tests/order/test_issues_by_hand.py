"""How an order stands to the book of issues, and marks that move: by hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from made_up_orders import line, order

from takeoff.basics.errors import UsageError
from takeoff.model.findings import Finding, Severity
from takeoff.model.issues import (
    Issue,
    IssueBook,
    IssuedLine,
    IssuedSheets,
    IssueWanted,
    LineMarks,
    MarkedSheet,
    MovedMark,
    SheetMarks,
    Standing,
    StandingLine,
    Variation,
)
from takeoff.model.order import Order
from takeoff.order import issued
from takeoff.order.issued import against_book, contents_of, next_issue, standing_finding, standing_of
from takeoff.order.moved_marks import _Made, _paired, marked_sheets, sheet_marks


def said(
    of: str, count: float, each: float = 0.0, *, delivery: str = "purlins", kg: float = 0.0, name: str = "as it was"
) -> IssuedLine:
    total, unit = (count * each / 1000.0, "m") if each else (count, "each")
    return IssuedLine(delivery, of, name, each, "each", count, total, unit, kg)


def issue(number: int, *lines: IssuedLine, revision: str = "A", contents: str = "old") -> Issue:
    return Issue(number, "2026-03-02", "Hut", revision, "hash", contents, ("purlins",), "", "", (), lines, {})


ORDER = order(
    line("L1", "rail", 10.0, 6000.0, kg=120.0),
    line("L2", "screw", 3.0, delivery="roof sheets"),
    line("L3", "sheet", 4.0, 5000.0, delivery="roof sheets", kg=80.0),
    line("L4", "sheet", 2.0, 5000.0, delivery="roof sheets", kg=40.04),
    line("L5", "work", 9.0, delivery="roof sheets", labour=True),
)
BOOK = IssueBook(
    (
        issue(1, said("rail", 8.0, 6000.0, kg=96.0), said("peg", 5.0, delivery="walls")),
        issue(2, said("sheet", 6.0, 5000.0, delivery="roof sheets", kg=120.0), said("peg", -5.0, delivery="walls"),
              said("clip", 7.0, delivery="roof sheets", kg=1.0, name="clip of old"), revision="B"),
    )
)  # fmt: skip


def stands(
    line_: str,
    delivery: str,
    of: str,
    each: float,
    wanted: float,
    ordered: float,
    total: float,
    unit: str,
    kg: float,
    *numbers: int,
    name: str = "",
) -> StandingLine:
    return StandingLine(line_, delivery, of, name, each, "each", wanted, ordered, total, unit, kg, numbers)


RAIL = stands("L1", "purlins", "rail", 6000.0, 10.0, 8.0, 12.0, "m", 24.0, 1)
SCREW = stands("L2", "roof sheets", "screw", 0.0, 3.0, 0.0, 3.0, "each", 0.0)
SHEET = stands("L3", "roof sheets", "sheet", 5000.0, 6.0, 6.0, 0.0, "m", 0.0, 2)
CLIP = stands("", "roof sheets", "clip", 0.0, 0.0, 7.0, -7.0, "each", -1.0, 2, name="clip of old")


def test_every_line_as_it_stands_to_the_book() -> None:
    """Two more rails; screws never ordered; sheets of both groups all ordered; clips no longer wanted; pegs were taken
    back already."""
    assert standing_of(ORDER, BOOK) == Standing(
        (RAIL, SCREW, SHEET, CLIP),
        (1, 2),
        (
            Variation("purlins", (RAIL,), (1,), ("A",)),
            Variation("roof sheets", (SCREW, CLIP), (2,), ("B",)),
        ),
        marks=None,
        sheets_before=False,
    )
    # of one mass 40.04 is shown to a tenth; a count that differs by crumbs is none
    crumbs = order(line("L1", "rail", 8.0000001, 6000.0, kg=96.04))
    (found,) = standing_of(crumbs, IssueBook((issue(1, said("rail", 8.0, 6000.0, kg=96.0)),))).lines
    assert (found.wanted, found.to_order, found.kg_to_order) == (8.0, 0.0, 0.0)
    fine = order(line("L1", "rail", 3.4567894, 333.3, kg=1.26), line("L2", "peg", 5.0, delivery="walls"))
    past = replace(said("rail", 1.1111113, 333.3, kg=1.0), total=0.3)
    whole = (said("peg", 2.0000003, delivery="walls"), replace(said("pin", 5.0, delivery="walls"), total_unit="box"))
    back = (said("pin", -4.9999996, delivery="walls"), said("peg", 3.0000001, delivery="walls"))
    found = standing_of(fine, IssueBook((issue(1, past, *whole), issue(2, *back)))).lines
    assert [(one.item, one.wanted, one.ordered, one.total_to_order, one.kg_to_order) for one in found] == [
        ("rail", 3.456789, 1.111111, 0.852, 0.3), ("peg", 5.0, 5.0, 0.0, 0.0)
    ]  # fmt: skip
    (left,) = standing_of(
        order(), IssueBook((issue(1, replace(said("pin", 5.0), total_unit="box")), issue(2, said("pin", 1.0))))
    ).lines
    assert (left.total_unit, left.ordered) == ("each", 6.0)
    assert standing_of(ORDER, IssueBook((), ("torn",))) == Standing((), (), faults=("torn",))


def test_what_is_said_of_a_standing() -> None:
    standing = standing_of(ORDER, BOOK)
    text = "Lines that were ordered: 1 changed since, 1 no longer wanted; see issue 1, 2 of the book."
    advice = "Issue the difference, or go back to what was sent."
    assert standing_finding(standing) == (Finding("ordered-lines-changed", Severity.WARN, text, advice),)
    one = standing_finding(replace(standing, lines=(RAIL, SCREW)))
    assert [found.text for found in one] == ["Lines that were ordered: 1 changed since; see issue 1 of the book."]
    gone = standing_finding(replace(standing, lines=(CLIP,)))
    assert [found.text for found in gone] == ["Lines that were ordered: 1 no longer wanted; see issue 2 of the book."]
    assert standing_finding(replace(standing, lines=(SCREW, SHEET))) == ()
    assert issued.left_finding(standing, ("purlins",)) == gone
    assert issued.left_finding(standing, ("purlins", "roof sheets")) == ()
    damaged = standing_finding(Standing((), (), faults=("line 3 is torn", "more")))
    assert damaged == (
        Finding(
            "issues-damaged", Severity.WARN, "The book of issues is damaged: line 3 is torn. What was ordered is not known.",
            "Put the folder issues back from a copy before anything is ordered again.",
        ),
    )  # fmt: skip
    marks = SheetMarks((MovedMark(1, "s", 9.0, ("P1.01",), ("P1.02",)),), (), (), 3)
    moved = standing_finding(Standing((), (), marks=marks))
    assert moved == (
        Finding(
            "marks-moved", Severity.WARN,
            "Marks have moved: 1 sheets of earlier issues that stay in use are called otherwise now, and 3 of the old marks "
            "name a sheet of another length.",
            "Mark the sheets anew by the table in site.pdf before any is laid.",
        ),
    )  # fmt: skip
    assert standing_finding(Standing((), (), marks=replace(marks, moved=()))) == ()


def takeoff(own: Order | None = ORDER, revision: str = "B") -> Any:
    job = SimpleNamespace(job="Hut", revision=revision)

    class Taken(SimpleNamespace):
        pass

    return Taken(order=own, job=job, job_hash="abc", findings=())


def test_the_next_issue_orders_what_is_still_to_order() -> None:
    contents = contents_of(ORDER)
    book = IssueBook((BOOK.issues[0], replace(BOOK.issues[1], contents=contents)))
    names = {"rail": "rail 70 x 45", "screw": "screw"}
    found = next_issue(takeoff(), book, IssueWanted("two more", "2026-04-01", to="mill", files={"a": "b"}), names)
    assert found == Issue(
        3, "2026-04-01", "Hut", "B", "abc", contents, ("purlins", "roof sheets"), "mill", "two more", (1, 2),
        (
            IssuedLine("purlins", "rail", "rail 70 x 45", 6000.0, "each", 2.0, 12.0, "m", 24.0),
            IssuedLine("roof sheets", "screw", "screw", 0.0, "each", 3.0, 3.0, "each", 0.0),
            IssuedLine("roof sheets", "clip", "clip of old", 0.0, "each", -7.0, -7.0, "each", -1.0),
        ),
        {"a": "b"},
    )  # fmt: skip
    only = next_issue(takeoff(), book, IssueWanted("", "2026-04-01", delivery="purlins"), names)
    assert (only.deliveries, only.supersedes, len(only.lines)) == (("purlins",), (1,), 1)


@pytest.mark.parametrize(
    ("own", "book", "delivery", "revision", "words"),
    [
        (None, BOOK, "", "C", "the order is withheld by a stop finding: nothing can be issued"),
        (ORDER, BOOK, "", "A", ("issue 1 of 2026-03-02 was revision A with other contents: paper of both would go about under "
         "one letter; give the job a new revision")),
        (ORDER, BOOK, "gutters", "C", "the order has no delivery gutters; it has purlins, roof sheets"),
        (order(), IssueBook(()), "walls", "C", "the order has no delivery walls; it has none"),
        (order(line("L1", "rail", 8.0, 6000.0), line("L2", "peg", 0.0, delivery="walls")), IssueBook(BOOK.issues[:1]), "purlins", "C",
         "nothing of purlins is left to order: all of it stands in the book (issue 1)"),
        (order(line("L3", "sheet", 6.0, 5000.0, delivery="roof sheets")), IssueBook((issue(4, said("sheet", 6.0, 5000.0, delivery="roof sheets")),)), "", "C",
         "nothing is left to order: all of it stands in the book (issue 4)"),
    ],
)  # fmt: skip
def test_what_cannot_be_issued(own: Order | None, book: IssueBook, delivery: str, revision: str, words: str) -> None:
    with pytest.raises(UsageError) as told:
        next_issue(takeoff(own, revision), book, IssueWanted("", "2026-04-01", delivery=delivery), {})
    assert str(told.value) == words


def test_the_contents_that_a_letter_stands_for() -> None:
    """Sheets of one length in several groups stand together; labour, marks and crumbs are no contents."""
    split = contents_of(ORDER)
    joined = order(
        ORDER.lines[1], replace(ORDER.lines[0], id="other", count=10.0000004), replace(ORDER.lines[2], count=6.0)
    )
    assert (contents_of(joined), len(split)) == (split, 16)
    assert contents_of(order(*ORDER.lines[:3])) != split


def test_a_letter_that_is_taken_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(issued, "replace", lambda of, **more: SimpleNamespace(**{**vars(of), **more}))
    found = against_book(takeoff(revision="A"), BOOK)
    assert [one.code for one in found.findings] == ["ordered-lines-changed", "revision-taken"]
    assert found.findings[1] == Finding(
        "revision-taken", Severity.WARN, "Revision A is taken by issue 1, which had other contents.",
        "Give the next letter before you issue.",
    )  # fmt: skip
    assert [one.code for one in against_book(takeoff(revision="C"), BOOK).findings] == ["ordered-lines-changed"]
    # nothing is left to order: nobody issues under the letter again
    all_of_it = issue(
        1, *(replace(said(own.item, own.count, own.each_mm, delivery=own.delivery)) for own in ORDER.lines[:4])
    )
    assert against_book(takeoff(revision="A"), IssueBook((all_of_it,))).findings == ()
    here = takeoff()
    assert against_book(here, None) is here
    bare = takeoff(None)
    assert (against_book(bare, BOOK), against_book(bare, None)) == (bare, bare)


def sheets(*rows: tuple[str, float, str]) -> tuple[MarkedSheet, ...]:
    return tuple(MarkedSheet(of, each, (mark,)) for of, each, mark in rows)


def today(*rows: tuple[float, tuple[str, ...]], houses: Any = None) -> Order:
    blanks = tuple(SimpleNamespace(pieces=tuple(SimpleNamespace(mark=mark) for mark in marks)) for _, marks in rows)
    lines = [line(f"L{n}", "s", 1.0, each, delivery="roof sheets", refs=marks) for n, (each, marks) in enumerate(rows)]
    return order(*lines, blanks=blanks, houses=houses)


def test_marks_of_sheets_that_stay_move_are_made_and_taken_back() -> None:
    """Written P1.01 and P1.02 of 5 m and P1.03 of 4 m: the first stays, the second is called P1.03 now, that of 4 m is taken
    back, one of 6 m is made. P1.03 of 4 m names a sheet of another length."""
    book = IssueBook(
        (), sheets=(IssuedSheets(1, 1, sheets(("s", 5000.0, "P1.01"), ("s", 5000.0, "P1.02"), ("s", 4000.0, "P1.03"))),)
    )
    own = today((5000.0, ("P1.01",)), (5000.0, ("P1.03",)), (6000.0, ("P1.04", "P2.01")))
    assert sheet_marks(own, book) == SheetMarks(
        moved=(MovedMark(1, "s", 5000.0, ("P1.02",), ("P1.03",)),),
        make=(LineMarks("s", 6000.0, (("P1.04", "P2.01"),)),),
        back=(LineMarks("s", 4000.0, (("P1.03",),)),),
        other_lengths=1,  # P1.02 is no sheet today
    )
    # a second issue that made P1.04 is of that issue
    later = IssueBook(
        (),
        sheets=(
            *book.sheets,
            IssuedSheets(2, 1, sheets(("s", 5000.0, "P1.01"), ("s", 5000.0, "P1.03"), ("s", 6000.0, "P1.04"))),
        ),
    )
    found = sheet_marks(today((5000.0, ("P1.01",)), (5000.0, ("P1.03",)), (6000.0, ("P1.05",))), later)
    assert found is not None
    assert found.moved == (
        MovedMark(1, "s", 5000.0, ("P1.02",), ("P1.03",)),
        MovedMark(2, "s", 6000.0, ("P1.04",), ("P1.05",)),
    )
    for none in (IssueBook(()), IssueBook((), sheets=(None,)), IssueBook((), sheets=(IssuedSheets(1, 2, ()),))):
        assert sheet_marks(own, none) is None
    # labour names no sheet, nor does what has no length
    work = line("L8", "s", 1.0, 9.0, delivery="roof sheets", refs=("P1.01",), labour=True)
    flat = line("L9", "s", 1.0, delivery="roof sheets", refs=("P1.01",))
    short = line("L10", "s", 1.0, 0.5, delivery="roof sheets", refs=("P1.01", "P9.99"))
    blank: Any = SimpleNamespace(pieces=(SimpleNamespace(mark="P1.01"),))
    assert marked_sheets(order(work, flat, short, blanks=(blank,))) == (MarkedSheet("s", 0.5, ("P1.01",)),)
    many = SimpleNamespace(count=2)
    assert (
        sheet_marks(today((5000.0, ("P1.01",)), houses=many), IssueBook((), sheets=(IssuedSheets(1, 2, ()),)))
        is not None
    )


def test_which_sheet_is_which_now() -> None:
    """First what is called the same now, then what is written on it, then one of the same plane, then any."""
    made = [
        issued_as("P1.01", "P1.09"),
        issued_as("P1.02", "P1.01"),
        issued_as("P2.01", "P2.01"),
        issued_as("P3.01", "P3.01"),
    ]
    pairs, old, new = _paired(made, [("P2.07",), ("P1.01",), ("P1.02",), ("P4.01",), ("P4.02",)])
    assert [(one.written[0], marks[0]) for one, marks in pairs] == [
        ("P1.02", "P1.01"), ("P1.01", "P1.02"), ("P2.01", "P2.07"), ("P3.01", "P4.01")
    ]  # fmt: skip
    assert (old, new) == ([], [("P4.02",)])
    # the plane of a length is that of its first sheet
    (pair,), _, _ = _paired(
        [_Made(1, ("P1.01", "P2.02"), ("P1.01", "P2.02"))], [("P2.05", "P1.06"), ("P1.05", "P2.06")]
    )
    assert pair[1] == ("P1.05", "P2.06")
    assert _paired(made[:1], []) == ([], made[:1], [])


def issued_as(written: str, now: str) -> Any:
    return _Made(1, (written,), (now,))


def test_places_of_a_line_that_stands_to_the_book() -> None:
    """Counts to a millionth, metres to a millimetre, kilograms to one place: what is off by less is no difference."""
    today = [
        replace(line("L1", "wrap", 1.12345649, kg=3.16), total=2.00064),
        replace(line("L2", "wrap", 1.0, kg=1.0), total=1.0),
    ]
    before = [(4, replace(said("wrap", 0.12345651), total=0.0001, kg=0.0))]
    found = issued._line(("purlins", "wrap", 0.0, "each"), today, before)
    assert (found.wanted, found.ordered) == (2.123456, 0.123457)
    assert (found.total_to_order, found.kg_to_order) == (3.001, 4.2)
    assert issued._counts([(1, said("a", 5e-7)), (1, said("a", -1e-7))]) is False
    assert issued._counts([(1, said("a", 2e-6))]) is True
    # what a letter stands for is told by the same places
    hashes = [contents_of(order(line("L1", "wrap", count))) for count in (1.0, 1.0000004, 1.000001)]
    assert hashes[0] == hashes[1] != hashes[2]
