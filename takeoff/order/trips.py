"""Deliveries split into loads of a truck: fewest trips that keep payload and length, packs whole, in site order.

A trip may bring the end of one delivery and the beginning of the next; what comes first on the site never comes later
than what follows it. Within a delivery the order is free. The lower bound is that of the masses, and of packs and
pieces of which no two go together; where it is not reached, a search tries every way up to a limit.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from takeoff.basics.records import record
from takeoff.basics.rounding import half_up
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import DELIVERIES, Item
from takeoff.model.job.job import Job
from takeoff.model.job.ordering import TruckJob
from takeoff.model.loads import LoadPart, LoadPlan, Trip
from takeoff.model.office import Office
from takeoff.model.order import OrderLine, Pack

_LOOKS = 20_000  # places tried by the search for one trip less
_CRUMB = 1e-6


@record
class Unit:
    """What is loaded at once: a pack, a piece, or all of a line that is counted. `rank`: place of its delivery."""

    rank: int
    kg: float
    part: LoadPart


def loads_of(
    job: Job, office: Office | None, lines: Sequence[OrderLine], packs: Sequence[Pack]
) -> tuple[LoadPlan | None, tuple[Finding, ...]]:
    """The trips by the truck that the job names, else the office; none where neither names one."""
    truck = job.truck or (office.truck if office is not None else None)
    return load_plan(lines, packs, truck, job.truck is None) if truck is not None else (None, ())


def load_plan(
    lines: Sequence[OrderLine], packs: Sequence[Pack], truck: TruckJob, by_office: bool = False
) -> tuple[LoadPlan, tuple[Finding, ...]]:
    """The trips of one house's order, and what does not fit the truck. Labour is not carried."""
    units = _units(lines, packs, truck)
    trips = fewest_trips(units, truck.payload_kg)
    least = least_trips(units, truck.payload_kg)
    unweighed = sum(1 for line in lines if not line.labour and line.kg <= 0.0)
    made = tuple(_trip(i, trip, trips, truck) for i, trip in enumerate(trips))
    plan = LoadPlan(truck, by_office, made, least, _reason(made, least, truck), unweighed)
    return plan, _findings(units, plan)


def _units(lines: Sequence[OrderLine], packs: Sequence[Pack], truck: TruckJob) -> list[Unit]:
    """Packs stay whole under a crane; by hand they are opened and every sheet goes by itself."""
    packed = {item.id for pack in packs for item in (pack.item, *pack.also) if item is not None}
    whole = truck.unloading == "crane"
    found: list[Unit] = []
    for rank, delivery in enumerate(DELIVERIES):
        for line in lines:
            if line.delivery == delivery and not line.labour and not (whole and _lies_in(line.of, packed)):
                found += _of_line(line, rank)
        if delivery == "roof sheets" and whole:
            found += [Unit(rank, pack.kg, _of_pack(pack)) for pack in packs]
    return found


def _lies_in(item: Item, packed: set[str]) -> bool:
    """Whether an item lies in the packs: a sheet, or a spare of one."""
    return item.id in packed or (item.spare_of != "" and item.spare_of in packed)


def _of_line(line: OrderLine, rank: int) -> list[Unit]:
    if line.each_mm <= 0.0 or line.count != int(line.count):
        part = LoadPart(line.delivery, line.id, "", line.item, line.count, line.unit, line.each_mm, line.kg)
        return [Unit(rank, line.kg, part)]
    each = line.kg / line.count
    part = LoadPart(line.delivery, line.id, "", line.item, 1.0, line.unit, line.each_mm, each)
    return [Unit(rank, each, part)] * int(line.count)


def _of_pack(pack: Pack) -> LoadPart:
    item = pack.item.id if pack.item is not None else ""
    count = float(len(pack.sheets))
    return LoadPart("roof sheets", "", pack.id, item, count, "each", pack.longest_mm, pack.kg)


def least_trips(units: Sequence[Unit], payload_kg: float) -> int:
    """Proven lower bound: by mass, and by the units of more than half the payload, of which no two go together."""
    if not units:
        return 0
    mass = sum(min(unit.kg, payload_kg) for unit in units)
    heavy = sum(1 for unit in units if unit.kg > payload_kg / 2.0 + _CRUMB)
    return max(1, ceil(mass / payload_kg - _CRUMB), heavy)


def fewest_trips(units: Sequence[Unit], payload_kg: float) -> list[list[Unit]]:
    """Units by trip: heaviest first into the first trip with room, from the last trip of the delivery before on; then
    a search for fewer, down to the lower bound."""
    ordered = sorted(units, key=lambda unit: (unit.rank, -unit.kg))
    found = _first_fit(ordered, payload_kg)
    for count in range(least_trips(units, payload_kg), len(found)):
        better = _Search(ordered, payload_kg, count).found()
        if better is not None:
            return better
    return found


def _first_fit(ordered: Sequence[Unit], payload_kg: float) -> list[list[Unit]]:
    trips: list[list[Unit]] = []
    masses: list[float] = []
    start, last, rank = 0, 0, -1
    for unit in ordered:
        if unit.rank != rank:
            start, rank = last, unit.rank
        at = next((i for i in range(start, len(trips)) if masses[i] + unit.kg <= payload_kg + _CRUMB), len(trips))
        if at == len(trips):
            trips.append([])
            masses.append(0.0)
        trips[at].append(unit)
        masses[at] += unit.kg
        last = max(last, at)
    return trips


class _Search:
    """Every way to bring the units in a number of trips, until one is found or the limit of looks is reached."""

    def __init__(self, ordered: Sequence[Unit], payload_kg: float, count: int) -> None:
        self._units, self._payload, self._looks = ordered, payload_kg, 0
        self._masses = [0.0] * count
        self._at: list[int] = []

    def found(self) -> list[list[Unit]] | None:
        """The units by trip; None where there is no way, or none was found in time."""
        stack: list[list[int]] = [self._choices()] if self._units else []
        while stack:
            if len(self._at) == len(stack):  # back from below: take this unit off again
                self._masses[self._at.pop()] -= self._units[len(self._at)].kg
            if not stack[-1] or self._looks > _LOOKS:
                stack.pop()
                continue
            self._looks += 1
            trip = stack[-1].pop()
            self._masses[trip] += self._units[len(self._at)].kg
            self._at.append(trip)
            if len(self._at) == len(self._units):
                return self._trips()
            stack.append(self._choices())
        return None

    def _choices(self) -> list[int]:
        """Trips that take the next unit, the best last: the first with room; of trips equally full one is tried."""
        unit = self._units[len(self._at)]
        before = [trip for trip, other in zip(self._at, self._units, strict=False) if other.rank < unit.rank]
        start = max(before, default=0)
        twin = self._at and self._units[len(self._at) - 1].part == unit.part
        start = max(start, self._at[-1]) if twin else start  # pieces that are alike go on in order
        seen: dict[tuple[float, bool], int] = {}
        for trip in range(start, len(self._masses)):
            if self._masses[trip] + unit.kg <= self._payload + _CRUMB:
                seen.setdefault((round(self._masses[trip], 6), trip == start), trip)
        return sorted(seen.values(), reverse=True)

    def _trips(self) -> list[list[Unit]]:
        trips: list[list[Unit]] = [[] for _ in self._masses]
        for trip, unit in zip(self._at, self._units, strict=True):
            trips[trip].append(unit)
        return [trip for trip in trips if trip]


def _trip(i: int, units: list[Unit], trips: list[list[Unit]], truck: TruckJob) -> Trip:
    grouped: dict[LoadPart, int] = {}
    for unit in units:
        grouped[unit.part] = grouped.get(unit.part, 0) + 1
    parts = tuple(
        LoadPart(p.delivery, p.line, p.pack, p.item, p.pieces * n, p.unit, p.each_mm, half_up(p.kg * n, 1))
        for p, n in grouped.items()
    )
    longest = max(part.each_mm for part in parts)
    return Trip(i + 1, parts, half_up(sum(part.kg for part in parts), 1), longest, _why(i, trips, truck))


def _why(i: int, trips: list[list[Unit]], truck: TruckJob) -> str:
    """Why what comes first of a trip did not go with the trip before."""
    if i == 0:
        return ""
    before = sum(unit.kg for unit in trips[i - 1])
    first = min(unit.rank for unit in trips[i])
    least = min((unit.kg for unit in trips[i] if unit.rank == first and unit.kg > 0.0), default=0.0)
    free = max(truck.payload_kg - before, 0.0)
    return f"trip {i} has {free:.0f} kg free, the lightest here weighs {least:.0f}" if free < least else "site order"


def _reason(trips: tuple[Trip, ...], least: int, truck: TruckJob) -> str:
    if len(trips) <= least:
        return ""
    free = ", ".join(f"{max(truck.payload_kg - trip.kg, 0.0):.0f} kg on trip {trip.number}" for trip in trips[:-1])
    packs = any(part.pack for trip in trips for part in trip.parts)
    whole = "packs and pieces are brought whole" if packs else "pieces are brought whole"
    return f"by mass {least} would do, but {whole} and in site order, which leaves {free} free"


def _findings(units: Sequence[Unit], plan: LoadPlan) -> tuple[Finding, ...]:
    truck = plan.truck
    room = truck.deck_mm + truck.overhang_mm
    long = {unit.part.line or unit.part.pack: unit for unit in units if unit.part.each_mm > room + _CRUMB}
    heavy = {unit.part.line or unit.part.pack: unit for unit in units if unit.kg > truck.payload_kg + _CRUMB}
    found = []
    if long:
        most = max(unit.part.each_mm for unit in long.values())
        text = (
            f"{truck.name} takes {room:.0f} mm with its overhang; the longest piece is {most:.0f} mm, and "
            f"{len(long)} lines or packs are longer than it takes."
        )
        advice = "Name a longer truck, or set the site's longest_piece_mm."
        found.append(Finding("load-too-long", Severity.WARN, text, advice, tuple(long)))
    if heavy:
        most = max(unit.kg for unit in heavy.values())
        text = f"{truck.name} carries {truck.payload_kg:.0f} kg; the heaviest piece or pack weighs {most:.0f} kg."
        found.append(Finding("load-too-heavy", Severity.WARN, text, "Name a truck that carries more.", tuple(heavy)))
    if plan.unweighed:
        text = f"{plan.unweighed} lines have no mass and are carried as nothing in the loads."
        found.append(Finding("load-unweighed", Severity.NOTE, text, "Leave room for boxes, rolls and fittings."))
    return tuple(found)
