"""The house made by hand as parts in space, and what the page of the house knows of them, by hand [mm]: the roof of
12 x 8 m at 25 degrees, moved to (100, 200, 300)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import cos, radians, sin
from pathlib import Path
from typing import Any

import pytest

from takeoff.model.basis import Basis, Status, Term, Working
from takeoff.model.items import Item, ItemKind, Mark, MarkKind, Trade
from takeoff.model.measured import BattenLine
from takeoff.model.order import OrderLine, Takeoff
from takeoff.model.roof import Frame, UprightFace, UprightKind
from takeoff.model.walls import Opening
from takeoff.write.house_view import house_page, page_data
from takeoff.write.house_view.house_page import live_page
from takeoff.write.house_view.house_parts import Part, _sides, house_parts, wall_frame
from takeoff.write.house_view.part_words import board_facts, edge_facts, plane_facts, sheet_facts, timber_facts

C, S = cos(radians(25.0)), sin(radians(25.0))
GABLE = UprightFace(
    "U1", "main", Frame((5.0, 6.0, 7.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)),
    (((0.0, 0.0), (2000.0, 0.0), (1000.0, 900.0)),), UprightKind.GABLE, 900e3,
)  # fmt: skip


@pytest.fixture(scope="module")
def moved(sample: Takeoff) -> Takeoff:
    roof = replace(sample.roofs[0], origin_mm=(100.0, 200.0, 300.0), uprights=(GABLE,))
    return replace(
        sample, roofs=(roof, replace(roof, name="shed", planes=(), edges=(), uprights=(), origin_mm=(7.0, 8.0, 9.0)))
    )


@pytest.fixture(scope="module")
def parts(moved: Takeoff) -> dict[str, Part]:
    return {f"{part.kind} {part.mark}": part for part in house_parts(moved)}


def some(value: float) -> Any:
    """About so much."""
    return pytest.approx(value)


def near(found: Sequence[Any], wanted: Sequence[Any]) -> None:
    assert [pytest.approx(one) for one in wanted] == list(found)


def test_planes_and_upright_faces_stand_where_their_roof_does(moved: Takeoff, parts: dict[str, Part]) -> None:
    """Half of (12 + 4) m times 4 m is 32 m2 in plan, / cos 25 = 35.31 on the slope."""
    roof = moved.roofs[0]
    plane = parts["plane P1"]
    facts = (
        "roof plane at 25 degrees, falls south, roof main", "35.31 m2 on the slope, 32 m2 in plan",
        "16 sheets: start square off the eave at the left end. The right edge of each sheet lies over.",
    )  # fmt: skip
    frame = Frame((100.0, 200.0, 2750.0), (1.0, 0.0, 0.0), (0.0, C, S), (0.0, -S, C))
    found = plane.frame
    assert found is not None
    near([found.origin_mm, found.u, found.v, found.n], [frame.origin_mm, frame.u, frame.v, frame.n])
    assert replace(plane, frame=None) == Part(
        "P1",
        "plane",
        "P1",
        None,
        facts,
        moved.measures[0].working,
        roof.planes[0].rings_uv,
        area_mm2=roof.planes[0].area_mm2,
    )
    assert parts["upright U1"] == Part(
        "U1", "upright", "U1", replace(GABLE.frame, origin_mm=(105.0, 206.0, 307.0)),
        ("gable, an upright face: 0.9 m2, no part of the roof area",), None, GABLE.rings_uv, area_mm2=900e3,
    )  # fmt: skip


def test_edges_are_sticks_with_the_runs_on_them(moved: Takeoff, parts: dict[str, Part]) -> None:
    """The ridge runs at 4 m in from both ends, 4 x tan 25 = 1.865 m over the fascia at 2.45 m."""
    ridge, top = parts["edge ridge 1"], 2450.0 + 4000.0 * S / C + 300.0
    near(ridge.line, [(4100.0, 4200.0, top), (8100.0, 4200.0, top)])
    facts = (
        "ridge, 4000 mm, at 0 degrees", "of P3 and P1, 145 degrees between them",
        "flashing F1: net 4000 mm, dressings 150 and 150 mm, girth 450 mm",
    )  # fmt: skip
    working = moved.roofing.flashings[0].working
    assert replace(ridge, line=()) == Part(
        "ridge 1", "edge", "P3", None, facts, working, wide_mm=45.0, deep_mm=45.0, names=("F1",), length_mm=4000.0,
        faces=("P3", "P1"),
    )  # fmt: skip
    assert parts["edge eave 2"] == Part(
        "eave 2", "edge", "P2", None, ("eave, 8000 mm, at 0 degrees", "of P2"), None,
        line=((12100.0, 200.0, 2750.0), (12100.0, 8200.0, 2750.0)), wide_mm=45.0, deep_mm=45.0, length_mm=8000.0,
        faces=("P2",),
    )  # fmt: skip


def test_a_sheet_lies_over_its_plane_with_its_sides(moved: Takeoff, parts: dict[str, Part]) -> None:
    """845 wide from the corner, it reaches 845 / 4000 of the slope, and 50 below its foot: a
    triangle of 845 by what it reaches."""
    piece = moved.roofing.sheets[0].pieces[0]
    facts = (
        "sheet on P1: 1040 mm",
        "sides 50 mm left, 982 mm right, seen from below the eave",
        "foot square, top raked hip 1",
    )
    assert parts["sheet P1.01"] == Part(
        "P1.01", "sheet", "P1", parts["plane P1"].frame, facts, piece.working, piece.cover_uv, 12.0,
        area_mm2=some(845.0 * (50.0 + 845.0 / C) / 2.0), length_mm=some(50.0 + 845.0 / C),
    )  # fmt: skip


def test_timbers_lie_under_their_plane(moved: Takeoff, parts: dict[str, Part]) -> None:
    """Its upper face lies in the plane: half of 45 down the normal, (0, 22.5 sin, -22.5 cos)."""
    purlin = parts["timber PU2"]
    inset = 950.0 * C
    y, z = 200.0 + 950.0 * C + 22.5 * S, 2750.0 + 950.0 * S - 22.5 * C
    near(purlin.line, [(100.0 + inset, y, z), (12100.0 - inset, y, z)])
    assert replace(purlin, line=(), frame=None) == Part(
        "PU2", "timber", "P1", None, ("Purlin 70 x 45, purlin row 2 of P1", "cut as 5400 + 4879 mm"),
        moved.roofing.needs[0].demands[1].working, wide_mm=70.0, deep_mm=45.0, length_mm=some(12000.0 - 2 * inset),
    )  # fmt: skip
    marks = (Mark(MarkKind.CALLED, (1.0, 2.0)), Mark(MarkKind.SIZE, (90.0, 35.0)))
    sized = replace(moved.items["timber_70x45"], marks=marks)
    other = replace(moved, items={**moved.items, "timber_70x45": sized})
    found = next(part for part in house_parts(other) if part.mark == "PU2")
    assert (found.wide_mm, found.deep_mm) == (90.0, 35.0)
    assert found.line[0][2] == pytest.approx(2750.0 + 950.0 * S - 17.5 * C)
    assert (_sides((1.0, 2.0, 3.0)), _sides((1.0,)), _sides("a"), _sides(5.0)) == ((1.0, 2.0), *((70.0, 45.0),) * 3)


def test_a_wall_has_its_openings_boards_and_battens(moved: Takeoff, parts: dict[str, Part]) -> None:
    wall = moved.elevations[0]
    # the wall is of no roof by name: it stands on the first
    frame = Frame((700.0, 800.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))
    facts = ("10800 mm wide, faces south", "zone 1: horizontal, 155 mm cover, 24.84 m2 net of 27 m2")
    assert parts["wall W1"] == Part(
        "W1", "wall", "W1", frame, facts, None, (wall.outline_xy,), area_mm2=10800.0 * 2500.0
    )
    said = (
        "opening, 1800 x 1200 mm",
        "on W1, 2400 mm from its left end",
        "sill 900 mm and head 2100 mm over the floor",
    )
    ring = ((2400.0, 900.0), (4200.0, 900.0), (4200.0, 2100.0), (2400.0, 2100.0))
    assert parts["opening W1"] == Part("W1", "opening", "W1", frame, said, None, (ring,), 6.0, area_mm2=1800.0 * 1200.0)
    board = moved.cladding.boards[0].pieces[0]
    assert parts["board B1.01.1"] == Part(
        "B1.01.1", "board", "W1", frame, ("10800 mm, course 1 of wall 1, zone 1",), moved.cladding.boards[0].working,
        (board.outline_xy,), 20.0, names=("zone 1",), area_mm2=10800.0 * 155.0, length_mm=10800.0,
    )  # fmt: skip
    assert parts["batten BT2"] == Part(
        "BT2", "batten", "W1", frame, ("cavity batten on W1",), None,
        line=((1900.0, 800.0, -50.0), (1900.0, 800.0, 2450.0)), wide_mm=40.0, deep_mm=20.0,
    )  # fmt: skip


def test_where_a_wall_stands(moved: Takeoff) -> None:
    """Seen from outside its left end comes first: along (0.6, 0.8) it looks to (0.8, -0.6)."""
    wall = replace(moved.elevations[0], a_mm=(10.0, 20.0), b_mm=(310.0, 420.0))
    found = wall_frame(wall, (1.0, 2.0, 3.0))
    assert found is not None
    near(
        [found.origin_mm, found.u, found.v, found.n],
        [(11.0, 22.0, 0.0), (0.6, 0.8, 0.0), (0.0, 0.0, 1.0), (0.8, -0.6, 0.0)],
    )
    assert wall_frame(replace(wall, b_mm=(10.0, 20.0)), (1.0, 2.0, 3.0)) is None
    assert wall_frame(replace(wall, b_mm=(10.0, 21.0)), (0.0, 0.0, 0.0)) is not None
    assert wall_frame(replace(wall, b_mm=(11.0, 20.0)), (0.0, 0.0, 0.0)) is not None
    lost = replace(moved, elevations=(replace(wall, b_mm=wall.a_mm),), rainwater=replace(moved.rainwater, gutters=()))
    assert {part.kind for part in house_parts(lost)} == {"plane", "upright", "edge", "sheet", "timber"}
    # of a roof by its name, else of the first; without roofs at the plan's own origin
    for roof, shift in (("shed", (7.0, 8.0)), ("main", (100.0, 200.0)), ("none", (100.0, 200.0))):
        house = replace(moved, elevations=(replace(wall, roof=roof),))
        frame = next(part.frame for part in house_parts(house) if part.kind == "wall")
        assert frame is not None
        near(frame.origin_mm, (10.0 + shift[0], 20.0 + shift[1], 0.0))


def test_only_what_is_of_a_wall_lies_on_it(moved: Takeoff) -> None:
    first = moved.elevations[0]
    second = replace(
        first,
        wall=2,
        id="W2",
        a_mm=(0.0, 0.0),
        b_mm=(0.0, 500.0),
        openings=(Opening("DR1", 10.0, -20.0, 30.0, 40.0, "door"),),
    )
    cladding = replace(moved.cladding, battens=(BattenLine(2, (5.0, 6.0), (5.0, 9.0), "BT9"),))
    found = house_parts(replace(moved, elevations=(first, second), cladding=cladding))
    assert [part.mark for part in found if part.on == "W2"] == ["W2", "DR1", "BT9"]
    assert next(part.line for part in found if part.mark == "BT9") == ((100.0, 205.0, 6.0), (100.0, 205.0, 9.0))
    door = next(part for part in found if part.mark == "DR1")
    assert door.facts == (
        "door, 30 x 40 mm",
        "on W2, 10 mm from its left end",
        "sill -20 mm and head 20 mm over the floor",
    )
    assert "batten" not in {part.kind for part in found if part.on == "W1"}


def test_words_of_parts_with_all_there_is_to_say(sample: Takeoff) -> None:
    roof = sample.roofs[0]
    sheets = sample.roofing.sheets[0]
    piece = replace(sheets.pieces[0], clear=True, lap_mm=200.0)
    assert sheet_facts(sheets, piece, "out of P1.02") == (
        "clear sheet on P1: out of P1.02", "sides 50 mm left, 982 mm right, seen from below the eave",
        "foot square, top raked hip 1", "lapped 200 mm under the part above",
    )  # fmt: skip
    # one roof has no need of its name; a plane without sheets says nothing of them
    bare = replace(sample, roofing=replace(sample.roofing, sheets=()))
    assert plane_facts(bare, roof, roof.planes[1]) == (
        "roof plane at 25 degrees, falls east", "17.65 m2 on the slope, 16 m2 in plan",
    )  # fmt: skip
    free = replace(roof.edges[0], faces=())
    assert edge_facts(free, ()) == ("eave, 12000 mm, at 0 degrees",)
    line = sample.roofing.purlins[0]
    assert timber_facts(replace(line, row=0, role="ridge board"), None, "") == ("timber, ridge board of P1",)
    boards = sample.cladding.boards[0]
    board = replace(boards.pieces[0], ripped_mm=120.0, rest_of="B1.02.1", notched=True)
    assert board_facts(replace(boards, direction="vertical"), board) == (
        "10800 mm, board 1 of wall 1, zone 1", "ripped to 120 mm", "the rest of the board that B1.02.1 is ripped from",
        "notched by an opening",
    )  # fmt: skip
    assert board_facts(replace(boards, direction="sheets"), replace(board, sides_mm=(7.0, 9.0), lap_mm=150.0)) == (
        "10800 mm, sheet 1 of wall 1, zone 1", "sides 7 mm left, 9 mm right, seen from outside",
        "lapped 150 mm under the sheet above", "notched by an opening",
    )  # fmt: skip


def test_what_the_page_knows_of_a_part() -> None:
    """Whole mm; directions to four decimals, places of frames to one; what many share stands once."""
    frame = Frame((10.04, 20.06, 30.0), (0.123456, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    known = Basis(Status.COMMON_PRACTICE)
    working = Working(
        "a rule", (Term("lap_mm", 50.0, "mm", known), Term("length", 7.0, "mm"), Term("more_mm", 1.0, "mm", known))
    )
    part = Part(
        "P1_1", "sheet", "P_1", frame, ("big", "old"), working, (((0.4, 0.6), (10.0, 20.0), (-1.6, 3.0)),), 12.4,
        ((1.4, 2.6, 3.0), (4.0, 5.0, 6.5001)), 70.4, 45.6, faces=("P1", "P2"),
    )  # fmt: skip
    frames, workings, bases = page_data._Once(), page_data._Once(), page_data._Once()
    found = page_data._part(part, frames, workings, bases, str.upper)
    assert found == {
        "m": "P1_1", "k": "sheet", "o": "P_1", "f": ["BIG", "OLD"], "r": 0, "a": ["P1", "P2"],
        "g": [[0, 1, 10, 20, -2, 3]], "z": 12, "l": [1, 3, 3, 4, 5, 7], "s": [70, 46], "w": 0,
    }  # fmt: skip
    assert page_data._part(replace(part, rings=(), line=(), faces=()), frames, workings, bases, str)["r"] == 0
    other = replace(part, frame=replace(frame), working=None)
    assert page_data._part(other, frames, workings, bases, str)["r"] == 1
    assert frames.found[0] == [10.0, 20.1, 30.0, 0.1235, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0]
    assert workings.found == [["A RULE", [["LAP", "50 mm", 0], ["LENGTH", "7 mm", -1], ["MORE", "1 mm", 0]]]]
    assert len(bases.found) == 1


def test_what_the_page_knows_of_an_order_line() -> None:
    item = Item("ridge", "Ridge roll", ItemKind.FLASHING, Trade.FLASHINGS, "length")
    working = Working("", ())
    long = OrderLine("L1", "flashings", item, 3, "each", 6000.0, 18.004, "m", 9.04, ("F1", "F_2"), working, "red")
    assert page_data._line(long, str.upper) == {
        "i": "L1", "d": "flashings", "t": "RIDGE ROLL", "c": "3 x 6000 mm", "s": "18 m", "kg": "9 kg", "n": "RED",
        "r": ["F1", "F_2"],
    }  # fmt: skip
    plain = replace(long, each_mm=0.0, total=3.0, total_unit="each", kg=0.0, note="", refs=())
    assert page_data._line(plain, str) == {"i": "L1", "d": "flashings", "t": "Ridge roll", "c": "3 each", "r": []}


def test_which_parts_a_name_stands_for(sample: Takeoff) -> None:
    """A flashing's run by its edge, its pieces by their run; a mark of several parts by all of them."""
    parts = house_parts(sample)
    names = page_data._names(sample, parts)
    ridge = next(at for at, part in enumerate(parts) if part.mark == "ridge 1")
    assert names["F1"] == names["F1.1"] == names["ridge 1"] == [ridge]
    assert [parts[at].mark for at in names["PU1a"]] == ["PU1"]
    assert [parts[at].kind for at in names["W1"]] == ["wall", "opening"]
    assert [parts[at].mark for at in names["zone 1"]] == [piece.id for piece in sample.cladding.boards[0].pieces]
    assert [parts[at].mark for at in names["G1"]] == ["G1.1", "G1.2", "G1.3", "G1.4"]
    unknown = replace(sample, roofing=replace(sample.roofing, needs=(
        replace(sample.roofing.needs[0], demands=(
            replace(sample.roofing.needs[0].demands[0], id="R1", refs=("nowhere", "P2", "P1")),
            replace(sample.roofing.needs[0].demands[0], id="R2", refs=("nowhere",)),
        )),
    )))  # fmt: skip
    found = page_data._names(unknown, parts)
    assert [parts[at].mark for at in found["R1"]] == ["P2"]
    assert "R2" not in found


def test_the_page_that_takes_its_house_later_has_its_own_style_and_script_last() -> None:
    page = live_page("own {}", "ownScript()").decode("utf-8")
    style, script = (
        (Path(house_page.__file__).parent / "page" / name).read_text("utf-8") for name in ("page.css", "showing.js")
    )
    assert f"{style}own {{}}" in page
    assert f"{script}ownScript()" in page
    assert "<title>House</title>" in page
    assert 'id="data">null</script>' in page
