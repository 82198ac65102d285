"""What each trip of a truck brings: loads in site order that keep its payload and its length."""

from __future__ import annotations

from takeoff.basics.records import record
from takeoff.model.job.ordering import TruckJob


@record
class LoadPart:
    """Pieces of one line, or one pack, on a trip. `line`: id of the order line, "" for a pack; `pack`: id of the pack,
    "" for a line; `item`: id of the item. `pieces` of `each_mm` (0: without a length), together `kg`, 0 where the mass
    is not known."""

    delivery: str
    line: str
    pack: str
    item: str
    pieces: float
    unit: str
    each_mm: float
    kg: float


@record
class Trip:
    """One load. `kg` is the sum of its parts; `why`: why it could not go with the trip before, "" for the first."""

    number: int
    parts: tuple[LoadPart, ...]
    kg: float
    longest_mm: float
    why: str

    @property
    def deliveries(self) -> tuple[str, ...]:
        """The deliveries it brings something of, in site order."""
        return tuple(dict.fromkeys(part.delivery for part in self.parts))


@record
class LoadPlan:
    """All trips of one house. `least` is the proven lower bound of their number; `reason`: why there are more, "" where
    there are not. `unweighed`: lines whose mass is not known, carried as nothing."""

    truck: TruckJob
    by_office: bool
    trips: tuple[Trip, ...]
    least: int
    reason: str
    unweighed: int
