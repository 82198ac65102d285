"""What the parts of a job say of each other: edges, roofs, walls, zones and products that there are not; every fault whole."""

from __future__ import annotations

import json
from typing import Any

import pytest

from takeoff.model.job.job import Job
from takeoff.model.office import Office
from takeoff.read.job import job_references
from takeoff.read.job.job_references import drawn_later, edge_count, reference_faults

RING = [[100, -50], [9100, -50], [9100, 5950], [100, 5950]]
COURT = [[3000, 2000], [4000, 2000], [4000, 3000]]


def roof(**more: Any) -> dict[str, Any]:
    made: dict[str, Any] = {"outline": RING, "pitch_deg": 25, "fascia_height_mm": 2400, **more}
    return {key: value for key, value in made.items() if value is not None}


def job(**more: Any) -> Job:
    made = {"job": "x", "roofs": [roof()], **more}
    return Job.model_validate_json(json.dumps({key: value for key, value in made.items() if value is not None}))


def faults(**more: Any) -> list[Any]:
    return reference_faults(job(**more))


def of_roof(**more: Any) -> list[Any]:
    """Faults of the second of two roofs, without their `roofs, 1`."""
    found = faults(roofs=[roof(), roof(**{"name": "low", **more})])
    assert all(at[:2] == ("roofs", 1) for at, _ in found)
    return [(at[2:], text) for at, text in found]


LINED = {"wall_line": RING, "outline": None}
PROFILES = "corrugated, corrugated_wide, trapezoidal_5_rib, tray_400"


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({}, []),
        ({"wall_line": RING}, [((), "needs one of wall_line, outline or shape, has wall_line and outline")]),
        ({"outline": None}, [((), "needs one of wall_line, outline or shape, has none"),]),
        ({"outline": None, "mesh": {"file": "a.obj"}, "shape": {"file": "a.obj"}, "pitch_deg": None},
         [((), "needs one of wall_line, outline or shape, has shape and mesh")]),
        ({"covering": {"profile": "zzzz"}}, [(("covering", "profile"), f"unknown profile zzzz; known: {PROFILES}")]),
        ({"covering": {"profile": "tray_40"}}, [(("covering", "profile"), "unknown profile tray_40; did you mean tray_400?")]),
        ({"below": "main"}, []),
        ({"below": "mian"}, [(("below",), "unknown roof mian; did you mean main?")]),
        ({"below": "low"}, [(("below",), "unknown roof low; known: main")]),
        ({"outline": [[0, 0], [499, 0], [499, 499.5], [0, 499.5]]},
         [(("outline",), "is 499.5 mm across: lengths are millimetres, was this drawn in metres?")]),
        ({"outline": [[-100, 0], [400, 0], [400, 9], [-100, 9]]}, []),
        ({"outline": None, "wall_line": [[0, 0], [12, 0], [12, 8], [0, 8]], "courtyards": [COURT]},
         [(("wall_line",), "is 12 mm across: lengths are millimetres, was this drawn in metres?")]),
        ({"outline": None, "mesh": {"file": "a.obj"}, "courtyards": [COURT], "pitch_deg": None},
         [(("courtyards",), "belong to an outline or a wall line, not to a shape from a file")]),
        ({"outline": None, "mesh": {"file": "a.obj"}, "edges": {"3": {"kind": "gable"}}, "pitch_deg": None},
         [(("edges", 3), "a mesh has no numbered outline edges")]),
        ({"outline": None, "shape": {"file": "a.dxf"}, "edges": {"33": {"kind": "gable"}}, "no_spouting_on": [77], "pitch_deg": None}, []),
        ({"edges": {"4": {"kind": "gable"}, "5": {"kind": "gable"}}}, [(("edges", 5), "there is no edge 5; the outline has edges 1 to 4")]),
        ({"edges": {"7": {"kind": "gable"}}, "courtyards": [COURT]}, []),
        ({"edges": {"8": {"kind": "gable"}}, "courtyards": [COURT]}, [(("edges", 8), "there is no edge 8; the outline has edges 1 to 7")]),
        ({"edges": {"1": {"kind": "gable", "pitch_deg": 30}}}, [(("edges", 1, "pitch_deg"), "a gable edge is upright and has no pitch")]),
        ({"edges": {"2": {"kind": "wall", "pitch_deg": 30}}}, [(("edges", 2, "pitch_deg"), "a wall edge is upright and has no pitch")]),
        ({"edges": {"2": {"kind": "gable", "pitch_deg": 30, "half_hip_from_mm": 900}}}, []),
        ({"edges": {"2": {"kind": "eave", "pitch_deg": 30}}}, []),
        ({"pitch_deg": None}, [((), "needs pitch_deg, or a pitch on each of its eaves: edges 1, 2, 3, 4 have none")]),
        ({"pitch_deg": None, "edges": {"1": {"pitch_deg": 9}, "2": {"kind": "gable"}, "4": {"kind": "wall"}}},
         [((), "needs pitch_deg, or a pitch on each of its eaves: edges 3 have none")]),
        ({"pitch_deg": None, "courtyards": [COURT], "edges": {str(n): {"kind": "gable"} for n in (1, 2, 3, 4, 5, 6)}},
         [((), "needs pitch_deg, or a pitch on each of its eaves: edges 7 have none")]),
        ({"no_spouting_on": [1, 4]}, []),
        ({"no_spouting_on": [1, 5, 9]}, [(("no_spouting_on",), f"there is no edge {n}; the outline of roof low has edges 1 to 4") for n in (5, 9)]),
        ({"name": "main"}, [(("name",), "two roofs are named main")]),
        ({"name": "main", "below": "main"}, [(("name",), "two roofs are named main")]),
        ({"edges": {"2": {"kind": "eave", "half_hip_from_mm": 900}}}, [(("edges", 2, "kind"), "a half hip starts as a gable, not as an eave; leave out kind")]),
        ({"mansard": {"lower_pitch_deg": 60, "to_mm": 900, "upper_pitch_deg": 20}},
         [(("pitch_deg",), "the mansard gives both pitches of every eave; give pitch_deg to single edges only")]),
        ({"penetrations": [{"kind": "pipe", "at": [1, 1]}]}, [(("penetrations", 0), "needs diameter_mm, or width_mm and length_mm")]),
        ({"rooflight_sheets": [{"edge": 5, "from_left_mm": 5}]},
         [(("rooflight_sheets", 0, "edge"), "there is no edge 5; the outline has edges 1 to 4")]),
    ],
)  # fmt: skip
def test_faults_of_a_roof(more: dict[str, Any], said: list[Any]) -> None:
    assert of_roof(**more) == said


def test_edges_without_spouting_belong_to_the_first_roof() -> None:
    large = roof(name="low", courtyards=[COURT])
    none_on = {"none_on": [4, 5, 7]}
    text = "there is no edge {}; the outline of roof main has edges 1 to 4"
    assert faults(roofs=[roof(), large], rainwater=none_on) == [
        (("rainwater", "none_on"), text.format(n)) for n in (5, 7)
    ]
    assert faults(roofs=[large, roof()], rainwater=none_on) == []
    model = roof(outline=None, mesh={"file": "a.obj"}, pitch_deg=None)
    assert faults(roofs=[model], rainwater=none_on) == []


def test_a_job_of_nothing_and_one_of_walls_alone() -> None:
    assert faults(roofs=[]) == [((), "nothing to take off: give roofs, walls or both")]
    assert faults(roofs=[], walls={"elevations": [{"name": "a", "width_mm": 4000, "height_mm": 2400}]}) == []


def test_edges_of_an_outline_are_counted_with_those_of_its_courtyards() -> None:
    def one(**more: Any) -> Any:
        return job(roofs=[roof(**more)]).roofs[0]

    assert edge_count(one()) == 4
    assert edge_count(one(**LINED, courtyards=[COURT, RING])) == 4 + 3 + 4
    model, drawing = (one(outline=None, shape={"file": name}) for name in ("a.obj", "a.dxf"))
    assert (edge_count(model), edge_count(drawing)) == (None, None)
    assert [drawn_later(each) for each in (one(), model, drawing)] == [False, False, True]


def test_products_that_there_are_not() -> None:
    assert faults(rainwater={"gutter": "quad_12"}) == [
        (("rainwater", "gutter"), "unknown gutter quad_12; did you mean quad_125?")
    ]
    assert faults(rainwater={"downpipe": "round_81"}) == [
        (("rainwater", "downpipe"), "unknown downpipe round_81; did you mean round_80?")
    ]
    rolls = "roof_underlay_1250, roof_underlay_1350, roof_underlay_1370"
    assert faults(underlay={"roll": "wall_wrap_2740"}) == [
        (("underlay", "roll"), f"unknown underlay wall_wrap_2740; known: {rolls}")
    ]
    walls = {"height_mm": 2400, "wrap": "zzzz"}
    assert faults(roofs=[roof(**LINED)], walls=walls) == [
        (("walls", "wrap"), "unknown wrap zzzz; known: wall_wrap_1370, wall_wrap_2740")
    ]
    assert (
        faults(rainwater={"gutter": "quad_125", "downpipe": "round_80"}, underlay={"roll": "roof_underlay_1350"}) == []
    )
    assert job_references._unknown("thing", "a", []) == "unknown thing a; there is no other"


def test_flashings_and_the_edges_they_serve() -> None:
    assert faults(flashings={"ridge": "ridge", "apron_side": "kerb", "pitch_change": "pitch_change"}) == []
    (found,) = faults(flashings={"ridges": "ridge"})
    assert found == (("flashings", "ridges", "<key>"), "unknown edge kind ridges; did you mean ridge?")
    (found,) = faults(flashings={"apron_side": "apron_head"})
    assert found[0] == ("flashings", "apron_side")
    assert found[1].startswith("unknown apron side flashing apron_head; did you mean apron_side?")
    (found,) = faults(flashings={"ridge": "hip"})
    assert found == (("flashings", "ridge"), "unknown ridge flashing hip; known: ridge")


def own(cover: float, overall: float) -> dict[str, Any]:
    return {
        "kind": "trapezoidal",
        "cover_mm": cover,
        "overall_mm": overall,
        "rib_pitch_mm": 200,
        "depth_mm": 30,
        "least_pitch_deg": 3,
    }


def test_own_profiles_are_no_wider_in_cover_than_overall() -> None:
    text = "799.5 is less than cover_mm 800; overall is the whole width of a sheet, laps included"
    assert faults(profiles={"a": own(800, 800), "b": own(800, 799.5)}) == [(("profiles", "b", "overall_mm"), text)]
    assert faults(profiles={"mine": own(700, 800)}, roofs=[roof(covering={"profile": "mine"})]) == []
    office = Office.model_validate_json(json.dumps({"profiles": {"theirs": {**own(700, 800), "basis": "mill list"}}}))
    asked = job(
        roofs=[roof(covering={"profile": "theirs"}, **LINED)],
        walls={"height_mm": 2400, "zones": [{"direction": "sheets", "profile": "theirs"}]},
    )
    assert reference_faults(asked, office) == []
    assert [at for at, _ in reference_faults(asked)] == [
        ("roofs", 0, "covering", "profile"),
        ("walls", "zones", 0, "profile"),
    ]


def test_settings_of_the_office_that_the_jobs_code_does_not_take() -> None:
    office = Office.model_validate_json(json.dumps({"settings": {"stud_mm": 1e9, "hip_trim_mm": 1e9}}))
    found = reference_faults(job(code="nz", settings={"hip_trim_mm": 10.0}), office)
    assert [(at, text.partition(": ")[0]) for at, text in found] == [((), "the office file's settings.stud_mm")]
    assert reference_faults(job(settings={"hip_trim_mm": 10.0}), office) == []


# ------------------------------------------------------------ walls


def of_walls(roofs: list[dict[str, Any]] | None = None, **walls: Any) -> list[Any]:
    """Faults of the walls of a job with a roof on a wall line of four, without their `walls`."""
    given = {"height_mm": 2400, **walls}
    found = faults(
        roofs=[roof(**LINED)] if roofs is None else roofs,
        walls={key: value for key, value in given.items() if value is not None},
    )
    assert all(at[0] == "walls" for at, _ in found)
    return [(at[1:], text) for at, text in found]


LOW = roof(name="low", **{**LINED, "courtyards": [COURT]})
WALL = {"name": "a", "width_mm": 4000, "height_mm": 2400}
NEITHER = "stand on the wall_line of a roof, or are given as elevations; there is neither"
PANE = {"from_left_mm": 100, "sill_mm": 900, "width_mm": 600, "height_mm": 600}


def panes(*walls: int) -> list[dict[str, Any]]:
    return [{"wall": wall, **PANE} for wall in walls]


@pytest.mark.parametrize(
    ("roofs", "walls", "said"),
    [
        (None, {}, []),
        (None, {"roof": "mian"}, [(("roof",), "unknown roof mian; did you mean main?")]),
        (None, {"roof": "main"}, []),
        ([roof()], {}, [((), NEITHER)]),
        ([roof(), LOW], {"roof": "main"}, [((), NEITHER)]),
        ([roof(outline=None, shape={"file": "a.dxf"}, pitch_deg=None)], {"openings": panes(99)}, []),
        ([roof(outline=None, shape={"file": "a.obj"}, pitch_deg=None)], {"openings": panes(99)}, []),
        ([roof(outline=None, shape={"file": "a.obj"}, pitch_deg=None)], {"zones": [{"board": "bevel_187", "walls": [501]}]},
         [(("zones", 0, "walls"), "there is no wall 501; walls go from 1 to 500")]),
        ([roof(outline=None, shape={"file": "a.obj"}, pitch_deg=None), LOW], {"openings": panes(8)},
         [(("openings", 0, "wall"), "there is no wall 8; walls go from 1 to 7")]),
        (None, {"height_mm": None}, [((), "needs height_mm, floor to the soffit line or plate")]),
        (None, {"height_mm": None, "storeys": [{"roof": "main", "floor_mm": 0, "height_mm": 2400}]}, []),
        ([roof(**LINED), LOW], {"height_mm": None, "storeys": [{"roof": "main", "floor_mm": 0, "height_mm": 2400}]},
         [((), "needs height_mm, floor to the soffit line or plate")]),
        (None, {"height_mm": None, "storeys": [{"roof": "mian", "floor_mm": 0, "height_mm": 2400}]},
         [(("storeys", 0, "roof"), "unknown roof mian; did you mean main?")]),
        (None, {"openings": panes(1, 4, 5)}, [(("openings", 2, "wall"), "there is no wall 5; walls go from 1 to 4")]),
        ([roof(**LINED), LOW], {"openings": panes(11, 12)}, [(("openings", 1, "wall"), "there is no wall 12; walls go from 1 to 11")]),
        ([roof(**LINED), LOW], {"roof": "low", "openings": panes(7, 8)}, [(("openings", 1, "wall"), "there is no wall 8; walls go from 1 to 7")]),
        # walls by themselves alone, or beside those of a roof where a height is given
        (None, {"height_mm": None, "elevations": [WALL, WALL], "openings": panes(2, 3)},
         [(("openings", 1, "wall"), "there is no wall 3; walls go from 1 to 2")]),
        (None, {"elevations": [WALL, WALL], "openings": panes(6, 7)}, [(("openings", 1, "wall"), "there is no wall 7; walls go from 1 to 6")]),
        ([roof()], {"elevations": [WALL], "openings": panes(1, 2)}, [(("openings", 1, "wall"), "there is no wall 2; walls go from 1 to 1")]),
        (None, {"height_mm": None, "elevations": [WALL], "storeys": [{"roof": "main", "floor_mm": 0, "height_mm": 2400}], "openings": panes(5, 6)},
         [(("openings", 1, "wall"), "there is no wall 6; walls go from 1 to 5")]),
        ([], {"drawn_elevations": [{"file": "w.dxf", "layer": "N"}], "openings": panes(99)}, []),
        (None, {"ground_by_wall": {"0": [0, 0], "1": [0, 0], "4": [0, 0], "5": [0, 0]}},
         [(("ground_by_wall", n), f"there is no wall {n}; walls go from 1 to 4") for n in (0, 5)]),
        (None, {"on_concrete": [4, 5, 4, 1]},
         [(("on_concrete", 1), "there is no wall 5; walls go from 1 to 4"), (("on_concrete", 2), "wall 4 is named twice")]),
        (None, {"zones": [{"board": "bevel_187", "walls": [1, 2]}, {"board": "bevel_142", "walls": [2, 3, 5]}]},
         [(("zones", 1, "walls"), "wall 2 is already clad by zone 1"), (("zones", 1, "walls"), "there is no wall 5; walls go from 1 to 4")]),
        (None, {"zones": [{"board": "bevel_187"}, {"board": "bevel_142", "walls": [2]}, {"board": "bevel_142"}, {"board": "bevel_187"}]},
         [(("zones", n), f"zones 1 and {n + 1} both take the walls no other names") for n in (2, 3)]),
        (None, {"zones": [{"board": "bevel_18"}]}, [(("zones", 0, "board"), "unknown board bevel_18; did you mean bevel_187?")]),
        (None, {"zones": [{"board": "shiplap_vertical"}]},
         [(("zones", 0, "board"), "shiplap_vertical is laid vertical, not horizontal")]),
        (None, {"zones": [{"board": "shiplap_vertical", "direction": "vertical"}]}, []),
        (None, {"zones": [{"board": {"width_mm": 150, "cover_mm": 120}}]}, []),
        (None, {"zones": [{"direction": "sheets", "profile": "tray_40"}]}, [(("zones", 0, "profile"), "unknown profile tray_40; did you mean tray_400?")]),
        (None, {"zones": [{"board": "bevel_187", "walls": [1], "from_mm": 0, "to_mm": 900}, {"board": "bevel_142", "walls": [1]}, {"board": "bevel_142", "walls": [1]}]},
         [(("zones", 2, "walls"), "wall 1 is already clad by zone 2")]),
    ],
)  # fmt: skip
def test_faults_of_walls(roofs: list[dict[str, Any]] | None, walls: dict[str, Any], said: list[Any]) -> None:
    assert of_walls(roofs, **walls) == said


def test_what_is_too_much_is_told_alone_and_clashes_last() -> None:
    wide = roof(outline=[[0, 0], [999_999, 0], [999_999, 8000], [0, 8000]], covering={"profile": "zzzz"})
    assert [text.partition(" m across")[0] for _, text in faults(roofs=[wide])] == ["is 1,000.0"]
    clash = {"settings": {"underlay_lap_mm": 1400}}
    assert [at for at, _ in faults(**clash)] == [("settings", "underlay_lap_mm")]
    assert [at for at, _ in faults(**clash, roofs=[roof(below="x")])] == [("roofs", 0, "below")]
    packs = {"height_mm": 2400, "zones": [{"board": "bevel_187", "pack_m2": 2.5}]}
    assert [at for at, _ in faults(**clash, roofs=[roof(**LINED)], walls=packs)] == [
        ("settings", "underlay_lap_mm"), ("walls", "zones", 0, "pack_m2"),
    ]  # fmt: skip
