"""Packages and binary models, typed by hand: what is read of them, what sizes they may claim, and each refusal whole.

3MF by its core specification 1.3; glTF by its specification 2.0; STL and PLY as they are commonly written.
"""

from __future__ import annotations

import base64
import json
import struct
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import pytest
from models_by_hand import SQUARE, refusal, written

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.faces import RawPart
from takeoff.read import files_beside, gltf_guard, mesh, three_mf
from takeoff.read.mesh import read_mesh
from takeoff.read.part_choice import undecided
from takeoff.read.three_mf import read_three_mf

# ------------------------------------------------------------ sizes that a file claims


def stl(count: int, held: int) -> bytes:
    facet = struct.pack("<12fH", 0, 0, 1, 0, 0, 0, 2, 0, 0, 2, 3, 0, 0)
    return b"\0" * 80 + struct.pack("<I", count) + facet * held


def text_stl(count: int) -> str:
    facet = "facet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 2 0 0\nvertex 2 3 0\nendloop\nendfacet\n"
    return "solid h\n" + facet * count + "endsolid h\n"


PLY = "ply\nformat ascii 1.0\nelement vertex {0}\nproperty float x\nproperty float y\nproperty float z\nelement  face {1}\nproperty list uchar int vertex_indices\nend_header\n{2}"
PLY_POINTS = "0 0 0\n2 0 0\n2 3 0\n"


def test_as_many_triangles_as_are_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mesh, "MOST_TRIANGLES", 2)
    most: list[tuple[str, str | bytes, str | bytes]] = [
        ("h.stl", stl(2, 2), stl(3, 3)),
        ("h.stl", text_stl(2), text_stl(3)),
        ("h.ply", PLY.format(3, 2, PLY_POINTS + "3 0 1 2\n" * 2), PLY.format(3, 3, PLY_POINTS + "3 0 1 2\n" * 3)),
    ]
    for name, held, over in most:
        assert len(read_mesh(written(tmp_path, name, held)).triangles) == 2
        assert (
            refusal(written(tmp_path, name, over))
            == f"{name}: 3 triangles are more than the 2 read; save the roof alone"
        )


def test_a_file_that_says_it_holds_more_than_its_bytes(tmp_path: Path) -> None:
    """Every point and every face takes a byte at least; the head stands in front of them."""
    tail = len(PLY.format(10, 100, ""))
    path = written(tmp_path, "h.ply", PLY.format(tail - 100, 101, ""))
    assert len(path.read_bytes()) == tail
    assert refusal(path) == "h.ply: says it holds more than there is in it; save it again"
    path = written(tmp_path, "h.ply", PLY.format(tail - 100, 100, ""))
    assert refusal(path) == "h.ply: holds no faces; save the roof as a mesh of faces"


def test_letters_of_a_stl_by_its_size(tmp_path: Path) -> None:
    """A binary file may begin with the word solid: 84 bytes and 50 a triangle tell it."""
    named = b"solid \xe4" + stl(1, 1)[7:]
    raw = read_mesh(written(tmp_path, "h.stl", named))
    assert raw.points.tolist() == [[0, 0, 0], [2, 0, 0], [2, 3, 0]]
    text = text_stl(1).replace("solid h", "solid h\u00e4").encode("latin-1")
    assert len(read_mesh(written(tmp_path, "h.stl", text)).triangles) == 1
    assert mesh._as_utf8(Path("h.stl"), b" \nSOLID \xe4") == " \nSOLID \u00e4".encode()
    for content in (b"solid \xe4" + bytes(73) + struct.pack("<I", 0), b"x" * 83, b"plain \xe4"):
        assert mesh._as_utf8(Path("h.stl"), content) == content
    assert mesh._as_utf8(Path("h.ply"), b"\xe4") == b"\xe4"
    assert mesh._as_utf8(Path("h.off"), b"\xe4") == "\u00e4".encode()


def gltf(counts: list[object], nodes: int = 0, more: dict[str, object] | None = None) -> dict[str, object]:
    tree: dict[str, object] = {"asset": {"version": "2.0"}, "accessors": [{"count": count} for count in counts]}
    return {**tree, "nodes": [{}] * nodes, **(more or {})}


def test_sizes_that_a_gltf_states(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(gltf_guard, "MOST_FIGURES", 1000)
    monkeypatch.setattr(gltf_guard, "MOST_NODES", 4)
    path = Path("h.glb")
    sound: list[object] = [
        gltf([600, 400, -5, "many", None, 0.5]), gltf([], 4), {"nodes": 7, "accessors": 7}, [1], {"accessors": [7, {"count": 1000}]},
    ]  # fmt: skip
    for tree in sound:
        gltf_guard.check_gltf(path, json.dumps(tree).encode())
    for tree, says in (
        (gltf([600, 401, -50]), "h.glb: states 1,001 figures, more than the 1,000 read; save the roof alone"),
        (gltf([1001, True]), "h.glb: states 1,002 figures, more than the 1,000 read; save the roof alone"),
        (gltf([], 5), "h.glb: 5 nodes, more than the 4 read"),
    ):
        plain = json.dumps(tree).encode()
        # GLB: magic, version, length, length of the first chunk, its kind; then a second chunk
        packed = (
            struct.pack("<4sIIII", b"glTF", 2, 28 + len(plain), len(plain), 0x4E4F534A)
            + plain
            + b"\4\0\0\0BIN\0\1\2\3\4"
        )
        for data in (plain, packed):
            with pytest.raises(UnreadableFileError) as caught:
                gltf_guard.check_gltf(path, data)
            assert caught.value.faults == (says,)
    for broken in (b"glTF", b"{", b"glTF" + bytes(15), b"[" * 100_000):
        gltf_guard.check_gltf(path, broken)


def test_a_scene_is_in_metres_with_y_up(tmp_path: Path) -> None:
    """glTF 2.0, 3.4: metres, +y up. A part placed twice counts twice against what is read."""
    data = struct.pack("<9f", 0, 0, 0, 2, 0, 0, 2, 3, 0)
    tree = {
        "asset": {"version": "2.0"}, "scene": 0, "scenes": [{"nodes": [0, 1]}],
        "nodes": [{"mesh": 0}, {"mesh": 0, "translation": [0, 0, 7]}],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}}]}],
        "accessors": [{"bufferView": 0, "componentType": 5126, "count": 3, "type": "VEC3", "max": [2, 3, 0], "min": [0, 0, 0]}],
        "bufferViews": [{"buffer": 0, "byteOffset": 0, "byteLength": len(data)}],
        "buffers": [{"byteLength": len(data), "uri": "data:application/octet-stream;base64," + base64.b64encode(data).decode()}],
    }  # fmt: skip
    path = written(tmp_path, "h.gltf", json.dumps(tree))
    raw = read_mesh(path)
    assert sorted(raw.points[:, 2].tolist()) == [0, 0, 0, 7, 7, 7]
    assert (len(raw.triangles), raw.stated_unit_mm, raw.stated_up, raw.came_from) == (2, 1000.0, "y", "h.gltf")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(mesh, "MOST_TRIANGLES", 1)
        assert refusal(path) == "h.gltf: 2 triangles are more than the 1 read; save the roof alone"
    tree["buffers"] = [{"byteLength": len(data), "uri": "part.bin"}]
    written(tmp_path, "part.bin", data)
    assert len(read_mesh(written(tmp_path, "h.gltf", json.dumps(tree))).points) == 6


def test_a_file_beside_a_model_and_nowhere_else(tmp_path: Path) -> None:
    written(tmp_path, "a b.bin", b"12345")
    held = files_beside.Beside(tmp_path, 12)
    assert (held["a%20b.bin"], held[" a b.bin "], list(held), len(held)) == (b"12345", b"12345", [], 0)
    with pytest.raises(UnreadableFileError):
        held["a b.bin"]  # 2 bytes are left
    for name in ("", "../a", "sub/a", "a:b", "a\\b", "%2Fetc", "a/"):
        with pytest.raises(ValueError, match="is no file beside the model") as caught:
            files_beside.Beside(tmp_path, 12)[name]
        assert type(caught.value) is ValueError
    with pytest.raises(ValueError, match=f"'{'x:' * 30}' is no file beside the model"):
        held["x:" * 31]


# ------------------------------------------------------------ 3MF

LINKS = '<Relationships><Relationship Target="/3D/{0}" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
VERTICES = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in SQUARE)
ONE = (
    '<object id="{0}" name="{1}"><mesh><vertices>' + VERTICES + "</vertices><triangles>{2}</triangles></mesh></object>"
)
TRIANGLE = '<triangle v1="0" v2="2" v3="3"/>'


def three(objects: str, build: str, unit: str = ' unit="meter"') -> str:
    return f"<model{unit}><resources>{objects}</resources><build>{build}</build></model>"


def package(folder: Path, model: str, *, at: str = "3D/3dmodel.model", links: str | None = None) -> Path:
    held = BytesIO()
    with ZipFile(held, "w") as archive:
        if links is not None:
            archive.writestr("_rels/.rels", links)
        archive.writestr(at, model)
    return written(folder, "h.3mf", held.getvalue())


def test_objects_are_placed_one_after_another_and_within_each_other(tmp_path: Path) -> None:
    """Object 2 is object 1 moved by (10, 0, 0), and placed doubled and raised by 5: first its own placing, then the outer
    one. Parts are numbered as they are met; an object of no triangles is counted and gives none."""
    objects = (
        ONE.format(1, "roof " * 30, TRIANGLE)
        + '<object id="2"><components><component objectid="1" transform="1 0 0 0 1 0 0 0 1 10 0 0"/><component objectid="3"/></components></object>'
        + ONE.format(3, "porch", '<triangle v1="0" v2="1" v3="2"/><triangle v1="1" v2="2" v3="3"/>')
    )
    build = '<item objectid="2" transform="2 0 0 0 2 0 0 0 2 0 0 5"/><item objectid="1"/>'
    raw = read_three_mf(package(tmp_path, three(objects, build)))
    assert raw.parts == (RawPart("2", ("roof " * 30)[:120]), RawPart("3", "porch"), RawPart("4", ("roof " * 30)[:120]))
    doubled = [[20.0, 0, 5], [24, 0, 5], [24, 6, 5], [20, 6, 5]]
    inner = [[0.0, 0, 5], [4, 0, 5], [4, 6, 5], [0, 6, 5]]
    assert raw.points.tolist() == [*doubled, *inner, *map(list, SQUARE)]
    assert raw.triangles.tolist() == [[0, 2, 3], [4, 5, 6], [5, 6, 7], [8, 10, 11]]
    assert (raw.part_of.tolist(), raw.polygon_of.tolist()) == ([0, 1, 1, 2], [0, 1, 2, 3])
    assert (raw.stated_unit_mm, raw.stated_up, raw.came_from) == (1000.0, None, "h.3mf")


@pytest.mark.parametrize(
    ("unit", "mm"),
    [("", 1.0), (' unit="micron"', 0.001), (' unit="millimeter"', 1.0), (' unit="centimeter"', 10.0),
     (' unit="inch"', 25.4), (' unit="foot"', 304.8), (' unit="meter"', 1000.0)],
)  # fmt: skip
def test_units_of_a_package(tmp_path: Path, unit: str, mm: float) -> None:
    """3MF core specification 1.3, 3.4: the enumeration of units; millimeter where none is stated."""
    raw = read_three_mf(package(tmp_path, three(ONE.format(1, "", TRIANGLE), '<item objectid="1"/>', unit)))
    assert raw.stated_unit_mm == mm


def test_where_the_model_lies_in_a_package(tmp_path: Path) -> None:
    """By its links, whatever letters are large; where they name none, or nothing that is there, where it always lies."""
    model = three(ONE.format(1, "", TRIANGLE), '<item objectid="1"/>')
    named = LINKS.format("House.model")
    other = '<Relationships><Relationship Target="/x" Type="thumbnail"/></Relationships>'
    twice = '<r:Relationships xmlns:r="r">' + "".join(
        f'<r:Relationship Target="/3D/{name}.model" Type="a/3dmodel"/>' for name in ("house", "none")
    )
    for at, links in (
        ("3D/house.MODEL", named), ("3d/3DMODEL.model", None), ("3D/3dmodel.model", other), ("3D/3dmodel.model", named),
        ("3D/house.model", twice + "</r:Relationships>"),
    ):  # fmt: skip
        assert len(read_three_mf(package(tmp_path, model, at=at, links=links)).triangles) == 1


AGAIN = "; save it again"


@pytest.mark.parametrize(
    ("model", "why"),
    [
        (three(ONE.format(1, "", TRIANGLE), '<item objectid="1"/>', f' unit="{"mile" * 6}"'), f"it states no known unit ({'mile' * 5})"),
        (three("", '<item objectid="7"/>'), "'7'"),
        (three("", "<item/>"), "'objectid'"),
        (three("<object/>", ""), "'id'"),
        (three(ONE.format(1, "", '<triangle v1="0" v2="1"/>'), ""), "'v3'"),
        (three(ONE.format(1, "", '<triangle v1="0" v2="1" v3="4"/>'), '<item objectid="1"/>'), "a triangle has corners that do not exist"),
        (three(ONE.format(1, "", '<triangle v1="0" v2="1" v3="-1"/>'), '<item objectid="1"/>'), "a triangle has corners that do not exist"),
        (three('<object id="1"><vertex x="0" y="0" z="1.1e12"/></object>', ""), "a vertex is no point"),
        (three('<object id="1"><vertex x="0" y="0" z="-1.1e12"/></object>', ""), "a vertex is no point"),
        (three('<object id="1"><vertex x="nan" y="0" z="0"/></object>', ""), "a vertex is no point"),
        (three('<object id="1"><vertex x="0" y="0"/></object>', ""), "'z'"),
        (three(ONE.format(1, "", TRIANGLE), '<item objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0"/>'), "a transform is not twelve figures"),
        (three(ONE.format(1, "", TRIANGLE), '<item objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0 0 0"/>'), "a transform is not twelve figures"),
        (three(ONE.format(1, "", TRIANGLE), '<item objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0 inf"/>'), "a transform is not twelve figures"),
        (three('<object id="1"><component objectid="1"/></object>', '<item objectid="1"/>'), "its objects are made of each other without end"),
        ("<!DOCTYPE model>" + three("", ""), "it declares a document type, which no 3MF has"),
    ],
)  # fmt: skip
def test_what_is_wrong_in_a_package(tmp_path: Path, model: str, why: str) -> None:
    assert refusal(package(tmp_path, model)) == f"h.3mf: cannot be read as 3MF ({why}){AGAIN}"


def test_a_package_of_no_faces_and_what_is_no_package(tmp_path: Path) -> None:
    none = "h.3mf: holds no faces; save the roof as a mesh of faces"
    assert refusal(package(tmp_path, three(ONE.format(1, "", ""), '<item objectid="1"/>'))) == none
    assert (
        refusal(package(tmp_path, three("", ""), at="elsewhere"))
        == f"h.3mf: cannot be read as 3MF ('3d/3dmodel.model'){AGAIN}"
    )
    assert refusal(written(tmp_path, "h.3mf", b"PK")) == f"h.3mf: cannot be read as 3MF (File is not a zip file){AGAIN}"


def nested(depth: int) -> str:
    """Object 0 is a mesh, every further one is made of the one before; the last is built."""
    objects = [ONE.format(0, "", TRIANGLE)]
    objects += [f'<object id="{n}"><component objectid="{n - 1}"/></object>' for n in range(1, depth)]
    return three("".join(objects), f'<item objectid="{depth - 1}"/>')


def test_as_deep_and_as_many_as_are_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    endless = f"h.3mf: cannot be read as 3MF (its objects are made of each other without end){AGAIN}"
    assert len(read_three_mf(package(tmp_path, nested(20))).triangles) == 1
    assert refusal(package(tmp_path, nested(21))) == endless
    monkeypatch.setattr(three_mf, "MOST_TRIANGLES", 2)
    twice = ONE.format(1, "", TRIANGLE * 2)
    assert len(read_three_mf(package(tmp_path, three(twice, '<item objectid="1"/>' * 2))).triangles) == 4
    assert refusal(package(tmp_path, three(twice, '<item objectid="1"/>' * 3))) == endless
    many = f"h.3mf: cannot be read as 3MF (it has more than the 2 triangles that are read){AGAIN}"
    assert refusal(package(tmp_path, three(ONE.format(1, "", TRIANGLE * 3), ""))) == many
    whole = three(ONE.format(1, "", TRIANGLE), '<item objectid="1"/>')
    monkeypatch.setattr(three_mf, "MOST_UNPACKED", len(whole))
    assert len(read_three_mf(package(tmp_path, whole)).triangles) == 1
    monkeypatch.setattr(three_mf, "MOST_UNPACKED", len(whole) - 1)
    over = f"h.3mf: cannot be read as 3MF (it unpacks to more than {len(whole) - 1:,} bytes){AGAIN}"
    assert refusal(package(tmp_path, whole)) == over


# ------------------------------------------------------------ which reader, which part


def test_a_file_of_no_kind_that_is_read() -> None:
    known = "OBJ, STL, PLY, GLB, GLTF, OFF, 3MF, IFC, CITY.JSON, JSON, JSONL"
    assert refusal(Path("h.dwg")) == f"h.dwg: files of this kind are not read as a shape; save it as one of {known}"


@pytest.mark.parametrize(("count", "more"), [(12, ()), (13, ("h: and 1 more; takeoff look lists them all",))])
def test_twelve_parts_are_listed(count: int, more: tuple[str, ...]) -> None:
    ways = [(f"p{n}", "" if n % 2 else f"house {n}") for n in range(count)]
    first = f"h: holds {count} parts, each a roof of its own; say in the job's shape which is meant"
    lines = [f"h: {f'house {n}: ' if n % 2 == 0 else ''}`part: p{n}`" for n in range(12)]
    assert undecided("h", "parts", ways).faults == (first, *lines, *more)
    assert undecided("h", "parts", [("7 b", ""), ("B.$-_1", "")]).faults[1:] == (
        'h: `part: "7 b"`',
        "h: `part: B.$-_1`",
    )
