"""The one place where items are made: what the trades ask for, out of the catalogue's sorts and products.

Mass of a metre is physics on settings: for lifting and carting, not for design. What has no known section has no mass
here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from takeoff.basics.errors import TakeoffError
from takeoff.model.basis import Term
from takeoff.model.items import Item, ItemKind, ItemRow, Made, Mark, MarkKind, Mass, Trade
from takeoff.model.measured import Need
from takeoff.model.products import Catalogue
from takeoff.model.settings import Settings
from takeoff.model.sheets import SheetGroup


def item_book(
    needs: Iterable[Need], groups: Sequence[SheetGroup], catalogue: Catalogue, settings: Settings
) -> Mapping[str, Item]:
    """Every item that the needs and the orders of sheets ask for, by id, spare sheets too. Raises TakeoffError for an
    item that no catalogue row, product or trade makes: a fault of ours."""
    book: dict[str, Item] = {}
    standing = standing_items(catalogue)
    for need in needs:
        asked = standing | {made.id: made for made in need.items}
        for name in dict.fromkeys(_names(need)):
            if name not in asked:
                raise TakeoffError(f"{need.trade}: nothing in the catalogue makes the item {name}")
            book[name] = make_item(asked[name], Trade(need.trade), catalogue, settings)
    for made in (group.item for group in groups if group.item is not None):
        sheet = make_item(made, Trade.ROOFING, catalogue, settings)
        book[sheet.id] = sheet
        if sheet.kind is ItemKind.SHEET:
            spare = spare_of(sheet)
            book[spare.id] = spare
    return book


def standing_items(catalogue: Catalogue) -> dict[str, Made]:
    """What goes by one id in every job: sorts that are bought as they are, timbers, boards and rolls."""
    found = {row: Made(row, row) for row in catalogue.items}
    for sort, products in (("timber", catalogue.timbers), ("board", catalogue.boards), ("roll", catalogue.rolls)):
        found |= {name: Made(name, sort, called(product.name), name) for name, product in products.items()}
    return found


def called(name: str) -> tuple[Mark, ...]:
    """The mark of an item that is called as its product is."""
    return (Mark(MarkKind.CALLED, name),)


def spare_of(sheet: Item) -> Item:
    """The spare of a sheet."""
    return replace(sheet, id=f"spare {sheet.id}", kind=ItemKind.SPARE_SHEET, spare_of=sheet.id)


def make_item(made: Made, trade: Trade, catalogue: Catalogue, settings: Settings) -> Item:
    """The item that a trade asks for. Raises TakeoffError for a sort that the catalogue does not have."""
    row = catalogue.items.get(made.of)
    if row is None:
        raise TakeoffError(f"catalogue/items.yaml has no {made.of}")
    pack = replace(row.pack, holds=settings.number(row.pack.setting)) if row.pack is not None else None
    mass = _mass(row, made, catalogue, settings)
    item = Item(made.id, row.name, row.kind, trade, row.sold_in, made.marks, made.product, made.family, pack, mass)
    return replace(item, sort=row.id)


def _names(need: Need) -> Iterable[str]:
    yield from (quantity.item for quantity in need.quantities)
    yield from (demand.item for demand in need.demands)
    yield from (along.item for stock in need.stock for along in stock.along)
    yield from (end.item for stock in need.stock for end in stock.at_ends)
    yield from (made.id for made in need.items)


def _mass(row: ItemRow, made: Made, catalogue: Catalogue, settings: Settings) -> Mass | None:
    """Flashings: girth x (thickness x 7.85 + coating). Timber: width x depth x density, boards by width and
    thickness."""
    marks = {mark.kind: mark.value for mark in made.marks}
    if row.kind is ItemKind.FLASHING and MarkKind.GIRTH in marks:
        return flashing_mass(float(str(marks[MarkKind.GIRTH])), settings)
    if row.kind is ItemKind.TIMBER:
        timber = catalogue.timbers.get(made.product)
        sides = (timber.width_mm, timber.depth_mm) if timber is not None else marks.get(MarkKind.SIZE)
        return timber_mass(sides[0], sides[1], settings) if isinstance(sides, tuple) else None
    board = catalogue.boards.get(made.product) if row.kind is ItemKind.BOARD else None
    if board is not None and board.thickness_mm > 0.0:
        return timber_mass(board.width_mm, board.thickness_mm, settings)
    return None


def flashing_mass(girth_mm: float, settings: Settings) -> Mass:
    """Mass of a metre of a folded flashing [kg/m]."""
    steel, coating = settings.number("steel_kg_per_m2_mm"), settings.number("coating_kg_per_m2")
    value = girth_mm / 1000.0 * (settings.number("flashing_bmt_mm") * steel + coating)
    names = ("flashing_bmt_mm", "steel_kg_per_m2_mm", "coating_kg_per_m2")
    return Mass(value, (Term("girth", girth_mm, "mm"), *(settings.term(name) for name in names)))


def timber_mass(width_mm: float, depth_mm: float, settings: Settings) -> Mass:
    """Mass of a metre of timber [kg/m]."""
    value = width_mm * depth_mm / 1e6 * settings.number("timber_kg_per_m3")
    section = Term("section", f"{width_mm:g} x {depth_mm:g}", "mm x mm")
    return Mass(value, (section, settings.term("timber_kg_per_m3")))
