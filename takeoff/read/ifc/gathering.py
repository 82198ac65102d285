"""Which products of an open IFC model are roofs, walls, openings and floors, and what belongs to which roof.

Entities are the reading library's own, which has no types.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from takeoff.model.faces import RawPart, StatedPart

Entity = Any
_ROOF_PARTS = ("IfcSlab", "IfcCovering", "IfcPlate", "IfcBuildingElementPart", "IfcBuildingElementProxy")
_DEEPEST = 12  # parts of parts, and storeys of buildings of sites


@dataclass(slots=True)
class RoofUnit:
    """One roof of the file: what it is called, the building it is on, the products that carry its geometry."""

    key: str
    name: str
    building: str
    products: list[Entity] = field(default_factory=list)


def roof_units(model: Entity) -> list[RoofUnit]:
    """The roofs of a model: each IfcRoof by its slabs or other parts, else by its own shape; roof slabs in none of
    them as one roof a building; where there is neither, coverings of type ROOFING."""
    units: list[RoofUnit] = []
    taken: set[int] = set()
    roofs = [roof for roof in model.by_type("IfcRoof") if not any(up.is_a("IfcRoof") for up in _above(roof))]
    for roof in roofs:
        below = [part for part in _below(roof) if part.Representation is not None]
        slabs = [part for part in below if part.is_a("IfcSlab")]
        others = [part for part in below if part.is_a() in _ROOF_PARTS]
        own = [part for part in (roof, *below) if part.is_a("IfcRoof") and part.Representation is not None]
        products = slabs or others or own
        if products:
            units.append(RoofUnit(roof.GlobalId, named(roof), _building(roof), products))
            taken |= {part.id() for part in products}
    loose = [slab for slab in model.by_type("IfcSlab") if _kind(slab) == "ROOF" and slab.id() not in taken]
    if not units and not loose:
        loose = [one for one in model.by_type("IfcCovering") if _kind(one) == "ROOFING"]
    return units + _by_building(loose)


def _by_building(products: list[Entity]) -> list[RoofUnit]:
    units: dict[int, RoofUnit] = {}
    for product in products:
        if product.Representation is None:
            continue
        building = building_of(product) or product
        unit = units.setdefault(building.id(), RoofUnit(building.GlobalId, named(building), building_name(product), []))
        unit.products.append(product)
    return list(units.values())


def walls_of(model: Entity, unit: RoofUnit) -> list[Entity]:
    """The walls of a roof's building that have a shape of their own, inner ones with them: which are outer walls is for
    the outer boundary to say, files seldom do."""
    return [
        wall
        for wall in model.by_type("IfcWall")
        if wall.Representation is not None and _building(wall) in ("", unit.building)
    ]


def openings_in(wall: Entity) -> Iterator[tuple[Entity, Entity | None]]:
    """Openings of a wall, each with the window or door that fills it, None where nothing does."""
    for rel in wall.HasOpenings:
        opening = rel.RelatedOpeningElement
        if opening is not None and opening.Representation is not None:
            fills = [fill.RelatedBuildingElement for fill in opening.HasFillings]
            yield opening, next((fill for fill in fills if fill is not None), None)


def floors_of(model: Entity, unit: RoofUnit) -> list[Entity]:
    """The floor slabs of a roof's building."""
    return [
        slab
        for slab in model.by_type("IfcSlab")
        if slab.Representation is not None
        and _kind(slab) in ("FLOOR", "BASESLAB")
        and _building(slab) in ("", unit.building)
    ]


def part_of(product: Entity, stated: StatedPart, building: str, name: str = "") -> RawPart:
    """A product as the file names it."""
    return RawPart(product.GlobalId, name or named(product), stated, building, _storey(product))


def named(product: Entity) -> str:
    """A product's name in the file, else its tag, as printable words; "" without either."""
    words = product.Name or getattr(product, "Tag", None) or ""
    return "".join(letter for letter in str(words) if letter.isprintable())[:120]


def building_name(product: Entity) -> str:
    """Name, else id, of the building a product is in; "" where the file puts it in none."""
    building = building_of(product)
    return "" if building is None else named(building) or building.GlobalId


def building_of(product: Entity) -> Entity | None:
    """The IfcBuilding a product is in."""
    return next((up for up in _above(product) if up.is_a("IfcBuilding")), None)


def _building(product: Entity) -> str:
    return building_name(product)


def _storey(product: Entity) -> str:
    return next((named(up) or up.GlobalId for up in _above(product) if up.is_a("IfcBuildingStorey")), "")


def _kind(product: Entity) -> str:
    from ifcopenshell.util.element import get_predefined_type

    return str(get_predefined_type(product)).upper()


def _above(product: Entity) -> Iterator[Entity]:
    """What a product is in or part of, step by step."""
    for _ in range(_DEEPEST):
        rels = [
            *(rel.RelatingStructure for rel in getattr(product, "ContainedInStructure", None) or ()),
            *(rel.RelatingObject for rel in getattr(product, "Decomposes", None) or ()),
        ]
        if not rels or rels[0] is None:
            return
        product = rels[0]
        yield product


def _below(product: Entity) -> Iterator[Entity]:
    """Parts of a product and their parts, each once."""
    seen = {product.id()}
    level = [product]
    for _ in range(_DEEPEST):
        parts = [part for one in level for rel in one.IsDecomposedBy for part in rel.RelatedObjects or ()]
        level = []
        for part in parts:
            if part.id() not in seen and part.is_a("IfcProduct"):
                seen.add(part.id())
                level.append(part)
        yield from level
