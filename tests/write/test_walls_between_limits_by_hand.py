"""Further sheets of walls at their limits, by hand [mm]: walls whose left end lies not at 0, upright boards."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from wall_by_hand import box, piece, wall, zone

from takeoff.model.walls import WallBoards
from takeoff.write.drawings import wall_in_parts
from takeoff.write.drawings.drawing import Sketch


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
