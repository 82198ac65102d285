"""One house of an estate -> its row, whatever happens to it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from takeoff.basics.errors import TakeoffError
from takeoff.basics.vectors import Ring2
from takeoff.estate.house_job import Like, house_job
from takeoff.estate.house_rows import estate_figures, house_findings, summed_lines
from takeoff.estate.time_limit import OutOfTime, TimeLimit
from takeoff.model.estate import EstateHouse, HouseResult, HouseState
from takeoff.model.findings import Severity
from takeoff.model.order import Takeoff
from takeoff.pipeline import Stage, run, run_file

_MOST_WORDS = 600


def take_house(house: EstateHouse, like: Like, lines: bool, seconds: float) -> HouseResult:
    """The row of a house: its figures, or why there are none. `lines`: to the order, with what it buys; `seconds`: what
    it may take, 0 for no limit. Raises nothing but what tells the program to stop."""
    if house.refused:
        return HouseResult(house.number, house.name, HouseState.REFUSED, house.refused)
    try:
        with TimeLimit(seconds):
            return _taken(house, like, lines)
    except OutOfTime:
        return _without(house, HouseState.LATE, f"took longer than the {seconds:g} s that a house may")
    except TakeoffError as err:
        return _without(house, HouseState.REFUSED, "; ".join(err.faults))
    except Exception as err:  # a fault of the program's own must not stop the other houses
        return _without(house, HouseState.FAULT, f"{type(err).__name__}: {err}")


def lost_house(house: EstateHouse) -> HouseResult:
    """The row of a house that its process died of."""
    return _without(house, HouseState.LOST, "its process died while it was taken off, more than once")


def _without(house: EstateHouse, state: HouseState, why: str) -> HouseResult:
    return HouseResult(house.number, house.name, state, why[:_MOST_WORDS], ring_m=_drawn_ring(house))


def _drawn_ring(house: EstateHouse) -> Ring2:
    """The outline as it was given, where it is in metres; for the map only."""
    return house.drawing.paths[0].points if house.drawing is not None and house.drawing.unit == "m" else ()


def _taken(house: EstateHouse, like: Like, lines: bool) -> HouseResult:
    until = Stage.ORDER if lines else Stage.MEASURE
    if house.job_file:
        takeoff = run_file(Path(house.job_file), until)
    else:
        job, said = house_job(house, like)
        takeoff = run(job, until=until)
        takeoff = replace(takeoff, findings=(*said, *takeoff.findings))
    return _row(house, takeoff)


def _row(house: EstateHouse, takeoff: Takeoff) -> HouseResult:
    stops = [finding.text for finding in takeoff.findings if finding.severity is Severity.STOP]
    return HouseResult(
        number=house.number,
        name=house.name,
        state=HouseState.STOPPED if stops else HouseState.DONE,
        why="; ".join(stops)[:_MOST_WORDS],
        figures=estate_figures(takeoff),
        findings=house_findings(takeoff.findings),
        lines=summed_lines(takeoff),
        ring_m=_ring_m(takeoff),
    )


def _ring_m(takeoff: Takeoff) -> Ring2:
    rings = [ring for roof in takeoff.roofs for ring in roof.outline_mm[:1]]
    return tuple((round(x / 1000.0, 2), round(y / 1000.0, 2)) for x, y in rings[0]) if rings else ()
