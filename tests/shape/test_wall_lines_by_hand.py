"""Wall lines with their storeys, walls under roofs of their own and of others: records and messages whole."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from made_roofs import box, edge, roof, standing

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.job.walls import GroundJob, StoreyJob, WallsJob
from takeoff.model.walls import Corner, Elevation, GroundPart, Opening
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.walls import line_walls as lining
from takeoff.shape.walls import walls as building
from takeoff.shape.walls.covered_parts import CoverRule
from takeoff.shape.walls.wall_draft import Draft
from takeoff.shape.walls.wall_edges import WallEdge, run_beside, wall_edges
from takeoff.shape.walls.wall_lines import WallLine, unclad_lines, wall_lines

OUT = Corner("external", 90.0)
E = EdgeKind


def settings(**given: Any) -> Any:
    return resolve_settings(Job.model_validate({"job": "check", "settings": given}))


def walls(**given: Any) -> WallsJob:
    return WallsJob.model_validate({"zones": [{"board": "bevel_187"}], **given})


HOUSE = roof("main", wall_line_mm=(box(0.0, 0.0, 9000.0, 6000.0), box(3000.0, 2000.0, 5000.0, 3000.0)))
WING = roof("wing", wall_line_mm=(box(9000.0, 0.0, 12000.0, 4000.0),))
PORCH = roof("porch")


def lines(given: WallsJob, *roofs: Any) -> tuple[Any, list[str]]:
    faults: list[str] = []
    return wall_lines(given, roofs, faults), faults


def test_the_walls_of_every_wall_line_are_numbered_on() -> None:
    found, faults = lines(walls(height_mm=2400), HOUSE, PORCH, WING)
    assert (found, faults) == ((WallLine(HOUSE, 0, (0.0,), 2400.0), WallLine(WING, 8, (0.0,), 2400.0)), [])
    assert [line.walls for line in found] == [8, 4]
    assert lines(walls(height_mm=2400, roof="wing"), HOUSE, WING)[0] == (WallLine(WING, 0, (0.0,), 2400.0),)
    two = [StoreyJob(roof="wing", floor_mm=300, height_mm=2400), StoreyJob(roof="wing", floor_mm=2950, height_mm=2300)]
    assert lines(walls(height_mm=2700, storeys=two), HOUSE, WING)[0] == (
        WallLine(HOUSE, 0, (0.0,), 2700.0),
        WallLine(WING, 8, (300.0, 2950.0), 5250.0),
    )
    alone = walls(elevations=[{"name": "shed", "width_mm": 3000, "height_mm": 2100}])
    assert lines(alone, HOUSE) == ((), [])
    assert lines(alone.model_copy(update={"height_mm": 2400.0}), PORCH) == ((), [])
    assert lines(alone.model_copy(update={"height_mm": 2400.0}), HOUSE)[0] == (WallLine(HOUSE, 0, (0.0,), 2400.0),)
    both = alone.model_copy(update={"storeys": [StoreyJob(roof="main", floor_mm=0, height_mm=2400)]})
    assert lines(both, HOUSE)[0] == (WallLine(HOUSE, 0, (0.0,), 2400.0),)


@pytest.mark.parametrize(
    ("given", "roofs", "said"),
    [
        ({"height_mm": 2400}, (), ["walls: there is no roof to take a wall line from; give the walls as elevations."]),
        ({"height_mm": 2400}, (PORCH,), ["walls: roof porch has no wall line; give its wall_line, or the walls as elevations."]),
        ({"height_mm": 2400, "roof": "porch"}, (HOUSE, PORCH), ["walls: roof porch has no wall line; give its wall_line, or the walls as elevations."]),
        ({"height_mm": 2400, "roof": "wings"}, (HOUSE, WING), ["walls.roof: there is no roof wings; did you mean wing?"]),
        ({}, (HOUSE, WING), ["walls.height_mm: give the frame height, finished floor to the soffit line or plate [mm]."]),
        ({"height_mm": 2400, "storeys": [{"roof": "porch", "floor_mm": 0, "height_mm": 2400}]}, (HOUSE, PORCH), ["walls.storeys[1].roof: there is no roof porch with a wall line."]),
        ({"height_mm": 2400, "storeys": [{"roof": "main", "floor_mm": 0, "height_mm": 2400}, {"roof": "wing", "floor_mm": 0, "height_mm": 2400},
                                         {"roof": "main", "floor_mm": 2399.4, "height_mm": 2400}]}, (HOUSE, WING),
         ["walls.storeys[3].floor_mm: 2399.4 is under the top of storey 1 (2400); give the storeys of main from the lowest up, each floor over the frame below it."]),
        ({"storeys": [{"roof": "main", "floor_mm": 0, "height_mm": 2400}, {"roof": "main", "floor_mm": 2399.5, "height_mm": 2400}]}, (HOUSE,), []),
    ],
)  # fmt: skip
def test_wall_lines_that_cannot_be(given: dict[str, Any], roofs: tuple[Any, ...], said: list[str]) -> None:
    assert lines(walls(**given), *roofs)[1] == said


def test_wall_lines_that_nothing_clads_are_told() -> None:
    def due(name: str, height: str) -> Finding:
        advice = (
            f"To clad it too, add under the walls: `storeys: [{{roof: {name}, floor_mm: 0, height_mm: {height}}}]`."
        )
        return Finding(
            "wall-line-unclad",
            Severity.WARN,
            f"The wall line of roof {name} is clad by nothing in this order.",
            advice,
            (name,),
        )

    assert unclad_lines(walls(), (HOUSE, PORCH, WING), ("main",)) == (due("wing", "2400"),)
    assert unclad_lines(walls(height_mm=2700.5), (HOUSE, WING), ()) == (due("main", "2700.5"), due("wing", "2700.5"))


def draft(number: int = 1, **more: Any) -> Draft:
    return Draft(
        f"wall {number}",
        number,
        5000.0,
        2400.0,
        ((0.0, 2400.0), (5000.0, 2400.0)),
        OUT,
        OUT,
        90.0,
        (1.0, 2.0),
        (3.0, 4.0),
        -50.0,
        **more,
    )


def test_the_ground_along_walls() -> None:
    """300 below the floor where nothing is said, 150 beside paving (or as the settings have it); a note names the walls that
    have none of their own."""
    plain = settings()
    below, paved = plain.number("ground_below_floor_mm"), plain.number("paved_below_floor_mm")
    advice = "Add to the walls of the job, with the ground of your site: `walls: {ground_mm: -300}`."

    def due(names: tuple[str, ...], mm: float) -> Finding:
        return Finding(
            "ground-assumed",
            Severity.NOTE,
            f"No ground level is given for {', '.join(names)}: taken {mm:.0f} mm below the floor.",
            advice,
            names,
        )

    both = [draft(1), draft(2)]
    assert building._ground(walls(), both, plain) == (-below, (due(("wall 1", "wall 2"), below),))
    assert building._ground(walls(paved=True), both, plain) == (-paved, (due(("wall 1", "wall 2"), paved),))
    assert below != paved
    assert building._ground(walls(ground_by_wall={1: (-100, -200)}), both, plain) == (
        -below,
        (due(("wall 2",), below),),
    )
    assert building._ground(walls(ground_by_wall={1: (-100, -200), 2: (0, 0)}), both, plain) == (-below, ())
    assert building._ground(walls(ground_mm=-420), both, plain) == (-420.0, ())


def test_a_draft_as_an_elevation() -> None:
    one = Finding("own", Severity.NOTE, "own")
    given = walls(
        paved=True, ground_by_wall={1: (-100, -200)},
        grounds=[GroundJob(wall=1, from_left_mm=700, width_mm=800, level_mm=-30, kind="deck"), GroundJob(wall=2, level_mm=-9, kind="paved")],
    )  # fmt: skip
    window = Opening("W1", 1000.0, 900.0, 600.0, 600.0, "")
    covered = (box(0.0, 0.0, 1.0, 1.0),)
    made = building._elevation(
        draft(findings=(one,), roof="main", floors_mm=(0.0, 2700.0), covered=covered),
        (window,),
        given,
        -300.0,
        (Finding("last", Severity.NOTE, "last"),),
    )
    assert (made.findings[0], made.findings[-1].code) == (one, "last")
    assert made == Elevation(
        id="wall 1", wall=1, width_mm=5000.0, height_mm=2400.0, outline_xy=((0.0, -50.0), (5000.0, -50.0), (5000.0, 2400.0), (0.0, 2400.0)), base_mm=-50.0,
        openings=(window,), left_corner=OUT, right_corner=OUT, ground_mm=(-100.0, -200.0), paved=True, bearing_deg=90.0, a_mm=(1.0, 2.0), b_mm=(3.0, 4.0),
        findings=made.findings, roof="main", floors_mm=(0.0, 2700.0), covered_xy=covered, grounds=(GroundPart(700.0, 1500.0, -30.0, "deck"),),
    )  # fmt: skip
    plain = building._elevation(draft(3), (), given, -300.0, ())
    assert (plain.ground_mm, plain.findings, plain.grounds) == ((-300.0, -300.0), (), ())


def test_names_of_walls_twice() -> None:
    given = walls(
        elevations=[
            {"name": "wall 2", "width_mm": 3000, "height_mm": 2100},
            {"name": "wall 1", "width_mm": 3000, "height_mm": 2100},
        ]
    )
    assert list(building._twice(given, [draft(1, roof="main"), draft(2)])) == [
        "walls.elevations[2].name: wall 1 is a wall of the building already; call it otherwise, or leave it out."
    ]


def eave_wall(**more: Any) -> WallEdge:
    plain: dict[str, Any] = {"named": "eave", "rises": False, "overhang_mm": 600.0, "outline_edge": 1, **more}
    return WallEdge(
        1, (1000.0, 500.0), (7000.0, 8500.0), OUT, Corner("internal", 120.0), **plain
    )  # 10 m along (3, 4, 5)


def drafted(
    one: WallEdge, over: Any, height: float = 2400.0, north: float = 0.0, frame: float = 2700.0, **given: Any
) -> Draft:
    line = WallLine(roof("main"), 0, (300.0, 2900.0), frame)
    return lining._draft(one, over, height, line, walls(**given), north, settings())


def test_a_wall_as_a_draft() -> None:
    """Seen from outside from (1000, 500) along (3, 4, 5): outwards is (4, -3), 126.87 clockwise from plan up."""
    found = drafted(eave_wall(), ((0.0, 2800.0), (10000.0, 2800.0)), north=300.0)
    lap = settings().number("floor_lap_mm")
    assert found == Draft(
        "wall 1", 1, 10000.0, 2400.0, ((0.0, 2400.0), (10000.0, 2400.0)), OUT, Corner("internal", 120.0), found.bearing_deg, (1000.0, 500.0), (7000.0, 8500.0),
        300.0 - lap, (), "main", (300.0, 2900.0),
    )  # fmt: skip
    assert found.bearing_deg == pytest.approx(126.8698976 + 300.0 - 360.0)


def test_a_gable_goes_up_to_the_roof_less_its_depth() -> None:
    """Over the frame, but no lower than it; without a roof, or with gables left out, it ends level."""
    over = ((0.0, 2500.0), (5000.0, 5000.0), (10000.0, 2500.0))
    depth = settings().number("roof_depth_mm")
    gable = eave_wall(rises=True, named="gable")
    slope = 2500.0 / 5000.0
    bend = (2400.0 - 2500.0 + depth) / slope
    assert [
        pytest.approx(point)
        for point in (
            (0.0, 2400.0),
            (bend, 2400.0),
            (5000.0, 5000.0 - depth),
            (10000.0 - bend, 2400.0),
            (10000.0, 2400.0),
        )
    ] == list(drafted(gable, over, frame=2400.0).top)
    level = ((0.0, 2400.0), (10000.0, 2400.0))
    assert drafted(gable, over, frame=2400.0, gables=False).top == level
    assert drafted(eave_wall(), over, frame=2400.0).top == level
    text = "No roof plane lies over wall 1: it is clad to the frame height only."
    due = Finding("no-roof-over-wall", Severity.WARN, text, "Give the wall by itself under elevations.", ("wall 1",))
    bare = drafted(gable, ())
    assert (bare.top, bare.findings) == (level, (due,))
    assert drafted(eave_wall(), ()).findings == drafted(gable, (), gables=False).findings == ()


@pytest.mark.parametrize(("least", "told"), [(2199.5, False), (2199.4, True)])
def test_a_wall_through_its_roof_is_told(least: float, told: bool) -> None:
    found = drafted(eave_wall(), ((0.0, 3000.0), (10000.0, least)), frame=2200.0).findings
    text = "Wall 1 is 2200 mm high, but the roof over it lies at 2199 mm: 1 mm too low."
    due = Finding(
        "wall-through-roof",
        Severity.WARN,
        text,
        "Lower walls.height_mm or raise the roof's fascia_height_mm.",
        ("wall 1",),
    )
    assert found == ((due,) if told else ())


def test_what_covers_walls_comes_from_settings_and_roofs() -> None:
    """A soffit 180 under each roof's lowest eave where soffits are level; the foot of walls on an upper floor; the cavity of the job."""
    low = roof("main", wall_line_mm=HOUSE.wall_line_mm, edges=(edge("E1", E.EAVE, (0.0, 0.0, 2500.0), (9.0, 0.0, 2400.0)), edge("E2", E.EAVE, (0.0, 0.0, 2450.0), (9.0, 0.0, 2600.0)),
                                                             edge("E3", E.RIDGE, (0.0, 0.0, 9.0), (9.0, 0.0, 9.0)), edge("E4", E.EAVE, (0.0, 0.0, 5.0), (9.0, 0.0, 5.0), roof="other")))  # fmt: skip
    given = (WallLine(low, 0, (0.0,), 2400.0), WallLine(WING, 8, (300.0, 2900.0), 5200.0))
    plain = settings()
    n = plain.number
    past = n("cavity_mm") + n("board_thickness_mm")
    due = CoverRule(
        n("apron_over_sheets_mm") + n("clearance_roof_mm"),
        n("roof_depth_mm"),
        past,
        {"wing": 300.0 - n("floor_lap_mm")},
        {"main": 2400.0 - n("soffit_drop_mm")},
    )
    assert lining._cover_rule(given, walls(), settings(soffit="level")) == due
    raked = lining._cover_rule(given, walls(cavity_mm=7), settings(soffit="raked"))
    assert (raked.soffits, raked.past) == ({}, 7.0 + n("board_thickness_mm"))


RULE = CoverRule(150.0, 200.0, 40.0, {}, {})


def test_roofs_that_stop_against_a_wall_are_told() -> None:
    """3 m of its edge and 1 m of another lie on the wall; a roof with a wall line of its own closes what is below."""
    own = roof("main", origin_mm=(0.0, 0.0, 0.0))
    wall = WallEdge(2, (0.0, 0.0), (6000.0, 0.0), OUT, OUT, 1, 0.0, "gable", True)
    edges = (
        edge("A1", E.APRON_HEAD, (-900.0, -500.0, 2400.0), (4000.0, -500.0, 2400.0)), edge("A2", E.APRON_SIDE, (5000.0, -500.0, 2400.0), (6000.0, -500.0, 2500.0)),
        edge("E1", E.EAVE, (1000.0, -500.0, 2000.0), (2000.0, -500.0, 2000.0)), edge("A3", E.APRON_HEAD, (1000.0, -900.0, 2400.0), (2000.0, -900.0, 2400.0)),
    )  # fmt: skip
    lean = roof("lean-to", origin_mm=(-1000.0, 500.0, 0.0), edges=edges)
    text = "Roof lean-to stops against wall 2 over 4.00 m: the cladding starts 150 mm over the underside of its sheets, {}."
    opened = Finding(
        "roof-against-wall",
        Severity.NOTE,
        text.format("and on below that roof"),
        "Give lean-to a wall_line if walls close the space below it.",
        ("wall 2",),
    )
    assert lining._against(wall, own, (own, PORCH, lean), RULE) == (opened,)
    closed = roof("lean-to", origin_mm=lean.origin_mm, edges=edges, wall_line_mm=WING.wall_line_mm)
    shut = Finding(
        "roof-against-wall", Severity.NOTE, text.format("nothing below it, which its own walls close"), "", ("wall 2",)
    )
    assert lining._against(wall, own, (closed, own), RULE) == (shut,)
    assert run_beside(wall, edges[0], (-1000.0, 500.0)) == 3000.0
    assert run_beside(wall, edges[3], (-1000.0, 500.0)) == 0.0


def test_a_wall_of_which_nothing_is_outside_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """Left of its 12.25 m2: a strip under 10 mm2 a millimetre of its width, 10 mm high, is nothing."""
    line: Any = SimpleNamespace(roof=roof("main"))
    wall = WallEdge(1, (0.0, 0.0), (5000.0, 0.0), OUT, OUT, 1, 0.0, "eave", False)
    monkeypatch.setattr(lining, "roofs_beside", lambda *_: ())
    for low, left in ((2390.1, False), (2389.9, True)):
        part = (box(0.0, -50.0, 5000.0, low),)
        monkeypatch.setattr(lining, "covered_parts", lambda *_, part=part: part)
        found = lining._outside(draft(), wall, line, (), RULE)
        assert (found is not None) is left
        assert found is None or found.covered == part
    monkeypatch.setattr(lining, "covered_parts", lambda *_: ())
    assert lining._outside(draft(), wall, line, (), RULE) == draft()


def test_walls_take_the_edges_over_them() -> None:
    """A rectangle with 600 of overhang along its first and third edge and a gable with 300 on the second, which stands on its
    outline; a model's walls, that begin elsewhere, find theirs."""
    outer = ((-300.0, -600.0), (9300.0, -600.0), (9300.0, 6600.0), (-300.0, 6600.0))
    inner = box(0.0, 0.0, 9000.0, 6000.0)
    gable = standing(
        "U1", (9300.0, -600.0, 2400.0), (9300.0, 6600.0, 2400.0), [(0.0, 0.0), (7200.0, 0.0), (3600.0, 1500.0)], edge=2
    )
    one = roof(
        outline_mm=(outer,),
        wall_line_mm=(inner,),
        edge_numbers=((1, 2, 3, 4),),
        edge_names=("eave", "gable", "eave", "wall"),
        uprights=(gable,),
    )
    found = wall_edges(one)
    assert [(w.wall, w.left_mm, w.right_mm, w.outline_edge, w.overhang_mm, w.named, w.rises, w.length_mm) for w in found] == [
        (1, (0.0, 0.0), (9000.0, 0.0), 1, 600.0, "eave", False, 9000.0), (2, (9000.0, 0.0), (9000.0, 6000.0), 2, 300.0, "gable", True, 6000.0),
        (3, (9000.0, 6000.0), (0.0, 6000.0), 3, 600.0, "eave", False, 9000.0), (4, (0.0, 6000.0), (0.0, 0.0), 4, 300.0, "wall", False, 6000.0),
    ]  # fmt: skip
    assert {(w.left_corner, w.right_corner) for w in found} == {(OUT, OUT)}
    turned = wall_edges(
        roof(
            outline_mm=(outer,),
            wall_line_mm=((*inner[2:], *inner[:2]),),
            edge_numbers=((1, 2, 3, 4),),
            edge_names=("eave",) * 4,
            uprights=(gable,),
        )
    )
    assert [(w.outline_edge, w.overhang_mm, w.rises) for w in turned] == [
        (3, 600.0, False),
        (4, 300.0, False),
        (1, 600.0, False),
        (2, 300.0, True),
    ]
    alone = wall_edges(roof(wall_line_mm=(inner,)))
    assert [(w.outline_edge, w.overhang_mm, w.named, w.rises) for w in alone] == [(0, 0.0, "eave", False)] * 4
    assert wall_edges(roof(outline_mm=(outer,))) == ()
