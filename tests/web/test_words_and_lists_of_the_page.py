"""Fields, lists and cards of the page as records, each compared whole; figures by hand."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import GONE, Edit
from takeoff.web import plan_entries, tank_edits, touches
from takeoff.web.plan_entries import Entry, Typed
from takeoff.web.text_lines import (
    DiffLine,
    SaidOfLine,
    changed_lines,
    counted,
    plain_ends,
    said_of_line,
    with_ends_of,
)
from takeoff.web.touches import Card, Term

DEG = "\N{DEGREE SIGN}"


def refused(do: Callable[[], object]) -> tuple[str, ...]:
    with pytest.raises(UsageError) as told:
        do()
    return tuple(map(str, told.value.faults))


# ---- what can be typed of the plan

KINDS = (("eave", "eave"), ("gable", "gable"), ("wall", "against a wall"))
TREE: dict[str, Any] = {
    "job": "Store",
    "north_deg": 12.5,
    "roofs": [
        {"name": "main", "wall_line": [[0, 0], [9000, 0], [9000, 6000]], "pitch_deg": 25, "eave_overhang_mm": 600,
         "edges": {2: {"kind": "gable", "fascia_height_mm": 2700}, 3: {"kind": "wall"}}, "covering": {"profile": "tray"}},
        {"outline": [[0, 0], [9000, 0], [9000, 6000]], "below": "main"},
        "odd",
    ],
    "walls": {"roof": "main", "storeys": [{"roof": "main"}, "odd", {"roof": "shed"}]},
}  # fmt: skip


def test_the_fields_of_an_edge() -> None:
    at = ("roofs", 0, "edges")
    assert plan_entries.edge_entries(TREE, 0, 1) == (
        Entry((*at, 1, "kind"), "Kind", Typed.CHOICE, "", "eave", KINDS),
        Entry((*at, 1, "pitch_deg"), "Pitch", Typed.DEGREES, "", "25, as the roof", (), DEG),
        Entry((*at, 1, "fascia_height_mm"), "Fascia height", Typed.HEIGHT, "", "none", (), "mm"),
        Entry((*at, 1, "eave_overhang_mm"), "Overhang", Typed.LENGTH, "", "600, as the roof", (), "mm"),
        Entry(
            (*at, 1, "start_side"),
            "Sheets start at",
            Typed.CHOICE,
            "",
            "chosen by rule",
            (("left", "left"), ("right", "right")),
        ),
    )
    assert plan_entries.edge_entries(TREE, 0, 2) == (
        Entry((*at, 2, "kind"), "Kind", Typed.CHOICE, "gable", "eave", KINDS),
        Entry((*at, 2, "fascia_height_mm"), "Fascia height", Typed.HEIGHT, "2700", "none", (), "mm"),
        Entry((*at, 2, "verge_overhang_mm"), "Overhang", Typed.LENGTH, "", "0", (), "mm"),
    )
    assert [one.label for one in plan_entries.edge_entries(TREE, 0, 3)] == ["Kind", "Fascia height"]
    assert [one.label for one in plan_entries.edge_entries(TREE, 1, 1)] == [
        "Kind",
        "Pitch",
        "Fascia height",
        "Sheets start at",
    ]


def test_the_fields_of_a_roof() -> None:
    at, cover = ("roofs", 0), ("roofs", 0, "covering")
    others = (("main", "main"), ("main", "main"))
    bearings = tuple(
        (word, word)
        for word in ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
    )
    assert plan_entries.roof_entries(TREE, 0, ("tray", "own_tray")) == (
        Entry((*at, "name"), "Name", Typed.WORDS, "main", "main"),
        Entry((*at, "pitch_deg"), "Pitch", Typed.DEGREES, "25", "none: each eave needs its own", (), DEG),
        Entry((*at, "fascia_height_mm"), "Fascia height", Typed.HEIGHT, "", "none: each edge needs its own", (), "mm"),
        Entry((*at, "eave_overhang_mm"), "Overhang at eaves", Typed.LENGTH, "600", "0", (), "mm"),
        Entry((*at, "verge_overhang_mm"), "Overhang at gables", Typed.LENGTH, "", "0", (), "mm"),
        Entry((*at, "below"), "Cut at the wall of", Typed.CHOICE, "", "no other roof", others),
        Entry((*cover, "profile"), "Sheet profile", Typed.CHOICE, "tray", "corrugated", (("tray", "tray"), ("own_tray", "own tray"))),
        Entry((*cover, "bmt_mm"), "Metal thickness", Typed.FIGURE, "", "as the profile has it", (), "mm"),
        Entry((*cover, "colour"), "Colour", Typed.WORDS, "", "none said"),
        Entry((*cover, "lay_from"), "Lay from", Typed.CHOICE, "", "not said", bearings),
    )  # fmt: skip
    second = {one.label: one.otherwise for one in plan_entries.roof_entries(TREE, 1, ())}
    assert second["Sheet profile"] == "tray"
    assert not {"Overhang at eaves", "Overhang at gables"} & set(second)
    alone = {"roofs": [{"mesh": {"file": "a.obj"}, "pitch_deg": 20}]}
    assert [one.label for one in plan_entries.roof_entries(alone, 0, ())] == [
        "Name", "Pitch", "Overhang at eaves", "Overhang at gables", "Sheet profile", "Metal thickness", "Colour", "Lay from",
    ]  # fmt: skip


def test_the_fields_of_the_house() -> None:
    assert plan_entries.house_entries(TREE, ("low", "very_high"), "low") == (
        Entry(("job",), "Name of the job", Typed.WORDS, "Store", "needed on every paper"),
        Entry(("north_deg",), "Plan up points to", Typed.DEGREES, "12.5", "0: north", (), DEG),
        Entry(("site", "wind_zone"), "Wind zone", Typed.CHOICE, "", "low, with a warning", (("low", "low"), ("very_high", "very high"))),
        Entry(("site", "rain_mm_per_h"), "Rain for gutters", Typed.FIGURE, "", "the code's own", (), "mm/h"),
        Entry(("site", "rain_mm_per_year"), "Rain of a year", Typed.FIGURE, "", "not said", (), "mm"),
        Entry(("site", "longest_piece_mm"), "Longest piece to the site", Typed.LENGTH, "", "no limit", (), "mm"),
    )  # fmt: skip


def test_a_roof_called_otherwise_is_so_wherever_it_is_named() -> None:
    assert plan_entries.renamed(TREE, 0, "hall") == (
        Edit(("roofs", 0, "name"), "hall"), Edit(("roofs", 1, "below"), "hall"), Edit(("walls", "roof"), "hall"),
        Edit(("walls", "storeys", 0, "roof"), "hall"),
    )  # fmt: skip
    shed = Entry(("roofs", 1, "name"), "Name", Typed.WORDS, "")
    assert plan_entries.entered({"roofs": [{"name": "main"}, {"name": "old"}]}, shed, " shed ") == (
        Edit(("roofs", 1, "name"), "shed"),
    )
    assert refused(lambda: plan_entries.renamed(TREE, 0, "")) == ("a roof needs a name: type one.",)
    assert refused(lambda: plan_entries.renamed(TREE, 1, "main")) == (
        "another roof is called main: type another name.",
    )


def test_an_edge_that_becomes_upright_loses_what_an_eave_says() -> None:
    edge = ("roofs", 0, "edges", 1)
    tree = {"roofs": [{"edges": {1: {"pitch_deg": 30, "start_side": "left", "sprocket": {}, "fascia_height_mm": 1}}}]}
    kind = Entry((*edge, "kind"), "Kind", Typed.CHOICE, "", "", KINDS)
    for word in ("gable", "wall"):
        assert plan_entries.entered(tree, kind, word) == (
            Edit((*edge, "pitch_deg"), GONE), Edit((*edge, "start_side"), GONE), Edit((*edge, "sprocket"), GONE),
            Edit((*edge, "kind"), word),
        )  # fmt: skip
    assert plan_entries.entered(tree, kind, "eave") == (Edit((*edge, "kind"), "eave"),)
    assert refused(lambda: plan_entries.entered(tree, kind, "hip")) == (
        "Kind: choose one of eave, gable, against a wall.",
    )


@pytest.mark.parametrize(
    ("typed", "text", "value"),
    [
        (Typed.LENGTH, "6.2", 6200), (Typed.HEIGHT, "-450.5", -450.5), (Typed.DEGREES, "22,5", 22.5), (Typed.FIGURE, "0,55", 0.55),
        (Typed.FIGURE, "-999999999", -999999999), (Typed.WORDS, " grey ", "grey"), (Typed.WORDS, " ", GONE),
    ],
)  # fmt: skip
def test_how_an_entry_is_read(typed: Typed, text: str, value: object) -> None:
    assert plan_entries.read_entry(Entry(("a",), "Rain", typed, ""), text) == value


@pytest.mark.parametrize("text", ["thin", "1e9", "-1e9", "nan"])
def test_what_is_no_figure(text: str) -> None:
    assert refused(lambda: plan_entries.read_entry(Entry(("a",), "Rain", Typed.FIGURE, ""), text)) == (
        f'Rain: "{text}" is no figure: type one, as 110 or 0.55.',
    )


@pytest.mark.parametrize(
    ("tree", "path", "out"),
    [
        ({"site": {"a": 1}}, ("site", "a"), ("site",)), ({"site": {"a": 1, "b": 2}}, ("site", "a"), ("site", "a")),
        ({"walls": {"a": 1}}, ("walls", "a"), ("walls", "a")), ({"a": 1}, ("a",), ("a",)),
        ({"roofs": [{"edges": {1: {"a": 1}}}]}, ("roofs", 0, "edges", 1, "a"), ("roofs", 0, "edges")),
        ({"roofs": [{"edges": {1: {"a": 1}, 2: {}}}]}, ("roofs", 0, "edges", 1, "a"), ("roofs", 0, "edges", 1)),
        ({"roofs": [{"covering": {"a": 1}}]}, ("roofs", 0, "covering", "a"), ("roofs", 0, "covering")),
    ],
)  # fmt: skip
def test_a_section_goes_with_the_last_that_it_says(tree: Any, path: tuple[Any, ...], out: tuple[Any, ...]) -> None:
    assert plan_entries.set_or_out(tree, path, GONE) == Edit(out, GONE)
    assert plan_entries.set_or_out(tree, path, 7) == Edit(path, 7)


# ---- tanks


@pytest.mark.parametrize(
    ("text", "value"), [("25 000", 25000), ("12,5", 12.5), ("0", 0), ("100000000", 1e8), ("1234567890123", None), ("100000001", None), ("-1", None), ("", None)]
)  # fmt: skip
def test_figures_of_a_tank(text: str, value: float | None) -> None:
    if value is None:
        assert refused(lambda: tank_edits.figure(text, "litres")) == (
            f'litres: "{text}" is no such figure; type a number, as 180.',
        )
    else:
        assert tank_edits.figure(text, "litres") == value


def test_what_is_done_to_tanks() -> None:
    tree: dict[str, Any] = {"tanks": [{"name": "tank"}, "odd", {"name": "tank 2"}], "rain": {"file": "a.csv"}}
    assert tank_edits.tanks_of(tree) == [{"name": "tank"}, {}, {"name": "tank 2"}]
    assert tank_edits.tank_added(tree, "25 000") == Edit(("tanks", 3), {"name": "tank 3", "volume_l": 25000})
    assert tank_edits.tank_added({}, "500.5") == Edit(("tanks", 0), {"name": "tank", "volume_l": 500.5})
    assert tank_edits.tank_added({"tanks": [{}]}, "1") == Edit(("tanks", 1), {"name": "tank 2", "volume_l": 1})
    for key, text, value in (
        ("dead_l", "300", 300), ("start_l", "", GONE), ("inlet_mm", "-1.2 m", -1200), ("pipes", "DP1, DP2", ["DP1", "DP2"]),
        ("name", " north ", "north"),
    ):  # fmt: skip
        assert tank_edits.tank_set(tree, 2, key, text) == Edit(("tanks", 2, key), value)
    assert tank_edits.tank_out(tree, 2) == Edit(("tanks", 2), GONE)
    assert tank_edits.tank_out({"tanks": [{}]}, 0) == Edit(("tanks",), GONE)
    gone = ("that tank is not in the job any more.",)
    for do in (
        lambda: tank_edits.tank_set(tree, 3, "name", "x"),
        lambda: tank_edits.tank_out(tree, -1),
        lambda: tank_edits.tank_out(tree, 3),
    ):
        assert refused(do) == gone
    assert refused(lambda: tank_edits.tank_set(tree, 0, "volume_l", " ")) == (
        "a tank holds something: type its litres.",
    )


def test_use_and_rain() -> None:
    assert tank_edits.use_set("people", "4") == Edit(("water_use", "people"), 4)
    assert tank_edits.use_set("litres_a_day", "") == Edit(("water_use", "litres_a_day"), GONE)
    assert refused(lambda: tank_edits.use_set("litres_a_day", "much")) == (
        'litres a day: "much" is no such figure; type a number, as 180.',
    )
    months = "80;75 90, 100 110 120 125 115 100 95 85 80,5"
    means = [80, 75, 90, 100, 110, 120, 125, 115, 100, 95, 85, 80.5]
    assert tank_edits.months_set({"rain": {"file": "a.csv"}}, months) == (
        Edit(("rain", "file"), GONE), Edit(("rain", "monthly_mm"), means),
    )  # fmt: skip
    assert tank_edits.months_set({}, ",".join("1" * 12)) == (Edit(("rain", "monthly_mm"), [1] * 12),)
    assert tank_edits.months_set({}, " ") == (Edit(("rain", "monthly_mm"), GONE),)
    for count in (11, 13):
        assert refused(lambda count=count: tank_edits.months_set({}, " ".join("1" * count))) == (
            f"rain of the months: {count} figures; type twelve, January to December.",
        )
    assert tank_edits.rain_named({"rain": {"monthly_mm": []}}, "r.csv") == (
        Edit(("rain", "monthly_mm"), GONE), Edit(("rain", "file"), "r.csv"),
    )  # fmt: skip
    assert tank_edits.rain_named({}, "r.csv") == (Edit(("rain", "file"), "r.csv"),)
    assert tank_edits.new_roof_set("yes") == Edit(("rain", "new_roof"), True)
    assert tank_edits.new_roof_set("") == Edit(("rain", "new_roof"), GONE)


# ---- lines of the job file


def test_what_is_said_of_a_line() -> None:
    assert said_of_line("job.yaml:12:5: no such word") == SaidOfLine(12, "no such word")
    assert said_of_line("no place: at all") == SaidOfLine(0, "no place: at all")
    assert said_of_line("note: text", "job.yaml:3:1") == SaidOfLine(3, "note: text")
    assert said_of_line("job.yaml:12:5: x", "the catalogue") == SaidOfLine(0, "job.yaml:12:5: x")
    assert counted([SaidOfLine(3, ""), SaidOfLine(0, ""), SaidOfLine(3, ""), SaidOfLine(1, "")]) == {3: 2, 1: 1}


def test_what_changed_with_one_line_around() -> None:
    before, now = "a\nb\nc\nd\ne\nf", "a\nb\nX\nY\nd\ne\ng"
    assert changed_lines(before, now) == (
        DiffLine(" ", 2, "b"), DiffLine("-", 3, "c"), DiffLine("+", 3, "X"), DiffLine("+", 4, "Y"), DiffLine(" ", 5, "d"),
        DiffLine(" ", 6, "e"), DiffLine("-", 6, "f"), DiffLine("+", 7, "g"),
    )  # fmt: skip
    assert changed_lines(before, now, around=0) == (
        DiffLine("-", 3, "c"), DiffLine("+", 3, "X"), DiffLine("+", 4, "Y"), DiffLine("-", 6, "f"), DiffLine("+", 7, "g"),
    )  # fmt: skip
    assert changed_lines("a\r\nb", "a\nb") == ()


def test_texts_too_long_to_compare() -> None:
    lines = [str(number) for number in range(4001)]
    long, most = "\n".join(lines), "\n".join(lines[1:])
    assert changed_lines(long, long) == ()
    assert changed_lines(long, long + "x") == (DiffLine(" ", 0, "more lines than are compared here"),)
    assert changed_lines(most, f"x{most}") == (DiffLine("-", 1, "1"), DiffLine("+", 1, "x1"), DiffLine(" ", 2, "2"))


def test_line_ends_are_kept_line_by_line() -> None:
    assert plain_ends("a\r\nb\rc\n") == "a\nb\nc\n"
    assert with_ends_of("a\nb\n", "x\ny\n") == "a\nb\n"
    assert with_ends_of("a\nb\n", "no end") == "a\nb\n"
    assert with_ends_of("a\nnew\nb", "a\r\nb") == "a\r\nnew\r\nb"
    mixed = "a\nb\r\nc\r\nd"
    assert with_ends_of("a\nb\nnew\nc\nd\ne", mixed) == "a\nb\r\nnew\r\nc\r\nd\r\ne"


# ---- what is touched

PARTS = [
    {"m": "P1", "k": "plane", "o": "P1", "f": ["10.0 m2", "25 degrees"]},
    {"m": "P1.01", "k": "sheet", "o": "P1", "f": ["4 m"], "w": 0},
    {"m": "E3", "k": "odd", "o": "R9", "f": []},
    {"m": "G1", "k": "gutter", "o": "G1", "f": []},
    {"m": "G1", "k": "gutter", "o": "G1", "f": []},
]
LINES = [
    {
        "i": "L1",
        "t": "Sheet",
        "c": "2",
        "s": "8.00 m",
        "kg": "20 kg",
        "d": "roof",
        "n": "cut",
        "w": "grey",
        "r": ["P1.01", "P1"],
    },
    {"i": "L2", "t": "Screw", "c": "1 box", "d": "roof", "r": []},
    {"i": "L3", "t": "Gutter", "c": "2", "s": "", "d": "rain", "r": ["G1", "none"]},
]
DATA = {
    "parts": PARTS, "lines": LINES, "names": {"P1": [0], "P1.01": [1], "E3": [2], "G1": [3, 4]},
    "words": {"plane": "roof plane", "sheet": "sheet", "gutter": "gutter"}, "bases": ["common practice"],
    "workings": [["length = rafter + overhang", [["rafter", "3.9 m", -1], ["overhang", "50 mm", 0]]]],
}  # fmt: skip


def test_parts_and_lines_of_marks() -> None:
    assert touches.places_of(DATA, ("L1", "P1", "none", "G1")) == (1, 0, 3, 4)
    assert [line["i"] for line in touches.lines_at(DATA, (0, 4))] == ["L1", "L3"]
    assert touches.lines_at(DATA, ()) == ()
    assert touches.line_of(DATA, "L4") is None
    assert touches.lit_marks(DATA, ("P1",)) == ("P1", "L1")
    assert touches.lit_marks(DATA, ("L1",)) == ("L1", "P1.01", "P1")
    assert touches.lit_marks(DATA, ("L3",)) == ("L3", "G1")
    assert touches.lit_marks(DATA, ()) == ()
    assert touches.lit_marks(None, ("P1",)) == ("P1",)


def test_cards() -> None:
    assert touches.card_of(DATA, ()) is None
    assert touches.card_of(None, ("P1",)) == Card("P1")
    assert touches.card_of(DATA, ("P9",)) == Card(
        "P9", ("It has no part of its own in the house as it was last worked out.",)
    )
    assert touches.card_of(DATA, ("P1",)) == Card(
        "P1, roof plane", ("10.0 m2", "25 degrees"), "", (("L1", "L1, Sheet, 2, 8.00 m"),)
    )
    assert touches.card_of(DATA, ("P1.01",)) == Card(
        "P1.01, sheet", ("4 m",), "P1", (("L1", "L1, Sheet, 2, 8.00 m"),), rule="length = rafter + overhang",
        terms=(Term("rafter 3.9 m", "measured on the shape"), Term("overhang 50 mm", "common practice")),
    )  # fmt: skip
    assert touches.card_of(DATA, ("E3",)) == Card("E3, odd")
    assert touches.card_of(DATA, ("G1",)) == Card("G1: 2 parts", (), "", (("L3", "L3, Gutter, 2"),), ("G1",))
    assert touches.card_of(DATA, ("P1", "E3", "G1", "P1.01")) == Card(
        "P1, E3, G1: 5 parts", (), "", (("L1", "L1, Sheet, 2, 8.00 m"), ("L3", "L3, Gutter, 2")), ("P1", "E3", "G1", "P1.01")
    )  # fmt: skip


def test_cards_of_order_lines() -> None:
    assert touches.card_of(DATA, ("L1",)) == Card(
        "L1, Sheet", ("2 = 8.00 m", "20 kg", "delivered with roof", "cut", "grey"), marks=("P1.01", "P1")
    )
    assert touches.card_of(DATA, ("L2",)) == Card(
        "L2, Screw", ("1 box", "delivered with roof", "For the whole house, no place of its own.")
    )


def test_of_many_places_sixty_are_shown() -> None:
    for count, more in ((60, 0), (61, 1), (75, 15)):
        parts = [{"m": f"S{n}", "k": "sheet", "o": "", "f": []} for n in range(count)]
        names = {f"S{n}": [n] for n in range(count)} | {"all": list(range(count))}
        line = {"i": "L1", "t": "Sheet", "c": "9", "d": "roof", "r": ["all"]}
        data = DATA | {"parts": parts, "names": names, "lines": [line]}
        for mark in ("L1", "all"):
            card = touches.card_of(data, (mark,))
            assert card is not None
            assert (len(card.marks), card.more) == (min(count, 60), more)
