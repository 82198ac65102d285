"""A supplied list against ours, step by step and by hand: within what sheets are matched, by which marks, what differs.

Within 5 mm sheets agree, up to 300 they are taken for one; 50 mm are allowed for a rake. Lengths in mm.
"""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from made_up_sheets import piece, planes

from takeoff.model.differences import ListCheck, ListDifference, ListFault, ListTally
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Item, ItemKind, Trade
from takeoff.model.sheets import BlankPart, SheetBlank
from takeoff.model.supplied import SuppliedLine, SuppliedList
from takeoff.order.comparing import check_list as checking
from takeoff.order.comparing.check_list import _by_marks, _Match, _Scope, _Sheet, check_list

VALUES = {"list_tolerance_mm": 5.0, "list_pair_mm": 300.0, "raked_allowance_mm": 50.0}
SETTINGS: Any = SimpleNamespace(number=VALUES.__getitem__)
MISSING, SHORT, UNDER, LONG, EXTRA = (
    ListFault.MISSING, ListFault.SHORT, ListFault.UNDER, ListFault.LONG, ListFault.EXTRA
)  # fmt: skip


def supplied(*lines: SuppliedLine, **more: Any) -> SuppliedList:
    return SuppliedList("list.csv", "", lines, **more)


def line(row: int, count: int, length: float, plane: str = "", profile: str = "", mark: str = "") -> SuppliedLine:
    return SuppliedLine(row, count, length, plane, profile, mark)


def blank(name: str, length: float, *marks: str, profile: str = "rib") -> SheetBlank:
    return SheetBlank(name, profile, length, tuple(BlankPart(mark, 0.0, False) for mark in marks))


def order(*blanks: SheetBlank, lines: Any = ()) -> Any:
    return SimpleNamespace(blanks=blanks, lines=lines)


# --- within what sheets are matched -------------------------------------------------------------------------------------


def scope(*lines: SuppliedLine, profiles: tuple[str, ...] = ("five_rib", "five_rib_deep", "wavy")) -> _Scope:
    return checking._scope(supplied(*lines), ("P1", "P2"), profiles)


def test_a_list_that_names_planes() -> None:
    assert scope(line(2, 1, 900.0, "P1"), line(3, 1, 900.0, "P9")) == _Scope(True, None, ())
    assert scope(line(2, 1, 900.0, "P1"), line(3, 1, 900.0)) == _Scope(False, None, ())
    text = "The list names planes (north, south) but none of ours (P1, P2): checked by totals."
    told = Finding("list-planes-unknown", Severity.NOTE, text, "Name planes as the roof plan does.")
    lines = (line(2, 1, 900.0, "north"), line(3, 1, 900.0, "south"), line(4, 1, 900.0, "north"))
    assert scope(*lines) == _Scope(False, None, (told,))
    (long,) = scope(line(2, 1, 900.0, "n" * 90)).findings
    assert long.text == f"The list names planes ({'n' * 80}) but none of ours (P1, P2): checked by totals."


def test_names_of_profiles() -> None:
    """The longest of ours that stands in a name; one that is none of ours is told, but for spares; without any of ours
    lengths alone count."""
    unknown = "which is none of ours: five_rib, five_rib_deep, wavy."
    cure = "Check that it is the same sheet."
    names = ("Five Rib deep 0.4", "FIVE_RIB grey", "", "Spare lengths", "other")
    found = scope(*(line(n, 1, 900.0, profile=name) for n, name in enumerate(names)))
    assert found == _Scope(
        False,
        {"Five Rib deep 0.4": "five_rib_deep", "FIVE_RIB grey": "five_rib", "": "no profile", "Spare lengths": "Spare lengths", "other": "other"},
        (
            Finding("list-profile-unknown", Severity.WARN, f"The list names no profile in some lines, {unknown}", cure),
            Finding("list-profile-unknown", Severity.WARN, f"The list names other, {unknown}", cure),
        ),
    )  # fmt: skip
    assert scope(line(2, 1, 900.0, profile="other"), line(3, 1, 900.0)) == _Scope(False, None, ())
    (told,) = scope(line(2, 1, 900.0, profile="wavy"), line(3, 1, 900.0, profile="x" * 70)).findings
    assert told.text == f"The list names {'x' * 60}, {unknown}"
    # where there is one profile of ours, all are taken for it
    one = scope(line(2, 1, 900.0, profile="wavy"), line(3, 1, 900.0, profile="other"), profiles=("wavy",))
    assert one.profiles == {"wavy": "wavy", "other": "wavy"}


def test_our_sheets_by_plane_and_profile() -> None:
    sheets = [planes(piece("P1.01", 2000.0)), planes(piece("P2.01", 900.0, plane="P2"))]
    own = order(blank("r1", 2000.0, "P1.01"), blank("w1", 900.0, "P2.01", profile="wavy"))
    one, two = _Sheet(2000.0, "P1.01", "p1.1", 1950.0), _Sheet(900.0, "P2.01", "p2.1", 850.0)
    for by_plane, profiles, found in (
        (True, {}, {("P1", "rib"): [one], ("P2", "wavy"): [two]}),
        (True, None, {("P1", ""): [one], ("P2", ""): [two]}),
        (False, {}, {("", "rib"): [one], ("", "wavy"): [two]}),
        (False, None, {("", ""): [one, two]}),
    ):
        assert checking._ours(own, sheets, _Scope(by_plane, profiles, ()), SETTINGS) == found


def test_what_a_bought_length_must_reach() -> None:
    """One sheet: its reach and what is turned down. Two raked ones in 5000: less 50 each, or less what the one has more
    than it needs, 30. A length whose sheets are not known must be had whole."""
    known = {
        one.mark: one
        for one in (
            piece("a", 2000.0, reach_mm=1940.0, foot_turn_mm=20.0),
            piece("b", 3000.0, reach_mm=2920.0, foot_turn_mm=0.0),
            piece("c", 900.0, reach_mm=850.0, foot_turn_mm=20.0),
        )
    }
    rows = {
        ("a",): 1960.0,
        ("a", "b"): 5000.0 - 40.0 - 50.0,
        ("b", "c"): 5000.0 - 50.0 - 30.0,
        ("x",): 5000.0,
        ("x", "b"): 4950.0,
    }
    assert {marks: checking._reach_mm(blank("r1", 5000.0, *marks), known, SETTINGS) for marks in rows} == rows


def test_their_sheets_by_plane_and_profile() -> None:
    lines = supplied(line(7, 2, 900.0, "P1", "r", "P1.01 to P1.02"), line(9, 2, 800.0, "P2", "w", "P2.01"))
    first = [_Sheet(900.0, "7", "p1.1"), _Sheet(900.0, "7", "p1.2")]
    second = [_Sheet(800.0, "9", ""), _Sheet(800.0, "9", "")]
    found = checking._theirs(lines, _Scope(True, {"r": "rib", "w": "wavy"}, ()))
    assert found == {("P1", "rib"): first, ("P2", "wavy"): second}
    assert checking._theirs(lines, _Scope(False, None, ())) == {("", ""): [*first, *second]}


# --- by marks -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("theirs", "ours"),
    [
        # of two known ones one is as long: half is enough; 300 are as long, more are not
        ({"a": 1300.0, "b": 5000.0}, True),
        ({"a": 1300.005, "b": 5000.0}, True),
        ({"a": 1300.02, "b": 5000.0}, False),
        ({"a": 700.0, "b": 5000.0}, True),
        ({"a": 699.9, "b": 5000.0}, False),
        ({"a": 1000.0, "b": 5000.0, "c": 9000.0}, False),
        ({"a": 1000.0, "b": 2000.0, "c": 9000.0}, True),
        # those that are none of ours do not count
        ({"a": 1000.0, "x": 1.0, "y": 2.0}, True),
        ({"x": 1000.0}, False),
        ({}, False),
    ],
)
def test_whether_marks_are_ours(theirs: dict[str, float], ours: bool) -> None:
    own = {("", ""): [_Sheet(1000.0, "", "a"), _Sheet(2000.0, "", "b")], ("P2", ""): [_Sheet(3000.0, "", "c")]}
    other = {("", ""): [_Sheet(length, "2", mark) for mark, length in theirs.items()]}
    assert checking._marks_are_ours(own, other, SETTINGS) is ours  # type: ignore[arg-type]
    twice = {("", ""): [_Sheet(1000.0, "2", "a"), _Sheet(1000.0, "3", "a")]}
    assert checking._marks_are_ours(own, twice, SETTINGS) is False  # type: ignore[arg-type]


def test_sheets_of_one_mark() -> None:
    ours = [_Sheet(1000.0, "P1.01", "a"), _Sheet(2000.0, "P1.02", "b"), _Sheet(3000.0, "P1.03", "")]
    theirs = [_Sheet(1300.0, "2", "a"), _Sheet(2300.5, "3", "b"), _Sheet(3000.0, "4", ""), _Sheet(9.0, "5", "z")]
    assert _by_marks(ours, theirs, 300.0) == ([(ours[0], theirs[0])], ours[1:], theirs[1:])


def test_the_order_of_planes() -> None:
    keys = [("P9", "b"), ("P2", "b"), ("P2", "a"), ("P1", "z"), ("P10", "b"), ("", "a")]
    ordered = sorted(keys, key=lambda key: checking._key(key, ("P2", "P1")))
    assert ordered == [("P2", "a"), ("P2", "b"), ("P1", "z"), ("", "a"), ("P10", "b"), ("P9", "b")]


# --- what differs -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("length", "fault"),
    [(5000.1, LONG), (4999.9, UNDER), (4950.0, UNDER), (4949.995, UNDER), (4949.98, SHORT), (10.0, SHORT)],
)
def test_a_sheet_that_differs(length: float, fault: ListFault) -> None:
    """5000 bought for a reach of 4950, but for a crumb."""
    our, their = _Sheet(5000.0, "P1.01", "a", 4950.0), _Sheet(length, "7")
    assert checking._differing("P1", "rib", our, their) == ListDifference(
        fault, "P1", "rib", 1, 5000.0, length, ("P1.01",), (7,), 4950.0
    )


def test_differences_that_are_alike() -> None:
    """On one line, its rows once each and the longest reach; missing first, then by length."""

    def one(
        fault: ListFault, ours: float, theirs: float, mark: str = "", row: int = 0, reach: float = 0.0
    ) -> ListDifference:
        return ListDifference(
            fault, "P1", "rib", 1, ours, theirs, (mark,) if mark else (), (row,) if row else (), reach
        )

    found = checking._grouped(
        [
            one(EXTRA, 0.0, 700.0, row=9), one(LONG, 4000.0, 4010.0, "a", 4, 3950.0), one(MISSING, 900.0, 0.0, "b", 0, 850.0),
            one(LONG, 4000.0, 4010.0, "c", 4, 3960.0), one(LONG, 4000.0, 4010.0, "d", 5, 3940.0), one(LONG, 4000.0, 4020.0, "e", 6),
            one(MISSING, 2000.0, 0.0, "f"), one(SHORT, 5000.0, 4900.0, "g", 7), one(UNDER, 5000.0, 4960.0, "h", 8),
            one(SHORT, 5000.0, 4950.0, "i", 9),
        ]
    )  # fmt: skip
    assert [
        (each.fault, each.count, each.ours_mm, each.theirs_mm, each.marks, each.rows, each.reach_mm) for each in found
    ] == [
        (MISSING, 1, 2000.0, 0.0, ("f",), (), 0.0),
        (MISSING, 1, 900.0, 0.0, ("b",), (), 850.0),
        (SHORT, 1, 5000.0, 4950.0, ("i",), (9,), 0.0),
        (SHORT, 1, 5000.0, 4900.0, ("g",), (7,), 0.0),
        (UNDER, 1, 5000.0, 4960.0, ("h",), (8,), 0.0),
        (LONG, 1, 4000.0, 4020.0, ("e",), (6,), 0.0),
        (LONG, 3, 4000.0, 4010.0, ("a", "c", "d"), (4, 5), 3960.0),
        (EXTRA, 1, 0.0, 700.0, (), (9,), 0.0),
    ]


def of(*lengths: float, name: str = "") -> tuple[_Sheet, ...]:
    return tuple(_Sheet(length, name or f"{n}") for n, length in enumerate(lengths))


def lengths(match: _Match) -> tuple[list[tuple[float, float]], list[float], list[float]]:
    pairs = [(one.length_mm, two.length_mm) for one, two in match.pairs]
    return pairs, [one.length_mm for one in match.ours], [two.length_mm for two in match.theirs]


def test_sheets_paired_in_turn() -> None:
    """Longest first; a gap of the tolerance is none, of more leaves the longer one."""
    ours, theirs = of(5000.0, 4000.0, 3000.0, 2000.0, 100.0), of(5006.0, 5005.0, 3995.0, 2994.0, 1995.0)
    assert lengths(checking._in_turn(ours, theirs, 5.0)) == (
        [(5000.0, 5005.0), (4000.0, 3995.0), (2000.0, 1995.0)], [3000.0, 100.0], [5006.0, 2994.0]
    )  # fmt: skip
    assert lengths(checking._in_turn(ours[:2], theirs[4:], 5.0)) == ([], [5000.0, 4000.0], [1995.0])


def test_the_sheets_left_over_that_are_nearest() -> None:
    """Up to 300; the nearest first, of as near ones the longest; each length as often as both lists have it."""
    ours, theirs = of(5000.0, 4000.0, 4000.0, 3000.0, 1000.0), of(4900.0, 4100.0, 4090.0, 2700.0, 699.0)
    assert lengths(checking._nearest(_Match((), ours, theirs), 300.0)) == (
        [(4000.0, 4090.0), (5000.0, 4900.0), (4000.0, 4100.0), (3000.0, 2700.0)], [1000.0], [699.0]
    )  # fmt: skip
    assert {length: len(own) for length, own in checking._by_length(of(5.0, 9.0, 5.0)).items()} == {9.0: 1, 5.0: 2}


def test_spares_that_a_list_holds() -> None:
    """One of each spare within the tolerance, of the profile it is listed under, of none or of one that says spare."""
    spares = [("rib", _Sheet(2000.0, "spare")), ("wavy", _Sheet(2004.0, "spare")), ("rib", _Sheet(3000.0, "spare"))]

    def left(profile: str, *theirs: float) -> tuple[list[float], list[tuple[str, float]]]:
        own = list(spares)
        found = checking._without_spares(_Match((), (), of(*theirs)), profile, own, 5.0)
        return [one.length_mm for one in found.theirs], [(name, one.length_mm) for name, one in own]

    assert left("rib", 2005.0, 2000.0, 3005.1) == ([2000.0, 3005.1], [("wavy", 2004.0), ("rib", 3000.0)])
    assert left("wavy", 2000.0, 3000.0) == ([3000.0], [("rib", 2000.0), ("rib", 3000.0)])
    assert left("", 2000.0, 2000.0) == ([], [("rib", 3000.0)])
    assert left("SPARE lengths", 3000.0) == ([], [("rib", 2000.0), ("wavy", 2004.0)])
    assert left("other", 2000.0) == ([2000.0], [(name, one.length_mm) for name, one in spares])


def test_a_list_checked_whole() -> None:
    """By marks: P1.01 agrees within 5, P1.02 is 10 short of its 1950; of the others 800 is 10 long, 4000 is missing and 70 is
    extra. A spare of 2500 is in the list, one of 600 is not."""
    spare = Item("spare", "spare", ItemKind.SPARE_SHEET, Trade.ROOFING, "m", product="rib")
    rail = Item("rail", "rail", ItemKind.FIXING, Trade.ROOFING, "m", product="rib")
    lines = [
        SimpleNamespace(of=spare, each_mm=2500.0, count=1.0),
        SimpleNamespace(of=spare, each_mm=600.0, count=2.0),
        SimpleNamespace(of=rail, each_mm=70.0, count=1.0),
    ]
    own = order(
        blank("r1", 1000.0, "P1.01"),
        blank("r2", 2000.0, "P1.02"),
        blank("r3", 790.0, "P1.03"),
        blank("r4", 4000.0, "P1.04"),
        lines=lines,
    )
    sheets = [planes(piece("P1.01", 1000.0), piece("P1.02", 2000.0), piece("P1.03", 790.0), piece("P1.04", 4000.0))]
    given = (Finding("read", Severity.NOTE, "as read"),)
    theirs = supplied(
        line(2, 1, 1005.0, "P1", mark="P1.01"), line(3, 1, 1940.0, "P1", mark="P1.02"), line(4, 1, 800.0, "P1"),
        line(5, 1, 70.0, "P1"), line(6, 1, 2500.0, "P1"), findings=given,
    )  # fmt: skip
    notes = (
        Finding("list-by-marks", Severity.NOTE, "Sheets that bear our marks were matched by them."),
        Finding("list-with-spares", Severity.NOTE, "The list holds spare sheets of our order, which the tally counts as theirs only: rib 2500 mm.", "They are no difference."),
        Finding("list-without-spares", Severity.NOTE, "Spare sheets of our order that the list does not hold: rib 600 mm, rib 600 mm.", "Order them apart where they are wanted."),
    )  # fmt: skip
    found = check_list(theirs, own, sheets, SETTINGS)
    assert found == ListCheck(
        "list.csv", "", 5.0, True,
        (
            ListDifference(MISSING, "P1", "", 1, 4000.0, 0.0, ("P1.04",), (), 3950.0),
            ListDifference(SHORT, "P1", "", 1, 2000.0, 1940.0, ("P1.02",), (3,), 1950.0),
            ListDifference(LONG, "P1", "", 1, 790.0, 800.0, ("P1.03",), (4,), 740.0),
            ListDifference(EXTRA, "P1", "", 1, 0.0, 70.0, (), (5,), 0.0),
        ),
        (ListTally("P1", "", 4, 5, 1, 7.79, 6.315),),
        (*given, *notes),
    )  # fmt: skip
    # marks that are none of ours say nothing: P1.01 and P1.02 the other way round are matched by length
    turned = supplied(
        *(replace(one, mark=mark) for one, mark in zip(theirs.lines[:2], ("P1.02", "P1.01"), strict=True))
    )
    found = check_list(turned, order(*own.blanks[:2]), sheets, SETTINGS)
    assert [(one.fault, one.ours_mm, one.theirs_mm) for one in found.differences] == [(SHORT, 2000.0, 1940.0)]
    assert (found.tallies, found.findings) == ((ListTally("P1", "", 2, 2, 1, 3.0, 2.945),), ())
