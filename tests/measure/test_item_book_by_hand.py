"""What a metre of an item weighs and what is told of it, by hand: physics on settings. 500 kg/m3 of timber; steel of 7.85 kg/m2
a millimetre of thickness and 0.15 kg/m2 of coating."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.basics.errors import TakeoffError
from takeoff.measure.item_book import flashing_mass, item_book, make_item, standing_items, timber_mass
from takeoff.model.basis import Quantity, Term, Working
from takeoff.model.items import ItemKind, Made, Mark, MarkKind, Mass, Trade
from takeoff.model.measured import Need
from takeoff.model.products import Catalogue
from takeoff.model.settings import Settings
from takeoff.model.sheets import SheetGroup

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import with_values


def section(words: str, kg_per_m: float, settings: Settings) -> Mass:
    return Mass(pytest.approx(kg_per_m), (Term("section", words, "mm x mm"), settings.term("timber_kg_per_m3")))  # type: ignore[arg-type]


def test_mass_of_a_metre_of_timber(catalogue: Catalogue, settings: Settings) -> None:
    """70 x 45 at 500 kg/m3 is 1.575 kg/m, its width first; a board of 187 x 18 is 1.683."""
    own = with_values(settings, timber_kg_per_m3=500)
    assert timber_mass(70.0, 45.0, own) == section("70 x 45", 1.575, own)

    def mass(made: Made, products: Catalogue = catalogue) -> Mass | None:
        return make_item(made, Trade.CLADDING, products, own).mass

    timber = catalogue.timbers["purlin_70x45"]
    assert mass(Made("p", "timber", (), "purlin_70x45")) == section(
        f"{timber.width_mm:g} x {timber.depth_mm:g}", 1.575, own
    )
    assert mass(Made("s", "purlin", (Mark(MarkKind.SIZE, (140.0, 45.0)),))) == section("140 x 45", 3.15, own)
    assert mass(Made("s", "purlin")) is None
    board = replace(catalogue.boards["bevel_187"], width_mm=187.0)
    for thick, words in ((18.0, "187 x 18"), (1.0, "187 x 1"), (0.0, "")):
        products = replace(catalogue, boards={"b": replace(board, thickness_mm=thick)})
        wanted = section(words, 187.0 * thick / 1e6 * 500.0, own) if words else None
        assert mass(Made("b", "board", (), "b"), products) == wanted
    assert mass(Made("x", "board", (), "of nobody")) is None


def test_mass_of_a_metre_of_flashing(catalogue: Catalogue, settings: Settings) -> None:
    """A girth of 370 in steel of 0.55: 0.37 x (0.55 x 7.85 + 0.15) = 1.652975 kg/m; none without a girth."""
    own = with_values(settings, flashing_bmt_mm=0.55, steel_kg_per_m2_mm=7.85, coating_kg_per_m2=0.15)
    names = ("flashing_bmt_mm", "steel_kg_per_m2_mm", "coating_kg_per_m2")
    wanted = Mass(pytest.approx(1.652975), (Term("girth", 370.0, "mm"), *(own.term(name) for name in names)))  # type: ignore[arg-type]
    assert flashing_mass(370.0, own) == wanted
    made = Made("ridge_370", "flashing", (Mark(MarkKind.GIRTH, 370.0),), "ridge")
    assert make_item(made, Trade.FLASHINGS, catalogue, own).mass == wanted
    assert make_item(replace(made, marks=()), Trade.FLASHINGS, catalogue, own).mass is None


def test_sheets_and_their_spares_in_the_book(catalogue: Catalogue, settings: Settings) -> None:
    """A sheet of the roof's trade and its spare, which says whose it is; sheets of a wall have no spare."""
    profile = catalogue.profiles["corrugated"]
    roof = Made("sheet corrugated", "sheet", (Mark(MarkKind.THICK, 0.4),), "corrugated", "sheet")
    wall = Made("wall sheet corrugated", "wall_sheet")
    groups = tuple(SheetGroup(profile, 0.4, "", (), item=made) for made in (roof, wall, None))
    book = item_book((), groups, catalogue, settings)
    sheet = make_item(roof, Trade.ROOFING, catalogue, settings)
    spare = replace(sheet, id="spare sheet corrugated", kind=ItemKind.SPARE_SHEET, spare_of="sheet corrugated")
    kinds = {name: item.kind for name, item in book.items()}
    assert (book["sheet corrugated"], book["spare sheet corrugated"]) == (sheet, spare)
    assert (sheet.kind, sheet.trade, sheet.marks, sheet.product, sheet.family, sheet.sort) == (
        ItemKind.SHEET, Trade.ROOFING, roof.marks, "corrugated", "sheet", "sheet",
    )  # fmt: skip
    assert ("spare wall sheet corrugated" in book) is (kinds["wall sheet corrugated"] is ItemKind.SHEET)


def test_what_nobody_makes_is_a_fault(catalogue: Catalogue, settings: Settings) -> None:
    asking = Need("cladding", (Quantity("q", "wing", 1.0, "each", (), Working("")),))
    with pytest.raises(TakeoffError, match="cladding: nothing in the catalogue makes the item wing"):
        item_book((Need("cladding", items=()), asking), (), catalogue, settings)
    with pytest.raises(TakeoffError, match=r"catalogue/items\.yaml has no wing"):
        make_item(Made("w", "wing"), Trade.CLADDING, catalogue, settings)
    names = standing_items(catalogue)
    name = catalogue.timbers["purlin_70x45"].name
    assert names["purlin_70x45"] == Made("purlin_70x45", "timber", (Mark(MarkKind.CALLED, name),), "purlin_70x45")
