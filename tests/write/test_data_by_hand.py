"""Data written for other programs: the mesh of a roof, the form for the frame, JSON, tables of totals and quotations."""

from __future__ import annotations

import json
import struct
from dataclasses import dataclass, replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.roof import Frame, RoofPlane
from takeoff.write.data import measure_form, roof_mesh
from takeoff.write.data.json_text import JsonText
from takeoff.write.differences import quotation_tables, totals_table
from takeoff.write.differences.tables import Table
from takeoff.write.letters.pdf_letters import width, wrapped

# two triangles in space: a plane that rises to the north, and an upright face; plan 1000 east, 2000 north, 3000 up
RISE = Frame((0.0, 0.0, 100.0), (1.0, 0.0, 0.0), (0.0, 0.8, 0.6), (0.0, -0.6, 0.8))
FLAT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))
RING = ((0.0, 0.0), (4000.0, 0.0), (0.0, 1000.0))
ROOF: Any = SimpleNamespace(
    origin_mm=(1000.0, 2000.0, 3000.0),
    planes=(SimpleNamespace(id="P1", frame=RISE, rings_uv=(RING,)),),
    uprights=(SimpleNamespace(id="U1", frame=FLAT, rings_uv=(RING,)),),
)
OBJ = [
    "# roof planes and upright faces, unit mm, z up",
    "g P1", "v 1000.000 2000.000 3100.000", "v 5000.000 2000.000 3100.000", "v 1000.000 2800.000 3700.000", "f 1 2 3",
    "g U1", "v 1000.000 2000.000 3000.000", "v 5000.000 2000.000 3000.000", "v 1000.000 2000.000 4000.000", "f 4 5 6",
]  # fmt: skip


def turned(line: str) -> list[int]:
    """The corners of a triangle, the least first."""
    corners = [int(word) for word in line.split()[1:]]
    least = corners.index(min(corners))
    return corners[least:] + corners[:least]


def test_a_roof_as_a_mesh_text() -> None:
    """Up 1000 on a slope of 3 to 4 is 800 north and 600 higher."""
    made = roof_mesh.mesh_bytes((ROOF,), Path("a.OBJ")).decode().splitlines()
    assert [line for line in made if line[0] != "f"] == [line for line in OBJ if line[0] != "f"]
    assert [turned(line) for line in made if line[0] == "f"] == [[1, 2, 3], [4, 5, 6]]
    bare = roof_mesh.mesh_bytes((ROOF, ROOF), Path("a.obj"), uprights=False).decode().splitlines()
    assert [turned(line) for line in bare if line[0] == "f"] == [[1, 2, 3], [4, 5, 6]]
    assert [line for line in bare if line[0] == "g"] == ["g P1", "g P1"]
    with pytest.raises(UsageError) as stopped:
        roof_mesh.mesh_bytes((ROOF,), Path("roof.dxf"))
    assert (
        str(stopped.value)
        == "roof.dxf: meshes are written as OBJ, STL, PLY, GLB; end its name in .obj, .stl, .ply, .glb"
    )


def test_a_roof_as_a_mesh_of_the_library() -> None:
    """STL holds after 80 bytes and a count 50 bytes a triangle, of floats 3 for the normal and 9 for its corners (the
    format as commonly described, from memory). GLB is in metres, its y what was z, its z what was -y."""
    stl = roof_mesh.mesh_bytes((ROOF,), Path("a.stl"))
    (count,) = struct.unpack_from("<I", stl, 80)
    corners = [struct.unpack_from("<12f", stl, 84 + 50 * n)[3:] for n in range(count)]
    found = {frozenset(zip(*(corner[axis::3] for axis in range(3)), strict=True)) for corner in corners}
    up = frozenset(((1000.0, 2000.0, 3100.0), (5000.0, 2000.0, 3100.0), (1000.0, 2800.0, 3700.0)))
    side = frozenset(((1000.0, 2000.0, 3000.0), (5000.0, 2000.0, 3000.0), (1000.0, 2000.0, 4000.0)))
    assert found == {up, side}
    glb = roof_mesh.mesh_bytes((ROOF,), Path("a.glb"))
    (length,) = struct.unpack_from("<I", glb, 12)
    (place,) = [
        one for one in json.loads(glb[20 : 20 + length])["accessors"] if one["type"] == "VEC3" and "min" in one
    ][:1]
    assert [round(value, 6) for value in place["min"]] == [1.0, 3.0, -2.8]
    assert [round(value, 6) for value in place["max"]] == [5.0, 4.0, -2.0]
    ply = roof_mesh.mesh_bytes((ROOF,), Path("a.ply"))
    assert b"element vertex 6\n" in ply
    assert b"element face 2\n" in ply


def plane(name: str, *ring: tuple[float, float]) -> RoofPlane:
    return RoofPlane(name, "main", FLAT, (ring,), (1,), 1, 25.0, 0.0, 0.0, 0.0, 0.0)


def test_the_form_for_the_frame() -> None:
    """3000 up, 4000 across, diagonals 5000. A ridge of 1 mm is taped, one under it is a point; sizes taped stand in it."""
    whole = plane("P1", (0.0, 0.0), (4000.0, 0.0), (4000.0, 3000.4), (0.0, 3000.4))
    pointed = plane("P2", (0.0, 0.0), (4000.0, 0.0), (2000.9, 3000.0), (2000.0, 3000.0))
    short = plane("=P3", (0.0, 0.0), (4000.0, 0.0), (2001.0, 3000.0), (2000.0, 3000.0))
    bare = plane("P4", (0.0, 0.0), (4000.0, 0.0), (0.0, 3000.0))
    sheets = {name: SimpleNamespace(pieces=["one"]) for name in ("P1", "P2", "=P3")}
    sheets["P4"] = SimpleNamespace(pieces=[])
    measures = [SimpleNamespace(plane="P1", item="eave", mm=4001.6), SimpleNamespace(plane="P9", item="ridge", mm=1.0)]
    house: Any = SimpleNamespace(
        roofs=(SimpleNamespace(planes=(whole, pointed, short, bare, plane("P5", *RING))),),
        sheets_of=sheets.get, site=SimpleNamespace(measures=measures),
    )  # fmt: skip
    text = measure_form.measure_form(house).decode("utf-8-sig")
    rows = text.split("\r\n")
    assert rows[:7] == [
        'plane,item,mm,drawn mm,"from, to"',
        'P1,rafter left,,3000,"left end of the lowest line, left end of the highest"',
        'P1,rafter right,,3000,"right end of the lowest line, right end of the highest"',
        "P1,eave,4002,4000,along the lowest line",
        "P1,ridge,,4000,along the highest line",
        'P1,diagonal 1,,5000,"left end of the lowest line, right end of the highest"',
        'P1,diagonal 2,,5000,"right end of the lowest line, left end of the highest"',
    ]
    assert [row.split(",")[:2] for row in rows[7:-1]] == [
        ["P2", "rafter left"], ["P2", "rafter right"], ["P2", "eave"], ["'=P3", "rafter left"], ["'=P3", "rafter right"],
        ["'=P3", "eave"], ["'=P3", "ridge"], ["'=P3", "diagonal 1"], ["'=P3", "diagonal 2"],
    ]  # fmt: skip
    house.site = None
    assert next(iter(measure_form.form_rows(house))).taped_mm is None
    assert measure_form.measure_form(house).startswith(b"\xef\xbb\xbfplane,")


@dataclass(frozen=True)
class Pair:
    left: Any
    right: Any


def test_records_as_json_text_stand_as_the_standard_library_writes_them() -> None:
    def simpler(value: Any) -> Any:
        return sorted(value) if isinstance(value, set) else value

    shared = Pair(1.5, {"x\n ": ["y\n  "]})  # with line breaks of its own, at three depths, the least one last
    value = {
        "a": [Pair(1.0, {2}), Pair((), {}), shared], 3: {"deep": [shared, [shared]]}, "n": None, "t": True, "f": False,
        "s": "é\n\"", "same": [0.1, 0.1, -0.0], "out": shared,
    }  # fmt: skip

    def plain(one: Any) -> Any:
        if isinstance(one, dict):
            return {str(key): plain(entry) for key, entry in one.items()}
        if isinstance(one, list | tuple | set):
            return [plain(entry) for entry in one]
        if isinstance(one, float):
            return one * 2.0
        return {"left": plain(one.left), "right": plain(one.right)} if isinstance(one, Pair) else one

    for kinds in ((), (Pair,)):
        writer = JsonText(lambda number: number * 2.0, simpler, kinds)
        assert writer.text(value) == json.dumps(plain(value), indent=1, ensure_ascii=False)
        assert writer.text(value) == json.dumps(plain(value), indent=1, ensure_ascii=False)


# ----------------------------------------------------------------- differences


def snapshot(areas: tuple[float, ...], *lines: tuple[str, float, float, str]) -> Any:
    return SimpleNamespace(
        planes=[SimpleNamespace(area_m2=area) for area in areas],
        lines=[SimpleNamespace(item=item, name=f"{item}\tname", each_mm=each, total=total, total_unit=unit) for item, each, total, unit in lines],
    )  # fmt: skip


def test_what_two_results_come_to() -> None:
    """Roof 10.5 + 2 against 12; a: 9.6 + 5.4 against 14; b only before, c only after; d is as it was, e has no length."""
    old = snapshot((10.5, 2.0), ("a", 4800.0, 9.6, "m"), ("a", 5400.0, 5.4, "m"), ("b", 1.0, 3.0, "m"), ("d", 1000.0, 4.004, "m"),
                   ("e", 0.0, 9.0, "each"))  # fmt: skip
    new = snapshot(
        (12.0,), ("a", 7000.0, 14.0, "m"), ("c", 0.5, 2.505, "m2"), ("d", 1000.0, 4.0, "m"), ("e", 0.0, 1.0, "each")
    )
    rows = (
        ("roof area on the slope", "12.50 m2", "12.00 m2", "-0.50 m2"),
        ("a name", "15.00 m", "14.00 m", "-1.00 m"),
        ("b name", "3.00 m", "0.00 m", "-3.00 m"),
        ("c name", "0.00 m2", "2.51 m2", "+2.51 m2"),
    )
    table = Table("Totals", "What changed in all.", ("what", "old", "new", "change"), (False, True, True, True), rows)
    assert totals_table.totals_table(old, new) == (table,)
    assert totals_table.totals_table(old, old) == ()


def test_a_quotation_against_our_order() -> None:
    fault = SimpleNamespace(value="count differs")
    difference = SimpleNamespace(
        fault=fault, line="L12", ours="Pur\tlin", theirs="", row=4, our_count=3.0, their_count=0.0, our_rate=None, their_rate=2.5
    )  # fmt: skip
    quotation = SimpleNamespace(file="quote.xlsx", sheet="One\tof", lines=(1, 2, 3), findings=())
    check: Any = SimpleNamespace(
        quotation=quotation, deliveries=("purlins", "walls"), matched=2, agree=1, differences=(difference,), amount=10.0,
        ours_at_theirs=9.5,
    )  # fmt: skip
    first, second = quotation_tables.quotation_tables(check)
    prices = "Prices are for what our line is totalled in: of lengths a metre."
    assert first == Table(
        "Differences",
        f"quote.xlsx, sheet One of against our purlins, walls: 2 of 3 lines found, 1 agree. {prices}",
        ("fault", "line", "ours", "theirs", "row", "our count", "theirs", "our price", "theirs"),
        (False, True, False, False, True, True, True, True, True),
        (("count differs", "12", "Pur lin", None, 4, 3.0, None, None, 2.5),),
    )
    sums = (("what they quote", 10.0), ("our counts at their prices, as far as they give them", 9.5))
    assert second == Table("Sums", "Without what they quote beside the lines.", ("what", "amount"), (False, True), sums)
    quotation.sheet, check.deliveries = "", ()
    empty = replace(first, says=f"quote.xlsx against our nothing of ours: 2 of 3 lines found, 1 agree. {prices}")
    assert quotation_tables.quotation_tables(check)[0] == empty


# ---------------------------------------------------------------------- letters


def test_a_text_in_lines_no_wider_than_its_room() -> None:
    """Rooms as wide as the words take, and a little under."""
    room = width("aaa bbb", 9.0)
    assert wrapped("aaa bbb aaa", room, 9.0) == ("aaa bbb", "aaa")
    assert wrapped("aaa bbb aaa", room - 0.02, 9.0) == ("aaa", "bbb", "aaa")
    assert wrapped("aaa\tbbb", room, 9.0) == ("aaa bbb",)
    assert wrapped("", 1.0, 9.0) == ("",)
    three = width("mmm", 9.0)
    assert wrapped("mmmmmmm", three, 9.0) == ("mmm", "mmm", "m")
    assert wrapped("a mmmmmm", three, 9.0) == ("a", "mmm", "mmm")
    assert wrapped("mm", 0.1, 9.0) == ("m", "m")
    bold = width("aaa bbb", 9.0, True)
    assert bold > room
    assert wrapped("aaa bbb", bold, 9.0, True) == ("aaa bbb",)
    assert wrapped("aaa bbb", room, 9.0, True) == ("aaa", "bbb")
    assert width("mmm", 18.0) == pytest.approx(2.0 * three)
