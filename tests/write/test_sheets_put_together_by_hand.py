"""How elevations, their further sheets and sheet layouts are put on their paper, by hand: what comes where, under which name."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from drawn_by_hand import same
from wall_by_hand import box, cut, piece, wall, zone

from takeoff.model.order import Document
from takeoff.model.walls import Opening
from takeoff.write.drawings import sheet_drawing, wall_drawing, wall_in_parts
from takeoff.write.drawings.drawing import Polyline, Shows, Sketch, Text
from takeoff.write.drawings.frame import A1, A3, A4
from takeoff.write.drawings.label_room import Room


class Finished(list[dict[str, Any]]):
    """What was put on a paper: its parts by name."""


def catching(module: Any, monkeypatch: pytest.MonkeyPatch) -> Finished:
    found = Finished()

    def finish(
        sketch: Sketch, name: str, block: Any, paper: Any, middle: Any, room: Any, parts: Any = (), of: Any = Shows.ROOF
    ) -> Any:
        found.append(
            {
                "sketch": sketch,
                "name": name,
                "block": block,
                "paper": paper,
                "middle": middle,
                "room": room,
                "parts": parts,
                "of": of,
            }
        )
        return SimpleNamespace(scale=sketch.scale)

    monkeypatch.setattr(module, "finish", finish)
    monkeypatch.setattr(module, "title_block", lambda takeoff, title, number, document: (title, number, document))
    return found


# ---- further sheets of a wall

LEVEL = zone(
    piece("a", box(-100.0, -50.0, 8000.0, 130.0), 8100.0), piece("b", box(-100.0, 130.0, 8000.0, 310.0), 8100.0), cover=180.0,
    marks_mm=(-50.0, 130.0),
)  # fmt: skip
CUTS = {"a": (cut("a-1", 0.0, 5000), cut("a-2", 5000.0, 3100))}


def test_a_further_sheet_shows_its_part_of_the_wall(monkeypatch: pytest.MonkeyPatch) -> None:
    """A3 has 390 x 247 free. The middle of 3900 to 8000 at 5950 stands (390 + 36 - 12) / 2 = 207 in, that of -50 to 310 at
    130 stands 12 + (247 - 32 - 12) / 2 = 113.5 up. The heading 4 in, 5 + 2.5 and 2.5 + 2.5 mm of paper down."""
    found = catching(wall_in_parts, monkeypatch)
    made = wall(8000.0, 310.0, Opening("W1", 3700.0, 0.0, 600.0, 200.0), Opening("W2", 100.0, 0.0, 600.0, 200.0))
    wall_in_parts._part(None, made, [LEVEL], CUTS, 20, (3900.0, 8000.0), 1, 2)  # type: ignore[arg-type]
    (put,) = found
    assert (put["name"], put["block"], put["paper"], put["of"]) == (
        "wall_1d", ("Wall 1, part 4", "W-1d", None), A3, Shows.WALLS,
    )  # fmt: skip
    same((put["middle"], put["room"]), ((5950, 130), (207, 113.5)))
    items = put["sketch"].items
    boards = [item.points_mm for item in items if isinstance(item, Polyline) and item.layer == "WALL-BOARD"]
    assert [sorted(ring) for ring in boards] == [
        [(3900, low), (3900, low + 180), (8000, low), (8000, low + 180)] for low in (-50, 130)
    ]
    # 400 of the opening's 600 lie on it, wide enough for "W1", in the middle of what is shown
    (opening,) = [item for item in items if isinstance(item, Polyline) and item.layer == "WALL-OPENING"]
    assert sorted(opening.points_mm) == [(3900, 0), (3900, 200), (4300, 0), (4300, 200)]
    said = {item.text: (item.at_mm, item.height_mm) for item in items if isinstance(item, Text)}
    assert said["W1"] == ((4100, 100), 50)
    left, top = 5950 - 20 * 203, 130 + 20 * (247 - 113.5)
    same(said["Wall 1, part 4: from 3900 to 8000 mm from the left end"], ((left, top - 150), 100))
    same(
        said["Every board with its mark and length; openings, levels and details on the whole wall"],
        ((left, top - 250), 50),
    )
    assert "W2" not in said
    assert "course: over floor" not in said
    # joints are said over the wall, as far as they are shown
    same(said["4900"], ((4900, 310 + 60), 50))


def test_the_first_further_sheet_has_the_storey_rod(monkeypatch: pytest.MonkeyPatch) -> None:
    found = catching(wall_in_parts, monkeypatch)
    wall_in_parts._part(None, wall(8000.0, 310.0), [LEVEL], {}, 20, (-100.0, 4000.0), 0, 0)  # type: ignore[arg-type]
    (put,) = found
    said = [item.text for item in put["sketch"].items if isinstance(item, Text)]
    assert "course: over floor" in said
    assert (put["name"], put["block"]) == ("wall_1a", ("Wall 1, part 1", "W-1a", None))
    assert "Wall 1, part 1: from 0 to 4000 mm from the left end" in said
    # words of an opening as wide as they are stand in none of that width
    for wide, named in ((112.1, True), (111.9, False)):
        found.clear()
        made = wall(8000.0, 310.0, Opening("W1", 100.0, 0.0, wide, 200.0))
        wall_in_parts._part(None, made, [LEVEL], {}, 20, (-100.0, 4000.0), 0, 0)  # type: ignore[arg-type]
        assert ("W1" in [item.text for item in found[0]["sketch"].items if isinstance(item, Text)]) is named


# ---- elevations


def elevation(made: Any, zones: Any, monkeypatch: pytest.MonkeyPatch, cuts: Any = None) -> Any:
    found = catching(wall_drawing, monkeypatch)
    for name in ("draw_cuts", "draw_detail_keys", "_heading"):
        monkeypatch.setattr(wall_drawing, name, lambda *_: None)
    takeoff: Any = SimpleNamespace(
        cladding=SimpleNamespace(boards=tuple(zones), battens=(SimpleNamespace(wall=1, a_xy=(1.0, 2.0), b_xy=(1.0, 9.0)),)),
        settings=None,
    )  # fmt: skip
    wall_drawing._elevation(takeoff, made, cuts or {})
    return found[0]


@pytest.mark.parametrize(
    ("ground", "low"),
    [((-300.0, -300.0), -300.0), ((-700.0, -300.0), -700.0), ((-1550.0, -300.0), -300.0), ((100.0, 200.0), -50.0)],
)
def test_an_elevation_stands_in_the_middle_of_what_is_free(
    ground: Any, low: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A4 lying, 267 x 160: half way between 43 beside it on the left and 24 on the right, and between 30 under it and 28
    over it."""
    made = replace(wall(4000.0, 1200.0), ground_mm=ground)
    put = elevation(
        made, [zone(piece("a", box(0.0, -50.0, 4000.0, 150.0), 4000.0), cover=200.0, marks_mm=(-50.0,))], monkeypatch
    )
    assert (put["name"], put["block"], put["paper"], put["of"]) == (
        "wall_1", ("Wall 1 from outside", "W-1", None), A4, Shows.WALLS,
    )  # fmt: skip
    scale = put["sketch"].scale
    assert scale == 20
    size = (1200.0 - low) / scale
    same(put["middle"], (2000, (1200 + low) / 2))
    same(put["room"], ((267 + 43 - 24) / 2, 30 + (160 - 28 - 30 - size) / 2 + size / 2))


@pytest.mark.parametrize(
    ("zones", "jointed", "lapped", "head"),
    [
        (1, False, False, 28),
        (2, False, False, 33.5),
        (3, False, False, 39),
        (1, True, False, 36),
        (2, False, True, 38.5),
    ],
)
def test_more_zones_joints_and_laps_take_more_room_over_a_wall(
    zones: int, jointed: bool, lapped: bool, head: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """28 mm of paper; 5.5 more for each zone after the first, 8 for joints, 5 for a line of laps."""
    seen: list[float] = []
    monkeypatch.setattr(wall_drawing, "_paper", lambda size, zones, head: seen.append(head) or (A4, 20))
    first = piece("a", box(0.0, -50.0, 4000.0, 150.0), 4000.0, lap_mm=100.0 if lapped else 0.0)
    made = [zone(first, cover=200.0, marks_mm=(-50.0,)) for _ in range(zones)]
    if lapped:
        made = [
            zone(first, cover=200.0, marks_mm=(-50.0,)),
            zone(piece("b", box(0.0, 150.0, 9.0, 300.0)), marks_mm=(150.0,)),
        ]
    elevation(
        wall(4000.0, 1200.0), made, monkeypatch, {"a": (cut("1", 0, 2000), cut("2", 2000, 2000))} if jointed else {}
    )
    assert seen == [head]


# ---- sheet layouts


def test_a_layout_stands_under_its_heading(monkeypatch: pytest.MonkeyPatch) -> None:
    """Everything drawn lies from (-400, -600) to (3600, 5400) at 1:50. A4 has 267 x 160; lines of 5 and 2.5 mm and 1.75 under
    each with 6 are 17: the middle stands 2 + (160 - 17 - 2) / 2 = 72.5 up, the heading begins at the upper left."""
    found = catching(sheet_drawing, monkeypatch)
    room = Room(Sketch(50))
    room.lines.append(((-400.0, -600.0), (3600.0, 5400.0)))
    lines = (("TEXT", "a", 5.0), ("TEXT", "b", 2.5))
    monkeypatch.setattr(sheet_drawing, "_best", lambda _: SimpleNamespace(room=room, paper_mm=A4, lines=lines))
    monkeypatch.setattr(sheet_drawing, "side_words", lambda plane: "south")
    subject: Any = SimpleNamespace(plane=SimpleNamespace(id="P1"))
    sheet_drawing._layout(None, subject)  # type: ignore[arg-type]
    (put,) = found
    assert (put["name"], put["block"]) == ("sheets_P1", ("Sheets on P1, south", "S-P1", Document.SHEETS))
    assert put["parts"] == ((-400, -600, 3600, 5400),)
    same((put["middle"], put["room"]), ((1600, 2400), (133.5, 72.5)))
    first = room.sketch.items[0]
    assert isinstance(first, Text)
    same(first.at_mm, (1600 - 50 * 133.5 + 200, 2400 + 50 * 87.5 - 50 - 50 * 6.75))


def tried(*outcomes: tuple[Any, int, bool, int], monkeypatch: pytest.MonkeyPatch) -> tuple[Any, list[Any]]:
    """What is chosen of papers and scales that fit or not, with so many words that found no room; and what was drawn."""
    known = {(paper, scale): (fits, forced) for paper, scale, fits, forced in outcomes}
    drawn: list[Any] = []

    def of(_: Any, paper: Any, scale: int) -> Any:
        drawn.append((paper, scale))
        fits, forced = known[paper, scale]
        return SimpleNamespace(paper_mm=paper, scale=scale, fits=fits, room=SimpleNamespace(forced=forced))

    monkeypatch.setattr(sheet_drawing, "_papers", lambda _: [(paper, scale) for paper, scale, _, _ in outcomes])
    monkeypatch.setattr(sheet_drawing, "_Try", SimpleNamespace(of=of))
    best: Any = sheet_drawing._best(None)  # type: ignore[arg-type]
    return (best.paper_mm, best.scale), drawn


def test_the_first_paper_on_which_all_words_have_room_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = [(A4, 20, False, 0), (A4, 25, True, 1), (A4, 50, True, 0), (A3, 20, True, 0), (A3, 25, True, 0)]
    # what fits A4 with a word without room is not tried smaller there
    assert tried(*rows, monkeypatch=monkeypatch) == ((A3, 20), [(A4, 20), (A4, 25), (A3, 20)])
    for forced, drawn in ((4, [(A4, 20), (A4, 25), (A3, 20)]), (5, [(A4, 20), (A3, 20)])):
        rows = [(A4, 20, False, forced), (A4, 25, True, 1), (A3, 20, True, 0)]
        assert tried(*rows, monkeypatch=monkeypatch) == ((A3, 20), drawn)
    rows = [(A1, 20, False, 9), (A1, 20, False, 9), (A1, 25, False, 8), (A1, 50, True, 7)]
    assert tried(*rows, monkeypatch=monkeypatch) == ((A1, 50), [(A1, 20), (A1, 25), (A1, 50)])
    rows = [(A4, 20, True, 3), (A3, 20, True, 2), (A1, 20, False, 0)]
    assert tried(*rows, monkeypatch=monkeypatch)[0] == (A3, 20)
