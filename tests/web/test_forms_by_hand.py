"""Roofs added by their form and edges that rise by theirs: every figure worked out by hand, no order made.

The house is 12 x 8 m with its south-west corner at (1000, 500), 25 degrees, 600 over the wall, fascia at 2400.
tan 8 degrees = 0.140541, tan 25 = 0.466308, tan 30 = 0.577350, tan 40 = 0.839100 (any table of tangents).
"""

from __future__ import annotations

from typing import Any

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import GONE, Edit
from takeoff.web import rise_forms, roof_forms
from takeoff.web.plan_entries import Entry, Typed
from takeoff.web.rise_forms import RISE_FORMS, forms_of, rise_entries, rise_given, rise_of
from takeoff.web.roof_forms import Host, host_of, roof_made

FORMS = {form.name: form for form in roof_forms.ROOF_FORMS}
RISES = {form.key: form for form in RISE_FORMS}
BOX = [[1000, 500], [13000, 500], [13000, 8500], [1000, 8500]]
ACROSS = {1: {"kind": "gable"}, 3: {"kind": "gable"}}


def house(line: str = "wall_line", **roof: Any) -> dict[str, Any]:
    held = {"name": "main", line: BOX, "fascia_height_mm": 2400, "pitch_deg": 25, **roof}
    return {"roofs": [held | ({"eave_overhang_mm": 600} if line == "wall_line" else {})]}


def made(tree: dict[str, Any], edge: int, name: str, middle: float | None = None, **sizes: float) -> dict[str, Any]:
    return roof_made(tree, 0, edge, FORMS[name], middle, sizes)


# ---- the edge that a roof is added at


def test_an_edge_is_known_whole_with_what_it_says_before_what_its_roof_says() -> None:
    edges = {2: {"pitch_deg": 40, "eave_overhang_mm": 450, "fascia_height_mm": 2700}, 3: {"kind": "gable"}}
    assert host_of(house(edges=edges), 0, 2) == Host(
        (13000, 500), (0, 1), (1, 0), 8000, 450, 2700, 40, 12000, "eave", "main", True
    )
    assert host_of(house(edges=edges), 0, 3) == Host(
        (13000, 8500), (-1, 0), (0, 1), 12000, 600, 2400, 25, 8000, "gable", "main", True
    )


def test_what_nothing_says_is_25_degrees_at_2400_and_nothing_over_an_outline() -> None:
    tree = {"roofs": [{"outline": BOX, "eave_overhang_mm": 600, "pitch_deg": True}]}
    assert host_of(tree, 0, 1) == Host((1000, 500), (1, 0), (0, -1), 12000, 0, 2400, 25, 8000, "eave", "main", False)


def test_on_a_clockwise_outline_and_in_a_courtyard_left_is_left_of_who_looks_at_the_wall() -> None:
    """Edge 1 of the reversed box is the north side from x = 1000 to 13000, its left end from outside at 13000. Edge 5 is
    the south side of a courtyard from (4000, 3500) to (8000, 3500), looked at from within: left is 8000, out is north;
    the roof goes on 3000 behind it and 0 in front: no corner of its own ring lies behind it."""
    tree = {"roofs": [{"name": "main", "wall_line": BOX[::-1], "pitch_deg": 25}]}
    north = host_of(tree, 0, 1)
    assert (north.start, north.along, north.out, north.depth_mm) == ((13000, 8500), (-1, 0), (0, 1), 8000)
    tree = house(courtyards=[[[4000, 3500], [8000, 3500], [8000, 5500], [4000, 5500]]])
    yard = host_of(tree, 0, 5)
    assert (yard.start, yard.along, yard.out, yard.length_mm) == ((8000, 3500), (-1, 0), (0, 1), 4000)


@pytest.mark.parametrize("roof", [-1, 1])
def test_a_roof_that_is_not_there_takes_no_other(roof: int) -> None:
    with pytest.raises(UsageError) as told:
        host_of(house(), roof, 1)
    assert told.value.faults == ("this roof is taken from a file: draw the roof to be added by its corners.",)


# ---- the roofs


def test_a_verandah_and_a_lean_to() -> None:
    """East wall, x = 13000, from y = 500 up; the lean-to's middle 3 m along it, 3 m long: y from 2000 to 5000."""
    fall = {2: {"kind": "gable"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}}
    assert made(house(), 2, "verandah", 5.0, out_mm=2500, fascia_mm=2100.5, pitch_deg=7.5) == {
        "name": "verandah", "outline": [[15500, 500], [15500, 8500], [13000, 8500], [13000, 500]], "below": "main",
        "fascia_height_mm": 2100.5, "pitch_deg": 7.5, "edges": fall,
    }  # fmt: skip
    assert made(house("outline"), 2, "lean-to", 3000, width_mm=3000, out_mm=1500, fascia_mm=2000) == {
        "name": "lean-to", "outline": [[14500, 2000], [14500, 5000], [13000, 5000], [13000, 2000]],
        "fascia_height_mm": 2000, "pitch_deg": 8, "edges": fall,
    }  # fmt: skip


def test_a_porch_goes_half_a_metre_in_under_a_wall_line() -> None:
    sizes = {"width_mm": 2000.0, "out_mm": 1500.0, "fascia_mm": 2050.0}
    assert made(house(), 1, "porch", None, **sizes) == {
        "name": "porch", "outline": [[6000, -1000], [8000, -1000], [8000, 1000], [6000, 1000]], "below": "main",
        "fascia_height_mm": 2050, "pitch_deg": 8, "edges": ACROSS,
    }  # fmt: skip
    assert made(house("outline"), 1, "porch", 2000, **sizes) == {
        "name": "porch", "outline": [[2000, -1000], [4000, -1000], [4000, 500], [2000, 500]],
        "fascia_height_mm": 2050, "pitch_deg": 8, "edges": ACROSS,
    }  # fmt: skip


def test_what_a_form_asks_begins_with() -> None:
    """Under the eave at 8 degrees from so far out less the 600 of overhang, 100 below it: 2400 - 1800 x 0.140541 - 100 =
    2047.0, written 2040, and 2400 - 600 x 0.140541 - 100 = 2215.7; without a wall line from the whole width: 1962.7 and
    2131.4. An edge over 600 wide enough out begins at it; a gable end at a man's height."""

    def begun(form: str, tree: dict[str, Any], edge: int) -> float:
        return {size.key: size for size in FORMS[form].sizes}["fascia_mm"].begins(host_of(tree, 0, edge))

    assert [begun(form, house(), 1) for form in ("verandah", "lean-to", "porch")] == [2040, 2040, 2210]
    assert [begun(form, house("outline"), 1) for form in ("verandah", "lean-to", "porch")] == [1960, 1960, 2130]
    assert begun("porch", house(edges={1: {"eave_overhang_mm": 1300}}), 1) == 2300
    assert begun("verandah", house(edges={1: {"kind": "gable"}}), 1) == 2100


def test_a_wing_of_another_pitch_runs_in_to_where_its_ridge_meets_the_slope() -> None:
    """Half of 4000 at 40 degrees against 25: 2000 * 0.839100 / 0.466308 = 3598.9, and 400: 3998.9 from the outline, which
    lies 600 out: 3398.9 in, written 3400. Out 600 + 2500 from the wall at y = 500."""
    assert made(house(), 1, "wing", 5000, width_mm=4000, out_mm=2500, pitch_deg=40) == {
        "name": "wing", "outline": [[4000, -2600], [8000, -2600], [8000, 3900], [4000, 3900]],
        "fascia_height_mm": 2400, "pitch_deg": 40, "edges": ACROSS,
    }  # fmt: skip


def test_a_dormer_stands_on_the_slope() -> None:
    """Front 1200 in from the outline: 600 in from the wall. Its fascia: 2400 + 1200 * 0.466308 + 600 = 3559.6, written
    3550. It meets the slope 1200 + 600 / 0.466308 + 900 + 400 = 3786.7 from the outline: 3186.7 in, written 3190."""
    assert made(house(), 1, "dormer", 5000, width_mm=1800, back_mm=1200, high_mm=600) == {
        "name": "dormer", "outline": [[5100, 1100], [6900, 1100], [6900, 3690], [5100, 3690]],
        "fascia_height_mm": 3550, "pitch_deg": 25, "edges": ACROSS,
    }  # fmt: skip


def test_a_roof_may_end_at_the_other_side_and_not_beyond() -> None:
    """Equal pitches: in by half the width + 400 - 600 of the wall, and 8000 deep: 16400 wide ends at the far wall."""
    assert made(house(), 1, "wing", None, width_mm=16400, out_mm=100, pitch_deg=25)["outline"][2] == [15200, 8500]
    for name, sizes in (
        ("wing", {"width_mm": 16402, "out_mm": 100, "pitch_deg": 25}),
        ("dormer", {"width_mm": 12000, "back_mm": 2000, "high_mm": 600}),
    ):
        with pytest.raises(UsageError) as told:
            made(house(), 1, name, None, **sizes)
        assert told.value.faults == (
            "it would run out at the other side of the roof: make it narrower, lower or flatter.",
        )


@pytest.mark.parametrize("name", ["wing", "dormer"])
def test_what_runs_into_the_slope_stands_at_an_eave(name: str) -> None:
    with pytest.raises(UsageError) as told:
        made(house(edges=ACROSS), 1, name, None, width_mm=2000, out_mm=1, pitch_deg=25, back_mm=1200, high_mm=600)
    assert told.value.faults == ("this form runs into the slope of a roof: touch one of its eaves.",)


def test_sizes_are_held_to_what_they_can_be_and_their_limits_are_taken() -> None:
    sizes = {"out_mm": 1e5, "fascia_mm": 0.5, "pitch_deg": 85.0}
    assert made(house(), 1, "verandah", **sizes)["pitch_deg"] == 85
    assert made(house(), 1, "verandah", **sizes | {"pitch_deg": 1.0})["pitch_deg"] == 1
    for wrong, words in (
        ({"out_mm": 0.0}, "Width, from the wall out: type a length over 0, as 2400 or 2.4 m."),
        ({"out_mm": 100001.0}, "Width, from the wall out: type a length over 0, as 2400 or 2.4 m."),
        ({"pitch_deg": 0.5}, "Pitch: type 1 to 85 degrees."),
        ({"pitch_deg": 85.5}, "Pitch: type 1 to 85 degrees."),
    ):
        with pytest.raises(UsageError) as told:
            made(house(), 1, "verandah", **sizes | wrong)
        assert told.value.faults == (words,)


def begins(host: Host) -> dict[str, list[float]]:
    return {form.name: [size.begins(host) for size in form.sizes] for form in roof_forms.ROOF_FORMS}


def test_the_sizes_that_forms_begin_with() -> None:
    """At the eave of a wall line: 2400 - (2400 - 600) * 0.140541 - 100 = 2047.03, written 2040; 2400 - 600 * 0.140541 - 100
    = 2215.7, written 2210. At 60 % of a 4990 wall: 2994, written 2990; the lean-to 3600 at most. At a gable: 2100."""
    assert begins(host_of(house(), 0, 1)) == {
        "verandah": [2400, 2040, 8], "lean-to": [3600, 2400, 2040], "porch": [2400, 1800, 2210],
        "wing": [4200, 3000, 25], "dormer": [1800, 1200, 600],
    }  # fmt: skip
    short = house(wall_line=[[0, 0], [4990, 0], [4990, 3300], [0, 3300]], edges={2: {"kind": "gable"}})
    assert begins(host_of(short, 0, 1))["wing"][0] == 2990
    gable = begins(host_of(short, 0, 2))
    assert (gable["verandah"][1], gable["lean-to"][0], gable["porch"][2]) == (2100, 3300, 2100)
    # over an outline nothing is hidden: 2400 - 2400 * 0.140541 - 100 = 1962.7
    assert begins(host_of(house("outline"), 0, 1))["verandah"][1] == 1960
    wide = house()
    wide["roofs"][0]["eave_overhang_mm"] = 1500  # the porch's 1200 lies under it: 2300
    assert begins(host_of(wide, 0, 1))["porch"][2] == 2300


def test_labels_units_and_which_go_along_the_whole_edge() -> None:
    assert [
        (form.name, form.whole_edge, [(size.key, size.label, size.unit) for size in form.sizes])
        for form in roof_forms.ROOF_FORMS
    ] == [
        ("verandah", True, [("out_mm", "Width, from the wall out", "mm"), ("fascia_mm", "Fascia height", "mm"), ("pitch_deg", "Pitch", "deg")]),
        ("lean-to", False, [("width_mm", "Length along the wall", "mm"), ("out_mm", "Width, from the wall out", "mm"), ("fascia_mm", "Fascia height", "mm")]),
        ("porch", False, [("width_mm", "Width over its fascias", "mm"), ("out_mm", "Out from the wall", "mm"), ("fascia_mm", "Fascia height", "mm")]),
        ("wing", False, [("width_mm", "Width over its fascias", "mm"), ("out_mm", "Out from the eave", "mm"), ("pitch_deg", "Pitch", "deg")]),
        ("dormer", False, [("width_mm", "Width over its fascias", "mm"), ("back_mm", "Front back from the eave, in plan", "mm"), ("high_mm", "Front over the roof", "mm")]),
    ]  # fmt: skip


# ---- how an edge rises

EDGE, ROOF = ("roofs", 0, "edges", 2), ("roofs", 0)


def edged(**said: Any) -> dict[str, Any]:
    return {"roofs": [{"edges": {2: said} if said else {}}]}


def test_the_form_that_an_edge_has() -> None:
    for key in ("half_hip_from_mm", "gablet_from_mm", "mansard", "gambrel", "sprocket", "rise"):
        assert rise_of(edged(**{key: 1}), EDGE) == key
    assert [rise_of(tree, EDGE) for tree in ({}, edged(), edged(pitch_deg=20), {"roofs": [{"edges": {2: "odd"}}]})] == [
        ""
    ] * 4


def test_a_roof_as_a_whole_has_no_half_hip_nor_gablet() -> None:
    assert forms_of(EDGE) == RISE_FORMS
    assert [form.key for form in forms_of(ROOF)] == ["", "mansard", "gambrel", "sprocket"]


@pytest.mark.parametrize(
    ("tree", "at", "key", "edits"),
    [
        (edged(), EDGE, "gablet_from_mm", [Edit((*EDGE, "gablet_from_mm"), 1800)]),
        (
            edged(kind="gable", pitch_deg=30), EDGE, "mansard",
            [
                Edit((*EDGE, "pitch_deg"), GONE), Edit((*EDGE, "kind"), GONE),
                Edit((*EDGE, "mansard"), {"lower_pitch_deg": 65, "to_mm": 2400, "upper_pitch_deg": 20}),
            ],
        ),
        (edged(kind="gable"), EDGE, "half_hip_from_mm", [Edit((*EDGE, "half_hip_from_mm"), 1200)]),
        (
            edged(kind="eave"), EDGE, "half_hip_from_mm",
            [Edit((*EDGE, "kind"), GONE), Edit((*EDGE, "half_hip_from_mm"), 1200)],
        ),
        (
            edged(pitch_deg=30, sprocket={"pitch_deg": 12}), EDGE, "gambrel",
            [
                Edit((*EDGE, "sprocket"), GONE), Edit((*EDGE, "pitch_deg"), GONE),
                Edit((*EDGE, "gambrel"), {"lower_pitch_deg": 60, "to_mm": 2000, "upper_pitch_deg": 25}),
            ],
        ),
        (edged(pitch_deg=30, sprocket={"pitch_deg": 12}), EDGE, "sprocket", []),
        (edged(pitch_deg=30, sprocket={"pitch_deg": 12}), EDGE, "", [Edit((*EDGE, "sprocket"), GONE)]),
        (edged(gablet_from_mm=1500), EDGE, "", [Edit(("roofs", 0, "edges"), GONE)]),
        (
            {"roofs": [{"gambrel": {"upper_pitch_deg": 22}}]}, ROOF, "",
            [Edit((*ROOF, "gambrel"), GONE), Edit((*ROOF, "pitch_deg"), 22)],
        ),
        (
            {"roofs": [{"mansard": {"to_mm": 2000}}]}, ROOF, "sprocket",
            [Edit((*ROOF, "mansard"), GONE), Edit((*ROOF, "pitch_deg"), 25), Edit((*ROOF, "sprocket"), {"pitch_deg": 15, "to_mm": 300})],
        ),
        ({"roofs": [{"mansard": {}, "pitch_deg": 20}]}, ROOF, "", [Edit((*ROOF, "mansard"), GONE)]),
        (
            {"roofs": [{"mansard": {"upper_pitch_deg": 22}}]}, ROOF, "gambrel",
            [Edit((*ROOF, "mansard"), GONE), Edit((*ROOF, "gambrel"), {"lower_pitch_deg": 60, "to_mm": 2000, "upper_pitch_deg": 25})],
        ),
        (edged(mansard={"upper_pitch_deg": 22}, plane="x"), EDGE, "", [Edit((*EDGE, "mansard"), GONE)]),
    ],
)  # fmt: skip
def test_the_edits_of_a_form(tree: dict[str, Any], at: tuple[str | int, ...], key: str, edits: list[Edit]) -> None:
    assert list(rise_given(tree, at, RISES[key])) == edits


def test_the_sizes_of_a_form() -> None:
    tree = edged(mansard={"lower_pitch_deg": 65, "to_mm": 2400.5, "upper_pitch_deg": None, "own": 1})
    at = (*EDGE, "mansard")
    assert rise_entries(tree, EDGE) == (
        Entry((*at, "lower_pitch_deg"), "Pitch below", Typed.DEGREES, "65", "needed", (), "\N{DEGREE SIGN}"),
        Entry((*at, "to_mm"), "Up to, over the fascia", Typed.LENGTH, "2400.5", "needed", (), "mm"),
        Entry((*at, "upper_pitch_deg"), "Pitch above", Typed.DEGREES, "", "needed", (), "\N{DEGREE SIGN}"),
    )
    assert rise_entries(edged(half_hip_from_mm="odd"), EDGE) == (
        Entry((*EDGE, "half_hip_from_mm"), "Hipped from, over the fascia", Typed.LENGTH, "odd", "needed", (), "mm"),
    )
    assert rise_entries(edged(rise=[1]), EDGE) == ()
    assert rise_entries(edged(), EDGE) == ()


def test_pictures_stay_in_their_box_of_60_by_36() -> None:
    """A regression figure: the letters of a path are its moves; H and V say one figure, the others two."""
    import re

    for form in rise_forms.RISE_FORMS:
        for letter, figures in re.findall(r"([MLHV])([0-9 ]+)", form.picture):
            values = [int(figure) for figure in figures.split()]
            xs, ys = (values, []) if letter == "H" else ([], values) if letter == "V" else (values[::2], values[1::2])
            assert all(0 <= x <= 60 for x in xs)
            assert all(0 <= y <= 36 for y in ys)
