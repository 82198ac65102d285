"""OBJ and OFF as they are typed and broken: polygons from any corner, parts, and one clear error for what is wrong.

Areas are worked out by hand (derived): an L of 12 + 6 = 18 m2 in plan that slopes by 1 in 2, and walls round it.
"""

from __future__ import annotations

import struct
from math import hypot
from pathlib import Path

import numpy as np
import pytest

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.read.job.settings import resolve_settings
from takeoff.read.mesh import read_mesh
from takeoff.shape.imported.roof_from_faces import roof_from_faces

ELL = [(0.0, 0.0), (6.0, 0.0), (6.0, 2.0), (2.0, 2.0), (2.0, 5.0), (0.0, 5.0)]


def ell(start: int, back: bool) -> str:
    """A sloping L as one polygon that starts at a corner, and its walls."""
    points = [(x, y, 2.5 + 0.5 * y) for x, y in ELL] + [(x, y, 0.0) for x, y in ELL]
    ring = [*range(start, 6), *range(start)]
    walls = [[i, (i + 1) % 6, (i + 1) % 6 + 6, i + 6] for i in range(6)]
    faces = [ring[::-1] if back else ring, *walls]
    return "".join(f"v {x} {y} {z}\n" for x, y, z in points) + "".join(
        "f " + " ".join(f"{i + 1}//1" for i in face) + "\n" for face in faces
    )


@pytest.mark.parametrize("start", range(6))
@pytest.mark.parametrize("back", [False, True])
def test_a_hollow_roof_is_read_from_whatever_corner_it_starts(tmp_path: Path, start: int, back: bool) -> None:
    path = tmp_path / "ell.obj"
    path.write_text(ell(start, back), encoding="utf-8")
    job = RoofJob.model_validate({"shape": {"file": "ell.obj", "unit": "m", "up": "z"}})
    (plane,) = roof_from_faces(read_mesh(path), job, 0.0, resolve_settings(Job(job="check"))).planes
    assert plane.area_mm2 == pytest.approx(18e6 * hypot(1.0, 0.5))


def test_objects_are_parts_and_groups_where_there_are_no_objects(tmp_path: Path) -> None:
    path = tmp_path / "two.obj"
    faces = "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\n{0} roof\nf 1 2 3\n{0} walls of it\nf -4 -3 -1\n"
    for key in ("o", "g"):
        path.write_text(faces.format(key), encoding="utf-8")
        raw = read_mesh(path)
        assert [raw.parts[part].name for part in raw.part_of] == ["roof", "walls of it"]
        assert raw.triangles.tolist() == [[0, 1, 2], [0, 1, 3]]


def test_a_line_that_goes_on_and_nothing_that_a_file_refers_to(tmp_path: Path) -> None:
    path = tmp_path / "one.obj"
    path.write_text("mtllib /dev/zero\nusemtl x\nv 0 0 0\nv 1 0 0 # here\nv 0 1 0\nf 1/1/1 \\\n2 3\n", encoding="utf-8")
    assert read_mesh(path).triangles.tolist() == [[0, 1, 2]]


TRIANGLE = "v 0 0 0\nv 1 0 0\nv 0 1 0\n"


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("h.obj", "v 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n", "h.obj:1: a point has three numbers, this has '0 0'"),
        ("h.obj", TRIANGLE + "f 0 1 2\n", "h.obj:4: a face names point 0; points are counted from 1"),
        ("h.obj", TRIANGLE + "f 1 2 9\n", "between points that do not exist"),
        ("h.obj", TRIANGLE + "f 1 2 -9\n", "names point -9"),
        ("h.obj", TRIANGLE + "f 1 2\n", "h.obj:4: a face has three corners or more, this has 2"),
        ("h.obj", TRIANGLE + "f 1 2 x\n", "h.obj:4: 'x' is no corner of a face"),
        ("h.obj", TRIANGLE + "f " + "1 2 3 " * 17_000 + "\n", "a face of 51000 corners is more than the 10000 read"),
        ("h.off", "OFF\n3000000 2000000 0\n0 0 0\n", "says it has 3000000 points and 2000000 faces, and has fewer lines"),
        ("h.off", "OFF\n3 1 0\n0 0 0\n1 0 0\n0 1 0\n4 0 1 2\n", "says it has 4 corners and has 3"),
        ("h.off", "OFF\n3 1 0\n0 0 0\n1 0 0\n0 1 0\n3 0 1 7\n", "between points that do not exist"),
        ("h.off", "OFF\n3 x\n", "the numbers of points and faces are missing"),
        ("h.ply", "ply\nformat ascii 1.0\nelement vertex 900000000\nelement face 1\nend_header\n", "more than there is in it"),
    ],
)  # fmt: skip
def test_what_is_broken_is_told_once_with_its_line(tmp_path: Path, name: str, content: str, words: str) -> None:
    path = tmp_path / name
    path.write_text(content, encoding="utf-8")
    with pytest.raises(UnreadableFileError, match=words) as caught:
        read_mesh(path)
    assert len(caught.value.faults) == 1


def test_what_is_over_the_bound_is_refused_before_it_is_loaded(tmp_path: Path) -> None:
    path = tmp_path / "h.stl"
    path.write_bytes(b"\0" * 80 + struct.pack("<I", 400_001) + bytes(50 * 400_001))
    with pytest.raises(UnreadableFileError, match="400001 triangles are more than the 400000 read"):
        read_mesh(path)


def test_a_zero_byte_in_a_name_is_one_clear_error() -> None:
    with pytest.raises(UnreadableFileError, match="is no name a file can have"):
        read_mesh(Path("house\0.obj"))


def test_a_face_that_crosses_itself_is_left_out_and_told(tmp_path: Path) -> None:
    path = tmp_path / "h.obj"
    path.write_text("v 0 0 0\nv 4 4 0\nv 4 0 0\nv 0 3 0\nf 1 2 3 4\nf 1 2 3\n", encoding="utf-8")
    raw = read_mesh(path)
    assert raw.triangles.tolist() == [[0, 1, 2]]
    assert raw.findings[0].text == "h.obj: 1 face crosses itself and was left out"
    assert np.unique(raw.polygon_of).tolist() == [1]
