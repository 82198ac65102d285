"""Edits of the plan: every message whole, every edit whole, on a house whose figures are all different."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import GONE, Edit
from takeoff.web import plan_edits
from takeoff.web.plan_edits import NewRoof, Typed, typed_rings

BOX = [[1000, 500], [13000, 500], [13000, 8500], [1000, 8500]]
YARD = [[4000, 3500], [8000, 3500], [8000, 5500], [4000, 5500]]
SHED = [[20000, 0], [23000, 0], [23000, 2500], [20000, 2500]]
NO_FILE = "this roof is taken from a file: change it there, or draw it here anew."


def house(**more: Any) -> dict[str, Any]:
    """Walls 1 to 4 and 5 to 8 (the courtyard) on main, none on the porch, 9 to 12 on the shed."""
    main = {"name": "main", "wall_line": BOX, "courtyards": [YARD]}
    porch = {"name": "porch", "outline": [[0, 0], [900, 0], [0, 900]]}
    return {"roofs": [main, porch, {"name": "shed", "wall_line": SHED}], "walls": {"height_mm": 2400}, **more}


def refused(do: Callable[[], object]) -> tuple[str, ...]:
    with pytest.raises(UsageError) as told:
        do()
    return tuple(map(str, told.value.faults))


def test_sides_are_numbered_on_over_courtyards() -> None:
    typed = typed_rings(house()["roofs"][0])
    assert typed is not None
    assert typed.sides_mm == (12000, 8000, 12000, 8000, 4000, 2000, 4000, 2000)
    assert [typed.at(number) for number in (1, 4, 5, 8)] == [(0, 0), (0, 3), (1, 0), (1, 3)]
    assert (typed.first(0), typed.first(1), typed.first(2)) == (0, 4, 8)
    for number in (0, 9):
        assert refused(lambda number=number: typed.at(number)) == (
            f"there is no edge {number}; the outline has edges 1 to 8.",
        )


def test_the_left_end_of_a_side_is_where_it_ends_on_a_clockwise_outline_and_in_a_courtyard() -> None:
    ring, yard = typed_rings({"outline": BOX}), typed_rings({"outline": BOX[::-1], "courtyards": [YARD[::-1], YARD]})
    assert ring is not None
    assert yard is not None
    assert ring.from_end == frozenset()
    assert yard.from_end == frozenset({1, 2, 3, 4, 9, 10, 11, 12})


@pytest.mark.parametrize(
    "roof",
    [
        None, {}, {"outline": None}, {"outline": BOX[:2]}, {"outline": [*BOX, [1, 2, 3]]}, {"outline": [*BOX, [1, True]]},
        {"outline": [*BOX, ["1", 2]]}, {"outline": BOX, "courtyards": [YARD, 7]}, {"outline": "box"}, {"courtyards": [YARD]},
    ],
)  # fmt: skip
def test_what_is_no_ring_is_none(roof: Any) -> None:
    assert typed_rings(roof) is None


def test_a_wall_line_goes_before_an_outline_and_three_corners_are_enough() -> None:
    three = ((0.0, 0.0), (900.0, 0.0), (0.0, 900.0))
    assert typed_rings({"outline": [list(map(int, p)) for p in three]}) == Typed("outline", (three,))
    assert typed_rings({"outline": BOX, "wall_line": [[0, 0], [900, 0], [0, 900]]}) == Typed("wall_line", (three,))


def test_a_corner_of_a_courtyard_moved_changes_that_ring_alone() -> None:
    at = ("roofs", 0, "courtyards", 0)
    assert plan_edits.corner_to(house(), 0, 7, (8200, 5600)) == (
        Edit(at, [[4000, 3500], [8200, 3500], [8200, 5600], [4000, 5600]]),
    )
    assert plan_edits.corner_by(house(), 0, 7, (200, 100)) == plan_edits.corner_to(house(), 0, 7, (8200, 5600))
    assert plan_edits.corner_to(house(), 0, 7, (8200, 5600), free=True) == (
        Edit(at, [[4000, 3500], [8000, 3500], [8200, 5600], [4000, 5500]]),
    )
    assert plan_edits.corner_to(house(), 0, 7, (8000, 5500)) == ()
    assert plan_edits.corner_at(house(), 0, 6) == (8000, 3500)


def test_only_what_is_square_to_an_edge_moves_it_also_on_a_slope() -> None:
    """The slope from (4000, 0) to (0, 3000), out by (0.6, 0.8): a shift of (500, 250) is 500 out; the feet at
    4000 + 500 / 0.6 and 3000 + 500 / 0.8. Edge 2 of the box by (-250, 999) is 250 in."""
    tree = {"roofs": [{"outline": [[0, 0], [4000, 0], [0, 3000]]}]}
    assert plan_edits.edge_by(tree, 0, 2, (500, 250)) == (
        Edit(("roofs", 0, "outline"), [[0, 0], [4833.33, 0], [0, 3625]]),
    )
    assert plan_edits.edge_by(house(), 0, 2, (-250, 999))[0].value == [
        [1000, 500],
        [12750, 500],
        [12750, 8500],
        [1000, 8500],
    ]


def test_an_edge_is_made_so_long_at_either_end() -> None:
    to_end, to_start = (plan_edits.edge_length(house(), 0, 2, 8800, start) for start in (False, True))
    assert to_end == (Edit(("roofs", 0, "wall_line"), [[1000, 500], [13000, 500], [13000, 9300], [1000, 9300]]),)
    assert to_start == (Edit(("roofs", 0, "wall_line"), [[1000, -300], [13000, -300], [13000, 8500], [1000, 8500]]),)


def test_a_corner_stands_in_the_middle_where_no_place_is_said() -> None:
    assert plan_edits.corner_on(house(), 0, 1)[0].value == [[1000, 500], [7000, 500], *BOX[1:]]
    assert plan_edits.corner_on(house(), 0, 6)[0].value == [[4000, 3500], [8000, 3500], [8000, 4500], *YARD[2:]]


def test_which_end_moves_in_words_of_the_plan() -> None:
    """The box runs east, north, west, south."""
    assert [plan_edits.end_words(house(), 0, edge) for edge in (1, 2, 3, 4)] == [
        ("right end moves", "left end moves"), ("upper end moves", "lower end moves"),
        ("left end moves", "right end moves"), ("lower end moves", "upper end moves"),
    ]  # fmt: skip
    slope = {"roofs": [{"outline": [[0, 0], [3000, 3000], [-4000, 9000]]}]}  # as much across as up: across
    assert plan_edits.end_words(slope, 0, 1) == ("right end moves", "left end moves")
    assert plan_edits.end_words(slope, 0, 3)[0] == "lower end moves"


def test_a_roof_that_is_drawn() -> None:
    drawn = [(0.0, 0.0), (0.0, 3000.0), (5000.5, 3000.0), (5000.5, 0.0)]
    line = [[0, 0], [5000.5, 0], [5000.5, 3000], [0, 3000]]
    walled = {"name": "roof", "wall_line": line, "eave_overhang_mm": 600, "fascia_height_mm": 2400, "pitch_deg": 25}
    assert plan_edits.outline_drawn(house(), drawn, NewRoof()) == (Edit(("roofs", 3), walled),)
    bare = NewRoof("outline", 22.5, 600, 2700)
    first = {"name": "main", "outline": line, "fascia_height_mm": 2700, "pitch_deg": 22.5}
    assert plan_edits.outline_drawn({}, drawn, bare) == (Edit(("roofs",), [first]),)
    no_eaves = plan_edits.outline_drawn({"roofs": []}, drawn, NewRoof(overhang_mm=0))[0].value
    assert no_eaves == [{"name": "main", "wall_line": line, "fascia_height_mm": 2400, "pitch_deg": 25}]


def test_what_a_new_roof_begins_with() -> None:
    new = NewRoof()
    assert new == NewRoof("wall_line", 25, 600, 2400)
    assert new.having("pitch_deg", 1) == NewRoof("wall_line", 1, 600, 2400)
    assert new.having("pitch_deg", 85) == NewRoof("wall_line", 85, 600, 2400)
    assert new.having("overhang_mm", 450) == NewRoof("wall_line", 25, 450, 2400)
    assert new.having("fascia_height_mm", 3000) == NewRoof("wall_line", 25, 600, 3000)
    for pitch in (0.9, 85.1):
        assert refused(lambda pitch=pitch: new.having("pitch_deg", pitch)) == (
            "a pitch is 1 to 85 degrees: type one, as 25.",
        )


def test_a_name_that_no_other_roof_has() -> None:
    tree = {"roofs": [{"name": "roof"}, {"name": "roof 2"}, {}, {"name": "roof 3"}]}
    assert [plan_edits.free_name(tree, name) for name in ("roof", "main", "shed")] == ["roof 4", "main 2", "shed"]


def test_walls_are_numbered_over_the_roofs_that_have_a_wall_line() -> None:
    tree = house()
    assert [plan_edits.wall_of(tree, 0, edge) for edge in (0, 1, 8, 9)] == [0, 1, 8, 0]
    assert [plan_edits.wall_of(tree, 1, 1), plan_edits.wall_of(tree, 2, 1), plan_edits.wall_of(tree, 2, 4)] == [
        0,
        9,
        12,
    ]
    assert [plan_edits.wall_of(tree, roof, 1) for roof in (-1, 3)] == [0, 0]
    assert [plan_edits.edge_of_wall(tree, wall) for wall in (0, 1, 8, 9, 12, 13)] == [
        None, (0, 1), (0, 8), (2, 1), (2, 4), None,
    ]  # fmt: skip
    tree["roofs"][1] = {"name": "porch", "mesh": {"file": "a.obj"}}  # its walls are counted where the shape knows them
    assert plan_edits.wall_of(tree, 2, 1, {"porch": 3}) == 12
    assert plan_edits.edge_of_wall(tree, 10, {"porch": 3}) == (1, 2)
    tree["walls"]["roof"] = "shed"
    assert [plan_edits.wall_of(tree, roof, 1) for roof in (0, 2)] == [0, 1]


def test_walls_beyond_a_new_roof_are_numbered_on_by_its_walls() -> None:
    tree = house()
    tree["walls"] |= {"on_concrete": [4, 12, 13], "roof": "main"}
    new = {"name": "main", "wall_line": [[0, 0], [900, 0], [0, 900]]}  # three walls after the eight of main
    assert plan_edits.roof_added(tree, new) == (Edit(("roofs", 3), new), Edit(("walls", "on_concrete"), [4, 15, 16]))
    other = new | {"name": "annexe"}
    assert plan_edits.roof_added(tree, other) == (Edit(("roofs", 3), other),)
    outlined = {"name": "main", "outline": BOX}
    assert plan_edits.roof_added(tree, outlined) == (Edit(("roofs", 3), outlined),)


def test_a_roof_taken_out_takes_what_names_it() -> None:
    tree = house(rainwater={"none_on": [1]})
    tree["roofs"][0] |= {"below": "shed"}
    tree["roofs"][2] |= {"below": "shed"}
    tree["walls"] |= {
        "roof": "main",
        "storeys": [{"roof": "shed"}, "odd", {"roof": "main"}, {"roof": "shed"}],
        "on_concrete": [2],
    }
    assert plan_edits.roof_gone(tree, 2) == (
        Edit(("roofs", 0, "below"), GONE), Edit(("walls", "storeys", 3), GONE), Edit(("walls", "storeys", 0), GONE),
        Edit(("roofs", 2), GONE),
    )  # fmt: skip
    assert plan_edits.roof_gone(tree, 0) == (
        Edit(("rainwater", "none_on"), GONE), Edit(("walls", "roof"), GONE), Edit(("walls", "storeys", 2), GONE),
        Edit(("roofs", 0), GONE), Edit(("walls", "on_concrete"), []),
    )  # fmt: skip
    for roof in (-1, 3):
        assert refused(lambda roof=roof: plan_edits.roof_gone(tree, roof)) == ("there is no such roof.",)


def test_a_whole_roof_is_moved_with_its_courtyard_and_holes_and_the_pipes_of_the_only_one() -> None:
    tree = house(rainwater={"downpipes_at": [[1000, 500], [13000, 8500]]})
    tree["roofs"][0] |= {"penetrations": [{"at": [1, "x"]}, "odd", {"at": [3000, 4000]}]}
    main = (
        Edit(("roofs", 0, "wall_line"), [[1250, 380], [13250, 380], [13250, 8380], [1250, 8380]]),
        Edit(("roofs", 0, "courtyards", 0), [[4250, 3380], [8250, 3380], [8250, 5380], [4250, 5380]]),
        Edit(("roofs", 0, "penetrations", 2, "at"), [3250, 3880]),
    )
    assert plan_edits.roof_by(tree, 0, (250, -120)) == main
    tree["roofs"] = tree["roofs"][:1]
    assert plan_edits.roof_by(tree, 0, (250, -120)) == (
        *main, Edit(("rainwater", "downpipes_at"), [[1250, 380], [13250, 8380]]),
    )  # fmt: skip
    tree["rainwater"]["downpipes_at"].append("odd")
    assert plan_edits.roof_by(tree, 0, (250, -120)) == main
    tree["rainwater"]["downpipes_at"] = []
    assert plan_edits.roof_by(tree, 0, (250, -120)) == main


def test_a_corner_put_in_takes_along_what_goes_by_number_and_nothing_that_is_not_changed() -> None:
    """Edge 1 parted: edges from 2 on are one further; bare edges are of the first roof alone."""
    tree = house(rainwater={"none_on": [1, "odd", 3]})
    tree["walls"] |= {"on_concrete": [1, 4, 9]}
    tree["roofs"][2]["edges"] = {1: {"kind": "gable"}}
    parted = [[1000, 500], [3000, 500], *BOX[1:]]
    assert plan_edits.corner_on(tree, 0, 1, 2000) == (
        Edit(("roofs", 0, "wall_line"), parted), Edit(("rainwater", "none_on"), [1, 2, "odd", 4]),
        Edit(("walls", "on_concrete"), [1, 2, 5, 10]),
    )  # fmt: skip
    assert plan_edits.corner_on(tree, 2, 4, 1000) == (Edit(("roofs", 2, "wall_line"), [*SHED, [20000, 1500]]),)
    assert plan_edits.corner_on(tree, 2, 1, 1000)[1] == Edit(
        ("roofs", 2, "edges"), {1: {"kind": "gable"}, 2: {"kind": "gable"}}
    )


def test_the_first_corner_of_a_courtyard_taken_out_joins_its_last_side_and_its_first() -> None:
    """Corner 5: sides 8 and 5 become one, numbered 7 of seven; the outer ring's stay."""
    tree = house()
    tree["walls"] |= {"on_concrete": [4, 5, 6, 8, 9]}
    assert plan_edits.corner_out(tree, 0, 5) == (
        Edit(("roofs", 0, "courtyards", 0), YARD[1:]), Edit(("walls", "on_concrete"), [4, 7, 5, 8]),
    )  # fmt: skip
    assert plan_edits.corner_out(tree, 0, 6)[1].value == [4, 5, 7, 8]


@pytest.mark.parametrize("roof", [-1, 3])
def test_a_roof_that_is_not_there_is_told(roof: int) -> None:
    assert refused(lambda: plan_edits.corner_to(house(), roof, 1, (0, 0))) == (NO_FILE,)
