"""Gutters, downpipes, walls, boards, openings and settings explained."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from takeoff.model.basis import Setting
from takeoff.model.drainage import Downpipe, DownpipePlan, GutterRun
from takeoff.model.order import Takeoff
from takeoff.model.walls import BoardPiece, Elevation, Opening, WallBoards
from takeoff.write.explain.explanation import Entry, Explanation, explained
from takeoff.write.words.detail_words import DetailWords, details_of
from takeoff.write.words.words import compass_words, number, plain, setting_words, whole


def site_entries(takeoff: Takeoff) -> Iterator[Entry]:
    """Gutter runs, downpipes, walls, openings, boards and settings, each with what explains it."""
    for run in takeoff.gutters:
        yield run.id, partial(_gutter, takeoff, run)
    for plan in takeoff.rainwater.downpipes:
        for pipe in plan.pipes:
            yield pipe.id, partial(_downpipe, takeoff, plan, pipe)
    for wall in takeoff.elevations:
        for name in dict.fromkeys((f"wall {wall.wall}", wall.id)):
            yield name, partial(_wall, takeoff, wall)
        for opening in wall.openings:
            yield opening.name, partial(_opening, takeoff, wall, opening)
    for boards in takeoff.cladding.boards:
        for piece in boards.pieces:
            yield piece.id, partial(_board, takeoff, boards, piece)
    for detail in details_of(takeoff):
        yield detail.mark, partial(_detail, takeoff, detail)
    for name, setting in takeoff.settings.values.items():
        yield name, partial(_setting, takeoff, setting)


def _gutter(takeoff: Takeoff, run: GutterRun) -> Explanation:
    corners = ", ".join(f"{corner.kind} {number(corner.angle_deg, 1)} degrees" for corner in run.corners)
    facts = [
        f"{number(run.length_mm / 1000.0)} m in {len(run.legs)} legs along {', '.join(leg.edge for leg in run.legs)}",
        f"{number(run.plan_catchment_mm2 / 1e6)} m2 of roof in plan drain to it",
        f"corners: {corners}" if corners else "",
        "runs round the roof, no stop ends" if run.ring else "one left and one right stop end",
    ]
    plan = takeoff.gutter_plan(run.id)
    workings = []
    if plan is not None:
        facts.append(f"{_limits(plan)}: {', '.join(pipe.id for pipe in plan.pipes)}")
        workings.append(plan.working)
    workings += [quantity.working for quantity in takeoff.rainwater.catchment if run.id in quantity.refs]
    return explained(takeoff, f"{run.id}: gutter run", facts, workings, [leg.edge for leg in run.legs])


def _limits(plan: DownpipePlan) -> str:
    limits = ", ".join(f"{plain(name)} asks for {count}" for name, count in plan.limits)
    return f"{plan.count} downpipes by {plain(plan.method)}, decided by {plain(plan.decided_by)} ({limits})"


def _downpipe(takeoff: Takeoff, plan: DownpipePlan, pipe: Downpipe) -> Explanation:
    x, y, _ = pipe.at_mm
    foot = f"roof {plain(pipe.onto)}, where it ends in a spreader" if pipe.onto else "ground"
    facts = [
        f"{whole(pipe.along_mm)} mm from the start of gutter {pipe.run}, at {whole(x)}, {whole(y)} mm on the plan",
        f"{whole(pipe.height_mm)} mm from gutter to {foot}, {number(pipe.catchment_mm2 / 1e6)} m2 of roof drain to it",
        _limits(plan),
    ]
    run = next((run for run in takeoff.gutters if run.id == pipe.run), None)
    edges = [leg.edge for leg in run.legs] if run is not None else []
    return explained(takeoff, f"{pipe.id}: downpipe of {pipe.run}", facts, [plan.working], edges)


def _wall(takeoff: Takeoff, wall: Elevation) -> Explanation:
    faces = compass_words(wall.bearing_deg)
    facts = [
        f"{whole(wall.width_mm)} mm wide, frame {whole(wall.height_mm)} mm high, faces {faces}",
        f"openings: {', '.join(plain(opening.name) for opening in wall.openings)}" if wall.openings else "no openings",
    ]
    boards = [boards for boards in takeoff.cladding.boards if boards.wall == wall.wall]
    facts += [_boards(zone) for zone in boards]
    facts += [f"{d.mark}: {d.what}, {number(d.metres)} m, {d.parts}" for d in details_of(takeoff, wall.wall)]
    return explained(takeoff, f"wall {wall.wall}", facts, [zone.working for zone in boards])


def _boards(boards: WallBoards) -> str:
    return (
        f"{boards.direction} {plain(boards.board)}: {boards.courses} courses at {number(boards.cover_mm, 1)} mm cover, "
        f"{number(boards.net_mm2 / 1e6)} m2 net of {number(boards.gross_mm2 / 1e6)} m2"
    )


def _detail(takeoff: Takeoff, detail: DetailWords) -> Explanation:
    facts = [
        f"{detail.lines} lines, {number(detail.metres)} m, on walls {', '.join(map(str, detail.walls))}",
        f"ordered for it: {detail.parts}",
        detail.why,
    ]
    return explained(takeoff, f"{detail.mark}: {detail.what}", facts)


def _opening(takeoff: Takeoff, wall: Elevation, opening: Opening) -> Explanation:
    heights = f"sill {whole(opening.sill_mm)} mm and head {whole(opening.head_mm)} mm over the floor"
    facts = [
        f"on wall {wall.wall}, {whole(opening.from_left_mm)} mm from its left end seen from outside",
        f"{whole(opening.width_mm)} x {whole(opening.height_mm)} mm, {heights}",
    ]
    return explained(takeoff, f"{plain(opening.name)}: opening", facts)


def _board(takeoff: Takeoff, boards: WallBoards, piece: BoardPiece) -> Explanation:
    row = "course" if boards.direction == "horizontal" else "board"
    seen = " seen" if boards.direction == "vertical" else ""
    facts = [
        f"{number(piece.length_mm, 1)} mm, {row} {piece.row} of wall {piece.wall}, {plain(boards.board)}",
        f"ripped to {number(piece.ripped_mm, 1)} mm{seen}" if piece.ripped_mm else "",
        "notched by an opening" if piece.notched else "",
        f"ripped out of the rest of {piece.rest_of}: no board is cut for it" if piece.rest_of else "",
        _boards(boards),
    ]
    return explained(takeoff, f"{piece.id}: board, {plain(piece.zone)}", facts, [boards.working])


def _setting(takeoff: Takeoff, setting: Setting) -> Explanation:
    return explained(takeoff, f"{setting.name}: setting", [setting_words(setting)])
