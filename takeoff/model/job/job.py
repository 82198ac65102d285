"""The record of a job and the job file's schema in one: what a person writes down to have a house taken off.

Lengths in mm, pitches in degrees, edges and walls numbered from 1 as they are typed. Keys that are not here are faults.
"""

import datetime
from typing import Annotated

from pydantic import Field

from takeoff.model.job.fields import Name, Part, no_entries
from takeoff.model.job.on_hand import OnHandJob
from takeoff.model.job.ordering import MOST_HOUSES, OrderingJob, TruckJob
from takeoff.model.job.products import ProfileJob, RatesJob
from takeoff.model.job.rainwater import RainwaterJob
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.job.tanks import RainJob, TankJob, UseJob
from takeoff.model.job.timber import PurlinsJob, UnderlayJob
from takeoff.model.job.walls import WallsJob


class Job(Part):
    """A house to be taken off."""

    job: Name = Field(description="name of the job, printed on every paper")
    revision: Annotated[str, Field(max_length=12)] = Field(default="A", description="letter or number of this issue")
    date: datetime.date | None = Field(default=None, strict=False, description="date printed on the order")
    north_deg: Annotated[float, Field(ge=-360, le=360, allow_inf_nan=False)] = Field(
        default=0.0, description="bearing of plan up (+y), clockwise from north"
    )
    code: Name | None = Field(default=None, description="country whose code of practice the rules are taken from")
    site: Site = Field(default_factory=lambda: Site(), description="where the house stands")
    roofs: Annotated[list[RoofJob], Field(min_length=0, max_length=60)] = Field(
        default_factory=no_entries, description="roofs, each with its outline, wall line or mesh"
    )
    purlins: PurlinsJob = Field(default_factory=lambda: PurlinsJob(), description="timber under the sheets")
    underlay: UnderlayJob = Field(default_factory=lambda: UnderlayJob(), description="roof underlay")
    rainwater: RainwaterJob = Field(
        default_factory=lambda: RainwaterJob(), description="spouting, downpipes and how they are sized"
    )
    tanks: Annotated[list[TankJob], Field(max_length=40)] = Field(
        default_factory=no_entries,
        description="tanks and the downpipes led to them; several are joined and act as one store",
    )
    water_use: UseJob = Field(default_factory=lambda: UseJob(), description="what is drawn from the tanks a day")
    rain: RainJob = Field(default_factory=lambda: RainJob(), description="rain of the place, for the tanks")
    walls: WallsJob | None = Field(default=None, description="walls to clad; without them only the roof is taken off")
    profiles: dict[str, ProfileJob] = Field(
        default_factory=dict, description="sheet profiles of your own by the name that coverings call them"
    )
    flashings: dict[str, Name] = Field(
        default_factory=dict, description="flashing of the catalogue by edge kind, where it is not to be the usual one"
    )
    on_hand: Annotated[list[OnHandJob], Field(max_length=500)] = Field(
        default_factory=no_entries, description="lengths that lie on the site already, cut first where that buys less"
    )
    rates: RatesJob | None = Field(default=None, description="prices of your own and extras by delivery")
    ordering: OrderingJob = Field(
        default_factory=lambda: OrderingJob(), description="where to, by when and under which numbers it is ordered"
    )
    truck: TruckJob | None = Field(default=None, description="truck or trailer that the deliveries are split over")
    count: Annotated[int, Field(ge=1, le=MOST_HOUSES)] = Field(
        default=1, description="houses of this kind in one order; each is delivered by itself, under H1, H2 ..."
    )
    settings: dict[str, float | str | bool] = Field(
        default_factory=dict, description="any setting of the catalogue by name; its basis becomes set in the job"
    )

    @property
    def flashings_by_kind(self) -> dict[str, str]:
        """The flashings named, by edge kind as roofs call it: apron_head is apron head."""
        return {kind.replace("_", " "): name for kind, name in self.flashings.items()}

    @property
    def bare_edges(self) -> dict[str, tuple[int, ...]]:
        """Outline edges without spouting (1-based) by name of the roof; `rainwater.none_on` are those of the first."""
        first = self.rainwater.none_on if self.roofs else []
        return {
            roof.name: tuple(dict.fromkeys([*roof.no_spouting_on, *(first if i == 0 else [])]))
            for i, roof in enumerate(self.roofs)
        }
