"""What a model's figures are worth in mm: as the job says, as the file states, else where only one makes a house."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from takeoff.basics.errors import ShapeError, UndecidedError
from takeoff.basics.model_limits import MODEL_LIMITS
from takeoff.basics.records import record
from takeoff.model.faces import MM_PER_UNIT, RawFaces, Unit
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.shape.imported.deciding.lines import shape_line

if TYPE_CHECKING:
    from takeoff.model.faces import Numbers, Points

# a whole shape outside these is drawn in another unit; a unit is offered where it makes a house of the figures
_LEAST_MM = MODEL_LIMITS.unit_least_mm
_MOST_MM = MODEL_LIMITS.unit_most_mm
_HOUSE_MM = (MODEL_LIMITS.house_least_mm, MODEL_LIMITS.house_most_mm)
# what may be a building: length, width, height of its eaves over its lowest point, height of a roof without walls.
# Wide on purpose: a unit is only taken where no other could be meant. Nobody draws halls and towers in centimetres.
_LONG_MM = (MODEL_LIMITS.long_least_mm, MODEL_LIMITS.long_most_mm)
_WIDE_MM = (MODEL_LIMITS.wide_least_mm, MODEL_LIMITS.wide_most_mm)
_EAVES_MM = (MODEL_LIMITS.eaves_least_mm, MODEL_LIMITS.eaves_most_mm)
_ROOF_MM = (MODEL_LIMITS.rise_least_mm, MODEL_LIMITS.rise_most_mm)
_SMALL = {"cm": 0.5}  # share of the greatest sizes that a unit is used for
_STEEP = 0.26  # faces whose normals rise by less are walls


@record
class _Size:
    """Of a model, in its own unit: along x, y and z; from its lowest point to the least height of what is neither wall
    nor floor, 0 for a roof without walls."""

    across: tuple[float, float, float]
    eaves: float

    def fits(self, mm: float, share: float = 1.0) -> bool:
        """Whether it may be a building where a unit is so many mm; `share` of the greatest sizes."""
        long, wide = max(self.across[:2]), min(self.across[:2])
        upright = self.eaves if self.eaves > 0.0 else self.across[2]
        low, high = _EAVES_MM if self.eaves > 0.0 else _ROOF_MM
        return (
            _LONG_MM[0] <= long * mm <= _LONG_MM[1] * share
            and _WIDE_MM[0] <= wide * mm <= _WIDE_MM[1] * share
            and low <= upright * mm <= high * share
        )

    def words(self, mm: float) -> str:
        """The size in metres where a unit is so many mm."""
        x, y, z = (size * mm / 1000.0 for size in self.across)
        return f"{x:.2f} x {y:.2f} m and {z:.2f} m high"


def decide_unit(raw: RawFaces, points: Points, job: ShapeJob) -> tuple[float, list[Finding]]:
    """Millimetres to one unit of `points` (z up), and what is to be said of it.

    Raises UndecidedError where neither job nor file says it and several units would make a house, or the file's makes
    none and another does; ShapeError where the unit makes the shape less than 500 mm or more than 1 km across.
    """
    name, stated_mm = raw.came_from, raw.stated_unit_mm
    size = _size(points, raw.triangles)
    if job.unit is not None:
        _check_size(name, size, MM_PER_UNIT[job.unit], job.unit)
        return MM_PER_UNIT[job.unit], []
    fitting: list[Unit] = [u for u, mm in MM_PER_UNIT.items() if size.fits(mm, _SMALL.get(u, 1.0))]
    if stated_mm is not None:
        words = _unit_words(stated_mm)
        if fitting and not _somewhat(size, stated_mm):
            raise UndecidedError(*_questions(name, size, f"it states {words}, which makes it no house", fitting, job))
        _check_size(name, size, stated_mm, words)
        return stated_mm, []
    if len(fitting) != 1:
        raise UndecidedError(*_questions(name, size, "its unit is not said", fitting or list(MM_PER_UNIT), job))
    (unit,) = fitting
    text = f"{name}: no unit given; {unit} was taken, so the model is {size.words(MM_PER_UNIT[unit])}"
    advice = f"say so in the job: {shape_line(job, 'unit', unit)}"
    return MM_PER_UNIT[unit], [Finding("mesh-unit-taken", Severity.WARN, text, advice)]


def _somewhat(size: _Size, mm: float) -> bool:
    """Whether a stated unit is to be believed though the shape is small or large for a house."""
    return _LEAST_MM <= max(size.across) * mm <= _MOST_MM


def _questions(name: str, size: _Size, why: str, units: Sequence[Unit], job: ShapeJob) -> list[str]:
    asked = f"{name}: {why}; say it in the job:"
    return [asked, *(f"{shape_line(job, 'unit', unit)} makes it {size.words(MM_PER_UNIT[unit])}" for unit in units)]


def _size(points: Points, triangles: Numbers) -> _Size:
    x, y, z = (float(span) for span in np.ptp(points, axis=0))
    corners = points[triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    steep = np.abs(normals[:, 2]) <= _STEEP * np.linalg.norm(normals, axis=1)
    bottom = float(points[:, 2].min())
    lying = corners[~steep]
    roof = lying[lying[:, :, 2].max(axis=1) > bottom + 0.01 * z]
    return _Size((x, y, z), float(roof[:, :, 2].min()) - bottom if len(roof) and steep.any() else 0.0)


def _unit_words(mm: float) -> str:
    return next((unit for unit, factor in MM_PER_UNIT.items() if abs(factor - mm) <= 1e-6 * mm), f"of {mm:g} mm")


def _check_size(name: str, size: _Size, factor: float, words: str) -> None:
    """Raise ShapeError where the unit makes the whole shape no house's size, naming the units that would."""
    across = max(size.across[:2])
    if _LEAST_MM <= across * factor <= _MOST_MM:
        return
    fitting = [
        f"unit: {unit} makes it {across * mm / 1000.0:.2f} m"
        for unit, mm in MM_PER_UNIT.items()
        if _HOUSE_MM[0] <= across * mm <= _HOUSE_MM[1]
    ]
    asked = "was this drawn in metres? " if across * MM_PER_UNIT["m"] <= _HOUSE_MM[1] and words != "m" else ""
    raise ShapeError(
        f"{name}: with unit {words} the whole shape is {_size_words(across * factor)} across, no house's size; "
        f"{asked}{', '.join(fitting) or 'scale the model to a house'}"
    )


def _size_words(mm: float) -> str:
    return f"{mm:.3g} mm" if mm < _LEAST_MM else f"{mm / 1e6:.3g} km"
