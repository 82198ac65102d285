"""What is offered to be written for a fault or an advice, as edits of the job at hand: by hand, case by case."""

from __future__ import annotations

from typing import Any

import pytest

from takeoff.model.findings import Finding, Severity
from takeoff.model.job_edits import GONE, Edit, EditPath
from takeoff.read.job.cures import Cure, cures_of
from takeoff.read.job.fault_cures import fault_edits

RING = [[0, 0], [9, 0], [9, 6]]


def found(text: str, *refs: str, advice: str = "") -> Finding:
    return Finding("x", Severity.NOTE, text, advice, refs)


def edits(fault: str, at: EditPath, value: Any) -> list[tuple[str, tuple[Edit, ...]]]:
    return list(fault_edits(fault, at, value))


@pytest.mark.parametrize(
    ("fault", "at", "value", "words", "made"),
    [
        ("unknown key; did you mean walls?", ("wals",), {"wals": 1}, "Write walls instead of wals", (Edit(("wals",), "walls", rename=True),)),
        ("unknown key; did you mean walls?", ("wals",), {"wals": 1, "walls": 2}, None, ()),
        ("did you mean eave?", ("a", "eav"), {"a": {"eav": 1}}, "Write eave instead of eav", (Edit(("a", "eav"), "eave", rename=True),)),
        ("did you mean gable?", ("kind",), {"kind": "gabel"}, "Write gable instead of gabel", (Edit(("kind",), "gable"),)),
        ("did you mean gable?", ("kind",), {}, None, ()),
        ("did you mean DP1?", ("pipes",), {"pipes": ["x", "DP11"]}, "Write DP1 instead of DP11", (Edit(("pipes", 1), "DP1"),)),
        ("did you mean DP1?", ("pipes",), {"pipes": ["x"]}, None, ()),
        ("pitch: write the decimal point: 22.5", ("a", "pitch"), {}, "Write pitch: 22.5", (Edit(("a", "pitch"), 22.5),)),
        ("w: no comma in thousands: write 2400", ("w",), {}, "Write w: 2400", (Edit(("w",), 2400),)),
        ("a comma stands in the number of w_mm (1, 2): no comma in thousands: write 1200", ("a", "200"), {}, "Write w_mm: 1200", (Edit(("a", "200"), GONE), Edit(("a", "w_mm"), 1200))),
        ("a comma stands in the number of w_mm (1", ("a", "200"), {}, None, ()),
        ("h: is 2.4, was this given in metres?", ("h",), {"h": 2.4}, "Write h: 2400", (Edit(("h",), 2400),)),
        ("h: was this given in metres?", ("h",), {"h": "2.4"}, None, ()),
        ("unknown key here; north_deg belongs at the top level", ("walls", "north_deg"), {"walls": {"north_deg": 2}}, "Move north_deg to the top level", (Edit(("walls", "north_deg"), GONE), Edit(("north_deg",), 2))),
        ("unknown key here; pitch_deg belongs under roofs[..]", ("pitch_deg",), {"pitch_deg": 2, "roofs": [{}]}, "Move pitch_deg to roofs", (Edit(("pitch_deg",), GONE), Edit(("roofs", 0, "pitch_deg"), 2))),
        ("unknown key here; bmt_mm belongs under roofs[..].covering", ("bmt_mm",), {"bmt_mm": 2, "roofs": [{}]}, "Move bmt_mm to roofs, covering", (Edit(("bmt_mm",), GONE), Edit(("roofs", 0, "covering", "bmt_mm"), 2))),
        ("unknown key here; pitch_deg belongs under roofs[..]", ("pitch_deg",), {"pitch_deg": 2, "roofs": [{}, {}]}, None, ()),
        ("unknown key here; pitch_deg belongs under roofs[..]", ("pitch_deg",), {"pitch_deg": 2, "roofs": {}}, None, ()),
        ("unknown key here; wrap belongs under walls", ("wrap",), {"wrap": 2, "walls": 7}, None, ()),
        ("unknown key here; wrap belongs under walls", ("wrap",), {"wrap": 2, "walls": {"wrap": 1}}, None, ()),
        ("w_mm: must be a number", ("w_mm",), {"w_mm": "600 mm"}, "Write w_mm: 600", (Edit(("w_mm",), 600),)),
        ("w_mm: must be a number", ("w_mm",), {"w_mm": " -0.6m "}, "Write w_mm: -600", (Edit(("w_mm",), -600),)),
        ("p_deg: must be a number", ("p_deg",), {"p_deg": "22.5 degrees"}, "Write p_deg: 22.5", (Edit(("p_deg",), 22.5),)),
        ("p_deg: must be a number", ("p_deg",), {"p_deg": "22 mm"}, None, ()),
        ("w_mm: must be a number", ("w_mm",), {"w_mm": "22 deg"}, None, ()),
        ("share: must be a number", ("share",), {"share": "22 deg"}, None, ()),
        ("share: must be a number", ("share",), {"share": "22 mm"}, None, ()),
        ("w_mm: must be a word", ("w_mm",), {"w_mm": "600 mm"}, None, ()),
        ("w_mm: must be a number", ("w_mm",), {"w_mm": 3}, None, ()),
        ("must be a number", ("w_mm", 0), {"w_mm": ["600 mm"]}, None, ()),
        ("w: must be a number, leave out the quotes", ("w",), {"w": "2.5"}, "Write w: 2.5", (Edit(("w",), 2.5),)),
        ("did you mean x?", (), {"x": 1}, None, ()),
    ],
)  # fmt: skip
def test_cures_of_faults(fault: str, at: EditPath, value: Any, words: str | None, made: tuple[Edit, ...]) -> None:
    assert edits(fault, at, value) == ([] if words is None else [(words, made)])


WALLS: dict[str, Any] = {
    "roofs": [
        {"name": "a", "shape": {"file": "a.obj"}},
        {"name": "b", "mesh": {"file": "b.obj"}},
        {"outline": RING, "edges": {"2": {"kind": "eave"}}},
    ],
    "walls": {
        "zones": [{"walls": [1, 2]}, {"board": "x"}, {"walls": [3]}],
        "drawn_elevations": [{"file": "w.dxf", "layer": "N"}, {"file": "w.dxf", "layer": "S", "name": "south"}],
    },
}


def offered(
    advice: str, *refs: str, text: str = "t", value: Any = None
) -> list[tuple[str, list[tuple[EditPath, Any]]]]:
    cures = cures_of(found(text, *refs, advice=advice), WALLS if value is None else value)
    return [(cure.words, [(edit.path, edit.value) for edit in cure.edits]) for cure in cures]


def test_lines_of_zones() -> None:
    """By the wall that is named, else the zone of walls that no other takes; by number in the words; else each."""
    line = "In the zone: `board: y`."
    first, second, third = (
        (f"Write board: y, in zone {n} of the walls", [(("walls", "zones", n - 1, "board"), "y")]) for n in (1, 2, 3)
    )
    assert offered(line, "wall 2") == [first]
    assert offered(line, "wall 3") == [third]
    assert offered(line, "wall 9") == [second]
    assert offered(line, text="Zone 3 is odd") == [third]
    assert offered(line, text="zone 4 is odd") == []
    assert offered(line) == [first, second, third]
    assert offered(line, text="walls.zones[1].board: odd") == [first]
    assert offered("`cover_mm: 3`") == []


def test_a_zone_of_the_same_walls_or_one_more() -> None:
    add = "`- {walls: [3], direction: sheets}`"
    zone = {"walls": [3], "direction": "sheets"}
    assert offered(add) == [
        ("Write {walls: [3], direction: sheets}, as zone 3 of the walls", [(("walls", "zones", 2), zone)])
    ]
    assert offered("`- {walls: [4], board: y}`") == [
        (
            "Write {walls: [4], board: y}, as zone 4 of the walls",
            [(("walls", "zones", 3), {"walls": [4], "board": "y"})],
        )
    ]
    assert offered("`- {board: y}`")[0][0] == "Write {board: y}, as zone 2 of the walls"
    for none in ("`- {walls: [4]}`", "`- x`", "`[{board: y}, {board: z}]`"):
        assert offered(none) == []


def test_drawn_walls_by_file_layer_and_name() -> None:
    add = "`- {file: w.dxf, layer: S, unit: mm}`"
    assert offered(add)[0][0] == "Write {file: w.dxf, layer: S, unit: mm}, as drawn wall 2"
    assert offered("`- {file: w.dxf, unit: mm}`") == []
    assert offered("`- {file: w.dxf, unit: mm}`", text="walls.drawn_elevations[1].unit: odd")[0][0].endswith(
        "as drawn wall 1"
    )
    key = "floor_above_foot_mm"
    north, south = (
        (f"Write {key}: 3, at drawn wall {n}", [(("walls", "drawn_elevations", n - 1, key), 3)]) for n in (1, 2)
    )
    texts = ("wall south is odd", "N lies low", "odd", "walls.drawn_elevations[2]: odd", "southern")
    assert [offered(f"`{key}: 3`", text=text) for text in texts] == [
        [south],
        [north],
        [north, south],
        [south],
        [north, south],
    ]


def test_shapes_of_roofs() -> None:
    """Of the roof whose file the words name, else of each that has one, be it called shape or mesh."""
    a = ("Write unit: m, in the shape of roof a", [(("roofs", 0, "shape", "unit"), "m")])
    b = ("Write unit: m, in the shape of roof b", [(("roofs", 1, "mesh", "unit"), "m")])
    assert offered("`unit: m`") == [a, b]
    assert offered("`unit: m`", text="b.obj: odd") == [b]
    assert offered("`unit: m`", text="roof a: odd") == [a]
    assert offered("`unit: m`", value={"roofs": [{"shape": {"file": "c.obj"}}]}) == [
        ("Write unit: m, in the roof's shape", [(("roofs", 0, "shape", "unit"), "m")])
    ]
    whole = "`shape: {file: b.obj, unit: m}`"
    assert offered(whole) == [
        ("Write shape: {file: b.obj, unit: m}, under roof b", [(("roofs", 1, "shape"), {"file": "b.obj", "unit": "m"})])
    ]
    assert [words for words, _ in offered("`shape: {file: z.obj}`")] == [
        f"Write shape: {{file: z.obj}}, under roof {name}" for name in ("a", "b", "main")
    ]
    drawn = offered("`unit: m`", text="walls.drawn_elevations[2].file: odd")
    assert drawn == [("Write unit: m, at drawn wall 2", [(("walls", "drawn_elevations", 1, "unit"), "m")])]


def test_maps_go_into_each_other_and_words_of_samples() -> None:
    """Numbers of edges stand in quotes where the job came as JSON; what stands there already is left out."""
    assert offered("under the roof: `edges: {2: {kind: gable}, 3: {kind: wall}}`", text="roof main: t")[0][1] == [
        (("roofs", 2, "edges", "2", "kind"), "gable"), (("roofs", 2, "edges", 3), {"kind": "wall"}),
    ]  # fmt: skip
    assert offered("under the roof: `edges: {2: {kind: eave}}`", text="roof main: t") == []
    assert offered("`code: nz`", value={"code": "nz"}) == []
    for before, sample in (
        ("Say what: ", True),
        ("with the height of your wall: ", True),
        ("as its maker's table has it: ", True),
        ("as designed: ", True),
        ("Add: ", False),
    ):
        (cure,) = cures_of(found("t", advice=f"{before}`code: au`"), WALLS)
        assert cure == Cure("Write code: au", (Edit(("code",), "au"),), sample)


def test_lines_that_go_together() -> None:
    both = "`code: au`, and `date: 2026-02-03`"
    (cure,) = cures_of(found("t", advice=both), WALLS)
    assert cure == Cure("Write code: au and date: 2026-02-03", (Edit(("code",), "au"), Edit(("date",), "2026-02-03")))
    apart = "with the height of your site: `site: {a: 1, b: 2}` and in the zone: `board: y`"
    (cure,) = cures_of(found("t", "wall 3", advice=apart), WALLS)
    assert cure.words == "Write site: {a: 1, b: 2} and board: y, in zone 3 of the walls"
    assert ([edit.path for edit in cure.edits], cure.sample) == ([("site",), ("walls", "zones", 2, "board")], True)
    same = "In the zone: `board: y`, and in the zone: `even_coursing: false`"
    (cure,) = cures_of(found("t", "wall 3", advice=same), WALLS)
    assert cure.words == "Write board: y and even_coursing: false, in zone 3 of the walls"
    assert len(cures_of(found("t", advice="`code: au` or `code: nz` and `code: nz`"), WALLS)) == 2
    assert cures_of("`code: au`", [1]) == ()


def test_an_address_that_ends_at_a_list_means_each_of_it() -> None:
    """Of roofs, zones and drawn walls alike; with a place of the list it is that one."""
    key = "floor_above_foot_mm"
    assert len(offered(f"`{key}: 3`", text="walls.drawn_elevations: odd")) == 2
    assert len(offered("In the zone: `board: y`.", text="walls.zones: odd")) == 3
    shapes = [words for words, _ in offered("`unit: m`", text="roofs: odd")]
    assert shapes == ["Write unit: m, in the shape of roof a", "Write unit: m, in the shape of roof b"]
    assert [words for words, _ in offered("`unit: m`", text="roofs[2].mesh: odd")] == [shapes[1]]
    assert len(offered("under the roof: `pitch_deg: 3`", text="roofs: odd")) == 3
    assert [words for words, _ in offered("under the roof: `pitch_deg: 3`", text="roofs[3].pitch_deg: odd")] == [
        "Write pitch_deg: 3, under roof main"
    ]
    assert offered("`- {file: w.dxf, unit: mm}`", text="walls.drawn_elevations: odd") == []
    assert offered("`unit: m`", text="walls.drawn_elevations: odd") == offered("`unit: m`")
