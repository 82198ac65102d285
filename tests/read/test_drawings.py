"""Drawings that cannot be read: one clear sentence each, with file and place, in bounded time and memory."""

from __future__ import annotations

import json
import os
import time
import zlib
from collections.abc import Callable
from contextlib import suppress
from math import radians, tan
from pathlib import Path

import ezdxf
import pytest

from takeoff.basics.errors import UnreadableFileError
from takeoff.read.outlines import drawing_bounds, dxf_lines
from takeoff.read.outlines.drawing_files import read_drawing

RING = [(0.0, 0.0), (12000.0, 0.0), (12000.0, 8000.0), (0.0, 8000.0)]


def dxf(*pairs: tuple[int, object], header: str = "") -> str:
    inside = "".join(f"{code}\n{value}\n" for code, value in pairs)
    return f"0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1009\n{header}0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{inside}0\nENDSEC\n0\nEOF\n"


def line(x: object, y: object, x2: object = 5000, y2: object = 0) -> tuple[tuple[int, object], ...]:
    return ((0, "LINE"), (8, "A"), (10, x), (20, y), (11, x2), (21, y2))


def refused(path: Path) -> str:
    with pytest.raises(UnreadableFileError) as stop:
        read_drawing(path)
    assert stop.value.exit_code == 4
    (fault,) = stop.value.faults
    assert fault.startswith((path.name, str(path)))
    assert "\n" not in fault
    assert len(fault) < 400
    return fault


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "cannot be read as a DXF"),
        ("hello\nworld\n", "cannot be read as a DXF"),
        (dxf(*line("nan", 0)), r"LINE .*\(nan, 0\) is no place on a plan"),
        (dxf(*line("1e999", 0)), "inf"),
        (dxf(*line(1e20, 0)), "no place on a plan"),
        (dxf((0, "CIRCLE"), (8, "A"), (10, 0), (20, 0), (40, "nan")), "no place on a plan"),
        (dxf((0, "TEXT"), (8, "A"), (10, 0), (20, 0), (40, 3), (1, "words")), "holds no lines"),
        (dxf(*line("0", "zero")), "cannot be read as a DXF"),
        (dxf(*line(174.763123, -36.848460, 174.763201, -36.848460)), "degrees of longitude and latitude"),
    ],
)
def test_a_broken_dxf_is_refused_in_one_sentence(tmp_path: Path, text: str, words: str) -> None:
    (tmp_path / "plan.dxf").write_text(text)
    import re

    assert re.search(words, refused(tmp_path / "plan.dxf"))


def test_a_dwg_is_refused_by_name(tmp_path: Path) -> None:
    for name in ("plan.dxf", "plan.dwg"):
        (tmp_path / name).write_bytes(b"AC1032\x00\x00" + bytes(200))
        assert "is a DWG drawing" in refused(tmp_path / name)


def test_a_million_entities_are_refused_before_they_are_loaded(tmp_path: Path) -> None:
    path = tmp_path / "plan.dxf"
    path.write_text(dxf().replace("0\nENDSEC\n0\nEOF", "0\nPOINT\n8\nA\n10\n0\n" * 1_000_000 + "0\nENDSEC\n0\nEOF"))
    begin = time.process_time()
    assert "more than the 60,000 entities that are read" in refused(path)
    assert time.process_time() - begin < 2.0


def test_a_file_over_the_bound_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "plan.dxf"
    with path.open("wb") as file:
        file.truncate(drawing_bounds.GREATEST_BYTES + 5)
    assert "more than the 24,000,000 bytes a drawing can be" in refused(path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes with names")
@pytest.mark.parametrize("ending", ["dxf", "geojson", "wkt", "csv"])
def test_pipes_folders_and_missing_files_are_no_drawings(tmp_path: Path, ending: str) -> None:
    os.mkfifo(tmp_path / f"pipe.{ending}")
    (tmp_path / f"folder.{ending}").mkdir()
    for name in ("pipe", "folder", "missing"):
        refused(tmp_path / f"{name}.{ending}")


def blocks(path: Path, depth: int, width: int, cycle: bool = False) -> Path:
    """Blocks within blocks: `width` of the next in each of `depth`; the last in the first where `cycle`."""
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = 4
    made = [document.blocks.new(f"B{k}") for k in range(depth)]
    for k, block in enumerate(made):
        if k + 1 < depth:
            for n in range(width):
                block.add_blockref(f"B{k + 1}", (n * 10.0, 0.0))
        elif cycle:
            block.add_blockref("B0", (0, 0))
        else:
            block.add_lwpolyline(RING, close=True)
    document.modelspace().add_blockref("B0", (1000, 2000), dxfattribs={"layer": "ROOF"})
    document.saveas(path)
    return path


def test_blocks_are_resolved_on_the_layer_they_are_placed_on(tmp_path: Path) -> None:
    (path,) = read_drawing(blocks(tmp_path / "plan.dxf", 3, 1)).paths
    assert path.layer == "ROOF"
    assert path.points == tuple((x + 1000, y + 2000) for x, y in RING)


def test_a_mirrored_and_scaled_block_keeps_its_arcs(tmp_path: Path) -> None:
    document = ezdxf.new("R2000")
    block = document.blocks.new("B")
    block.add_lwpolyline([(0, 0, 0), (4, 0, 0), (4, 5, 1), (0, 5, 0)], format="xyb", close=True)
    block.add_arc((2, 5), 2, 0, 180)
    document.modelspace().add_blockref("B", (0, 0), dxfattribs={"xscale": -1000, "yscale": 1000, "layer": "A"})
    document.saveas(tmp_path / "plan.dxf")
    ring, arc = read_drawing(tmp_path / "plan.dxf").paths
    # turned over, the half round that turned left turns right
    assert ring.bulges == pytest.approx((0, 0, -1, 0))
    assert [value for point in ring.points for value in point] == pytest.approx([0, 0, -4000, 0, -4000, 5000, 0, 5000])
    assert abs(arc.bulges[0]) == pytest.approx(1.0)
    assert sorted(x for x, _ in arc.points) == pytest.approx([-4000, 0])


@pytest.mark.parametrize(("start", "end", "sweep"), [(30, 120, 90), (350, 80, 90), (200, 260, 60)])
def test_an_arc_bows_by_its_own_sweep(tmp_path: Path, start: float, end: float, sweep: float) -> None:
    """A bulge is the tangent of a quarter of the angle the arc turns through (DXF reference)."""
    document = ezdxf.new("R2000")
    document.modelspace().add_arc((0, 0), 3000, start, end, dxfattribs={"layer": "A"})
    document.saveas(tmp_path / "plan.dxf")
    (arc,) = read_drawing(tmp_path / "plan.dxf").paths
    assert arc.bulges == pytest.approx((tan(radians(sweep) / 4.0),))


def test_blocks_that_hold_themselves_are_refused(tmp_path: Path) -> None:
    said = refused(blocks(tmp_path / "plan.dxf", 3, 1, cycle=True))
    assert "blocks hold themselves" in said


def test_blocks_that_multiply_are_refused_in_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nine of nine of nine ...: 9 ** 8 is 43 million rings out of 72 lines of file."""
    monkeypatch.setattr(dxf_lines, "MOST_PATHS", 3_000)
    assert "blocks make more than 3,000 entities" in refused(blocks(tmp_path / "plan.dxf", 9, 9))


def test_a_block_placed_in_rows_without_end_is_refused_in_time(tmp_path: Path) -> None:
    document = ezdxf.new("R2000")
    document.blocks.new("B").add_line((0, 0), (1, 1))
    document.modelspace().add_blockref(
        "B", (0, 0), dxfattribs={"row_count": 30_000, "column_count": 30_000, "row_spacing": 1, "column_spacing": 1}
    )
    document.saveas(tmp_path / "plan.dxf")
    assert "blocks make more than" in refused(tmp_path / "plan.dxf")


def test_binary_dxf_is_read_and_bounded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = 4
    document.modelspace().add_lwpolyline(RING, close=True, dxfattribs={"layer": "ROOF"})
    path = tmp_path / "plan.dxf"
    document.saveas(path, fmt="bin")
    raw = read_drawing(path)
    assert (raw.unit, raw.paths[0].points) == ("mm", tuple(RING))
    data = path.read_bytes()
    for cut in (30, len(data) // 3, len(data) // 2):
        path.write_bytes(data[:cut])
        refused(path)
    path.write_bytes(data)
    monkeypatch.setattr(dxf_lines, "MOST_PATHS", 20)
    assert "more than 20 entities" in refused(path)


def test_what_is_drawn_and_not_read_is_counted(tmp_path: Path) -> None:
    document = ezdxf.new("R2000")
    space = document.modelspace()
    space.add_lwpolyline(RING, close=True)
    space.add_spline([(0, 0), (1, 1), (2, 0), (3, 3)])
    space.add_ellipse((0, 0), (5, 0), 0.5)
    space.add_text("words")
    document.saveas(tmp_path / "plan.dxf")
    assert read_drawing(tmp_path / "plan.dxf").left_out == (("ELLIPSE", 1), ("SPLINE", 1))


@pytest.mark.parametrize(
    ("ring", "words"),
    [
        ({"type": "Polygon", "coordinates": [[[0, 0], [1e400, 0], [0, 5]]]}, "no place on a plan"),
        ({"type": "Polygon", "coordinates": [[[0, 0], ["a", 0], [0, 5]]]}, "is no point"),
        ({"type": "Polygon", "coordinates": "far"}, "no lists of points"),
        ({"type": "Polygon", "coordinates": [[]]}, "a ring has no points"),
        ({"type": "Curve", "coordinates": []}, "is not known"),
        ({"type": "Polygon", "coordinates": [[[174.1, -41.2], [174.1002, -41.2], [174.1, -41.1999]]]}, "are degrees"),
        ({"type": "Point", "coordinates": [0, 0]}, "holds no lines"),
    ],
)
def test_a_broken_geojson_is_refused_in_one_sentence(tmp_path: Path, ring: object, words: str) -> None:
    (tmp_path / "a.geojson").write_text(json.dumps({"type": "Feature", "properties": {}, "geometry": ring}))
    assert words in refused(tmp_path / "a.geojson")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[" * 100_000, "is no GeoJSON"),
        ('{"type": "FeatureCollection", "features": 5}', "features are no list"),
        ('{"type": "FeatureCollection", "features": [5]}', "feature 1 is no feature"),
        ('{"type": "Polygon", "coordinates": [[[0, 0], [NaN, 0], [0, 5]]]}', "no place on a plan"),
        ('{"type": "Polygon", "coordinates": [[[0, 0], [1' + "0" * 400 + ", 0], [0, 5]]]}", "no place on a plan"),
        ("\x00\x01\x02", "is no GeoJSON"),
        (
            (
                '{"crs": {"properties": {"name": "urn:ogc:def:crs:OGC:1.3:CRS84"}}, "type": "Polygon", "coordinates": '
                "[[[0, 0], [9, 0], [0, 5]]]}"
            ),
            "are degrees",
        ),
        (
            (
                '{"type": "Feature", "properties": {"pitch_deg": "steep"}, "geometry": {"type": "Polygon", "coordinates": '
                "[[[0, 0], [9, 0], [0, 5]]]}}"
            ),
            "feature 1: pitch_deg is 'steep'; it is a number",
        ),
    ],
)
def test_broken_json_is_refused_in_one_sentence(tmp_path: Path, text: str, words: str) -> None:
    (tmp_path / "a.geojson").write_text(text)
    assert words in refused(tmp_path / "a.geojson")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("POLYGON ((0 0, 9 0, 9 5, 0 0)", "line 1: a bracket is never closed"),
        ("# a comment\nPOLYGON ((0 0, 9 0, nine 5, 0 0))", "line 2 is no WKT"),
        ("(" * 5_000, "brackets deep"),
        ("POINT (1 2)", "holds no lines"),
        ("SRID=4326;POLYGON ((0 0, 9 0, 9 5, 0 0))", "are degrees"),
        ("POLYGON ((0 0, nan 0, 9 5, 0 0))", ""),
        ("\x00\xff", ""),
        ("", "holds no lines"),
    ],
)
def test_broken_wkt_is_refused_in_one_sentence(tmp_path: Path, text: str, words: str) -> None:
    (tmp_path / "a.wkt").write_bytes(text.encode("latin-1"))
    assert words in refused(tmp_path / "a.wkt")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "line 1: needs the columns x and y"),
        ("x,z\n1,2\n", "line 1: no column is called 'z'"),
        ("x,y,pich_deg\n1,2,25\n", "did you mean pitch_deg"),
        ("x,y\n1,2\n3,four\n", "line 3: y is 'four', no number"),
        ("x,y\n1,2\n3\n", "line 3: y is '', no number"),
        ("x,y\n1,2\n3,inf\n", "no place on a plan"),
        ("x,y\n", "holds no lines"),
        ('x,y\n"1,2\n' * 3, ""),
        ("x,y\n" + "1" * 200_000 + ",2\n", ""),
        ("x,x,y\n1,1,2\n", "two columns are called x"),
    ],
)
def test_a_broken_table_is_refused_in_one_sentence(tmp_path: Path, text: str, words: str) -> None:
    (tmp_path / "a.csv").write_text(text)
    assert words in refused(tmp_path / "a.csv")


def test_tables_of_other_countries_are_read(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text(
        "\ufeffX_m;Y_m;Ring\n0,5;0;a\n12,25;0;a\n12;8;a\n0;0;b\n4;0;b\n0;4;b\n", encoding="utf-8"
    )
    raw = read_drawing(tmp_path / "a.csv")
    assert raw.unit == "m"
    assert [path.name for path in raw.paths] == ["a", "b"]
    assert raw.paths[0].points == ((0.5, 0.0), (12.25, 0.0), (12.0, 8.0))


def test_an_old_drawing_in_its_own_letters_is_read(tmp_path: Path) -> None:
    text = dxf(*line(0, 0), header="9\n$DWGCODEPAGE\n3\nANSI_1252\n9\n$INSUNITS\n70\n2\n").replace("\nA\n", "\nWände\n")
    (tmp_path / "plan.dxf").write_bytes(text.encode("cp1252"))
    raw = read_drawing(tmp_path / "plan.dxf")
    assert (raw.paths[0].layer, raw.unit) == ("Wände", "ft")


def _flip(data: bytes, k: int) -> bytes:
    raw = bytearray(data)
    for n in range(3):
        raw[zlib.crc32(f"{k} {n}".encode()) % len(raw)] = zlib.crc32(f"{n} {k}".encode()) % 256
    return bytes(raw)


@pytest.mark.parametrize("damage", [lambda data, k: data[: len(data) * k // 40], _flip])
def test_damaged_drawings_never_raise_anything_else(tmp_path: Path, damage: Callable[[bytes, int], bytes]) -> None:
    data = (Path(__file__).parents[2] / "geometry_samples" / "drawn_plan" / "plan.dxf").read_bytes()
    path = tmp_path / "plan.dxf"
    for k in range(40):
        path.write_bytes(damage(data, k))
        with suppress(UnreadableFileError):
            read_drawing(path)
