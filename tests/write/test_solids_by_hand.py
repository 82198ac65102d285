"""Parts of a house as solids, by hand [mm]: boxes along sticks, flat parts with holes; the binary model they make."""

from __future__ import annotations

import json
import struct
from array import array
from dataclasses import replace
from math import cos, radians, sin
from typing import Any

import pytest

from takeoff import __version__
from takeoff.basics.vectors import Point3, cross3, dot3, sub3
from takeoff.model.order import Takeoff
from takeoff.model.roof import Frame
from takeoff.write.house_view.house_parts import Part
from takeoff.write.models import house_glb
from takeoff.write.models.ifc_entities import rectangle
from takeoff.write.models.solid_mesh import Stretch, mesh_of, polygons_of, stretches_of

SQUARE = ((0.0, 0.0), (90.0, 0.0), (90.0, 60.0), (0.0, 60.0))
HOLE = ((10.0, 10.0), (10.0, 30.0), (40.0, 30.0), (40.0, 10.0))
FAR = ((200.0, 0.0), (230.0, 0.0), (230.0, 20.0))
# x along the plan's y, y up, the normal along the plan's x
UPRIGHT = Frame((100.0, 200.0, 300.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))


def stick(*line: Point3, frame: Frame | None = None, **more: Any) -> Part:
    return Part("S1", "timber", "P1", frame, ("a purlin",), line=line, wide_mm=70.0, deep_mm=45.0, **more)


def flat(*rings: Any, out_mm: float = 0.0) -> Part:
    return Part("F1", "sheet", "P1", UPRIGHT, ("a sheet", "square"), rings=rings, out_mm=out_mm, area_mm2=5.4e3)


def volume(points: list[Point3], triangles: list[tuple[int, int, int]]) -> float:
    """Sixths of the products of three corners: positive where triangles run counter-clockwise seen from outside."""
    return sum(dot3(points[a], cross3(points[b], points[c])) for a, b, c in triangles) / 6.0


def test_a_ring_that_runs_clockwise_is_a_hole_of_the_one_before_it() -> None:
    line = ((0.0, 0.0), (5.0, 5.0), (0.0, 0.0))  # of no area: no hole
    assert polygons_of(()) == []
    assert polygons_of((SQUARE, HOLE, FAR)) == [[SQUARE, HOLE], [FAR]]
    assert polygons_of((SQUARE, FAR, HOLE, HOLE)) == [[SQUARE], [FAR, HOLE, HOLE]]
    assert polygons_of((HOLE, SQUARE, line)) == [[HOLE], [SQUARE], [line]]


def test_stretches_of_a_stick_by_hand() -> None:
    """Along x the way across is -y, x cross z; a stretch of no length is left out; down along z it is -z cross x, which is -y,
    and up, across cross along, is -y cross -z, which is x."""
    a, b, c = (10.0, 20.0, 30.0), (60.0, 20.0, 30.0), (60.0, 20.0, 5.0)
    level = Stretch(a, b, (1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
    down = Stretch(b, c, (0.0, 0.0, -1.0), (0.0, -1.0, 0.0), (1.0, 0.0, 0.0))
    assert stretches_of(stick(a, b, b, c)) == [level, down]
    assert stretches_of(stick(a)) == []
    # up is the normal of the frame, where there is one: x here, so that a stick along y is x across ... z
    (framed,) = stretches_of(stick(a, (10.0, 25.0, 30.0), frame=UPRIGHT))
    assert framed == Stretch(a, (10.0, 25.0, 30.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0))


@pytest.mark.parametrize(("lean_deg", "over"), [(7.0, (1.0, 0.0, 0.0)), (9.0, (0.0, 0.0, 1.0))])
def test_a_stick_nearly_upright_takes_another_way_for_up(lean_deg: float, over: Point3) -> None:
    """The cosine of 8.11 degrees is 0.99. The stick leans to y, so the way across lies square to it and to what is up."""
    top = (0.0, 50.0 * sin(radians(lean_deg)), 50.0 * cos(radians(lean_deg)))
    (found,) = stretches_of(stick((0.0, 0.0, 0.0), top))
    assert found.along == pytest.approx((0.0, sin(radians(lean_deg)), cos(radians(lean_deg))))
    assert dot3(found.across, over) == pytest.approx(0.0)
    assert found.across == pytest.approx(
        (1.0, 0.0, 0.0) if over == (0.0, 0.0, 1.0) else (0.0, cos(radians(lean_deg)), -sin(radians(lean_deg)))
    )
    assert found.up == pytest.approx(cross3(found.across, found.along))
    (below,) = stretches_of(stick(top, (0.0, 0.0, 0.0)))
    assert dot3(below.across, over) == pytest.approx(0.0)


def test_a_stick_is_a_closed_box_a_stretch() -> None:
    """Half of 70 to either side and half of 45 up and down; along x from the right hand, then to the left, then up."""
    points, triangles = mesh_of(stick((0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.0, 300.0, 0.0)))
    assert points[:8] == [
        (0.0, -35.0, -22.5), (0.0, 35.0, -22.5), (0.0, 35.0, 22.5), (0.0, -35.0, 22.5),
        (100.0, -35.0, -22.5), (100.0, 35.0, -22.5), (100.0, 35.0, 22.5), (100.0, -35.0, 22.5),
    ]  # fmt: skip
    # the second runs up y, its way across is x
    assert points[8:10] == [(135.0, 0.0, -22.5), (65.0, 0.0, -22.5)]
    assert (len(points), len(triangles)) == (16, 24)
    for first, length in ((0, 100.0), (12, 300.0)):
        box = triangles[first : first + 12]
        edges = [edge for a, b, c in box for edge in ((a, b), (b, c), (c, a))]
        assert len(set(edges)) == 36
        assert {(b, a) for a, b in edges} == set(edges), "every edge is gone along once each way"
        assert volume(points, box) == pytest.approx(length * 70.0 * 45.0)
        assert {corner for each in box for corner in each} == set(range(8 * first // 12, 8 * first // 12 + 8))


def test_a_flat_part_lies_off_its_frame_and_has_its_holes_cut_out() -> None:
    points, triangles = mesh_of(flat(SQUARE, HOLE, FAR, out_mm=12.0))
    assert points == [(112.0, 200.0 + u, 300.0 + v) for ring in (SQUARE, HOLE, FAR) for u, v in ring]
    areas = [cross3(sub3(points[b], points[a]), sub3(points[c], points[a]))[0] / 2.0 for a, b, c in triangles]
    assert min(areas) > 0.0, "seen from outside, down the normal"
    # 90 x 60 less 30 x 20, and half of 30 x 20
    assert sum(areas) == pytest.approx(5400.0 - 600.0 + 300.0)
    assert sum(area for area, corners in zip(areas, triangles, strict=True) if min(corners) >= 8) == pytest.approx(
        300.0
    )
    assert mesh_of(Part("F1", "sheet", "P1", UPRIGHT, ())) == ([], []), "no rings, no line"
    # a stick in a frame, a purlin under its plane, is no flat part
    assert len(mesh_of(stick((0.0, 0.0, 0.0), (0.0, 50.0, 0.0), frame=UPRIGHT))[0]) == 8


def test_a_rectangle_lies_about_its_middle() -> None:
    assert rectangle(70.0, 45.0) == ((-35.0, -22.5), (35.0, -22.5), (35.0, 22.5), (-35.0, 22.5))


def chunks(data: bytes) -> tuple[tuple[bytes, int, int], list[tuple[int, bytes]]]:
    """A binary glTF by the layout of the published specification (2.0, section 4): head, and kind and bytes a chunk."""
    head = struct.unpack("<4sII", data[:12])
    found, at = [], 12
    while at < len(data):
        long, kind = struct.unpack("<II", data[at : at + 8])
        found.append((kind, data[at + 8 : at + 8 + long]))
        at += 8 + long
    assert at == len(data)
    return head, found


# colours by hand: regression figures, a choice for the eye
COLOURS = {
    "plane": "dedad0", "sheet": "b9c0c5", "clear sheet": "eaf3f6", "hole": "4a4a4a", "edge": "3c3c3c", "timber": "c8a870",
    "gutter": "66717a", "downpipe": "66717a", "wall": "ece6d8", "opening": "7d909d", "board": "e6dfcf",
    "wall sheet": "c2c8cc", "batten": "b59a68", "upright": "e4dece",
}  # fmt: skip


@pytest.fixture
def binary(sample: Takeoff, monkeypatch: pytest.MonkeyPatch) -> bytes:
    """A triangle of 30 x 20, a part without a shape and a stick of 100, the first roof at (1000, 2000, 300)."""
    triangle = replace(flat(FAR), mark="F_1", length_mm=1234.56789, area_mm2=1234567.89)
    nothing = Part("N1", "plane", "P1", None, ())
    parts = (triangle, nothing, stick((1100.0, 2200.0, 300.0), (1200.0, 2200.0, 300.0), names=("PU1",)))
    monkeypatch.setattr(house_glb, "house_parts", lambda _: parts)
    roofs = tuple(replace(sample.roofs[0], origin_mm=at) for at in ((1000.0, 2000.0, 300.0), (7.0, 7.0, 7.0)))
    return house_glb.house_glb(replace(sample, roofs=roofs))


def test_the_figures_of_the_binary_model_by_hand(binary: bytes) -> None:
    """The model is measured from the first roof's origin, y is up and z goes towards the reader: (x, y, z) of the plan is
    (x, z, -y). Component types, targets and words of the glTF 2.0 specification, section 3.6 (from memory): 5126 float,
    5125 unsigned, 34962 vertices, 34963 corners."""
    head, ((kind, text), (other, figures)) = chunks(binary)
    assert head == (b"glTF", 2, len(binary))
    assert (kind, other) == (0x4E4F534A, 0x004E4942)
    assert len(text) % 4 == len(figures) % 4 == 0
    model = json.loads(text)
    # the triangle: x 100 - 1000, z 300 + v - 300, -(200 + u - 2000)
    near = [(-0.9, 0.0, 1.6), (-0.9, 0.0, 1.57), (-0.9, 0.02, 1.57)]
    far = [
        (x, z, -y)
        for x in (0.1, 0.2)
        for y, z in ((0.165, -0.0225), (0.235, -0.0225), (0.235, 0.0225), (0.165, 0.0225))
    ]
    assert struct.unpack("<9f", figures[:36]) == pytest.approx([value for point in near for value in point])
    assert sorted(struct.unpack("<3I", figures[36:48])) == [0, 1, 2]
    assert struct.unpack("<24f", figures[48:144]) == pytest.approx([value for point in far for value in point])
    assert len(figures) == 144 + 4 * 36
    assert model["bufferViews"] == [
        {"buffer": 0, "byteOffset": 0, "byteLength": 36, "target": 34962},
        {"buffer": 0, "byteOffset": 36, "byteLength": 12, "target": 34963},
        {"buffer": 0, "byteOffset": 48, "byteLength": 96, "target": 34962},
        {"buffer": 0, "byteOffset": 144, "byteLength": 144, "target": 34963},
    ]
    about = [(one.pop("min", []), one.pop("max", [])) for one in model["accessors"]]
    assert model["accessors"] == [
        {"bufferView": 0, "componentType": 5126, "count": 3, "type": "VEC3"},
        {"bufferView": 1, "componentType": 5125, "count": 3, "type": "SCALAR"},
        {"bufferView": 2, "componentType": 5126, "count": 8, "type": "VEC3"},
        {"bufferView": 3, "componentType": 5125, "count": 36, "type": "SCALAR"},
    ]
    assert about[0] == (pytest.approx((-0.9, 0.0, 1.57)), pytest.approx((-0.9, 0.02, 1.6)))
    assert about[2] == (pytest.approx((0.1, -0.0225, -0.235)), pytest.approx((0.2, 0.0225, -0.165)))
    assert about[1::2] == [([], [])] * 2
    assert model["buffers"] == [{"byteLength": len(figures)}]


def test_the_nodes_of_the_binary_model_by_hand(binary: bytes) -> None:
    model = json.loads(chunks(binary)[1][0][1])
    assert model["asset"] == {"version": "2.0", "generator": f"takeoff {__version__}"}
    assert (model["scene"], model["scenes"]) == (0, [{"nodes": [0]}])
    assert model["meshes"] == [
        {"name": "F_1", "primitives": [{"attributes": {"POSITION": 0}, "indices": 1, "material": 1}]},
        {"name": "S1", "primitives": [{"attributes": {"POSITION": 2}, "indices": 3, "material": 5}]},
    ]
    root, *nodes = model["nodes"]
    assert root == {
        "name": "Orchard house <A> & shed", "translation": [1.0, 0.3, -2.0], "children": [1, 2],
        "extras": {"job_hash": "0" * 64, "revision": "revision B", "unit": "m", "up": "y"},
    }  # fmt: skip
    sheet = {
        "mark": "F_1",
        "kind": "sheet",
        "on": "P1",
        "length_m": 1.2346,
        "area_m2": 1.234568,
        "facts": ["a sheet", "square"],
    }
    purlin = {"mark": "S1", "kind": "timber", "on": "P1", "facts": ["a purlin"]}
    assert nodes == [{"name": "F_1", "mesh": 0, "extras": sheet}, {"name": "S1", "mesh": 1, "extras": purlin}]
    looks = [(one.pop("name"), one) for one in model["materials"]]
    assert [name for name, _ in looks] == list(COLOURS)
    for name, look in looks:
        shares = [(int(COLOURS[name][k : k + 2], 16) / 255.0) ** 2.2 for k in (0, 2, 4)]
        assert look == {
            "doubleSided": True,
            "pbrMetallicRoughness": {
                "baseColorFactor": [*(pytest.approx(share, abs=6e-5) for share in shares), 1.0],
                "metallicFactor": 0.0, "roughnessFactor": 0.9,
            },
        }  # fmt: skip


@pytest.mark.parametrize("more", ["", "x", "xx", "xxx"])
def test_the_words_of_a_model_are_filled_up_to_four_bytes(
    more: str, sample: Takeoff, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With blanks, as the specification asks of the chunk of JSON (section 4.4.3.2)."""
    monkeypatch.setattr(house_glb, "house_parts", lambda _: (flat(FAR),))
    ((_, text), _) = chunks(house_glb.house_glb(replace(sample, job_hash=more)))[1]
    assert len(text) % 4 == 0
    assert len(text) - len(text.rstrip(b" ")) < 4
    assert text.rstrip(b" ").endswith(b"}")


def test_figures_are_turned_for_the_file_where_a_machine_keeps_them_the_other_way_round() -> None:
    assert house_glb._swapped(array("I", [1, 0x01020304])) == b"\x00\x00\x00\x01\x01\x02\x03\x04"


def test_a_model_without_parts_is_one_node(sample: Takeoff, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(house_glb, "house_parts", lambda _: ())
    head, found = chunks(house_glb.house_glb(replace(sample, roofs=())))
    assert [kind for kind, _ in found] == [0x4E4F534A]
    model = json.loads(found[0][1])
    assert sorted(model) == ["asset", "nodes", "scene", "scenes"]
    (node,) = model["nodes"]
    assert (node["name"], node["translation"], "children" in node) == (
        "Orchard house <A> & shed",
        [0.0, 0.0, 0.0],
        False,
    )
    assert head[2] == 12 + 8 + len(found[0][1])
