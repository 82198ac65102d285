"""The drawing of a takeoff that stopped and the picture of a look at a file, by hand: outlines, crosses, numbers and words
at their places [mm], on made-up outlines that are alike from no two sides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import hypot

import pytest

from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.looked import Looked, LookedRing, LookedRow
from takeoff.model.order import Takeoff
from takeoff.write.drawings.drawing import Circle, Drawing, Line, Polyline, Sketch, Text, bounds
from takeoff.write.drawings.fault_drawing import fault_drawing
from takeoff.write.drawings.frame import A1, A2, A3
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.look_picture import look_picture

L_SHAPE = [(1000.0, 500.0), (21000.0, 500.0), (21000.0, 6500.0), (9000.0, 6500.0), (9000.0, 12500.0), (1000.0, 12500.0)]


def finding(severity: Severity, text: str, at: tuple[float, float, float] | None = None, **more: str) -> Finding:
    return Finding("code", severity, text, at_mm=at, **more)


def not_raised(stopped: Takeoff, *findings: Finding) -> Takeoff:
    """A job with an outline, of which no roof was raised."""
    job = Job.model_validate(
        {"job": "Shed", "roofs": [{"outline": L_SHAPE, "pitch_deg": 20.0, "fascia_height_mm": 2400.0}]}
    )
    return replace(stopped, job=job, roofs=(), findings=findings)


def of(drawing: Drawing, kind: type, layer: str) -> list[object]:
    return [item for item in drawing.items if isinstance(item, kind) and item.layer == layer]


def test_the_outline_as_typed_from_its_first_corner_in_the_middle_of_its_room(stopped: Takeoff) -> None:
    """20 x 12 m in 230 x 217 mm: 1:100. The room of 260 x 247 mm begins 20 and 40 mm from the corner of the paper, so its
    middle lies 150 and 163.5 mm in; the middle of the outline is (10000, 6000)."""
    drawing = fault_drawing(not_raised(stopped))
    (outline,) = of(drawing, Polyline, "WALL-LINE")
    assert isinstance(outline, Polyline)
    assert outline.points_mm == tuple((x - 1000.0, y - 500.0) for x, y in L_SHAPE)
    assert (drawing.name, drawing.title, drawing.scale, drawing.paper_mm) == ("fault", "Faults", 100, A3)
    assert drawing.corner_mm == (10000.0 - 15000.0, 6000.0 - 16350.0)
    assert any(isinstance(item, Text) and item.text == "NOT AN ORDER: STOPPED BY A FINDING" for item in drawing.items)
    assert any(isinstance(item, Text) and item.text.endswith("undated, drawing F1") for item in drawing.items)


def test_without_an_outline_ten_metres_are_shown(stopped: Takeoff) -> None:
    """10 x 10 m in 230 x 217 mm: 1:50."""
    nothing = replace(stopped, job=Job.model_validate({"job": "Shed", "roofs": []}), roofs=(), findings=())
    drawing = fault_drawing(nothing)
    assert (drawing.scale, of(drawing, Polyline, "WALL-LINE")) == (50, [])
    assert drawing.corner_mm == (5000.0 - 150.0 * 50, 5000.0 - 163.5 * 50)


def test_faults_are_told_gravest_first_in_a_column_and_crossed_where_they_are(stopped: Takeoff) -> None:
    """The column begins 260 mm right of the room's left end, at 239 mm up (1:100). Stops are 5 mm high and 7 apart, the
    others 3.5 and 5.5, 3 mm between findings."""
    drawing = fault_drawing(
        not_raised(
            stopped,
            finding(Severity.NOTE, "first typed", (3000.0, 1000.0, 0.0)),
            finding(Severity.STOP, "second typed", (8000.0, 2000.0, 5.0)),
            finding(Severity.STOP, "third typed"),
        )
    )
    left, top = 10000.0 - 13000.0 + 26000.0, 6000.0 - 12350.0 + 23900.0
    words = [item for item in of(drawing, Text, "HOLD") if isinstance(item, Text) and not item.middle][:3]
    assert [(item.text, item.height_mm) for item in words] == [
        ("1. STOP: second typed", 500.0), ("2. STOP: third typed", 500.0), ("3. note: first typed", 350.0),
    ]  # fmt: skip
    assert [item.at_mm for item in words] == [(left, top), (left, top - 1000.0), (left, top - 2000.0)]
    crosses = [(item.a_mm, item.b_mm) for item in of(drawing, Line, "HOLD") if isinstance(item, Line)]
    assert crosses == [
        ((7700.0, 1700.0), (8300.0, 2300.0)), ((7700.0, 2300.0), (8300.0, 1700.0)),
        ((2700.0, 700.0), (3300.0, 1300.0)), ((2700.0, 1300.0), (3300.0, 700.0)),
    ]  # fmt: skip
    circles = [(item.at_mm, item.radius_mm) for item in of(drawing, Circle, "HOLD") if isinstance(item, Circle)]
    assert circles == [((8000.0, 2000.0), 500.0), ((3000.0, 1000.0), 500.0)]
    numbers = [item for item in of(drawing, Text, "HOLD") if isinstance(item, Text) and item.middle]
    assert [(item.text, item.at_mm, item.height_mm, item.align) for item in numbers] == [
        ("1", (8600.0, 2000.0), 500.0, "left"), ("3", (3600.0, 1000.0), 500.0, "left"),
    ]  # fmt: skip


def test_the_column_ends_at_its_foot_and_its_words_are_broken_to_its_width(stopped: Takeoff) -> None:
    """A stop of three lines takes 3 x 7 + 3 = 24 mm, and one begins as long as 231 mm are not passed: 10 of them (9 x 24 =
    216; 10 x 24 = 240)."""
    text = "the pitch of this plane is less than its sheets can be laid at by their maker"
    drawing = fault_drawing(not_raised(stopped, *(finding(Severity.STOP, f"{text} {n}") for n in range(30))))
    lines = [item.text for item in of(drawing, Text, "HOLD") if isinstance(item, Text)]
    begun = [line for line in lines if line[0].isdigit()]
    assert len(begun) == 10
    assert begun[-1].startswith("10. ")
    column = [line for line in lines if line != "NOT AN ORDER: STOPPED BY A FINDING"]
    assert len(column) == 30


def test_a_raised_roof_is_drawn_with_edges_and_names(stopped: Takeoff) -> None:
    drawing = fault_drawing(stopped)
    texts = [item.text for item in of(drawing, Text, "TEXT") if isinstance(item, Text)]
    for plane in stopped.roofs[0].planes:
        assert plane.id in texts
    for edge in stopped.roofs[0].own_edges:
        assert any(text.startswith(edge.id) for text in texts), edge.id
    numbers = [item.text for item in of(drawing, Text, "EDGE-NUMBER") if isinstance(item, Text)]
    assert numbers == ["1", "2", "3", "4"]


def ring(points: Sequence[tuple[float, float]], **more: object) -> LookedRing:
    edges = tuple(hypot(bx - ax, by - ay) for (ax, ay), (bx, by) in zip(points, (*points[1:], points[0]), strict=True))
    made = LookedRing("roof", 1, "", tuple(points), 0.0, 0.0, 0.0, 1, edges)
    return replace(made, **more)  # type: ignore[arg-type]


OUTER = ((0.0, 0.0), (15000.0, 0.0), (15000.0, 6000.0), (8000.0, 11000.0), (0.0, 11000.0))
COURT = ((3000.0, 2000.0), (3000.0, 5000.0), (7000.0, 5000.0), (7000.0, 2000.0))
HOUSE = Looked(
    "plan.dxf", "DXF", "mm", "as its header says",
    rings=(ring(OUTER), ring(COURT, number=2, first_edge=6, court_of=1)),
    open_rows=(LookedRow(((9000.0, 1000.0), (12000.0, 1000.0), (12000.0, 3000.0)), "does not close"),),
)  # fmt: skip


def drawn(looked: Looked) -> Drawing:
    drawing = look_picture(looked)
    assert drawing is not None
    return drawing


def test_a_look_with_nothing_to_draw_has_no_picture() -> None:
    assert look_picture(Looked("empty.dxf", "DXF", "mm", "")) is None


def test_rings_rows_and_the_dots_that_edges_are_numbered_from() -> None:
    """15 x 11 m in 396 x 263 mm: 1:50."""
    drawing = drawn(HOUSE)
    assert drawing.scale == 50
    assert [item.points_mm for item in of(drawing, Polyline, "ROOF-EAVE") if isinstance(item, Polyline)] == [OUTER]
    assert [item.points_mm for item in of(drawing, Polyline, "WALL-LINE") if isinstance(item, Polyline)] == [COURT]
    (row,) = (item for item in of(drawing, Polyline, "HOLD") if isinstance(item, Polyline))
    assert (row.points_mm, row.closed) == (HOUSE.open_rows[0].points_mm, False)
    ends = [(item.at_mm, item.radius_mm) for item in of(drawing, Circle, "HOLD") if isinstance(item, Circle)]
    assert ends == [((9000.0, 1000.0), 100.0), ((12000.0, 3000.0), 100.0)]
    dots = [(item.at_mm, item.radius_mm) for item in of(drawing, Circle, "EDGE-NUMBER") if isinstance(item, Circle)]
    assert dots == [(OUTER[0], 50.0), (COURT[0], 50.0)]


def test_every_edge_has_its_number_and_length_beside_its_middle_inside_the_ring() -> None:
    """2.4 mm off, 120 mm at 1:50; to the left of an edge that runs against the clock. Edge 3 is (7000, 5000): 8602."""
    drawing = drawn(HOUSE)
    figures = [item for item in of(drawing, Text, "EDGE-NUMBER") if isinstance(item, Text)]
    assert [item.text for item in figures] == [
        "1: 15000", "2: 6000", "3: 8602", "4: 8000", "5: 11000", "6: 3000", "7: 4000", "8: 3000", "9: 4000",
    ]  # fmt: skip
    assert {item.height_mm for item in figures} == {125.0}
    at = [item.at_mm for item in figures]
    assert at[0] == (7500.0, 120.0)
    assert at[1] == (15000.0 - 120.0, 3000.0)
    assert at[2] == pytest.approx((11500.0 - 120.0 * 5000 / 8602.325, 8500.0 - 120.0 * 7000 / 8602.325), abs=0.01)
    assert at[3:5] == [(4000.0, 11000.0 - 120.0), (120.0, 5500.0)]
    # the courtyard runs with the clock: its figures lie inside it all the same
    assert at[5:] == [(3120.0, 3500.0), (5000.0, 4880.0), (6880.0, 3500.0), (5000.0, 2120.0)]
    assert [item.angle_deg for item in figures][:2] == [0.0, 90.0]


def test_figures_of_the_file_where_the_unit_is_not_known_and_edges_without_length_are_left_out() -> None:
    edges = (1.23456789, 2.0, 0.0, 4.0, 5.0)
    drawing = drawn(replace(HOUSE, unit="", rings=(ring(OUTER, edges_mm=edges, first_edge=3),), open_rows=()))
    figures = [item.text for item in of(drawing, Text, "EDGE-NUMBER") if isinstance(item, Text)]
    assert figures == ["3: 1.23457", "4: 2", "6: 4", "7: 5"]
    assert drawing.title == (
        "plan.dxf: rings with their numbers, edges as numbered in a job from the dot on; lengths in the file's own figures"
    )


def test_rings_are_named_where_they_have_most_room() -> None:
    texts = [item for item in of(drawn(HOUSE), Text, "TEXT") if isinstance(item, Text)]
    assert [item.text for item in texts[:2]] == ["roof 1", "roof 2, courtyard of 1"]
    assert [item.height_mm for item in texts[:2]] == [175.0, 175.0]
    x, y = texts[1].at_mm
    assert 3000.0 < x < 7000.0
    assert y == pytest.approx(3500.0, abs=200.0)
    (bare, *_) = [
        item
        for item in of(drawn(replace(HOUSE, rings=(ring(OUTER, layer=""),))), Text, "TEXT")
        if isinstance(item, Text)
    ]
    assert bare.text == "1"


def test_the_paper_is_as_large_as_what_is_drawn_or_its_title() -> None:
    """All figures lie inside, so the drawing is 300 x 220 mm: with 12 mm round it and 10 for the words under it 324 x 254;
    its title in letters of 2.5 mm, 12 mm from the left and 12 from the foot."""
    drawing = drawn(HOUSE)
    assert drawing.corner_mm == (-600.0, -600.0 - 500.0)
    assert drawing.paper_mm[1] == 254.0
    assert drawing.paper_mm[0] >= 324.0
    (title,) = (item for item in drawing.items if isinstance(item, Text) and item.text == drawing.title)
    assert (title.at_mm, title.height_mm) == ((0.0, -500.0), 125.0)
    assert drawing.title == (
        "plan.dxf: rings with their numbers, edges as numbered in a job from the dot on; lengths in mm, the file is in mm"
    )
    wide = ((0.0, 0.0), (39000.0, 0.0), (39000.0, 11000.0), (0.0, 11000.0))  # 390 mm at 1:100, wider than the title
    assert drawn(replace(HOUSE, rings=(ring(wide),))).paper_mm == (390.0 + 24.0, 110.0 + 34.0)


def test_more_edges_take_larger_paper_and_very_many_have_no_figures() -> None:
    """A strip of n edges, 80 m long: 80 m in 396 mm is 1:250, in 570 mm 1:150, in 817 mm 1:100. Its first edge alone is
    given a length."""

    def strip(edges: int) -> Looked:
        top = [(80000.0 - 80000.0 * i / (edges - 3), 9000.0 + (i % 2)) for i in range(edges - 2)]
        edges_mm = (80000.0, *(0.0,) * (edges - 1))
        return replace(HOUSE, rings=(ring(((0.0, 0.0), (80000.0, 0.0), *top), edges_mm=edges_mm),), open_rows=())

    assert [drawn(strip(edges)).scale for edges in (40, 41, 100, 101)] == [250, 150, 150, 100]
    assert (A3[0] - 24.0, A2[0] - 24.0, A1[0] - 24.0) == (396.0, 570.0, 817.0)
    for edges, named in ((600, True), (601, False)):
        found = [item for item in of(drawn(strip(edges)), Text, "EDGE-NUMBER") if isinstance(item, Text)]
        assert bool(found) is named


def test_a_figure_that_finds_its_place_taken_slides_along_its_edge_then_goes_outside() -> None:
    """A row of lines lies where the figure of edge 1 would stand: it slides by steps of 4 mm, 200 at 1:50."""
    blocked = LookedRow(((7400.0, 60.0), (7600.0, 180.0)), "")
    drawing = drawn(replace(HOUSE, open_rows=(blocked,)))
    first = next(item for item in drawing.items if isinstance(item, Text) and item.text == "1: 15000")
    off = abs(first.at_mm[0] - 7500.0)
    assert first.at_mm[1] == 120.0
    assert off > 0.0
    assert off % 200.0 == pytest.approx(0.0, abs=1e-6)
    room = Room(Sketch(50))
    room.boxes.append(((7400.0, 60.0), (7600.0, 60.0), (7600.0, 180.0), (7400.0, 180.0)))
    near = Label("EDGE-NUMBER", (first.at_mm[0] - 200.0, 120.0), "1: 15000", 2.5)
    assert not room.free([near])
    whole_length = LookedRow(((-500.0, 120.0), (15500.0, 120.0)), "")
    drawing = drawn(replace(HOUSE, open_rows=(whole_length,)))
    first = next(item for item in drawing.items if isinstance(item, Text) and item.text == "1: 15000")
    assert first.at_mm == (7500.0, -120.0)
    assert bounds([first.at_mm])[1] < 0.0
