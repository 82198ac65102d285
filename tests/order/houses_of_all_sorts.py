"""Houses of all sorts by number, as jobs: outlines square, stepped, ring-shaped and skew, one or several roofs, holes,
walls with openings, products and settings other than the usual. The same number gives the same house."""

from __future__ import annotations

import random
from typing import Any

PROFILES = ["corrugated", "corrugated", "corrugated_wide", "trapezoidal_5_rib"]
GUTTERS = ["quad_125", "box_150", "half_round_150", "pvc_125"]


def house(number: int) -> dict[str, Any]:
    """The job of the house of that number."""
    dice = random.Random(number)
    kind = number % 10
    roofs = {
        4: _ring,
        5: _with_verandah,
        6: _skew,
        7: _two_slopes,
        8: _single,
        9: _with_dormer,
    }.get(kind, _stepped)(dice)
    job: dict[str, Any] = {
        "job": f"House {number}",
        "north_deg": dice.choice([0.0, 0.0, 30.0, 211.5]),
        "site": {"wind_zone": "high", "rain_mm_per_h": 110.0, "longest_piece_mm": dice.choice([4200, 6000, 12000])},
        "roofs": roofs,
        "purlins": {"spacing_mm": dice.choice([600, 900, 900, 1200]), "supports_mm": dice.choice([600, 900])},
        "underlay": {"direction": dice.choice(["vertical", "vertical", "horizontal"])},
        "rainwater": {"gutter": dice.choice(GUTTERS), "downpipe": "round_80", "ground_mm": -300.0},
        "settings": _settings(dice),
    }
    if "wall_line" in roofs[0] and dice.random() < 0.5:
        job["walls"] = _walls(dice, roofs[0]["wall_line"])
    return job


def _settings(dice: random.Random) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, values in {
        "buy_raked_pairs": [True],
        "spare_sheets": [0, 3],
        "purlin_even_spacing": [True],
        "purlin_edge_bay_mm": [600],
        "purlin_close_row_mm": [100],
        "hip_trim_mm": [0, 60],
        "valley_gap_mm": [100],
        "raked_allowance_mm": [100],
        "raked_step_mm": [50],
        "count_by_overall": [False],
        "crests_in_line": [False],
        "least_run_mm": [1000],
        "underlay_tape_side_laps": [True],
        "safety_mesh": [False],
        "purlin_objective": ["fewest_lengths"],
        "valley_boards_a_side": [1],
        "board_supply": ["random"],
        "underlay_staple_box": [0],
    }.items():
        if dice.random() < 0.12:
            found[name] = dice.choice(values)
    return found


def _covering(dice: random.Random) -> dict[str, Any]:
    return {"profile": dice.choice(PROFILES), "lay_from": dice.choice(["east", "north", "south-west"])}


def _main(dice: random.Random, ring: list[list[float]], gables: int) -> dict[str, Any]:
    roof: dict[str, Any] = {
        "name": "main",
        dice.choice(["wall_line", "wall_line", "outline"]): ring,
        "eave_overhang_mm": dice.choice([0, 300, 450, 600, 900]),
        "verge_overhang_mm": dice.choice([0, 300]),
        "fascia_height_mm": 2500,
        "pitch_deg": dice.choice([8, 10, 15, 22.5, 25, 30, 45, 60]),
        "covering": _covering(dice),
    }
    if "outline" in roof:
        roof["eave_overhang_mm"] = roof["verge_overhang_mm"] = 0
    edges: dict[int, Any] = {}
    for _ in range(gables):
        edges[dice.randrange(1, len(ring) + 1)] = {"kind": "gable"}
    for _ in range(dice.choice([0, 0, 1])):
        edges.setdefault(dice.randrange(1, len(ring) + 1), {"pitch_deg": dice.choice([12, 20, 35])})
    roof["edges"] = edges
    if dice.random() < 0.2:
        roof["no_spouting_on"] = [dice.randrange(1, len(ring) + 1)]
    if dice.random() < 0.25:
        (x, y), (a, b) = ring[0], ring[len(ring) // 2]
        kind = dice.choice(["pipe", "flue"])
        roof["penetrations"] = [{"kind": kind, "at": [x + 0.3 * (a - x), y + 0.22 * (b - y)], "diameter_mm": 150}]
    return roof


def _stepped(dice: random.Random) -> list[dict[str, Any]]:
    """One to four parts side by side, each out to its own front and back; tiny and long narrow ones among them."""
    size = dice.choice([1.0, 1.0, 1.0, 0.25, 3.0])
    parts = dice.randint(1, 4)
    xs = [0]
    for _ in range(parts):
        xs.append(xs[-1] + dice.randint(30, 90))
    fronts, backs = [dice.randint(0, 30) for _ in range(parts)], [dice.randint(60, 110) for _ in range(parts)]
    below = [(x, fronts[i]) for i in range(parts) for x in (xs[i], xs[i + 1])]
    above = [(x, backs[i]) for i in reversed(range(parts)) for x in (xs[i + 1], xs[i])]
    ring = _corners([*below, *above])
    return [_main(dice, [[100.0 * size * x, 100.0 * size * y] for x, y in ring], dice.choice([0, 0, 1, 2]))]


def _corners(ring: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """A ring without doubled points and points in line."""
    points = [p for k, p in enumerate(ring) if p != ring[k - 1]]
    return [
        p
        for k, p in enumerate(points)
        if not (points[k - 1][0] == p[0] == points[(k + 1) % len(points)][0])
        and not (points[k - 1][1] == p[1] == points[(k + 1) % len(points)][1])
    ]


def _ring(dice: random.Random) -> list[dict[str, Any]]:
    a, b, wing = dice.randint(140, 260) * 100, dice.randint(140, 260) * 100, dice.randint(35, 55) * 100
    ring = [[0, 0], [a, 0], [a, b], [0, b]]
    roof = _main(dice, ring, 0)
    roof.pop("edges")
    yard = [[wing, wing], [wing, b - wing], [a - wing, b - wing], [a - wing, wing]]
    roof["courtyards"] = [yard]
    roof["eave_overhang_mm"] = min(roof["eave_overhang_mm"], 600)
    return [roof]


def _with_verandah(dice: random.Random) -> list[dict[str, Any]]:
    a, b, deep = dice.randint(80, 160) * 100, dice.randint(60, 100) * 100, dice.randint(12, 30) * 100
    main = _main(dice, [[0, 0], [a, 0], [a, b], [0, b]], dice.choice([0, 1]))
    main["wall_line"] = main.pop("outline", main.get("wall_line"))
    main["fascia_height_mm"] = 2900
    low: dict[str, Any] = {
        "name": "verandah",
        "outline": [[-deep, -deep], [a + deep, -deep], [a + deep, b / 2], [-deep, b / 2]],
        "below": "main",
        "fascia_height_mm": 2100,
        "pitch_deg": dice.choice([8, 10]),
        "edges": {3: {"kind": "gable"}},
        "covering": _covering(dice),
    }
    return [main, low]


def _skew(dice: random.Random) -> list[dict[str, Any]]:
    """Convex outlines with no right angle."""
    from math import cos, pi, sin

    count = dice.randint(3, 8)
    angles = sorted(2.0 * pi * (k + dice.uniform(-0.3, 0.3)) / count for k in range(count))
    size = dice.choice([1500.0, 5000.0, 9000.0])
    return [
        _main(
            dice,
            [[round(size * 1.4 * cos(t)), round(size * sin(t))] for t in angles],
            0,
        )
    ]


def _two_slopes(dice: random.Random) -> list[dict[str, Any]]:
    a, b = dice.randint(80, 160) * 100, dice.randint(70, 100) * 100
    roof = _main(dice, [[0, 0], [a, 0], [a, b], [0, b]], 0)
    roof.pop("edges")
    roof.pop("pitch_deg")
    way = dice.choice(["mansard", "gambrel", "sprocket", "flat"])
    if way == "mansard":
        roof["mansard"] = {"lower_pitch_deg": dice.choice([60, 70, 78]), "to_mm": 2200, "upper_pitch_deg": 20}
    elif way == "gambrel":
        roof["gambrel"] = {"lower_pitch_deg": 60, "to_mm": 2200, "upper_pitch_deg": 25}
        roof["edges"] = {2: {"kind": "gable"}, 4: {"kind": "gable"}}
    elif way == "sprocket":
        roof["pitch_deg"] = 35
        roof["sprocket"] = {"pitch_deg": 20, "to_mm": 300}
    else:
        roof["pitch_deg"] = 25
        roof["flat_top_at_mm"] = 700
    return [roof]


def _single(dice: random.Random) -> list[dict[str, Any]]:
    """Single pitches, lean-tos and long narrow roofs; some so long that sheets lap."""
    a, b = dice.choice([(1800, 1200), (30000, 1500), (9000, 4000), (4000, 19000), (12000, 7000)])
    roof = _main(dice, [[0, 0], [a, 0], [a, b], [0, b]], 0)
    roof["pitch_deg"] = dice.choice([8, 10, 15])
    back = dice.choice(["gable", "wall"])
    roof["edges"] = {2: {"kind": "gable"}, 3: {"kind": back}, 4: {"kind": "gable"}}
    if dice.random() < 0.4 and a > 5000 and b > 3000:
        roof["rooflight_sheets"] = [{"edge": 1, "from_left_mm": 2500, "strips": dice.choice([1, 2])}]
    return [roof]


def _with_dormer(dice: random.Random) -> list[dict[str, Any]]:
    wide = dice.choice([1600, 2000, 2600])
    main = _main(dice, [[0, 0], [10800, 0], [10800, 7800], [0, 7800]], 0)
    main["wall_line"] = main.pop("outline", main.get("wall_line"))
    main |= {"pitch_deg": 40, "edges": {2: {"kind": "gable"}, 4: {"kind": "gable"}}, "fascia_height_mm": 2400}
    main |= {"eave_overhang_mm": 600, "verge_overhang_mm": 600}
    dormer: dict[str, Any] = {
        "name": "dormer",
        "outline": [[4400, 1400], [4400 + wide, 1400], [4400 + wide, 3600], [4400, 3600]],
        "fascia_height_mm": 5000,
        "pitch_deg": 30,
        "edges": {1: {"kind": "gable"}, 3: {"kind": "gable"}},
        "covering": main["covering"],
    }
    return [main, dormer]


def _walls(dice: random.Random, ring: list[list[float]]) -> dict[str, Any]:
    openings = []
    for wall in range(1, len(ring) + 1):
        (ax, ay), (bx, by) = ring[wall - 1], ring[wall % len(ring)]
        length = abs(bx - ax) + abs(by - ay) if ax == bx or ay == by else 0.0
        if length > 4000 and dice.random() < 0.7:
            openings.append(
                {
                    "wall": wall,
                    "from_left_mm": 900,
                    "sill_mm": dice.choice([0, 600]),
                    "width_mm": 1800,
                    "height_mm": dice.choice([1200, 1500]),
                }
            )
    return {
        "height_mm": 2400,
        "zones": [
            dice.choice(
                [
                    {"direction": "horizontal", "board": "bevel_187"},
                    {"direction": "horizontal", "board": {"width_mm": 187, "cover_mm": 170, "kind": "rusticated"}},
                    {"direction": "vertical", "board": {"width_mm": 150, "cover_mm": 135}},
                ]
            )
        ],
        "openings": openings,
        "ground_mm": -300,
    }
