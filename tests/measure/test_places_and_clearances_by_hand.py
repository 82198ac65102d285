"""Places of downpipes that the job gives, moved to the nearest gutter, and roofs that stop against clad walls: by hand."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from takeoff.measure.cladding.roof_clearance import _off_mm, roof_clearance
from takeoff.measure.rainwater.downpipes import Snapped, _has_room, _windows, limits_of, snap_places
from takeoff.measure.rainwater.limits import Limits
from takeoff.measure.rainwater.sizing import Capacity
from takeoff.measure.rainwater.stretches import Windows, stretches
from takeoff.model.basis import Working
from takeoff.model.drainage import GutterCorner, GutterLeg, GutterRun
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.walls import WallsJob
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings

sys.path.insert(0, str(Path(__file__).parent))

from rain_by_hand import chosen, run

Build = Callable[..., Roof]
A, B, C = (0.0, 0.0, 2400.0), (8000.0, 0.0, 2400.0), (8000.0, 5000.0, 2400.0)
LEGS = (GutterLeg("E1", (1,), A, B, 8000.0, 0.0), GutterLeg("E2", (2,), B, C, 5000.0, 0.0))
BENT = GutterRun("G1", "main", LEGS, (GutterCorner("external", 90.0, B),), False, 0.0, 25.0)


def test_places_move_to_the_nearest_gutter(settings: Settings, gable_roof: Build) -> None:
    """The roof's origin is at 1000, 2000. A point 300 before the first leg and 1 m along it; one 400 and 300 off the end of
    the second: 500 away at 13 m; one as near to both legs goes to the first; one 1500.1 off is left out."""
    roof = replace(gable_roof(), origin_mm=(1000.0, 2000.0, 0.0), planes=(), edges=())
    made = chosen(settings, downpipe_snap_mm=1500)
    other = run(900.0, id="G2", roof="elsewhere")
    points = [(2000.0, 1700.0), (9300.0, 7400.0), (9000.0 - 250.0, 2250.0), (3000.0, 499.9), (3000.0, 500.0)]
    found, told = snap_places((BENT, other), (roof,), points, made)
    assert found == (
        Snapped(1, "G1", 1000.0, 300.0), Snapped(2, "G1", 13_000.0, pytest.approx(500.0)),
        Snapped(3, "G1", 7750.0, 250.0), Snapped(5, "G1", 2000.0, 1500.0),
    )  # fmt: skip
    assert [(each.code, each.text) for each in told] == [
        ("downpipe-place-off-gutter", "downpipes_at[4] is 1500 mm from the nearest gutter (limit 1500 mm): left out."),
        (
            "downpipes-placed-for-some",
            "Downpipes were placed by hand on some gutters; those of G2 were placed by rule.",
        ),
    ]
    # one whose roof is not there is counted from the plan's origin
    ((one,), _) = snap_places((BENT, other), (roof,), [(450.0, -100.0)], made)
    assert one == Snapped(1, "G2", 450.0, 100.0)
    assert (
        snap_places((), (roof,), [(0.0, 0.0)], made)[1][0].text
        == "downpipes_at[1] is 0 mm from the nearest gutter (limit 1500 mm): left out."
    )
    assert snap_places((BENT,), (roof,), [], made) == ((), ())


def test_room_for_an_outlet_where_gutter_hangs(settings: Settings) -> None:
    """A hundredth of a millimetre beyond a stretch is on it."""
    made, (first, second) = chosen(settings), stretches(BENT)
    for along, room in ((-0.01, True), (-0.011, False), (8000.01, True), (8000.011, False)):
        assert _has_room(along, (first,), BENT, (), made) is room
    assert _has_room(7999.991, (second,), BENT, (), made) is True
    assert _has_room(5000.0, (), BENT, (), made) is False


def test_limits_by_the_settings(settings: Settings) -> None:
    made = chosen(settings, gutter_length_per_outlet_mm=11, downpipe_spacing_mm=12, valley_needs_downpipe_m2=13, valley_to_downpipe_mm=14, downpipe_clear_of_inside_corner_mm=15)  # fmt: skip
    capacity = Capacity(62.5, Working(""))
    assert limits_of(capacity, made, 7.0) == Limits(62.5e6, 11, 12, 13e6, 14, 15, 7.0)
    assert limits_of(capacity, made).section_mm2 == 0.0


def test_windows_of_the_walls_that_are_clad(gable_roof: Build) -> None:
    """On the roof that the walls stand under, else the first; walls that are given by themselves stand under none."""
    opening = {"wall": 1, "from_left_mm": 500, "sill_mm": 900, "width_mm": 1200, "height_mm": 1200}
    given = {"height_mm": 2400, "zones": [{"board": "bevel_187"}], "openings": [opening]}
    walls = WallsJob.model_validate(given)
    roofs = (gable_roof(), replace(gable_roof(), name="wing"))
    assert _windows(roofs, walls) == Windows("main", tuple(walls.openings))
    assert _windows(roofs, WallsJob.model_validate({**given, "roof": "wing"})).roof == "wing"
    assert _windows((), walls) == _windows(roofs, None) == Windows()
    alone = {"elevations": [{"name": "w", "width_mm": 6000, "height_mm": 2400, "left": "none", "right": "none"}]}
    assert _windows(roofs, WallsJob.model_validate({**alone, "zones": [{"board": "bevel_187"}]})) == Windows()


@pytest.mark.parametrize(
    ("at", "off"),
    [
        ((1100.0, 250.0), 50.0), ((500.0, 200.0), 500.0), ((5300.0, 600.0), 500.0), ((3000.0, 100.0), 100.0), ((1000.0, 200.0), 0.0),
    ],
)  # fmt: skip
def test_how_far_a_point_lies_from_a_side(at: tuple[float, float], off: float) -> None:
    """From 1000, 200 to 5000, 200, either way; and upright."""
    a, b = (1000.0, 200.0), (5000.0, 200.0)
    assert _off_mm(at, a, b) == pytest.approx(off)
    assert _off_mm(at, b, a) == pytest.approx(off)
    assert _off_mm(at[::-1], a[::-1], b[::-1]) == pytest.approx(off)


def test_roofs_that_stop_against_clad_walls(settings: Settings, lean_to: Build) -> None:
    """A lean-to of 6 x 3 m with its head along a wall 3 m back and its side along another; both walls, counted from an origin
    of their own, are the clad house's; 5 mm off is on it."""
    lower = replace(lean_to(6000.0, 3000.0, 10.0), name="lean-to", origin_mm=(500.0, 700.0, 0.0))
    lower = replace(lower, edges=tuple(replace(edge, roof="lean-to") for edge in lower.edges))

    def house(off: float = 0.0) -> Roof:
        # the head runs at y = 3700 from 500 to 6500, the side at x = 6500 from 700 to 3700
        corners = (
            (6500.0 + off, -300.0),
            (6500.0 + off, 3700.0 + off),
            (-500.0, 3700.0 + off),
            (-500.0, 9000.0),
            (9000.0, 9000.0),
            (9000.0, -300.0),
        )
        moved = tuple((x - 2000.0, y + 1000.0) for x, y in corners)
        return replace(lower, name="house", origin_mm=(2000.0, -1000.0, 0.0), wall_line_mm=(moved,), edges=())

    (side, head) = (edge for edge in lower.edges if edge.kind.value.startswith("apron"))
    made = settings.term("clearance_roof_mm")
    (note,) = roof_clearance((house(), lower), ("house",), settings)
    metres = (side.length_mm + head.length_mm) / 1000.0
    text = (
        f"Roof lean-to stops against clad walls along {metres:.2f} m of apron (E2, E3): the cladding over it is counted from"
        f" {float(made.value):.0f} mm clear of its apron, which is in the roof's own flashings."
    )
    source = settings.basis("clearance_roof_mm").words()
    assert note == Finding(
        "cladding-over-roof", Severity.NOTE, text, "Keep the clearance on site.", ("E2", "E3"), source=source
    )
    assert roof_clearance((house(), lower), ("lean-to",), settings) == ()
    assert roof_clearance((house(), lower), (), settings) == ()
    for off, count in ((5.0, 1), (5.1, 0), (-3.5, 1), (-3.6, 0)):  # short of the corner by as much each way: 4.95, 5.09
        assert len(roof_clearance((house(off), lower), ("house",), settings)) == count, off


def test_a_roof_that_ends_at_its_own_walls_keeps_clear_of_none(settings: Settings, lean_to: Build) -> None:
    """Its head and its side run along its own wall line, which is clad; beside it stands a house that is clad elsewhere."""
    roof = lean_to(6000.0, 3000.0, 10.0)
    aprons = [edge for edge in roof.edges if edge.kind.value.startswith("apron")]
    ring = tuple(dict.fromkeys(point[:2] for edge in aprons for point in (edge.a_mm, edge.b_mm)))
    own = replace(roof, wall_line_mm=((*ring, (-9000.0, -9000.0)),))
    far = replace(roof, name="house", wall_line_mm=(((90e3, 0.0), (99e3, 0.0), (99e3, 9e3)),), edges=())
    assert roof_clearance((own, far), (own.name, "house"), settings) == ()
    twin = replace(own, name="house", edges=())
    assert len(roof_clearance((own, twin), (own.name, "house"), settings)) == 1
