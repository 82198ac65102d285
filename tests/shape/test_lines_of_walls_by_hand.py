"""Walls of a line put together: their numbers, heights and notes; openings that begin below the cladding; roofs over walls."""

from __future__ import annotations

from dataclasses import replace
from math import copysign
from types import SimpleNamespace
from typing import Any

import pytest
import shapely
from made_roofs import box
from oblique_wall import OUT, at, near, plane, wall

from takeoff.model.findings import Finding, Severity
from takeoff.model.job.walls import OpeningJob
from takeoff.model.walls import Corner, Opening
from takeoff.shape.walls import line_walls as lining
from takeoff.shape.walls.covered_parts import _rings
from takeoff.shape.walls.lower_roofs import _inside_line, _moved, _shared, shift_between
from takeoff.shape.walls.wall_draft import Draft
from takeoff.shape.walls.wall_edges import WallEdge, _corner, _Side, run_beside
from takeoff.shape.walls.wall_edges import _same_way as same_way
from takeoff.shape.walls.wall_lines import WallLine
from takeoff.shape.walls.wall_openings import _overlap, opening_findings, opening_name, wall_list
from takeoff.shape.walls.wall_tops import _step_height, _straight, raised, roof_over_wall, tidy

ENDS = {9: 2300.0, 10: None, 12: 2250.0, 13: 2500.0, 14: None}


def wall_edge(number: int, named: str = "eave", rises: bool = False) -> WallEdge:
    return WallEdge(number, (0.0, 1000.0 * number), (5000.0, 1000.0 * number), OUT, OUT, number, 600.0, named, rises)


def draft(number: int, **more: Any) -> Draft:
    return Draft(f"wall {number}", number, 5000.0, 2400.0, ((0.0, 2400.0), (5000.0, 2400.0)), OUT, OUT, 90.0, (1.0, 2.0), (3.0, 4.0), -50.0, **more)  # fmt: skip


class Told:
    """What the parts that a line of walls is put together from were asked."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, hidden: tuple[int, ...] = ()) -> None:
        self.heights: dict[int, float] = {}
        self.given: list[tuple[int, str, float | None]] = []
        self.notes: list[Any] = []
        edges = [
            wall_edge(1),
            wall_edge(2, "gable", True),
            wall_edge(3, "wall"),
            wall_edge(4),
            wall_edge(5),
            wall_edge(6),
        ]
        over = Finding("over", Severity.WARN, "over")

        def soffit_line(roof: Any, edge: WallEdge, top: Any, given: float | None, settings: Any) -> float | None:
            self.given.append((edge.wall, top, given))
            return ENDS[edge.wall]

        def made(edge: WallEdge, top: Any, height: float, line: Any, walls: Any, north: float, settings: Any) -> Draft:
            assert (top, line.before, north, settings) == (f"over {edge.wall}", 8, 7.0, "settings")
            self.heights[edge.wall] = height
            return draft(edge.wall)

        def notes(rows: Any, given: float | None, settings: Any) -> tuple[Finding, ...]:
            self.notes.append((list(rows), given, settings))
            return (Finding("note", Severity.NOTE, "note"),)

        def bare(rows: Any, frame: float, settings: Any) -> tuple[Finding, ...]:
            self.notes.append((list(rows), frame, settings))
            return (Finding("bare", Severity.NOTE, "bare"),)

        monkeypatch.setattr(lining, "wall_edges", lambda roof: tuple(edges))
        monkeypatch.setattr(lining, "roof_over_wall", lambda roof, edge: f"over {edge.wall}")
        monkeypatch.setattr(lining, "soffit_line", soffit_line)
        monkeypatch.setattr(lining, "_heads_over", lambda openings, ends, line: {12: (over,)})
        monkeypatch.setattr(lining, "_draft", made)
        monkeypatch.setattr(lining, "_cover_rule", lambda lines, walls, settings: "rule")
        monkeypatch.setattr(
            lining, "_outside", lambda one, edge, line, roofs, rule: None if one.wall in hidden else one
        )
        monkeypatch.setattr(lining, "soffit_notes", notes)
        monkeypatch.setattr(lining, "bare_under_soffit", bare)


def test_walls_of_the_second_line_are_numbered_on_and_clad_to_their_soffits(monkeypatch: pytest.MonkeyPatch) -> None:
    """Edges 1 to 6 of a line after 8 walls; 11 is another building's. 12 keeps its frame for the head of an opening, 13's soffit
    lies over the frame; a gable goes by the lowest line that is kept to: that of 9."""
    told = Told(monkeypatch)
    walls: Any = SimpleNamespace(openings=("opening",))
    roof: Any = SimpleNamespace(name="wing", origin_mm=(500.0, 700.0, 0.0))
    first: Any = SimpleNamespace(name="main", origin_mm=(100.0, 200.0, 0.0))
    line, main = WallLine(roof, 8, (0.0,), 2400.0), WallLine(first, 0, (0.0,), 2400.0)
    found = lining.line_walls(line, [main, line], walls, (), 7.0, "settings", 2222.0)  # type: ignore[arg-type]
    assert told.heights == {9: 2300.0, 10: 2300.0, 12: 2400.0, 13: 2400.0, 14: 2400.0}
    assert told.given == [(number, f"over {number}", None) for number in (9, 10, 12, 13, 14)]
    assert told.notes == [
        ([(9, 2400.0, 2300.0), (13, 2400.0, 2400.0)], None, "settings"),
        ([(9, 2300.0), (13, 2500.0)], 2400.0, "settings"),
    ]
    assert [(one.wall, one.a_mm, one.b_mm) for one in found] == [(n, (401.0, 502.0), (403.0, 504.0)) for n in (9, 10, 12, 13, 14)]  # fmt: skip
    assert [[finding.code for finding in one.findings] for one in found] == [["note", "bare"], [], ["over"], [], []]


def test_a_wall_that_is_hidden_has_no_note_and_the_first_line_has_the_jobs_soffit(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    told = Told(monkeypatch, hidden=(9,))
    walls: Any = SimpleNamespace(openings=())
    roof: Any = SimpleNamespace(name="wing", origin_mm=(500.0, 700.0, 0.0))
    line = WallLine(roof, 8, (0.0,), 2400.0)
    found = lining.line_walls(line, [line], walls, (), 7.0, "settings", 2222.0)  # type: ignore[arg-type]
    assert {given for *_, given in told.given} == {2222.0}
    assert told.notes == [([(13, 2400.0, 2400.0)], 2222.0, "settings"), ([(13, 2500.0)], 2400.0, "settings")]
    assert [(one.wall, one.a_mm, [finding.code for finding in one.findings]) for one in found] == [
        (10, (1.0, 2.0), ["note", "bare"]), (12, (1.0, 2.0), ["over"]), (13, (1.0, 2.0), []), (14, (1.0, 2.0), []),
    ]  # fmt: skip
    every = Told(monkeypatch, hidden=tuple(ENDS))
    assert lining.line_walls(line, [line], walls, (), 7.0, "settings", None) == []  # type: ignore[arg-type]
    assert every.notes == [([], None, "settings"), ([], 2400.0, "settings")]


@pytest.mark.parametrize(("sill", "told"), [(-50.4, False), (-50.6, True), (-90.0, True)])
def test_openings_that_begin_below_the_cladding_are_told(sill: float, told: bool) -> None:
    """Over half a millimetre under its foot at -50."""
    opening = Opening("D1", 500.0, sill, 900.0, 2000.0, "")
    text = f"D1 on wall 3 begins at {sill:g} mm, {-50.0 - sill:.0f} mm below the foot of the cladding (-50)."
    due = Finding("sill-below-cladding", Severity.WARN, text, "Check its sill_mm, which is counted from the finished floor.", ("wall 3", "D1"))  # fmt: skip
    assert list(opening_findings((opening,), draft(3))) == ([due] if told else [])


@pytest.mark.parametrize(("covered", "told"), [(99.0, False), (101.0, True)])
def test_openings_behind_a_lower_roof_are_told(covered: float, told: bool) -> None:
    """A hundred square millimetres of it are no crumb: a millimetre wide and so much high."""
    opening = Opening("W2", 500.0, 900.0, 600.0, 1000.0, "")
    text = "W2 on wall 3 stands behind a lower roof or within another part of the building."
    due = Finding("opening-behind-roof", Severity.WARN, text, "Check its wall, its place and its sill_mm.", ("wall 3", "W2"))  # fmt: skip
    part = box(400.0, 0.0, 501.0, 900.0 + covered)
    assert list(opening_findings((opening,), draft(3, covered=(part,)))) == ([due] if told else [])
    assert list(opening_findings((opening,), draft(3))) == []


def test_names_of_openings_and_walls() -> None:
    def job(**more: Any) -> OpeningJob:
        return OpeningJob(**{"wall": 1, "from_left_mm": 0, "sill_mm": 900, "width_mm": 900, "height_mm": 900, **more})

    assert [opening_name(job(**more), 7) for more in ({}, {"sill_mm": 0}, {"sill_mm": -10}, {"name": "K1"})] == ["W7", "D7", "D7", "K1"]  # fmt: skip
    assert wall_list({12, 3, 7}) == "3, 7, 12"


@pytest.mark.parametrize(("left", "sill", "said"), [
    (1399.4, 2099.4, ["W1 overlaps W2 on wall 3 by 1 mm across and 1 mm up; move one or make it smaller."]), (1399.6, 900.0, []), (700.0, 2099.6, []),
    (1000.0, 1500.0, ["W1 overlaps W2 on wall 3 by 400 mm across and 600 mm up; move one or make it smaller."]),
])  # fmt: skip
def test_openings_over_each_other(left: float, sill: float, said: list[str]) -> None:
    one, other = Opening("W1", left, sill, 800.0, 900.0, ""), Opening("W2", 500.0, 900.0, 900.0, 1200.0, "")
    assert list(_overlap("W1", one, other, "wall 3")) == said


def tops_of(start: float, end: float) -> Any:
    """A level plane at 2500 over the wall, and one from `start` to `end` over its 5 m."""
    out = (at(-900.0, 600.0), at(9000.0, 600.0), at(9000.0, -3000.0), at(-900.0, -3000.0))
    fall = (end - start) / 4000.0  # the wall goes up 4000 in y
    return SimpleNamespace(planes=(plane(*out, low=2500.0), plane(*out, low=start - 2000.0 * fall, fall=fall)))


@pytest.mark.parametrize(("start", "end", "lower"), [
    (2400.0, 2700.0, (2500.0, 2500.0)), (2400.0, 2560.0, (2400.0, 2560.0)), (2600.0, 2380.0, (2600.0, 2380.0)), (2600.0, 2450.0, (2500.0, 2500.0)),
])  # fmt: skip
def test_of_planes_over_each_other_the_lower_in_the_middle_counts(
    start: float, end: float, lower: tuple[float, float]
) -> None:
    assert near(roof_over_wall(tops_of(start, end), wall()), [(0.0, lower[0]), (5000.0, lower[1])])


def test_tops_of_one_point_and_steps_at_their_ends() -> None:
    assert tidy([(700.0, 2400.0)], 5000.0) == ((0.0, 2400.0), (5000.0, 2400.0))
    assert tidy([(700.0, 2400.0), (4000.0, 2500.0)], 5000.0) == ((0.0, 2400.0), (5000.0, 2500.0))
    top = ((1000.0, 20.0), (3000.0, 60.0), (3000.0, 90.0), (5000.0, 70.0))
    assert [_step_height(top, x) for x in (500.0, 1000.0, 1500.0, 2500.0, 4000.0, 4500.0, 6000.0)] == [20.0, 20.0, 30.0, 50.0, 80.0, 75.0, 70.0]  # fmt: skip


@pytest.mark.parametrize(("b", "straight"), [
    ((2000.0, 500.0), True), ((2000.0, 500.009), True), ((2000.0, 500.011), False), ((2000.0, 499.989), False), ((1000.02, 400.005), True), ((1000.005, 400.0), False),
    ((2999.98, 599.998), True), ((2999.995, 600.0), False),
])  # fmt: skip
def test_a_point_on_the_way_of_a_top_that_begins_elsewhere(b: tuple[float, float], straight: bool) -> None:
    assert _straight((1000.0, 400.0), b, (3000.0, 600.0)) is straight


def test_points_of_an_upright_part_lie_between_its_ends() -> None:
    """At 700 or 0.009 across: up from 400 over 450 to 500 goes on, and so does down; up and down again does not."""
    for x in (700.0, 700.009):
        for heights, straight in (((400.0, 450.0, 500.0), True), ((500.0, 450.0, 400.0), True), ((400.0, 550.0, 500.0), False), ((400.0, 390.0, 500.0), False),
                                  ((-400.0, 0.5, -300.0), False), ((400.0, 400.0, 500.0), True)):  # fmt: skip
            a, b, c = heights
            assert _straight((700.0, a), (700.0, b), (x, c)) is straight


def test_a_raised_top_that_begins_below_and_off_zero() -> None:
    """From 2400 at 1000 up to 3000 at 4000: 2600 is met at 2000; down to 2500 at 5000: 2600 at 4800."""
    top = ((1000.0, 2400.0), (4000.0, 3000.0), (5000.0, 2500.0))
    assert near(
        raised(top, 2600.0), [(0.0, 2600.0), (2000.0, 2600.0), (4000.0, 3000.0), (4800.0, 2600.0), (5000.0, 2600.0)]
    )


def test_roofs_counted_from_origins_of_their_own() -> None:
    own: Any = SimpleNamespace(origin_mm=(700.0, 900.0, 0.0))
    other: Any = SimpleNamespace(origin_mm=(-300.0, 400.0, 0.0))
    assert (shift_between(own, other), shift_between(other, own)) == ((1000.0, 500.0), (-1000.0, -500.0))
    found = _moved(wall(), own, other)
    assert (found.left_mm, found.right_mm) == ((2000.0, 2500.0), (5000.0, 6500.0))
    assert replace(found, left_mm=(1000.0, 2000.0), right_mm=(4000.0, 6000.0)) == wall()


@pytest.mark.parametrize(("shift", "found"), [(0.0, []), (1.9, [(0.0, 0.9)]), (2.1, [(0.0, 1.1)])])
def test_stretches_within_a_wall_line_longer_than_a_millimetre(shift: float, found: list[Any]) -> None:
    """Up to 1 past the wall's left end: what is no longer than twice half a millimetre is nothing."""
    ring = (at(-900.0, 900.0), at(shift - 1.0, 900.0), at(shift - 1.0, -800.0), at(-900.0, -800.0))
    due = [(a, b) for a, b in found if b - a > 1.0]
    assert near(_inside_line(wall(), (ring,)), due)
    last = (at(5001.0 - shift, 900.0), at(5900.0, 900.0), at(5900.0, -800.0), at(5001.0 - shift, -800.0))
    assert near(_inside_line(wall(), (last,)), [(5000.0 - b, 5000.0 - a) for a, b in due])


def test_shared_stretches_are_longer_than_half_a_millimetre() -> None:
    assert _shared([(100.0, 200.0)], [(199.4, 300.0), (199.6, 300.0), (0.0, 100.4), (0.0, 100.6)]) == [(199.4, 200.0), (100.0, 100.6)]  # fmt: skip


def test_corners_of_covered_parts_are_told_to_a_millionth_and_never_as_minus_nothing() -> None:
    square = shapely.Polygon([(-1e-9, -1e-9), (500.12345678, -1e-9), (500.12345678, 40.98765432), (-1e-9, 40.98765432)])
    (ring,) = _rings(square)
    assert sorted(ring) == [(0.0, 0.0), (0.0, 40.987654), (500.123457, 0.0), (500.123457, 40.987654)]
    assert all(copysign(1.0, value) > 0.0 for point in ring for value in point)


def test_runs_along_a_wall_and_ways_of_no_length() -> None:
    def run(s: float, t: float) -> Any:
        return SimpleNamespace(a_mm=(*at(s, 0.0), 2400.0), b_mm=(*at(t, 0.0), 2600.0))

    assert run_beside(wall(), run(1000.0, 4000.0), (0.0, 0.0)) == pytest.approx(3000.0)
    assert run_beside(wall(), run(6000.0, 9000.0), (0.0, 0.0)) == 0.0
    assert run_beside(wall(), run(5000.5, 9000.0), (0.0, 0.0)) == 0.0
    nothing = _Side(1, 0, (5.0, 5.0), (5.0, 5.0), (5.0, 5.0), (5.0, 5.0))
    along = _Side(1, 0, (0.0, 0.0), (0.0, 0.0), (0.5, 0.5), (0.5, 0.5))
    assert not same_way(nothing, along)
    assert same_way(along, along)  # half a square millimetre


def test_corners_that_are_right_in_any_direction() -> None:
    for a, b, c, corner in (
        ((0.0, 0.0), (10.0, 20.0), (-10.0, 30.0), Corner("external", 90.0)), ((0.0, 0.0), (10.0, 20.0), (30.0, 10.0), Corner("internal", 90.0)),
        ((0.0, 0.0), (10.0, 20.0), (10.0, 30.0), Corner("external", 153.4349)), ((0.0, 0.0), (10.0, 20.0), (20.0, 20.0), Corner("internal", 116.5651)),
    ):  # fmt: skip
        found = _corner(a, b, c)
        assert (found.kind, found.angle_deg) == (corner.kind, pytest.approx(corner.angle_deg, abs=1e-4))
