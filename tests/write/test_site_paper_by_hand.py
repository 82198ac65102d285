"""The roofer's paper: its parts and a plane's page, blocks by hand. The layout itself is no check value."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from types import SimpleNamespace
from typing import Any

import pytest
from cut_sheets_by_hand import RAKE, WORKING, plane
from cut_sheets_by_hand import piece as sheet
from sheets_ordered_by_hand import BLANKS, ORDER, PURLIN, WORK, line

from takeoff.model.bought_lengths import Bought
from takeoff.model.items import Trade
from takeoff.model.openings import Hole, HoleInSheet
from takeoff.model.sheets import PairPlan, PlaneSheets, RakedPair
from takeoff.model.supplied import SiteMeasure
from takeoff.write.drawings.drawing import Drawing
from takeoff.write.papers import site_paper
from takeoff.write.papers.blocks import (
    SMALL,
    Beside,
    Block,
    Column,
    Gap,
    Kind,
    NewPage,
    Picture,
    Row,
    Sheet,
    Table,
    Words,
)

piece = partial(sheet, left_mm=4000.0, right_mm=4000.0)


def drawing(name: str, **more: Any) -> Drawing:
    return replace(
        Drawing(name, name, 50, (400.0, 287.0), (0.0, 0.0), (), parts_mm=((0.0, 0.0, 9000.0, 4500.0),)), **more
    )


SHEETS = PlaneSheets(
    "P1", "corru\tgated", "left", 0.0, "left\tedge", "right", 762.4, 845.0, 762.4, (), 0.0,
    (piece("P1.01"), piece("P1.02", top=RAKE)), 2.64, WORKING,
)  # fmt: skip


def said(text: str) -> str:
    return text.replace("Fit", "Do")


def house(**more: Any) -> Any:
    given = {
        "roofing": SimpleNamespace(purlins=(), screws=(), holes=()),
        "gutters": (),
        "issued": None,
        "order": ORDER,
        "roofs": (),
        "supersedes": "",
        "job_hash": "",
        "site": None,
        "job": SimpleNamespace(job="Shed", revision="B", date=None),
    }
    return SimpleNamespace(**{**given, **more})


def test_parts_of_the_paper_in_their_order(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(site_paper, "recorded", lambda title, said, fill: (Words(title),))
    monkeypatch.setattr(site_paper, "_planes", lambda takeoff, order, drawn: iter((Words(f"planes {sorted(drawn)}"),)))
    monkeypatch.setattr(site_paper, "moved_blocks", lambda takeoff: iter((Words("moved"),)))
    monkeypatch.setattr(site_paper, "_work", lambda order, said: iter((Words("work"),)))
    drawings = [drawing(name) for name in ("roof_plan", "purlin_plan", "rainwater_plan")]
    order = replace(ORDER, packs=("pack",))  # type: ignore[arg-type]
    full = house(roofing=SimpleNamespace(purlins=("row",)), gutters=("run",), order=order)
    state = "HOLD: SITE MEASURE BEFORE MANUFACTURE"
    planes = Words("planes ['purlin_plan', 'rainwater_plan', 'roof_plan']")
    paper = site_paper.site_paper(full, order, drawings, said)
    assert paper.blocks == (
        Sheet(drawings[0]), NewPage("Marks that have moved", state), Words("moved"), planes, Sheet(drawings[1]),
        NewPage("Purlins"), Words("Purlins"), Gap(4.0), Words("Purlin rows"), NewPage("Pack list", state), Words("Pack list"),
        Words("work"), Sheet(drawings[2]), NewPage("Rainwater"), Words("Rainwater"),
    )  # fmt: skip
    assert (paper.name, paper.title, paper.banner) == ("site", "For the roofer", state)
    bare = site_paper.site_paper(full, order, (), said)
    assert [block for block in bare.blocks if isinstance(block, Sheet)] == []
    assert bare.blocks[-2:] == (NewPage("Rainwater"), Words("Rainwater"))
    monkeypatch.setattr(site_paper, "moved_blocks", lambda takeoff: ())
    nothing = site_paper.site_paper(house(), ORDER, drawings, said)
    assert nothing.blocks == (Sheet(drawings[0]), planes, Sheet(drawings[1]))


@pytest.mark.parametrize(("tight", "loose", "closer"), [(1, 2, True), (2, 2, False), (3, 2, False)])
def test_rows_stand_closer_where_that_saves_a_page(
    monkeypatch: pytest.MonkeyPatch, tight: int, loose: int, closer: bool
) -> None:
    table = Table((Column("a"),), (Row(("b",)),))
    blocks: tuple[Block, ...] = (Words("w"), table)
    close = (Words("w"), replace(table, tight=True))
    monkeypatch.setattr(site_paper, "pages_of", lambda paper: [0] * (tight if paper.blocks == close else loose))
    assert site_paper._fewest(house(), list(blocks)) == (close if closer else blocks)


def test_work_on_site_that_buys_nothing() -> None:
    fit = replace(WORK, trade=Trade.ROOFING, name="Fit\tout")
    lines = (
        replace(line("a", "roof sheets", fit, 2.5, 0.0, 2.5), labour=True),
        line("b", "roof sheets", fit, 9.0, 0.0, 9.0),
        *(replace(line("c", "x", replace(WORK, trade=trade), 9.0, 0.0, 9.0), labour=True) for trade in (Trade.RAINWATER, Trade.CLADDING)),
        replace(line("d", "purlins", PURLIN, 3.0, 0.0, 3.0), labour=True, unit="m"),
    )  # fmt: skip
    columns = (
        Column("work on site, nothing to buy", share=1.0),
        Column("count", right=True, bold=True),
        Column("unit"),
    )
    rows = (Row(("Do out", "2.5", "each")), Row(("Purlin 70 x 45", "3", "m")))
    assert list(site_paper._work(replace(ORDER, lines=lines), said)) == [Gap(4.0), Table(columns, rows, SMALL)]
    assert list(site_paper._work(replace(ORDER, lines=lines[1:4]), said)) == []


@pytest.mark.parametrize(
    ("box", "fits"),
    [
        ((0.0, 0.0, 180.0 / 0.76 * 50, 100.0), True),
        ((0.0, 0.0, 180.0 / 0.755 * 50 + 100.0, 100.0), False),
        ((1000.0, 500.0, 2000.0, 500.0 + 96.0 / 0.76 * 50 - 1.0), True),
        ((1000.0, 500.0, 2000.0, 500.0 + 96.0 / 0.76 * 50 + 1.0), False),
        ((5000.0, -9000.0, 5100.0, -8900.0), True),
    ],
)
def test_a_plane_is_drawn_over_its_table_where_it_can_be_read(box: Any, fits: bool) -> None:
    """On 180 mm across and 96 mm up a drawing of 1 : 50 is made no smaller than 0.76 of itself."""
    assert site_paper.WIDE_MM == 180.0
    assert site_paper._fits(drawing("d", parts_mm=(box,))) is fits


def test_a_page_a_plane(monkeypatch: pytest.MonkeyPatch) -> None:
    """The second is drawn too large for the room over its table; the third has no sheets, of the fourth none is known."""
    monkeypatch.setattr(site_paper, "_fits", lambda drawn: drawn.name != "sheets_P2")
    monkeypatch.setattr(site_paper, "high_mm", lambda blocks, wide: 200.0)
    monkeypatch.setattr(site_paper, "room_mm", lambda paper: 200.0 if paper.title.startswith("P1") else 199.9)

    def page(subject: Any, tight: bool) -> Any:
        yield Words(f"{subject.plane.id} {subject.edges} {subject.drawing and subject.drawing.name} {tight}")

    monkeypatch.setattr(site_paper, "_plane", page)
    roof = SimpleNamespace(planes=tuple(map(plane, ("P1", "P2", "P3", "P4"))), edges_of=lambda name: f"edges of {name}")
    known = {"P1": SHEETS, "P2": replace(SHEETS, start_side="right"), "P3": replace(SHEETS, pieces=())}
    drawn = {name: drawing(name) for name in ("sheets_P1", "sheets_P2")}
    state = "HOLD: SITE MEASURE BEFORE MANUFACTURE"
    assert list(site_paper._planes(house(roofs=(roof,), sheets_of=known.get), ORDER, drawn)) == [
        NewPage("P1, south-west side: 25.0°, LAY left to right →", state),
        Words("P1 edges of P1 sheets_P1 False"),
        Sheet(drawn["sheets_P2"]),
        NewPage("P2, south-west side: 25.0°, LAY ← right to left", state),
        Words("P2 edges of P2 None True"),
    ]


def subject(**more: Any) -> Any:
    given = {
        "takeoff": house(), "order": replace(ORDER, blanks=(), site_blanks=()), "plane": plane(), "sheets": SHEETS,
        "bought": {"P1.01": Bought(4010.0), "P1.02": Bought(None, "P1.01", True)}, "edges": (), "drawing": None,
    }  # fmt: skip
    return SimpleNamespace(**{**given, **more})


START = "START: left edge. The right edge of each sheet lies over. Movement of the longest run 2.6 mm."
SEEN = "Seen from outside, eave at the foot, dimensions over plane and sheets; corru gated, cover 762, overall 845."


def test_the_page_of_a_plane(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(site_paper, "_check_boxes", lambda takeoff, plane, edges: Words("boxes"))
    monkeypatch.setattr(site_paper, "_cutting", lambda sheets, bought: Table((), ()))
    monkeypatch.setattr(site_paper, "screw_words", lambda takeoff, name: f"screws of {name}")
    monkeypatch.setattr(site_paper, "frame_words", lambda plane, edges: "frame" if edges else "")
    head = [Words(f"{START} {SEEN} screws of P1", SMALL, keep=True), Words("boxes")]
    assert list(site_paper._plane(subject(), False)) == [*head, Table((), ())]
    hole = Hole("O1", "O1", "main", "P1", "flue", (0.0, 0.0), 350.0, 420.0, 0.0, (0.0, 0.0, 0.0), "boot", False,
                (HoleInSheet("P1.01", 10.0, 360.0, 1000.0, 1420.0),))  # fmt: skip
    other = replace(hole, id="O2", plane="P9")
    sheets = replace(SHEETS, pieces=(*SHEETS.pieces, piece("P1.03", clear=True)))
    pairs = (PairPlan("c", (), (RakedPair("P1.01", "P2.01", True, 0.0, 0.0),), 0.0, 0.0),)
    order = replace(ORDER, blanks=BLANKS[:1], site_blanks=(), pairs=pairs)
    drawn = drawing("d")
    full = subject(
        takeoff=house(roofing=SimpleNamespace(holes=(hole, other))),
        sheets=sheets,
        order=order,
        edges=("e",),
        drawing=drawn,
    )
    lines = [
        Words("4500 mm: P1.01 as it lies from 0 mm; P2.01 as it lies from 0 mm", SMALL, under_mm=0.2),
        Words("CLEAR SHEETS, not to be walked on: P1.03.", SMALL, under_mm=0.2),
        Words(
            "HOLE O1, 350 x 420 mm, cut on site: P1.01, 1000 to 1420 from its foot, 10 to 360 from its left edge.",
            SMALL, under_mm=0.2,
        ),
    ]  # fmt: skip
    two = Words(
        "TWO OUT OF ONE LENGTH: mark both before the first cut; a wrong cut spoils two sheets.",
        SMALL,
        bold=True,
        keep=True,
    )
    picture = Picture(drawn, (0.0, 0.0, 9000.0, 4500.0), 96.0)
    first = [picture, *head, Words("frame", SMALL, keep=True, under_mm=0.5)]
    assert list(site_paper._plane(full, False)) == [*first, Table((), ()), two, *lines]
    close = Table((), (), tight=True)
    assert list(site_paper._plane(full, True)) == [*first, close, two, Beside((tuple(lines[:2]), tuple(lines[2:])))]
    full.takeoff.roofing.holes = ()
    assert list(site_paper._plane(full, True)) == [*first, close, two, *lines[:2]]


def test_boxes_for_what_is_taped() -> None:
    """The frame of 3000 x 4000.4 has diagonals of 5000; one eave was taped, on another plane 1 mm."""
    taped = (SiteMeasure("P2", "eave", 1.0), SiteMeasure("P1", "eave", 4001.6))
    names = ("rafter left", "rafter right", "eave", "ridge", "diagonal, rising right", "diagonal, rising left")
    columns = (Column("check", least_mm=14.0), *(Column(name, share=1.0, boxed=True) for name in names))
    frame = Row(("frame", "3000", "3000", "4000", "4000", "5000", "5000"))
    measured = house(site=SimpleNamespace(measures=taped))
    assert site_paper._check_boxes(measured, plane(), ()) == Table(
        columns, (frame, Row(("on site", "", "", "4002", "", "", ""), high_mm=9.0)), SMALL
    )
    bare = site_paper._check_boxes(house(), plane(), ())
    assert bare.rows[1] == Row(("on site", *("",) * 6), high_mm=9.0)
    ring = ((0.0, 0.0), (4000.0, 0.0), (2000.0, 3000.0))
    pointed = site_paper._check_boxes(house(), replace(plane(), rings_uv=(ring,)), ())
    assert [column.heading for column in pointed.columns] == ["check", "rafter left", "rafter right", "eave"]


def test_the_cutting_list_of_a_plane() -> None:
    """Columns that say nothing are left out; 4.01 m is bought, of P1.03 nothing is known."""
    pieces = (piece("P1.01"), piece("P1.02", top=RAKE, right_mm=3200.4, long_point_mm=(12.6, 3999.6)), piece("P1.03"))
    table = site_paper._cutting(replace(SHEETS, pieces=pieces), subject().bought)
    assert [column.heading for column in table.columns] == [
        "mark", "bought", "left", "right", "long point", "from left", "foot cut", "top cut", "rake", "longer side",
        "cut from", "on site",
    ]  # fmt: skip
    assert table.rows == (
        Row(("P1.01", "4010", "4000", "4000", "", "", "square", "square", "", "", "", "")),
        Row(("P1.02", "", "4000", "3200", "4000", "13", "square", "raked hip 1", "47.8°", "left", "P1.01, turned", "")),
        Row(("P1.03", "4010", "4000", "4000", "", "", "square", "square", "", "", "", "")),
        Row(("3 sheets, 4.01 m bought",), Kind.NOTE),
    )
    assert table.size == SMALL
    looks = {column.heading: column for column in table.columns}
    assert looks["mark"] == Column("mark", bold=True)
    assert looks["bought"] == Column("bought", right=True, bold=True)
    assert (looks["left"], looks["rake"]) == (Column("left", right=True), Column("rake", right=True))
    assert (looks["cut from"], looks["longer side"]) == (Column("cut from"), Column("longer side"))
    assert looks["foot cut"] == Column("foot cut", share=9.5)
    assert looks["on site"] == Column("on site", boxed=True, least_mm=18.0)
    plain = site_paper._cutting(replace(SHEETS, pieces=pieces[:1]), {"P1.01": Bought(4010.0)})
    assert [column.heading for column in plain.columns] == [
        "mark",
        "bought",
        "left",
        "right",
        "foot cut",
        "top cut",
        "on site",
    ]
