"""DXF drawings typed by hand: every line, arc and polyline that is read of them, units, blocks within blocks.

By the reference of the format: an arc's bulge is the tangent of a quarter of the angle it turns through.
"""

from __future__ import annotations

from math import radians, tan
from pathlib import Path

import pytest
from drawings_by_hand import RING, read, refused

from takeoff.model.drawings import RawPath
from takeoff.read.outlines import dxf_lines

Pairs = tuple[tuple[int, object], ...]


def dxf(*entities: Pairs, header: str = "", blocks: str = "") -> str:
    inside = "".join(f"{code}\n{value}\n" for entity in entities for code, value in entity)
    head = f"0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1009\n{header}0\nENDSEC\n"
    return f"{head}0\nSECTION\n2\nBLOCKS\n{blocks}0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{inside}0\nENDSEC\n0\nEOF\n"


def entity(kind: str, *more: tuple[int, object], layer: str = "A") -> Pairs:
    return ((0, kind), (5, "2F"), (8, layer), *more)


LINE = entity("LINE", (10, 0), (20, 0), (11, 900), (21, 40))
DOWN = ((210, 0), (220, 0), (230, -1))


def drawn(folder: Path, *entities: Pairs, **more: str) -> tuple[RawPath, ...]:
    return read(folder, "m.dxf", dxf(*entities, **more)).paths


def test_lines_circles_and_arcs(tmp_path: Path) -> None:
    quarter = entity("ARC", (10, 100), (20, 50), (40, 30), (50, 0), (51, 90))
    (line, circle, arc) = drawn(tmp_path, LINE, entity("CIRCLE", (10, 100), (20, 50), (40, 30)), quarter)
    assert line == RawPath("A", ((0.0, 0.0), (900.0, 40.0)), False, (), "LINE 2F")
    assert circle == RawPath("A", ((70.0, 50.0), (130.0, 50.0)), True, (1.0, 1.0), "CIRCLE 2F")
    assert arc.points == (pytest.approx((130.0, 50.0)), pytest.approx((100.0, 80.0)))
    assert (arc.closed, arc.bulges) == (False, (pytest.approx(tan(radians(22.5))),))
    whole = entity("ARC", (10, 100), (20, 50), (40, 30), (50, 30), (51, 30))
    assert drawn(tmp_path, whole)[0].points == circle.points


def test_what_is_drawn_from_below_or_aslant(tmp_path: Path) -> None:
    """Seen from below x runs the other way, and so does an arc; what stands upright or leans is no line of a plan."""
    arc = ((10, 100), (20, 50), (40, 30), (50, 0), (51, 90))
    (circle, below) = drawn(
        tmp_path, entity("CIRCLE", (10, 100), (20, 50), (40, 30), *DOWN), entity("ARC", *arc, *DOWN)
    )
    assert (circle.points, circle.bulges) == (((-70.0, 50.0), (-130.0, 50.0)), (-1.0, -1.0))
    assert below.bulges == (pytest.approx(-tan(radians(22.5))),)
    for aslant in (
        ((210, 1), (220, 0), (230, 0)),
        ((210, 0), (220, 0.6), (230, 0.8)),
        ((210, 0.6), (220, 0), (230, -0.8)),
    ):
        found = read(tmp_path, "m.dxf", dxf(LINE, entity("ARC", *arc, *aslant), entity("CIRCLE", *arc[:3], *aslant)))
        assert (len(found.paths), found.left_out) == (1, (("ARC", 1), ("CIRCLE", 1)))
    nearly = ((210, 5e-10), (220, -5e-10), (230, 1))
    assert len(drawn(tmp_path, entity("CIRCLE", *arc[:3], *nearly))) == 1


def vertex(x: float, y: float, bulge: float = 0.0, flags: int = 0) -> Pairs:
    return ((0, "VERTEX"), (8, "A"), (10, x), (20, y), (42, bulge), (70, flags))


def polyline(*vertices: Pairs, flags: int = 1) -> Pairs:
    return (
        *entity("POLYLINE", (66, 1), (70, flags)),
        *(pair for one in vertices for pair in one),
        (0, "SEQEND"),
        (8, "A"),
    )


def test_polylines_old_and_new(tmp_path: Path) -> None:
    """Points that steer a spline are left out; a polyline in space has no arcs; one of a single point is none."""
    corners = (vertex(0, 0, 0.5), vertex(900, 0), vertex(5, 5, 0, 16), vertex(900, 700))
    (flat,) = drawn(tmp_path, polyline(*corners))
    assert (flat.points, flat.closed, flat.bulges) == (RING, True, (0.5, 0.0, 0.0))
    (open_one,) = drawn(tmp_path, polyline(*corners, flags=0))
    assert not open_one.closed
    space = [vertex(x, y, 0.5, 32) for x, y in RING]
    (high,) = drawn(tmp_path, polyline(*space, flags=8))
    assert (high.points, high.bulges, high.closed) == (RING, (), False)
    mesh = read(
        tmp_path,
        "m.dxf",
        dxf(
            LINE,
            polyline(*[vertex(x, y, 0, 64) for x, y in RING], vertex(0, 9, 0, 64), flags=16),
            polyline(vertex(0, 0)),
        ),
    )
    assert (len(mesh.paths), mesh.left_out) == (1, (("POLYLINE", 2),))


@pytest.mark.parametrize(
    ("code", "unit"), [(1, "in"), (2, "ft"), (4, "mm"), (5, "cm"), (6, "m"), (0, ""), (3, ""), (None, "")]
)
def test_units_of_a_drawing(tmp_path: Path, code: int | None, unit: str) -> None:
    header = "" if code is None else f"9\n$INSUNITS\n70\n{code}\n"
    found = read(tmp_path, "m.dxf", dxf(LINE, header=header))
    assert (found.kind, found.unit, found.unit_words, found.left_out) == (
        "DXF",
        unit,
        f"its header says {unit}" if unit else "",
        (),
    )


def block(name: str, *entities: Pairs) -> str:
    inside = "".join(f"{code}\n{value}\n" for one in entities for code, value in one)
    return f"0\nBLOCK\n8\n0\n2\n{name}\n70\n0\n10\n0\n20\n0\n3\n{name}\n{inside}0\nENDBLK\n8\n0\n"


def insert(name: str, *more: tuple[int, object], layer: str = "B") -> Pairs:
    return entity("INSERT", (2, name), (10, 0), (20, 0), *more, layer=layer)


def chain(length: int) -> str:
    """Blocks within blocks: C1 holds C2 and so on to the last, which holds a line."""
    held = [block(f"C{n}", insert(f"C{n + 1}")) for n in range(1, length)]
    return "".join([*held, block(f"C{length}", entity("LINE", (10, 0), (20, 0), (11, 900), (21, 40), layer="0"))])


def test_blocks_within_blocks(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is drawn on layer 0 takes the layer of its block; twelve blocks deep, each an entity, in rows and columns."""
    (line,) = drawn(tmp_path, insert("C1"), blocks=chain(12))
    assert (line.layer, line.points, line.where) == ("B", ((0.0, 0.0), (900.0, 40.0)), "LINE of a block")
    deep = " in ".join(f"C{n}" for n in range(1, 14))[:120]
    says = f"m.dxf: blocks hold themselves or lie too deep ({deep}); explode them"
    assert refused(tmp_path, "m.dxf", dxf(insert("C1"), blocks=chain(13))) == says
    own = block("L", LINE)
    rows = insert("L", (70, 3), (71, 2), (44, 2000), (45, 1000))
    placed = drawn(tmp_path, rows, blocks=own)
    assert sorted(path.points[0] for path in placed) == [(x, y) for x in (0.0, 2000.0, 4000.0) for y in (0.0, 1000.0)]
    assert {path.layer for path in placed} == {"A"}
    monkeypatch.setattr(dxf_lines, "MOST_PATHS", 19)  # itself, six of it, and for each a block's insert and a line
    assert len(drawn(tmp_path, insert("L", (70, 9), (44, 2000)), blocks=own)) == 9
    says = "m.dxf: its blocks make more than 19 entities; save the outline's layer alone"
    assert refused(tmp_path, "m.dxf", dxf(insert("L", (70, 10), (44, 2000)), blocks=own)) == says
