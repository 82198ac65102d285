"""The plain list of a group's sheets and the paired one, with what lies on the site: which is taken, by hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from made_up_sheets import RIB, piece, planes

from takeoff.model.runs import OnHand
from takeoff.model.sheets import BlankPart, PairPlan, SheetBlank, SheetGroup
from takeoff.order.sheets import sheet_orders
from takeoff.order.sheets.site_sheets import SiteSheets

A, B, C = piece("a", 2000.0), piece("b", 1500.0), piece("c", 900.0)
GROUP = SheetGroup(RIB, 0.4, "", (planes(A, B), planes(C)))
HAND = (OnHand(2000, 1, "back"),)


def blank(name: str, length: float, *marks: str) -> SheetBlank:
    return SheetBlank(name, "rib", length, tuple(BlankPart(mark, 0.0, False) for mark in marks))


def plan(*blanks: SheetBlank) -> PairPlan:
    return PairPlan("rib", blanks, (), 4400.0, sum(one.length_mm for one in blanks), "")


@pytest.mark.parametrize(
    ("hand", "wanted", "all_mm", "taken", "asked"),
    [
        ((), True, 0.0, "apart", 1),  # nothing lies there: pairs are looked for once
        (HAND, False, 0.0, "apart", 1),  # pairs are not to be bought: none are cut out of what lies there
        (HAND, True, 2299.0, "all", 2),
        (HAND, True, 2300.0, "apart", 2),  # where that buys as much pairs stay apart
        (HAND, True, 2301.0, "apart", 2),
    ],
)
def test_pairs_beside_or_out_of_what_lies_on_the_site(
    hand: Any, wanted: bool, all_mm: float, taken: str, asked: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The site gives a; b and c are 1500 and 900 plain, or paired 2300. Or all pairs of the three, cut out of what is there."""
    plain = (blank("1", 2000.0, "a"), blank("2", 1500.0, "b"), blank("3", 900.0, "c"))
    apart, together = plan(blank("p", 2300.0, "b", "c")), plan(blank("q", 4000.0, "a", "b"), blank("r", 900.0, "c"))
    given: list[Any] = []

    def pairs(of: Any, profile: Any, site: Any, settings: Any) -> PairPlan:
        given.append(tuple(one.mark for plane in of for one in plane.pieces))
        return apart if len(given) == 1 else together

    def on_hand(blanks: Any, pieces: Any, lying: Any, least: float) -> SiteSheets:
        assert (tuple(pieces), lying, least) == (("a", "b", "c"), hand, 600.0)
        if blanks == plain:
            return SiteSheets(plain[1:], plain[:1]) if hand else SiteSheets(plain)
        return SiteSheets((blank("s", all_mm, "c"),), together.blanks[:1])

    monkeypatch.setattr(sheet_orders, "plain_blanks", lambda *_: plain)
    monkeypatch.setattr(sheet_orders, "pair_raked", pairs)
    monkeypatch.setattr(sheet_orders, "with_sheets_on_hand", on_hand)
    monkeypatch.setattr(
        sheet_orders,
        "numbered",
        lambda blanks, profile, *more: tuple(replace(one, id=f"n{one.id}{''.join(more)}") for one in blanks),
    )
    settings: Any = SimpleNamespace(
        number={"least_run_mm": 600.0}.__getitem__, flag={"buy_raked_pairs": wanted}.__getitem__
    )
    left, paired, found = sheet_orders._lists(GROUP, None, settings, hand)  # type: ignore[arg-type]
    assert given == [("b", "c") if hand else ("a", "b", "c"), ("a", "b", "c")][:asked]
    if not hand:
        assert (left, paired, found) == (SiteSheets(plain), SiteSheets(apart.blanks), apart)
        return
    assert [one.id for one in (*left.bought, *left.site)] == ["n2", "n3", "n1 site"]
    own, bought, lying = (
        (apart, apart.blanks, plain[:1])
        if taken == "apart"
        else (together, (blank("s", all_mm, "c"),), together.blanks[:1])
    )
    assert paired.bought == tuple(replace(one, id=f"n{one.id}") for one in bought)
    assert paired.site == tuple(replace(one, id=f"n{one.id} site") for one in lying)
    assert found == replace(own, blanks=paired.bought, plain_mm=2400.0, paired_mm=paired.bought_mm)
