"""Maps and tables of outlines typed by hand: every ring, line and word that is read of them, and each refusal whole.

GeoJSON by RFC 7946, WKT by ISO 19125.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from drawings_by_hand import RING, read, refused

from takeoff.basics.errors import UnreadableFileError
from takeoff.model.drawings import RawPath
from takeoff.read.outlines import drawing_bounds, ring_table, wkt_rings
from takeoff.read.outlines.drawing_bounds import checked_paths
from takeoff.read.outlines.drawing_files import is_drawing
from takeoff.read.outlines.geojson_rings import DEGREES_NAMED, edge_facts

LIST = [list(point) for point in RING]


# ------------------------------------------------------------ bounds


def path(*points: tuple[float, float], **more: Any) -> RawPath:
    return RawPath("A", points, False, where="here", **more)


def test_as_many_paths_and_corners_as_are_read(monkeypatch: pytest.MonkeyPatch) -> None:
    bounds = (
        drawing_bounds.GREATEST_BYTES,
        drawing_bounds.MOST_PATHS,
        drawing_bounds.MOST_CORNERS,
        drawing_bounds._FARTHEST,
    )
    assert bounds == (24_000_000, 60_000, 200_000, 1e11)
    monkeypatch.setattr(drawing_bounds, "MOST_PATHS", 3)
    monkeypatch.setattr(drawing_bounds, "MOST_CORNERS", 7)
    two = path((0, 0), (900, 0))
    assert checked_paths("d", [two] * 3) == (two,) * 3
    assert checked_paths("d", [path(*RING), two, two]) == (path(*RING), two, two)
    for many in ([two] * 4, [path(*RING), path(*RING), two]):
        with pytest.raises(
            UnreadableFileError, match=r"^d: more than 3 lines or 7 corners; save the outline's layer alone$"
        ):
            checked_paths("d", many)
    with pytest.raises(UnreadableFileError, match=r"^d: holds no lines, polylines or rings$"):
        checked_paths("d", [])


@pytest.mark.parametrize(
    ("point", "says"),
    [
        ((1e11, -1e11), ""),
        ((1.1e11, 0.0), r"d: here: \(1.1e\+11, 0\) is no place on a plan; save it again"),
        ((0.0, -1.1e11), r"d: here: \(0, -1.1e\+11\) is no place on a plan; save it again"),
        ((float("nan"), 0.0), r"d: here: \(nan, 0\) is no place on a plan; save it again"),
    ],
)
def test_places_on_a_plan(point: tuple[float, float], says: str) -> None:
    if not says:
        checked_paths("d", [path(point, (0, 0))])
        return
    with pytest.raises(UnreadableFileError, match=f"^{says}$"):
        checked_paths("d", [path((0, 0), point)])


def test_arcs_that_are_none() -> None:
    with pytest.raises(UnreadableFileError, match=r"^d: here: an arc's bulge is no number; save it again$"):
        checked_paths("d", [path((0, 0), (900, 0), bulges=(float("inf"),))])


@pytest.mark.parametrize(
    ("points", "degrees"),
    [
        (((174.7, -36.8), (174.7009, -36.8)), True),
        (((180.0, 90.0), (179.95, 89.95)), True),
        (((180.1, 80.0), (180.15, 80.0)), False),
        (((170.0, 90.1), (170.0, 90.15)), False),
        (((170.0, 80.0), (170.11, 80.0)), False),
        (((170.0, 80.0), (170.0, 80.11)), False),
    ],
)
def test_degrees_are_told_by_size_and_place(points: Any, degrees: bool) -> None:
    """Under a tenth of a degree across, within 180 and 90: the widest of the paths counts."""
    if not degrees:
        checked_paths("d", [path(*points)])
        return
    x, y = points[0]
    says = f"d: coordinates are degrees of longitude and latitude ({x:.6f}, {y:.6f}), no lengths; save it in a projected grid, in metres"
    with pytest.raises(UnreadableFileError) as caught:
        checked_paths("d", [path(*points)])
    assert caught.value.faults == (says,)
    checked_paths("d", [path(*points), path((0, 0), (3, 0))])


def test_drawings_by_the_ending_of_their_name(tmp_path: Path) -> None:
    assert [is_drawing(name) for name in ("a.DXF", "a.dwg", "a.GeoJSON", "a.wkt", "a.csv", "a.obj", "dxf")] == [
        True
    ] * 5 + [False] * 2
    says = "a.svg: drawings of this kind are not read; save it as one of DXF, GEOJSON, WKT, CSV"
    assert refused(tmp_path, "a.svg", "") == says


# ------------------------------------------------------------ GeoJSON


def feature(geometry: Any, **more: Any) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, **more}


def polygon(*rings: Any) -> dict[str, Any]:
    return {"type": "Polygon", "coordinates": list(rings)}


def geojson(folder: Path, tree: Any) -> tuple[RawPath, ...]:
    return read(folder, "m.geojson", json.dumps(tree)).paths


def test_features_of_a_map(tmp_path: Path) -> None:
    """What is said of a feature stands at its first ring; points are left out; a third figure is no matter."""
    tree = {
        "type": "FeatureCollection",
        "features": [
            feature(polygon(LIST, [[1, 1, "x"], [2, 1, 5], [2, 2]]), id=7, properties={"pitch_deg": 25, "edges": ["gable", None, "wall"]}),
            feature({"type": "MultiPolygon", "coordinates": [[LIST], [LIST, LIST]]}, properties={"name": "n" * 70}),
            feature({"type": "LineString", "coordinates": LIST}, properties=7),
            feature({"type": "MultiLineString", "coordinates": [LIST]}),
            feature(None), feature({"type": "Point", "coordinates": [0, 0]}), feature({"type": "MultiPoint", "coordinates": [[0, 0]]}),
            feature({"type": "GeometryCollection", "geometries": [polygon(LIST), None]}),
        ],
    }  # fmt: skip
    gables = ((1, (("kind", "gable"),)), (3, (("kind", "wall"),)))

    def ring(
        number: int, closed: bool = True, name: str = "", facts: Any = (), edges: Any = (), points: Any = RING
    ) -> RawPath:
        return RawPath("", points, closed, (), f"feature {number}", name, facts, edges)

    found = read(tmp_path, "m.geojson", json.dumps(tree))
    assert found.paths == (
        ring(1, name="7", facts=(("pitch_deg", 25.0),), edges=gables), ring(1, name="7", points=((1, 1), (2, 1), (2, 2))),
        ring(2, name="n" * 60), ring(2, name="n" * 60), ring(2, name="n" * 60), ring(3, False), ring(4, False), ring(8),
    )  # fmt: skip
    assert (found.came_from, found.kind, found.unit, found.unit_words) == (
        "m.geojson",
        "GeoJSON",
        "m",
        "map files are drawn in metres",
    )
    assert geojson(tmp_path, polygon(LIST)) == (ring(1),)
    assert geojson(tmp_path, feature(polygon(LIST), properties={"name": "x"})) == (ring(1, name="x"),)


def nested(depth: int) -> Any:
    tree: Any = polygon(LIST)
    for _ in range(depth):
        tree = {"type": "GeometryCollection", "geometries": [tree]}
    return tree


@pytest.mark.parametrize(
    ("tree", "says"),
    [
        ([], "is no GeoJSON: it holds no features or geometry"),
        ({"type": "FeatureCollection", "features": {}}, "its features are no list; save it again"),
        ({"type": "FeatureCollection", "features": [feature(polygon(LIST)), 7]}, "feature 2 is no feature; save it again"),
        (feature(7), "feature 1 has no geometry that can be read; save it again"),
        (nested(9), "feature 1 has no geometry that can be read; save it again"),
        (feature({"type": "x" * 50}), f"feature 1: a geometry of type {'x' * 40!r} is not known; save it again"),
        (polygon(7), "feature 1: its coordinates are no lists of points; save it again"),
        ({"type": "GeometryCollection", "geometries": 7}, "feature 1: its coordinates are no lists of points; save it again"),
        ({"type": "MultiPolygon", "coordinates": [7]}, "feature 1: its coordinates are no lists of points; save it again"),
        ({"type": "Polygon", "coordinates": 7}, "feature 1: its coordinates are no lists of points; save it again"),
        ({"type": "MultiPolygon", "coordinates": 7}, "feature 1: its coordinates are no lists of points; save it again"),
        ({"type": "MultiPolygon", "coordinates": [[7]]}, "feature 1: its coordinates are no lists of points; save it again"),
        ({"type": "LineString", "coordinates": 7}, "feature 1: its coordinates are no lists of points; save it again"),
        (polygon([]), "feature 1: a ring has no points; save it again"),
        (polygon([[0, "x" * 80]]), f"feature 1: {str([0, 'x' * 80])[:60]} is no point; save it again"),
        (polygon([[0]]), "feature 1: [0] is no point; save it again"),
        (polygon([[0, True]]), "feature 1: [0, True] is no point; save it again"),
        (polygon([7]), "feature 1: 7 is no point; save it again"),
        (polygon([[0, 10**400]]), "feature 1: (0, inf) is no place on a plan; save it again"),
        (feature(polygon(LIST), properties={"pitch_deg": "x" * 50}), f"feature 1: pitch_deg is {'x' * 40!r}; it is a number"),
        (feature(polygon(LIST), properties={"pitch_deg": True}), "feature 1: pitch_deg is 'True'; it is a number"),
        (feature(polygon(LIST), properties={"edges": 7}), "feature 1: edges is no list of kinds and no mapping by number"),
        (feature(polygon(LIST), properties={"edges": {"x" * 30: {}}}), f"feature 1: edges: {'x' * 20!r} is no number of an edge with keys"),
        (feature(polygon(LIST), properties={"edges": {"1": 7}}), "feature 1: edges: '1' is no number of an edge with keys"),
        (feature(polygon(LIST), properties={"edges": [7]}), "feature 1, edge 1: kind is '7'; it is eave, gable or wall"),
    ],
)  # fmt: skip
def test_maps_that_are_refused(tmp_path: Path, tree: Any, says: str) -> None:
    assert refused(tmp_path, "m.geojson", json.dumps(tree)) == f"m.geojson: {says}"
    assert len(geojson(tmp_path, nested(8))) == 1


def test_edges_by_their_number() -> None:
    said = {"999999": {"pitch_deg": 12, "kind": "wall", "fascia_height_mm": None}, "2": {}}
    assert edge_facts("n", "w", said) == ((999999, (("kind", "wall"), ("pitch_deg", 12.0))), (2, ()))
    assert edge_facts("n", "w", None) == ()
    with pytest.raises(UnreadableFileError, match=r"^n: w: edges: '1000000' is no number of an edge with keys$"):
        edge_facts("n", "w", {"1000000": {}})


@pytest.mark.parametrize(
    ("words", "degrees"),
    [
        ("urn:ogc:def:crs:OGC:1.3:CRS84", True), ("EPSG:4326", True), ("epsg:7844", True), ("urn:ogc:def:crs:EPSG::4167", True),
        ("http://www.opengis.net/def/crs/EPSG/0/4283", True), ("urn:ogc:def:crs:EPSG:6.9:4258", True), ("EPSG:2193", False), ("EPSG:43261", False),
    ],
)  # fmt: skip
def test_grids_of_degrees_by_name(tmp_path: Path, words: str, degrees: bool) -> None:
    assert (DEGREES_NAMED.search(words) is not None) == degrees
    tree = {**polygon(LIST), "crs": {"type": "name", "properties": {"name": words}}}
    if degrees:
        assert refused(tmp_path, "m.geojson", json.dumps(tree)).startswith(
            "m.geojson: coordinates are degrees of longitude and latitude (0.000000, 0.000000)"
        )
    else:
        assert len(geojson(tmp_path, tree)) == 1
    two = [feature(polygon([[7, 8], *LIST])), feature(polygon(LIST))]
    tree = {"type": "FeatureCollection", "features": two, "crs": "EPSG:4326"}
    assert "(7.000000, 8.000000)" in refused(tmp_path, "m.geojson", json.dumps(tree))
    assert refused(tmp_path, "m.geojson", b"\xff\xfe").startswith("m.geojson: is no GeoJSON ('utf-8' codec")


# ------------------------------------------------------------ WKT


def test_geometries_one_after_another(tmp_path: Path) -> None:
    """A geometry goes on until its brackets are closed; remarks and empty lines stand between."""
    text = (
        "# plans\n\nPOLYGON((0 0, 900 0,\n 900 700, 0 0),\n(1 1, 2 1, 2 2, 1 1))\nSRID=2193;LINESTRING Z (0 0 5, 900 0 5)\nPOINT(1 1)\n"
        "GEOMETRYCOLLECTION(MULTIPOLYGON(((0 0, 900 0, 900 700, 0 0))), MULTILINESTRING((0 0, 900 0)))\nPOLYGON EMPTY\n"
    )
    whole = (*RING, (0.0, 0.0))
    side = ((0.0, 0.0), (900.0, 0.0))
    found = read(tmp_path, "m.wkt", text)
    assert found.paths == (
        RawPath("", whole, True, where="line 3"), RawPath("", ((1, 1), (2, 1), (2, 2), (1, 1)), True, where="line 3"),
        RawPath("", side, False, where="line 6"), RawPath("", whole, True, where="line 8"), RawPath("", side, False, where="line 8"),
    )  # fmt: skip
    assert (found.kind, found.unit, found.unit_words, found.came_from) == (
        "WKT",
        "m",
        "map files are drawn in metres",
        "m.wkt",
    )


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (b"\xff", "is no text; save it as WKT again"),
        ("POINT(1 1)\nPOLYGON((0 0, 9 0,\n\n", "line 2: a bracket is never closed; save it again"),
        ("POINT(1 1)\n" + "(" * 41 + ")" * 41, "line 2 is no WKT geometry"),
        ("POINT(1 1)\n" + "(" * 41, "line 2: more than 40 brackets deep; save it again"),
        ("POINT(1 1)\n(\n" + "(" * 40, "line 3: more than 40 brackets deep; save it again"),
        ("# x\nPOLIGON((0 0))\n", "line 2 is no WKT geometry"),
        ("POINT(1 1)\n" + "(" * 40 + "\n" + ")" * 40, "line 2 is no WKT geometry"),
        ("CIRCULARSTRING(0 0, 1 1, 2 0)", None),
        ("SRID=4326;LINESTRING(0 0, 900 0)", "coordinates are degrees of longitude and latitude (0.000000, 0.000000), no lengths; save it in a projected grid, in metres"),
        ("srid = 7844 ;LINESTRING(0 0, 900 0)", "coordinates are degrees of longitude and latitude (0.000000, 0.000000), no lengths; save it in a projected grid, in metres"),
        ("POINT(1 1)", "holds no lines, polylines or rings"),
    ],
)  # fmt: skip
def test_wkt_that_is_refused(tmp_path: Path, text: str | bytes, says: str | None) -> None:
    told = refused(tmp_path, "m.wkt", text)
    if says is None or says.endswith("geometry"):
        assert told.startswith(f"m.wkt: {says or 'line 1'}")
        assert says is None or told.endswith("); save it again")
    else:
        assert told == f"m.wkt: {says}"
    for srid in (4326, 4979, 4258, 4269, 4167, 4283, 7844):
        assert "degrees" in refused(tmp_path, "m.wkt", f"SRID={srid};LINESTRING(0 0, 900 0)")
    assert len(read(tmp_path, "m.wkt", "SRID=4326;POINT(1 1)\nLINESTRING(0 0, 900 0)").paths) == 1


def test_as_many_corners_of_a_text_as_are_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(wkt_rings, "MOST_CORNERS", 2)
    assert len(read(tmp_path, "m.wkt", "LINESTRING(0 0, 900 0, 900 9)").paths) == 1
    assert (
        refused(tmp_path, "m.wkt", "LINESTRING(0 0, 900 0, 900 9, 0 9)")
        == "m.wkt: more than 2 corners; save the outline alone"
    )
    monkeypatch.setattr(ring_table, "MOST_CORNERS", 4)
    rows = "x,y\n0,0\n900,0\n900,700\n"
    assert len(read(tmp_path, "m.csv", rows).paths[0].points) == 3
    assert refused(tmp_path, "m.csv", rows + "0,700\n") == "m.csv: more than 4 corners; save the outline alone"


# ------------------------------------------------------------ tables of corners


def test_rings_of_a_table(tmp_path: Path) -> None:
    """A ring ends where its name or its layer changes; what is said of an edge stands at the corner it begins at."""
    text = (
        "Layer,ring,X_mm,y_mm,kind,pitch_deg\n" + "w" * 70 + ",a,0,0,GABLE,\n" + "w" * 70 + ",a,900,0,,\n,,,,,\n" + "w" * 70 + ",a,900,700,,12.5\n"
        + "w,a,0,0\nw,b,5,5,wall,3\n"
    )  # fmt: skip
    found = read(tmp_path, "m.csv", text)
    assert found.paths == (
        RawPath("w" * 60, RING, True, (), "line 2", "a", (), ((1, (("kind", "gable"),)), (3, (("pitch_deg", 12.5),)))),
        RawPath("w", ((0.0, 0.0),), True, (), "line 6", "a"),
        RawPath("w", ((5.0, 5.0),), True, (), "line 7", "b", (), ((1, (("kind", "wall"), ("pitch_deg", 3.0))),)),
    )
    assert (found.kind, found.unit, found.unit_words) == ("CSV", "mm", "its heading says mm")


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("x,y\n900,0.5\n", ""), ("x_m;y_m\n900,0;0,5\n", "m"), ("x_cm\ty_cm\n900\t0,5\n", "cm"), (" \nY_IN,X_IN\n0.5,900\n", "in"), ("x_ft,y_ft,x_m\n900,.5,7\n", "ft"),
        ("h\u00f6he,x,y\n".replace("h\u00f6he", "layer") + "\u00e4,900,0.5\n", ""),
    ],
)  # fmt: skip
def test_units_and_signs_of_a_table(tmp_path: Path, text: str, unit: str) -> None:
    found = read(tmp_path, "m.csv", text.encode("latin-1"))
    assert (found.paths[0].points, found.unit) == (((900.0, 0.5),), unit)
    assert found.unit_words == (f"its heading says {unit}" if unit else "")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("x,y,pitch\n", "line 1: no column is called 'pitch'; did you mean pitch_deg?"),
        ("x,y," + "q" * 50 + "\n", None),
        ("x,y,X\n", "line 1: two columns are called x"),
        ("x,y_mm\n", "line 1: needs the columns x and y, or x_mm and y_mm, x_m and y_m"),
        ("", "line 1: needs the columns x and y, or x_mm and y_mm, x_m and y_m"),
        ("x,y\n0,0\n0," + "n" * 50 + "\n", f"line 3: y is {'n' * 40!r}, no number"),
        ("x,y\n0\n", "line 2: y is '', no number"),
        ("x,y\nq,0\n", "line 2: x is 'q', no number"),
        ("x,y,pitch_deg\n0,0,steep\n", "line 2: pitch_deg is 'steep', no number"),
        ("x,y\n", "holds no lines, polylines or rings"),
    ],
)  # fmt: skip
def test_tables_that_are_refused(tmp_path: Path, text: str, says: str | None) -> None:
    told = refused(tmp_path, "m.csv", text)
    if says is None:
        assert told.startswith(
            f"m.csv: line 1: no column is called {'q' * 40!r}; known: x, y, x_mm, y_mm, x_cm, y_cm, x_m, y_m, x_in, y_in, x_ft, y_ft, ring, layer, kind"
        )
    else:
        assert told == f"m.csv: {says}"
