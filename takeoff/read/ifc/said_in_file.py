"""What an IFC file itself says its products measure: areas in m2, and the bearing of its plan."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, degrees, hypot, isfinite
from typing import Any

from takeoff.model.faces import StatedArea

Entity = Any
_MOST = 60  # areas of one product


def areas_of(product: Entity, scale_m2: float) -> list[StatedArea]:
    """The areas in a product's quantities and properties [m2]; `scale_m2`: m2 to one of the project's area unit."""
    found: list[StatedArea] = []
    for rel in getattr(product, "IsDefinedBy", None) or ():
        if rel.is_a("IfcRelDefinesByProperties") and rel.RelatingPropertyDefinition is not None:
            found += _of_set(product, rel.RelatingPropertyDefinition, scale_m2)
    return found[:_MOST]


def _of_set(product: Entity, group: Entity, scale_m2: float) -> Iterator[StatedArea]:
    name = str(getattr(group, "Name", None) or "")[:80]
    if group.is_a("IfcElementQuantity"):
        for one in group.Quantities or ():
            if one.is_a("IfcQuantityArea"):
                yield from _area(product, f"{name}.{one.Name}", one.AreaValue, one.Unit, scale_m2)
    elif group.is_a("IfcPropertySet"):
        for one in group.HasProperties or ():
            value = getattr(one, "NominalValue", None)
            if value is not None and value.is_a("IfcAreaMeasure"):
                yield from _area(product, f"{name}.{one.Name}", value.wrappedValue, one.Unit, scale_m2)


def _area(product: Entity, name: str, value: object, unit: Entity, scale_m2: float) -> Iterator[StatedArea]:
    if not isinstance(value, (int, float)) or not isfinite(value) or value <= 0.0:
        return
    scale = scale_m2 if unit is None else _own_scale(unit)
    yield StatedArea(product.GlobalId, "".join(c for c in name if c.isprintable())[:120], float(value) * scale)


def _own_scale(unit: Entity) -> float:
    """m2 to the unit that a quantity names for itself; 1 where it is none that is known."""
    if unit.is_a("IfcSIUnit"):
        return {"MILLI": 1e-6, "CENTI": 1e-4, "DECI": 1e-2, "KILO": 1e6}.get(str(unit.Prefix), 1.0)
    if unit.is_a("IfcConversionBasedUnit"):
        factor = unit.ConversionFactor.ValueComponent.wrappedValue
        return float(factor) if isinstance(factor, (int, float)) and factor > 0.0 else 1.0
    return 1.0


def area_scale_m2(model: Entity) -> float:
    """m2 to one of the project's area unit; where the project names none, m2 are meant as every program writes them."""
    from ifcopenshell.util.unit import calculate_unit_scale

    try:
        return float(calculate_unit_scale(model, "AREAUNIT"))
    except (ArithmeticError, AttributeError, LookupError, RuntimeError, TypeError, ValueError):
        return 1.0


def plan_bearing_deg(model: Entity) -> tuple[float | None, str]:
    """Compass bearing of the model's +y, and why there is none: an empty string where the file says nothing.

    True north stands in a model context as a direction in plan; programs write it with three figures, of no length, or
    different from one context to the next.
    """
    bearings: set[float] = set()
    for context in model.by_type("IfcGeometricRepresentationContext", include_subtypes=False):
        north = context.TrueNorth
        if north is None or str(context.ContextType or "Model").lower() != "model":
            continue
        ratios = tuple(north.DirectionRatios or ())
        if len(ratios) not in (2, 3) or not all(isinstance(v, (int, float)) and isfinite(v) for v in ratios):
            return None, "its true north is no direction"
        x, y = float(ratios[0]), float(ratios[1])
        if hypot(x, y) < 1e-9:
            return None, "its true north is no direction in plan"
        # true north stands this far clockwise from +y, so +y stands as far the other way from north
        bearings.add(round(-degrees(atan2(x, y)), 4) % 360.0)
    if len(bearings) > 1:
        return None, "it has more than one true north"
    return (bearings.pop(), "") if bearings else (None, "")
