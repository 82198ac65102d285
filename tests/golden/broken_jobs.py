"""Jobs that are broken on purpose, for the record of what is said of them: one that has every part of the schema, a sound
one, and what is put into it so that its keys clash."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

_RING = [[0, 0], [9130, 0], [9130, 6270], [0, 6270]]

# fits the schema, and says nothing that could be taken off
WHOLE: Mapping[str, Any] = {
    "job": "Every key",
    "site": {"wind_zone": "high"},
    "roofs": [
        {
            "name": "main",
            "wall_line": _RING,
            "mansard": {"lower_pitch_deg": 61, "to_mm": 1700, "upper_pitch_deg": 19},
            "gambrel": {"lower_pitch_deg": 59, "to_mm": 1300, "upper_pitch_deg": 23},
            "sprocket": {"pitch_deg": 14, "to_mm": 310},
            "edges": {"1": {"rise": [{"up_to_mm": 900, "pitch_deg": 31}, {"flat": True}]}},
            "covering": {"profile": "corrugated"},
            "penetrations": [{"kind": "pipe", "at": [2310, 1970], "diameter_mm": 110}],
            "rooflight_sheets": [{"edge": 1, "from_left_mm": 2700}],
        },
        {"name": "drawn", "shape": {"file": "house.obj"}},
    ],
    "purlins": {"section": "70x45"},
    "underlay": {"direction": "vertical"},
    "rainwater": {"gutter": "quad_125"},
    "tanks": [{"volume_l": 9100}],
    "water_use": {"people": 3},
    "rain": {"new_roof": True},
    "walls": {
        "height_mm": 2430,
        "elevations": [{"name": "east", "width_mm": 5210, "height_mm": 2390}],
        "drawn_elevations": [{"file": "walls.dxf", "layer": "WEST"}],
        "storeys": [{"roof": "main", "floor_mm": 0, "height_mm": 2410}],
        "zones": [{"board": {"width_mm": 187, "cover_mm": 151}}],
        "openings": [{"wall": 1, "from_left_mm": 710, "sill_mm": 890, "width_mm": 1190, "height_mm": 970}],
        "grounds": [{"wall": 1, "level_mm": -170, "kind": "deck"}],
    },
    "profiles": {
        "rib": {
            "kind": "trapezoidal", "cover_mm": 713, "overall_mm": 757, "rib_pitch_mm": 139, "depth_mm": 27,
            "least_pitch_deg": 3.5,
        }
    },
    "on_hand": [{"item": "purlin_70x45", "length_mm": 3900}],
    "rates": {"currency": "crowns"},
    "ordering": {"deliver_to": {"address": ["second gate"]}},
    "truck": {"payload_kg": 2300, "deck_mm": 5100},
}  # fmt: skip

SOUND: Mapping[str, Any] = {
    "job": "Two roofs",
    "site": {"wind_zone": "high"},
    "roofs": [
        {
            "name": "main", "wall_line": _RING, "eave_overhang_mm": 430, "verge_overhang_mm": 290,
            "fascia_height_mm": 2470, "pitch_deg": 27, "edges": {2: {"kind": "gable"}},
        },
        {
            "name": "porch", "outline": [[1900, -1730], [4300, -1730], [4300, 0], [1900, 0]], "below": "main",
            "fascia_height_mm": 2110, "pitch_deg": 11, "edges": {2: {"kind": "gable"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}},
        },
    ],
    "walls": {"height_mm": 2390, "zones": [{"board": "bevel_187"}]},
}  # fmt: skip


def _main(**changes: Any) -> dict[str, Any]:
    """The sound job's first roof, changed; its porch left out."""
    first = {**SOUND["roofs"][0], **changes}
    return {"roofs": [{key: value for key, value in first.items() if value is not None}]}


def _edge(number: int, **said: Any) -> dict[str, Any]:
    return _main(edges={number: said})


_STEEP = {"lower_pitch_deg": 17, "to_mm": 900, "upper_pitch_deg": 43}
_HOLE = {"kind": "pipe", "at": [3100, 1900]}
_OPENING = {"wall": 1, "from_left_mm": 610, "sill_mm": 830, "width_mm": 1130, "height_mm": 970}

# keys that are right by themselves; None takes a key out
CLASHES: Mapping[str, Mapping[str, Any]] = {
    "nothing to take off": {"roofs": [], "walls": None},
    "two roofs of one name": {"roofs": [SOUND["roofs"][0], {**SOUND["roofs"][1], "name": "main"}]},
    "a roof without shape": _main(wall_line=None),
    "a roof of two shapes": _main(outline=_RING),
    "a roof from a file with courtyards and a rise": {
        "walls": None,
        "roofs": [{"mesh": {"file": "a.obj"}, "courtyards": [_RING], "flat_top_at_mm": 900, "edges": {1: {"kind": "gable"}},
                   "sprocket": {"pitch_deg": 9, "to_mm": 300}, "rooflight_sheets": [{"edge": 1, "from_left_mm": 700}]}],
    },
    "drawn in metres": _main(wall_line=[[0, 0], [9.13, 0], [9.13, 6.27], [0, 6.27]]),
    "heights in metres": {
        **_main(fascia_height_mm=2.4, edges={3: {"fascia_height_mm": 2.7}}),
        "walls": {"height_mm": 2.4, "openings": [{**_OPENING, "width_mm": 1.2, "height_mm": 1.1}]},
    },
    "elevations in metres": {"roofs": [], "walls": {"height_mm": None, "elevations": [{"name": "a", "width_mm": 4100, "height_mm": 2.4}]}},
    "profiles that are none": _main(covering={"profile": "corugated"}),
    "below itself": _main(below="main"),
    "below a roof that is none": _main(below="mian"),
    "edges that are none": _main(edges={5: {"kind": "gable"}, 0: {"pitch_deg": 12}}, no_spouting_on=[7]),
    "spouting on edges that are none": {"rainwater": {"none_on": [9]}},
    "a gable with a pitch": _edge(2, kind="gable", pitch_deg=21),
    "a wall with a pitch": _edge(2, kind="wall", pitch_deg=21),
    "eaves without pitch": _main(pitch_deg=None, edges={3: {"pitch_deg": 19}}),
    "two ways to rise": _edge(1, half_hip_from_mm=700, gablet_from_mm=900),
    "a half hip on an eave": _edge(1, kind="eave", half_hip_from_mm=700),
    "a gablet on a gable": _edge(1, kind="gable", gablet_from_mm=700),
    "a mansard on a gable": _edge(1, kind="gable", mansard={"lower_pitch_deg": 61, "to_mm": 700, "upper_pitch_deg": 17}),
    "a mansard that is flatter below": _edge(1, mansard=_STEEP, pitch_deg=21),
    "a gambrel that is flatter below": _edge(1, gambrel=_STEEP),
    "a sprocket that is steeper": _edge(1, sprocket={"pitch_deg": 33, "to_mm": 210}),
    "a sprocket of all eaves that is as steep": _main(sprocket={"pitch_deg": 27, "to_mm": 210}),
    "a roof with two ways to rise": _main(mansard=_STEEP, gambrel=_STEEP),
    "a mansard and a pitch": _main(mansard={"lower_pitch_deg": 61, "to_mm": 700, "upper_pitch_deg": 17}),
    "a rise on a gable": _edge(1, kind="gable", rise=[{"pitch_deg": 21}]),
    "a rise and a pitch": _edge(1, pitch_deg=17, rise=[{"pitch_deg": 21}]),
    "steps of no kind": _edge(1, rise=[{"up_to_mm": 300}, {"pitch_deg": 21, "flat": True}]),
    "steps that fall": _edge(1, rise=[{"up_to_mm": 700, "pitch_deg": 17}, {"up_to_mm": 700, "pitch_deg": 19}, {"pitch_deg": 21}]),
    "steps without an end, flat in the middle": _edge(1, rise=[{"flat": True}, {"pitch_deg": 19, "up_to_mm": 300}]),
    "two flat tops": _main(flat_top_at_mm=900, edges={1: {"rise": [{"up_to_mm": 300, "pitch_deg": 17}, {"flat": True}]}}),
    "holes without sizes": _main(penetrations=[_HOLE, {**_HOLE, "kind": "roof_window", "width_mm": 510}]),
    "holes of two sizes": _main(penetrations=[{**_HOLE, "diameter_mm": 90, "width_mm": 70}, {**_HOLE, "kind": "rooflight", "diameter_mm": 90}]),
    "two holes of one name": _main(penetrations=[{**_HOLE, "diameter_mm": 90, "name": "flue"}, {**_HOLE, "diameter_mm": 70, "name": "flue"}]),
    "clear sheets on edges that are none": _main(rooflight_sheets=[{"edge": 9, "from_left_mm": 0}, {"edge": 2, "from_left_mm": 0}]),
    "two clear sheets of one name": _main(rooflight_sheets=[{"edge": 1, "from_left_mm": 0, "name": "a"}, {"edge": 3, "from_left_mm": 0, "name": "a"}]),
    "products that are none": {
        "rainwater": {"gutter": "quad_124", "downpipe": "round80"}, "underlay": {"roll": "wall_wrap_2740"},
        "walls": {"wrap": "roof_underlay_1350"},
    },
    "flashings of other kinds": {"flashings": {"ridge": "valley", "apron_heads": "apron_head", "hip": "hipp"}},
    "an own profile wider in cover": {
        "profiles": {"rib": {**WHOLE["profiles"]["rib"], "overall_mm": 690}}, **_main(covering={"profile": "rib"}),
    },
    "walls of a roof that is none": {"walls": {"roof": "shed"}},
    "walls without a height": {"walls": {"height_mm": None}},
    "walls without a wall line": {**_main(wall_line=None, outline=_RING)},
    "walls that are none": {
        "walls": {"openings": [{**_OPENING, "wall": 9}], "ground_by_wall": {7: [-210, -310]}, "on_concrete": [1, 1, 8],
                  "zones": [{"board": "bevel_187"}, {"board": "bevel_187", "walls": [2, 2, 9]}]},
    },
    "a storey of a roof that is none": {"walls": {"storeys": [{"roof": "mian", "floor_mm": 0, "height_mm": 2400}]}},
    "zones that clash": {
        "walls": {"zones": [{"board": "bevel_187"}, {"board": "bevel_142"}, {"walls": [1], "board": "bevel_124"},
                            {"walls": [2], "direction": "vertical", "board": "bevel_187"},
                            {"walls": [3], "direction": "sheets", "profile": "trapezodal"}]},
    },
    "packs that clash": {
        "walls": {"zones": [{"board": "bevel_187", "pack_pieces": 5, "pack_m2": 3.1}, {"walls": [1], "direction": "sheets", "profile": "corrugated", "pack_pieces": 4},
                            {"walls": [2], "board": "bevel_142", "pack_m2": 2.7}, {"walls": [3], "board": "bevel_140_old", "pack_pieces": 4},
                            {"walls": [4], "board": "bevel_140_old", "pack_pieces": 7}]},
    },
    "packs of random lengths": {"settings": {"board_supply": "random"}, "walls": {"zones": [{"board": "bevel_187", "pack_pieces": 5}]}},
    "settings: least above most": {
        "settings": {"fascia_board_shortest_mm": 6100, "long_run_mm": 70000, "ordinary_truck_mm": 26000, "boot_most_mm": 140,
                     "metal_fascia_longest_mm": 2900, "most_lap_bevel_mm": 31, "stud_width_mm": 300},
        "walls": {"stud_mm": 290},
    },
    "settings: laps wider than what they lap": {
        "settings": {"safety_mesh_lap_mm": 900, "flashing_lap_mm": 900, "flashing_length_mm": 900, "underlay_lap_mm": 1350,
                     "wrap_lap_level_mm": 1370, "wall_flashing_lap_mm": 300, "wall_flashing_stock_mm": 300, "damp_course_roll_m": 0.1},
        "site": {"longest_piece_mm": 900}, "underlay": {"roll": "roof_underlay_1250"}, "walls": {"wrap": "wall_wrap_1370"},
    },
    "deliveries that are none": {
        "rates": {"extra_percent": {"purlin": 5}}, "ordering": {"wanted_by": {"sheets": "2026-03-04"}, "order_numbers": {"gutters": "4"}},
    },
    "lengths on hand for several houses": {"count": 3, "on_hand": [{"item": "purlin_70x45", "length_mm": 3900}]},
    "pipes led twice": {
        "tanks": [{"volume_l": 9100, "pipes": ["DP1", "DP1"]}, {"volume_l": 4100, "pipes": ["DP1"]}, {"volume_l": 4700, "name": "low"}],
    },
    "tanks of no room": {"tanks": [{"volume_l": 900, "dead_l": 410, "reserve_l": 490, "start_l": 910}]},
    "use said twice": {"water_use": {"by_month": [90] * 12, "people": 3, "litres_a_day": 110, "by_use": {"garden": 31}}},
    "rain said twice": {"rain": {"file": "../rain.csv", "monthly_mm": [71] * 12}},
    "a code that is none": {"code": "zn"},
    "a wind zone of another code": {"code": "au", "site": {"wind_zone": "high"}},
    "a wind zone that is none": {"site": {"wind_zone": "hihg"}},
    "settings of another code": {"code": "au", "site": {"wind_zone": "N2"}, "settings": {"purlin_fixing_900_900": "B C C C D", "lay_from": "up"}},
    "too large": _main(wall_line=[[0, 0], [501_000, 0], [501_000, 6270], [0, 6270]]),
    "too many corners": _main(wall_line=[[31 * k, 17 * (k % 2)] for k in range(1001)] + [[31_000, 9000], [0, 9100]]),
    "too many storeys and openings": {"walls": {"openings": [_OPENING] * 501}},
}  # fmt: skip

# a job's text that is no job
TEXTS: Mapping[str, str] = {
    "no text": "",
    "a list": "- job: a\n",
    "a word": "house\n",
    "a bracket left open": "job: a\nroofs: [{pitch_deg: 21\n",
    "a tab": "job: a\nroofs:\n\t- {pitch_deg: 21}\n",
    "a key twice": "job: a\njob: b\nroofs: []\n",
    "an anchor": "job: &a a\nrevision: *a\nroofs: []\n",
    "a mark that is none": "job: a\nrevision: *b\n",
    "a tag": "job: !thing a\n",
    "two documents": "job: a\n---\njob: b\n",
    "a list as a key": "job: a\n? [1, 2]\n: 3\n",
    "a colon too many": "job: a: b\n",
    "a quote left open": 'job: "a\n',
    "a comma for a point": 'job: a\nroofs: [{outline: [[0, 0], [9100, 0], [9100, 6200]], pitch_deg: "22,5"}]\n',
    "a unit behind a figure": "job: a\nroofs: [{outline: [[0, 0], [9100, 0], [9100, 6200]], pitch_deg: 22 deg, fascia_height_mm: 2.4 m}]\n",
    "a dash too few": "job: a\nroofs:\n  name: main\n  pitch_deg: 21\n",
    "a key where it does not belong": "job: a\npitch_deg: 21\nroofs: [{outline: [[0, 0], [9100, 0], [9100, 6200]], wind_zone: high}]\n",
    "a point of three figures": "job: a\nroofs: [{outline: [[0, 0, 0], [9100, 0], [9100]], pitch_deg: 21}]\n",
    "no number": "job: a\nroofs: [{outline: [[0, 0], [.nan, 0], [9100, .inf]], pitch_deg: 21}]\n",
    "sixty seconds": "job: a\nnorth_deg: 12:30\ndate: 2026-02-30\n",
    "a yes": "job: a\nrain: {new_roof: 'yes'}\nroofs: []\n",
    "an end on Windows": "job: a\r\nroofs: [{pitch: 21}]\r\n",
}  # fmt: skip
