"""The grammar of an IFC4 model: places, shapes, quantity and property sets, relations, ids that follow from marks.

Entities are the writing library's own, which has no types. Lengths in mm, areas in m2; what is written is the same
bytes each time, since ids are made from what a thing is and the header has the date of the job.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from takeoff.basics.vectors import Point2, Point3, Ring2
from takeoff.model.roof import Frame

Entity = Any
ORIGIN: Point3 = (0.0, 0.0, 0.0)


class IfcModel:
    """An IFC4 model being written. `seed` sets its ids apart from those of other houses."""

    def __init__(self, seed: str) -> None:
        import ifcopenshell

        self.file: Entity = ifcopenshell.file(schema="IFC4")
        self._seed = seed
        self.body: Entity = None

    def new(self, kind: str, *alone: object, **values: object) -> Entity:
        """An entity without an id of its own; a bare value stands alone."""
        return self.file.create_entity(kind, *alone, **values)

    def rooted(self, kind: str, key: str, **values: object) -> Entity:
        """An entity with a global id that follows from its kind and key."""
        import ifcopenshell.guid

        number = uuid5(NAMESPACE_URL, f"takeoff:{self._seed}:{kind}:{key}")
        return self.file.create_entity(kind, GlobalId=ifcopenshell.guid.compress(number.hex), **values)

    def point(self, point: Sequence[float]) -> Entity:
        """A point in space or in a plane [mm]."""
        return self.new("IfcCartesianPoint", Coordinates=tuple(round(value, 4) + 0.0 for value in point))

    def direction(self, ratios: Sequence[float]) -> Entity:
        """A direction."""
        return self.new("IfcDirection", DirectionRatios=tuple(round(value, 12) + 0.0 for value in ratios))

    def axes(self, origin: Point3, axis: Point3 | None = None, ref: Point3 | None = None) -> Entity:
        """Axes in space: z along `axis`, x along `ref`."""
        if axis is None or ref is None:
            return self.new("IfcAxis2Placement3D", Location=self.point(origin))
        z, x = self.direction(axis), self.direction(ref)
        return self.new("IfcAxis2Placement3D", Location=self.point(origin), Axis=z, RefDirection=x)

    def place(self, axes: Entity, within: Entity = None) -> Entity:
        """Where a product stands."""
        return self.new("IfcLocalPlacement", PlacementRelTo=within, RelativePlacement=axes)

    def ring(self, ring: Ring2) -> Entity:
        """A closed line in a plane."""
        return self.new("IfcPolyline", Points=[self.point(point) for point in (*ring, ring[0])])

    def faces(self, polygons: Sequence[Sequence[Sequence[Point3]]]) -> Entity:
        """Flat faces in space, each an outer ring and its holes, as one surface."""
        made = []
        for rings in polygons:
            bounds = []
            for number, ring in enumerate(rings):
                loop = self.new("IfcPolyLoop", Polygon=[self.point(point) for point in ring])
                kind = "IfcFaceBound" if number else "IfcFaceOuterBound"
                bounds.append(self.new(kind, Bound=loop, Orientation=True))
            made.append(self.new("IfcFace", Bounds=bounds))
        faces = self.new("IfcConnectedFaceSet", CfsFaces=made)
        return self.new("IfcFaceBasedSurfaceModel", FbsmFaces=[faces])

    def extruded(self, ring: Ring2, depth_mm: float, axes: Entity, down: bool = False) -> Entity:
        """A solid: a ring drawn out along the z of its axes, or against it."""
        profile = self.new("IfcArbitraryClosedProfileDef", ProfileType="AREA", OuterCurve=self.ring(ring))
        way = self.direction((0.0, 0.0, -1.0 if down else 1.0))
        return self.new("IfcExtrudedAreaSolid", SweptArea=profile, Position=axes, ExtrudedDirection=way, Depth=depth_mm)

    def shape(self, kind: str, items: Sequence[Entity]) -> Entity:
        """The body of a product."""
        body = self.new(
            "IfcShapeRepresentation", ContextOfItems=self.body, RepresentationIdentifier="Body",
            RepresentationType=kind, Items=list(items),
        )  # fmt: skip
        return self.new("IfcProductDefinitionShape", Representations=[body])

    def quantities(
        self, product: Entity, name: str, key: str, lengths: Mapping[str, float], areas: Mapping[str, float]
    ) -> None:
        """A quantity set of a product: lengths [mm], areas [m2]."""
        made = [self.new("IfcQuantityLength", Name=word, LengthValue=round(mm, 3)) for word, mm in lengths.items()]
        made += [self.new("IfcQuantityArea", Name=word, AreaValue=round(m2, 6)) for word, m2 in areas.items()]
        group = self.rooted("IfcElementQuantity", key, Name=name, MethodOfMeasurement="takeoff", Quantities=made)
        self._define(product, f"{key} {name}", group)

    def properties(self, product: Entity, name: str, key: str, values: Mapping[str, str]) -> None:
        """A property set of a product: texts by name, those without words left out."""
        made = [
            self.new("IfcPropertySingleValue", Name=word, NominalValue=self.new("IfcText", text))
            for word, text in values.items()
            if text
        ]
        if made:
            self._define(
                product, f"{key} {name}", self.rooted("IfcPropertySet", f"{key} {name}", Name=name, HasProperties=made)
            )

    def _define(self, product: Entity, key: str, group: Entity) -> None:
        self.rooted("IfcRelDefinesByProperties", key, RelatedObjects=[product], RelatingPropertyDefinition=group)

    def parts_of(self, whole: Entity, key: str, parts: Sequence[Entity]) -> None:
        """That things are parts of a whole."""
        if parts:
            self.rooted("IfcRelAggregates", key, RelatingObject=whole, RelatedObjects=list(parts))


def frame_axes(model: IfcModel, frame: Frame, shift: Point3 = ORIGIN) -> Entity:
    """The axes of a plane's or wall's frame: x along u, z along the normal."""
    x, y, z = frame.origin_mm
    return model.axes((x - shift[0], y - shift[1], z - shift[2]), frame.n, frame.u)


def rectangle(wide: float, deep: float) -> tuple[Point2, ...]:
    """A rectangle about the origin, counter-clockwise."""
    a, b = wide / 2.0, deep / 2.0
    return ((-a, -b), (a, -b), (a, b), (-a, b))
