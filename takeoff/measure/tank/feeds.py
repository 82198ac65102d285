"""Which pipes feed which tank: area by plane, first flush, what its overflow carries, and whether water comes to it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from takeoff.basics.errors import Fault, JobError
from takeoff.basics.nearest import did_you_mean
from takeoff.measure.rainwater.catchment import flow_l_per_s
from takeoff.model.basis import Term
from takeoff.model.drainage import Downpipe
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.tanks import TankJob
from takeoff.model.order import Takeoff
from takeoff.model.products import DownpipeProfile
from takeoff.model.roof import Covering
from takeoff.model.tank_store import FedBy, TankFeed

WHOLE = TankJob(name="tank", volume_l=25_000.0)  # where the job names no tank


def tank_feeds(takeoff: Takeoff, tanks: Sequence[TankJob]) -> tuple[TankFeed, ...]:
    """Each tank with what is led to it. Raises JobError for pipes that are not there or that end over a roof."""
    pipes = {pipe.id: pipe for plan in takeoff.rainwater.downpipes for pipe in plan.pipes}
    faults = [fault for i, tank in enumerate(tanks) for fault in _pipe_faults(i, tank, pipes)]
    if faults:
        raise JobError(*faults)
    return tuple(_feed(takeoff, tank, pipes) for tank in tanks)


def _pipe_faults(number: int, tank: TankJob, pipes: Mapping[str, Downpipe]) -> list[Fault]:
    faults: list[Fault] = []
    for k, name in enumerate(tank.pipes or ()):
        if name not in pipes:
            hint = did_you_mean(name, pipes, f"; there are {', '.join(pipes) or 'none'}")
            faults.append(Fault(f"unknown downpipe {name}{hint}", "tanks", number, "pipes", k))
        elif pipes[name].onto:
            text = f"{name} ends over a roof; lead the pipe of the gutter there to the tank"
            faults.append(Fault(text, "tanks", number, "pipes", k))
    return faults


def _feed(takeoff: Takeoff, tank: TankJob, pipes: Mapping[str, Downpipe]) -> TankFeed:
    settings = takeoff.settings
    led = tuple(pipe for pipe in pipes.values() if (not pipe.onto if tank.pipes is None else pipe.id in tank.pipes))
    fed = tuple(part for pipe in led for part in _fed_by(takeoff, pipe))
    area = sum(part.plan_m2 for part in fed)
    outlet = min((pipe.at_mm[2] for pipe in led), default=None)
    sole = settings.number("gutter_sole_below_eave_mm")
    wind = sum(pipe.wind_mm2 for pipe in led) / 1e6
    rain = takeoff.job.site.rain_mm_per_h or settings.number("rain_if_not_given_mm_per_h")
    dead = settings.number("tank_dead_l") if tank.dead_l is None else tank.dead_l
    return TankFeed(
        name=tank.name,
        volume_l=tank.volume_l,
        dead_l=dead,
        reserve_l=tank.reserve_l or 0.0,
        start_l=dead if tank.start_l is None else tank.start_l,
        system=tank.system,
        pipes=tuple(pipe.id for pipe in led),
        fed=fed,
        first_flush_l=area * settings.number("tank_first_flush_mm"),
        overflow_l_s=flow_l_per_s(wind, rain, settings.number("runoff_coefficient")),
        overflow_pipe=_overflow_pipe(takeoff.catalogue.downpipes.values(), area),
        head_mm=None if tank.inlet_mm is None or outlet is None else outlet - sole - tank.inlet_mm,
    )


def _fed_by(takeoff: Takeoff, pipe: Downpipe) -> list[FedBy]:
    sheeted = takeoff.settings.term("tank_runoff_sheets")
    other = takeoff.settings.term("tank_runoff_other")
    planes = {plane.id: plane for roof in takeoff.roofs for plane in roof.planes}
    return [
        FedBy(share.plane, pipe.id, share.area_mm2 / 1e6, _runoff(planes[share.plane].covering, sheeted, other))
        for share in pipe.shares
        if not share.wall
    ]


def _runoff(covering: Covering, sheeted: Term, other: Term) -> Term:
    return sheeted if covering is Covering.SHEETS else other


def _overflow_pipe(pipes: Iterable[DownpipeProfile], area_m2: float) -> str:
    """The least pipe whose table takes the whole area that is led to a tank: an overflow passes what comes in."""
    found = [pipe for pipe in pipes if pipe.table_m2 and pipe.table_m2[0] >= area_m2]
    least = min(found, key=lambda pipe: (pipe.area_mm2, pipe.id), default=None)
    return least.name if least is not None else ""


def feed_findings(feeds: Sequence[TankFeed], takeoff: Takeoff) -> tuple[Finding, ...]:
    """Pipes that no tank takes, tanks without pipes, inlets that water does not come to."""
    found: list[Finding] = []
    led = {pipe for feed in feeds for pipe in feed.pipes}
    free = [
        pipe.id for plan in takeoff.rainwater.downpipes for pipe in plan.pipes if not pipe.onto and pipe.id not in led
    ]
    if free:
        text = f"{', '.join(free)} {'are' if len(free) > 1 else 'is'} led to no tank."
        found.append(Finding("pipes-not-to-tank", Severity.NOTE, text, refs=tuple(free)))
    for feed in feeds:
        found += _head(feed, takeoff)
        if not feed.pipes:
            found.append(Finding("tank-without-pipes", Severity.WARN, f"Nothing is led to tank {feed.name}."))
    return tuple(found)


def _head(feed: TankFeed, takeoff: Takeoff) -> list[Finding]:
    name = f"tank_head_{feed.system}_mm"
    least = takeoff.settings.number(name)
    if feed.head_mm is None or feed.head_mm >= least:
        return []
    how = "falls to it" if feed.system == "dry" else "runs full underground and rises to it"
    return [
        Finding(
            "tank-inlet-too-high",
            Severity.WARN,
            f"The lowest outlet led to tank {feed.name} lies {feed.head_mm:.0f} mm over its inlet; water that {how}"
            f" needs {least:.0f} mm.",
            "Take a lower tank, set it lower, or lead only higher gutters to it.",
            feed.pipes,
            source=takeoff.settings.basis(name).words(),
        )
    ]
