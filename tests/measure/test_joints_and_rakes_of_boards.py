"""Fewest joints in a level board, nails at its joints, raked ends in the list; by hand."""

from __future__ import annotations

from math import ceil
from typing import Any

import pytest

from takeoff.model.order import Order, Takeoff
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.write.workbook.workbook_boards import course_lines

JOB = """\
job: boards
roofs: [{{wall_line: [[0, 0], [{long}, 0], [{long}, 6000], [0, 6000]], eave_overhang_mm: 600, pitch_deg: 30{edges}}}]
walls:
  height_mm: 2400
  ground_mm: -450
  zones: [{zone}]
  openings: [{openings}]
settings: {{{settings}}}
"""
GABLES = ", edges: {2: {kind: gable}, 4: {kind: gable}}"


def taken_off(
    zone: str = "{board: bevel_187}", openings: str = "", settings: str = "", edges: str = "", long: int = 9000
) -> Takeoff:
    return run(parse_job(JOB.format(zone=zone, openings=openings, settings=settings, edges=edges, long=long)))


def order_of(house: Takeoff) -> Order:
    assert house.order is not None
    return house.order


def nails(house: Takeoff) -> dict[str, float]:
    found: dict[str, float] = {}
    for line in order_of(house).lines:
        if line.item.startswith("board nail"):
            for term in line.working.terms:
                if isinstance(term.value, (int, float)):
                    found[term.name] = float(term.value)
            found["count"] = line.count
    return found


def joints(house: Takeoff, board: str) -> list[tuple[str, float]]:
    """Joints of the boards [mm along the wall]."""
    starts = {demand.id: demand.offset_mm for need in house.cladding.needs for demand in need.demands}
    return [
        (joint.run, round(joint.at_mm + starts[joint.run], 1))
        for plan in order_of(house).plans
        if plan.item == board
        for joint in plan.joints
    ]


def test_a_course_under_a_door_takes_one_joint_where_one_will_do() -> None:
    """Course 1 is 9000 + 2 x 38 = 9076 from -38, over a sill 50 high from 3500 to 4900. One joint on a stud leaves both
    pieces within 5990 with half a scarf of 18 each from 3057 to 5943: studs 3600, 4200, 4800 lie in the strip under the
    door, 5400 is clear. The studs of the course, 600, 2400 and 6000, would take two."""
    house = taken_off(openings="{wall: 1, from_left_mm: 3500, sill_mm: 0, width_mm: 1400, height_mm: 2100}")
    assert [at for board, at in joints(house, "bevel_187") if board == "B1.01"] == [5400.0]
    apart = [f for f in house.findings if f.code == "joints-in-line"]
    assert apart == []


def test_both_ends_at_a_joint_are_nailed() -> None:
    """Faces of 9076 and 6076 are longer than the 5990 that a board gives: each of 4 x 15 boards has one joint. It takes a
    nail more than its stud is counted for (common practice, no source), spares of 5 % on both counts."""
    house = taken_off()
    assert [boards.courses for boards in house.cladding.boards] == [15] * 4
    assert len(joints(house, "bevel_187")) == 60
    found = nails(house)
    assert found["running joints of the cutting list"] == 60
    crossed = found["crossings of bevel-back weatherboard 187 x 18"]
    assert found["measured"] == ceil(crossed * 1.05) + ceil(60 * 1.05)
    assert nails(taken_off(settings="nail_joint_extra: 0"))["measured"] == ceil(crossed * 1.05)


def lines(house: Takeoff) -> list[str]:
    return list(course_lines(house, order_of(house)))


def test_the_last_upright_board_under_a_rake_is_told_as_raked() -> None:
    """A gable face of 6076 in covers of 135: 44 whole boards and two of 68. Of the 68, the 38 past the framing end level
    and 30 on the rake of 30 degrees: the board is cut raked all the same."""
    board = "{direction: vertical, board: {width_mm: 150, cover_mm: 135, kind: shiplap}}"
    house = taken_off(zone=board, edges=GABLES)
    ends = [line for line in lines(house) if line.startswith(("wall 2, board 1:", "wall 2, board 46:"))]
    assert len(ends) == 2
    assert all("ripped to 68 seen" in line and "raked 30° at the top" in line for line in ends)


def test_level_boards_in_a_gable_say_how_their_ends_are_raked() -> None:
    """A slope of 30 degrees meets a level board 60 degrees off square, alike at both ends; under the eaves line the
    ends are square."""
    house = taken_off(edges=GABLES)
    gable: dict[str, Any] = {
        piece.id: piece.rakes_deg for boards in house.cladding.boards if boards.wall == 2 for piece in boards.pieces
    }
    raked = [ends for ends in gable.values() if max(ends) > 0.0]
    assert raked
    assert all(ends == pytest.approx((60.0, 60.0)) for ends in raked)
    assert gable["B2.01"] == (0.0, 0.0)
    assert any("raked 60° at the left end raked 60° at the right end" in line for line in lines(house))


def test_upright_boards_say_where_they_are_set_out_from() -> None:
    """Past an outside corner the face begins a cavity of 20 and a board of 18 before its framing."""
    board = "{direction: vertical, board: {width_mm: 150, cover_mm: 135, kind: shiplap}}"
    assert any(
        line == "wall 2: boards set out from 38 mm before the left end of the framing"
        for line in lines(taken_off(board))
    )


@pytest.mark.parametrize(
    ("share", "long", "seen", "boards"),
    [(0.3, 5972, 54, 45), (0.5, 5972, 121.5, 45), (0.5, 6000, 68, 46)],
)
def test_two_rips_come_from_one_board_where_it_is_wide_enough(
    share: float, long: int, seen: float, boards: int
) -> None:
    """Walls of 5972 and 6000 between outside corners, 38 more on either side: faces of 6048 and 6076.

    6048 in covers of 135: with ends of 0.3 covers or more 44 whole boards and two of 54. 54 + 54 seen, a lap of 15 and a
    kerf of 3 are 126 of a board of 150: 45 boards. With half a cover or more 43 whole ones and two of 121.5. 6076: 44
    and two of 68; 68 + 68 + 15 + 3 = 154 is more than 150: two boards, 46.
    """
    zone = "{direction: vertical, board: {width_mm: 150, cover_mm: 135, kind: shiplap}}"
    house = taken_off(zone, settings=f"end_rip_least_share: {share}", long=long)
    (front,) = (found for found in house.cladding.boards if found.wall == 1)
    ends = [piece for piece in front.pieces if piece.row in (1, len(front.pieces))]
    assert [piece.ripped_mm for piece in ends] == pytest.approx([seen, seen])
    runs = {demand.id for need in house.cladding.needs for demand in need.demands if demand.group == "wall 1"}
    assert len(runs & {piece.id for piece in front.pieces}) == boards
    told = [line for line in lines(house) if line.startswith("wall 1, ") and "out of the rest of B1.01" in line]
    assert len(told) == (1 if share == 0.3 else 0)
