"""Small things are bought in the boxes, rolls and tins that they are sold in: by name, on a house that has them all.

What a pack holds is common practice, no source, and a setting each: the packs here are those of the defaults.
"""

from __future__ import annotations

import json
from math import ceil

import pytest

from takeoff import pipeline
from takeoff.model.order import OrderLine
from takeoff.read.job.job_file import parse_job
from takeoff.write.words.item_names import item_name

# item as the order knows it -> what a pack is called and holds
PACKS = {
    "safety_mesh": ("roll", 90.0),
    "board nail 75 x 2.8": ("box", 500.0),
    "batten nail 50 x 2.8": ("box", 500.0),
    "base closer nail 30 x 2.5": ("box", 250.0),
    "soffit nail 40 x 2.5": ("box", 500.0),
    "wall wrap staple": ("box", 5000.0),
    "wall wrap tape": ("roll", 50.0),
    "flashing tape for sills and jambs": ("roll", 25.0),
    "primer for cut ends": ("tin", 1.0),
    "Gutter rivet": ("box", 100.0),
    "Gutter bracket screw": ("box", 100.0),
    "Downpipe clip screw": ("box", 100.0),
    "Fascia nail": ("box", 250.0),
    "purlin_fixing_c": ("box", 500.0),
    "framing_nail": ("box", 500.0),
    "underlay_staple": ("box", 5000.0),
    "mesh_staple": ("box", 1000.0),
    "underlay_tape": ("roll", 25.0),
    "valley_clip": ("box", 50.0),
}
ELL = [[0, 0], [14000, 0], [14000, 7000], [7000, 7000], [7000, 13000], [0, 13000]]


@pytest.fixture(scope="module")
def house() -> tuple[dict[str, float], dict[str, OrderLine]]:
    """What was measured by item, and the lines of the order by item: an L with a gable, soffits and a window."""
    job = {
        "job": "boxes",
        "site": {"wind_zone": "high"},
        "roofs": [
            {
                "wall_line": ELL,
                "eave_overhang_mm": 600,
                "verge_overhang_mm": 450,
                "pitch_deg": 25,
                "fascia_height_mm": 2600,
                "edges": {2: {"kind": "gable"}},
            }
        ],
        "walls": {
            "height_mm": 2400,
            "ground_mm": -450,
            "openings": [{"wall": 1, "from_left_mm": 2000, "sill_mm": 900, "width_mm": 1200, "height_mm": 1200}],
        },
        "rainwater": {"ground_mm": -450},
    }
    takeoff = pipeline.run(parse_job(json.dumps(job)))
    assert takeoff.order is not None
    measured: dict[str, float] = {}
    for need in (*takeoff.roofing.needs, *takeoff.rainwater.needs, *takeoff.cladding.needs):
        for quantity in need.quantities:
            measured[quantity.item] = measured.get(quantity.item, 0.0) + quantity.figure
    return measured, {line.item: line for line in takeoff.order.lines}


@pytest.mark.parametrize("item", PACKS)
def test_it_comes_in_whole_packs(item: str, house: tuple[dict[str, float], dict[str, OrderLine]]) -> None:
    measured, lines = house
    unit, holds = PACKS[item]
    line = lines[item]
    assert (line.count, line.unit) == (ceil(measured[item] / holds - 1e-9), unit)
    assert f", {unit} of {holds:g}" in item_name(line.of)
