"""One house of an estate -> its row, whatever happens to it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from takeoff.basics.errors import JobError, ShapeError, TakeoffError
from takeoff.basics.vectors import Ring2
from takeoff.estate.house_job import Like, house_job
from takeoff.estate.house_rows import estate_figures, house_findings, summed_lines
from takeoff.estate.time_limit import OutOfTime, TimeLimit
from takeoff.model.estate import EstateHouse, HouseResult, HouseState
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.office import Office
from takeoff.model.quantities import Quantities
from takeoff.pipeline import quantities, quantities_of, run
from takeoff.read.job.fault_places import placed_faults
from takeoff.read.job.job_file import parse_job, read_text
from takeoff.read.office.office_file import find_office

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
    if not house.job_file:
        job, said = house_job(house, like)
        return _measured(house, job, Path(), None, said, lines)
    path = Path(house.job_file)
    text, office = read_text(path), find_office(path.parent)
    try:
        return _measured(house, parse_job(text, path.name, office), path.parent, office, (), lines)
    except (JobError, ShapeError) as err:
        raise type(err)(*placed_faults(err.faults, text, path.name)) from err


def _measured(
    house: EstateHouse, job: Job, base: Path, office: Office | None, said: tuple[Finding, ...], lines: bool
) -> HouseResult:
    """The row: quantities alone, or those of the whole order with its lines."""
    if not lines:
        return _row(house, quantities(job, base, office), said)
    takeoff = run(job, base, office=office)
    measured = replace(quantities_of(takeoff), findings=takeoff.findings)
    return replace(_row(house, measured, said), lines=summed_lines(takeoff))


def _row(house: EstateHouse, measured: Quantities, said: tuple[Finding, ...]) -> HouseResult:
    findings = (*said, *measured.findings)
    stops = [finding.text for finding in findings if finding.severity is Severity.STOP]
    return HouseResult(
        number=house.number,
        name=house.name,
        state=HouseState.STOPPED if stops else HouseState.DONE,
        why="; ".join(stops)[:_MOST_WORDS],
        figures=estate_figures(measured),
        findings=house_findings(findings),
        ring_m=_ring_m(measured),
    )


def _ring_m(measured: Quantities) -> Ring2:
    rings = measured.outlines_mm
    return tuple((round(x / 1000.0, 2), round(y / 1000.0, 2)) for x, y in rings[0]) if rings else ()
