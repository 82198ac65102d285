"""Mesh files: unit and up axis stated or found, and files that cannot be used.

Expected sizes are those the small files below were written with.
"""

from __future__ import annotations

import struct
import subprocess
import sys
from pathlib import Path

import pytest

from takeoff.basics.errors import ShapeError, UndecidedError, UnreadableFileError
from takeoff.model.findings import Severity
from takeoff.model.job.roofs import ShapeJob
from takeoff.read.mesh import read_mesh
from takeoff.shape.imported.deciding.settle import Settled, settle

# a hip house 12 x 8 m, eaves at 2.4 m, ridge at 5.4 m, with its four walls; metres, z up
POINTS = [(x, y, z) for z in (0.0, 2.4) for x, y in ((0, 0), (12, 0), (12, 8), (0, 8))] + [(4, 4, 5.4), (8, 4, 5.4)]
FACES = [(0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7), (4, 5, 9, 8), (5, 6, 9), (6, 7, 8, 9), (7, 4, 8)]


def _obj(
    path: Path, factor: float = 1.0, order: tuple[int, int, int] = (0, 1, 2), signs: tuple[int, int, int] = (1, 1, 1)
) -> Path:
    lines = []
    for point in POINTS:
        moved = [factor * signs[k] * point[order[k]] for k in range(3)]
        lines.append("v " + " ".join(f"{value:.6f}" for value in moved))
    lines += ["f " + " ".join(str(i + 1) for i in face) for face in FACES]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def _settled(path: Path, job: ShapeJob) -> Settled:
    return settle(read_mesh(path), job)


def _size(path: Path, job: ShapeJob) -> tuple[float, float, float]:
    points = _settled(path, job).points_mm.tolist()
    spans = [max(p[k] for p in points) - min(p[k] for p in points) for k in range(3)]
    return (round(spans[0], 3), round(spans[1], 3), round(spans[2], 3))


@pytest.mark.parametrize(
    ("unit", "factor"), [("mm", 1000.0), ("cm", 100.0), ("m", 1.0), ("in", 1 / 0.0254), ("ft", 1 / 0.3048)]
)
def test_a_stated_unit_is_taken(tmp_path: Path, unit: str, factor: float) -> None:
    path = _obj(tmp_path / "house.obj", factor)
    assert _size(path, ShapeJob.model_validate({"file": "x", "unit": unit, "up": "z"})) == pytest.approx(
        (12000.0, 8000.0, 5400.0), abs=0.1
    )
    assert _settled(path, ShapeJob.model_validate({"file": "x", "unit": unit, "up": "z"})).findings == ()


@pytest.mark.parametrize(("unit", "factor"), [("mm", 1000.0), ("m", 1.0), ("in", 1 / 0.0254)])
def test_a_missing_unit_is_found_where_no_other_makes_a_house(tmp_path: Path, unit: str, factor: float) -> None:
    raw = _settled(_obj(tmp_path / "house.obj", factor), ShapeJob(file="x", up="z"))
    (finding,) = raw.findings
    assert f"{unit} was taken" in finding.text
    assert "12.00 x 8.00 m and 5.40 m high" in finding.text
    assert finding.advice == f"say so in the job: `shape: {{file: x, up: z, unit: {unit}}}`"


@pytest.mark.parametrize(
    ("factor", "lines"),
    [
        (100.0, ["unit: cm}` makes it 12.00 x 8.00 m", "unit: in}` makes it 30.48 x 20.32 m"]),
        (1 / 0.3048, ["unit: m}` makes it 39.37 x 26.25 m", "unit: ft}` makes it 12.00 x 8.00 m"]),
        (1e-6, [f"unit: {unit}}}` makes it" for unit in ("mm", "cm", "m", "in", "ft")]),
    ],
)
def test_a_size_that_fits_several_units_is_asked_for(tmp_path: Path, factor: float, lines: list[str]) -> None:
    """A house drawn in centimetres is as large as another drawn in inches. The order stops, exit 6."""
    with pytest.raises(UndecidedError) as caught:
        _settled(_obj(tmp_path / "house.obj", factor), ShapeJob(file="x", up="z"))
    assert caught.value.exit_code == 6
    first, *asked = caught.value.faults
    assert "its unit is not said" in first
    assert [
        line for line, fault in zip(lines, asked, strict=True) if fault.startswith(f"`shape: {{file: x, up: z, {line}")
    ] == lines


@pytest.mark.parametrize(
    ("up", "order", "signs"),
    [
        ("z", (0, 1, 2), (1, 1, 1)),
        ("-z", (0, 1, 2), (1, -1, -1)),
        ("y", (0, 2, 1), (1, 1, -1)),
        ("-y", (0, 2, 1), (1, -1, 1)),
        ("x", (2, 0, 1), (1, 1, 1)),
        ("-x", (2, 0, 1), (-1, 1, -1)),
    ],
)
def test_up_is_found_or_taken_as_stated(
    tmp_path: Path, up: str, order: tuple[int, int, int], signs: tuple[int, int, int]
) -> None:
    path = _obj(tmp_path / "house.obj", 1.0, order, signs)
    found = _settled(path, ShapeJob(file="x", unit="m"))
    assert f"{up} was taken" in found.findings[0].text
    stated = _settled(path, ShapeJob.model_validate({"file": "x", "unit": "m", "up": up}))
    assert stated.findings == ()
    assert (
        f"`shape: {{file: x, unit: m, up: {up if up[0] != '-' else chr(34) + up + chr(34)}}}`"
        in found.findings[0].advice
    )
    for raw in (found, stated):
        ridge = [p for p in raw.points_mm.tolist() if p[2] > max(q[2] for q in raw.points_mm.tolist()) - 1.0]
        assert len({(round(p[0]), round(p[1])) for p in ridge}) == 2


def test_turning_does_not_mirror(tmp_path: Path) -> None:
    """The eave from (0, 0) to (12, 0) has the house on its left whatever the file's axes."""
    path = _obj(tmp_path / "house.obj", 1.0, (0, 2, 1), (1, 1, -1))
    points = _settled(path, ShapeJob(file="x", unit="m", up="y")).points_mm.tolist()
    assert [0.0, 0.0, 0.0] in points
    assert max(y for _, y, _ in points) == pytest.approx(8000.0)


def test_scene_transforms_are_applied(tmp_path: Path) -> None:
    import numpy as np
    import trimesh

    house = trimesh.load_mesh(str(_obj(tmp_path / "house.obj")))
    house.apply_transform([[1, 0, 0, 0], [0, 0, 1, 0], [0, -1, 0, 0], [0, 0, 0, 1]])
    scene = trimesh.Scene()
    double = np.diag([2.0, 2.0, 2.0, 1.0])
    scene.add_geometry(house, transform=double)
    path = tmp_path / "house.glb"
    path.write_bytes(scene.export(file_type="glb"))
    assert _size(path, ShapeJob(file="x")) == pytest.approx((24000.0, 16000.0, 10800.0), abs=1.0)


# where a library that guesses the letters of a text is installed, the reader takes any bytes for text without faces
NO_STL = "house.stl: (cannot be read as a mesh, it is no STL|holds no faces)"


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("house.obj", b"", "holds no faces"),
        ("house.obj", b"v 0 0 0\nv 1 0 0\nv 0 1 0\n", "holds no faces"),
        ("house.stl", b"solid nothing\nendsolid nothing\n", "house.stl"),
        ("house.stl", b"\0" * 80 + struct.pack("<I", 4_000_000), "house.stl"),
        ("house.ply", b"ply\nformat ascii 1.0\n", "house.ply"),
        ("house.glb", b"glTF but not really", "house.glb"),
        ("house.off", b"OFF\n1 9 0\n", "house.off"),
        ("house.obj", b"v 0 0 0\nv nan 0 0\nv 0 1 0\nf 1 2 3\n", "not numbers"),
        ("house.stl", bytes(range(7, 256)) * 2, NO_STL),
        ("house.stl", b"junk \xe4 junk\n", NO_STL),
        ("house.off", b"\xe4 junk\n", "house.off: cannot be read as a mesh, it is no OFF"),
        ("house.dae", b"<x/>", "save it as one of OBJ, STL, PLY"),
    ],
)
def test_files_that_are_no_mesh(tmp_path: Path, name: str, content: bytes, words: str) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(UnreadableFileError, match=words) as caught:
        read_mesh(path)
    assert "No module" not in str(caught.value)


@pytest.mark.parametrize("encoding", ["utf-8", "latin-1"])
def test_letters_of_any_encoding_in_text_files(tmp_path: Path, encoding: str) -> None:
    """OBJ and text STL say nothing of their encoding; comments and names may hold any letter."""
    plain = _obj(tmp_path / "plain.obj").read_text(encoding="utf-8")
    path = tmp_path / "house.obj"
    path.write_bytes("# W\u00e4nde\no W\u00e4nde\n".encode(encoding) + plain.encode())
    assert _size(path, ShapeJob(file="x", unit="m", up="z")) == pytest.approx((12000.0, 8000.0, 5400.0))
    corners = [(0, 0, 0), (12, 0, 0), (0, 8, 3)]
    loop = "".join(f"vertex {x} {y} {z}\n" for x, y, z in corners)
    text = f"solid W\u00e4nde\nfacet normal 0 0 1\nouter loop\n{loop}endloop\nendfacet\nendsolid W\u00e4nde\n"
    path = tmp_path / "house.stl"
    path.write_bytes(text.encode(encoding))
    assert _size(path, ShapeJob(file="x", unit="m", up="z")) == pytest.approx((12000.0, 8000.0, 3000.0))


def test_a_missing_file(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFileError, match="check its name"):
        read_mesh(tmp_path / "none.obj")


def test_neither_scipy_nor_networkx_is_needed(tmp_path: Path) -> None:
    """Read and take off a model with both blocked, in a process of its own."""
    path = _obj(tmp_path / "house.obj")
    code = (
        "import sys; sys.modules['scipy'] = None; sys.modules['networkx'] = None\n"
        "from pathlib import Path\n"
        "from takeoff.model.job.job import Job\n"
        "from takeoff.model.job.roofs import ShapeJob, RoofJob\n"
        "from takeoff.read.mesh import read_mesh\n"
        "from takeoff.read.job.settings import resolve_settings\n"
        "from takeoff.shape.imported.roof_from_faces import roof_from_faces\n"
        f"mesh = ShapeJob(file='x', unit='m', up='z')\n"
        f"raw = read_mesh(Path({str(path)!r}))\n"
        "roof = roof_from_faces(raw, RoofJob(mesh=mesh), 0.0, resolve_settings(Job(job='check')))\n"
        "print(len(roof.planes), round(sum(p.area_mm2 for p in roof.planes) / 1e6, 3))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.stderr == ""
    assert done.stdout == "4 120.0\n"


@pytest.mark.parametrize(
    ("unit", "factor", "words"),
    [
        ("in", 1.0, "305 mm across, .*drawn in metres.*unit: m makes it 12.00 m"),
        ("cm", 1.0, "120 mm across, .*drawn in metres.*unit: m makes it 12.00 m"),
        ("mm", 1.0, "12 mm across, .*drawn in metres.*unit: m makes it 12.00 m"),
        ("m", 1000.0, "12 km across, .*unit: mm makes it 12.00 m"),
        ("ft", 1000.0, "3.66 km across, .*unit: mm makes it 12.00 m"),
    ],
)
def test_a_unit_that_makes_no_house_is_refused(tmp_path: Path, unit: str, factor: float, words: str) -> None:
    path = _obj(tmp_path / "house.obj", factor)
    with pytest.raises(ShapeError, match=words):
        _settled(path, ShapeJob.model_validate({"file": "x", "unit": unit, "up": "z"}))


GABLE_HOUSE = Path(__file__).resolve().parents[2] / "geometry_samples" / "mesh_house" / "house.obj"


@pytest.mark.parametrize("up", ["x", "y", "-z", "-x", "-y"])
def test_a_stated_up_axis_is_warned_about_and_taken(tmp_path: Path, up: str) -> None:
    """Both houses stand with z up: walls below, roof above."""
    for path in (GABLE_HOUSE, _obj(tmp_path / "house.obj")):
        (finding,) = _settled(path, ShapeJob.model_validate({"file": "x", "unit": "m", "up": up})).findings
        assert finding.severity is Severity.WARN
        assert f"up: {up} is stated, but the faces look built with z up" in finding.text
        assert finding.advice == "is it right? If not, say `shape: {file: x, unit: m, up: z}`"


def test_a_closed_gable_house_is_found_upright() -> None:
    """Its gable ends are level faces when it lies on its side; they are no roof."""
    (finding,) = _settled(GABLE_HOUSE, ShapeJob(file="x", unit="m")).findings
    assert "z was taken" in finding.text
    assert _settled(GABLE_HOUSE, ShapeJob(file="x", unit="m", up="z")).findings == ()


def _bare(path: Path, faces: str, points: list[tuple[float, float, float]]) -> Path:
    path.write_text("".join(f"v {x} {y} {z}\n" for x, y, z in points) + faces, encoding="utf-8")
    return path


@pytest.mark.parametrize("up", ["z", "y"])
def test_a_hip_roof_without_walls_is_found_upright(tmp_path: Path, up: str) -> None:
    """On its side its front would hide its back, upside down its edge would be its highest line."""
    points = [(x, y, z) if up == "z" else (x, z, -y) for x, y, z in POINTS]
    path = _bare(tmp_path / "roof.obj", "f 5 6 10 9\nf 6 7 10\nf 7 8 9 10\nf 8 5 9\n", points)
    (found,) = _settled(path, ShapeJob(file="x", unit="m")).findings
    assert f"{up} was taken" in found.text
    assert _settled(path, ShapeJob.model_validate({"file": "x", "unit": "m", "up": up})).findings == ()


@pytest.mark.parametrize(
    ("points", "faces"),
    [
        ([(0, 0, 0), (9, 0, 0), (9, 5, 3), (0, 5, 3)], "f 1 2 3 4\n"),  # one plane: 31 degrees, or 59 on its side
        ([(0, 0, 2), (9, 0, 2), (9, 3, 0), (0, 3, 0), (9, 6, 2), (0, 6, 2)], "f 1 2 3 4\nf 4 3 5 6\n"),  # a butterfly
        ([(0, 0, 3), (9, 0, 3), (9, 5, 3), (0, 5, 3)], "f 1 2 3 4\n"),  # level
    ],
)
def test_a_roof_that_may_lie_any_way_is_asked_for(
    tmp_path: Path, points: list[tuple[float, float, float]], faces: str
) -> None:
    """The order stops, exit 6, with the size that each choice makes; a stated axis is taken without a word."""
    path = _bare(tmp_path / "roof.obj", faces, points)
    with pytest.raises(UndecidedError) as caught:
        _settled(path, ShapeJob(file="x", unit="m"))
    assert caught.value.exit_code == 6
    first, z, y, x = caught.value.faults
    assert "which axis points up is not said" in first
    sizes = [max(p[k] for p in points) - min(p[k] for p in points) for k in range(3)]
    assert (
        z
        == f"`shape: {{file: x, unit: m, up: z}}` makes it {sizes[0]} x {sizes[1]} in plan and {sizes[2]} high, in the file's unit"
    )
    assert (
        y
        == f"`shape: {{file: x, unit: m, up: y}}` makes it {sizes[0]} x {sizes[2]} in plan and {sizes[1]} high, in the file's unit"
    )
    assert x.startswith("`shape: {file: x, unit: m, up: x}` makes it")
    assert _settled(path, ShapeJob(file="x", unit="m", up="z")).findings == ()


def test_a_house_turned_in_plan_is_found_upright(tmp_path: Path) -> None:
    points = [(0.8 * x - 0.6 * y, 0.6 * x + 0.8 * y, z) for x, y, z in POINTS]
    faces = "".join("f " + " ".join(str(i + 1) for i in face) + "\n" for face in FACES)
    (found,) = _settled(_bare(tmp_path / "house.obj", faces, points), ShapeJob(file="x", unit="m")).findings
    assert "z was taken" in found.text
