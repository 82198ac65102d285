"""IFC models written line by line: which products are a roof, its walls, openings and floors, and what the worker hands back.

The worker's own functions run here in this process: elsewhere they run in one of their own.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from io import BytesIO
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from own_houses import WINDOWS, gable
from write_ifc import Step, guid, ifc

from takeoff.basics.errors import JobError, UndecidedError, UnreadableFileError
from takeoff.model.faces import RawPart, StatedPart
from takeoff.read.ifc import gathering, worker
from takeoff.read.ifc.gathering import RoofUnit, floors_of, openings_in, part_of, roof_units, walls_of

library = pytest.importorskip("ifcopenshell")


class Model:
    """A model as it is put together: products with or without a shape, what is in what."""

    def __init__(self) -> None:
        self.step = Step()
        self.shape = self.step.add("IFCPRODUCTDEFINITIONSHAPE($,$,())")

    def add(self, kind: str, words: str, rest: str, name: str = "") -> str:
        return self.step.root(kind, words, rest, name)

    def product(self, kind: str, words: str, more: str = "", shaped: bool = True, name: str = "") -> str:
        return self.add(kind, words, f"$,$,$,{self.shape if shaped else '$'},$" + more, name)

    def slab(self, words: str, sort: str, shaped: bool = True) -> str:
        return self.product("IFCSLAB", words, f",.{sort}.", shaped)

    def roof(self, words: str, shaped: bool = False) -> str:
        return self.product("IFCROOF", words, ",.NOTDEFINED.", shaped)

    def of(self, whole: str, *parts: str) -> None:
        self.add("IFCRELAGGREGATES", f"{whole} {' '.join(parts)}", f"$,{whole},({','.join(parts)})")

    def inside(self, storey: str, *parts: str) -> None:
        self.add("IFCRELCONTAINEDINSPATIALSTRUCTURE", f"{storey} {' '.join(parts)}", f"$,({','.join(parts)}),{storey}")

    def building(self, words: str) -> tuple[str, str]:
        """(building, its storey)."""
        house = self.add("IFCBUILDING", words, "$,$,$,$,$,.ELEMENT.,$,$,$")
        storey = self.add("IFCBUILDINGSTOREY", f"{words} ground", "$,$,$,$,$,.ELEMENT.,0.")
        self.of(house, storey)
        return house, storey

    def opened(self) -> Any:
        return library.file.from_string(self.step.text())


def said(units: Sequence[RoofUnit]) -> list[tuple[str, str, list[str]]]:
    return [(unit.name, unit.building, [product.Name for product in unit.products]) for unit in units]


def test_a_roof_is_its_slabs_else_its_other_parts_else_its_own_shape() -> None:
    model = Model()
    _, storey = model.building("house")
    slabbed, covered, own, empty = (model.roof(words, shaped=True) for words in ("slabbed", "covered", "own", "empty"))
    model.of(slabbed, model.slab("a", "ROOF"), model.slab("b", "NOTDEFINED"), model.slab("c", "ROOF", shaped=False))
    model.of(slabbed, model.product("IFCCOVERING", "tiles", ",.ROOFING."))
    model.of(
        covered, model.product("IFCCOVERING", "sheets", ",.ROOFING."), model.product("IFCBEAM", "rafter", ",.RAFTER.")
    )
    bare = model.roof("bare")
    model.of(bare, model.product("IFCBEAM", "purlin", ",.PURLIN."))
    whole = model.roof("whole")
    inner = model.roof("inner", shaped=True)
    model.of(whole, inner)
    model.inside(storey, slabbed, covered, own, empty, bare, whole)
    found = roof_units(model.opened())
    assert said(found) == [
        ("slabbed", "house", ["a", "b"]), ("covered", "house", ["sheets"]), ("own", "house", ["own"]), ("empty", "house", ["empty"]),
        ("whole", "house", ["inner"]),
    ]  # fmt: skip
    assert [unit.key for unit in found] == [guid(words) for words in ("slabbed", "covered", "own", "empty", "whole")]


def test_loose_slabs_are_a_roof_a_building() -> None:
    """Those in a roof are not taken twice; one in no building stands for itself; coverings count where there is no other."""
    model = Model()
    roof, taken = model.roof("r"), model.slab("in a roof", "ROOF")
    model.of(roof, taken)
    (_, east), (_, west) = model.building("east"), model.building("west")
    slabs = [model.slab(words, "ROOF") for words in ("e1", "w1", "e2", "alone")]
    model.inside(east, slabs[0], slabs[2], model.slab("floor", "FLOOR"), model.slab("no shape", "ROOF", shaped=False))
    model.inside(west, slabs[1], model.product("IFCCOVERING", "tiles", ",.ROOFING."))
    found = roof_units(model.opened())
    assert said(found) == [
        ("r", "", ["in a roof"]), ("east", "east", ["e1", "e2"]), ("west", "west", ["w1"]), ("alone", "", ["alone"]),
    ]  # fmt: skip
    assert found[1].key == guid("east")
    bare = Model()
    _, storey = bare.building("barn")
    bare.inside(
        storey, bare.product("IFCCOVERING", "tiles", ",.ROOFING."), bare.product("IFCCOVERING", "lining", ",.CEILING.")
    )
    assert said(roof_units(bare.opened())) == [("barn", "barn", ["tiles"])]
    bare.inside(storey, bare.slab("slab", "ROOF"))
    assert said(roof_units(bare.opened())) == [("barn", "barn", ["slab"])]


def test_walls_and_floors_of_a_roofs_building() -> None:
    model = Model()
    (_, east), (_, west) = model.building("east"), model.building("west")
    walls = [model.product("IFCWALL", f"wall {n}", ",$", shaped=n != 4) for n in range(5)]
    floors = [
        model.slab(f"floor {n}", kind, n != 3)
        for n, kind in enumerate(("FLOOR", "BASESLAB", "LANDING", "FLOOR", "FLOOR"))
    ]
    model.inside(east, walls[0], walls[3], walls[4], *floors[:4])
    model.inside(west, walls[1], floors[4])
    opened, unit = model.opened(), RoofUnit("k", "n", "east")
    assert [wall.Name for wall in walls_of(opened, unit)] == ["wall 0", "wall 2", "wall 3"]
    assert [floor.Name for floor in floors_of(opened, unit)] == ["floor 0", "floor 1"]
    assert [wall.Name for wall in walls_of(opened, RoofUnit("k", "n", "west"))] == ["wall 1", "wall 2"]


def test_openings_of_a_wall_with_what_fills_them() -> None:
    model = Model()
    wall = model.product("IFCWALL", "wall", ",$")
    for name, shaped, filled in (("o1", True, True), ("o2", True, False), ("o3", False, True)):
        hole = model.product("IFCOPENINGELEMENT", name, ",.OPENING.", shaped)
        model.add("IFCRELVOIDSELEMENT", f"{name} voids", f"$,{wall},{hole}")
        if filled:
            window = model.product("IFCWINDOW", f"window {name}", ",$,$,$,$,$", shaped=False)
            model.add("IFCRELFILLSELEMENT", f"{name} fills", f"$,{hole},{window}")
    opened = model.opened()
    (one,) = opened.by_type("IfcWall")
    found = [(hole.Name, None if fill is None else fill.Name) for hole, fill in openings_in(one)]
    assert sorted(found) == [("o1", "window o1"), ("o2", None)]


def test_names_buildings_and_storeys() -> None:
    model = Model()
    _, storey = model.building("house")
    wall = model.product("IFCWALL", "wall", ",$")
    model.inside(storey, wall)
    opened = model.opened()
    (one,) = opened.by_type("IfcWall")
    assert part_of(one, StatedPart.WALL, "B") == RawPart(guid("wall"), "wall", StatedPart.WALL, "B", "house ground")
    assert part_of(one, StatedPart.WALL, "B", "other").name == "other"
    assert gathering.building_name(one) == "house"
    opened.by_type("IfcBuilding")[0].Name = None
    opened.by_type("IfcBuildingStorey")[0].Name = None
    assert gathering.building_name(one) == guid("house")
    assert part_of(one, StatedPart.WALL, "B").storey == guid("house ground")
    assert gathering.building_name(opened.by_type("IfcBuilding")[0]) == ""
    assert gathering.building_of(SimpleNamespace()) is None
    for name, tag, words in ((None, "T7", "T7"), (None, None, ""), ("a\nb", "T", "ab"), ("x" * 130, None, "x" * 120)):
        assert gathering.named(SimpleNamespace(Name=name, Tag=tag)) == words


def test_as_deep_as_parts_are_looked_into() -> None:
    """A product in the twelfth thing above it, and parts twelve deep, are found; what lies beyond is not. A ring ends."""

    def chain(length: int) -> Any:
        top = SimpleNamespace(kind="IfcBuilding", is_a=lambda kind: kind == "IfcBuilding", GlobalId="top", Name="t")
        for _ in range(length - 1):
            top = SimpleNamespace(is_a=lambda kind: False, Decomposes=(SimpleNamespace(RelatingObject=top),))
        return SimpleNamespace(ContainedInStructure=(SimpleNamespace(RelatingStructure=top),))

    assert gathering.building_name(chain(12)) == "t"
    assert gathering.building_name(chain(13)) == ""
    assert (
        gathering.building_name(SimpleNamespace(ContainedInStructure=(SimpleNamespace(RelatingStructure=None),))) == ""
    )

    house, other = (SimpleNamespace(is_a=lambda kind: kind == "IfcBuilding", GlobalId=key, Name=None) for key in "AB")
    two = SimpleNamespace(
        ContainedInStructure=(SimpleNamespace(RelatingStructure=house),),
        Decomposes=(SimpleNamespace(RelatingObject=other),),
    )
    assert gathering.building_name(two) == "A"
    house_gone = SimpleNamespace(RelatingStructure=None)
    assert gathering.building_name(SimpleNamespace(**{**vars(two), "ContainedInStructure": (house_gone,)})) == ""

    def part(number: int, below: Sequence[Any] = (), kind: str = "IfcProduct") -> Any:
        rels = (SimpleNamespace(RelatedObjects=below), SimpleNamespace(RelatedObjects=None))
        return SimpleNamespace(id=lambda: number, is_a=lambda asked: asked == kind, IsDecomposedBy=rels)

    deep = part(99)
    for number in range(12, -1, -1):
        deep = part(number, [deep])
    assert [one.id() for one in gathering._below(deep)] == list(range(1, 13))
    twice = part(5)
    top = part(0, [part(1, [twice]), part(2, [twice]), part(3, kind="IfcAnnotation"), twice])
    assert [one.id() for one in gathering._below(top)] == [1, 2, 5]


# ------------------------------------------------------------ the worker

HOUSE = gable(WINDOWS)
"""12 x 8 m, eaves at 2.4 m, ridge at 5.4 m; walls 200 mm, openings 100 mm past both faces, slabs 120 mm upright."""


def unpacked(answer: bytes) -> tuple[dict[str, Any], dict[str, Any]]:
    with np.load(BytesIO(answer)) as held:
        arrays = {name: held[name] for name in ("points", "triangles", "part_of")}
        return arrays, json.loads(held["words"].tobytes())


def test_what_the_worker_reads_of_a_house() -> None:
    """Slabs of the south plane from 2.28 to 5.4 m; the door on the south wall from 5.0 to 5.9 m along it."""
    data = ifc(HOUSE, north="$").encode()
    arrays, words = unpacked(worker._answer(data, "h.ifc", ""))
    names = [(part["stated"], part["name"]) for part in words["parts"]]
    assert names[:3] == [("roof", "gable plane 1"), ("roof", "gable plane 2"), ("wall", "gable wall 1")]
    assert sorted(names[3:5]) == [("opening", "door gable 1.2"), ("opening", "window gable 1.1")]
    assert [name for kind, name in names if kind == "wall"] == [f"gable wall {n}" for n in (1, 2, 3, 4)]
    assert {part["building"] for part in words["parts"]} == {guid("gable roof")}
    assert {part["storey"] for part in words["parts"] if part["stated"] == "wall"} == {"gable storey"}
    points, numbers = arrays["points"], arrays["part_of"]

    def box(place: int) -> list[list[float]]:
        own = points[np.unique(arrays["triangles"][numbers == place])]
        return [own.min(axis=0).round(6).tolist(), own.max(axis=0).round(6).tolist()]

    assert box(0) == [[0.0, 0.0, 2.28], [12.0, 4.0, 5.4]]
    assert box(1) == [[0.0, 4.0, 2.28], [12.0, 8.0, 5.4]]
    assert box(2) == [[0.0, 0.0, 0.0], [12.0, 0.2, 2.4]]
    assert box(names.index(("opening", "door gable 1.2"))) == [[5.0, -0.1, 0.0], [5.9, 0.3, 2.1]]
    assert [np.count_nonzero(numbers == place) for place in (0, 1, 2)] == [12, 12, 12]  # six sides of two triangles
    assert [(area["word"], round(area["m2"], 6)) for area in words["areas"]][:2] == [
        ("Qto_SlabBaseQuantities.NetArea", 60.0), ("Qto_SlabBaseQuantities.ProjectedArea", 48.0),
    ]  # fmt: skip
    assert (words["bearing"], words["no_bearing"], words["lost"], words["without_shape"]) == (None, "", 0, [])


def test_what_is_lost_and_what_has_no_shape_is_told() -> None:
    text = ifc(HOUSE).replace("DATA;\n", "DATA;\n#99998=IFCNOSUCHTHING(1);\n", 1)
    wall = next(line for line in text.splitlines() if "'gable wall 3'" in line)
    shape = wall.split(",")[6]
    text = text.replace(wall, wall.replace(f",{shape},", ",#99997,"))
    text = text.replace("DATA;\n", "DATA;\n#99997=IFCPRODUCTDEFINITIONSHAPE($,$,());\n", 1)
    _, words = unpacked(worker._answer(text.encode(), "h.ifc", "gable roof"))
    assert (words["lost"], words["without_shape"]) == (1, ["wall gable wall 3"])


def test_what_the_worker_lists_of_a_house() -> None:
    """In millimetres: the storey's level 0 and another at 2,700."""
    text = ifc(HOUSE, unit=0.001)
    _, words = unpacked(worker._listing(text.encode(), "h.ifc"))
    key = guid("gable roof")
    assert words["storeys"] == [["gable storey", 0.0]]
    assert words["counts"] == {"walls": 4, "windows": 3, "doors": 1}
    ((found, name, building, count, low, high),) = words["roofs"]
    assert (found, name, building, count) == (key, "gable roof", "gable", 2)
    assert np.round([low, high], 6).tolist() == [[0.0, 0.0, 2.28], [12.0, 8.0, 5.4]]
    upper = text.replace(".ELEMENT.,0.);", ".ELEMENT.,2700.);")
    assert unpacked(worker._listing(upper.encode(), "h.ifc"))[1]["storeys"] == [["gable storey", 2.7]]
    none = text.replace(".ELEMENT.,0.);", ".ELEMENT.,$);")
    assert unpacked(worker._listing(none.encode(), "h.ifc"))[1]["storeys"] == []


def test_as_many_triangles_as_are_read_and_a_roof_without_shape(monkeypatch: pytest.MonkeyPatch) -> None:
    data = ifc(gable()).encode()  # two slabs and four walls: the gable ends have seven sides
    arrays, _ = unpacked(worker._answer(data, "h.ifc", ""))
    count = len(arrays["triangles"])
    monkeypatch.setattr(worker, "MOST_TRIANGLES", count)
    assert len(unpacked(worker._answer(data, "h.ifc", ""))[0]["triangles"]) == count
    monkeypatch.setattr(worker, "MOST_TRIANGLES", count - 1)
    with pytest.raises(UnreadableFileError) as caught:
        worker._answer(data, "h.ifc", "")
    assert caught.value.faults == (f"h.ifc: more than the {count - 1:,} triangles that are read; save the house alone",)
    text = ifc(gable(), roof="body")
    line = next(line for line in text.splitlines() if "'gable roof'" in line)
    empty = text.replace(line, line.replace(f",{line.split(',')[6]},", ",#99997,"))
    empty = empty.replace("DATA;\n", "DATA;\n#99997=IFCPRODUCTDEFINITIONSHAPE($,$,());\n", 1)
    with pytest.raises(UnreadableFileError) as caught:
        worker._answer(empty.encode(), "h.ifc", "")
    assert caught.value.faults == ("h.ifc: roof gable roof: none of its parts has a shape that can be built",)


def test_text_that_the_library_cannot_read() -> None:
    with pytest.raises(UnreadableFileError) as caught:
        worker._opened(b"ISO-10303-21;\nHEADER;\nFILE_SCHEMA(('IFC9'));\nENDSEC;\n", "h.ifc")
    (fault,) = caught.value.faults
    assert fault.startswith("h.ifc: cannot be read as IFC (")
    assert fault.endswith("); save it again")
    model = worker._opened(ifc(HOUSE, "IFC4X3").replace("FILE_SCHEMA((", "FILE_SCHEMA ( (").encode(), "h.ifc")
    assert model.schema_identifier == "IFC4X3_ADD2"


def roof(key: str, name: str = "", building: str = "") -> RoofUnit:
    return RoofUnit(key, name, building)


def test_which_roof_a_job_means() -> None:
    held = [roof("K1", "main", "east"), roof("K2", "porch", "east"), roof("K3", "K1", "west")]
    for wanted, key in (("K1", "K1"), ("K2", "K2"), ("porch", "K2"), ("west", "K3")):
        assert worker._chosen(held, "h", wanted).key == key
    assert worker._chosen(held[:1], "h", "").key == "K1"
    many = [roof(f"N{n:02}") for n in range(13)]
    listed = ", ".join(f"N{n:02} (no name)" for n in range(12))
    for units, wanted, error, says in (
        ([], "", UnreadableFileError, ("h: holds no roof: no IfcRoof with a shape, no slab of type ROOF, no covering of type ROOFING",)),
        (held, "prch", JobError, ("h: there is no roof prch; did you mean porch? It has K1 (main), K2 (porch), K3 (K1)",)),
        (many, "shed", JobError, (f"h: there is no roof shed. It has {listed}",)),
        (held, "east", UndecidedError, ("h: holds 2 roofs, each a roof of its own; say in the job's shape which is meant", "h: main: `part: K1`", "h: porch: `part: K2`")),
        (held[1:], "", UndecidedError, ("h: holds 2 roofs, each a roof of its own; say in the job's shape which is meant", "h: porch: `part: K2`", "h: K1: `part: K3`")),
    ):  # fmt: skip
        with pytest.raises(error) as caught:  # type: ignore[call-overload]
            worker._chosen(units, "h", wanted)
        assert caught.value.faults == says


def test_the_worker_takes_bytes_and_gives_an_archive(monkeypatch: pytest.MonkeyPatch) -> None:
    bounds: list[tuple[int, tuple[int, int]]] = []
    held = {7: (3_000_000_000, 3_000_000_000), 8: (-1, -1)}
    limits = SimpleNamespace(
        RLIMIT_AS=7, RLIMIT_CPU=8, getrlimit=lambda what: held[what], setrlimit=lambda *given: bounds.append(given)
    )
    monkeypatch.setitem(sys.modules, "resource", limits)
    data, out = b"ISO-10303-21;\nHEADER;\nFILE_SCHEMA(('IFC9'));\nENDSEC;\n", BytesIO()
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=BytesIO(data)))
    monkeypatch.setattr(sys, "stdout", SimpleNamespace(buffer=out))
    monkeypatch.setattr(sys, "argv", ["-c", "[]", "read", "h.ifc", ""])
    worker.main()
    arrays, words = unpacked(out.getvalue())
    assert bounds == [(7, (3_000_000_000, 3_000_000_000)), (8, (120, -1))]
    assert (words["kind"], len(words["faults"])) == ("UnreadableFileError", 1)
    assert [arrays[name].shape for name in ("points", "triangles", "part_of")] == [(0, 3), (0, 3), (0,)]
    held[7], held[8] = (-1, -1), (60, 60)
    for what, name in (("list", "_listing"), ("read", "_answer")):
        out.seek(0)
        out.truncate()
        monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=BytesIO(b"text")))
        monkeypatch.setattr(sys, "argv", ["-c", "[]", what, "h.ifc", "west"])
        monkeypatch.setattr(worker, name, lambda *given: repr(given).encode())
        worker.main()
        assert out.getvalue() == repr((b"text", "h.ifc") if what == "list" else (b"text", "h.ifc", "west")).encode()
    assert bounds[-2:] == [(7, (4_000_000_000, -1)), (8, (60, 60))]
    monkeypatch.setitem(sys.modules, "resource", None)
    worker._bound()


def test_bounds_of_what_the_worker_takes() -> None:
    assert (worker.MOST_SECONDS, worker.MOST_MEMORY, worker.MOST_TRIANGLES) == (120, 4_000_000_000, 400_000)


def test_a_roof_whose_shapes_cannot_be_built_is_listed_without_a_size(monkeypatch: pytest.MonkeyPatch) -> None:
    """Beside one from (1, -2, 3) to (4, 5, 6)."""
    monkeypatch.setattr(worker, "_bodies_of", lambda *_: [])
    _, words = unpacked(worker._listing(ifc(HOUSE, "IFC4").encode(), "h.ifc"))
    assert [roof[4:] for roof in words["roofs"]] == [[[0.0, 0.0, 0.0], [0.0, 0.0, 0.0]]]
    monkeypatch.setattr(worker, "_bodies_of", lambda *_: [4.0, -2.0, 3.0, 1.0, 5.0, 6.0, 2.0, 0.0, 4.0])
    _, words = unpacked(worker._listing(ifc(HOUSE, "IFC4").encode(), "h.ifc"))
    assert [roof[4:] for roof in words["roofs"]] == [[[1.0, -2.0, 3.0], [4.0, 5.0, 6.0]]]
