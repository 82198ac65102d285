"""The record of an office and the office file's schema in one: what a firm's jobs share.

Letterhead, suppliers by delivery, rates, own products with a basis, own defaults, own tables. A job that says
otherwise goes before it. Lengths in mm, pitches in degrees; keys that are not here are faults.
"""

import datetime
from typing import Annotated

from pydantic import Field

from takeoff.basics.records import record
from takeoff.model.job.fields import Name, Part, no_entries
from takeoff.model.job.ordering import DeliverTo, Line, Lines, TruckJob, Word
from takeoff.model.own_products import (
    OwnBoard,
    OwnDownpipe,
    OwnFlashing,
    OwnGutter,
    OwnProfile,
    OwnRoll,
    OwnTables,
)

NUMBER_FIELDS = ("job", "revision", "delivery", "date")  # what an order number may hold between { and }


class Firm(Part):
    """Who orders: the head of every paper."""

    name: Name = Field(description="name of the firm")
    address: Lines = Field(default_factory=no_entries, description="lines of its address")
    contact: Word = Field(default="", description="who answers questions about an order")
    phone: Word = Field(default="", description="telephone number")
    email: Word = Field(default="", description="address for e-mail")
    tax_number: Word = Field(default="", description="number the firm is registered for tax with")


class Supplier(Part):
    """Who sells what one or more deliveries bring."""

    name: Name = Field(description="name of the supplier")
    contact: Word = Field(default="", description="who takes the order there")
    phone: Word = Field(default="", description="telephone number")
    email: Word = Field(default="", description="address for e-mail")
    address: Lines = Field(default_factory=no_entries, description="lines of its address")
    account: Word = Field(default="", description="our account there")
    order_number: Annotated[str, Field(max_length=60)] = Field(
        default="", description="pattern of our order numbers, with {job}, {revision}, {delivery} or {date} in it"
    )
    terms: Lines = Field(default_factory=no_entries, description="terms with this supplier; else the office's own")


class OfficeRates(Part):
    """The firm's own prices. Nothing is priced that is not given here or in the job."""

    currency: Annotated[str, Field(max_length=20)] = Field(default="", description="word printed with amounts")
    date: datetime.date | None = Field(default=None, description="day of these prices")
    basis: Annotated[str, Field(max_length=200)] = Field(
        default="", description="where they come from: list, quotation"
    )
    tax_name: Annotated[str, Field(min_length=1, max_length=20)] = Field(
        default="tax", description="word printed with the tax"
    )
    tax_percent: Annotated[float, Field(ge=0, le=100, allow_inf_nan=False)] = Field(
        default=0.0, description="tax on what is bought [%], added once to each delivery"
    )
    prices: dict[
        Annotated[str, Field(min_length=1, max_length=200)],
        Annotated[float, Field(ge=0, le=1e9, allow_inf_nan=False)],
    ] = Field(default_factory=dict, description="price of a unit without tax (m, each, roll, box) by id of an item")
    extra_percent: dict[str, Annotated[float, Field(ge=0, le=100, allow_inf_nan=False)]] = Field(
        default_factory=dict, description="extra on a delivery [%], added once and shown apart"
    )


class Office(Part):
    """What the jobs of one office share."""

    firm: Firm | None = Field(default=None, description="who orders")
    deliver_to: DeliverTo | None = Field(default=None, description="where deliveries go, unless a job says otherwise")
    suppliers: dict[str, Supplier] = Field(default_factory=dict, description="who sells a delivery, by its name")
    terms: Annotated[list[Line], Field(max_length=12)] = Field(
        default_factory=no_entries, description="terms printed at the foot of every order"
    )
    rates: OfficeRates | None = Field(default=None, description="prices, tax and the day of the prices")
    truck: TruckJob | None = Field(default=None, description="what brings the deliveries, unless a job says otherwise")
    settings: dict[str, float | str | bool] = Field(
        default_factory=dict, description="any setting of the catalogue by name, for every job of the office"
    )

    profiles: dict[str, OwnProfile] = Field(default_factory=dict, description="own sheet profiles, by name")
    gutters: dict[str, OwnGutter] = Field(default_factory=dict, description="own gutters, by name")
    downpipes: dict[str, OwnDownpipe] = Field(default_factory=dict, description="own downpipes, by name")
    boards: dict[str, OwnBoard] = Field(default_factory=dict, description="own weatherboards, by name")
    rolls: dict[str, OwnRoll] = Field(default_factory=dict, description="own underlays and wraps, by name")
    flashings: dict[str, OwnFlashing] = Field(default_factory=dict, description="own flashings and trims, by name")
    tables: OwnTables | None = Field(default=None, description="own tables, rows before those of the code")

    def products_of(self, group: str) -> tuple[str, ...]:
        """Names of the office's own products of a group of the catalogue."""
        return tuple(getattr(self, group, ()))


@record
class Letterhead:
    """The head of one delivery's order: who orders, from whom, under which number, where to, by when, on what terms.

    What nobody gave is empty or None. `beside`: the deliveries that the same supplier sells, this one among them, in
    site order: they may stand on one paper.
    """

    delivery: str
    firm: Firm | None
    supplier: Supplier | None
    number: str
    deliver_to: DeliverTo | None
    wanted_by: datetime.date | None
    terms: tuple[str, ...]
    beside: tuple[str, ...]
