"""What a delivery weighs, whole packs, and spare sheets: by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from takeoff.measure.item_book import item_book
from takeoff.measure.roofing.roofing import named_groups
from takeoff.measure.roofing.sheets.sheets import place_sheets
from takeoff.model.basis import Basis, Quantity, Setting, Status, Working
from takeoff.model.items import Item, ItemKind, Made, Mark, MarkKind, Trade
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.roofs import CoveringJob, RoofJob
from takeoff.model.job.site import Site
from takeoff.model.measured import Need
from takeoff.model.order import OrderLine
from takeoff.model.roof import Roof
from takeoff.model.runs import RunDemand, StockChoice
from takeoff.model.settings import Settings
from takeoff.model.sheets import SheetGroup
from takeoff.order.build_order import build_order
from takeoff.order.deliveries import delivery_totals
from takeoff.order.sheets.packs import SPARE, sheet_packs
from takeoff.order.sheets.sheet_orders import SheetOrder, sheet_orders
from takeoff.order.whole_packs import in_whole_packs
from takeoff.read.catalogue import default_settings, load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.write.words.item_names import item_name

NOTHING = Working("")
THING = Item("x", "x", ItemKind.FITTING, Trade.CLADDING, "each")
CATALOGUE = load_catalogue()
DEFAULTS = default_rules()


def settings_with(**values: float) -> Settings:
    known = dict(default_settings())
    for name, value in values.items():
        known[name] = Setting(name, value, known[name].unit, Basis(Status.SET_IN_JOB))
    return replace(default_rules(), values=known)


def gable_order(settings: Settings) -> tuple[Roof, tuple[SheetOrder, ...]]:
    """A gable of 7 x 8 m at 25 degrees in 0.40 mm corrugate."""
    job = RoofJob(
        outline=[(0.0, 0.0), (7000.0, 0.0), (7000.0, 8000.0), (0.0, 8000.0)],
        pitch_deg=25.0,
        fascia_height_mm=2450.0,
        edges={2: EdgeJob(kind="gable"), 4: EdgeJob(kind="gable")},
        covering=CoveringJob(lay_from="east"),
    )
    roof, profile = roof_from_outline(job, 0.0, settings), CATALOGUE.profiles["corrugated"]
    planes = place_sheets(roof, job, Site(), 0.0, settings, profile)
    groups = named_groups((SheetGroup(profile, 0.40, "", planes),))
    return roof, sheet_orders(groups, Site(), settings, item_book((), groups, load_catalogue(), settings))


def line(delivery: str, count: float, each_mm: float, kg: float) -> OrderLine:
    return OrderLine("", delivery, THING, count, "each", each_mm, 0.0, "m", kg, (), NOTHING)


def quantity(item: str, figure: float, unit: str) -> Quantity:
    return Quantity("q", item, figure, unit, (), Working("measured"))


def sold(item: str, settings: Settings = DEFAULTS) -> Item:
    """An item of the catalogue as a need asks for it."""
    need = Need("cladding", (quantity(item, 1.0, "each"),))
    return item_book((need,), (), CATALOGUE, settings)[item]


def test_deliveries_stand_in_site_order_with_sums_of_rounded_masses() -> None:
    """12.25 and 0.05 kg are shown as 12.3 and 0.1 (half up): 12.4, where the bare sum 12.30 would show 12.3."""
    lines = (
        line("walls", 3, 5400.0, 12.25),
        line("walls", 2, 6000.0, 0.05),
        line("walls", 700, 0.0, 0.0),
        line("purlins", 1, 4800.0, 0.0),
    )
    purlins, walls = delivery_totals(lines)
    assert (purlins.name, purlins.pieces, purlins.longest_mm, purlins.kg, purlins.unweighed) == (
        "purlins", 1, 4800.0, 0.0, 1,
    )  # fmt: skip
    assert (walls.lines, walls.pieces, walls.longest_mm, walls.kg, walls.unweighed) == (3, 5, 6000.0, 12.4, 1)


def test_masses_of_a_metre_by_hand() -> None:
    """Physics: 70 x 45 at 500 kg/m3 is 1.575 kg/m; a girth of 370 mm in 0.55 mm steel 0.370 x (0.55 x 7.85 + 0.15) =
    1.6529 kg/m."""
    asked = (
        Made("purlin_70x45", "timber", (), "purlin_70x45"),
        Made("purlin_140x45", "purlin", (Mark(MarkKind.SIZE, (140.0, 45.0)),)),
        Made("ridge_370", "flashing", (Mark(MarkKind.GIRTH, 370.0),), "ridge"),
        Made("gutter quad_125", "gutter", (), "quad_125"),
    )
    book = item_book((Need("rainwater", items=asked),), (), CATALOGUE, DEFAULTS)
    found = {name: item.mass.kg_per_m for name, item in book.items() if item.mass is not None}
    assert found == pytest.approx({"purlin_70x45": 1.575, "purlin_140x45": 3.15, "ridge_370": 1.652975})


def test_lengths_are_weighed_and_quantities_packed() -> None:
    """4 bars of 6.0 m at 1.575 kg/m are 37.8 kg; 91 m2 of mesh are two rolls of 90."""
    demands = tuple(RunDemand(f"R{n}", "purlin_70x45", 5900.0) for n in range(4))
    need = Need("purlins", (), demands, (StockChoice("purlin_70x45", (6000,)),))
    mesh = Need("underlay", (quantity("safety_mesh", 91.0, "m2"),))
    items = item_book((need, mesh), (), CATALOGUE, DEFAULTS)
    bars, rolls = build_order((), (need, mesh), DEFAULTS, items).lines
    assert (bars.count, bars.each_mm, bars.kg) == (4, 6000.0, 37.8)
    assert (rolls.count, rolls.unit, item_name(rolls.of)) == (2.0, "roll", "Safety mesh, roll of 90 m2")


@pytest.mark.parametrize(("measured", "boxes"), [(1.0, 1), (499.0, 1), (500.0, 1), (501.0, 2), (1000.0, 2), (0.0, 0)])
def test_boxes_are_whole(measured: float, boxes: int) -> None:
    assert in_whole_packs(quantity("board nail", measured, "each"), sold("board nail"), DEFAULTS).figure == boxes


def test_a_pack_size_of_nothing_leaves_the_count() -> None:
    loose = settings_with(board_nail_box=0.0)
    nails = quantity("board nail", 501.0, "each")
    assert in_whole_packs(nails, sold("board nail", loose), loose) == nails
    assert item_name(sold("board nail", loose)) == "board nail"
    assert in_whole_packs(quantity("soaker", 3.0, "each"), sold("soaker"), DEFAULTS).figure == 3.0


def test_a_spare_is_one_longest_sheet_outside_all_totals() -> None:
    """The gable's sheets are 4439 mm: a spare is 4.439 m and 13.7 kg (4.439 x 3.093)."""
    _, (order,) = gable_order(DEFAULTS)
    _, (bare,) = gable_order(settings_with(spare_sheets=0.0))
    (spare,) = order.spares
    assert (spare.item, spare.count, spare.each_mm, spare.total, spare.kg) == (
        "spare sheet corrugated", 1, 4439.0, 4.439, 13.7,
    )  # fmt: skip
    assert bare.spares == ()
    assert bare == replace(order, spares=())
    whole, less = build_order((order,), (), DEFAULTS, {}), build_order((bare,), (), DEFAULTS, {})
    assert (whole.sheets_bought_m, whole.sheets_bought_m2) == (less.sheets_bought_m, less.sheets_bought_m2)
    assert (whole.spares_m, whole.spares_kg, len(whole.lines) - len(less.lines)) == (4.439, 13.7, 1)


def test_the_spare_lies_under_the_sheets_it_is_one_of() -> None:
    settings = settings_with(spare_sheets=2.0)
    roof, orders = gable_order(settings)
    first, second = sheet_packs(orders, (roof,), settings).packs
    assert [sheet.mark for sheet in first.sheets][-3:] == ["P1.10", SPARE, SPARE]
    assert SPARE not in [sheet.mark for sheet in second.sheets]
