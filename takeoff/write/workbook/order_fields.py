"""What a maker must be told besides sizes: filled where the job says it, else a box to fill by hand."""

from __future__ import annotations

from takeoff.model.order import Takeoff
from takeoff.model.sheets import SheetGroup
from takeoff.write.words.words import number, plain

_BOX = "____________"


def sheet_fields(takeoff: Takeoff, item: str) -> str:
    """Thickness, coating, grade, colour and face of one mill order, `item` naming its sheets."""
    group = group_of(takeoff, item)
    thickness = f"{number(group.bmt_mm)} mm base metal" if group is not None and not group.clear else _BOX
    colour = plain(group.colour) if group is not None and group.colour else _BOX
    return f"Thickness: {thickness}   Grade: {_BOX}   Coating: {_BOX}   Colour: {colour}   Colour side: {_BOX}"


def group_of(takeoff: Takeoff, item: str) -> SheetGroup | None:
    """The sheets that an item of the order stands for."""
    groups = takeoff.roofing.groups
    return next((group for group in groups if group.item is not None and group.item.id == item), None)


def flashing_fields(takeoff: Takeoff) -> str:
    """Thickness, coating, grade and colour of the flashings: the colour is that of the sheets they lie on."""
    colours = [plain(roof.covering.colour) for roof in takeoff.job.roofs if roof.covering.colour]
    colour = ", ".join(dict.fromkeys(colours)) or _BOX
    thickness = number(takeoff.settings.number("flashing_bmt_mm"))
    return f"Thickness: {thickness} mm base metal   Grade: {_BOX}   Coating: {_BOX}   Colour: {colour}"


def rainwater_fields() -> str:
    """Colours of what carries the water: no job names them."""
    return f"Colour of gutter: {_BOX}   of downpipes: {_BOX}   of fascia and barge: {_BOX}   Coating: {_BOX}"


def fields_of(takeoff: Takeoff, delivery: str) -> tuple[str, ...]:
    """What stands over the lines of a delivery."""
    if delivery == "flashings":
        return (flashing_fields(takeoff),)
    if delivery == "rainwater":
        return (rainwater_fields(),)
    return ()
