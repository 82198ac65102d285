"""OBJ and OFF as text and the polygons they hold, typed by hand: what is read of them, and each refusal whole, at its limit
and beyond."""

from __future__ import annotations

from pathlib import Path

import pytest
from models_by_hand import SQUARE, refusal, written

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.faces import WHOLE, RawFaces, RawPart
from takeoff.model.findings import Finding, Severity
from takeoff.read import faces_builder, text_meshes
from takeoff.read.faces_builder import FacesBuilder
from takeoff.read.mesh import read_mesh

# ------------------------------------------------------------ faces gathered


def built(**stated: object) -> RawFaces:
    builder = FacesBuilder("h")
    assert builder.add_points([(9.0, 9.0, 9.0)]) == 0
    assert builder.add_points(SQUARE) == 1
    assert [builder.add_part(RawPart("roof")), builder.add_part(RawPart("wall"))] == [0, 1]
    builder.add_polygon([[1, 2, 3, 4]], 1)
    builder.add_polygon([[1, 2, 3]])
    return builder.done(**stated)


def test_polygons_are_cut_and_know_their_face_and_part() -> None:
    """A four-sided face is cut from its first corner."""
    raw = built(stated_up="z")
    assert raw.points.tolist() == [[9.0, 9.0, 9.0], *map(list, SQUARE)]
    assert raw.triangles.tolist() == [[1, 2, 3], [1, 3, 4], [1, 2, 3]]
    assert raw.polygon_of.tolist() == [0, 0, 1]
    assert raw.part_of.tolist() == [1, 1, 0]
    assert (raw.came_from, raw.parts, raw.stated_up) == ("h", (RawPart("roof"), RawPart("wall")), "z")


def test_points_that_follow_themselves_count_once_and_thin_faces_fall_away() -> None:
    builder = FacesBuilder("h")
    builder.add_points(SQUARE)
    for ring in ([], [0], [0, 1], [0, 0, 1], [0, 1, 1, 0]):
        builder.add_polygon([ring])
    builder.add_polygon([])
    with pytest.raises(UnreadableFileError) as caught:
        builder.done()
    assert caught.value.faults == ("h: holds no faces; save the roof as a mesh of faces",)
    builder.add_polygon([[0, 1, 1, 2, 0]])
    raw = builder.done()
    assert (raw.triangles.tolist(), raw.polygon_of.tolist(), raw.parts) == ([[1, 2, 0]], [6], (WHOLE,))


@pytest.mark.parametrize("ring", [[0, 1, 4], [-1, 1, 2]])
def test_a_face_of_corners_that_do_not_exist(ring: list[int]) -> None:
    builder = FacesBuilder("h")
    builder.add_points(SQUARE)
    builder.add_polygon([[0, 1, 2]])
    with pytest.raises(UnreadableFileError) as caught:
        builder.add_polygon([ring])
    assert caught.value.faults == ("h: face 2 has corners that do not exist; save it again",)


def test_as_many_corners_and_triangles_as_are_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(faces_builder, "MOST_CORNERS", 4)
    monkeypatch.setattr(faces_builder, "MOST_TRIANGLES", 3)
    builder = FacesBuilder("h")
    builder.add_points([*SQUARE, (-1.0, 1.0, 0.0)])
    builder.add_polygon([[0, 1, 2, 3]])
    builder.add_polygon([[0, 1, 2]])
    with pytest.raises(UnreadableFileError) as caught:
        builder.add_polygon([[0, 1, 2, 3, 4]])
    assert caught.value.faults == ("h: face 3 has 5 corners, more than the 4 read",)
    with pytest.raises(UnreadableFileError) as caught:
        builder.add_polygon([[0, 1, 2]])
    assert caught.value.faults == ("h: more than the 3 triangles read; save the roof alone",)


def test_faces_that_cross_themselves_are_counted() -> None:
    builder = FacesBuilder("h")
    builder.add_points([(0, 0, 0), (4, 4, 0), (4, 0, 0), (0, 3, 0)])
    builder.add_polygon([[0, 1, 2]])
    assert builder.crossed == 0
    builder.add_polygon([[0, 1, 2, 3]])
    builder.add_polygon([[1, 2, 3, 0]])
    assert builder.crossed == 2
    own = Finding("other", Severity.NOTE, "said before")
    left = Finding(
        "model-face-crossed", Severity.WARN, "h: 2 faces cross themselves and were left out",
        "mend the model if it was part of the roof",
    )  # fmt: skip
    assert builder.done(findings=(own,)).findings == (own, left)
    assert builder.done().findings == (left,)


# ------------------------------------------------------------ OBJ and OFF

POINTS = "v 0 0 0\nv 2 0 0\nv 2 3 0\nv 0 3 0\n"


def test_corners_are_counted_from_one_or_back_from_the_last_point(tmp_path: Path) -> None:
    """Points may still come when a face counts back: -1 is the last so far."""
    raw = read_mesh(
        written(tmp_path, "h.obj", POINTS[:24] + "f 1/7/3 -2 -1//2\nf -3 -2 -1\n" + POINTS[24:] + "f 1 3 -1\n")
    )
    assert raw.triangles.tolist() == [[0, 1, 2], [0, 1, 2], [0, 2, 3]]
    assert raw.polygon_of.tolist() == [0, 1, 2]
    assert (raw.parts, raw.part_of.tolist(), raw.came_from) == ((WHOLE,), [0, 0, 0], "h.obj")
    assert raw.points.tolist() == [list(p) for p in SQUARE]


def test_faces_before_the_first_object_have_a_part_of_their_own(tmp_path: Path) -> None:
    raw = read_mesh(
        written(tmp_path, "h.obj", POINTS + "f 1 2 3\no a\nf 1 2 4\no b  c\nf 2 3 4\no a\nf 1 3 4\ng x\ng y\n")
    )
    assert raw.parts == tuple(RawPart(name, name) for name in ("(no name)", "a", "b c"))
    assert raw.part_of.tolist() == [0, 1, 2, 1]


def groups(count: int, objects: str = "") -> str:
    return POINTS + objects + "".join(f"g g{n}\nf 1 2 3\n" for n in range(count))


@pytest.mark.parametrize(("count", "parts"), [(1, 1), (2, 3), (50, 51), (51, 1)])
def test_two_groups_to_fifty_are_parts_and_more_are_colours(tmp_path: Path, count: int, parts: int) -> None:
    """The part of faces before the first group is there, and empty. Common practice, no source: programs write a group
    a colour or a face."""
    raw = read_mesh(written(tmp_path, "h.obj", groups(count)))
    assert len(raw.parts) == parts
    assert raw.part_of.tolist() == ([0] * count if parts == 1 else list(range(1, count + 1)))
    assert len(read_mesh(written(tmp_path, "h.obj", groups(count, "o whole\n"))).parts) == 2


def test_polygons_of_an_obj_keep_their_parts_when_they_are_cut(tmp_path: Path) -> None:
    raw = read_mesh(written(tmp_path, "h.obj", POINTS + "o a\nf 1 2 3\no b\nf 1 2 3 4\n"))
    assert raw.triangles.tolist() == [[0, 1, 2], [0, 1, 2], [0, 2, 3]]
    assert (raw.part_of.tolist(), raw.polygon_of.tolist()) == ([1, 2, 2], [0, 1, 1])
    assert [part.id for part in raw.parts] == ["(no name)", "a", "b"]


def test_a_line_goes_on_after_a_backslash(tmp_path: Path) -> None:
    """Also over more lines than one, and where nothing stands before the backslash but the backslash."""
    text = POINTS + "f 1 \\\n2 \\\n\\\n3\nf 1 2 4\n"
    assert read_mesh(written(tmp_path, "h.obj", text)).triangles.tolist() == [[0, 1, 2], [0, 1, 3]]


LONG = "word " * 12


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("v 0 0 0 1\nv 1 0\n", "h.obj:2: a point has three numbers, this has '1 0'; save it again"),
        (f"v {LONG}", f"h.obj:1: a point has three numbers, this has '{LONG[:40]}'; save it again"),
        ("v 0 0 1.1e12\n", "h.obj:1: has points that are not numbers or absurdly far away; save it again"),
        ("v 0 -1.1e12 0\n", "h.obj:1: has points that are not numbers or absurdly far away; save it again"),
        ("v 1.1e12 0 0\n", "h.obj:1: has points that are not numbers or absurdly far away; save it again"),
        ("v nan 0 0\n", "h.obj:1: has points that are not numbers or absurdly far away; save it again"),
        ("v 0 inf 0\n", "h.obj:1: has points that are not numbers or absurdly far away; save it again"),
        ("v 0 0 nan\n", "h.obj:1: has points that are not numbers or absurdly far away; save it again"),
        (POINTS + "f 1 2\n", "h.obj:5: a face has three corners or more, this has 2; save it again"),
        (POINTS + "f 1 2 0\n", "h.obj:5: a face names point 0; points are counted from 1; save it again"),
        (POINTS + "f 1 2 -5\n", "h.obj:5: a face names point -5; points are counted from 1; save it again"),
        (POINTS + "f 1 2 5\n", "h.obj: has faces between points that do not exist; save it again"),
        (POINTS + "f 1 2 3 5\n", "h.obj: face 1 has corners that do not exist; save it again"),
        (POINTS + f"f 1 2 {'y' * 41}\n", f"h.obj:5: '{'y' * 40}' is no corner of a face; save it again"),
        (POINTS, "h.obj: holds no faces; save the roof as a mesh of faces, not of lines or points"),
        ("\n#\n\nv 0\n", "h.obj:4: a point has three numbers, this has '0'; save it again"),
        ("v 0 0 0\\\nv 9\n", None),
    ],
)  # fmt: skip
def test_what_is_wrong_in_an_obj_is_told_with_its_line(tmp_path: Path, text: str, says: str | None) -> None:
    path = written(tmp_path, "h.obj", text)
    assert refusal(path) == (says or "h.obj: holds no faces; save the roof as a mesh of faces, not of lines or points")


def test_points_as_far_as_they_may_be(tmp_path: Path) -> None:
    raw = read_mesh(written(tmp_path, "h.obj", "v 1e12 0 0\nv 0 -1e12 0\nv 0 0 1e12\nf 1 2 3\n"))
    assert raw.points.tolist() == [[1e12, 0, 0], [0, -1e12, 0], [0, 0, 1e12]]


def test_as_many_faces_and_corners_of_a_text_as_are_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(text_meshes, "MOST_TRIANGLES", 2)
    monkeypatch.setattr(text_meshes, "MOST_CORNERS", 4)
    assert len(read_mesh(written(tmp_path, "h.obj", POINTS + "f 1 2 3 4\nf 1 2 3\n")).triangles) == 3
    path = written(tmp_path, "h.obj", POINTS + "f 1 2 3\n" * 3)
    assert refusal(path) == "h.obj: more than the 2 faces read; save the roof alone"
    path = written(tmp_path, "h.obj", POINTS + "f 1 2 3 4 1\n")
    assert refusal(path) == "h.obj:5: a face of 5 corners is more than the 4 read; save it again"


OFF = "0 0 0\n2 0 0\n2 3 0\n0 3 0\n"


@pytest.mark.parametrize(
    "head", ["OFF\n4 2 0\n", "off 4 2 0\n", "# drawn\n\nCOFF\n# so many\n4 2\n", "NOFF 4 2\n", "CNOFF\n4 2 9\n"]
)
def test_heads_of_off_files(tmp_path: Path, head: str) -> None:
    """The counts stand beside the word or below it; colours behind the corners of a face are no corners."""
    raw = read_mesh(written(tmp_path, "h.off", head + OFF + "3 0 1 2 255 0 0\n4 0 1 2 3\n"))
    assert raw.triangles.tolist() == [[0, 1, 2], [0, 1, 2], [0, 2, 3]]
    assert (raw.points.tolist(), raw.parts, raw.polygon_of.tolist()) == ([list(p) for p in SQUARE], (WHOLE,), [0, 1, 1])


def test_as_many_lines_as_an_off_file_says(tmp_path: Path) -> None:
    """Three points and a face in four lines and the head's two: 3 + 1 is never more than the lines there are."""
    raw = read_mesh(written(tmp_path, "h.off", "OFF 3 1\n0 0 0\n2 0 0\n2 3 0\n3 0 1 2"))
    assert raw.triangles.tolist() == [[0, 1, 2]]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "h.off: cannot be read as a mesh, it is no OFF; save it again"),
        ("PLY\n", "h.off: cannot be read as a mesh, it is no OFF; save it again"),
        ("OFF\n", "h.off:1: the numbers of points and faces are missing; save it again"),
        ("OFF 4\n", "h.off:1: the numbers of points and faces are missing; save it again"),
        ("OFF\n\nfour 1 0\n", "h.off:3: the numbers of points and faces are missing; save it again"),
        ("OFF\n-1 1 0\n", "h.off:2: says it has -1 points and 1 faces, and has fewer lines; save it again"),
        ("OFF\n1 -1 0\n", "h.off:2: says it has 1 points and -1 faces, and has fewer lines; save it again"),
        ("OFF\n3 1 0\n0", "h.off:2: says it has 3 points and 1 faces, and has fewer lines; save it again"),
        ("OFF\n\n\n4 1 0\n0 0 0\n1 0 0\n", "h.off:6: says it has 4 points and 1 faces, and ends before them; save it again"),
        ("OFF\n3 2 0\n0 0 0\n1 0 0\n1 1 0\n3 0 1 2\n", "h.off:6: says it has 3 points and 2 faces, and ends before them; save it again"),
        ("OFF\n3 1 0\n0 0 0\n1 0 0\n1 1 0\n3 0 1\n", "h.off:6: a face says it has 3 corners and has 2; save it again"),
        ("OFF\n3 1 0\n0 0 0\n1 0 0\n1 1 0\n3 0 1 3\n", "h.off:6: has faces between points that do not exist; save it again"),
        ("OFF\n3 1 0\n0 0 0\n1 0 0\n1 1 0\n3 0 1 -1\n", "h.off:6: has faces between points that do not exist; save it again"),
        ("OFF\n3 1 0\n0 0 0\n1 0 0\n1 1 0\n3 0 1 1.5\n", "h.off:6: a face has whole numbers; save it again"),
        ("OFF\n3 1 0\n0 0 0\n1 0 0\n1 1 0\n2 0 1\n", "h.off:6: a face has three corners or more, this has 2; save it again"),
        ("OFF\n2 1 0\n0 0 0\n1 0\n", "h.off:4: a point has three numbers, this has '1 0'; save it again"),
        ("OFF\n0 0 0\n", "h.off: holds no faces; save the roof as a mesh of faces, not of lines or points"),
    ],
)  # fmt: skip
def test_what_is_wrong_in_an_off_file(tmp_path: Path, text: str, says: str) -> None:
    assert refusal(written(tmp_path, "h.off", text)) == says
