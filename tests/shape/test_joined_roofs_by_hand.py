"""What faces, edges and nodes of roofs that hang together are called, and such roofs as one: by hand."""

from __future__ import annotations

from typing import Any

from made_roofs import box, edge, node, rising, roof, standing

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.roof import Node
from takeoff.shape.faces.parts import Numbering
from takeoff.shape.together import combine, joint, numbering

EAVE, VALLEY, RIDGE = EdgeKind.EAVE, EdgeKind.VALLEY, EdgeKind.RIDGE


def test_ids_go_on_from_roof_to_roof() -> None:
    """After 2 planes, 1 upright, 3 nodes, 4 eaves; the second roof brings a node and an edge that the first named."""
    edges = (
        edge("a", EAVE, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0), faces=("p",), low="n", high="m"),
        edge("b", RIDGE, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0), faces=("p", "q", "w"), low="m", high="n"),
    )
    one = roof(
        planes=(rising("p", 0.0, 0.0, 0.1, box(0.0, 0.0, 9.0, 9.0)), rising("q", 0.0, 0.0, 0.1, box(0.0, 0.0, 9.0, 9.0))),
        uprights=(standing("w", (0.0, 0.0, 0.0), (9.0, 0.0, 0.0), box(0.0, 0.0, 9.0, 9.0)),), edges=edges,
        nodes=(Node("n", (0.0, 0.0, 0.0), ("a", "b")), Node("m", (9.0, 0.0, 0.0), ("b", "a", "x"))),
        findings=(Finding("f", Severity.NOTE, "text", refs=("a", "p", "edge 1")),),
    )  # fmt: skip
    known = {"m": "N2", "b": "R1"}
    letters = {kind: kind.row.letter for kind in (EAVE, RIDGE)}
    after = numbering.number_on(one, Numbering(2, 1, 3, ((letters[EAVE], 4),)), known)
    assert after == Numbering(4, 2, 4, ((letters[EAVE], 5),))
    assert known == {"m": "N2", "b": "R1", "p": "P3", "q": "P4", "w": "U2", "n": "N4", "a": f"{letters[EAVE]}5"}
    named = numbering.rename(one, known)
    assert [plane.id for plane in named.planes] == ["P3", "P4"]
    assert [upright.id for upright in named.uprights] == ["U2"]
    assert [(e.id, e.low, e.high, e.faces) for e in named.edges] == [
        (known["a"], "N4", "N2", ("P3",)),
        ("R1", "N2", "N4", ("P3", "P4", "U2")),
    ]
    assert named.nodes == (
        Node("N4", (0.0, 0.0, 0.0), (known["a"], "R1")),
        Node("N2", (9.0, 0.0, 0.0), ("R1", known["a"], "x")),
    )
    assert named.findings == (Finding("f", Severity.NOTE, "text", refs=(known["a"], "P3", "edge 1")),)
    assert Numbering(2, 1, 3, ((letters[EAVE], 4),)).after(one) == Numbering(
        4, 2, 5, tuple(sorted({letters[EAVE]: 5, letters[RIDGE]: 1}.items()))
    )


def test_groups_share_the_names_of_what_they_share() -> None:
    """Roofs 1 and 3 of three are one group: its edge b and its nodes keep the names of the first, the second roof comes between."""

    def lone(name: str, *own: str) -> Any:
        edges = tuple(edge(one, EAVE, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0), faces=(), low="n", high="m") for one in own)
        return roof(name, edges=edges, nodes=(node("n", (0.0, 0.0, 0.0)), node("m", (9.0, 0.0, 0.0))))

    found = combine._numbered([lone("x", "a", "b"), lone("y", "a"), lone("z", "b", "c")], [[0, 2], [1], []])
    letter = EAVE.row.letter
    assert [[e.id for e in one.edges] for one in found] == [
        [f"{letter}{n}" for n in row] for row in ((1, 2), (3,), (2, 4))
    ]
    assert [[n.id for n in one.nodes] for one in found] == [["N1", "N2"], ["N3", "N4"], ["N1", "N2"]]


def test_roofs_that_share_edges_as_one() -> None:
    """Four roofs: the fourth shares with the first, and the second with the fourth."""

    def lone(name: str, *edges: Any, x: float = 0.0, **more: Any) -> Any:
        nodes = tuple(node(n, (x, 0.0, 0.0), *(e.id for e in edges)) for n in more.pop("at", ()))
        return roof(
            name,
            edges=edges,
            nodes=nodes,
            outline_mm=(box(x, 0.0, x + 1.0, 1.0),),
            wall_line_mm=(box(x, 0.0, x + 2.0, 1.0),),
            **more,
        )

    def of(name: str, owner: str) -> Any:
        return edge(name, VALLEY, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0), roof=owner, outline_edges=(4,))

    note = Finding("f", Severity.NOTE, "text")
    a = lone("a", of("V1", "a"), x=1.0, at=("N1",), cut_away_mm2=5.0)
    b = lone("b", of("V2", "d"), x=2.0, at=("N2",), cut_away_mm2=7.0, closed=False, findings=(note,))
    c = lone("c", of("V3", "c"), x=3.0, at=("N3",))
    d = lone(
        "d", of("V1", "a"), of("V2", "d"), of("V4", "d"), x=4.0, at=("N1", "N2", "N4"), cut_away_mm2=11.0, partial=True
    )
    assert joint._groups([a, b, c, d]) == [[0, 1, 3], [2]]
    one, alone = joint.joint_roofs([a, b, c, d])
    assert alone is c
    assert (one.name, one.cut_away_mm2, one.closed, one.partial, one.findings) == ("a", 23.0, False, True, (note,))
    assert one.outline_mm == tuple(box(x, 0.0, x + 1.0, 1.0) for x in (1.0, 2.0, 4.0))
    assert one.wall_line_mm == tuple(box(x, 0.0, x + 2.0, 1.0) for x in (1.0, 2.0, 4.0))
    # an edge's outline numbers are those of the roof that it names, whichever brings it first
    assert [(e.id, e.roof, e.outline_edges) for e in one.edges] == [
        ("V1", "a", (4,)),
        ("V2", "d", (4,)),
        ("V4", "d", (4,)),
    ]
    stray = joint._edges([lone("x", of("V9", "far"))])
    assert [(e.id, e.outline_edges) for e in stray] == [("V9", ())]
    assert [(n.id, n.edges) for n in one.nodes] == [
        ("N1", ("V1", "V2", "V4")),
        ("N2", ("V2", "V1", "V4")),
        ("N4", ("V1", "V2", "V4")),
    ]
    placed = joint.roofs_in_place([a, b, c, d])
    assert [(each.name, [n.id for n in each.nodes], len(each.edges)) for each in placed] == [
        ("a", ["N1"], 3), ("b", ["N2"], 3), ("c", ["N3"], 1), ("d", ["N4"], 3),
    ]  # fmt: skip
