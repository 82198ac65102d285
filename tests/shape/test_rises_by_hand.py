"""How edges rise, and outlines from wall lines on their way to a roof: every record and message whole, figures by hand."""

from __future__ import annotations

from math import radians, tan
from typing import Any

import pytest
from made_roofs import box

from takeoff.basics.errors import Fault, ShapeError
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.edges import EdgeJob, RiseStep
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Covering, UprightKind
from takeoff.shape.faces.parts import Face
from takeoff.shape.outline import roof_from_outline as raising
from takeoff.shape.outline.outline_checks import CheckedRings
from takeoff.shape.outline.overhangs import Outline
from takeoff.shape.outline.recesses import Recess
from takeoff.shape.outline.rise_words import written_rise
from takeoff.shape.outline.rises import EdgeRise, edge_rises, overhang_mm, plate_heights, unreached_steps
from takeoff.shape.outline_order.put_in_order import OrderedRings
from takeoff.shape.skeleton.record import FASCIA_STEP, JOG_STEP, EdgeProfile, SkeletonFace, SkeletonNote
from takeoff.shape.skeleton.record import RiseStep as Solved

TWO = {"lower_pitch_deg": 60, "to_mm": 900, "upper_pitch_deg": 20}
UPRIGHT = Solved(None, 90.0)


def job(**more: Any) -> RoofJob:
    return RoofJob.model_validate({"name": "main", **more})


@pytest.mark.parametrize(
    ("edge", "roof", "steps"),
    [
        ({}, {"pitch_deg": 30}, None),
        ({"rise": [{"pitch_deg": 10, "up_to_mm": 500}, {"flat": True}]}, {"pitch_deg": 30},
         [{"pitch_deg": 10, "up_to_mm": 500}, {"flat": True}]),
        ({"half_hip_from_mm": 800}, {"pitch_deg": 30}, [{"up_to_mm": 800, "vertical": True}, {"pitch_deg": 30}]),
        ({"half_hip_from_mm": 800, "pitch_deg": 45}, {"pitch_deg": 30}, [{"up_to_mm": 800, "vertical": True}, {"pitch_deg": 45}]),
        ({"gablet_from_mm": 700}, {"pitch_deg": 30}, [{"up_to_mm": 700, "pitch_deg": 30}, {"vertical": True}]),
        ({"mansard": TWO}, {"pitch_deg": 30}, [{"up_to_mm": 900, "pitch_deg": 60}, {"pitch_deg": 20}]),
        ({"gambrel": TWO}, {"pitch_deg": 30}, [{"up_to_mm": 900, "pitch_deg": 60}, {"pitch_deg": 20}]),
        ({}, {"mansard": TWO}, [{"up_to_mm": 900, "pitch_deg": 60}, {"pitch_deg": 20}]),
        ({}, {"gambrel": TWO}, [{"up_to_mm": 900, "pitch_deg": 60}, {"pitch_deg": 20}]),
        ({"pitch_deg": 25}, {"mansard": TWO}, None), ({"kind": "gable"}, {"mansard": TWO}, None), ({"kind": "wall"}, {"gambrel": TWO}, None),
        ({"kind": "eave"}, {"mansard": TWO}, [{"up_to_mm": 900, "pitch_deg": 60}, {"pitch_deg": 20}]),
        ({"sprocket": {"pitch_deg": 15, "to_mm": 300}}, {"pitch_deg": 30}, [{"up_to_mm": 300, "pitch_deg": 15}, {"pitch_deg": 30}]),
        ({}, {"pitch_deg": 30, "sprocket": {"pitch_deg": 15, "to_mm": 300}}, [{"up_to_mm": 300, "pitch_deg": 15}, {"pitch_deg": 30}]),
        ({"pitch_deg": 25}, {"pitch_deg": 30, "sprocket": {"pitch_deg": 15, "to_mm": 300}}, None),
    ],
)  # fmt: skip
def test_the_steps_that_words_stand_for(
    edge: dict[str, Any], roof: dict[str, Any], steps: list[dict[str, Any]] | None
) -> None:
    due = None if steps is None else [RiseStep.model_validate(step) for step in steps]
    assert written_rise(EdgeJob.model_validate(edge), job(**roof)) == due


def rises(count: int = 4, fascia: float = 2400.0, **more: Any) -> tuple[dict[int, EdgeRise], tuple[str, ...]]:
    return edge_rises(job(**more), count, fascia)


def test_how_the_edges_of_a_roof_rise() -> None:
    """Overhangs 600 and 300; edge 2 a gable of its own overhang and fascia, edge 3 a half hip, 4 a wall, 5 in its own figures."""
    found, faults = rises(
        6, pitch_deg=25, eave_overhang_mm=600, verge_overhang_mm=300,
        edges={
            2: {"kind": "gable", "verge_overhang_mm": 450, "fascia_height_mm": 2700}, 3: {"half_hip_from_mm": 900}, 4: {"kind": "wall"},
            5: {"eave_overhang_mm": 700, "pitch_deg": 15, "verge_overhang_mm": 9}, 6: {"kind": "gable", "eave_overhang_mm": 9},
        },
    )  # fmt: skip
    assert faults == ()
    assert found == {
        1: EdgeRise("eave", 2400.0, 600.0, EdgeProfile(2400.0, (Solved(None, 25.0),))),
        2: EdgeRise("gable", 2700.0, 450.0, EdgeProfile(2700.0, (UPRIGHT,))),
        3: EdgeRise("gable", 2400.0, 300.0, EdgeProfile(2400.0, (Solved(3300.0, 90.0), Solved(None, 25.0)))),
        4: EdgeRise("wall", 2400.0, 0.0, EdgeProfile(2400.0, (UPRIGHT,))),
        5: EdgeRise("eave", 2400.0, 700.0, EdgeProfile(2400.0, (Solved(None, 15.0),))),
        6: EdgeRise("gable", 2400.0, 300.0, EdgeProfile(2400.0, (UPRIGHT,))),
    }
    one = job(eave_overhang_mm=600, verge_overhang_mm=300, pitch_deg=25)
    for edge, due in (
        ({}, 600.0),
        ({"kind": "gable"}, 300.0),
        ({"half_hip_from_mm": 9}, 300.0),
        ({"gablet_from_mm": 9}, 600.0),
        ({"kind": "wall"}, 0.0),
    ):
        assert overhang_mm(one, EdgeJob.model_validate(edge)) == due
    # walls closed by one slope are no fault, nor is a roof of gables that ends in a step
    assert rises(3, pitch_deg=25, edges={1: {"kind": "gable"}, 2: {"kind": "wall"}})[1] == ()


def test_a_flat_top_ends_every_slope() -> None:
    """1000 over the roof's own fascia of 2400, whatever an edge's: 3400; a gable goes on up."""
    edges = {2: {"kind": "gable"}, 3: {"fascia_height_mm": 2300, "mansard": TWO}}
    found, faults = rises(3, pitch_deg=25, flat_top_at_mm=1000, edges=edges)
    assert faults == ()
    assert [found[n].profile.steps for n in (1, 2, 3)] == [
        (Solved(3400.0, 25.0), Solved(None, 0.0)),
        (UPRIGHT,),
        (Solved(3200.0, 60.0), Solved(3400.0, 20.0), Solved(None, 0.0)),
    ]


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"edges": {7: {}, 5: {}}, "pitch_deg": 25}, [("there is no edge 5; its edges are numbered 1 to 4", 5), ("there is no edge 7; its edges are numbered 1 to 4", 7)]),
        ({"edges": {2: {"pitch_deg": 20}, 3: {"kind": "gable"}, 4: {"kind": "wall"}}}, [("edge 1 has no pitch; give pitch_deg to the roof or the edge, or make it a gable", 1)]),
        ({"pitch_deg": 25, "edges": {2: {"rise": [{"up_to_mm": 500}, {"flat": True}, {"pitch_deg": 9}]}}},
         [("edge 2, step 2 of its rise is flat: a flat top ends the roof, so it must be the last step", 2),
          ("edge 2, step 2 of its rise needs up_to_mm, the height above the fascia where the next step begins", 2)]),
        ({"pitch_deg": 25, "edges": {1: {"rise": [{"up_to_mm": 500}, {"up_to_mm": 500}, {"pitch_deg": 9, "up_to_mm": 900}]}}},
         [("edge 1, step 2 of its rise ends at 500, not above 500 where it begins", 1), ("edge 1, step 3 of its rise is the last and goes to the top; leave out up_to_mm", 1)]),
        ({"pitch_deg": 25, "edges": {1: {"rise": [{"up_to_mm": 500}, {"up_to_mm": 400}, {"up_to_mm": 450}, {}]}}},
         [("edge 1, step 2 of its rise ends at 400, not above 500 where it begins", 1), ("edge 1, step 3 of its rise ends at 450, not above 500 where it begins", 1)]),
        ({"edges": {1: {"rise": [{"up_to_mm": 500}, {"pitch_deg": 9}]}, 2: {"pitch_deg": 9}, 3: {"pitch_deg": 9}, 4: {"pitch_deg": 9}}},
         [("edge 1, step 1 of its rise: give pitch_deg, vertical or flat", 1)]),
        ({"pitch_deg": 25, "edges": {1: {"rise": [{"up_to_mm": 500, "vertical": True, "pitch_deg": 9}, {"flat": True, "vertical": True}]}}},
         [("edge 1, step 1 of its rise: give one of pitch_deg, vertical and flat", 1), ("edge 1, step 2 of its rise: give one of pitch_deg, vertical and flat", 1)]),
        ({"pitch_deg": 25, "edges": {1: {"kind": "gable", "rise": [{"up_to_mm": 500}, {"vertical": True}]}}},
         [("edge 1 is a gable but its rise does not start upright; make its first step vertical", 1)]),
        ({"pitch_deg": 25, "edges": {1: {"kind": "eave", "rise": [{"up_to_mm": 500, "vertical": True}, {}]}}},
         [("edge 1 is an eave but its rise starts upright; call it a gable", 1)]),
        ({"pitch_deg": 25, "flat_top_at_mm": 900, "edges": {1: {"rise": [{"up_to_mm": 500}, {"flat": True}]}}},
         [("edge 1 has a flat top of its own; leave out flat_top_at_mm, or the last step", 1)]),
        ({"pitch_deg": 25, "flat_top_at_mm": 500, "edges": {1: {"rise": [{"up_to_mm": 500}, {"pitch_deg": 9}]}}},
         [("edge 1: the flat top lies where its last step begins; leave out one of them", 1)]),
        ({"pitch_deg": 25, "flat_top_at_mm": 400, "edges": {1: {"rise": [{"up_to_mm": 500}, {"pitch_deg": 9}]}}},
         [("edge 1: the flat top must lie above the height where its last step begins, which is 100 mm higher", 1)]),
    ],
)  # fmt: skip
def test_rises_that_no_edge_can_have(more: dict[str, Any], said: list[tuple[str, int]]) -> None:
    faults = rises(**more)[1]
    assert faults == tuple(f"roof main: {text}" for text, _ in said)
    assert [fault.path for fault in faults] == [("roofs", "main", "edge", number) for _, number in said]  # type: ignore[attr-defined]


def test_a_roof_of_upright_edges_never_closes() -> None:
    gables = {n: {"kind": "gable"} for n in (1, 2, 3)}
    (fault,) = rises(3, edges=gables)[1]
    assert (
        fault == "roof main: no edge slopes: edges 1 to 3 all stand upright and never close; give one of them a pitch"
    )
    assert isinstance(fault, Fault)
    assert fault.path == ("roofs", "main")


def plain(
    pitch: float | None, name: str = "eave", fascia: float = 2400.0, over: float = 600.0, *more: Solved
) -> EdgeRise:
    return EdgeRise(name, fascia, over, EdgeProfile(fascia, (Solved(None, pitch), *more)))


def test_heights_of_the_roof_over_the_wall() -> None:
    found = plate_heights(
        {
            1: plain(25.0),
            2: plain(90.0, "gable"),
            3: plain(10.0, fascia=2000.0, over=300.0),
            4: plain(0.0),
            5: plain(90.0),
            6: plain(30.0, "gable"),
            7: plain(None),
        }
    )
    assert found == pytest.approx({1: 2400.0 + 600.0 * tan(radians(25.0)), 3: 2000.0 + 300.0 * tan(radians(10.0))})


def test_steps_that_the_roof_never_reaches() -> None:
    """Edge 1 makes its first face only, up to 3900; edge 2 is reached; edge 3's flat top makes no face; edge 4 has none at all."""
    steps = (Solved(3400.0, 25.0), Solved(4400.0, 45.0), Solved(None, 60.0))

    def face(edge: int, step: int, top: float, **more: Any) -> Face:
        return Face(
            (((0.0, 0.0, 2400.0), (1.0, 0.0, top), (0.0, 1.0, 2500.0)),), (0.0, 0.0, 1.0), (edge,), step, **more
        )

    given = {
        1: EdgeRise("eave", 2400.0, 0.0, EdgeProfile(2400.0, steps)), 2: EdgeRise("eave", 2400.0, 0.0, EdgeProfile(2400.0, steps)),
        3: EdgeRise("eave", 2300.0, 0.0, EdgeProfile(2300.0, (Solved(5000.0, 25.0), Solved(None, 0.0)))),
        4: EdgeRise("gable", 2400.0, 0.0, EdgeProfile(2400.0, (Solved(None, 90.0), Solved(None, 25.0)))),
    }  # fmt: skip
    faces = [
        face(1, 0, 3900.0, pitch_deg=25.0),
        *(face(2, step, 5000.0, pitch_deg=25.0) for step in (0, 1, 2)),
        face(3, 0, 4100.0, pitch_deg=25.0),
    ]

    def due(edge: int, what: str, begin: int, top: int) -> Finding:
        text = f"roof main: edge {edge}: {what} begins {begin} mm over its fascia, but the roof over that edge ends at {top} mm and never gets there"
        return Finding(
            "rise-not-reached", Severity.WARN, text, "let it begin lower, or leave it out", refs=(f"edge {edge}",)
        )

    first, third = due(1, "step 2 of its rise", 1000, 1500), due(3, "the flat top", 2700, 1800)
    assert unreached_steps("main", given, faces) == [first, third, due(4, "step 2 of its rise", 0, 0)]
    flat = face(9, 1, 3000.0, pitch_deg=0.0)
    assert unreached_steps("main", given, [*faces, flat]) == [first, due(4, "step 2 of its rise", 0, 0)]
    second = [face(1, 0, 4300.0, pitch_deg=25.0), face(1, 1, 4300.0, pitch_deg=45.0)]
    assert unreached_steps("main", {1: given[1]}, second) == [due(1, "step 3 of its rise", 2000, 1900)]
    gable = face(9, 1, 3000.0, pitch_deg=0.0, upright=UprightKind.GABLE)
    assert unreached_steps("main", {3: given[3]}, [faces[4], gable]) == [third]


SQUARE = box(100.0, 200.0, 4100.0, 3200.0)


def test_sides_look_into_the_roof() -> None:
    """Whichever way a ring runs, round the outline or round a court; a jog stands from the lower of its neighbours."""
    court = box(1000.0, 1000.0, 1500.0, 1500.0)
    outline = Outline((SQUARE, court), ((1, 2, 9, 4), (5, 6, 7, 8)), {9: (2, 4)})
    given = {n: plain(25.0, fascia=2400.0 + 100.0 * n) for n in range(1, 9)}
    sides = raising._sides(outline, given)
    assert [(side.number, side.inward, side.jog) for side in sides] == [
        (1, (0.0, 1.0), False), (2, (-1.0, 0.0), False), (9, (0.0, -1.0), True), (4, (1.0, 0.0), False),
        (5, (0.0, -1.0), False), (6, (1.0, 0.0), False), (7, (0.0, 1.0), False), (8, (-1.0, 0.0), False),
    ]  # fmt: skip
    assert sides[2].rise == EdgeRise("gable", 2600.0, 0.0, EdgeProfile(2600.0, (UPRIGHT,)))
    assert sides[1].rise is given[2]
    back = Outline((SQUARE[::-1], court[::-1]), outline.numbers, outline.jogs)
    assert [side.inward for side in raising._sides(back, given)][:5] == [
        (0.0, -1.0),
        (-1.0, 0.0),
        (0.0, 1.0),
        (1.0, 0.0),
        (0.0, 1.0),
    ]
    slanting = Outline((((100.0, 200.0), (500.0, 500.0), (-500.0, 1000.0)),), ((1, 2, 3),), {})
    assert raising._sides(slanting, given)[0].inward == (-0.6, 0.8)


RISE = EdgeRise(
    "eave", 2400.0, 600.0, EdgeProfile(2400.0, (Solved(3000.0, 90.0), Solved(4000.0, 30.0), Solved(None, 0.0)))
)
SIDE = raising._Side(7, (0.6, 0.8), RISE, False)
RING = (
    (0.0, 0.0, 0.0),
    (8.0, -6.0, 0.0),
    (8.0, -6.0, 5.0),
)  # along the side, whose roof is on its left: seen from outside


def test_solved_faces_as_faces_of_the_roof() -> None:
    sloping = raising._face(SkeletonFace(0, 1, (RING,), 9.0, False), SIDE)
    assert sloping == Face((RING,), sloping.normal, (7,), 1, None, 30.0, Covering.SHEETS, 2400.0)
    assert sloping.normal == pytest.approx((-0.3, -0.4, 0.75**0.5))
    assert raising._face(SkeletonFace(0, 2, (RING,), 9.0, False), SIDE) == Face(
        (RING,), (0.0, 0.0, 1.0), (7,), 2, None, 0.0, Covering.OTHER, 2400.0
    )
    outward = Face((RING,), (-0.6, -0.8, 0.0), (7,), 0, UprightKind.GABLE, fascia_mm=2400.0)
    assert raising._face(SkeletonFace(0, 0, (RING,), 0.0, True), SIDE) == outward
    assert raising._face(SkeletonFace(0, 0, (RING[::-1],), 0.0, True), SIDE) == outward
    jog = raising._face(SkeletonFace(0, JOG_STEP, (RING,), 0.0, True), SIDE)
    assert jog == Face((RING,), (-0.6, -0.8, 0.0), (), JOG_STEP, UprightKind.STEP, fascia_mm=2400.0)


@pytest.mark.parametrize(
    ("step", "name", "jog", "kind"),
    [
        (0, "eave", False, UprightKind.GABLE), (FASCIA_STEP, "eave", False, UprightKind.GABLE), (1, "eave", False, UprightKind.STEP),
        (2, "eave", False, UprightKind.GABLE), (0, "gable", True, UprightKind.STEP), (1, "wall", False, UprightKind.ABUTTING), (0, "wall", True, UprightKind.ABUTTING),
    ],
)  # fmt: skip
def test_what_an_upright_face_is(step: int, name: str, jog: bool, kind: UprightKind) -> None:
    assert (
        raising._upright_kind(step, raising._Side(7, (0.6, 0.8), EdgeRise(name, 0.0, 0.0, RISE.profile), jog)) is kind
    )


def test_what_is_said_of_a_roof_from_its_outline() -> None:
    one = Finding(
        "corners-joined",
        Severity.FIXED,
        "roof main: 1 corner within 3 mm of another were made one with it",
        "the drawing is rounded; set it out to whole figures",
    )
    assert raising._joined_findings("main", 1) == [one]
    assert (
        raising._joined_findings("main", 2)[0].text
        == "roof main: 2 corners within 3 mm of another were made one with it"
    )
    assert raising._joined_findings("main", 0) == []
    recess = raising._recess_finding("main", Recess((3, 4, 5), 1100.4, 800.6, 1200.0))
    text = (
        "roof main: the recess of edges 3 to 5, 1100 mm wide and 801 mm deep, is no wider than the overhangs of its two sides together (1200 mm): "
        "the roof goes straight across it"
    )
    advice = "if it is to stay open, give its sides less overhang, or the outline itself"
    assert recess == Finding("recess-roofed-over", Severity.WARN, text, advice, refs=("edge 3", "edge 4", "edge 5"))
    note = raising._finding(
        "main", SkeletonNote("step", (0, 1, 5), "Edges 1 and 2."), [SIDE, raising._Side(9, (0.0, 1.0), RISE, False)]
    )
    assert note == Finding("step", Severity.NOTE, "roof main: Edges 1 and 2.", refs=("edge 7", "edge 9"))


def test_heights_taken_and_wall_plates_out_of_level_are_told() -> None:
    """600 of overhang at 25 and 30 degrees: 279.8 and 346.4 over the fascia; plates 5 mm apart are one height."""
    taken = Finding(
        "fascia-height-taken", Severity.NOTE, "roof main: no fascia height given; 2400 mm over the floor was taken",
        "Add under the roof, since downpipes, walls and gables are measured from it: `fascia_height_mm: 2700`.",
    )  # fmt: skip
    walls = job(wall_line=list(SQUARE))
    given = {3: plain(25.0), 1: plain(30.0), 4: plain(30.0), 2: plain(25.0)}
    text = "roof main: the roof stands 2680 mm over the floor at wall 2 but 2746 mm at wall 1: the wall plates are not level with each other"
    advice = "pitches or overhangs differ; give fascia heights by edge, or overhangs that bring the plates level"
    plates = Finding("wall-plates-unequal", Severity.WARN, text, advice, refs=("edge 1", "edge 2", "edge 3", "edge 4"))
    assert raising._height_findings(walls, given, 2400.0) == [taken, plates]
    assert raising._height_findings(job(outline=list(SQUARE), fascia_height_mm=2500), given, 2400.0) == []
    for apart, told in ((5.0, 0), (5.1, 1)):
        near = {1: plain(45.0), 2: plain(45.0, over=600.0 + apart)}
        assert len(raising._height_findings(job(wall_line=list(SQUARE), fascia_height_mm=2500), near, 2400.0)) == told


@pytest.mark.parametrize(("turn", "told"), [(0.0, 0), (0.99, 1), (1.01, 0), (-0.5, 1)])
def test_corners_that_hardly_turn_are_asked_about(turn: float, told: int) -> None:
    """At point 2 of a ring that lies away from the origin, whose edges are numbered from 5."""
    end = (4100.0 + 3000.0, 200.0 + 3000.0 * tan(radians(turn)))
    ring = ((100.0, 200.0), (4100.0, 200.0), end, (4100.0, 9200.0))
    found = raising._slight_turns("main", CheckedRings((box(0.0, 0.0, 9.0, 9.0), ring), (1, 5), ()))
    text = f"roof main: edges 5 and 6 turn by {abs(turn):.3f} degrees only"
    advice = "if the wall is straight there, put point 2 on the line or take it out"
    assert found == [Finding("corner-nearly-straight", Severity.NOTE, text, advice, ("edge 5", "edge 6"))] * told
    assert raising._turn_deg(ring, 1) == pytest.approx(turn)
    assert raising._turn_deg(((0.0, 0.0), (0.0, -5.0), (-5.0, -5.0)), 1) == pytest.approx(-90.0)


def test_faults_of_the_solver_are_told_at_the_edge_that_was_typed() -> None:
    """Sides 1 to 3 are edges 4, 9 (a jog between 4 and 6) and 6."""
    sides = [raising._Side(n, (0.0, 1.0), RISE, n == 9) for n in (4, 9, 6)]
    outline = Outline((SQUARE,), ((4, 9, 6),), {9: (4, 6)})
    for side, edge in ((1, 4), (2, 4), (3, 6)):
        fault = raising._as_typed(Fault("text", "edge", side), outline, sides)
        assert (fault, fault.path) == ("text", ("edge", edge))  # type: ignore[attr-defined]
    assert raising._as_typed("text", outline, sides) == "text"
    assert raising._of_roof("main", "roof main: said").path == ("roofs", "main")
    placed = raising._of_roof("main", Fault("said", "edge", 4))
    assert (placed, placed.path) == ("roof main: said", ("roofs", "main", "edge", 4))
    with pytest.raises(ShapeError) as refused:
        raising._solve(
            "main",
            Outline((SQUARE,), ((1, 2, 9, 4),), {9: (2, 4)}),
            [raising._Side(n, (0.0, 1.0), plain(90.0), n == 9) for n in (1, 2, 9, 4)],
        )
    assert refused.value.faults == (
        "roof main: Edges 1, 2, 3, 4 enclose a part of the roof that no sloping plane reaches: it never closes. Give at least one of these edges a pitch.",
        "roof main: edges are counted round the outline here, with its jogs between edges 2 and 4",
    )


def test_a_roof_without_rings_is_refused() -> None:
    from takeoff.model.job.job import Job
    from takeoff.read.job.settings import resolve_settings

    with pytest.raises(ShapeError) as refused:
        raising.roof_from_outline(job(pitch_deg=25), 0.0, resolve_settings(Job(job="check")))
    assert refused.value.faults == ("roof main: give a wall_line or an outline",)
    lean = job(outline=list(SQUARE), pitch_deg=25, edges={n: {"kind": "gable"} for n in (2, 3, 4)})
    found = raising.roof_from_outline(
        lean, 350.0, resolve_settings(Job(job="check")), 5, OrderedRings((7.0, 8.0, 0.0), (SQUARE,))
    )
    assert [(p.id, p.bearing_deg, p.outline_edges) for p in found.planes] == [("P5", 170.0, (1,))]
    assert (found.origin_mm, found.outline_mm, found.wall_line_mm, found.edge_numbers) == (
        (7.0, 8.0, 0.0),
        (SQUARE,),
        (),
        ((1, 2, 3, 4),),
    )
    assert found.edge_names == ("eave", "gable", "gable", "gable")
