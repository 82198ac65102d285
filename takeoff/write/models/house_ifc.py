"""house.ifc: the house in IFC4 for the designer's program: roofs with their planes, walls with openings, coverings.

Needs the extra `ifc`. Roof planes, sheets and boards are surfaces, so that their areas are those of the takeoff; walls
are solids of a nominal frame depth, cut by their openings. Areas are true, never in plan, but for ProjectedArea.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, radians, sin
from typing import Any

from takeoff import __version__
from takeoff.basics.polygons import clip_half_plane, signed_area
from takeoff.basics.vectors import Ring2, add3, scale3
from takeoff.model.order import Takeoff
from takeoff.model.order_folder import HOUSE_IFC
from takeoff.model.roof import Roof
from takeoff.model.walls import Elevation, Opening
from takeoff.write.house_view.house_parts import Part, house_parts
from takeoff.write.models.ifc_entities import ORIGIN, IfcModel, frame_axes, rectangle
from takeoff.write.models.solid_mesh import polygons_of, stretches_of
from takeoff.write.words.words import plain, working_words

OWN_SET = "Takeoff_Marks"
_FRAME_MM = 90.0  # depth of a wall's frame, nominal: takeoff knows its outside alone
_THROUGH_MM = 100.0  # an opening's body stands out this far on both sides, so that it cuts cleanly
_M2 = 1e6
_COVERINGS = {"sheet": "ROOFING", "clear sheet": "ROOFING", "board": "CLADDING", "wall sheet": "CLADDING"}
_STICKS = {
    "timber": ("IfcMember", "PURLIN", "Qto_MemberBaseQuantities"),
    "gutter": ("IfcPipeSegment", "GUTTER", "Qto_PipeSegmentBaseQuantities"),
    "downpipe": ("IfcPipeSegment", "RIGIDSEGMENT", "Qto_PipeSegmentBaseQuantities"),
}

Entity = Any


def house_ifc(takeoff: Takeoff) -> bytes:
    """The model as a STEP file; the same bytes for the same takeoff. Raises ImportError without the extra."""
    model = IfcModel(f"{takeoff.job.job}")
    storey = _project(model, takeoff)
    writer = _House(model, takeoff, storey)
    for roof in takeoff.roofs:
        writer.roof(roof)
    for wall in takeoff.elevations:
        writer.wall(wall)
    for part in writer.parts:
        writer.covering_or_stick(part)
    writer.close()
    _head(model, takeoff)
    return str(model.file.to_string()).encode("ascii")


def _head(model: IfcModel, takeoff: Takeoff) -> None:
    head = model.file.header
    day = takeoff.job.date.isoformat() if takeoff.job.date is not None else "1970-01-01"
    head.file_description.description = ("ViewDefinition [ReferenceView]",)
    head.file_name.name = HOUSE_IFC
    head.file_name.time_stamp = f"{day}T00:00:00"
    head.file_name.author = ("",)
    head.file_name.organization = ("",)
    head.file_name.preprocessor_version = f"takeoff {__version__}"
    head.file_name.originating_system = f"takeoff {__version__}"
    head.file_name.authorization = ""


def _project(model: IfcModel, takeoff: Takeoff) -> Entity:
    """The project with its units, context, site and building. Returns the storey that everything stands in."""
    mm = model.new("IfcSIUnit", UnitType="LENGTHUNIT", Prefix="MILLI", Name="METRE")
    m2 = model.new("IfcSIUnit", UnitType="AREAUNIT", Name="SQUARE_METRE")
    m3 = model.new("IfcSIUnit", UnitType="VOLUMEUNIT", Name="CUBIC_METRE")
    rad = model.new("IfcSIUnit", UnitType="PLANEANGLEUNIT", Name="RADIAN")
    turn = radians(takeoff.job.north_deg)
    context = model.new(
        "IfcGeometricRepresentationContext", ContextType="Model", CoordinateSpaceDimension=3, Precision=1e-4,
        WorldCoordinateSystem=model.axes(ORIGIN), TrueNorth=model.direction((-sin(turn), cos(turn))),
    )  # fmt: skip
    model.body = model.new(
        "IfcGeometricRepresentationSubContext", ContextIdentifier="Body", ContextType="Model", ParentContext=context,
        TargetView="MODEL_VIEW",
    )  # fmt: skip
    name = plain(takeoff.job.job)
    project = model.rooted(
        "IfcProject", "", Name=name, UnitsInContext=model.new("IfcUnitAssignment", Units=[mm, m2, m3, rad]),
        RepresentationContexts=[context],
    )  # fmt: skip
    site = model.rooted("IfcSite", "", Name=name, ObjectPlacement=model.place(model.axes(ORIGIN)))
    building = model.rooted("IfcBuilding", "", Name=name, ObjectPlacement=_standing(model, site))
    storey = model.rooted(
        "IfcBuildingStorey", "", Name="finished floor", Elevation=0.0, ObjectPlacement=_standing(model, building)
    )
    for whole, part in ((project, site), (site, building), (building, storey)):
        model.parts_of(whole, whole.is_a(), [part])
    return storey


def _standing(model: IfcModel, within: Entity) -> Entity:
    return model.place(model.axes(ORIGIN), within.ObjectPlacement)


class _House:
    """The products of a house as they are made, all in one storey."""

    def __init__(self, model: IfcModel, takeoff: Takeoff, storey: Entity) -> None:
        self.model, self.takeoff, self.storey = model, takeoff, storey
        self.parts = house_parts(takeoff)
        self.by_mark = {(part.kind, part.mark): part for part in self.parts}
        self.contained: list[Entity] = []
        self.covered: dict[str, Entity] = {}
        self.covers: dict[str, list[Entity]] = {}
        self.lines: dict[str, list[str]] = {}
        for line in takeoff.order.lines if takeoff.order is not None else ():
            for ref in line.refs:
                self.lines.setdefault(ref, []).append(line.id)

    def _product(self, kind: str, part: Part, shape: Entity, **more: object) -> Entity:
        place = self.model.place(self.model.axes(ORIGIN), self.storey.ObjectPlacement)
        key = f"{part.kind} {part.mark}"
        product = self.model.rooted(
            kind, key, Name=plain(part.mark), Tag=plain(part.mark), ObjectPlacement=place, Representation=shape, **more
        )
        self._marks(product, part)
        return product

    def _marks(self, product: Entity, part: Part) -> None:
        lines = [line for name in (part.mark, *part.names) for line in self.lines.get(name, ())]
        said = {
            "Mark": plain(part.mark),
            "Kind": part.kind,
            "On": plain(part.on),
            "Facts": "; ".join(part.facts),
            "OrderLines": ", ".join(dict.fromkeys(lines)),
            "Basis": working_words(part.working) if part.working is not None else "",
        }
        self.model.properties(product, OWN_SET, f"{part.kind} {part.mark}", said)

    def _surface(self, part: Part) -> Entity:
        frame = part.frame
        if frame is None:
            raise ValueError(part.mark)
        out = scale3(frame.n, part.out_mm)
        faces = [[[add3(frame.to_space(p), out) for p in ring] for ring in rings] for rings in polygons_of(part.rings)]
        return self.model.shape("SurfaceModel", [self.model.faces(faces)])

    def roof(self, roof: Roof) -> None:
        """A roof and its planes."""
        model = self.model
        made = model.rooted(
            "IfcRoof", roof.name, Name=plain(roof.name), PredefinedType="NOTDEFINED",
            ObjectPlacement=model.place(model.axes(ORIGIN), self.storey.ObjectPlacement),
        )  # fmt: skip
        slabs, gross = [], 0.0
        for plane in roof.planes:
            part = self.by_mark["plane", plane.id]
            slab = self._product("IfcSlab", part, self._surface(part), PredefinedType="ROOF")
            outer = signed_area(plane.rings_uv[0]) / _M2
            areas = {"GrossArea": outer, "NetArea": plane.area_mm2 / _M2}
            model.quantities(slab, "Qto_SlabBaseQuantities", f"plane {plane.id}", {}, areas)
            gross += outer
            slabs.append(slab)
            self.covered[plane.id] = slab
        model.parts_of(made, f"roof {roof.name}", slabs)
        net = sum(plane.area_mm2 for plane in roof.planes) / _M2
        plan = sum(plane.plan_area_mm2 for plane in roof.planes) / _M2
        areas = {"GrossArea": gross, "NetArea": net, "ProjectedArea": plan}
        model.quantities(made, "Qto_RoofBaseQuantities", f"roof {roof.name}", {}, areas)
        self.contained.append(made)

    def wall(self, wall: Elevation) -> None:
        """A wall, cut by its openings, with what fills them."""
        part = self.by_mark.get(("wall", wall.id))
        if part is None or part.frame is None:
            return
        model = self.model
        body = model.extruded(wall.outline_xy, _FRAME_MM, frame_axes(model, part.frame), down=True)
        made = self._product("IfcWall", part, model.shape("SweptSolid", [body]), PredefinedType="NOTDEFINED")
        gross = signed_area(wall.outline_xy)
        net = gross - sum(abs(signed_area(_within(wall, opening))) for opening in wall.openings)
        top = max(y for _, y in wall.outline_xy)
        lengths = {"Length": wall.width_mm, "Height": top - min(y for _, y in wall.outline_xy)}
        areas = {"GrossSideArea": gross / _M2, "NetSideArea": net / _M2}
        model.quantities(made, "Qto_WallBaseQuantities", f"wall {wall.id}", lengths, areas)
        self.contained.append(made)
        self.covered[wall.id] = made
        for opening in wall.openings:
            self._opening(wall, opening, made)

    def _opening(self, wall: Elevation, opening: Opening, made: Entity) -> None:
        model, part = self.model, self.by_mark["opening", opening.name]
        frame = part.frame
        if frame is None:
            return
        far = scale3(frame.n, -_FRAME_MM - _THROUGH_MM)
        axes = model.axes(add3(frame.origin_mm, far), frame.n, frame.u)
        body = model.extruded(part.rings[0], _FRAME_MM + 2.0 * _THROUGH_MM, axes)
        key = f"{wall.id} {opening.name}"
        hole = model.rooted(
            "IfcOpeningElement", key, Name=plain(opening.name), PredefinedType="OPENING",
            ObjectPlacement=model.place(model.axes(ORIGIN), self.storey.ObjectPlacement),
            Representation=model.shape("SweptSolid", [body]),
        )  # fmt: skip
        model.rooted("IfcRelVoidsElement", key, RelatingBuildingElement=made, RelatedOpeningElement=hole)
        door = opening.kind == "door" or (not opening.kind and opening.sill_mm <= 0.0)
        if opening.kind not in ("", "door", "window"):
            return
        what, name = ("IfcDoor", "Qto_DoorBaseQuantities") if door else ("IfcWindow", "Qto_WindowBaseQuantities")
        sizes = {"OverallWidth": opening.width_mm, "OverallHeight": opening.height_mm}
        fill = self._product(what, part, self._surface(part), **sizes)
        lengths = {"Width": opening.width_mm, "Height": opening.height_mm}
        area = {"Area": opening.width_mm * opening.height_mm / _M2}
        model.quantities(fill, name, f"opening {key}", lengths, area)
        model.rooted("IfcRelFillsElement", key, RelatingOpeningElement=hole, RelatedBuildingElement=fill)
        self.contained.append(fill)

    def covering_or_stick(self, part: Part) -> None:
        """A sheet or a board, a purlin, a gutter or a pipe, a flashing on its edge; nothing of another kind."""
        key = f"{part.kind} {part.mark}"
        if part.kind in _COVERINGS:
            made = self._product("IfcCovering", part, self._surface(part), PredefinedType=_COVERINGS[part.kind])
            area = part.area_mm2 / _M2
            self.model.quantities(made, "Qto_CoveringBaseQuantities", key, {}, {"GrossArea": area, "NetArea": area})
            self.covers.setdefault(part.on, []).append(made)
        elif part.kind in _STICKS:
            what, kind, name = _STICKS[part.kind]
            made = self._product(what, part, self._stick(part), PredefinedType=kind)
            if part.length_mm:
                self.model.quantities(made, name, key, {"Length": part.length_mm}, {})
        elif part.kind == "edge" and part.names:
            made = self._product(
                "IfcCovering", part, self._stick(part), PredefinedType="USERDEFINED", ObjectType="flashing"
            )
        else:
            return
        self.contained.append(made)

    def _stick(self, part: Part) -> Entity:
        model = self.model
        bodies = []
        for stretch in stretches_of(part):
            axes = model.axes(stretch.a_mm, stretch.along, stretch.across)
            length = sum((b - a) ** 2 for a, b in zip(stretch.a_mm, stretch.b_mm, strict=True)) ** 0.5
            bodies.append(model.extruded(rectangle(part.wide_mm, part.deep_mm), length, axes))
        return model.shape("SweptSolid", bodies)

    def close(self) -> None:
        """What covers what, and that all of it is in the storey."""
        for mark, coverings in self.covers.items():
            if mark in self.covered:
                self.model.rooted(
                    "IfcRelCoversBldgElements", mark, RelatingBuildingElement=self.covered[mark],
                    RelatedCoverings=coverings,
                )  # fmt: skip
        if self.contained:
            self.model.rooted(
                "IfcRelContainedInSpatialStructure", "", RelatedElements=self.contained, RelatingStructure=self.storey
            )


def _within(wall: Elevation, opening: Opening) -> Ring2:
    """What of an opening lies in its wall."""
    ring: Sequence[tuple[float, float]] = wall.outline_xy
    right = opening.from_left_mm + opening.width_mm
    for nx, ny, d in (
        (1.0, 0.0, right), (-1.0, 0.0, -opening.from_left_mm),
        (0.0, 1.0, opening.head_mm), (0.0, -1.0, -opening.sill_mm),
    ):  # fmt: skip
        ring = clip_half_plane(ring, nx, ny, d)
        if len(ring) < 3:
            return ()
    return tuple(ring)
