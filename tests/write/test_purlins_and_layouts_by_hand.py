"""The purlin plan and the setting out of sheet layouts by hand [mm at 1:20 unless said]."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import Offered, same

from takeoff.basics.vectors import Point2
from takeoff.model.sheets import CutShape
from takeoff.write.drawings import purlin_drawing, sheet_drawing
from takeoff.write.drawings.drawing import Circle, Dimension, Line, Sketch, Text
from takeoff.write.drawings.frame import A1, A2, A3, A4, SCALES, wrap
from takeoff.write.drawings.label_room import Label, Room
from takeoff.write.drawings.plan_place import Place


@pytest.fixture
def offered(monkeypatch: pytest.MonkeyPatch) -> Offered:
    found = Offered()

    def place(_: Room, choices: Sequence[Label], anchor: Point2, least_mm: float = 0.0) -> bool:
        found.append((list(choices), anchor))
        return len(found) != 9

    monkeypatch.setattr(Room, "place", place)
    return found


# ---- purlins


def line(
    role: str = "purlin", run: str = "R1", a: Point2 = (0.0, 0.0), b: Point2 = (5000.0, 0.0), plane: str = "P1"
) -> Any:
    return SimpleNamespace(role=role, run=run, a_uv=a, b_uv=b, plane=plane)


def cut(start: float, length: int) -> Any:
    return SimpleNamespace(start_mm=start, length_mm=length)


def row(a: Point2, b: Point2, *pieces: Any, role: str = "purlin", up: Point2 = (0.0, 0.8), true: float = 5000.0) -> Any:
    return purlin_drawing._Row(line(role, b=(true, 0.0)), a, b, pieces, up)


def test_joints_are_marked_across_a_timber_where_they_lie_on_the_plan() -> None:
    """5000 long and 4000 on the plan: at 2000 and 3500 it is 1600 and 2800 along (0.6, 0.8), 24 either way."""
    room = Room(Sketch(20))
    purlin_drawing._joints(room, row((100.0, 200.0), (2500.0, 3400.0), cut(0, 2050), cut(2000, 1550), cut(3500, 1500)))
    ends = [
        ((100 + 0.6 * t + 0.8 * 24, 200 + 0.8 * t - 0.6 * 24), (100 + 0.6 * t - 0.8 * 24, 200 + 0.8 * t + 0.6 * 24))
        for t in (1600.0, 2800.0)
    ]
    same([(item.a_mm, item.b_mm) for item in room.sketch.items if isinstance(item, Line)], ends)
    same(room.lines, ends)
    assert {item.layer for item in room.sketch.items if isinstance(item, Line)} == {"PURLIN-JOINT"}


def places(one: Any, low: float, high: float) -> list[Point2]:
    return purlin_drawing._places(Room(Sketch(20)), one, low, high)


@pytest.mark.parametrize(
    ("a", "b", "up", "role", "first"),
    [
        ((0, 0), (1000, 0), (0.0, 0.8), "purlin", 1), ((0, 0), (1000, 0), (0.0, -0.8), "purlin", -1),
        ((0, 0), (1000, 0), (0.0, 0.8), "ridge", -1), ((0, 0), (1000, 0), (0.0, -0.8), "head", 1),
        ((1000, 0), (0, 0), (0.0, 0.8), "purlin", 1), ((0, 0), (1000, 0), (0.8, 0.0), "purlin", 1),
    ],
)  # fmt: skip
def test_words_along_a_row_lie_on_its_plane_first(a: Point2, b: Point2, up: Point2, role: str, first: int) -> None:
    """0.8 and half of 2.5 mm of paper off, 41 at 1:20; every 30 along, from the left as it is read."""
    xs = [100 + 30 * n for n in range(4)]
    for high in (190.0, 219.9):
        same(places(row(a, b, up=up, role=role), 100.0, high), [(x, side * 41 * first) for side in (1, -1) for x in xs])
    same(
        places(row(a, b, up=up, role=role), 100.0, 189.9), [(x, side * 41 * first) for side in (1, -1) for x in xs[:3]]
    )
    same(places(row(a, b, up=up, role=role), 100.0, 90.0), [(100, 41 * first), (100, -41 * first)])


def test_words_along_an_upright_row_read_from_the_right() -> None:
    """Read from its foot up; left of it is over it."""
    for ends in (((0, 0), (0, 1000)), ((0, 1000), (0, 0))):
        same(places(row(*ends, up=(0.8, 0.0)), 100.0, 100.0), [(41, 100), (-41, 100)])
    assert purlin_drawing._against((0, 0), (1000, 0), 0.0) is False
    assert purlin_drawing._against((1000, 0), (0, 0), 0.0) is True
    same(purlin_drawing._aside(30.0, 2.0), (-1.0, sqrt(3)))
    same(purlin_drawing._on_row(row((1000, 0), (0, 300)), 100 * sqrt(1.09)), (100, 270))


def test_the_name_of_a_row_stands_near_its_left_end(offered: Offered) -> None:
    """3.5 mm of paper in, 70 at 1:20; "R1" is 50 * (1.06 + 0.88) = 97."""
    room = Room(Sketch(20))
    purlin_drawing._name(room, row((0, 0), (1000, 0)))
    labels, anchor = offered[0]
    # up to 951.5: 28 places on either side
    same([label.at for label in labels], [(118.5 + 30 * n, y) for y in (41, -41) for n in range(28)])
    same(anchor, (118.5, 0))
    for long, count in ((167.1, 1), (166.9, 0)):
        offered.clear()
        purlin_drawing._name(room, row((0, 0), (long, 0)))
        assert len(offered) == count
    offered.clear()
    purlin_drawing._name(room, row((0, 0), (200, 0)))
    same(offered[0][1], (100, 0))


def test_the_length_of_each_piece_stands_as_near_its_middle_as_it_can(offered: Offered) -> None:
    """4 figures are 176; half of 1:1.25 on the plan: 2000 of 5000 is 1600 of 4000. From 0.. and 1560 on."""
    one = row((0, 0), (4000, 0), cut(0, 2000), cut(1950, 3050))
    purlin_drawing._lengths(Room(Sketch(20)), one)
    (first, at), (second, other) = offered
    same((at, other), ((800, 0), (2780, 0)))
    assert (first[0].text, second[0].text) == ("2000", "3050")
    same([label.at for label in first[:3]], [(808, 41), (808, -41), (778, 41)])
    same((len(first), len(second)), (2 * 48, 2 * 76))
    # read from the left, where the timber ends: it is 5000 long, its first 2000 lie to the right
    offered.clear()
    purlin_drawing._lengths(Room(Sketch(20)), row((4000, 0), (0, 0), cut(0, 2000)))
    same(offered[0][1], (3200, 0))
    for length, count in ((166, 1), (164, 0)):  # 132.8 and 131.2 on the plan for 132
        offered.clear()
        purlin_drawing._lengths(Room(Sketch(20)), row((0, 0), (4000, 0), cut(0, length)))
        assert len(offered) == count


def test_rows_lie_where_their_plane_does() -> None:
    frame = SimpleNamespace(v=(0.0, 0.8, 0.6), to_space=lambda at: (at[0], at[1] * 0.8, at[1] * 0.6))
    other = SimpleNamespace(id="P2", roof="shed", frame=frame)
    roof: Any = SimpleNamespace(
        name="main", origin_mm=(1000.0, 2000.0, 0.0), planes=(SimpleNamespace(id="P1", roof="main", frame=frame), other)
    )
    lines = (
        line(a=(100.0, 500.0), b=(4100.0, 500.0)),
        line(plane="P2"),
        line("hip trimmer", "T1", (0.0, 0.0), (0.0, 1000.0)),
    )
    takeoff: Any = SimpleNamespace(roofing=SimpleNamespace(purlins=lines))
    rows = purlin_drawing._rows(Place((0.0, 0.0, 0.0)), roof, takeoff, {"R1": (cut(0, 4000),)})  # type: ignore[dict-item]
    same([(each.a, each.b, each.up) for each in rows], [
        ((1100, 2400), (5100, 2400), (0, 0.8)), ((1000, 2000), (1000, 2800), (0, 0.8)),
    ])  # fmt: skip
    same([(each.true_mm, each.shown_mm) for each in rows], [(4000, 4000), (1000, 800)])
    assert [len(each.pieces) for each in rows] == [1, 0]


@pytest.mark.parametrize("layers", [{"PURLIN-ROW"}, {"PURLIN-ROW", "PURLIN-TRIMMER", "OUTRIGGER"}])
def test_lines_stand_before_their_words_in_the_notes(layers: set[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        purlin_drawing,
        "setting_out_words",
        lambda _: ("A sentence that is long enough to need a second line of the notes.",),
    )
    sketch = Sketch(20)
    purlin_drawing._notes(sketch, (5000.0, 9000.0), None, layers)  # type: ignore[arg-type]
    y = 9000.0 - 160.0
    wanted: list[Any] = []
    for layer, words in purlin_drawing._ROLES.items():
        if layer not in layers and layer != "PURLIN-JOINT":
            continue
        joint = layer == "PURLIN-JOINT"
        wanted.append((layer, 5100, y - 4, 5100, y + 44) if joint else (layer, 5000, y + 20, 5200, y + 20))
        for text in wrap(words, 60.0, 2.5):
            wanted.append((text, 5260, y))
            y -= 84.0
        y -= 20.0
    y -= 60.0
    for sentence in (
        "A sentence that is long enough to need a second line of the notes.",
        "Lengths are square, at the long point. Site measure first.",
    ):
        for text in wrap(sentence, 70.0, 2.5):
            wanted.append((text, 5000, y))
            y -= 84.0
        y -= 28.0
    found = [
        (item.layer, *item.a_mm, *item.b_mm) if isinstance(item, Line) else (item.text, *item.at_mm)
        for item in sketch.items
        if isinstance(item, (Line, Text))
    ]
    assert [each[0] for each in found] == [each[0] for each in wanted]
    same([each[1:] for each in found], [each[1:] for each in wanted])


def set_out(*lines: Any, **job: Any) -> tuple[str, ...]:
    numbers = {"purlin_supports_mm": 900.0, "purlin_spacing_mm": 1200.0, "purlin_first_row_mm": 75.0}
    takeoff: Any = SimpleNamespace(
        settings=SimpleNamespace(number=numbers.__getitem__, word=lambda _: job.get("start", "middle")),
        job=SimpleNamespace(purlins=SimpleNamespace(supports_mm=job.get("supports"), spacing_mm=job.get("spacing"))),
        roofing=SimpleNamespace(purlins=lines),
    )
    return purlin_drawing.setting_out_words(takeoff)


def test_how_rafters_and_rows_are_set_out_in_words() -> None:
    dwangs = "Hip trimmers are cut between the rows they meet (dwangs); their order is the hip's length, both sides."
    assert set_out() == (
        "Rafters set out from the middle of each plane, an odd bay at either end, at 900 mm: joints fall on them.",
        "First row 75 mm up the rake from the outline, then at 1 200 mm; the rest at ridges.", dwangs,
    )  # fmt: skip
    assert set_out(start="left", supports=600.0, spacing=900.0)[:2] == (
        "Rafters set out from the left end of each plane, seen from below its eave, at 600 mm: joints fall on them.",
        "First row 75 mm up the rake from the outline, then at 900 mm; the rest at ridges.",
    )
    assert set_out(start="right")[0].startswith(
        "Rafters set out from the right end of each plane, seen from below its eave,"
    )

    def laid(plane: str, *vs: float, eave: float | None = 75.0) -> list[Any]:
        found = [line(a=(0.0, v), plane=plane) for v in vs]
        return [*found, *([line("eave", a=(0.0, eave), plane=plane)] if eave is not None else [])]

    for rows, words in (
        ((laid("P1", 700.0, 1900.0)), "then 625 (the end span), then"), ((laid("P1", 700.0)), "outline, then at"),
        ((laid("P1", 700.0, 1900.0, eave=None)), "outline, then at"),
        ([*laid("P1", 1075.0, 1900.0), *laid("P2", 700.0, 1900.0), *laid("P3", 975.0, 1900.0)], "then 625 to 1000 by plane (the end span), then"),
    ):  # fmt: skip
        assert words in set_out(*rows)[1]


# ---- sheet layouts


def edge(a: Point2, b: Point2, length: float = 3000.0) -> Any:
    return SimpleNamespace(id="E1", a_mm=(*a, 0.0), b_mm=(*b, 0.0), length_mm=length)


BOX = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 4000.0), (0.0, 4000.0))
PLANE: Any = SimpleNamespace(rings_uv=(BOX,), frame=SimpleNamespace(to_plane=lambda at: (at[0], at[1])))


@pytest.mark.parametrize(
    ("a", "b", "normal"),
    [
        ((0, 0), (3000, 0), (0, -1)),
        ((3000, 0), (0, 0), (0, -1)),
        ((3000, 0), (3000, 4000), (1, 0)),
        ((0, 4000), (0, 0), (-1, 0)),
    ],
)
def test_the_length_of_an_edge_stands_outside_it(a: Point2, b: Point2, normal: Point2, offered: Offered) -> None:
    room = Room(Sketch(20))
    sheet_drawing._edge_label(room, PLANE, edge(a, b, 3000.4))
    ((labels, anchor),) = offered
    same(anchor, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))
    same([label.at for label in labels], [
        (a[0] + part * (b[0] - a[0]) + normal[0] * 20 * off, a[1] + part * (b[1] - a[1]) + normal[1] * 20 * off)
        for off in (4, 7, 10, 14, 19, 25) for part in (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9)
    ])  # fmt: skip
    assert {(label.text, label.layer, label.height_mm) for label in labels} == {("E1: 3000", "TEXT", 2.5)}
    assert {label.angle_deg for label in labels} == {0.0 if normal[0] == 0 else 90.0}
    assert room.forced == 0


def test_an_edge_shorter_than_its_words_has_none_and_one_without_room_is_counted(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """ "E1: 300" is 50 * (1.06 + 4 * 0.88 + 2 * 0.47) = 276."""
    monkeypatch.setattr(Room, "place", lambda *_: False)
    for long, forced in ((276.1, 1), (275.9, 0)):
        room = Room(Sketch(20))
        sheet_drawing._edge_label(room, PLANE, edge((0, 0), (long, 0), 300.0))
        assert room.forced == forced


@pytest.mark.parametrize(
    ("side", "snap", "extent", "beside", "tail", "tip"),
    [
        ("left", 500.0, (0.0, -50.0, 3000.0, 4000.0), -240, 0, 1200), ("right", 2990.0, (0.0, -50.0, 3000.0, 4000.0), -240, 3000, 1800),
        # within a millimetre of paper of the left end the height keeps 2 mm more off
        ("left", 19.9, (0.0, -50.0, 3000.0, 4000.0), -280, 0, 1200), ("left", -19.9, (0.0, -50.0, 3000.0, 4000.0), -280, 0, 1200),
        ("left", 20.0, (0.0, -50.0, 3000.0, 4000.0), -240, 0, 1200), ("left", 900.0, (100.0, 0.0, 1000.0, 700.0), -140, 100, 1000),
    ],
)  # fmt: skip
def test_start_line_sizes_and_the_way_of_laying(
    side: str, snap: float, extent: Any, beside: float, tail: float, tip: float
) -> None:
    """The start line 5 mm of paper past foot and head, its word 7.5 over it; sizes 12 off, their lines from 1 off; the arrow
    19 under, 60 long at most, its words 4 past its head."""
    room = Room(Sketch(20))
    sheets: Any = SimpleNamespace(start_side=side, snap_u_mm=snap)
    sheet_drawing._setting_out(room, sheets, extent)
    low_u, low_v, high_u, high_v = extent
    start, said, wide, high, shaft, _, words = room.sketch.items
    assert isinstance(start, Line)
    assert isinstance(said, Text)
    assert isinstance(shaft, Line)
    assert isinstance(words, Text)
    under, y = low_v - 240, low_v - 380
    assert (start.layer, start.a_mm, start.b_mm) == ("START-LINE", (snap, low_v - 100), (snap, high_v + 100))
    assert (said.layer, said.text, said.at_mm, said.height_mm) == ("START-LINE", "START", (snap, high_v + 150), 70)
    assert wide == Dimension("DIM", (low_u, low_v), (high_u, low_v), (low_u, under), 0.0)
    assert high == Dimension("DIM", (low_u, low_v), (low_u, high_v), (beside, low_v), 90.0)
    way = 1 if side == "left" else -1
    same((shaft.a_mm, shaft.b_mm), ((tail, y), (tip - 140 * way, y)))
    assert (words.text, words.layer, words.height_mm, words.align) == ("LAY THIS WAY", "LAY-ARROW", 100, side)
    same(words.at_mm, (tip + way * 80, y))
    same(room.lines, [
        ((snap, low_v - 100), (snap, high_v + 100)), ((low_u, under), (high_u, under)), ((beside, low_v), (beside, high_v)),
        ((low_u, low_v - 20), (low_u, under)), ((high_u, low_v - 20), (high_u, under)), ((low_u - 20, low_v), (beside, low_v)),
        ((low_u - 20, high_v), (beside, high_v)), ((tail, y), (tip, y)),
    ])  # fmt: skip
    wanted = Room(Sketch(20))
    wanted.keep([
        Label("", (snap, high_v + 150), "START", 3.5), Label("", ((low_u + high_u) / 2, under + 46), f"{high_u - low_u:.0f}", 2.5),
        Label("", (beside - 46, (low_v + high_v) / 2), f"{high_v - low_v:.0f}", 2.5, 90.0),
        Label("", (tip + way * 80, y), "LAY THIS WAY", 5.0, 0.0, side),
    ])  # fmt: skip
    same(room.boxes, wanted.boxes)


def test_papers_and_scales_that_a_layout_is_tried_at(monkeypatch: pytest.MonkeyPatch) -> None:
    """A4 has 267 x 160, less 25 under and 26.5 over. Sheets of 762 are 7.2 mm of paper at 1:105."""
    monkeypatch.setattr(sheet_drawing, "_heading_lines", lambda _, room: [("TEXT", "a", 2.5), ("TEXT", "b", 14.5)])
    head = sheet_drawing._head_mm([("TEXT", "a", 2.5), ("TEXT", "b", 14.5)])
    assert head == 2.5 + 14.5 + 2 * 1.75 + 6
    subject: Any = SimpleNamespace(extent=(100.0, 50.0, 6775.0, 2762.5), sheets=SimpleNamespace(cover_mm=762.0))
    # 6675 is 267 at 1:25, 2712.5 is 108.5 there
    tried = [(A4, s) for s in (25, 50, 75, 100)] + [(A3, s) for s in (20, 25, 50, 75, 100)]
    tried += [(A3, s) for s in SCALES if s >= 20] + [(A2, s) for s in (20, 25, 50, 75, 100)]
    tried += [(A1, s) for s in (10, 20, 25, 50, 75, 100)] + [(A1, s) for s in SCALES if s >= 10] + [(A1, SCALES[-1])]
    assert list(sheet_drawing._papers(subject)) == tried
    subject.sheets.cover_mm = 720.0
    assert [one for one in sheet_drawing._papers(subject) if one[0] == A4] == [(A4, s) for s in (25, 50, 75, 100)]
    subject.sheets.cover_mm = 719.9
    assert [one for one in sheet_drawing._papers(subject) if one[0] == A4] == [(A4, s) for s in (25, 50, 75)]
    for extent in ((100.0, 50.0, 6775.1, 2762.5), (100.0, 50.0, 6775.0, 2762.7)):
        subject.extent = extent
        assert next(sheet_drawing._papers(subject)) == (A4, 50)


def test_rakes_and_hands_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheet_drawing, "hand", lambda piece: piece.hand)

    def end(*edges: str, rake: float = 0.0) -> Any:
        return SimpleNamespace(edges=edges, rake_deg=rake, shape=CutShape.RAKED)

    def sheets(*pieces: tuple[Any, Any, str]) -> Any:
        return SimpleNamespace(pieces=[SimpleNamespace(top=top, foot=foot, hand=hand) for top, foot, hand in pieces])

    words = sheet_drawing._rake_words
    assert words(sheets((end("E1"), end("E2"), ""))) == ""
    assert words(
        sheets((end("E1", rake=45.04), end("E2", rake=30.0), ""), (end("E1", rake=44.0), end("E2", "E3", rake=9.0), ""))
    ) == ("Rake off square: E1 45°; E2 30°.")
    hands = "RH, LH: longer on its right, on its left. Lengths at the head are those of the sides."
    assert words(sheets((end("E1"), end("E2"), "left"))) == hands
    assert words(sheets((end("E1", rake=0.1), end("E2"), "left"))) == f"Rake off square: E1 0.1°. {hands}"


def test_kinked_sheets_are_told_point_by_point_up_to_eight(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheet_drawing, "needs_points", lambda piece: piece.kinked)
    monkeypatch.setattr(sheet_drawing, "marking_words", lambda piece, overall: f"at {overall:.0f}")
    for count in (0, 1, 8, 9):
        pieces = [SimpleNamespace(mark=f"P{n}", kinked=n < count) for n in range(12)]
        found = sheet_drawing._point_lines(SimpleNamespace(pieces=pieces, overall_mm=845.0))  # type: ignore[arg-type]
        if count == 9:
            assert found == ["9 sheets are cut to points (ringed): see the cutting list."]
        else:
            said = [f"Cut to points (ringed). {sheet_drawing.MARKING_OUT}", *(f"P{n}: at 845" for n in range(count))]
            assert found == (said if count else [])


def test_the_heading_runs_down_from_its_corner() -> None:
    sketch = Sketch(20)
    sheet_drawing._heading(sketch, [("TEXT", "a", 5.0), ("START-LINE", "b", 2.5)], (1000.0, 2000.0))
    assert sketch.items == [Text("TEXT", (1080, 1845), "a", 100), Text("START-LINE", (1080, 1760), "b", 50)]
    assert Circle not in map(type, sketch.items)
