"""The general hydraulic method beside the code's tables: what flows to each downpipe against what it carries.

Flow is effective catchment x intensity / 3600 (rational method, run-off coefficient as set). What gutter and pipe carry
is the maker's or the job's figure; where none is given only the flow is said, and nothing is made up.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from takeoff.measure.rainwater.catchment import flow_l_per_s, wind_terms
from takeoff.measure.rainwater.chosen import Chosen
from takeoff.model.basis import Quantity, Working
from takeoff.model.drainage import Downpipe, DownpipePlan
from takeoff.model.findings import Finding, Severity

_CARRIES = (
    ("gutter_carries_l_s", "gutter-over-its-flow", "the gutter carries"),
    ("downpipe_carries_l_s", "downpipe-over-its-flow", "a downpipe carries"),
)


def pipe_flow_l_s(pipe: Downpipe, chosen: Chosen) -> float:
    """Flow of the design rain to a pipe [L/s]."""
    return flow_l_per_s(pipe.wind_mm2 / 1e6, float(chosen.rain.value), chosen.settings.number("runoff_coefficient"))


def flow_quantities(plans: Sequence[DownpipePlan], chosen: Chosen) -> tuple[Quantity, ...]:
    """Plan area, effective area and flow of each pipe, plane by plane."""
    found: list[Quantity] = []
    coefficient = chosen.settings.term("runoff_coefficient")
    for plan in plans:
        for pipe in plan.pipes:
            terms = wind_terms(pipe.shares)
            by_plane = Working("sum over planes of plan area x F, F = 1 + 0.5 tan p; and half of walls above", terms)
            flow = Working("C x effective catchment x I / 3600", (*terms, chosen.rain, coefficient))
            found.append(
                Quantity(
                    f"catchment {pipe.id} effective",
                    f"Effective catchment of {pipe.id} in wind",
                    pipe.wind_mm2 / 1e6,
                    "m2",
                    (pipe.id, plan.run),
                    by_plane,
                )
            )
            figure = pipe_flow_l_s(pipe, chosen)
            found.append(Quantity(f"catchment {pipe.id} flow", f"Flow to {pipe.id}", figure, "L/s", (pipe.id,), flow))
    return tuple(found)


def flow_findings(plans: Sequence[DownpipePlan], chosen: Chosen) -> tuple[Finding, ...]:
    """Pipes whose flow is over a figure that is given for gutter or pipe."""
    return tuple(_over(plans, chosen))


def _over(plans: Sequence[DownpipePlan], chosen: Chosen) -> Iterator[Finding]:
    pipes = [pipe for plan in plans for pipe in plan.pipes]
    for name, code, carries in _CARRIES:
        most = chosen.settings.number(name)
        over = [pipe for pipe in pipes if 0.0 < most < pipe_flow_l_s(pipe, chosen) - 1e-9]
        if over:
            worst = max(over, key=lambda pipe: pipe.wind_mm2)
            others = f" Over it too: {', '.join(p.id for p in over if p is not worst)}." if len(over) > 1 else ""
            yield Finding(
                code,
                Severity.WARN,
                f"{pipe_flow_l_s(worst, chosen):.2f} L/s come to {worst.id} in {float(chosen.rain.value):g} mm/h;"
                f" {carries} {most:g} L/s by the figure given.{others}",
                "Add a downpipe there, or take a larger gutter or pipe with its own figure.",
                tuple(pipe.id for pipe in over),
                worst.at_mm,
                chosen.settings.basis(name).words(),
            )
