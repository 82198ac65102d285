"""Sheet layouts, faults and looks at their limits, by hand [mm]: what lies away from the origin and aslant, papers that
just hold a layout, words that just fit."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import Offered, same
from wall_by_hand import box

from takeoff.basics.vectors import Point2
from takeoff.model.findings import Finding, Severity
from takeoff.model.looked import Looked, LookedRing
from takeoff.model.order import Takeoff
from takeoff.write.drawings import fault_drawing, look_picture, sheet_drawing
from takeoff.write.drawings.drawing import Line, Sketch, Text, text_width
from takeoff.write.drawings.frame import A1, A2, A3, A4
from takeoff.write.drawings.label_room import Label, Room


def asking(asked: list[Any], gives: Any) -> Any:
    """A function that notes what it is asked and gives always the same."""

    def ask(*args: Any) -> Any:
        asked.append(args)
        return gives

    return ask


# ---- layouts


@pytest.mark.parametrize(
    ("more_u", "more_v", "fits"), [(0.0, 0.0, True), (0.1, 0.0, False), (0.0, 0.1, False), (-9.0, -9.0, True)]
)
def test_a_layout_fits_its_paper_with_its_heading(
    more_u: float, more_v: float, fits: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A4 has 267 x 160: 6 beside it leave 261, 13050 at 1:50. A line of 5 with 1.75 under it and 6 are 12.75; 4 more leave
    143.25, 7162.5 at 1:50. Words over it have 259."""
    asked: list[Any] = []
    room = SimpleNamespace(extent=lambda: (-400.0, -600.0, 12650.0 + more_u, 6562.5 + more_v))
    monkeypatch.setattr(sheet_drawing, "_drawn", asking(asked, room))
    monkeypatch.setattr(sheet_drawing, "_heading_lines", asking(asked, [("TEXT", "a", 5.0)]))
    subject: Any = "plane"
    found: Any = sheet_drawing._Try.of(subject, A4, 50)
    assert asked == [("plane", 50), ("plane", 259.0)]
    assert (found.paper_mm, found.room, found.lines, found.fits) == (A4, room, (("TEXT", "a", 5.0),), fits)


def test_words_over_a_layout_have_what_8_mm_leave_of_each_paper(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []
    monkeypatch.setattr(sheet_drawing, "_heading_lines", asking(asked, []))
    subject: Any = SimpleNamespace(extent=(0.0, 0.0, 9e9, 9e9), sheets=SimpleNamespace(cover_mm=762.0))
    assert len(list(sheet_drawing._papers(subject))) == 1
    assert asked == [(subject, paper[0] - 30.0 - 8.0) for paper in (A4, A3, A3, A2, A1, A1)]


def test_what_a_layout_is_drawn_of(monkeypatch: pytest.MonkeyPatch) -> None:
    """Edges in the plane's own axes first, then what words keep off, then the words."""
    drawn: list[tuple[str, Any]] = []
    for name in (
        "draw_clear", "draw_holes", "_setting_out", "draw_outlines", "name_holes", "draw_sheets", "_edge_label",
    ):  # fmt: skip
        monkeypatch.setattr(sheet_drawing, name, lambda *args, name=name, **more: drawn.append((name, (*args, more))))
    plane = SimpleNamespace(rings_uv=("ring", "hole"), frame=SimpleNamespace(to_plane=lambda at: (at[0] - 5.0, at[1])))
    layers = [SimpleNamespace(row=SimpleNamespace(layer=layer)) for layer in ("ROOF-EAVE", "ROOF-HIP")]
    edges = [SimpleNamespace(kind=kind, a_mm=(5.0, n, 0.0), b_mm=(25.0, n + 9.0, 0.0)) for n, kind in enumerate(layers)]
    subject: Any = SimpleNamespace(
        plane=plane, edges=edges, sheets="sheets", holes=("hole",), bought="bought", extent=(1.0, 2.0, 3.0, 4.0)
    )
    room = sheet_drawing._drawn(subject, 25)
    assert room.sketch.scale == 25
    ends = [((0.0, 0), (20.0, 9.0)), ((0.0, 1), (20.0, 10.0))]
    assert room.sketch.items == [Line(kind.row.layer, *line) for kind, line in zip(layers, ends, strict=True)]
    assert room.lines == ends
    lie = sheet_drawing._as_it_lies
    assert drawn == [
        ("draw_clear", (room.sketch, "sheets", lie, {})), ("draw_holes", (room, ("hole",), lie, {"named": False})),
        ("_setting_out", (room, "sheets", (1.0, 2.0, 3.0, 4.0), {})), ("draw_outlines", (room, "sheets", {})),
        ("name_holes", (room, ("hole",), lie, {})), ("draw_sheets", (room, "ring", "sheets", "bought", {})),
        *(("_edge_label", (room, plane, edge, {})) for edge in edges),
    ]  # fmt: skip


def test_a_layout_is_made_of_every_plane_that_has_sheets(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its bounds hold the plane and its sheets, which begin 50 under its foot."""
    made: list[Any] = []

    def layout(takeoff: Any, subject: Any) -> str:
        made.append((takeoff, subject))
        return str(subject.plane.id)

    monkeypatch.setattr(sheet_drawing, "_layout", layout)
    monkeypatch.setattr(sheet_drawing, "screw_words", lambda takeoff, plane: f"screws of {plane}" if takeoff else "")
    monkeypatch.setattr(sheet_drawing, "bought_lengths", lambda order: f"bought by {order}")
    pieces = [
        SimpleNamespace(outline_uv=box(0.0, -50.0, 800.0, 700.0)),
        SimpleNamespace(outline_uv=box(800.0, -50.0, 1600.0, 900.0)),
    ]
    known = {
        "P1": SimpleNamespace(pieces=pieces),
        "P2": SimpleNamespace(pieces=()),
        "P4": SimpleNamespace(pieces=pieces[:1]),
    }
    planes = [
        SimpleNamespace(id=f"P{n}", rings_uv=(box(0.0, 0.0, 1000.0 * n, 600.0), box(1.0, 1.0, 2.0, 2.0)))
        for n in (1, 2, 3, 4)
    ]
    roofs = [SimpleNamespace(planes=planes[:3], edges_of=lambda name: f"edges of {name}"),
             SimpleNamespace(planes=planes[3:], edges_of=lambda name: f"other edges of {name}")]  # fmt: skip
    holes = [
        SimpleNamespace(plane="P4", id="H1"),
        SimpleNamespace(plane="P1", id="H2"),
        SimpleNamespace(plane="P4", id="H3"),
    ]
    takeoff: Any = SimpleNamespace(
        roofs=roofs, sheets_of=known.get, roofing=SimpleNamespace(holes=holes), order="order"
    )
    found: Any = sheet_drawing.sheet_layouts(takeoff)
    assert found == ("P1", "P4")
    assert [one for one, _ in made] == [takeoff, takeoff]
    subjects: list[Any] = [subject for _, subject in made]
    assert [(one.edges, [hole.id for hole in one.holes], one.bought, one.screws) for one in subjects] == [
        ("edges of P1", ["H2"], "bought by order", "screws of P1"), ("other edges of P4", ["H1", "H3"], "bought by order", "screws of P4"),
    ]  # fmt: skip
    assert [one.extent for one in subjects] == [(0.0, -50.0, 1600.0, 900.0), (0.0, -50.0, 4000.0, 700.0)]
    assert [one.sheets for one in subjects] == [known["P1"], known["P4"]]


A, B = (1000.0, 500.0), (1300.0, 900.0)


@pytest.mark.parametrize(
    ("third", "out"),
    [
        # 10 to the left of the middle lies (1142, 706): in a triangle to the left, in none to the right
        ((700.0, 900.0), -1.0), ((1600.0, 500.0), 1.0),
        # 15 wide there: 20 to the left is past it; 8 wide there: 10 is past it
        ((1150.0 - 24.0, 700.0 + 18.0), -1.0), ((1150.0 - 6.4, 700.0 + 4.8), 1.0),
    ],
)  # fmt: skip
def test_the_length_of_an_edge_aslant_stands_outside_it(third: Point2, out: float, offered: Offered) -> None:
    """Along (0.6, 0.8), so to the left is (-0.8, 0.6); 4 mm of paper off are 20 at 1:5."""
    plane: Any = SimpleNamespace(rings_uv=((A, B, third),), frame=SimpleNamespace(to_plane=lambda at: (at[0], at[1])))
    edge: Any = SimpleNamespace(id="E1", a_mm=(*A, 0.0), b_mm=(*B, 0.0), length_mm=500.0)
    sheet_drawing._edge_label(Room(Sketch(5)), plane, edge)
    ((labels, anchor),) = offered
    same(anchor, (1150, 700))
    same(labels[0].at, (1150 - out * 16, 700 + out * 12))
    same(labels[1].at, (1000 + 0.35 * 300 - out * 16, 500 + 0.35 * 400 + out * 12))
    assert labels[0].angle_deg == pytest.approx(53.13010235)


def test_sizes_of_a_layout_stand_beside_its_own_corner() -> None:
    """From (-300, 200) to (5700, 2800): the start line within 1 mm of paper of its left end moves the height 2 mm off."""
    for snap, beside in ((-281.0, -580.0), (-279.0, -540.0), (-319.0, -580.0), (-321.0, -540.0), (300.0, -540.0)):
        room = Room(Sketch(20))
        sheets: Any = SimpleNamespace(start_side="right", snap_u_mm=snap)
        sheet_drawing._setting_out(room, sheets, (-300.0, 200.0, 5700.0, 2800.0))
        high: Any = room.sketch.items[3]
        assert (high.a_mm, high.b_mm, high.through_mm) == ((-300.0, 200.0), (-300.0, 2800.0), (beside, 200.0))
        wanted = Room(Sketch(20))
        wanted.keep([Label("", (beside - 46.0, 1500.0), "2600", 2.5, 90.0)])
        same(room.boxes[2], wanted.boxes[0])
        wanted.keep([Label("", (2700.0, 200.0 - 240.0 + 46.0), "6000", 2.5)])
        same(room.boxes[1], wanted.boxes[1])
        words = room.sketch.items[-1]
        assert isinstance(words, Text)
        assert (words.align, words.angle_deg, words.middle) == ("right", 0.0, True)


# ---- faults


def test_words_of_a_fault_have_the_width_of_their_column(stopped: Takeoff) -> None:
    """130 less 6 mm: letters of 5 mm, words of two thin signs and the rest as wide as they are."""
    said = "1. STOP: "
    for letters in range(1, 40):
        line = said + "a" * 5 + " " + "b" * letters
        sketch = Sketch(10)
        finding = Finding("code", Severity.STOP, line[len(said) :])
        fault_drawing._faults(sketch, replace(stopped, findings=(finding,)), (0.0, 0.0))
        texts = [item.text for item in sketch.items if isinstance(item, Text)]
        assert (texts == [line]) is (text_width(line, 5.0) <= 124.0)


def test_faults_of_two_roofs_stand_by_the_first_one(stopped: Takeoff) -> None:
    """The second lies 20000 to the right: both together are 32 x 8 m, their middle (16000, 4000)."""
    first = stopped.roofs[0]
    second = replace(first, name="other", origin_mm=(20000.0, 0.0, 0.0))
    drawing = fault_drawing.fault_drawing(replace(stopped, roofs=(first, second)))
    scale = drawing.scale
    same(drawing.corner_mm, (16000.0 - scale * (20.0 + 130.0), 4000.0 - scale * (40.0 + 123.5)))
    numbers = [item for item in drawing.items if isinstance(item, Text) and item.layer == "EDGE-NUMBER"]
    assert len(numbers) == 8
    assert max(item.at_mm[0] for item in numbers) > 32000.0
    assert min(item.at_mm[0] for item in numbers) < 0.0
    marks = [item for item in drawing.items if isinstance(item, Text) and item.layer == "HOLD" and item.middle]
    assert {item.angle_deg for item in marks} == {0.0}


# ---- looks


def looked(*points: Point2, **more: Any) -> LookedRing:
    long = [abs(b[0] - a[0]) + abs(b[1] - a[1]) for a, b in zip(points, (*points[1:], points[0]), strict=True)]
    return LookedRing("roof", 1, "", points, 0.0, 0.0, 0.0, 1, tuple(long), **more)


def test_figures_lie_inside_a_ring_wherever_it_stands() -> None:
    """Far from the origin, both ways round: (x, y) from 70000 and 90000 on. 2.4 mm off, 48 at 1:20."""
    ring = tuple((x + 70000.0, y + 90000.0) for x, y in box(0.0, 0.0, 5000.0, 4000.0))
    for points in (ring, ring[::-1]):
        drawing = look_picture.look_picture(Looked("a.dxf", "DXF", "mm", "", rings=(looked(*points),)))
        assert drawing is not None
        assert drawing.scale == 20
        figures = [item.at_mm for item in drawing.items if isinstance(item, Text) and item.layer == "EDGE-NUMBER"]
        assert sorted(figures) == [(70048.0, 92000.0), (72500.0, 90048.0), (72500.0, 93952.0), (74952.0, 92000.0)]
        # 250 x 200 on paper, 12 round it and 10 under it
        title = text_width(drawing.title, 2.5) + 24.0
        assert drawing.paper_mm == (max(274.0, title), 234.0)
        same(drawing.corner_mm, (70000.0 - 240.0, 90000.0 - 440.0))


def test_a_ring_without_any_inside_is_named_at_its_first_corner(offered: Offered) -> None:
    """On a line there is no place inside."""
    look_picture._number(Room(Sketch(20)), looked((5.0, 7.0), (905.0, 7.0), (405.0, 7.0)))
    ((labels, anchor),) = offered
    assert anchor == (5.0, 7.0)
    assert [(one.text, one.at, one.height_mm) for one in labels] == [
        ("roof 1", (5.0, 7.0), 3.5),
        ("roof 1", (5.0, 7.0), 2.5),
    ]
