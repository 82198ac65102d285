"""Houses to be drawn many ways: every sample, and houses made from a seed, of every kind that a job file can ask for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import yaml

House = dict[str, Any]
Ring = list[list[float]]
SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
BEARINGS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


def sample_names() -> list[str]:
    """Samples drawn by points; the one from a mesh is turned as a mesh."""
    from_files = ("mesh:", "shape:")
    jobs = sorted(SAMPLES.glob("*/job.yaml"))
    return [job.parent.name for job in jobs if not any(word in job.read_text("utf-8") for word in from_files)]


def sample(name: str) -> House:
    """The job of a sample."""
    house: House = yaml.safe_load((SAMPLES / name / "job.yaml").read_text("utf-8"))
    return house


def _rect(w: float, d: float, x: float = 0, y: float = 0) -> Ring:
    return [[x, y], [x + w, y], [x + w, y + d], [x, y + d]]


class _Builder:
    """Draws one house from a seed; sizes come in steps of 1, 10, 50 or 100 mm."""

    def __init__(self, number: int) -> None:
        self.random = Random(f"the same house {number}")
        self.step = self.random.choice((1, 10, 50, 100))
        self.number = number

    def size(self, low: int, high: int) -> float:
        """A length between two, in the house's step [mm]."""
        return float(self.random.randrange(low, high + 1, 1) // self.step * self.step)

    def chance(self, share: float) -> bool:
        """True in that share of all cases."""
        return self.random.random() < share

    def covering(self) -> dict[str, Any]:
        """Corrugated mostly, laid from any bearing or none."""
        found: dict[str, Any] = {"profile": "corrugated"}
        if self.chance(0.8):
            found["lay_from"] = self.random.choice(BEARINGS)
        return found

    def roof(self, name: str, **keys: Any) -> dict[str, Any]:
        """A roof with the usual keys."""
        return {"name": name, "fascia_height_mm": 2400, "pitch_deg": self.random.choice((15, 22.5, 25, 30, 35))} | keys

    def house(self, *roofs: dict[str, Any]) -> House:
        """A job with terms of its own."""
        for roof in roofs:
            roof.setdefault("covering", self.covering())
        return {
            "job": f"generated {self.number}",
            "date": "2026-03-02",
            "north_deg": self.random.choice((0.0, 20.0, round(self.random.uniform(0, 359), 1))),
            "site": {
                "wind_zone": self.random.choice(("low", "medium", "high", "very_high")),
                "rain_mm_per_h": self.random.choice((90, 110, 140)),
                "longest_piece_mm": self.random.choice((6000, 9000, 12000)),
            },
            "roofs": list(roofs),
            "purlins": {"section": "70x45", "spacing_mm": 900, "supports_mm": self.random.choice((600, 900))},
            "rainwater": {"gutter": "quad_125", "downpipe": "round_80", "method": "e1_as1", "ground_mm": -300},
        }


def _ell(b: _Builder) -> Ring:
    w, d, wing, notch = b.size(9000, 16000), b.size(6000, 9000), b.size(4500, 8000), b.size(2500, 6000)
    return [[0, 0], [w, 0], [w, d], [wing, d], [wing, d + notch], [0, d + notch]]


def _tee(b: _Builder) -> Ring:
    w, d, x, wide, out = (
        b.size(13000, 19000),
        b.size(6000, 9000),
        b.size(2000, 5000),
        b.size(4500, 7000),
        b.size(2500, 6000),
    )
    return [[0, 0], [w, 0], [w, d], [x + wide, d], [x + wide, d + out], [x, d + out], [x, d], [0, d]]


def _yew(b: _Builder) -> Ring:
    w, d, one, two = b.size(15000, 20000), b.size(5500, 8000), b.size(4500, 6000), b.size(4500, 6000)
    up, over = b.size(2500, 6000), b.size(2500, 6000)
    return [[0, 0], [w, 0], [w, d + up], [w - one, d + up], [w - one, d], [two, d], [two, d + over], [0, d + over]]


def _zed(b: _Builder) -> Ring:
    left, low, high = b.size(8000, 11000), b.size(2000, 4000), b.size(7500, 10000)
    right, top, x = left + b.size(2500, 6000), high + b.size(2000, 4000), b.size(2500, 4500)
    return [[0, 0], [left, 0], [left, low], [right, low], [right, top], [x, top], [x, high], [0, high]]


def _plus(b: _Builder) -> Ring:
    x, y, w, d = b.size(2500, 5000), b.size(2500, 5000), b.size(5000, 8000), b.size(5000, 8000)
    right, top = x + w + b.size(2500, 5000), y + d + b.size(2500, 5000)
    lower = [[x, 0], [x + w, 0], [x + w, y], [right, y], [right, y + d], [x + w, y + d]]
    return [*lower, [x + w, top], [x, top], [x, y + d], [0, y + d], [0, y], [x, y]]


def _box(b: _Builder) -> Ring:
    return _rect(b.size(7000, 15000), b.size(5000, 9000))


RINGS: tuple[Callable[[_Builder], Ring], ...] = (_ell, _tee, _yew, _zed, _plus, _box)


def _ends(ring: Ring) -> list[int]:
    """1-based sides between two outside corners: where a gable may stand."""
    count = len(ring)
    convex = []
    for i, (x, y) in enumerate(ring):
        (ax, ay), (bx, by) = ring[i - 1], ring[(i + 1) % count]
        convex.append((x - ax) * (by - y) - (y - ay) * (bx - x) > 0)
    return [i + 1 for i in range(count) if convex[i] and convex[(i + 1) % count]]


def _some_ends(b: _Builder, ring: Ring, keys: Callable[[], dict[str, Any]]) -> dict[int, dict[str, Any]]:
    ends = _ends(ring)
    chosen = sorted(b.random.sample(ends, b.random.randint(1, max(1, len(ends) // 2))))
    return {n: keys() for n in chosen}


def _walled(b: _Builder, ring: Ring, **keys: Any) -> House:
    both = {"eave_overhang_mm": b.random.choice((300, 450, 600)), "verge_overhang_mm": b.random.choice((200, 300, 450))}
    return b.house(b.roof("main", wall_line=ring, **(both | keys)))


def _hipped(b: _Builder) -> House:
    return _walled(b, b.random.choice(RINGS)(b))


def _gabled(b: _Builder) -> House:
    ring = b.random.choice(RINGS)(b)
    return _walled(b, ring, edges=_some_ends(b, ring, lambda: {"kind": "gable"}))


def _drawn_outline(b: _Builder) -> House:
    ring = b.random.choice(RINGS)(b)
    return b.house(b.roof("main", outline=ring, edges=_some_ends(b, ring, lambda: {"kind": "gable"})))


def _unequal_pitches(b: _Builder) -> House:
    ring = b.random.choice(RINGS)(b)
    some = b.random.sample(range(1, len(ring) + 1), 2)
    return _walled(b, ring, edges={n: {"pitch_deg": b.random.choice((18, 20, 28, 40))} for n in sorted(some)})


def _unequal_overhangs(b: _Builder) -> House:
    ring = b.random.choice(RINGS)(b)
    some = b.random.sample(range(1, len(ring) + 1), 3)
    return _walled(b, ring, edges={n: {"eave_overhang_mm": b.random.choice((350, 500, 750))} for n in sorted(some)})


def _fascia_heights(b: _Builder) -> House:
    ring = b.random.choice((_ell, _box, _tee))(b)
    edges = _some_ends(b, ring, lambda: {"kind": "gable"})
    level = next((n for n in range(1, len(ring) + 1) if n not in edges), 1)
    return _walled(b, ring, edges=edges | {level: {"fascia_height_mm": 2400 + b.random.choice((150, 300, 600))}})


def _half_hips(b: _Builder) -> House:
    ring = b.random.choice(RINGS)(b)
    key = b.random.choice(("half_hip_from_mm", "gablet_from_mm"))
    return _walled(b, ring, edges=_some_ends(b, ring, lambda: {key: b.random.choice((700, 1000, 1200))}))


def _two_slopes(b: _Builder) -> House:
    ring, key = b.random.choice((_box, _box, _ell, _tee))(b), b.random.choice(("mansard", "gambrel"))
    slopes = {
        "lower_pitch_deg": b.random.choice((55, 60, 65)),
        "to_mm": b.random.choice((1500, 1800, 2000)),
        "upper_pitch_deg": 25,
    }
    roof = b.roof("main", wall_line=ring, eave_overhang_mm=300, verge_overhang_mm=300) | {key: slopes}
    roof.pop("pitch_deg")
    if key == "gambrel":
        roof["edges"] = {n: {"kind": "gable"} for n in ((2, 4) if len(ring) == 4 else _ends(ring))}
    return b.house(roof)


def _sprockets(b: _Builder) -> House:
    ring = b.random.choice(RINGS)(b)
    return _walled(b, ring, pitch_deg=40, sprocket={"pitch_deg": 25, "to_mm": b.random.choice((300, 400, 500))})


def _single_pitch(b: _Builder) -> House:
    ring = _box(b)
    low = b.random.randint(1, 4)
    edges = {n: {"kind": "gable"} for n in range(1, 5) if n != low}
    return _walled(b, ring, pitch_deg=b.random.choice((10, 11, 12)), edges=edges)


def _courtyard(b: _Builder) -> House:
    w, d, wing = b.size(17000, 21000), b.size(15000, 18000), b.size(4500, 5200)
    court = _rect(w - wing - b.size(4500, 5200), d - wing - b.size(4500, 5200), wing, wing)
    return _walled(b, _rect(w, d), courtyards=[court])


def _verandah(b: _Builder) -> House:
    w, d, out = b.size(9000, 14000), b.size(6500, 9000), b.size(2000, 2800)
    house = b.roof("house", wall_line=_rect(w, d), eave_overhang_mm=600, fascia_height_mm=2750, pitch_deg=25)
    ring = _rect(w + 2 * out, out + b.size(3000, 5000), -out, -out)
    edges = {3: {"kind": "gable"}}
    verandah = b.roof("verandah", outline=ring, below="house", fascia_height_mm=2200, pitch_deg=8, edges=edges)
    return b.house(house, verandah)


def _corner_verandah(b: _Builder) -> House:
    ring = _ell(b)
    house = b.roof("house", wall_line=ring, eave_overhang_mm=450, fascia_height_mm=2750, pitch_deg=25)
    (x, y), out = ring[3], b.size(2000, 2600)
    low = b.roof("verandah", outline=_rect(ring[2][0] - x + 500, out + 500, x - 500, y - 500), below="house")
    low |= {
        "fascia_height_mm": 2200,
        "pitch_deg": 8,
        "edges": {1: {"kind": "gable"}, 2: {"kind": "gable"}, 4: {"kind": "gable"}},
    }
    return b.house(house, low)


def _lean_to(b: _Builder) -> House:
    w, d, out, x = b.size(9000, 14000), b.size(6500, 9000), b.size(2000, 3200), b.size(500, 3000)
    house = b.roof("house", wall_line=_rect(w, d), eave_overhang_mm=450, fascia_height_mm=3000, pitch_deg=25)
    edges = {2: {"kind": "gable"}, 3: {"kind": "wall"}, 4: {"kind": "gable"}}
    ring = _rect(b.size(3000, 5500), out, x, -out)
    return b.house(
        house, b.roof("lean-to", outline=ring, below="house", fascia_height_mm=2150, pitch_deg=8, edges=edges)
    )


def _dormer(b: _Builder) -> House:
    w, d, at = b.size(9500, 14000), b.size(7500, 8600), b.size(3000, 5500)
    edges = {2: {"kind": "gable", "verge_overhang_mm": 600}, 4: {"kind": "gable", "verge_overhang_mm": 600}}
    house = b.roof("house", wall_line=_rect(w, d), eave_overhang_mm=600, pitch_deg=40, edges=edges)
    ring = _rect(b.size(1600, 2400), 2200, at, 1400)
    gables = {1: {"kind": "gable"}, 3: {"kind": "gable"}}
    return b.house(house, b.roof("dormer", outline=ring, fascia_height_mm=5000, pitch_deg=30, edges=gables))


def _butterfly(b: _Builder) -> House:
    one, two, d = b.size(4000, 7000), b.size(3500, 6000), b.size(7000, 12000)
    pitch = b.random.choice((8, 10, 12))
    gable = {"kind": "gable"}
    west = b.roof("west", outline=_rect(one, d), pitch_deg=pitch, edges={1: gable, 3: gable, 4: gable})
    east = b.roof("east", outline=_rect(two, d, one), pitch_deg=pitch, edges={1: gable, 2: gable, 3: gable})
    return b.house(west, east)


def _wing(b: _Builder) -> House:
    w, d, x, wide, out = (
        b.size(13000, 17000),
        b.size(8000, 10000),
        b.size(3000, 5000),
        b.size(4000, 5500),
        b.size(2500, 4500),
    )
    edges = {1: {"kind": "gable"}, 3: {"kind": "gable"}}
    wing = b.roof(
        "wing", outline=_rect(wide, out + d / 2 - 300, x, -out), pitch_deg=b.random.choice((25, 30, 35)), edges=edges
    )
    return b.house(b.roof("house", outline=_rect(w, d), pitch_deg=25), wing)


def _porch(b: _Builder) -> House:
    w, d, x = b.size(9500, 13000), b.size(7000, 8500), b.size(3000, 5500)
    house = b.roof("house", wall_line=_rect(w, d), eave_overhang_mm=600, fascia_height_mm=2700, pitch_deg=25)
    edges = {1: {"kind": "gable"}, 3: {"kind": "gable"}}
    ring = _rect(b.size(2400, 3200), 2500, x, -2000)
    return b.house(
        house, b.roof("porch", outline=ring, below="house", fascia_height_mm=2150, pitch_deg=12, edges=edges)
    )


KINDS: tuple[Callable[[_Builder], House], ...] = (
    _hipped, _gabled, _verandah, _unequal_pitches, _dormer, _butterfly, _half_hips, _courtyard, _unequal_overhangs, _wing,
    _gabled, _fascia_heights, _lean_to, _two_slopes, _hipped, _sprockets, _single_pitch, _porch, _drawn_outline,
    _corner_verandah,
)  # fmt: skip


def generated(number: int) -> House:
    """House `number` of the endless row: kinds take turns, sizes and terms come from the number."""
    builder = _Builder(number)
    house = KINDS[number % len(KINDS)](builder)
    main = house["roofs"][0]
    if "wall_line" in main and builder.chance(0.45):
        house["walls"] = _walls(builder, main)
    if builder.chance(0.35):
        main["penetrations"] = _penetrations(builder, main.get("wall_line") or main["outline"])
    eaves = _eaves(main)
    if eaves and builder.chance(0.2):
        light = {
            "edge": builder.random.choice(eaves),
            "from_left_mm": builder.size(1800, 3000),
            "strips": 1,
            "up_mm": 600,
        }
        main["rooflight_sheets"] = [light | {"length_mm": 1500}]
    if len(eaves) > 2 and builder.chance(0.2):
        house["rainwater"]["none_on"] = [builder.random.choice(eaves)]
    elif eaves and builder.chance(0.2):
        house["rainwater"]["downpipes_at"] = _pipes(builder, main, eaves)
    return house


def _eaves(roof: dict[str, Any]) -> list[int]:
    edges = roof.get("edges", {})
    ring = roof.get("wall_line") or roof["outline"]
    return [n for n in range(1, len(ring) + 1) if edges.get(n, {}).get("kind", "eave") == "eave"]


def _walls(b: _Builder, main: dict[str, Any]) -> dict[str, Any]:
    ring, openings = main["wall_line"], []
    for n, ((ax, ay), (bx, by)) in enumerate(zip(ring, [*ring[1:], ring[0]], strict=True), start=1):
        long = abs(bx - ax) + abs(by - ay)
        if long > 3500 and b.chance(0.7):
            wide = b.size(900, 1800)
            openings.append(
                {
                    "wall": n,
                    "from_left_mm": b.size(700, int(long - wide - 700)),
                    "sill_mm": 900,
                    "width_mm": wide,
                    "height_mm": 1200,
                }
            )
    direction = b.random.choice(("horizontal", "vertical", "both"))
    upright = {"direction": "vertical", "board": {"width_mm": 150, "cover_mm": 135}}
    level = {"direction": "horizontal", "board": "bevel_187"}
    zones = {"horizontal": [level], "vertical": [upright], "both": [level, upright | {"walls": [1]}]}[direction]
    return {"height_mm": 2400, "ground_mm": -300, "zones": zones, "openings": openings}


def _penetrations(b: _Builder, ring: Ring) -> list[dict[str, Any]]:
    wide, deep = max(x for x, _ in ring), max(y for _, y in ring)
    spots = [
        [b.size(1500, int(wide) - 1500), b.size(900, 1900)],
        [b.size(1500, int(wide / 2)), b.size(2300, int(deep / 2))],
    ]
    found: list[dict[str, Any]] = [{"kind": b.random.choice(("pipe", "flue")), "at": spots[0], "diameter_mm": 150}]
    if b.chance(0.4):
        found.append({"kind": "roof_window", "at": spots[1], "width_mm": 780, "length_mm": 980})
    return found


def _pipes(b: _Builder, main: dict[str, Any], eaves: list[int]) -> Ring:
    """Places near the two ends of an eave, out at the fascia."""
    ring, n = main.get("wall_line") or main["outline"], b.random.choice(eaves)
    (ax, ay), (bx, by) = ring[n - 1], ring[n % len(ring)]
    long = abs(bx - ax) + abs(by - ay)
    over = main.get("edges", {}).get(n, {}).get("eave_overhang_mm", main.get("eave_overhang_mm", 0.0))
    ux, uy = (bx - ax) / long, (by - ay) / long
    out = (uy * over, -ux * over) if "wall_line" in main else (0.0, 0.0)
    return [[ax + ux * at + out[0], ay + uy * at + out[1]] for at in (300.0, long - 300.0)]
