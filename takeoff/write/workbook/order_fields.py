"""What a maker must be told besides sizes: filled where the job says it, else a box to fill by hand."""

from __future__ import annotations

from collections.abc import Mapping

from takeoff.model.order import Takeoff
from takeoff.model.sheets import SheetGroup
from takeoff.write.words.words import number, plain

_BOX = "____________"


# what a field is called, and what it says: "" where it is filled in by hand
Fields = tuple[tuple[str, str], ...]


def fields_words(fields: Fields) -> str:
    """Fields in a line, with a box for what is to be filled in."""
    return "   ".join(f"{name}: {value or _BOX}" for name, value in fields)


def sheet_fields(takeoff: Takeoff, item: str) -> Fields:
    """Thickness, coating, grade, colour and face of one mill order, `item` naming its sheets."""
    group = group_of(takeoff, item)
    thickness = f"{number(group.bmt_mm)} mm base metal" if group is not None and not group.clear else ""
    colour = plain(group.colour) if group is not None and group.colour else ""
    return (("Thickness", thickness), ("Grade", ""), ("Coating", ""), ("Colour", colour), ("Colour side", ""))


def group_of(takeoff: Takeoff, item: str) -> SheetGroup | None:
    """The sheets that an item of the order stands for."""
    groups = (*takeoff.roofing.groups, *takeoff.cladding.groups)
    return next((group for group in groups if group.item is not None and group.item.id == item), None)


def flashing_fields(takeoff: Takeoff) -> Fields:
    """Thickness, coating, grade and colour of the flashings: the colour is that of the sheets they lie on."""
    colours = [plain(roof.covering.colour) for roof in takeoff.job.roofs if roof.covering.colour]
    thickness = f"{number(takeoff.settings.number('flashing_bmt_mm'))} mm base metal"
    colour = ", ".join(dict.fromkeys(colours))
    return (("Thickness", thickness), ("Grade", ""), ("Coating", ""), ("Colour", colour))


def rainwater_fields() -> Fields:
    """Colours of what carries the water: no job names them."""
    return (("Colour of gutter", ""), ("of downpipes", ""), ("of fascia and barge", ""), ("Coating", ""))


_BLANK: Mapping[str, tuple[str, ...]] = {
    "purlins": ("Grade, where another is agreed", "Treatment, where another is agreed"),
    "underlay": ("Grade", "Self-supporting"),
    "roof sheets": ("Coating of screws", "Colour of heads"),
    "walls": ("Grade of boards", "Profile of boards", "Primer of boards", "Colour of boards"),
}
# further boxes, where a delivery brings an item whose sort ends so, or whose id begins so
_BLANK_OF: Mapping[str, tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]] = {
    "rainwater": (
        (
            ("fascia board", "barge board"),
            ("Fascia and barge boards: material", "their grade or finish", "their treatment"),
        ),
    ),
    "walls": (
        (
            ("_flashing", "sill_tray"),
            ("Flashings of walls: metal, thickness", "their coating", "their colour"),
        ),
    ),
}


def fields_of(takeoff: Takeoff, delivery: str) -> Fields:
    """What stands over the lines of a delivery on its own paper."""
    if delivery == "flashings":
        return flashing_fields(takeoff)
    blank = _BLANK.get(delivery, ())
    lines = takeoff.order.lines if takeoff.order is not None else ()
    items = [line.of for line in lines if line.delivery == delivery]
    if delivery == "walls" and any(item.product == takeoff.settings.word("nog_timber") for item in items):
        blank += ("Grade of nogs", "Treatment of nogs")
    for wanted, names in _BLANK_OF.get(delivery, ()):
        if any(item.sort.endswith(wanted) for item in items):
            blank += names
    fields = tuple((name, "") for name in blank)
    return (*rainwater_fields(), *fields) if delivery == "rainwater" else fields
