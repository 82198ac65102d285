"""Where in a job what was told has its place, and where a fault stands in its file: by hand, case by case."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.errors import Fault
from takeoff.model.findings import Finding, Severity
from takeoff.model.job_edits import EditPath
from takeoff.read.job.fault_places import placed_faults, tree_path
from takeoff.read.job.told_places import address_path, edge_path, place_of, places_of_ids, wall_path
from takeoff.read.job.yaml_tree import DEEPEST, YamlTree, read_yaml
from takeoff.read.job.yaml_tree import place_of as place_in_file

RING = [[0, 0], [9, 0], [9, 6]]


def found(text: str, *refs: str, source: str = "") -> Finding:
    return Finding("x", Severity.NOTE, text, refs=refs, source=source)


ONE: dict[str, Any] = {"roofs": [{"wall_line": RING, "edges": {2: {"kind": "gable"}}}], "tanks": [{"name": "T1"}]}
TWO: dict[str, Any] = {
    "roofs": [{"name": "a", "outline": RING}, {"name": "a b", "wall_line": RING}],
    "walls": {"height_mm": 2400},
}


@pytest.mark.parametrize(
    ("told", "value", "path"),
    [
        (Fault("x", "roofs", "a b"), TWO, ("roofs", 1)),
        (Fault("roof a b: too low"), TWO, ("roofs", 1)),  # a fault that carries no path
        (Fault("roofs[2].pitch_deg: too low"), TWO, ("roofs", 1, "pitch_deg")),
        ("job.yaml:3:7: roofs[2].outline[3]: odd", TWO, ("roofs", 1, "outline", 2)),
        ("nothing.of_it: odd", TWO, ()),
        ("roofs[1]: odd, roof a b too", TWO, ("roofs", 0)),
        ("Roof a is low", TWO, ("roofs", 0)),
        ("roof ab: odd", TWO, ()),
        ("roof main: odd", ONE, ("roofs", 0)),
        (found("t", "edge 2"), ONE, ("roofs", 0, "edges", 2)),
        (found("t", "edge 3"), ONE, ("roofs", 0, "wall_line", 2)),
        (found("roof a b: t", "edge 3"), TWO, ("roofs", 1, "wall_line", 2)),
        (found("t", "edge 2"), TWO, ()),
        (found("t", "edge 2"), {"roofs": []}, ()),
        (found("t", "wall 9"), TWO, ("walls",)),
        (found("t", "wall 9"), ONE, ()),
        (found("t", "P1", "wall 2"), ONE, ("roofs", 0, "wall_line", 1)),
        (found("t", "T1"), ONE, ("tanks", 0)),
        (found("t", "a b"), TWO, ("roofs", 1)),
        (found("roof a b: t", "P1"), TWO, ("roofs", 1)),
        (found("roofs[2].covering: t"), TWO, ("roofs", 1, "covering")),
        (found("walls.zones: t, roof a", source="setting x_mm"), TWO, ("walls", "zones")),
        (found("t", source="setting x_mm of it"), TWO, ("settings", "x_mm")),
        (found("t", source="a setting x_mm"), TWO, ()),
        (found("downpipes_at[3] is far off, roof a"), TWO, ("rainwater", "downpipes_at", 2)),
        (found("t", "P1", "P2"), TWO, ("tanks", 0)),
    ],
)  # fmt: skip
def test_what_is_told_leads_to_its_place(told: str | Finding, value: Any, path: EditPath) -> None:
    assert place_of(told, value, {"P2": ("tanks", 0)}) == path


def test_addresses_as_a_person_counts() -> None:
    """Places of lists from 1; edges and walls are keys of their own number; keys that may lack in the job."""
    assert address_path("roofs[1].edges[2].kind: x", ONE) == ("roofs", 0, "edges", 2, "kind")
    assert address_path("roofs[1].edges.2: x", ONE) == ("roofs", 0, "edges", "2")
    assert address_path("own[2]: x", {"own": [1, 2]}) == ("own", 1)
    assert address_path("own: x", {}) == ()
    assert address_path("roofs x", ONE) == ()


def test_the_deepest_thing_at_a_line_and_column() -> None:
    text = "roofs:\n  - name: a\n    outline: [[0, 0], [1, 0]]\n"
    value = read_yaml(text).value
    for told, path in (
        ("job.yaml:2:5: x", ("roofs", 0, "name")), ("2:11: x", ("roofs", 0, "name")), ("3:15: x", ("roofs", 0, "outline", 0)), ("3:16: x", ("roofs", 0, "outline", 0, 0)),
        ("j:9:9: x", ()), ("no place", ()),
    ):  # fmt: skip
        assert place_of(told, value, text=text) == path, told
        assert place_of(told, value) == ()


def test_walls_are_counted_over_wall_lines_and_then_by_themselves() -> None:
    """Three of the first roof and three of its courtyard; of a roof with an outline alone there are none; a roof whose line
    comes from a file ends the count."""
    first = {"name": "a", "wall_line": RING, "courtyards": [RING]}
    walls = {"height_mm": 2400, "elevations": [{}, {}], "drawn_elevations": [{}]}
    job = {"roofs": [{"name": "z", "outline": RING}, first, {"name": "b", "wall_line": RING[:2]}], "walls": walls}
    places = {3: ("roofs", 1, "wall_line", 2), 4: ("roofs", 1, "courtyards", 0, 0), 6: ("roofs", 1, "courtyards", 0, 2),
              7: ("roofs", 2, "wall_line", 0), 9: ("walls", "elevations", 0), 10: ("walls", "elevations", 1),
              11: ("walls", "drawn_elevations", 0), 12: ()}  # fmt: skip
    assert {number: wall_path(number, job) for number in places} == places
    of_b = {**job, "walls": {**walls, "roof": "b"}}
    assert [wall_path(number, of_b) for number in (1, 3)] == [("roofs", 2, "wall_line", 0), ("walls", "elevations", 0)]
    drawn = {"roofs": [{"shape": {"file": "a.dxf"}}, first], "walls": walls}
    assert wall_path(1, drawn) == ()
    alone = {**job, "walls": {"elevations": [{}]}}
    assert [wall_path(number, alone) for number in (1, 2)] == [("walls", "elevations", 0), ()]
    for more in ({"height_mm": 2400}, {"storeys": [{}]}):
        assert wall_path(1, {**job, "walls": {"elevations": [{}], **more}}) == ("roofs", 1, "wall_line", 0)
    assert wall_path(1, {"roofs": [first], "walls": 7}) == ("roofs", 0, "wall_line", 0)
    assert wall_path(2, {"roofs": [{"wall_line": RING}]}) == ("roofs", 0, "wall_line", 1)


def test_edges_by_what_the_job_says_of_them() -> None:
    assert edge_path(("roofs", 0), 2, ONE) == ("roofs", 0, "edges", 2)
    assert edge_path(("roofs", 0), 1, ONE) == ("roofs", 0, "wall_line", 0)
    assert edge_path((), 1, ONE) == ()


def test_ids_of_what_was_taken_off() -> None:
    """Planes and edges that come from no typed edge (0, below 0) lead to their roof, gutters and pipes to their first leg."""

    def part(name: str, *edges: int) -> Any:
        return SimpleNamespace(id=name, outline_edges=edges)

    upright = SimpleNamespace(id="U1", outline_edge=2)
    roofs = [
        SimpleNamespace(
            name="a",
            planes=[part("P1", 3), part("P2", -4, 2), part("P3", 0)],
            uprights=[upright],
            own_edges=[part("E1", 9), part("E2", 1)],
        ),
        SimpleNamespace(name="a b", planes=[part("Q1")], uprights=[], own_edges=[part("F1", 2)]),
    ]
    walls = [SimpleNamespace(wall=1, roof="a b"), SimpleNamespace(wall=5, roof="a"), SimpleNamespace(wall=6, roof="")]
    gutters = [
        SimpleNamespace(id="G1", legs=[SimpleNamespace(edge="E2"), SimpleNamespace(edge="F1")]),
        SimpleNamespace(id="G2", legs=[]),
    ]
    downpipes = [
        SimpleNamespace(run="G1", pipes=[SimpleNamespace(id="DP1")]),
        SimpleNamespace(run="G2", pipes=[SimpleNamespace(id="DP2")]),
    ]
    takeoff: Any = SimpleNamespace(
        roofs=roofs, elevations=walls, rainwater=SimpleNamespace(gutters=gutters, downpipes=downpipes)
    )
    assert places_of_ids(takeoff, TWO) == {
        "P1": ("roofs", 0, "outline", 2), "P2": ("roofs", 0, "outline", 1), "P3": ("roofs", 0), "U1": ("roofs", 0, "outline", 1),
        "E1": ("roofs", 0), "E2": ("roofs", 0, "outline", 0), "Q1": ("roofs", 1), "F1": ("roofs", 1, "wall_line", 1),
        "wall 1": ("roofs", 1, "wall_line", 0), "wall 5": ("roofs", 0), "wall 6": ("walls",),
        "G1.1": ("roofs", 0, "outline", 0), "G1.2": ("roofs", 1, "wall_line", 1), "G1": ("roofs", 0, "outline", 0), "DP1": ("roofs", 0, "outline", 0),
    }  # fmt: skip


# ------------------------------------------------------------ places in the file


def test_paths_of_faults_in_the_file() -> None:
    tree = YamlTree(
        {
            "roofs": [{"outline": RING, "courtyards": [RING], "edges": {1: {}}}, {"name": "b", "wall_line": RING}],
            "walls": {"zones": [1]},
        }
    )
    for path, there in (
        (("roofs", "b", "pitch_deg"), ("roofs", 1, "pitch_deg")), (("roofs", "main"), ("roofs", 0)), (("roofs", "none"), ("roofs", 0)),
        (("roofs", "main", "edge", 1), ("roofs", 0, "edges", 1)), (("roofs", "main", "edge", 3), ("roofs", 0, "outline", 2)),
        (("roofs", "main", "edge", 4), ("roofs", 0, "courtyards", 0, 0)), (("roofs", "main", "edge", 7), ("roofs", 0)),
        (("roofs", "b", "edge", 2), ("roofs", 1, "wall_line", 1)), (("roofs", "b", "edge", "x"), ("roofs", 1)),
        (("walls", "edge", 1), ("walls",)), (("walls", "zones", 0), ("walls", "zones", 0)), (("walls", "none", 3, "x"), ("walls", "none", 3, "x")),
        ((), ()),
    ):  # fmt: skip
        assert tree_path(path, tree) == there, path


def test_faults_with_their_line_and_column() -> None:
    text = "job: a\nroofs:\n  - outline: [[0, 0]]\n    pitch_deg: 3\nwalls:\n  zones: [{board: x}]\n"
    for fault, placed in (
        (Fault("low", "roofs", "main", "pitch_deg"), "f:4:16: low"), (Fault("low", "roofs", "main", "name"), "f:3:5: low"),
        ("roofs[1].pitch_deg: low", "f:4:16: roofs[1].pitch_deg: low"), ("roofs[2].pitch_deg: low", "f:3:3: roofs[2].pitch_deg: low"),
        ("walls.zones[1].board: none", "f:6:19: walls.zones[1].board: none"), ("low", "f: low"), ("x.y: low", "f: x.y: low"), (Fault("low"), "f: low"),
    ):  # fmt: skip
        assert placed_faults([fault], text, "f") == (placed,), fault
    assert place_in_file({(): (7, 1), ("a",): (8, 2)}, ("a", "b", 0)) == (8, 2)
    assert place_in_file({(): (7, 1), ("a",): (8, 2)}, ("b",)) == (7, 1)
    assert place_in_file({}, ("b",)) == (1, 1)


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("a: 1\nb: {c: 2\n", [(3, 1, "the { opened on line 2 is not closed, or a comma lacks after an entry")]),
        ("a: 1\n\nb: [2, 3\n", [(4, 1, "the [ opened on line 3 is not closed, or a comma lacks after an entry")]),
        ("a: 1\nb: 'c\n", [(3, 1, "the quote opened on line 2 is not closed")]),
        ('a: "\\q"\n', [(1, 5, "a \\ in double quotes begins an escape, and this is none; use single quotes")]),
        ("a: 1\nbcd\ne: 2\n", [(3, 1, "line 2 has no colon and space after its key, or its text should be in quotes")]),
        ("a:\n  - b\n c: 1\n", [(3, 2, "indented otherwise than what began on line 1; entries of one list stand below each other")]),
        ("a: b: c\n", [(1, 5, "a colon too many: put text with a colon in quotes, see that the line above has its colon, indent alike")]),
        ("a: @b\n", [(1, 4, "a tab, or a sign that begins no value: indent with spaces, put the text in quotes")]),
    ],
)  # fmt: skip
def test_what_is_not_yaml(text: str, faults: list[tuple[int, int, str]]) -> None:
    tree = read_yaml(text)
    assert (tree.faults, tree.value) == (
        [(line, column, f"not YAML here: {words}") for line, column, words in faults],
        None,
    )


def test_values_keys_and_their_places() -> None:
    tree = read_yaml('a: 1\nb: ["2", x]\n3: {c: no}\na: 4\n[1]: 5\ntrue: 6\n? {d: 1}\n: 7\n')
    assert tree.value == {"a": 1, "b": ["2", "x"], 3: {"c": "no"}, "true": 6}
    assert tree.faults == [
        (4, 1, "a: given twice, first on line 1"), (5, 1, "a key must be a word or a whole number"), (7, 3, "a key must be a word or a whole number"),
    ]  # fmt: skip
    expected = {
        (): (1, 1),
        ("a",): (1, 4),
        ("b",): (2, 4),
        ("b", 0): (2, 5),
        ("b", 1): (2, 10),
        (3,): (3, 4),
        (3, "c"): (3, 8),
        ("a", "<key>"): (1, 1),
    }
    assert {path: tree.places[path] for path in expected} == expected
    alias = read_yaml("a: &x [1]\nb: *x\n")
    told = "an alias (*name) is not read in a job; write the value out"  # where the value it names is written
    assert (alias.value, alias.faults) == ({"a": [1], "b": None}, [(1, 4, told)])
    assert read_yaml("").value is None
    deep = read_yaml("[" * DEEPEST + "1" + "]" * DEEPEST)
    assert (DEEPEST, deep.faults) == (40, [])
    deeper = read_yaml("[" * (DEEPEST + 1) + "1" + "]" * (DEEPEST + 1))
    assert deeper.faults == [(1, 42, "nested deeper than 40 levels")]
