"""The bounds of boards, battens and wrap, whole and by hand, on made-up walls."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.model.basis import Working
from takeoff.model.items import Pack
from takeoff.model.job.walls import ZoneJob
from takeoff.model.measured import BattenLine
from takeoff.model.walls import BoardPiece, Corner, Elevation, Opening, WallBoards
from takeoff.order.bounds.bounded import Case
from takeoff.order.bounds.wall_bounds import (
    base_closer,
    batten_metres,
    board_metres,
    wall_areas,
    wall_fixings,
    wall_ground,
    wall_wrap,
)

sys.path.insert(0, str(Path(__file__).parent))

from made_up_case import case, check, item, line, plan

DOOR = Opening("D1", 1000.0, 0.0, 1000.0, 2000.0)


def wall(number: int = 1, wide: float = 5000.0, angles: tuple[float, float] = (90.0, 90.0), **more: Any) -> Elevation:
    """2.4 m high, from 50 mm below the floor, with a door a metre wide and two high; `covered` what lies behind a roof."""
    ring = ((0.0, -50.0), (wide, -50.0), (wide, 2350.0), (0.0, 2350.0))
    left, right = (Corner("external", angle) for angle in angles)
    ends = ((0.0, 0.0), (wide, 0.0))
    openings, covered = more.get("openings", (DOOR,)), more.get("covered", ())
    return Elevation(
        "W", number, wide, 2400.0, ring, -50.0, openings, left, right, (0.0, 0.0), True, 0.0, *ends, covered_xy=covered
    )


def zone(
    number: int = 1, net_m2: float = 9.8, direction: str = "horizontal", *pieces: float, **more: float
) -> WallBoards:
    """Boards 187 mm wide that cover 170."""
    made = tuple(BoardPiece(f"{at}", number, "z", at, (), mm) for at, mm in enumerate(pieces))
    wide, cover = more.get("wide", 187.0), more.get("cover", 170.0)
    return WallBoards(number, "z", direction, "", cover, wide, 1, net_m2 * 1e6, 0.0, made, (), Working("made up"))


# 1 m2 behind a lower roof
LOWER = ((0.0, 0.0), (1000.0, 0.0), (1000.0, 1000.0), (0.0, 1000.0))


def test_a_wall_by_its_corners() -> None:
    ground = wall_ground(wall(covered=(LOWER, tuple(reversed(LOWER)))))
    figures = (ground.gross_m2, ground.openings_m2, ground.width_m, ground.high_m, ground.heads_m, ground.openings)
    assert figures == (10.0, 2.0, 5.0, 2.4, 1.0, 1)
    past = [
        ((90.0, 90.0), 0.15),
        ((60.0, 120.0), 0.225),
        ((120.0, 45.0), 0.3),
        ((0.0, 135.0), 0.15),
        ((90.0, 0.5), 13.5),
    ]
    for angles, metres in past:
        assert wall_ground(wall(angles=angles)).past_m == pytest.approx(metres), angles


def test_openings_count_as_far_as_the_wall_goes() -> None:
    """From -500 to 500 of 0 to 5000, from 4500 to 5500, from 250 mm below its foot, and wholly beside it."""
    left, right = Opening("a", -500.0, 0.0, 1000.0, 1000.0), Opening("b", 4500.0, 0.0, 1000.0, 1000.0)
    low, out = Opening("c", 0.0, -300.0, 1000.0, 500.0), Opening("d", 6000.0, 0.0, 1000.0, 1000.0)
    found = [wall_ground(wall(openings=(one,))) for one in (left, right, low, out)]
    assert [(ground.openings_m2, ground.heads_m) for ground in found] == [
        (0.5, 0.5),
        (0.5, 0.5),
        (0.25, 1.0),
        (0.0, 0.0),
    ]


CLAD = {
    "stud_mm": 600, "nog_most_mm": 480, "wall_wrap": "wrap", "wrap_lap_level_mm": 150, "wrap_lap_upright_mm": 200,
    "nail_spare_pct": 10, "wrap_staple_mm": 300, "batten_nail_mm": 250,
}  # fmt: skip
# rolls of 0.1 m, so that no bound is rounded away
ROLLS = {
    name: SimpleNamespace(id=name, width_mm=wide, length_mm=100.0)
    for name, wide in (("wrap", 2740.0), ("foil", 1350.0))
}


def _walled(walls: tuple[Elevation, ...], boards: tuple[WallBoards, ...], job: Any = (), **more: Any) -> Case:
    asked = SimpleNamespace(**({"zones": (), "stud_mm": None, "wrap": None} | dict(job))) if job is not None else None
    cladding = {"boards": boards, "battens": more.pop("battens", ())}
    values = CLAD | more.pop("change", {})
    return case(
        values,
        elevations=walls,
        cladding=cladding,
        job=SimpleNamespace(walls=asked),
        catalogue=SimpleNamespace(rolls=ROLLS),
        **more,
    )


LEFT_OUT = {"zones": (ZoneJob(direction="vertical"), ZoneJob(direction="none"))}


def test_net_area_of_a_walls_cladding() -> None:
    """12 m2 less a door of 2, 1 % and 0.05 m2, and 0.15 m past both ends of 2.4 m; a wall that nothing is laid on is not
    looked at."""
    walls = (wall(), wall(2, 3000.0))
    boards = (zone(net_m2=5.0), zone(net_m2=4.8), zone(3, 7.0))
    slack = 0.12 + 0.05 + 0.72
    words = ("m2", "wall of 12.00 m2 less openings of 2.00 m2", "wall 1", ("wall 1",))
    check(wall_areas(_walled(walls, boards)), (9.8, 10.0 - slack, 10.0 + slack, *words))
    check(wall_areas(_walled(walls, boards, LEFT_OUT)), (9.8, 0.0, 10.0 + slack, *words))
    check(wall_areas(_walled(walls, boards, None)), (9.8, 10.0 - slack, 10.0 + slack, *words))


def test_length_times_cover_of_a_walls_boards() -> None:
    """Boards 187 wide that cover 170, and of 150 that cover 200: the widest is 0.2 m. Two zones go round 14.8 m and round
    1 m2 behind a lower roof, 4 m, each; a door has 6 m of edges."""
    walls = (wall(covered=(LOWER,)),)
    boards = (zone(1, 5.0, "horizontal", 4000.0, 3000.0), zone(1, 4.8, "vertical", 2000.0, wide=150.0, cover=200.0))
    net, slack = 9.0, 0.01 * 11.0 + 0.05 + 0.3 * 2.6
    low, high = net - slack - 0.3 * 0.2 * 37.6, net + slack + 0.2 * (37.6 + 6.0)
    row = ("m2", "net wall of 9.80 m2 and a board round its edges and openings", "boards of wall 1", ("wall 1",))
    figure = 7.0 * 0.17 + 2.0 * 0.2
    check(board_metres(_walled(walls, boards)), (figure, low, high, *row))
    check(board_metres(_walled(walls, boards, LEFT_OUT)), (figure, 0.0, high, *row))
    (bound,) = board_metres(_walled((wall(wide=1100.0),), (zone(wide=900.0),)))
    assert bound.low == 0.0


BATTENS = (
    BattenLine(1, (600.0, 0.0), (600.0, 2400.0), "b"),
    BattenLine(1, (600.0, 0.0), (600.0, 600.0), "b"),
    BattenLine(2, (0.0, 0.0), (600.0, 0.0), "b"),
)


def test_battens_of_a_wall() -> None:
    """10 m2 net of 5 x 2.4 m with a door 2 m high. Behind level boards they stand at the studs, behind upright ones they
    run level, at most 480 apart."""
    walls, ref = (wall(),), ("battens of wall 1", ("wall 1",))
    jobs: tuple[tuple[Any, float], ...] = (((), 0.6), ({"stud_mm": 450}, 0.45))
    for job, spacing in jobs:
        low = 10.0 / spacing - 2.4 - 1.0 - 4.0
        high = 10.0 / spacing + 7.2 + 7.5 + 1.0 + 4.8 + 0.72 / spacing
        words = f"net wall of 10.00 m2 at {1000 * spacing:g} mm"
        check(batten_metres(_walled(walls, (zone(),), job, battens=BATTENS)), (3.0, low, high, "m", words, *ref))
    low = 10.0 / 0.48 - 5.0 - 1.0 - 4.0
    high = 10.0 / 0.288 + 15.0 + 3.6 + 1.0 + 0.72 / 0.48
    upright = _walled(walls, (zone(direction="vertical"),), battens=BATTENS)
    check(batten_metres(upright), (3.0, low, high, "m", "net wall of 10.00 m2 at 480 mm", *ref))
    (bound,) = batten_metres(_walled((wall(wide=1600.0),), (zone(),)))
    assert bound.low == 0.0
    assert list(batten_metres(_walled(walls, (zone(),), None))) == []


def test_battens_of_a_wall_in_parts() -> None:
    """At most those of the whole wall both ways, and round each part with each opening."""
    ref = ("battens of wall 1", ("wall 1",))

    def row(gross: float, parts: int, openings: int = 1, spacing: float = 0.48) -> Any:
        most = gross / (0.6 * spacing) + 6.0 * parts * 7.4 * (1 + openings)
        return (3.0, 0.0, most, "m", f"wall of {gross:.2f} m2 in parts", *ref)

    check(batten_metres(_walled((wall(),), (zone(), zone()), battens=BATTENS)), row(12.0, 2))
    check(batten_metres(_walled((wall(),), (zone(),), LEFT_OUT, battens=BATTENS)), row(12.0, 1))
    check(batten_metres(_walled((wall(covered=(LOWER,)),), (zone(),), battens=BATTENS)), row(11.0, 2))
    made = _walled((wall(openings=()),), (zone(), zone()), {"stud_mm": 400}, battens=BATTENS)
    check(batten_metres(made), row(12.0, 2, 0, 0.4))


def test_base_closer() -> None:
    """5 and 3 m of wall, 0.15 m past both ends of each, doors of a metre off at least; a lower roof before a wall gives it
    a second foot."""
    order = {"plans": [plan("base_closer", (), placed_mm=7100.0), plan("rail", (), placed_mm=900.0)]}
    boards = (zone(), zone(2))
    words = "walls 8.00 m wide with 2.00 m of openings"
    walls = (wall(), wall(2, 3000.0))
    check(base_closer(_walled(walls, boards, order=order)), (7.1, 5.4, 8.6, "m", words, "", ()))
    check(base_closer(_walled(walls, boards, LEFT_OUT, order=order)), (7.1, 0.0, 8.6, "m", words, "", ()))
    bands = (
        ZoneJob(walls=[1], from_mm=1200, to_mm=2000, direction="none"),
        ZoneJob(walls=[2], to_mm=2000, direction="none"),
    )
    bare = {"zones": (*bands, ZoneJob(walls=[2], direction="none"), ZoneJob(from_mm=1200))}
    check(base_closer(_walled(walls, boards, bare, order=order)), (7.1, 0.0, 16.6, "m", words, "", ()))
    walls = (wall(), wall(2, 3000.0, covered=(LOWER,)))
    check(base_closer(_walled(walls, boards, order=order)), (7.1, 0.0, 11.6, "m", words, "", ()))
    assert list(base_closer(_walled((), boards))) == []
    whole = replace(DOOR, from_left_mm=0.0, width_mm=1200.0)
    (bound,) = base_closer(_walled((wall(2, 1200.0, openings=(whole,)),), boards))
    assert bound.low == 0.0


@pytest.mark.parametrize(("job", "name", "wide"), [((), "wrap", 2.74), ({"wrap": "foil"}, "foil", 1.35)])
def test_wrap_of_walls(job: Any, name: str, wide: float) -> None:
    """Least: 12 and 6.2 m2 less 0.15 m at both ends of each, over the roll. Most: each wall and what it goes past and laps
    upright at both ends, once more with a lower roof before it, in as many strips as its height has covers and one."""
    lines = {"lines": [line("wrap", 3.0, "roll"), line("foil", 4.0, "roll")]}
    walls, boards = (wall(), wall(2, 3000.0, covered=(LOWER,))), (zone(), zone(2))
    strips = 2.4 / (wide - 0.15) + 1.0
    low, high = (12.0 + 6.2 - 1.44) / wide, (5.0 + 0.3 + 0.4 + 3.0 + 0.3 + 0.8) * strips
    words = f"18.20 m2 of wall in at most {2.0 * strips:.0f} strips"
    figure = 3.0 if name == "wrap" else 4.0
    rolls = (float(-(-low // 0.1)), float(-(-high // 0.1)))
    check(wall_wrap(_walled(walls, boards, job, order=lines)), (figure, *rolls, "roll", words, "", ()))
    out = {**dict(job), **LEFT_OUT}
    check(wall_wrap(_walled(walls, boards, out, order=lines)), (figure, 0.0, rolls[1], "roll", words, "", ()))
    assert list(wall_wrap(_walled((), boards))) == list(wall_wrap(_walled(walls, boards, None))) == []


def test_staples_of_wrap_and_nails_of_battens() -> None:
    """A staple in 0.18 m2 (0.135 where studs are 450 apart) of 12 and 7.2 m2, less or more 0.15 m at both ends of each and
    0.05 m2; one more. Nails at 250 of battens 2.4 and 0.6 m long, a half to 2.2 more each. A tenth to spare."""
    nail = item("nail_50", sort="batten nail", pack=Pack("box", "", 10.0))
    lines = [line("wall wrap staple", 9.0), line("nail_50", 2.0, "box")]
    walls, boards = (wall(), wall(2, 3000.0)), (zone(), zone(2))
    past = 2.0 * 0.72 + 0.05
    more: Any = {"battens": BATTENS[:2], "order": {"lines": lines}, "items": {"a": item("a"), "nail_50": nail}}
    # 9.6 + 2.4 spacings: 1.1 x 13 = 14.3 and 1.1 x 16.4 = 18.04 nails, in tens
    nails = (2.0, 2.0, 2.0, "box", "2 battens of 3.0 m at 250 mm", "nail_50, called", ())
    jobs: tuple[tuple[Any, float], ...] = (((), 0.18), ({"stud_mm": 450}, 0.135))
    for job, cell in jobs:
        low, high = 1.1 * (19.2 - past) / cell, 1.1 * (19.2 + past) / cell + 1.0
        staples = ("each", f"19.20 m2 of wall, one in {cell:.3f} m2", "wall wrap staple", ())
        check(wall_fixings(_walled(walls, boards, job, **more)), (9.0, low, high, *staples), nails)
        out = {**dict(job), **LEFT_OUT}
        check(wall_fixings(_walled(walls, boards, out, **more)), (9.0, 0.0, high, *staples), nails)
    (_, loose) = wall_fixings(_walled(walls, boards, **{**more, "items": {"a": item("a")}}))
    assert (loose.figure, loose.of) == (0.0, "batten nail")
    assert (loose.low, loose.high) == pytest.approx((14.3, 18.04))


WALLS = (wall(),)


def test_what_of_walls_is_not_fixed_is_not_bounded() -> None:
    def count(change: Any = None, job: Any = (), battens: Any = BATTENS[:2], walls: Any = WALLS) -> int:
        return len(list(wall_fixings(_walled(walls, (zone(),), job, change=change or {}, battens=battens))))

    assert (count(), count({"wrap_staple_mm": 0}), count({"batten_nail_mm": 0}), count(battens=())) == (2, 1, 1, 1)
    assert (count(job=None), count(walls=())) == (0, 0)
    assert count({"batten_nail_mm": 1}) == 2
    assert count({"wrap_staple_mm": 2000}) == 2
