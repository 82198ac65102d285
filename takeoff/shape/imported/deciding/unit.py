"""What a model's figures are worth in mm: as the job says, as the file states, else as the size of a house shows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from takeoff.basics.errors import ShapeError
from takeoff.model.faces import MM_PER_UNIT, Unit
from takeoff.model.findings import Finding, Severity

if TYPE_CHECKING:
    from takeoff.model.faces import Points

# a house is some 4 to 60 m long: figures up to 200 are metres, up to 3000 centimetres, above that millimetres
_METRES_UP_TO = 200.0
_CENTIMETRES_UP_TO = 3000.0
# a whole shape outside these is drawn in another unit; a unit is offered where it makes a house of the figures
_LEAST_MM = 500.0
_MOST_MM = 1_000_000.0
_HOUSE_MM = (3_000.0, 100_000.0)


def decide_unit(name: str, points: Points, said: Unit | None, stated_mm: float | None) -> tuple[float, list[Finding]]:
    """Millimetres to one unit of `points` (z up), and what is to be said of it. `said`: by the job, `stated_mm`: by the
    file. Raises ShapeError where the unit makes the shape less than 500 mm or more than 1 km across."""
    findings: list[Finding] = []
    words: str
    if said is not None:
        factor, words = MM_PER_UNIT[said], said
    elif stated_mm is not None:
        factor, words = stated_mm, _unit_words(stated_mm)
    else:
        found = _found_unit(points)
        factor, words = MM_PER_UNIT[found], found
        findings.append(_taken(name, points, factor, words))
    _check_size(name, points, factor, words)
    return factor, findings


def _unit_words(mm: float) -> str:
    return next((unit for unit, factor in MM_PER_UNIT.items() if abs(factor - mm) <= 1e-6 * mm), f"of {mm:g} mm")


def _found_unit(points: Points) -> Unit:
    across = _across(points)
    if across <= _METRES_UP_TO:
        return "m"
    return "cm" if across <= _CENTIMETRES_UP_TO else "mm"


def _across(points: Points) -> float:
    size = points.max(axis=0) - points.min(axis=0)
    return float(max(size[0], size[1]))


def _taken(name: str, points: Points, factor: float, words: str) -> Finding:
    size = points.max(axis=0) - points.min(axis=0)
    metres = [float(s) * factor / 1000.0 for s in size]
    return Finding(
        "mesh-unit-taken",
        Severity.WARN,
        f"{name}: no unit given; {words} was taken, so the model is {metres[0]:.2f} x {metres[1]:.2f} m and "
        f"{metres[2]:.2f} m high",
        "say so with unit: in the job's shape",
    )


def _check_size(name: str, points: Points, factor: float, words: str) -> None:
    """Raise ShapeError where the unit makes the whole shape no house's size, naming the units that would."""
    across = _across(points)
    if _LEAST_MM <= across * factor <= _MOST_MM:
        return
    fitting = [
        f"unit: {name} makes it {across * mm / 1000.0:.2f} m"
        for name, mm in MM_PER_UNIT.items()
        if _HOUSE_MM[0] <= across * mm <= _HOUSE_MM[1]
    ]
    asked = "was this drawn in metres? " if across * MM_PER_UNIT["m"] <= _HOUSE_MM[1] and words != "m" else ""
    raise ShapeError(
        f"{name}: with unit {words} the whole shape is {_size_words(across * factor)} across, no house's size; "
        f"{asked}{', '.join(fitting) or 'scale the model to a house'}"
    )


def _size_words(mm: float) -> str:
    return f"{mm:.3g} mm" if mm < _LEAST_MM else f"{mm / 1e6:.3g} km"
