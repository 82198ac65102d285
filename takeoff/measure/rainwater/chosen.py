"""Values of the rainwater rules as terms: from the job where it gives them, else a setting or a product."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot
from typing import TypeVar

from takeoff.basics.errors import JobError
from takeoff.basics.nearest import did_you_mean
from takeoff.basics.records import record
from takeoff.basics.vectors import Point2
from takeoff.model.basis import SET_IN_JOB, Term
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import PenetrationJob
from takeoff.model.products import Catalogue, DownpipeProfile, GutterProfile, HasBasis, basis_of
from takeoff.model.settings import Settings

P = TypeVar("P")


@record
class HoleBelow:
    """A hole through a roof: its middle on the plan, and how far it reaches from there [mm]."""

    at_mm: Point2
    radius_mm: float


@record
class Chosen:
    """What the job or the defaults chose for the rainwater goods: products, method, rain [mm/h] and ground [mm].

    `pipes`: all downpipes of the catalogue. `holes`: holes through the roofs, which no spreader may end over.
    """

    gutter: GutterProfile
    pipe: DownpipeProfile
    method: str
    rain: Term
    ground: Term
    settings: Settings
    pipes: tuple[DownpipeProfile, ...] = ()
    holes: tuple[HoleBelow, ...] = ()

    @property
    def larger_pipes(self) -> tuple[DownpipeProfile, ...]:
        """Pipes of the catalogue that are larger than the chosen one."""
        return tuple(pipe for pipe in self.pipes if pipe.area_mm2 > self.pipe.area_mm2)

    def pipe_times(self, other: DownpipeProfile) -> float:
        """How many times what the chosen pipe drains another drains: by the table's first column, else by section; 0
        where the method's table has no row for it."""
        if self.method == "area_per_m2":
            return other.area_mm2 / self.pipe.area_mm2
        if not other.table_m2 or not self.pipe.table_m2:
            return 0.0
        return min(there / here for there, here in zip(other.table_m2, self.pipe.table_m2, strict=False))

    @property
    def ground_mm(self) -> float:
        """Ground at the downpipes over the finished floor [mm]."""
        return float(self.ground.value)


def choose(job: Job, settings: Settings, catalogue: Catalogue) -> Chosen:
    """Products and values by the job, else by default. Raises JobError for a product the catalogue does not know."""
    wanted = job.rainwater
    return Chosen(
        gutter=_product("gutter", wanted.gutter or settings.word("rainwater_gutter"), catalogue.gutters),
        pipe=_product("downpipe", wanted.downpipe or settings.word("rainwater_downpipe"), catalogue.downpipes),
        method=wanted.method or settings.word("rainwater_method"),
        rain=rain_term(job, settings),
        ground=ground_term(job, settings),
        settings=settings,
        pipes=tuple(catalogue.downpipes.values()),
        holes=tuple(_hole(given) for roof in job.roofs for given in roof.penetrations),
    )


def _hole(given: PenetrationJob) -> HoleBelow:
    sides = (given.width_mm or 0.0, given.length_mm or 0.0)
    return HoleBelow((given.at[0], given.at[1]), max((given.diameter_mm or 0.0) / 2.0, hypot(*sides) / 2.0))


def product_term(product: HasBasis, field: str, value: float | str, unit: str) -> Term:
    """A product's value as a term, with the basis of that field."""
    return Term(field.replace("_", " "), value, unit, basis_of(product, field))


def _product(what: str, name: str, known: Mapping[str, P]) -> P:
    if name not in known:
        hint = did_you_mean(name, known, f"; known: {', '.join(sorted(known))}")
        raise JobError(f"rainwater.{what}: unknown {what} {name}{hint}")
    return known[name]


def rain_term(job: Job, settings: Settings) -> Term:
    """Design rainfall intensity [mm/h]: the job's, else the default."""
    if job.site.rain_mm_per_h is None:
        return settings.term("rain_if_not_given_mm_per_h")
    return Term("rain_mm_per_h", job.site.rain_mm_per_h, "mm/h", SET_IN_JOB)


def ground_term(job: Job, settings: Settings) -> Term:
    """Ground at the downpipes over the finished floor [mm]: the job's, that of its walls, else the default."""
    ground = job.rainwater.ground_mm
    if ground is None and job.walls is not None:
        ground = job.walls.ground_mm
    if ground is None:
        return settings.term("ground_if_not_given_mm")
    return Term("ground_mm", ground, "mm", SET_IN_JOB)


# sort of fitting -> what its ids begin with
_FITTINGS = {
    "downpipe_bend": "Downpipe bend",
    "downpipe_clip": "Downpipe clip",
    "downpipe_shoe": "Downpipe shoe",
    "downpipe_joiner": "Downpipe joiner",
    "downpipe_spreader": "Downpipe spreader",
}


def fitting(sort: str, chosen: Chosen) -> Made:
    """A fitting of the chosen downpipe as an item."""
    return Made(
        f"{_FITTINGS[sort]}, {chosen.pipe.size}", sort, (Mark(MarkKind.FITS, chosen.pipe.size),), chosen.pipe.id
    )


def pipe_fittings(chosen: Chosen) -> tuple[Made, ...]:
    """Every fitting there is of the chosen downpipe."""
    return tuple(fitting(sort, chosen) for sort in _FITTINGS)
