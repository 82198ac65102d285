"""What is taped on a plane, the picture of a look at a file, and what a room for words counts, by hand; limits met exactly
and just missed."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import same
from wall_by_hand import box

from takeoff.basics.vectors import Point2
from takeoff.model.edge_kinds import EdgeKind
from takeoff.write.drawings import check_dimensions as taped
from takeoff.write.drawings import look_picture
from takeoff.write.drawings.drawing import Dimension, Sketch, Text, readable_angle, text_width
from takeoff.write.drawings.label_room import Label, Room, slid

# ---- taped


def plane(*ring: Point2) -> Any:
    return SimpleNamespace(rings_uv=(ring,), frame=SimpleNamespace(to_plane=lambda at: (at[0], at[1])))


def edge(name: str, kind: EdgeKind, a: Point2, b: Point2, length: float = 0.0) -> Any:
    return SimpleNamespace(id=name, kind=kind, a_mm=(*a, 0.0), b_mm=(*b, 0.0), length_mm=length)


# all six lengths differ: foot 9000, head 5000 from 1000 on, 3000 high
LEANING = ((0.0, 0.0), (9000.0, 0.0), (6000.0, 3000.0), (1000.0, 3000.0))


def test_the_six_lengths_of_a_plane_that_leans() -> None:
    """sqrt(1000^2 + 3000^2) = 3162.3, sqrt(2) * 3000 = 4242.6, sqrt(6000^2 + 3000^2) = 6708.2, sqrt(8000^2 + 3000^2) =
    8544.0."""
    found = taped.check_dimensions(plane(*LEANING))
    same([mm for _, mm in found.rows()], (1e7**0.5, 1.8e7**0.5, 9000, 5000, 4.5e7**0.5, 7.3e7**0.5))
    assert [name for name, _ in found.rows()] == [
        "rafter left", "rafter right", "eave", "ridge", "diagonal, rising right", "diagonal, rising left",
    ]  # fmt: skip


def rows(ring: Sequence[Point2], *edges: Any) -> list[tuple[str, float | None]]:
    return [(name, None if mm is None else round(mm, 1)) for name, mm in taped.tape_rows(plane(*ring), edges)]


def test_what_runs_along_a_hip_or_a_valley_is_named_so() -> None:
    hip, valley = edge("H1", EdgeKind.HIP, (1000, 3000), (0, 0)), edge("V1", EdgeKind.VALLEY, (9004, 0), (6000, 2997.1))
    ridge = edge("R1", EdgeKind.RIDGE, (1000, 3000), (6000, 3000))
    names = [name for name, _ in rows(LEANING, hip, valley, ridge)]
    assert names == [
        "rafter left = hip H1", "rafter right = valley V1", "eave", "ridge", "diagonal, rising right", "diagonal, rising left",
    ]  # fmt: skip
    # an end 5 mm off is one, 5.1 is not; a verge is no corner's
    for off, named in ((5.0, True), (5.1, False)):
        moved = edge("H1", EdgeKind.HIP, (1000, 3000), (0, -off))
        assert (rows(LEANING, moved)[0][0] == "rafter left = hip H1") is named
    assert rows(LEANING, edge("G1", EdgeKind.VERGE, (1000, 3000), (0, 0)))[0][0] == "rafter left"


def test_an_eave_of_two_stretches_is_taped_from_corner_to_corner() -> None:
    """Both stand on the foot, within a millimetre at either end."""
    first = edge("E1", EdgeKind.EAVE, (0, 0), (4000, 1.0))
    for a, b, name in (
        ((5000, 0), (9000, 1.0), "eave, corner to corner"), ((5000, 0), (9000, 1.1), "eave"), ((5000, -1.1), (9000, 0), "eave"),
    ):  # fmt: skip
        assert rows(LEANING, first, edge("E2", EdgeKind.EAVE, a, b))[2] == (name, 9000.0)
    assert rows(LEANING, first, edge("B1", EdgeKind.PITCH_CHANGE, (5000, 0), (9000, 0)))[2][0] == "eave"


def test_a_triangle_has_no_diagonals_and_points_have_no_length() -> None:
    assert rows(((0.0, 0.0), (8000.0, 0.0), (4000.0, 3000.0))) == [
        ("rafter left", 5000.0), ("rafter right", 5000.0), ("eave", 8000.0), ("", None), ("", None), ("", None),
    ]  # fmt: skip
    assert [mm is None for _, mm in rows(((0.0, 0.0), (8000.0, 0.0), (4000.6, 3000.0), (3999.5, 3000.0)))] == [
        False
    ] * 6
    assert [mm is None for _, mm in rows(((0.0, 0.0), (8000.0, 0.0), (4000.4, 3000.0), (3999.5, 3000.0)))] == [
        False
    ] * 3 + [True] * 3


def test_a_diagonal_that_leaves_the_plane_is_sighted() -> None:
    """A notch in the head, down to below the line from (0, 0) to (9000, 3000), at 2000 there, or not."""
    off = "diagonal, rising right, runs off this slope: sight it"
    for v, name in ((1700.0, off), (2150.0, "diagonal, rising right")):
        ring = (
            (0.0, 0.0),
            (9000.0, 0.0),
            (9000.0, 3000.0),
            (7000.0, 3000.0),
            (6000.0, v),
            (5000.0, 3000.0),
            (0.0, 3000.0),
        )
        assert rows(ring)[4][0] == name
        assert rows(ring)[5][0] == "diagonal, rising left"


def test_common_rafters_hips_and_stretches_of_the_frame() -> None:
    eave, short = (
        edge("E1", EdgeKind.EAVE, (9000, 0), (2000, 0), 7000.0),
        edge("E2", EdgeKind.EAVE, (0, 500), (2000, 500), 2000.4),
    )
    ridge = edge("R1", EdgeKind.RIDGE, (6000, 3000), (1000, 3000))
    left, right = (
        edge("H1", EdgeKind.HIP, (0, 500), (1000, 3000), 2692.6),
        edge("H2", EdgeKind.HIP, (9000, 0), (6000, 3000), 4242.6),
    )
    said = taped.frame_words(plane(*LEANING), (eave, short, ridge, left, right))
    assert said == (
        "FRAME: common rafter 2500 under the left end of R1; common rafter 3000 under the right end of R1; "
        "hip left H1 2693; hip right H2 4243; eave E1 7000, E2 2000."
    )
    assert taped.frame_words(plane(*LEANING), ()) == ""
    # over its very end, a millimetre past it, not two; two eaves under it: the lower
    for reach, words in ((999.0, "FRAME: common rafter 3000 under the left end of R1."), (998.9, "")):
        one = edge("E1", EdgeKind.EAVE, (0, 0), (reach, 0))
        assert taped.frame_words(plane(*LEANING), (one, edge("R1", EdgeKind.RIDGE, (1000, 3000), (1e5, 3000)))) == words
    for start, words in ((1001.0, "FRAME: common rafter 3000 under the left end of R1."), (1001.1, "")):
        one = edge("E1", EdgeKind.EAVE, (start, 0), (1500, 0))
        assert taped.frame_words(plane(*LEANING), (one, edge("R1", EdgeKind.RIDGE, (1000, 3000), (1e5, 3000)))) == words
    both = (edge("E1", EdgeKind.PITCH_CHANGE, (0, 0), (3000, 0)), edge("E2", EdgeKind.EAVE, (0, 400), (3000, 400)))
    assert taped.frame_words(plane(*LEANING), both) == "FRAME: common rafter 3000 under the peak."


def test_without_a_ridge_the_peak_has_the_rafter() -> None:
    """The left of two highest points. A ridge in the lower half is no head."""
    ring = ((0.0, 0.0), (8000.0, 0.0), (5000.0, 3000.0), (3000.0, 3000.0))
    eave = edge("E1", EdgeKind.EAVE, (0, 0), (8000, 0))
    assert taped._heads(plane(*ring), []) == [((3000.0, 3000.0), "the peak")]
    assert taped.frame_words(plane(*ring), (eave,)) == "FRAME: common rafter 3000 under the peak."
    for v, name in ((1500.0, "the peak"), (1500.1, "the left end of R1")):
        low = edge("R1", EdgeKind.RIDGE, (3000, v), (5000, v))
        assert taped._heads(plane(*ring), taped._placed(plane(*ring), (low,)))[0][1] == name
    for off, name in ((1.0, "the left end of R1"), (1.1, "the peak")):
        tilted = edge("R1", EdgeKind.RIDGE, (3000, 3000), (5000, 3000 - off))
        assert taped._heads(plane(*ring), taped._placed(plane(*ring), (tilted,)))[0][1] == name


# ---- a look at a file


def test_figures_of_a_look_slide_along_their_edge_inside_then_outside(monkeypatch: pytest.MonkeyPatch) -> None:
    """Along (0.6, 0.8), 5000 long: its half of 2500 less four tenths, 1500, by 4 mm of paper, 400 at 1:100."""
    offered: list[tuple[list[Label], Point2]] = []
    monkeypatch.setattr(Room, "place", lambda _, labels, at: offered.append((list(labels), at)))
    a, b = (1000.0, 2000.0), (4000.0, 6000.0)
    look_picture._edge(Room(Sketch(100)), "7: 5000", a, b, (0.8, -0.6))
    ((labels, at),) = offered
    off = 100.0 * look_picture._OFF
    angle = 53.13010235415598
    wanted = [
        label
        for side in (-1.0, 1.0)
        for label in slid(Label("EDGE-NUMBER", (2500 + side * off * 0.8, 4000 - side * off * 0.6), "7: 5000", 2.5, angle), 1500.0, 400.0)
    ]  # fmt: skip
    assert at == (2500, 4000)
    same([label.at for label in labels], [label.at for label in wanted])
    assert {(label.text, label.height_mm, label.layer) for label in labels} == {("7: 5000", 2.5, "EDGE-NUMBER")}


def test_a_look_is_drawn_as_large_as_its_paper_holds_it() -> None:
    """The extent alone decides, wherever the file lies."""
    for left, low in ((0.0, 0.0), (1e5, -2e5)):
        ring: Any = SimpleNamespace(
            points_mm=box(left, low, left + 9000.0, low + 4000.0), edges_mm=(9000.0, 4000.0, 9000.0, 4000.0), layer="0", number=1,
            first_edge=1, court_of=0,
        )  # fmt: skip
        looked: Any = SimpleNamespace(rings=(ring,), open_rows=(), unit="mm", file="plan.dxf")
        drawing = look_picture.look_picture(looked)
        assert drawing is not None
        assert drawing.scale == 25
        figures = [t for t in drawing.items if isinstance(t, Text) and t.layer == "EDGE-NUMBER"]
        assert [t.text for t in figures] == ["1: 9000", "2: 4000", "3: 9000", "4: 4000"]


# ---- room for words


def test_what_was_looked_at_is_counted() -> None:
    """A box over the place is looked at once more for each place tried; boxes past its bounds are not."""
    room = Room(Sketch(10), boxes=[box(0, 0, 50, 50)])
    for n in range(1, 4):
        assert not room.clear(box(10, 10, 20, 20))
        assert room._looked == n
    assert room.clear(box(60, 10, 70, 20))
    # touching is not over it, on any side
    for at in (box(50, 0, 60, 50), box(-10, 0, 0, 50), box(0, 50, 50, 60), box(0, -10, 50, 0)):
        assert room.clear(at)
    assert room._looked == 3


def test_places_are_tried_before_words_are_led_out(monkeypatch: pytest.MonkeyPatch) -> None:
    led: list[tuple[str, Point2, float]] = []

    def lead_out(_: Room, label: Label, anchor: Point2, least_mm: float = 0.0) -> bool:
        led.append((label.text, anchor, least_mm))
        return True

    monkeypatch.setattr(Room, "lead_out", lead_out)
    room = Room(Sketch(10), within=(0.0, 0.0, 1.0, 1.0))
    assert room.place([Label("TEXT", (5.0, 5.0), word, 2.5) for word in ("long", "short")], (7.0, 8.0), 3.0)
    assert led == [("short", (7.0, 8.0), 3.0)]
    assert not room.place([], (7.0, 8.0))
    assert len(led) == 1


def test_a_leader_keeps_two_tenths_off_words() -> None:
    """Words from x = 100 on; a leader upright at 98.1 or 97.9, 2 clear at 1:10 only looks further, and what crosses stops
    it."""
    room = Room(Sketch(10), boxes=[box(100, 0, 200, 50)])
    assert room.leads(((99.0, -50.0), (99.0, 90.0)))
    assert not room.leads(((101.0, -50.0), (101.0, 90.0)))
    room.draw_leader(((0.0, 0.0), (0.0, 100.0)))
    assert room.leads(((-50.0, 101.0), (50.0, 101.0)))
    assert not room.leads(((-50.0, 99.0), (50.0, 99.0)))
    assert room.leads(((1.0, 0.0), (50.0, 99.0)))


@pytest.mark.parametrize(
    "leader",
    [
        ((150.0, -50.0), (150.0, 1.0)),
        ((150.0, 90.0), (150.0, 49.0)),
        ((50.0, 25.0), (101.0, 25.0)),
        ((250.0, 25.0), (199.0, 25.0)),
    ],
)
def test_a_leader_that_ends_a_tenth_of_a_millimetre_inside_words_crosses_them(leader: tuple[Point2, Point2]) -> None:
    room = Room(Sketch(10), boxes=[box(100, 0, 200, 50)])
    assert not room.leads(leader)
    assert not room.leads((leader[1], leader[0]))


def test_the_figure_of_a_dimension_is_kept_in_the_drawings_own_place() -> None:
    """2.5 / 2 + 1 mm of paper over the line, 22.5 at 1:10, wherever the drawing's corner lies."""
    room = Room(Sketch(10))
    room.keep_figure(Dimension("DIM", (1000.0, 0.0), (1400.0, 0.0), (1000.0, -50.0), 0.0))
    (found,) = room.boxes
    half = text_width("400", 25.0) / 2 + 3
    same(found, box(1200 - half, -27.5 - 14.5, 1200 + half, -27.5 + 14.5))


def test_words_read_from_the_right_up_to_a_millionth_past_upright() -> None:
    assert readable_angle((0.0, 0.0), (-1e-9, 1.0)) == pytest.approx(90.0)
    assert readable_angle((0.0, 0.0), (-1e-7, 1.0)) == pytest.approx(-90.0, abs=1e-4)
    assert readable_angle((0.0, 0.0), (1e-9, -1.0)) == pytest.approx(90.0)
