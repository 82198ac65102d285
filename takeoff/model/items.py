"""What can stand on an order, as records: an item is known by its record, its id is a key and nothing more.

A trade asks for an item by `Made`: the sort of thing it is (a row of catalogue/items.yaml), the product it is made of,
and the marks that set it apart from others of its sort. measure/item_book.py makes the records,
write/words/item_names.py their names.
"""

from __future__ import annotations

from enum import StrEnum

from takeoff.basics.records import record
from takeoff.model.basis import Term


class ItemKind(StrEnum):
    """What sort of thing an item is."""

    SHEET = "sheet"
    CLEAR_SHEET = "clear sheet"
    SPARE_SHEET = "spare sheet"
    TIMBER = "timber"
    BOARD = "board"
    FLASHING = "flashing"
    PIECE = "piece"  # a flashing of one place: junctions, boots, kerbs
    STRIP = "strip"  # closers, closures, soft edge, vents
    GUTTER = "gutter"
    DOWNPIPE = "downpipe"
    FASCIA = "fascia"
    FITTING = "fitting"
    FIXING = "fixing"
    SEALING = "sealing"  # sealant, tape, paint
    ROLL = "roll"
    PANEL = "panel"
    LABOUR = "labour"


class Trade(StrEnum):
    """Who asks for an item."""

    PURLINS = "purlins"
    UNDERLAY = "underlay"
    ROOFING = "roofing"
    FIXINGS = "fixings"
    FLASHINGS = "flashings"
    RAINWATER = "rainwater"
    CLADDING = "cladding"


# deliveries in the order the site wants them (common practice: frame first, lining of walls last)
DELIVERIES = ("purlins", "underlay", "roof sheets", "flashings", "rainwater", "walls")

# which delivery carries what a trade asks for
DELIVERY_OF = {
    Trade.PURLINS: "purlins",
    Trade.UNDERLAY: "underlay",
    Trade.ROOFING: "roof sheets",
    Trade.FIXINGS: "roof sheets",
    Trade.FLASHINGS: "flashings",
    Trade.RAINWATER: "rainwater",
    Trade.CLADDING: "walls",
}


class MarkKind(StrEnum):
    """What a mark says of an item. Sizes in mm, angles in degrees."""

    CALLED = "called"  # the name of the product it is made of
    WAYS = "ways"
    SIZE = "size"  # two or three sides
    GIRTH = "girth"
    FOLDS = "folds"
    BEND = "bend"
    WAY = "way"  # which way it bends: convex, hollow
    HAND = "hand"
    RIBBED = "ribbed"  # notched over ribs
    PIPE = "pipe"  # diameter of the pipe it is for
    SPREAD = "spread"  # across and up
    LONG = "long"
    LENGTH = "length"
    THICK = "thick"
    COLOUR = "colour"
    MADE_AS = "made as"
    PIPES = "pipes"  # for how many
    FITS = "fits"  # the size of pipe it goes on
    ROOF = "roof"


@record
class Mark:
    """What sets an item apart from others of its sort."""

    kind: MarkKind
    value: float | str | tuple[float, ...]


@record
class Pack:
    """What an item comes in: the word for it, what it holds (0: sold loose), and the setting that says so."""

    word: str
    setting: str
    holds: float = 0.0


@record
class ItemRow:
    """A sort of item as the catalogue has it. `sold_in`: the unit it is counted in before it is packed."""

    id: str
    name: str
    kind: ItemKind
    sold_in: str
    pack: Pack | None = None


@record
class Made:
    """An item that a trade asks for. `of`: the row of its sort; `product`: id of the product it is made of, "" where
    there is none; `family`: an id that a rate may name for all items alike but for their colour, "" for its own."""

    id: str
    of: str
    marks: tuple[Mark, ...] = ()
    product: str = ""
    family: str = ""


@record
class Mass:
    """Mass of a metre [kg/m] and what it was worked out from."""

    kg_per_m: float
    terms: tuple[Term, ...]


@record
class Item:
    """What is bought. `name` is what the catalogue calls its sort, `marks` what sets it apart; `sold_in` the unit it is
    counted in, `pack` what it comes in; `mass` that of a metre, where it is known. `spare_of`: the sheet it is a spare
    of; `sort`: the row of the catalogue it is one of."""

    id: str
    name: str
    kind: ItemKind
    trade: Trade
    sold_in: str
    marks: tuple[Mark, ...] = ()
    product: str = ""
    family: str = ""
    pack: Pack | None = None
    mass: Mass | None = None
    spare_of: str = ""
    sort: str = ""

    @property
    def delivery(self) -> str:
        """The delivery it comes with."""
        return DELIVERY_OF[self.trade]
