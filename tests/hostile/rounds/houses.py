"""Houses made up whole: walls on a grid that nobody drew straight, eaves and gables, openings, settings; to the order,
whose closure is then worked out again from its data."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import yaml
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from rounds.house_checks import faults_of
from rounds.outcome import Outcome, cause_words, fault_outcome, take_off
from takeoff.model.order import Takeoff
from takeoff.write.data.result_json import item_data, json_text, result_json

PROFILES = ("corrugated",)
CELLS = (1, 1, 1, 2, 2, 2, 3, 3, 4, 5, 6, 8)  # small houses are the more often: many of them in the time of a large one
ALL_WRITTEN = 0.1  # share of houses whose whole result is written and read back


def grid_outline(chance: random.Random, cells: int) -> Polygon:
    """A rectilinear outline of connected cells without holes, its lines at odd places [mm]."""
    columns = [0]
    rows = [0]
    for _ in range(5):
        columns.append(columns[-1] + chance.randrange(1800, 7000))
        rows.append(rows[-1] + chance.randrange(1800, 7000))
    taken = {(2, 2)}
    while len(taken) < cells:
        x, y = chance.choice(sorted(taken))
        x, y = chance.choice(((x + 1, y), (x - 1, y), (x, y + 1), (x, y - 1)))
        if 0 <= x < 5 and 0 <= y < 5:
            taken.add((x, y))
    shape = unary_union([box(columns[x], rows[y], columns[x + 1], rows[y + 1]) for x, y in taken])
    if shape.geom_type != "Polygon" or shape.interiors:
        return grid_outline(chance, cells)
    return Polygon(shape.exterior).simplify(0.0)


def house(chance: random.Random) -> tuple[dict[str, Any], Polygon | None]:
    """A job, and its roof's edge in plan where it is known beforehand."""
    walls = grid_outline(chance, chance.choice(CELLS))
    ring = list(walls.exterior.coords)[:-1]
    if walls.exterior.is_ccw and chance.random() < 0.3:
        ring.reverse()
    overhang = chance.choice((0, 300, 450, 600, chance.randrange(1, 900)))
    roof: dict[str, Any] = {
        "wall_line": [[round(x), round(y)] for x, y in ring],
        "eave_overhang_mm": overhang,
        "verge_overhang_mm": overhang,
        "fascia_height_mm": chance.randrange(2200, 3200),
        "pitch_deg": chance.choice((15, 20, 25, 30, 35, 45, round(chance.uniform(9, 50), 2))),
        "covering": {"profile": chance.choice(PROFILES)},
    }
    gables = [n for n in range(1, len(ring) + 1) if chance.random() < 0.15]
    if gables:
        roof["edges"] = {n: {"kind": "gable"} for n in gables}
    job: dict[str, Any] = {"job": "Made-up house", "roofs": [roof], "north_deg": chance.randrange(360)}
    if chance.random() < 0.3:
        job["walls"] = {"height_mm": 2400, "zones": [{"board": "bevel_187"}]}
        width = Polygon(ring).exterior.length
        if width and chance.random() < 0.7:
            job["walls"]["openings"] = [
                {"wall": chance.randrange(1, len(ring) + 1), "from_left_mm": chance.randrange(200, 900),
                 "sill_mm": 900, "width_mm": chance.randrange(400, 1400), "height_mm": 1000}
            ]  # fmt: skip
    outline = walls.buffer(overhang, join_style="mitre", mitre_limit=10) if overhang else walls
    return job, outline


def case(chance: random.Random, _folder: Path) -> Outcome:
    """One house to its order; anything that does not close is a finding."""
    job, outline = house(chance)
    return run_case(yaml.safe_dump(job, sort_keys=False), outline, chance.random() < ALL_WRITTEN)


def run_case(text: str, outline: Polygon | None = None, whole: bool = True) -> Outcome:
    """The house's outcome, its closure checked on the written result, or (not `whole`) on those parts of it that the
    checks read, written the same way."""
    evidence = {"job.yaml": text.encode("utf-8")}
    try:
        takeoff = take_off(text, Path())
        data = json.loads(result_json(takeoff) if whole else parts_json(takeoff))
    except Exception as err:
        return fault_outcome(err, evidence)
    found = faults_of(data, outline)
    # a house of the round is one that can be built: an order that the program takes for wrong is wrong, or its bound is
    found += [stop.text for stop in takeoff.stops if "by another reckoning" in stop.text]
    exit_code, cause = (6, cause_words(takeoff.stops[0].text)) if takeoff.stopped else (0, "order")
    return Outcome(exit_code, cause, "; ".join(found[:5]), evidence if found else {})


def parts_json(takeoff: Takeoff) -> str:
    """Roofs, sheets, items, cut plans and lines of the order as takeoff.json has them."""
    order = takeoff.order
    return json_text(
        {
            "roofs": takeoff.roofs,
            "roofing": {"sheets": takeoff.roofing.sheets if takeoff.roofing else ()},
            "items": [item_data(item) for item in takeoff.items.values()],
            "order": order and {"blanks": order.blanks, "plans": order.plans, "lines": order.lines},
        }
    )
