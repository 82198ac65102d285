"""The sheet Flashings: every cell by hand, formulas with what they must give. The layout itself is no check value."""

from __future__ import annotations

from dataclasses import replace

from bars_by_hand import PLAN, SITE, WORKING, bar, item
from rows_by_hand import Rows

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.measured import FlashingRun, FoldSection, Need
from takeoff.model.order import Order, OrderLine, Takeoff
from takeoff.model.runs import RunDemand
from takeoff.write.workbook import workbook_flashings
from takeoff.write.workbook.workbook_page import Formula

SECTION = FoldSection(
    "ridge", "Ridge", (), (("hem\x01", 12), ("wing", 150), ("wing", 160)), (0.0, 130.25), 322, 1, 1, "top", 2
)
RIDGE = FlashingRun(
    "F1", "ridge\t1", EdgeKind.RIDGE, "ridge", 4000.4, 149.6, 210.2, 322.0, 5, 130.25, "", WORKING,
)  # fmt: skip
B_STYLES = ("mark", "text", "text", *("whole",) * 3, "length", "whole", "count", "text", "text", "text")
M_STYLES = (*B_STYLES[:6], "metres", *B_STYLES[7:])


def test_a_section_for_the_folder_in_words() -> None:
    assert workbook_flashings.section_words(SECTION) == (
        "Girth 322, 1 fold, 1 hem. Legs, left to right: hem 12, wing 150, wing 160. Included angles: hem, 130.3 degrees. "
        "Colour side: top. Soft edges: 2."
    )
    bare = replace(SECTION, angles_deg=(), soft_edges=0, folds=0, hems=2, hand="left", handed="front")
    assert workbook_flashings.section_words(bare) == (
        "Girth 322, no fold, 2 hems. Legs, left to right: hem 12, wing 150, wing 160. Colour side: top. "
        "Left hand only: front."
    )


def test_a_run_and_what_it_is_cut_from() -> None:
    """4000 + 150 + 210 as shown."""
    assert workbook_flashings._run_cells(RIDGE, [3000, 1360], 17) == (
        "F1", "ridge 1", "ridge", 4000.0, 150.0, 210.0, Formula("D17+E17+F17", 4360.0), 322.0, 5, 130.3, "", "3000 + 1360",
    )  # fmt: skip
    handed = replace(RIDGE, lap_from="the\tleft", girth_mm=0.0, hand="left", item="ridge_322")
    assert workbook_flashings._run_cells(handed, [], 3)[2:8] == (
        "lap from the left", 4000.0, 150.0, 210.0, Formula("D3+E3+F3", 4360.0), None,
    )  # fmt: skip
    assert workbook_flashings._run_cells(replace(RIDGE, girth_mm=1.0), [], 3)[7] == 1.0
    assert workbook_flashings._run_cells(handed, [], 3)[10:] == ("left", "")
    assert [workbook_flashings.run_item(run) for run in (RIDGE, handed)] == ["ridge", "ridge_322"]


def test_lengths_of_a_section_from_the_site_and_bought() -> None:
    page = Rows()
    workbook_flashings._bought(page, PLAN)  # type: ignore[arg-type]
    six = (None,) * 3
    assert page.kept == [
        ("line", "site", None, "from site back shed", *six, 5400, None, 1, None, None, "2000 + 1500", B_STYLES),
        ("line", "buy", None, "length, count", *six, 6000, None, 1, None, None, "5000", B_STYLES),
        ("line", "buy", None, "length, count", *six, 6000, None, 2, None, None, "3500 + 2400", B_STYLES),
        ("line", "buy", None, "length, count", *six, 4800, None, 1, None, None, "4700", B_STYLES),
        ("total", None, None, "metres, lengths", *six, Formula("ROUND(SUMPRODUCT(G11:G13,I11:I13)/1000,3)", 22.8), None,
         Formula("SUM(I11:I13)", 4.0), None, None, None, M_STYLES),
    ]  # fmt: skip
    only_site = Rows()
    workbook_flashings._bought(only_site, replace(PLAN, bars=(), site_bars=(replace(SITE[0], mark=""),)))  # type: ignore[arg-type]
    assert only_site.kept == [
        ("line", "site", None, "from site", *six, 5400, None, 1, None, None, "2000 + 1500", B_STYLES)
    ]


def test_sections_in_the_order_their_runs_were_measured_then_pieces(sample: Takeoff) -> None:
    assert sample.order is not None
    second = replace(RIDGE, run="F2", flashing="apron")
    third = replace(RIDGE, run="F3", section=SECTION)
    first = replace(RIDGE, section=SECTION)
    plan = replace(PLAN, item="ridge", bars=(bar(1, 6000, ("F3", 1360), ("F1", 3000)),), site_bars=())
    lines = (
        OrderLine("l1", "flashings", item("boot", "Pipe\tboot"), 2.0, "each", 0.0, 2.0, "each", 0.0, (), WORKING),
        OrderLine("l2", "flashings", item("tape", "Tape"), 1.0, "roll", 0.0, 1.0, "roll", 0.0, (), WORKING),
        OrderLine("l3", "flashings", item("ridge", "Ridge"), 1.0, "each", 1.0, 6.0, "m", 0.0, (), WORKING),
        OrderLine("l4", "walls", item("tape", "Tape"), 1.0, "roll", 0.0, 1.0, "roll", 0.0, (), WORKING),
    )
    need = Need("flashings", (), (RunDemand("F1", "ridge", 4360.0),))
    takeoff = replace(
        sample,
        roofing=replace(sample.roofing, flashings=(first, second, third), needs=(need,)),
        order=replace(sample.order, lines=lines, plans=(plan,)),
        items={"ridge": item("ridge", "Ridge roll")},
    )
    page, order = Rows(), takeoff.order
    assert isinstance(order, Order)
    workbook_flashings.fill_flashings(page, takeoff, order)  # type: ignore[arg-type]
    box = "____________"
    none = (None,) * 5
    assert page.kept == [
        ("note", f"Thickness: 0.55 mm base metal   Grade: {box}   Coating: {box}   Colour: {box}"),
        ("group", "Ridge roll"),
        ("note", workbook_flashings.section_words(SECTION)),
        ("line", "buy", None, "length, count", None, None, None, 6000, None, 1, None, None, "1360 + 3000", B_STYLES),
        ("total", None, None, "metres, lengths", None, None, None,
         Formula("ROUND(SUMPRODUCT(G13:G13,I13:I13)/1000,3)", 22.8), None, Formula("SUM(I13:I13)", 1.0), None, None, None,
         M_STYLES),
        ("line", *workbook_flashings._run_cells(first, [3000], 15)),
        ("line", *workbook_flashings._run_cells(third, [1360], 16)),
        ("gap",),
        ("group", "apron"),
        ("line", *workbook_flashings._run_cells(second, [], 19)),
        ("gap",),
        ("group", "Pieces and sundries"),
        ("line", None, None, "Pipe boot", *none, 2.0, "", None, None, B_STYLES),
        ("line", None, None, "Tape", *none, 1.0, "roll", None, None, B_STYLES),
    ]  # fmt: skip
    bare = Rows()
    none_of_it = replace(takeoff, roofing=replace(takeoff.roofing, flashings=()), order=replace(order, lines=lines[2:]))
    assert none_of_it.order is not None
    workbook_flashings.fill_flashings(bare, none_of_it, none_of_it.order)  # type: ignore[arg-type]
    assert bare.kept == [("note", "No flashings in this order.")]
