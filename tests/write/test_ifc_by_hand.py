"""What the designer's model is given of walls, openings, roofs and sticks, by hand [mm, areas m2]: the entities that are
asked for, with their figures. Names of kinds, sets and quantities are those of ISO 16739 (IFC4), from memory; the model
itself is opened by other programs in test_house_models."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import same
from wall_by_hand import box, wall

from takeoff.model.order import Takeoff
from takeoff.model.roof import Frame
from takeoff.model.walls import Opening
from takeoff.write.house_view.house_parts import Part
from takeoff.write.models import house_ifc
from takeoff.write.models.ifc_entities import IfcModel, frame_axes

FRAME = Frame((100.0, 200.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))


class Asked:
    """A model that is asked for entities: what was asked, and a name for each entity that it gave."""

    def __init__(self) -> None:
        self.calls: list[tuple[str, tuple[Any, ...], dict[str, Any]]] = []

    def __getattr__(self, name: str) -> Callable[..., Any]:
        def ask(*args: Any, **more: Any) -> str:
            self.calls.append((name, args, more))
            return args[0] if name == "rooted" else f"{name} {sum(call[0] == name for call in self.calls)}"

        return ask

    def of(self, name: str) -> list[tuple[tuple[Any, ...], dict[str, Any]]]:
        return [(args, more) for found, args, more in self.calls if found == name]


def house(*parts: Part, lines: Any = ()) -> tuple[Any, Any]:
    model: Any = Asked()
    made: Any = object.__new__(house_ifc._House)
    made.model, made.storey, made.parts = model, SimpleNamespace(ObjectPlacement="floor"), parts
    made.by_mark = {(part.kind, part.mark): part for part in parts}
    made.contained, made.covered, made.covers, made.lines = [], {}, {}, dict(lines)
    return made, model


def flat(mark: str, kind: str, ring: Any, **more: Any) -> Part:
    return Part(mark, kind, more.pop("on", "P1"), FRAME, (f"a {kind}",), rings=(ring,), **more)


@pytest.mark.parametrize(
    ("opening", "corners"),
    [
        (Opening("W", 1000.0, 900.0, 1200.0, 600.0), [(1000, 900), (1000, 1500), (2200, 900), (2200, 1500)]),
        (Opening("W", -100.0, -200.0, 300.0, 500.0), [(0, -50), (0, 300), (200, -50), (200, 300)]),
        (Opening("W", 5900.0, 2300.0, 300.0, 500.0), [(5900, 2300), (5900, 2400), (6000, 2300), (6000, 2400)]),
        (Opening("W", 6100.0, 900.0, 300.0, 500.0), []), (Opening("W", -400.0, 900.0, 300.0, 500.0), []),
        (Opening("W", 900.0, 2500.0, 300.0, 500.0), []), (Opening("W", 900.0, -700.0, 300.0, 500.0), []),
    ],
)  # fmt: skip
def test_what_of_an_opening_lies_in_its_wall(opening: Opening, corners: list[Any]) -> None:
    """The wall is 6000 wide and stands from -50 to 2400."""
    same(sorted(house_ifc._within(wall(), opening)), corners)


def test_a_wall_with_what_its_openings_leave_of_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """6.0 x 2.45 m is 14.7 m2; a window of 1.2 x 0.6 and a quarter of a door of 0.9 x 2.0 that stands half past the end
    and half over the top are 0.72 + 0.45 * 1.0 = 1.17."""
    windows = (Opening("W1", 1000.0, 900.0, 1200.0, 600.0), Opening("D1", 5550.0, 1400.0, 900.0, 2000.0))
    made = wall(6000.0, 2400.0, *windows)
    body = flat(made.id, "wall", made.outline_xy, on=made.id)
    writer, model = house(body)
    opened: list[Any] = []
    monkeypatch.setattr(house_ifc._House, "_opening", lambda _, one, opening, of: opened.append((one, opening, of)))
    writer.wall(made)
    (extruded,) = model.of("extruded")
    assert extruded == ((made.outline_xy, 90.0, "axes 1"), {"down": True})
    assert model.of("axes")[0] == (((100.0, 200.0, 0.0), FRAME.n, FRAME.u), {})
    assert model.of("shape") == [(("SweptSolid", ["extruded 1"]), {})]
    ((product, said),) = model.of("rooted")
    assert product == ("IfcWall", "wall wall 1")
    assert said == {
        "Name": "wall 1", "Tag": "wall 1", "ObjectPlacement": "place 1", "Representation": "shape 1",
        "PredefinedType": "NOTDEFINED",
    }  # fmt: skip
    ((args, _),) = model.of("quantities")
    assert args[:4] == ("IfcWall", "Qto_WallBaseQuantities", "wall wall 1", {"Length": 6000.0, "Height": 2450.0})
    assert args[4] == {"GrossSideArea": pytest.approx(14.7), "NetSideArea": pytest.approx(14.7 - 1.17)}
    assert opened == [(made, one, "IfcWall") for one in windows]
    assert (writer.contained, writer.covered) == (["IfcWall"], {"wall 1": "IfcWall"})
    for parts in ((), (replace(body, frame=None),)):
        writer, model = house(*parts)
        writer.wall(made)
        assert model.calls == []


@pytest.mark.parametrize(
    ("kind", "sill", "fills"),
    [
        ("", 900.0, "IfcWindow"), ("", 0.0, "IfcDoor"), ("", 1.0, "IfcWindow"), ("", -50.0, "IfcDoor"), ("door", 900.0, "IfcDoor"),
        ("window", 0.0, "IfcWindow"), ("meter_box", 900.0, None), ("meter_box", 0.0, None),
    ],
)  # fmt: skip
def test_an_opening_cuts_its_wall_and_is_filled(kind: str, sill: float, fills: str | None) -> None:
    """Its body goes from 100 outside the wall to 100 past the 90 of its frame: 290 from 190 behind, along the normal."""
    opening = Opening("W_1", 1000.0, sill, 1200.0, 600.0, kind)
    ring = box(1000.0, sill, 2200.0, sill + 600.0)
    writer, model = house(flat("W_1", "opening", ring, on="wall 1", out_mm=6.0))
    writer._opening(wall(), opening, "made")
    assert model.of("axes")[0] == (((100.0, 200.0 + 190.0, 0.0), FRAME.n, FRAME.u), {})
    assert model.of("extruded") == [((ring, 290.0, "axes 1"), {})]
    hole, voids, *more = model.of("rooted")
    assert hole == (
        ("IfcOpeningElement", "wall 1 W_1"),
        {"Name": "W_1", "PredefinedType": "OPENING", "ObjectPlacement": "place 1", "Representation": "shape 1"},
    )
    assert voids == (
        ("IfcRelVoidsElement", "wall 1 W_1"), {"RelatingBuildingElement": "made", "RelatedOpeningElement": "IfcOpeningElement"},
    )  # fmt: skip
    if fills is None:
        assert (more, writer.contained, model.of("quantities")) == ([], [], [])
        return
    fill, filled = more
    assert fill[0] == (fills, "opening W_1")
    assert (fill[1]["OverallWidth"], fill[1]["OverallHeight"], fill[1]["Representation"]) == (1200.0, 600.0, "shape 2")
    same(model.of("faces")[0][0][0], [[[(100 + x, 194, y) for x, y in ring]]])
    assert filled == (
        ("IfcRelFillsElement", "wall 1 W_1"),
        {"RelatingOpeningElement": "IfcOpeningElement", "RelatedBuildingElement": fills},
    )
    name = "Qto_DoorBaseQuantities" if fills == "IfcDoor" else "Qto_WindowBaseQuantities"
    ((args, _),) = model.of("quantities")
    assert args == (
        fills,
        name,
        "opening wall 1 W_1",
        {"Width": 1200.0, "Height": 600.0},
        {"Area": pytest.approx(0.72)},
    )
    assert writer.contained == [fills]


def test_a_roof_is_the_sum_of_its_planes(sample: Takeoff) -> None:
    """Of 12 x 8 m at 25 degrees: 96 m2 in plan, 105.924 on the slope; a hole of 1 x 2 m in its first plane is none of the
    slope's net area, but of the gross one."""
    roof = sample.roofs[0]
    hole = ((5000.0, 1000.0), (5000.0, 3000.0), (6000.0, 3000.0), (6000.0, 1000.0))
    first = roof.planes[0]
    cut = replace(first, rings_uv=(*first.rings_uv, hole), area_mm2=first.area_mm2 - 2e6)
    planes = (cut, *roof.planes[1:])
    writer, model = house(*(flat(plane.id, "plane", plane.rings_uv[0], on=plane.id) for plane in planes))
    writer.roof(replace(roof, planes=planes))
    assert model.of("rooted")[0] == (
        ("IfcRoof", "main"), {"Name": "main", "PredefinedType": "NOTDEFINED", "ObjectPlacement": "place 1"},
    )  # fmt: skip
    assert [args for args, _ in model.of("rooted")[1:]] == [("IfcSlab", f"plane P{n}") for n in (1, 2, 3, 4)]
    assert {more["PredefinedType"] for _, more in model.of("rooted")[1:]} == {"ROOF"}
    slab, *_, whole = [args for args, _ in model.of("quantities")]
    assert slab == (
        "IfcSlab", "Qto_SlabBaseQuantities", "plane P1", {},
        {"GrossArea": pytest.approx(35.30809), "NetArea": pytest.approx(33.30809)},
    )  # fmt: skip
    assert whole == (
        "IfcRoof", "Qto_RoofBaseQuantities", "roof main", {},
        {"GrossArea": pytest.approx(105.92428), "NetArea": pytest.approx(103.92428), "ProjectedArea": pytest.approx(96.0)},
    )  # fmt: skip
    assert model.of("parts_of") == [(("IfcRoof", "roof main", ["IfcSlab"] * 4), {})]
    assert (writer.contained, list(writer.covered)) == (["IfcRoof"], ["P1", "P2", "P3", "P4"])


@pytest.mark.parametrize(
    ("part", "kind", "type_", "quantities"),
    [
        ("sheet", "IfcCovering", "ROOFING", "Qto_CoveringBaseQuantities"), ("clear sheet", "IfcCovering", "ROOFING", "Qto_CoveringBaseQuantities"),
        ("board", "IfcCovering", "CLADDING", "Qto_CoveringBaseQuantities"), ("wall sheet", "IfcCovering", "CLADDING", "Qto_CoveringBaseQuantities"),
        ("timber", "IfcMember", "PURLIN", "Qto_MemberBaseQuantities"), ("gutter", "IfcPipeSegment", "GUTTER", "Qto_PipeSegmentBaseQuantities"),
        ("downpipe", "IfcPipeSegment", "RIGIDSEGMENT", "Qto_PipeSegmentBaseQuantities"), ("edge", "IfcCovering", "USERDEFINED", ""),
        ("batten", "", "", ""), ("plane", "", "", ""),
    ],
)  # fmt: skip
def test_coverings_and_sticks(part: str, kind: str, type_: str, quantities: str) -> None:
    """A stick of 70 x 45 runs 300 along x and 400 along y, so 500 far: it is drawn out along its own direction."""
    stick = quantities.startswith(("Qto_Member", "Qto_Pipe")) or part == "edge"
    shape: dict[str, Any] = (
        {"line": ((0.0, 0.0, 7.0), (300.0, 400.0, 7.0)), "wide_mm": 70.0, "deep_mm": 45.0, "length_mm": 500.0}
        if stick
        else {"rings": (box(0.0, 0.0, 2000.0, 500.0),), "area_mm2": 1e6}
    )
    made = Part("A1", part, "P1", None if stick else FRAME, (), names=("F1", "F2"), **shape)
    writer, model = house(made, lines={"A1": ["L1", "L2"], "F2": ["L2", "L3"]})
    writer.covering_or_stick(made)
    if not kind:
        assert (model.calls, writer.contained) == ([], [])
        return
    ((args, said),) = model.of("rooted")
    assert (args, said["PredefinedType"], writer.contained) == ((kind, f"{part} A1"), type_, [kind])
    ((facts, _),) = model.of("properties")
    assert facts[3]["OrderLines"] == "L1, L2, L3"
    if stick:
        assert model.of("axes")[0] == (
            ((0.0, 0.0, 7.0), pytest.approx((0.6, 0.8, 0.0)), pytest.approx((0.8, -0.6, 0.0))),
            {},
        )
        ((ring, length, axes), _) = model.of("extruded")[0]
        assert (ring, length, axes) == (
            ((-35.0, -22.5), (35.0, -22.5), (35.0, 22.5), (-35.0, 22.5)),
            pytest.approx(500.0),
            "axes 1",
        )
    wanted = ({"Length": 500.0}, {}) if stick else ({}, {"GrossArea": 1.0, "NetArea": 1.0})
    assert [args for args, _ in model.of("quantities")] == (
        [(kind, quantities, f"{part} A1", *wanted)] if quantities else []
    )
    assert writer.covers == ({} if stick else {"P1": [kind]})
    # without a length there is none to say, and an edge without a flashing is left out
    bare = replace(made, length_mm=0.0, names=())
    writer, model = house(bare)
    writer.covering_or_stick(bare)
    assert bool(model.of("rooted")) is (part != "edge")
    assert len(model.of("quantities")) == (0 if stick else 1)


def test_what_covers_what_is_told_of_walls_and_planes_that_are_there() -> None:
    writer, model = house()
    writer.covered, writer.covers, writer.contained = {"P1": "slab"}, {"P1": ["a", "b"], "P9": ["c"]}, ["slab", "a"]
    writer.close()
    assert model.of("rooted") == [
        (("IfcRelCoversBldgElements", "P1"), {"RelatingBuildingElement": "slab", "RelatedCoverings": ["a", "b"]}),
        (
            ("IfcRelContainedInSpatialStructure", ""),
            {"RelatedElements": ["slab", "a"], "RelatingStructure": writer.storey},
        ),
    ]
    writer, model = house()
    writer.close()
    assert model.calls == []


def test_the_axes_of_a_frame_are_moved_back_by_a_shift() -> None:
    model: Any = Asked()
    frame_axes(model, FRAME, (1.0, 2.0, 3.0))
    frame_axes(model, FRAME)
    assert [args for args, _ in model.of("axes")] == [
        ((99.0, 198.0, -3.0), FRAME.n, FRAME.u), ((100.0, 200.0, 0.0), FRAME.n, FRAME.u),
    ]  # fmt: skip


def test_figures_of_entities_are_rounded() -> None:
    """Points to a ten thousandth, directions to twelve figures, lengths to a thousandth of a mm and areas to a square
    centimetre's hundredth; no -0."""
    model = object.__new__(IfcModel)
    asked: Any = Asked()
    model.file = SimpleNamespace(create_entity=asked.new)
    model.point((1.23456, -0.00001))
    model.direction((1.0 / 3.0, -1e-13))
    assert asked.of("new") == [
        (("IfcCartesianPoint",), {"Coordinates": (1.2346, 0.0)}), (("IfcDirection",), {"DirectionRatios": (0.333333333333, 0.0)}),
    ]  # fmt: skip
    assert all(str(x) != "-0.0" for _, more in asked.of("new") for row in more.values() for x in row)
    made: Any = SimpleNamespace(new=asked.make, rooted=asked.rooted, _define=asked.define)
    IfcModel.quantities(made, "slab", "Qto", "key", {"Length": 1.23456}, {"Area": 2.3456789})
    assert asked.of("make") == [
        (("IfcQuantityLength",), {"Name": "Length", "LengthValue": 1.235}), (("IfcQuantityArea",), {"Name": "Area", "AreaValue": 2.345679}),
    ]  # fmt: skip
    assert asked.of("rooted") == [
        (
            ("IfcElementQuantity", "key"),
            {"Name": "Qto", "MethodOfMeasurement": "takeoff", "Quantities": ["make 1", "make 2"]},
        )
    ]
    assert asked.of("define") == [(("slab", "key Qto", "IfcElementQuantity"), {})]
    IfcModel.properties(made, "slab", "Own", "key", {"Mark": "P1", "On": ""})
    assert asked.of("make")[2:] == [
        (("IfcText", "P1"), {}), (("IfcPropertySingleValue",), {"Name": "Mark", "NominalValue": "make 3"}),
    ]  # fmt: skip
    assert asked.of("define")[1:] == [(("slab", "key Own", "IfcPropertySet"), {})]
    IfcModel.properties(made, "slab", "Own", "key", {"On": ""})
    assert len(asked.of("define")) == 2


def test_solids_faces_and_rings() -> None:
    asked: Any = Asked()
    made: Any = SimpleNamespace(
        new=asked.make, point=asked.point, direction=asked.direction, ring=lambda ring: ("ring", ring)
    )
    for down, z in ((False, 1.0), (True, -1.0)):
        IfcModel.extruded(made, ((1.0, 2.0),), 90.0, "axes", down)
        assert asked.of("direction")[-1] == (((0.0, 0.0, z),), {})
    profile, solid = asked.of("make")[:2]
    assert profile == (
        ("IfcArbitraryClosedProfileDef",),
        {"ProfileType": "AREA", "OuterCurve": ("ring", ((1.0, 2.0),))},
    )
    assert solid == (
        ("IfcExtrudedAreaSolid",),
        {"SweptArea": "make 1", "Position": "axes", "ExtrudedDirection": "direction 1", "Depth": 90.0},
    )
    asked.calls.clear()
    IfcModel.faces(made, [[[(0.0, 0.0, 0.0)], [(1.0, 1.0, 1.0)]], [[(2.0, 2.0, 2.0)]]])
    kinds = [args[0] for args, _ in asked.of("make")]
    assert kinds == [
        "IfcPolyLoop", "IfcFaceOuterBound", "IfcPolyLoop", "IfcFaceBound", "IfcFace", "IfcPolyLoop", "IfcFaceOuterBound", "IfcFace",
        "IfcConnectedFaceSet", "IfcFaceBasedSurfaceModel",
    ]  # fmt: skip
    assert asked.of("make")[4][1] == {"Bounds": ["make 2", "make 4"]}
    assert asked.of("make")[8][1] == {"CfsFaces": ["make 5", "make 8"]}
    asked.calls.clear()
    IfcModel.ring(made, ((1.0, 2.0), (3.0, 4.0), (5.0, 6.0)))
    assert [args[0] for args, _ in asked.of("point")] == [(1.0, 2.0), (3.0, 4.0), (5.0, 6.0), (1.0, 2.0)]
    IfcModel.axes(made, (1.0, 2.0, 3.0), (0.0, 0.0, 1.0), None)
    assert asked.of("make")[-1] == (("IfcAxis2Placement3D",), {"Location": "point 5"})
    IfcModel.axes(made, (1.0, 2.0, 3.0), None, (1.0, 0.0, 0.0))
    assert asked.of("make")[-1] == (("IfcAxis2Placement3D",), {"Location": "point 6"})
    IfcModel.axes(made, (1.0, 2.0, 3.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    z, x = asked.of("direction")
    assert (z[0], x[0]) == (((0.0, 0.0, 1.0),), ((1.0, 0.0, 0.0),))
    assert asked.of("make")[-1][1] == {"Location": "point 7", "Axis": "direction 1", "RefDirection": "direction 2"}
