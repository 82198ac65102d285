"""The flat row of quantities: by hand on a plain hip, and the same to the last digit as the full run on every sample."""

from __future__ import annotations

from math import ceil, cos, hypot, radians, tan
from pathlib import Path

import pytest

import takeoff
from takeoff.model.quantities import HOUSE_FIGURES, Quantities

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"
NAMES = sorted(path.parent.name for path in SAMPLES.glob("*/job.yaml"))


def of_sample(name: str) -> Quantities:
    path = SAMPLES / name / "job.yaml"
    return takeoff.quantities(takeoff.read_job(path), path.parent)


@pytest.mark.parametrize("name", NAMES)
def test_figures_are_those_of_the_full_run(name: str) -> None:
    path = SAMPLES / name / "job.yaml"
    full = takeoff.quantities_of(takeoff.run_file(path, takeoff.Stage.MEASURE))
    found = of_sample(name)
    assert [(f.name, repr(f.value), f.unit) for f in found.parts] == [
        (f.name, repr(f.value), f.unit) for f in full.parts
    ]
    assert [(f.name, repr(f.value), f.unit) for f in found.house] == [
        (f.name, repr(f.value), f.unit) for f in full.house
    ]


def test_the_outline_of_a_house_round_a_courtyard_is_its_outer_ring() -> None:
    """Its longest side is the house's own: the ring of the courtyard lies within it."""
    (outer,) = of_sample("courtyard").outlines_mm
    roof = takeoff.run_file(SAMPLES / "courtyard" / "job.yaml", takeoff.Stage.SHAPE).roofs[0]
    assert len(roof.outline_mm) == 2
    assert outer == max(roof.outline_mm, key=lambda ring: max(x for x, _ in ring))


def test_a_plain_hip_by_hand() -> None:
    """12 x 8 m at 25 degrees: four eaves round 12 x 8, hips over 4 x 4 m in plan, a ridge of 12 - 8 m."""
    row = of_sample("hip_12x8").row
    rise = 4.0 * tan(radians(25.0))
    assert row["roof_plan_m2"] == pytest.approx(96.0)
    assert row["roof_m2"] == pytest.approx(96.0 / cos(radians(25.0)))
    assert row["eave_m"] == pytest.approx(40.0)
    assert row["ridge_m"] == pytest.approx(4.0)
    assert row["hip_m"] == pytest.approx(4.0 * hypot(4.0, 4.0, rise))
    assert row["valley_m"] == row["verge_m"] == 0.0
    assert row["catchment_m2"] == pytest.approx(96.0)
    assert (row["gutters_each"], row["gutters_m"]) == (1.0, pytest.approx(40.0))
    assert row["wall_m2"] == row["boards_each"] == 0.0


def test_sheets_of_a_plain_hip_by_hand() -> None:
    """Corrugate covers 762 and is 845 wide over all: ceil((12 000 - 83) / 762) = 16 sheets on a long side, and
    ceil((8 000 - 83) / 762) = 11 on an end."""
    parts = {figure.name: figure.value for figure in of_sample("hip_12x8").parts}
    count = [ceil((width - 83.0) / 762.0) for width in (12000.0, 8000.0)]
    assert sorted(parts[f"sheets.P{n}"] for n in (1, 2, 3, 4)) == sorted([*count, *count])


def test_every_house_has_the_same_names_in_the_same_order() -> None:
    for name in ("hip_12x8", "homestead", "butterfly"):
        found = of_sample(name)
        assert tuple(found.row) == tuple(HOUSE_FIGURES)
        assert all(figure.name.endswith(f"_{figure.unit}") for figure in found.house)


def test_walls_and_their_parts_add_up() -> None:
    """The homestead's walls net: what the areas of its measures say."""
    path = SAMPLES / "homestead" / "job.yaml"
    full = takeoff.run_file(path, takeoff.Stage.MEASURE)
    walls = [m for m in full.measures if m.id.startswith("wall ") and m.id.endswith(".net")]
    row = takeoff.quantities_of(full).row
    assert row["wall_m2"] == pytest.approx(sum(wall.figure for wall in walls))
    assert row["roof_m2"] == next(m.figure for m in full.measures if m.id == "area.main")
    assert row["catchment_m2"] == next(m.figure for m in full.measures if m.id == "catchment")


def test_a_job_that_cannot_be_is_refused_as_in_a_run() -> None:
    roof = {"outline": [(0, 0), (12000, 0), (12000, 8000), (0, 8000)], "pitch_deg": 25, "fascia_height_mm": 2400}
    job = {"job": "x", "roofs": [{**roof, "covering": {"profile": "nothing"}}]}
    with pytest.raises(takeoff.JobError):
        takeoff.quantities(takeoff.Job.model_validate(job, strict=False))
