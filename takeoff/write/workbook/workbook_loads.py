"""The sheet Loads: what each trip of the truck brings."""

from __future__ import annotations

from takeoff.basics.rounding import half_up
from takeoff.model.loads import LoadPart, Trip
from takeoff.model.order import Order, Takeoff
from takeoff.write.words.item_names import words_of
from takeoff.write.words.words import number, plain
from takeoff.write.workbook.workbook_page import Formula, Lines


def fill_loads(page: Lines, takeoff: Takeoff, order: Order) -> None:
    """A group a trip, its mass summed, then what the truck is and why so many trips."""
    loads = order.loads
    if loads is None:
        return
    truck = loads.truck
    if order.houses is not None:
        page.note(f"{order.houses.words}: these trips bring one of them, and are made for each.")
    for trip in loads.trips:
        page.group(f"Trip {trip.number}: {', '.join(trip.deliveries)}")
        first = page.row
        for i, part in enumerate(trip.parts):
            _part(page, trip, part, takeoff, trip.why if i == 0 else "")
        kg = Formula(f"ROUND(SUM(F{first}:F{page.row - 1}),1)", half_up(sum(part.kg for part in trip.parts), 1))
        words = f"of {number(truck.payload_kg, 0)} kg; longest {number(trip.longest_mm, 0)} mm"
        page.line((None, None, words, None, None, kg, None), total=True)
    by = "office file" if loads.by_office else "job"
    page.note(
        f"{plain(truck.name)} ({by}): payload {number(truck.payload_kg, 0)} kg, deck {number(truck.deck_mm, 0)} mm, "
        f"overhang {number(truck.overhang_mm, 0)} mm, unloaded by {truck.unloading}. At least {loads.least} trips."
    )
    if loads.reason:
        page.note(f"{len(loads.trips)} trips: {loads.reason}.")
    if loads.unweighed:
        page.note(f"{loads.unweighed} lines have no mass: leave room for them.")


def _part(page: Lines, trip: Trip, part: LoadPart, takeoff: Takeoff, why: str) -> None:
    name = plain(words_of(part.item, takeoff.items)) if part.item in takeoff.items else ""
    what = f"pack {plain(part.pack)}, {name}" if part.pack else name
    unit = "" if part.unit == "each" else f" ({part.unit})"
    page.line(
        (str(trip.number), part.delivery, f"{what}{unit}", part.pieces, part.each_mm or None, part.kg or None, why)
    )
