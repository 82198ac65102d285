"""Further sheets of walls at their limits, by hand [mm]: walls whose left end lies not at 0, upright boards."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from wall_by_hand import box, piece, wall, zone

from takeoff.model.walls import WallBoards
from takeoff.write.drawings import wall_in_parts, wall_laps, wall_marks
from takeoff.write.drawings.drawing import Dimension, Line, Sketch, Text


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
