"""Further sheets of walls at their limits, by hand [mm]: walls whose left end lies not at 0, upright boards."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from wall_by_hand import box, piece, wall, zone

from takeoff.model.walls import WallBoards
from takeoff.write.drawings import wall_detail_keys, wall_drawing, wall_in_parts, wall_laps, wall_marks
from takeoff.write.drawings.drawing import Dimension, Line, Sketch, Text
from takeoff.write.drawings.frame import A4
from takeoff.write.drawings.label_room import Room


@pytest.mark.parametrize(
    ("right", "scale", "windows"),
    [
        # 17120 wide: at 1:50, 17100 a sheet, two; two hold 8460 and 8260 more at 1:25, 10260 and 10060 more at 1:30
        (17_020.0, 30, ((-100.0, 8_560.0), (8_360.0, 17_020.0))),
        # 20340 wide: 10060 twice and 200 are 20320 at 1:30, so 1:40
        (20_240.0, 40, ((-100.0, 10_170.0), (9_970.0, 20_240.0))),
    ],
)
def test_sheets_of_a_wall_are_counted_from_its_left_end(
    right: float, scale: int, windows: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its boards begin 100 before the framing and 50 under the floor; level boards of 150 are 3 mm of paper at 1:50."""
    monkeypatch.setattr(
        wall_in_parts, "_part", lambda takeoff, wall, shown, cuts, scale, window, n, before: (scale, window)
    )
    boards = zone(
        piece("a", box(-100.0, -50.0, right, 100.0)), piece("b", box(-100.0, 100.0, right, 2400.0)), cover=150.0
    )
    found: Any = wall_in_parts.wall_parts(None, wall(), [boards], {})  # type: ignore[arg-type]
    assert found == tuple((scale, window) for window in windows)


def test_upright_boards_of_a_sheet_are_marked_by_its_window(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []

    def upright(sketch: Sketch, made: Any, boards: WallBoards, cuts: Any, window: Any) -> bool:
        asked.append((sketch.scale, made, boards, cuts, window))
        return True

    monkeypatch.setattr(wall_in_parts, "draw_upright_words", upright)
    monkeypatch.setattr(wall_in_parts, "title_block", lambda *_: None)
    monkeypatch.setattr(wall_in_parts, "finish", lambda *_, **__: SimpleNamespace())
    made = wall()
    boards = zone(piece("a", box(0.0, -50.0, 300.0, 2400.0)), piece("b", box(300.0, -50.0, 600.0, 2400.0)), level=False)
    wall_in_parts._part(None, made, [boards], {}, 20, (0.0, 450.0), 0, 0)  # type: ignore[arg-type]
    # the whole zone, not what is shown of it
    assert asked == [(20, made, boards, {}, (0.0, 450.0))]


@pytest.mark.parametrize(("high", "drawn"), [(5143.9, False), (5144.1, True), (100.0, False)])
def test_a_lap_is_dimensioned_where_its_figure_has_room(
    high: float, drawn: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At 1:20 three figures are 3 x 0.88 x 50 = 132 wide, and 12 more: a chain begins at 5000 over the floor."""
    monkeypatch.setattr(wall_laps, "lap_heights_mm", lambda _: (5000.0, high) if high > 5000.0 else (60.0, high))
    sketch = Sketch(20)
    wall_laps.draw_laps(sketch, [zone(), zone()])
    chain = Dimension("DIM", (-480.0, 5000.0), (-480.0, high), (-540.0, 5000.0), 90.0)
    assert sketch.items == ([chain] if drawn else [])


def marked(*marks: tuple[float, ...]) -> tuple[list[float], list[str]]:
    """Board lines under a wall, and what is said of them, at 1:20."""
    sketch = Sketch(20)
    zones = [zone(level=False, cover=1000.0, marks_mm=each) for each in marks]
    wall_marks.draw_marks(sketch, zones, (0.0, -50.0, 6000.0, 2400.0))
    lines = [item.a_mm[0] for item in sketch.items if isinstance(item, Line)]
    return lines, [item.text for item in sketch.items if isinstance(item, Text)]


def test_of_upright_zones_over_each_other_the_first_has_its_lines_under_the_wall() -> None:
    """Zones that touch stand beside each other; where the second begins at the first one's last line it does not say so
    again."""
    first = ([0.0, 1000.0, 2000.0], ["0", "1000", "2000"])
    for over in ((-500.0, 500.0), (1500.0, 2500.0), (500.0, 1500.0), (-500.0, 2500.0)):
        assert marked((0.0, 1000.0, 2000.0), over) == first
    assert marked((0.0, 1000.0, 2000.0), (2000.0, 3000.0)) == ([*first[0], 2000.0, 3000.0], [*first[1], "1000"])
    assert marked((0.0, 1000.0, 2000.0), (-900.0, 0.0)) == ([*first[0], -900.0, 0.0], [*first[1], "0", "900"])
    # words of 58 and more are parted: at 57 from the last line of the first zone it stands beside, at 59 not
    assert marked((0.0, 1000.0), (1057.0, 2057.0))[1] == ["0", "1000", "1000"]
    assert marked((0.0, 1000.0), (1059.0, 2059.0))[1] == ["0", "1000", "0", "1000"]
    # without marks there is nothing to draw, and the next zone is not beside it
    assert marked((), (10.0, 1010.0)) == ([10.0, 1010.0], ["0", "1000", "0 is at 10"])


def test_the_paper_of_an_elevation_is_chosen_by_all_that_is_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """From 120 left of the framing to 4000, and from the ground at -300 up to 1200."""
    asked: list[Any] = []

    def paper(size: Any, zones: Any, head: float) -> Any:
        asked.append((size, zones, head))
        return A4, 20

    monkeypatch.setattr(wall_drawing, "_paper", paper)
    for name in ("draw_cuts", "draw_detail_keys", "_heading", "title_block", "finish"):
        monkeypatch.setattr(wall_drawing, name, lambda *_, **__: None)
    boards = zone(piece("a", box(0.0, -50.0, 4000.0, 150.0)))
    takeoff: Any = SimpleNamespace(cladding=SimpleNamespace(boards=(boards,), battens=()), settings=None)
    wall_drawing._elevation(takeoff, wall(4000.0, 1200.0, outline_xy=box(-120.0, -50.0, 4000.0, 1200.0)), {})
    assert asked == [((4120.0, 1500.0), [boards], 28.0)]


def test_every_key_of_a_wall_is_drawn_off_all_that_is_clad(monkeypatch: pytest.MonkeyPatch) -> None:
    drawn: list[Any] = []
    monkeypatch.setattr(wall_detail_keys, "wall_keys", lambda *_: ("first", "second"))
    monkeypatch.setattr(wall_detail_keys, "legend_rows", lambda *_: ())
    monkeypatch.setattr(wall_detail_keys, "_draw_key", lambda *args: drawn.append(args))
    made = replace(wall(), covered_xy=(box(1.0, 2.0, 3.0, 4.0),))
    room = Room(Sketch(20))
    wall_detail_keys.draw_detail_keys(room, None, made, (0.0, 0.0, 9.0, 9.0))  # type: ignore[arg-type]
    clad = (made.outline_xy, box(1.0, 2.0, 3.0, 4.0))
    assert drawn == [(room, "first", clad), (room, "second", clad)]


@pytest.mark.parametrize("carried", [True, False])
def test_every_wall_is_drawn_and_again_in_parts_where_its_boards_carry_no_words(
    carried: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its level boards first, then each upright zone without words, their sheets counted on."""
    zones = [replace(zone(level=level), wall=number) for level in (True, False) for number in (1, 2)]
    first, second = wall(), replace(wall(), wall=2)
    asked: list[Any] = []

    def parts(takeoff: Any, made: Any, boards: Any, cuts: Any, before: int = 0) -> tuple[str, ...]:
        asked.append((takeoff, made.wall, boards, cuts, before))
        return (f"part {before}", f"part {before + 1}")

    def carries(boards: Any, scale: int) -> bool:
        asked.append((boards, scale))
        return carried

    drawn = {1: (SimpleNamespace(scale=25), (zones[2], zones[2])), 2: (SimpleNamespace(scale=50), ())}
    takeoff: Any = SimpleNamespace(elevations=(first, second), cladding=SimpleNamespace(boards=zones), order="order")
    monkeypatch.setattr(wall_drawing, "cut_pieces", lambda order: f"cuts of {order}")
    monkeypatch.setattr(
        wall_drawing, "_elevation", lambda takeoff, made, cuts: drawn[made.wall] if takeoff and cuts else None
    )
    monkeypatch.setattr(wall_drawing, "wall_parts", parts)
    monkeypatch.setattr(wall_drawing, "carries_words", carries)
    found: Any = wall_drawing.wall_drawings(takeoff)
    cuts, at = "cuts of order", 0 if carried else 2
    level = ["part 0", "part 1"]
    upright = [f"part {n}" for n in range(at, at + 4)]
    if carried:
        assert found == (drawn[1][0], *upright, drawn[2][0])
    else:
        assert found == (drawn[1][0], *level, *upright, drawn[2][0], *level)
    of_first = [] if carried else [(takeoff, 1, [zones[0]], cuts, 0)]
    of_second = [] if carried else [(takeoff, 2, [zones[1]], cuts, 0)]
    assert asked == [
        ([zones[0]], 25), *of_first, (takeoff, 1, [zones[2]], cuts, at), (takeoff, 1, [zones[2]], cuts, at + 2),
        ([zones[1]], 50), *of_second,
    ]  # fmt: skip
