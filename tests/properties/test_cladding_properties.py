"""What holds for every clad wall, and values derived by plain arithmetic from published ones (marked derived).

Areas are checked against shapely, which knows nothing of boards.
"""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box, union_all
from shapely.geometry import Polygon

from takeoff.basics.polygons import signed_area
from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.measure.cladding.storey_rod import course_count
from takeoff.model.job.job import Job
from takeoff.model.job.walls import WallsJob
from takeoff.model.measured import CladdingMeasured
from takeoff.model.walls import Elevation
from takeoff.order.cut_stock.runs import cut_all
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.walls.walls import elevations

# strips too short for a board are bought as boards here, so that boards and openings make up the whole wall
SETTINGS = resolve_settings(Job(job="test", settings={"board_short_mm": 0}))
CATALOGUE = load_catalogue()
BOARDS = {
    "bevel": "bevel_187",
    "rusticated": {"width_mm": 187, "cover_mm": 150, "kind": "rusticated"},
    "upright": {"width_mm": 150, "cover_mm": 135, "kind": "shiplap"},
}


@st.composite
def walls(draw: st.DrawFn) -> dict[str, Any]:
    """A wall by itself, level or raked, with up to three openings that do not touch each other."""
    width = draw(st.integers(1500, 16000))
    height = draw(st.integers(2000, 4500))
    top: list[tuple[float, float]] = []
    if draw(st.booleans()):
        apex = draw(st.integers(0, width))
        top = [(0, height), (apex, height + draw(st.integers(1, 4000)))] if apex else [(0, height + 900)]
        top = [*top, (width, height)] if apex not in (0, width) else [*top, (width, height)][: 2 if apex else 3]
    openings = []
    at = draw(st.integers(0, 900))
    for _ in range(draw(st.integers(0, 3))):
        wide = draw(st.integers(300, 2600))
        if at + wide > width:
            break
        sill = draw(st.sampled_from([-50, 0, draw(st.integers(50, 1100))]))
        openings.append(
            {
                "wall": 1,
                "from_left_mm": at,
                "sill_mm": sill,
                "width_mm": wide,
                "height_mm": draw(st.integers(100, height - sill)),
            }
        )
        at += wide + draw(st.integers(1, 1500))
    return {"width_mm": width, "height_mm": height, "top": top, "openings": openings}


def clad(
    wall: dict[str, Any], board: str, left: str = "none", right: str = "none"
) -> tuple[Elevation, CladdingMeasured]:
    given_wall = {"name": "wall", "left": left, "right": right}
    given_wall |= {name: wall[name] for name in ("width_mm", "height_mm", "top")}
    zone = {"board": BOARDS[board], "direction": "vertical" if board == "upright" else "horizontal"}
    job = WallsJob.model_validate(
        {"elevations": [given_wall], "zones": [zone], "openings": wall["openings"], "ground_mm": -450}
    )
    made = elevations(job, (), 0.0, SETTINGS)
    return made[0], measure_cladding(made, job, (), SETTINGS, CATALOGUE)


def bare(elevation: Elevation) -> Polygon:
    """The wall less its openings, by shapely."""
    holes = [box(o.from_left_mm, o.sill_mm, o.from_left_mm + o.width_mm, o.head_mm) for o in elevation.openings]
    return Polygon(elevation.outline_xy).difference(union_all(holes)) if holes else Polygon(elevation.outline_xy)


def mirrored(wall: dict[str, Any]) -> dict[str, Any]:
    width = wall["width_mm"]
    turned = [{**o, "from_left_mm": width - o["from_left_mm"] - o["width_mm"]} for o in reversed(wall["openings"])]
    return {**wall, "top": [(width - x, y) for x, y in reversed(wall["top"])], "openings": turned}


@settings(max_examples=15, deadline=None, derandomize=True)
@given(wall=walls(), board=st.sampled_from(sorted(BOARDS)))
def test_boards_cover_the_wall_once_and_no_opening(wall: dict[str, Any], board: str) -> None:
    elevation, measured = clad(wall, board)
    laid = measured.boards[0]
    true = bare(elevation)
    assert laid.net_mm2 == pytest.approx(true.area, rel=1e-9, abs=1)
    crumbs = 200.0 * (len(laid.pieces) + laid.courses)  # pieces under 10 x 10 mm are left out
    assert sum(signed_area(piece.outline_xy) for piece in laid.pieces) == pytest.approx(true.area, abs=crumbs)
    shapes = [Polygon(piece.outline_xy).buffer(0) for piece in laid.pieces]
    assert union_all(shapes).symmetric_difference(true).area == pytest.approx(0, abs=crumbs)


@settings(max_examples=15, deadline=None, derandomize=True)
@given(wall=walls(), board=st.sampled_from(sorted(BOARDS)))
def test_boards_are_long_enough_and_no_longer_than_the_wall(wall: dict[str, Any], board: str) -> None:
    elevation, measured = clad(wall, board)
    axis = 1 if board == "upright" else 0
    ends = [point[axis] for point in elevation.outline_xy]
    for piece in measured.boards[0].pieces:
        seen = [point[axis] for point in piece.outline_xy]
        assert piece.length_mm >= max(seen) - min(seen) - 0.01
        assert piece.length_mm <= max(ends) - min(ends) + 0.01


@settings(max_examples=15, deadline=None, derandomize=True)
@given(wall=walls(), board=st.sampled_from(["bevel", "rusticated"]))
def test_a_row_of_horizontal_boards_is_the_wall_there_less_whole_openings(wall: dict[str, Any], board: str) -> None:
    elevation, measured = clad(wall, board)
    laid = measured.boards[0]
    outline, true = Polygon(elevation.outline_xy), bare(elevation)
    for row, foot in enumerate(laid.marks_mm, start=1):
        line = outline.intersection(box(-1, foot + 1e-6, 1e6, foot + 2e-6))
        left, _, right, _ = line.bounds if not line.is_empty else (0.0, 0.0, 0.0, 0.0)
        peak = max(y for _, y in elevation.outline_xy)
        top = min(foot + laid.cover_mm, peak) if row < laid.courses else peak
        gone = sum(
            o.width_mm
            for o in elevation.openings
            if o.sill_mm <= foot + 0.5 and o.head_mm >= min(top, outline_top(outline, o)) - 0.5
        )
        lengths = [piece.length_mm for piece in laid.pieces if piece.row == row]
        if lengths:
            assert sum(lengths) == pytest.approx(right - left - gone, abs=1.0)
        else:  # nothing of this board would be seen
            assert true.intersection(box(-1, foot, 1e6, foot + laid.cover_mm)).area < 200


def outline_top(outline: Polygon, opening: Any) -> float:
    """Highest point of a wall over an opening."""
    column = outline.intersection(box(opening.from_left_mm, -1e4, opening.from_left_mm + opening.width_mm, 1e5))
    return float(column.bounds[3])


@settings(max_examples=80, deadline=None, derandomize=True)
@given(wall=walls(), board=st.sampled_from(sorted(BOARDS)))
def test_a_mirrored_wall_has_the_same_boards(wall: dict[str, Any], board: str) -> None:
    _, one = clad(wall, board, left="external")
    _, other = clad(mirrored(wall), board, right="external")
    moved = any(finding.code in ("boards-moved-off-centre", "sliver-beside-jamb") for finding in one.boards[0].findings)
    if moved:  # a sliver is cleared to the right first, so only the number of boards is the same
        assert one.boards[0].courses == other.boards[0].courses
    else:
        lengths, turned = (sorted(piece.length_mm for piece in m.boards[0].pieces) for m in (one, other))
        assert lengths == pytest.approx(turned, abs=0.01)
    assert one.boards[0].net_mm2 == pytest.approx(other.boards[0].net_mm2)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(wall=walls(), board=st.sampled_from(sorted(BOARDS)))
def test_end_boards_are_equal_or_at_least_half_a_cover(wall: dict[str, Any], board: str) -> None:
    if board != "upright":
        return
    laid = clad(wall, board)[1].boards[0]
    widths = [b - a for a, b in pairwise(laid.marks_mm)]
    assert all(width <= 135.5 for width in widths)
    assert min(widths[0], widths[-1]) >= min(67.5, wall["width_mm"] / 2) - 0.5
    if not laid.findings:
        assert widths[0] == pytest.approx(widths[-1], abs=0.51)


@settings(max_examples=15, deadline=None, derandomize=True)
@given(wall=walls(), board=st.sampled_from(sorted(BOARDS)))
def test_every_run_of_a_wall_is_cut_once(wall: dict[str, Any], board: str) -> None:
    _, measured = clad(wall, board)
    need = measured.needs[0]
    plans = cut_all(need.demands, need.stock)
    cut: Counter[str] = Counter()
    for plan in plans:
        assert plan.findings == ()
        for bar in plan.bars:
            for piece in bar.pieces:
                cut[piece.run] += piece.length_mm
    laps = {run.id: run.lap_mm for run in need.demands}
    assert set(cut) == set(laps)
    for run in need.demands:
        # runs are cut to a hundredth of a mm, and what prints as a stock length is that length
        least_mm = run.length_mm - 0.5 - 0.01
        assert least_mm <= cut[run.id] <= run.length_mm + 10 * (run.lap_mm + 1)


def test_courses_of_a_wall_2400_high() -> None:
    """Derived: ceil((2400 - 187) / 155) + 1 = 16."""
    assert course_count(2400, 187, 155) == 16


@pytest.mark.parametrize(("cover", "each_m2"), [(155, 10.75), (108, 15.43)])
def test_crossings_a_square_metre(cover: float, each_m2: float) -> None:
    """Derived: (1000 / cover) x (1000 / 600) crossings of boards and studs a square metre, away from ends and laps."""
    board = {"width_mm": cover + 32, "cover_mm": cover, "kind": "rusticated"}
    long = {"name": "wall", "width_mm": 600_000, "height_mm": 12_000, "left": "none", "right": "none"}
    job = WallsJob.model_validate({"elevations": [long], "zones": [{"board": board}], "ground_mm": -450})
    # higher than a job may ask for, so that the ends weigh little
    job = job.model_copy(update={"elevations": [job.elevations[0].model_copy(update={"height_mm": 60_000.0})]})
    measured = measure_cladding(elevations(job, (), 0.0, SETTINGS), job, (), SETTINGS, CATALOGUE)
    nails = next(quantity for quantity in measured.needs[0].quantities if quantity.item.startswith("board nail"))
    crossings = next(float(term.value) for term in nails.working.terms if term.name.startswith("crossings"))
    assert crossings / (measured.boards[0].net_mm2 / 1e6) == pytest.approx(each_m2, rel=0.003)
