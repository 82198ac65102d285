"""Rules between the keys of a job, one by one: every fault whole, with its place, and what is no fault."""

from __future__ import annotations

from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import CoveringJob, PenetrationJob, RoofJob, RooflightSheetJob
from takeoff.model.office import Office
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.coverings import with_coverings
from takeoff.read.job.job_bounds import bound_faults
from takeoff.read.job.metre_faults import metre_faults
from takeoff.read.job.opening_references import opening_faults
from takeoff.read.job.ordering_references import delivery_faults, ordering_faults
from takeoff.read.job.pack_references import pack_faults
from takeoff.read.job.setting_clashes import clash_faults


def roof(**given: Any) -> RoofJob:
    return RoofJob.model_validate({"name": "main", **given})


def hole(**given: Any) -> PenetrationJob:
    return PenetrationJob.model_validate({"at": (1.0, 2.0), **given})


@pytest.mark.parametrize(
    ("given", "at", "said"),
    [
        ({"kind": "pipe", "diameter_mm": 5}, None, ""),
        ({"kind": "flue", "width_mm": 5, "length_mm": 6}, None, ""),
        ({"kind": "rooflight", "width_mm": 5, "length_mm": 6}, None, ""),
        ({"kind": "pipe"}, (), "needs diameter_mm, or width_mm and length_mm"),
        ({"kind": "flue", "width_mm": 5}, (), "needs diameter_mm, or width_mm and length_mm"),
        ({"kind": "rooflight", "length_mm": 5}, (), "needs width_mm and length_mm"),
        ({"kind": "rooflight", "diameter_mm": 5}, ("diameter_mm",), "a rooflight has width_mm and length_mm, not a diameter"),
        ({"kind": "roof_window", "diameter_mm": 5, "width_mm": 9}, ("diameter_mm",),
         "a roof window has width_mm and length_mm, not a diameter"),
        ({"kind": "pipe", "diameter_mm": 5, "width_mm": 9, "length_mm": 9}, ("width_mm",),
         "give diameter_mm, or width_mm and length_mm, not both"),
        ({"kind": "flue", "diameter_mm": 5, "length_mm": 9}, ("length_mm",),
         "give diameter_mm, or width_mm and length_mm, not both"),
    ],
)  # fmt: skip
def test_the_sizes_of_a_hole(given: dict[str, Any], at: tuple[str, ...] | None, said: str) -> None:
    sound = hole(kind="pipe", diameter_mm=9)
    found = opening_faults(roof().model_copy(update={"penetrations": [sound, hole(**given)]}), 4, ("roofs", 1))
    assert found == ([] if at is None else [(("roofs", 1, "penetrations", 1, *at), said)])


def test_names_of_holes_and_clear_sheets_are_each_given_once() -> None:
    names = [None, "a", "b", None, "a", "c", "b", "a"]
    holes = [hole(kind="pipe", diameter_mm=9, name=name) for name in names]
    lights = [RooflightSheetJob(edge=1, from_left_mm=9, name=name) for name in ("b", None, "a", "b")]
    one = roof().model_copy(update={"penetrations": holes, "rooflight_sheets": lights})
    assert opening_faults(one, 4, ("roofs", 1)) == [
        *((("roofs", 1, "penetrations", i, "name"), f"two are named {name}") for i, name in ((4, "a"), (6, "b"), (7, "a"))),
        (("roofs", 1, "rooflight_sheets", 3, "name"), "two are named b"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("number", "edges", "said"),
    [
        (4, 4, ""),
        (5, 4, "there is no edge 5; the outline has edges 1 to 4"),
        (1, None, "a mesh has no numbered outline edges"),
        (2, 4, "edge 2 is a gable: clear sheets are measured from an eave"),
        (3, 4, "edge 3 is a wall: clear sheets are measured from an eave"),
        (1, 4, ""),
    ],
)
def test_the_edge_that_clear_sheets_are_measured_from(number: int, edges: int | None, said: str) -> None:
    lights = [
        RooflightSheetJob(edge=1 if edges else number, from_left_mm=9),
        RooflightSheetJob(edge=number, from_left_mm=9),
    ]
    kinds = {1: EdgeJob(kind="eave"), 2: EdgeJob(kind="gable"), 3: EdgeJob(kind="wall")}
    one = roof(edges=kinds).model_copy(update={"rooflight_sheets": lights})
    found = opening_faults(one, edges, ("roofs", 0))
    places = ([0] if edges is None else []) + [1]
    assert found == [(("roofs", 0, "rooflight_sheets", i, "edge"), said) for i in places if said]


def test_deliveries_that_do_not_exist() -> None:
    known = "; known: flashings, purlins, rainwater, roof sheets, underlay, walls"
    assert delivery_faults(("a", "b"), ("walls", "wals", "zzzz", "flashings")) == [
        (("a", "b", "wals"), "unknown delivery wals; did you mean walls?"),
        (("a", "b", "zzzz"), f"unknown delivery zzzz{known}"),
    ]
    job = Job.model_validate(
        {
            "job": "x",
            "count": 2,
            "ordering": {"wanted_by": {"aa": date(2026, 3, 2)}, "order_numbers": {"bb": "7"}},
            "rates": {"extra_percent": {"cc": 5}},
        }
    )
    given = ordering_faults(job.model_copy(update={"on_hand": [object()]}))
    text = "lies on one site, and the order is for several houses; take off the house where it lies by itself"
    assert [at for at, _ in given] == [
        ("rates", "extra_percent", "cc"), ("ordering", "wanted_by", "aa"), ("on_hand",), ("ordering", "order_numbers", "bb"),
    ]  # fmt: skip
    assert given[2][1] == text
    assert [at for at, _ in ordering_faults(job)] == [given[0][0], given[1][0], given[3][0]]
    one = job.model_copy(update={"count": 1, "rates": None, "on_hand": [object()]})
    assert [at for at, _ in ordering_faults(one)] == [given[1][0], given[3][0]]


def packs(*zones: dict[str, Any], random: bool = False, office: Office | None = None) -> list[Any]:
    settings = {"board_supply": "random"} if random else {}
    return pack_faults(Job.model_validate({"job": "x", "walls": {"zones": list(zones)}, "settings": settings}), office)


def test_packs_of_boards() -> None:
    board = {"board": "bevel_187"}
    fixed = "is for random lengths (board_supply: random); boards of fixed lengths have pack_pieces"
    assert packs() == []
    assert packs(board, {**board, "pack_pieces": 6}) == []
    assert packs({**board, "pack_m2": 2.5}) == [(("walls", "zones", 0, "pack_m2"), fixed)]
    assert packs({**board, "pack_m2": 2.5}, random=True) == []
    assert packs(board, {**board, "pack_pieces": 6}, random=True) == [
        (
            ("walls", "zones", 1, "pack_pieces"),
            "is for boards of fixed lengths; random ones (board_supply) have pack_m2",
        )
    ]
    assert packs({**board, "pack_pieces": 6, "pack_m2": 2.5}) == [
        (("walls", "zones", 0, "pack_pieces"), "give the pieces of a pack or what it covers, not both")
    ]
    assert packs({"direction": "none", "pack_m2": 2.5}) == [
        (("walls", "zones", 0, "pack_m2"), "is for boards; a zone of direction none has none")
    ]
    other = {"board": "bevel_142"}
    assert packs({**other, "pack_pieces": 4}, board, {**board, "pack_pieces": 6}, {**board, "pack_pieces": 6},
                 {**board, "pack_pieces": 5}, {**board, "pack_pieces": 6}) == [
        (("walls", "zones", 4, "pack_pieces"), "is 5, but zone 3 has 6 of the same board"),
        (("walls", "zones", 5, "pack_pieces"), "is 6, but zone 5 has 5 of the same board"),
    ]  # fmt: skip
    assert pack_faults(Job(job="x")) == []


def test_what_lies_on_a_roof_that_does_not_say_so() -> None:
    """The verandah takes the wing's, the wing the house's but what it says, the shed (below nothing) the house's."""

    def covered(name: str, below: str | None = None, **said: Any) -> RoofJob:
        return RoofJob.model_validate({"name": name, "covering": said} | ({"below": below} if below else {}))

    job = Job(job="x").model_copy(
        update={
            "roofs": [
                covered("house", profile="tray", bmt_mm=0.55, colour="grey", lay_from="west", first_cover_mm=300.0),
                covered("verandah", "wing", colour="red"),
                covered("wing", "house", profile="ribbed"),
                covered("porch", "wing", profile="tray"),
                covered("lean", "house", profile="tray"),
                covered("shed"),
                covered("ring", "turn", colour="blue"),
                covered("turn", "ring"),
                covered("own", bmt_mm=0.4),
            ]
        }
    )
    found = {one.name: one.covering for one in with_coverings(job).roofs}

    def plain(**given: Any) -> CoveringJob:
        return CoveringJob.model_validate({"colour": "grey", "lay_from": "west", **given})

    assert found["house"] == job.roofs[0].covering
    assert found["wing"] == plain(profile="ribbed")
    assert found["verandah"] == plain(profile="ribbed", colour="red")
    assert found["porch"] == plain(profile="tray")  # the wing's thickness, which has none
    assert found["lean"] == found["shed"] == plain(profile="tray", bmt_mm=0.55)
    assert found["turn"] == job.roofs[7].covering  # in a ring nothing lies above
    assert found["ring"] == CoveringJob(colour="blue")
    assert found["own"] == plain(profile="tray", bmt_mm=0.4)


CATALOGUE = load_catalogue()


def clashes(settings: dict[str, Any], office: Office | None = None, **keys: Any) -> list[Any]:
    return clash_faults(Job.model_validate({"job": "x", "settings": settings, **keys}), CATALOGUE, office)


@pytest.mark.parametrize(
    ("low", "high"),
    [
        ("fascia_board_shortest_mm", "fascia_board_longest_mm"), ("metal_fascia_shortest_mm", "metal_fascia_longest_mm"),
        ("long_run_mm", "long_run_most_mm"), ("ordinary_truck_mm", "special_truck_mm"),
        ("least_lap_bevel_mm", "most_lap_bevel_mm"), ("boot_alone_most_mm", "boot_most_mm"),
    ],
)  # fmt: skip
def test_a_least_is_no_more_than_its_most(low: str, high: str) -> None:
    assert clashes({low: 77.0, high: 77.0}) == []
    text = f"{low} 77.5 mm is more than {high} 77 mm; lower the one or raise the other"
    assert clashes({low: 77.5, high: 77.0}) == [(("settings", low), text)]


def test_where_only_the_greater_is_the_jobs_it_is_told_there() -> None:
    ((at, _),) = clashes({"boot_most_mm": 1.0})
    assert at == ("settings", "boot_most_mm")


@pytest.mark.parametrize(
    ("lap", "whole", "most", "part", "walls"),
    [
        ("safety_mesh_lap_mm", "safety_mesh_width_mm", 300.0, "half of ", False),
        ("flashing_lap_mm", "flashing_length_mm", 600.0, "", False),
        ("wall_flashing_lap_mm", "wall_flashing_stock_mm", 600.0, "", True),
    ],
)
def test_a_lap_is_less_than_what_it_laps(lap: str, whole: str, most: float, part: str, walls: bool) -> None:
    with_walls = {"walls": {"height_mm": 2400}} if walls else {}
    assert clashes({lap: most - 0.5, whole: 600.0}, **with_walls) == []
    text = f"{lap} {most:g} mm is no less than {part}{whole} 600 mm, which it laps"
    assert clashes({lap: most, whole: 600.0}, **with_walls) == [(("settings", lap), text)]
    if walls:
        assert clashes({lap: most, whole: 600.0}) == []


def test_laps_of_what_the_job_names_itself() -> None:
    site = {"site": {"longest_piece_mm": 200.0}}
    text = "flashing_lap_mm 200 mm is no less than longest_piece_mm 200 mm, which it laps"
    assert clashes({"flashing_lap_mm": 199.0}, **site) == []
    assert clashes({"flashing_lap_mm": 200.0}, **site) == [(("settings", "flashing_lap_mm"), text)]
    short = clashes({"flashing_lap_mm": 150.0, "flashing_length_mm": 1.0})
    assert [text for _, text in short] == [
        "flashing_lap_mm 150 mm is no less than flashing_length_mm 1 mm, which it laps"
    ]
    assert clashes({"flashing_length_mm": 0.0}) == []  # flashings of any length
    course = {"damp_course_lap_mm": 2000.0, "damp_course_roll_m": 2.0}
    text = "damp_course_lap_mm 2000 mm is no less than damp_course_roll_m 2000 mm, which it laps"
    walls = {"walls": {"height_mm": 2400}}
    assert clashes(course, **walls) == [(("settings", "damp_course_lap_mm"), text)]
    assert clashes(course) == []
    assert clashes({**course, "damp_course_lap_mm": 1999.0}, **walls) == []
    assert clashes({**course, "damp_course_roll_m": 0.0}, **walls) == []
    assert clashes({"damp_course_roll_m": 0.0001}, **walls)[0][0] == ("settings", "damp_course_roll_m")


def test_laps_of_the_roll_that_is_used() -> None:
    """The roll that the job names before that of the setting; a fault lies where the job says either."""
    names = sorted(CATALOGUE.rolls, key=lambda name: (CATALOGUE.rolls[name].width_mm, name))
    narrow, wide = names[0], names[-1]
    least = CATALOGUE.rolls[narrow].width_mm
    assert least < CATALOGUE.rolls[wide].width_mm
    for key, lap, keys, place in (
        ("underlay_roll", "underlay_lap_mm", {"underlay": {"roll": narrow}}, ("underlay", "roll")),
        ("wall_wrap", "wrap_lap_level_mm", {"walls": {"height_mm": 2400, "wrap": narrow}}, ("walls", "wrap")),
    ):
        text = f"{lap} {least:g} mm is no less than the roll's {least:g} mm, which it laps"
        assert clashes({lap: least, key: wide}, **keys) == [(("settings", lap), text)]
        assert clashes({lap: least - 1.0, key: wide}, **keys) == []
        bare = {"walls": {"height_mm": 2400}} if "walls" in keys else {}
        assert clashes({lap: least, key: narrow}, **bare) == [(("settings", lap), text)]
        assert clashes({lap: least, key: wide}, **bare) == []
        office = Office.model_validate({"settings": {lap: least}})
        text = f"{lap} of the office file {least:g} mm is no less than the roll's {least:g} mm, which it laps"
        assert clashes({key: narrow}, office, **bare) == [((), text)]
        assert clashes({}, office, **keys) == [((), text)]
        assert place not in [at for at, _ in clashes({key: wide}, **keys)]


def test_studs_leave_room_between_them() -> None:
    walls = {"walls": {"height_mm": 2400}}
    own = {"walls": {"height_mm": 2400, "stud_mm": 150.0}}
    assert clashes({"stud_width_mm": 90.0, "stud_mm": 90.0}) == []
    assert clashes({"stud_width_mm": 89.5, "stud_mm": 90.0}, **walls) == []
    text = "stud_width_mm 90 mm leaves no room between studs at stud_mm 90 mm"
    assert clashes({"stud_width_mm": 90.0, "stud_mm": 90.0}, **walls) == [(("settings", "stud_width_mm"), text)]
    text = text.replace("90", "150")
    assert clashes({"stud_width_mm": 149.0, "stud_mm": 90.0}, **own) == []
    assert clashes({"stud_width_mm": 150.0, "stud_mm": 600.0}, **own) == [(("settings", "stud_width_mm"), text)]
    office = Office.model_validate({"settings": {"stud_width_mm": 150.0}})
    text = "stud_width_mm of the office file 150 mm leaves no room between studs at stud_mm 150 mm"
    assert clashes({}, office, **own) == [((), text)]


# ------------------------------------------------------------ how much one job may ask for


def drawn(name: str, across: float = 9000.0, key: str = "outline", turned: bool = False, **more: Any) -> RoofJob:
    ring = [(-400.0, 50.0), (across - 400.0, 50.0), (across - 400.0, 6000.0), (-400.0, 6000.0)]
    made = {"name": name, key: [(y, x) for x, y in ring] if turned else ring}
    return RoofJob.model_validate(made).model_copy(update=more)


def bounded(*roofs: RoofJob, **keys: Any) -> list[Any]:
    return bound_faults(Job(job="x").model_copy(update={"roofs": list(roofs), **keys}))


def test_what_no_job_asks_for_is_told_with_its_figure() -> None:
    """Corners of all roofs and courtyards, of a wall line where both are given; holes with clear sheets."""
    many = [(0.0, 0.0)] * 990
    court = [[(1.0, 1.0), (2.0, 1.0), (2.0, 2.0)]]
    assert bounded(drawn("a", wall_line=many), drawn("b", courtyards=[*court, court[0] + [(1.0, 2.0)][:0]])) == []
    assert bounded(drawn("a", wall_line=many), drawn("b", courtyards=court * 3), RoofJob(name="c")) == [
        (("roofs",), "1,003 corners of outlines, more than the 1,000 of one job; split it into several")
    ]
    hole, light = object(), object()
    two = (
        drawn("a", penetrations=[hole] * 250, rooflight_sheets=[light] * 50),
        drawn("b", rooflight_sheets=[light] * 200),
    )
    assert bounded(*two) == []
    assert bounded(two[0], two[1], drawn("c", penetrations=[hole])) == [
        (("roofs",), "501 holes and clear sheets, more than the 500 of one job; split it into several")
    ]


def test_what_no_wall_or_gutter_asks_for() -> None:
    wall = SimpleNamespace(width_mm=500_000.0)
    walls: Any = SimpleNamespace(openings=[0] * 500, elevations=[wall] * 500, zones=[0] * 200)
    pipes: Any = SimpleNamespace(downpipes_at=[0] * 500)
    assert bounded(walls=walls, rainwater=pipes) == []
    walls = SimpleNamespace(openings=[0] * 501, elevations=[wall] * 501, zones=[0] * 201)
    pipes = SimpleNamespace(downpipes_at=[0] * 501)
    text = "{} {}, more than the {} of one job; split it into several"
    assert bounded(walls=walls, rainwater=pipes) == [
        (("rainwater", "downpipes_at"), text.format(501, "downpipes", 500)),
        (("walls", "openings"), text.format(501, "openings", 500)),
        (("walls", "elevations"), text.format(501, "walls", 500)),
        (("walls", "zones"), text.format(201, "zones", 200)),
    ]


def test_what_no_house_is_across() -> None:
    """From -0.4 m: 500 m across is none too many, half a millimetre more is."""
    far = "is 500.1 m across, more than the 500 m of one job; is a figure mistyped?"
    assert bounded(drawn("a", 500_000.0), drawn("b", 500_000.0, "wall_line", True)) == []
    assert bounded(drawn("a"), drawn("b", 500_100.0), drawn("c", 500_100.0, "wall_line", True)) == [
        (("roofs", 1, "outline"), far), (("roofs", 2, "wall_line"), far),
    ]  # fmt: skip
    wide: Any = SimpleNamespace(
        openings=(), zones=(), elevations=[SimpleNamespace(width_mm=w) for w in (9.0, 500_100.0)]
    )
    assert bounded(walls=wide) == [(("walls", "elevations", 1, "width_mm"), far)]


def test_lengths_that_only_make_sense_in_metres() -> None:
    """A fascia or wall from 20 mm, an opening from 50 mm up is taken as it is; 0 is the floor itself."""
    edges = {2: EdgeJob(fascia_height_mm=19.9), 3: EdgeJob(fascia_height_mm=20.0), 4: EdgeJob()}
    roofs = [roof(fascia_height_mm=-2.4), roof(fascia_height_mm=0.0, edges=edges), roof(fascia_height_mm=20.0), roof()]
    walls: Any = SimpleNamespace(
        height_mm=2.4,
        elevations=[SimpleNamespace(height_mm=20.0), SimpleNamespace(height_mm=19.0)],
        openings=[SimpleNamespace(width_mm=50.0, height_mm=49.0), SimpleNamespace(width_mm=49.5, height_mm=50.0)],
    )
    job = Job(job="x").model_copy(update={"roofs": roofs, "walls": walls})
    told = [
        (("roofs", 0, "fascia_height_mm"), "-2.4"), (("roofs", 1, "edges", 2, "fascia_height_mm"), "19.9"), (("walls", "height_mm"), "2.4"),
        (("walls", "elevations", 1, "height_mm"), "19"), (("walls", "openings", 0, "height_mm"), "49"), (("walls", "openings", 1, "width_mm"), "49.5"),
    ]  # fmt: skip
    assert metre_faults(job) == [
        (at, f"is {mm} mm: lengths are millimetres, was this given in metres?") for at, mm in told
    ]
    assert metre_faults(Job(job="x")) == []
