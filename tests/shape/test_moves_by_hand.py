"""How far the edges of a model are moved to the outline, and what goes with them: every figure by hand."""

from __future__ import annotations

from typing import Any

import pytest
from made_roofs import box, edge, node, rising, roof, standing

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import UprightKind
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.faces.parts import Face
from takeoff.shape.imported import mesh_moves as moving

E = EdgeKind
SETTINGS = resolve_settings(Job(job="check"))


def test_how_far_free_edges_of_a_model_lie_inside_the_outline() -> None:
    """A slope of 3 in 4: sheets 50 past an eave end 40 inside in plan, square to it; a verge moves by its own trim."""
    plane = rising("P1", 0.0, 0.0, 0.75, box(0.0, 0.0, 9000.0, 4000.0))
    eave = edge("E1", E.EAVE, (0.0, 0.0, 0.0), (9000.0, 0.0, 0.0), outline_edges=(1,), low="N1", high="N2")
    verge = edge("E2", E.VERGE, (9000.0, 0.0, 0.0), (9000.0, 4000.0, 3000.0), outline_edges=(2,), low="N2", high="N3")
    ridge = edge("E3", E.RIDGE, (0.0, 4000.0, 3000.0), (9000.0, 4000.0, 3000.0), faces=("P1", "P2"))
    one = roof(planes=(plane,), edges=(eave, verge, ridge))
    job = RoofJob(name="main", eave_overhang_mm=600.0, verge_overhang_mm=300.0)

    def moves(line: str, bare: tuple[int, ...] = ()) -> dict[str, float]:
        return moving.edge_moves(one, line, job, SETTINGS, 125.0, bare)

    assert moves("wall_line") == {"E1": 600.0, "E2": 300.0}
    assert moves("spouting_outside") == {"E1": -125.0, "E2": 0.0}
    assert moves("spouting_outside", (1,)) == {"E1": 0.0, "E2": 0.0}
    over = SETTINGS.number("sheet_over_eave_mm")
    assert moves("sheet_end")["E1"] == pytest.approx(-0.8 * over)
    assert moves("sheet_end", (1, 7))["E1"] == pytest.approx(-0.8 * SETTINGS.number("sheet_over_bare_eave_mm"))
    assert moves("sheet_end")["E2"] == pytest.approx(-SETTINGS.number("verge_trim_mm"))


def test_the_eave_of_a_half_hip_is_in_a_gable() -> None:
    def on(name: str, kind: EdgeKind, low: str, high: str, *numbers: int) -> Any:
        return edge(name, kind, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0), low=low, high=high, outline_edges=numbers)

    eave = on("E1", E.EAVE, "a", "b", 2)
    left, right = on("V1", E.VERGE, "x", "a", 2), on("V2", E.VERGE, "y", "b", 2)
    assert moving._in_gable(eave, [eave, left, right])
    assert not moving._in_gable(eave, [eave, left])
    assert not moving._in_gable(eave, [eave, left, on("V2", E.VERGE, "y", "b", 3)])
    assert not moving._in_gable(eave, [eave, left, on("V2", E.EAVE, "y", "b", 2)])


@pytest.mark.parametrize(
    ("moves", "joined", "said", "code"),
    [
        ({"E1": 600.0, "E2": 600.9, "V1": -300.0}, 0.0, "2 eaves moved outwards by 600 mm, 1 verge moved inwards by 300 mm", "roof-edge-moved"),
        ({"E1": 500.0, "E2": 600.0, "V1": 0.0}, 0.5, "2 eaves moved outwards by 500 to 600 mm, 1 verge left in place", "roof-edge-moved"),
        ({"E1": -40.0, "E2": -50.0, "V1": 0.0}, 0.51,
         "2 eaves moved inwards by 40 to 50 mm, 1 verge left in place; planes that then parted at a corner by up to 0.5 mm were brought together", "roof-edge-moved"),
        ({"E1": 0.0, "E2": 0.0, "V1": 0.0}, 0.0, "2 eaves left in place, 1 verge left in place", "roof-edge-not-moved"),
    ],
)  # fmt: skip
def test_what_was_moved_is_told_by_kind(moves: dict[str, float], joined: float, said: str, code: str) -> None:
    edges = tuple(edge(name, E.EAVE if name[0] == "E" else E.VERGE, (0.0, 0.0, 0.0), (9.0, 0.0, 0.0)) for name in moves)
    found = moving._moved_finding(roof(edges=edges), "wall line", moves, joined)
    text = f"roof main: its model is drawn to the wall line; to bring it to the outline: {said}"
    advice = (
        "check the length of one eave on site"
        if code == "roof-edge-moved"
        else "give eave_overhang_mm and verge_overhang_mm if the roof goes past that line"
    )
    assert found == Finding(code, Severity.NOTE if code == "roof-edge-moved" else Severity.WARN, text, advice)


def test_an_upright_face_goes_with_its_nodes() -> None:
    """Its foot with the node it is, its top with the node under it, a corner near neither stays."""
    gable = standing(
        "U1",
        (0.0, 0.0, 2400.0),
        (6000.0, 0.0, 2400.0),
        ((0.0, 0.0), (6000.0, 0.0), (6000.0, 900.0), (3000.0, 1500.0)),
        edge=3,
    )
    ends = {"N1": (0.0, 0.0, 2404.9), "N2": (6000.0, 4.0, 2400.0)}
    one = roof(
        uprights=(gable,), edges=(edge("V1", E.VERGE, ends["N1"], ends["N2"], faces=("U1",)),), nodes=tuple(node(name, at) for name, at in ends.items())
    )  # fmt: skip
    at = {"N1": (-300.0, -10.0, 2200.0), "N2": (6300.0, -20.0, 2250.0)}
    ring = ((-300.0, -10.0, 2200.0), (6300.0, -20.0, 2250.0), (6300.0, -20.0, 3300.0), (3000.0, 0.0, 3900.0))
    assert moving._upright_face(one, gable, at) == Face((ring,), (0.0, -1.0, 0.0), (3,), upright=UprightKind.GABLE)
    assert moving._right_of((1.0, 2.0, 0.0), (4.0, 6.0, 9.0)) == (0.8, -0.6)
    assert moving._right_of((1.0, 2.0, 0.0), (1.0, 2.0, 9.0)) == (0.0, 0.0)
