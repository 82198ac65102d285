"""Lengths cut out of sheets that lie on the site, and packs of sheets: by hand."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import pytest
from made_up_sheets import piece

from takeoff.model.findings import Finding, Severity
from takeoff.model.runs import LeftOver, OnHand
from takeoff.model.sheets import BlankPart, SheetBlank
from takeoff.order.sheets import packs as of_packs
from takeoff.order.sheets.site_sheets import SiteSheets, sheets_left, with_sheets_on_hand


def blank(name: str, length: float, *parts: tuple[str, float], **more: Any) -> SheetBlank:
    return SheetBlank(name, "rib", length, tuple(BlankPart(mark, start, False) for mark, start in parts), **more)


def hand(*rows: tuple[int, int, str]) -> list[OnHand]:
    return [OnHand(length, count, mark) for length, count, mark in rows]


PIECES = {
    one.mark: one
    for one in (piece("a", 2000.0), piece("b", 300.0, cut_from="a"), piece("c", 1500.0), piece("e", 400.0))
}
LIST = (
    blank("rib 001", 2300.0, ("a", 0.0), ("b", 2000.0)),
    blank("rib 002", 1500.0, ("c", 0.0)),
    blank("rib 003", 600.0, ("e", 0.0)),
)


def test_a_list_without_sheets_on_the_site() -> None:
    assert with_sheets_on_hand(LIST, PIECES, [], 600.0) == SiteSheets(LIST)
    assert SiteSheets(LIST).bought_mm == 4400.0
    # nothing there is long enough
    assert with_sheets_on_hand(LIST, PIECES, hand((250, 9, "x")), 600.0) == SiteSheets(LIST)


def test_lengths_cut_out_of_a_sheet_on_the_site() -> None:
    """1.5 m and the 0.4 m that the mill would run at 0.6 m come out of 2 m end to end."""
    found = with_sheets_on_hand(LIST, PIECES, hand((2000, 1, "back")), 600.0)
    assert found.bought == LIST[:1]
    assert found.site == (
        SheetBlank("", "rib", 1900.0, (BlankPart("c", 0.0, False), BlankPart("e", 1500.0, False)), 2000.0, "back"),
    )


def test_a_short_piece_leaves_the_length_it_was_cut_from() -> None:
    """The 0.3 m go to the shortest sheet there that holds them, and 2 m are bought instead of 2.3."""
    found = with_sheets_on_hand(LIST, PIECES, hand((290, 1, "n"), (350, 1, "b"), (350, 1, "a"), (399, 1, "z")), 600.0)
    assert found == SiteSheets(
        (blank("rib 001", 2000.0, ("a", 0.0)), *LIST[1:]),
        (SheetBlank("", "rib", 300.0, (BlankPart("b", 0.0, False),), 350.0, "a"),),
    )
    # the mill's least run stands: 2.2 m of it are bought whatever is left
    assert with_sheets_on_hand(LIST[:1], PIECES, hand((350, 1, "a")), 2200.0).bought == (
        blank("rib 001", 2200.0, ("a", 0.0)),
    )
    assert with_sheets_on_hand(LIST[:1], PIECES, hand((350, 1, "a")), 2300.0) == SiteSheets(LIST[:1])


def test_short_pieces_go_the_longest_first() -> None:
    """0.4, 0.35 and 0.3 m cut from 2 m; sheets of 0.4 and 0.36 m on the site hold the first two, exactly and nearly; what is
    left in the bought length moves down behind its own piece."""
    own = {
        one.mark: one
        for one in (
            piece("a", 2000.0),
            piece("g", 350.0, cut_from="a"),
            piece("h", 300.0, cut_from="a"),
            piece("i", 400.0, cut_from="a"),
        )
    }
    whole = blank("rib 001", 3050.0, ("a", 0.0), ("g", 2000.0), ("h", 2350.0), ("i", 2650.0))
    found = with_sheets_on_hand([whole], own, hand((400, 1, "x"), (360, 1, "y")), 600.0)
    assert found.bought == (blank("rib 001", 2300.0, ("a", 0.0), ("h", 2000.0)),)
    assert found.site == (
        SheetBlank("", "rib", 400.0, (BlankPart("i", 0.0, False),), 400.0, "x"),
        SheetBlank("", "rib", 350.0, (BlankPart("g", 0.0, False),), 360.0, "y"),
    )


def test_whole_lengths_on_the_site_are_those_that_save_most() -> None:
    """Two of 1.5 m and one of 1 m, and 2.6 m there: 1.5 + 1 m; a crumb over 1.5 m is none."""
    own = {one.mark: one for one in (piece("a", 1500.0000005), piece("b", 1500.0), piece("c", 1000.0))}
    three = [
        blank("rib 001", 1500.0000005, ("a", 0.0)),
        blank("rib 002", 1500.0, ("b", 0.0)),
        blank("rib 003", 1000.0, ("c", 0.0)),
    ]
    found = with_sheets_on_hand(three, own, hand((2500, 1, "x")), 600.0)
    assert [part.mark for site in found.site for part in site.pieces] == ["a", "c"]
    assert found.bought == (three[1],)


def test_what_is_left_of_sheets_on_the_site() -> None:
    site = [
        blank("", 1900.0, site_mm=2000.0, mark="back"),
        blank("", 300.0, site_mm=900.0, mark="a"),
        blank("", 500.0, site_mm=500.0, mark="c"),
    ]
    lying = hand((2000, 2, "back"), (900, 1, "a"), (500, 1, "c"), (600, 1, "b"))
    left = [LeftOver("s", 2000, 1, True, "back"), LeftOver("s", 600, 1, True, "a"), LeftOver("s", 600, 1, True, "b")]
    assert sheets_left("s", site, lying, 101.0) == left
    assert sheets_left("s", site, lying, 100.0) == [*left, LeftOver("s", 100, 1, True, "back")]
    assert LeftOver("s", 0, 1, True, "c") not in sheets_left("s", site, lying, 0.0)


@pytest.mark.parametrize(
    ("masses", "limit", "bundles"),
    [
        ((), 10.0, []),
        ((4.0, 4.0), 10.0, [(0, 2)]),
        ((5.0, 5.0), 10.0, [(0, 2)]),
        ((5.0, 5.1), 10.0, [(0, 1), (1, 2)]),
        ((4.0, 4.0, 4.0, 4.0), 10.0, [(0, 2), (2, 4)]),
        ((3.0, 3.0, 3.0, 3.0), 10.0, [(0, 2), (2, 4)]),  # not three and one
        ((12.0, 1.0), 10.0, [(0, 1), (1, 2)]),  # too heavy by itself
        ((1.0, 12.0, 1.0), 10.0, [(0, 1), (1, 2), (2, 3)]),
    ],
)
def test_bundles_within_the_limit_as_even_as_can_be(
    masses: Sequence[float], limit: float, bundles: list[tuple[int, int]]
) -> None:
    assert of_packs._bundles(masses, limit) == bundles


def test_the_mass_of_a_line_is_dealt_out_over_its_sheets() -> None:
    """10 kg over three: 3.3, 3.4 and 3.3, so that they sum to it."""
    one: Any = SimpleNamespace(kg=10.0, count=3.0)
    shares = of_packs._Shares()
    assert [shares.next_kg(one) for _ in range(3)] == [3.3, 3.4, 3.3]


def test_a_pack_over_the_limit_is_told_once() -> None:
    def pack(name: str, kg: float, mark: str) -> Any:
        return SimpleNamespace(
            id=name, kg=kg, limit_kg=500.0, over_limit=kg > 500.0, sheets=(SimpleNamespace(mark=mark),)
        )

    settings: Any = SimpleNamespace(basis=lambda name: SimpleNamespace(words=lambda: f"source of {name}"))
    packs = [pack("K1", 510.0, "P1.01"), pack("K2", 400.0, "P1.02"), pack("K3", 520.25, "P1.03")]
    assert of_packs._findings(packs, settings) == (
        Finding(
            "pack-over-limit", Severity.WARN,
            "2 sheets are over the lifting limit of 500 kg by themselves, the heaviest, P1.03, with 520.2 kg.",
            "Say what the crane lifts at its reach, `settings: {pack_limit_kg: 500}`, or take shorter sheets, "
            "`site: {longest_piece_mm: 6000}`.",
            ("K1", "K3"), source="source of pack_limit_kg",
        ),
    )  # fmt: skip
    assert of_packs._findings(packs[1:2], settings) == ()
