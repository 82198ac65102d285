"""To whom, where to and by when an order goes, and what brings it: `ordering`, `truck` and `count` of a job file."""

import datetime
from typing import Annotated, Literal

from pydantic import Field

from takeoff.model.job.fields import Length, Name, Offset, Part, no_entries

Line = Annotated[str, Field(min_length=1, max_length=200)]
Lines = Annotated[list[Line], Field(max_length=12)]
Word = Annotated[str, Field(max_length=80)]
MOST_HOUSES = 200


class DeliverTo(Part):
    """The place an order is brought to."""

    address: Lines = Field(default_factory=no_entries, description="lines of the address, as the driver reads them")
    contact: Word = Field(default="", description="who takes it in")
    phone: Word = Field(default="", description="number of whoever takes it in")
    access: Lines = Field(
        default_factory=no_entries, description="what the driver must know: gate, slope, hours, wires"
    )


class OrderingJob(Part):
    """What an order says besides its lines."""

    deliver_to: DeliverTo | None = Field(
        default=None, description="where this house's deliveries go; else the office file's own place"
    )
    wanted_by: dict[str, datetime.date] = Field(default_factory=dict, description="day by which a delivery is wanted")
    order_numbers: dict[str, Annotated[str, Field(min_length=1, max_length=60)]] = Field(
        default_factory=dict, description="order number of a delivery; else by the supplier's pattern"
    )


class TruckJob(Part):
    """A truck or trailer that the deliveries are brought by."""

    name: Name = Field(default="truck", description="what it is called on the load list")
    payload_kg: Annotated[float, Field(gt=0, le=60_000, allow_inf_nan=False)] = Field(
        description="most that it carries [kg]"
    )
    deck_mm: Length = Field(description="length of its deck [mm]")
    overhang_mm: Offset = Field(default=0.0, description="how far a piece may stand out behind the deck [mm]")
    unloading: Literal["crane", "hand"] = Field(
        default="crane", description="how it is unloaded: packs by crane, or every piece by hand"
    )
