"""Maps of many houses as offices and councils write them, and damaged ones. A sound house has the area of its outline; of a
damaged map every house that is read has a row that says what became of it, and none is a fault of the program."""

from __future__ import annotations

import json
import math
import random
from pathlib import Path
from typing import Any

from shapely.geometry import Polygon

from rounds.outcome import Outcome, cause_words, fault_outcome
from rounds.rain import damage
from takeoff.basics.errors import TakeoffError
from takeoff.estate.house_job import like_job
from takeoff.estate.take_house import take_house
from takeoff.model.estate import HouseResult, HouseState
from takeoff.read.estates.estate_files import read_estate

_METRES = {"mm": 0.001, "cm": 0.01, "m": 1.0, "in": 0.0254, "ft": 0.3048}
# what tables hold that no job can take
_STRANGE: tuple[tuple[str, Any], ...] = (
    ("pitch_deg", "steep"),
    ("pitch_deg", -5),
    ("pitch_deg", 1e400),
    ("pitch_deg", True),
    ("pitch_deg", [25]),
    ("fascia_height_mm", None),
    ("edges", "eave,gabel"),
    ("edges", {"9": {"kind": "gable"}}),
    ("edges", 7),
    ("edge_is", "roof"),
    ("profile", "tiles"),
    ("site.wind_zone", "none"),
    ("site", {"wind_zone": 5}),
    ("settings.x.y.z", 1),
    ("rainwater", []),
    ("north_deg", "north"),
    ("code", "zz"),
    ("job", ""),
    ("name", "x" * 5000),
    ("id", "../../etc"),
)


def outline(chance: random.Random) -> list[tuple[float, float]]:
    """A rectangle or an L [m], turned and shifted."""
    wide, deep = chance.uniform(4.0, 20.0), chance.uniform(4.0, 14.0)
    ring = [(0.0, 0.0), (wide, 0.0), (wide, deep), (0.0, deep)]
    if chance.random() < 0.5:
        x, y = wide * chance.uniform(0.3, 0.7), deep * chance.uniform(0.3, 0.7)
        ring[2:3] = [(wide, y), (x, y), (x, deep)]
    turn, east, north = chance.uniform(0.0, 2.0 * math.pi), chance.uniform(-1e6, 2e6), chance.uniform(-1e6, 6e6)
    cos, sin = math.cos(turn), math.sin(turn)
    found = [(x * cos - y * sin + east, x * sin + y * cos + north) for x, y in ring]
    return found[::-1] if chance.random() < 0.3 else found


def written(chance: random.Random, unit: str) -> tuple[list[dict[str, Any]], list[float]]:
    """Features and the area of each [m2]."""
    features, areas = [], []
    for number in range(chance.randrange(1, 4)):
        ring = outline(chance)
        areas.append(Polygon(ring).area)
        drawn = [[x / _METRES[unit], y / _METRES[unit]] for x, y in ring]
        properties = {"id": number, "pitch_deg": round(chance.uniform(10.0, 40.0), 1), "fascia_height_mm": 2400}
        geometry = {"type": "Polygon", "coordinates": [[*drawn, drawn[0]]]}
        features.append({"type": "Feature", "properties": properties, "geometry": geometry})
    return features, areas


def case(chance: random.Random, folder: Path) -> Outcome:
    """One map, sound or damaged in its bytes or its table, every house of it taken off."""
    unit = chance.choice(list(_METRES))
    features, areas = written(chance, unit)
    how = chance.choice(("sound", "table", "bytes"))
    if how == "table":
        for feature in features:
            feature["properties"].update(dict(chance.sample(_STRANGE, chance.randrange(1, 3))))
    lines = chance.random() < 0.5
    whole = {"type": "FeatureCollection", "features": features}
    text = "".join(f"{json.dumps(one)}\n" for one in features) if lines else json.dumps(whole)
    data = damage(text, chance) if how == "bytes" else text.encode("utf-8")
    path = folder / ("map.geojsonl" if lines else "map.geojson")
    path.write_bytes(data)
    evidence = {path.name: data}
    try:
        like = like_job(None, unit)
        rows = [take_house(house, like, lines=False, seconds=0.0) for house in read_estate(path)]
    except TakeoffError as err:
        wrong = f"refused: {err}" if how == "sound" else ""
        return Outcome(int(err.exit_code), cause_words(str(err)), wrong, evidence if wrong else {})
    except Exception as err:
        return fault_outcome(err, evidence)
    wrong = _wrong(rows, areas, how)
    return Outcome(0, ", ".join(sorted({row.state.value for row in rows})), wrong, evidence if wrong else {})


def _wrong(rows: list[HouseResult], areas: list[float], how: str) -> str:
    for row in rows:
        if row.state is HouseState.FAULT or (row.state is not HouseState.DONE and not row.why):
            return f"{row.name}: {row.state.value}: {row.why}"
    if how != "sound":
        return ""
    if len(rows) != len(areas):
        return f"{len(rows)} rows for {len(areas)} houses"
    for row, area in zip(rows, areas, strict=True):
        # plans are drawn to the mm, and their corners put in order within the program's own bounds
        if row.state is not HouseState.DONE or abs(row.figures["roof_plan_m2"] - area) > 0.002 * area:
            return f"{row.name}: {row.state.value} {row.why} {dict(row.figures).get('roof_plan_m2')} for {area:.3f} m2"
    return ""
