"""Underlay by hand: strips of 1350 less 150 lap, 20 into the gutter, 150 past hips and ridge, whole rolls of 37 m."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import cos, radians, sqrt, tan

import pytest

from takeoff.basics.errors import JobError
from takeoff.measure.item_book import item_book
from takeoff.measure.roofing.underlay import measure_underlay, plane_strips, valley_strips
from takeoff.measure.sundries import mesh_quantities
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Severity
from takeoff.model.job.job import Job
from takeoff.model.job.timber import PurlinsJob, UnderlayJob
from takeoff.model.measured import Need
from takeoff.model.products import Catalogue
from takeoff.model.roof import Roof
from takeoff.model.settings import Settings
from takeoff.order.whole_packs import in_whole_packs
from takeoff.read.catalogue import load_catalogue

Make = Callable[..., Roof]
RAFTER = 4000.0 / cos(radians(20.0))


def job(underlay: UnderlayJob | None = None, purlins: PurlinsJob | None = None) -> Job:
    return Job(job="test", underlay=underlay or UnderlayJob(), purlins=purlins or PurlinsJob())


def lengths(roof: Roof, plane: str, direction: str, settings: Settings, catalogue: Catalogue) -> list[float]:
    roll = catalogue.rolls["roof_underlay_1350"]
    return [s.length_mm for s in plane_strips(roof, roof.plane(plane), direction, roll, settings)]


def test_vertical_strips_of_a_gable(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # (10000 - 150) / 1200 = 8.2: 9 strips, each the rafter + 20 into the gutter + 150 over the ridge
    assert lengths(gable_roof(), "P1", "vertical", settings, catalogue) == pytest.approx([RAFTER + 170.0] * 9)


def test_horizontal_strips_of_a_gable(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # height 4426.7: (4426.7 - 150) / 1200 = 3.6: 4 strips of the plane's width
    assert lengths(gable_roof(), "P1", "horizontal", settings, catalogue) == pytest.approx([10000.0] * 4)


@pytest.mark.parametrize(("width", "strips"), [(1350.0, 1), (1350.4, 1), (1351.0, 2), (2550.0, 2), (2551.0, 3)])
def test_strips_at_exact_multiples(
    gable_roof: Make, settings: Settings, catalogue: Catalogue, width: float, strips: int
) -> None:
    roof = gable_roof(length_mm=width)
    assert len(lengths(roof, "P1", "vertical", settings, catalogue)) == strips


def test_strips_pass_each_hip_by_the_lap_square_to_it(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # lowest strip of the long side, 20 below the eave: each hip moves out by 150 square to itself, so along the level
    # by 150 / sin of the angle between hip and eave on the slope (tan = 1 / cos 25); and 20 below by 20 / tan
    first = lengths(hip_roof(), "P1", "horizontal", settings, catalogue)[0]
    tangent = 1.0 / cos(radians(25.0))
    sine = tangent / sqrt(1.0 + tangent**2)
    assert first == pytest.approx(12000.0 + 2.0 * (150.0 / sine + 20.0 / tangent), abs=0.01)


def test_rolls_are_whole_and_shared_between_roofs(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    # two planes of 9 strips: 18 x 4.4267 = 79.68 m; / 36.85 = 2.16: 3 rolls; two such roofs 4.32: 5, not 6
    roof = gable_roof()
    one = measure_underlay(roof, job(), settings, catalogue)
    assert {q.item: q.figure for q in one.quantities}["roof_underlay_1350"] == 3
    two = measure_underlay((roof, roof), job(), settings, catalogue)
    assert {q.item: q.figure for q in two.quantities}["roof_underlay_1350"] == 5


def test_strips_hold_the_plane(ell_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    roof = ell_roof()
    for plane in roof.planes:
        for direction in ("vertical", "horizontal"):
            strips = lengths(roof, plane.id, direction, settings, catalogue)
            assert sum(strips) * 1200.0 + 150.0 * max(strips) > plane.area_mm2


def test_a_strip_lies_in_each_valley(ell_roof: Make, settings: Settings) -> None:
    # valley 3000 x sqrt(tan2 25 + 2) = 4467.3, + 150 over its head + 20 into the gutter
    strips = valley_strips(ell_roof(), settings)
    factor = sqrt(tan(radians(25.0)) ** 2 + 2.0)
    assert [strip.length_mm for strip in strips] == pytest.approx([3000.0 * factor + 170.0])


def test_mesh_is_the_true_area_and_its_side_laps(hip_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    need = measure_underlay(hip_roof(), job(), settings, catalogue)
    figures = {q.item: q.figure for q in need.quantities}
    # 105.9243 m2 in strips of 1800 that cover 1650: x 1800 / 1650
    assert figures["safety_mesh"] == pytest.approx(115.5538, abs=1e-4)
    # 105.9243 x 4 and x 6 staples
    assert (figures["mesh_staple"], figures["underlay_staple"]) == (424.0, 636.0)


def test_mesh_of_a_large_house_takes_a_roll_more_for_its_laps(settings: Settings) -> None:
    # 258.39 m2 x 1800 / 1650 = 281.88 m2: four rolls of 90, where the bare area would be three
    mesh = mesh_quantities(258.39, ("P1",), settings)[0]
    assert mesh.figure == pytest.approx(281.88, abs=0.01)
    items = item_book((Need("underlay", (mesh,)),), (), load_catalogue(), settings)
    assert in_whole_packs(mesh, items["safety_mesh"], settings).figure == 4.0


def test_lap_tape_goes_over_end_laps_and_both_sides_of_valleys(
    gable_roof: Make, ell_roof: Make, settings: Settings, catalogue: Catalogue
) -> None:
    def tape(roof: Roof, **values: bool) -> float:
        chosen = replace(
            settings, values={**settings.values, **{n: replace(settings.values[n], value=v) for n, v in values.items()}}
        )
        return {q.item: q.figure for q in measure_underlay(roof, job(), chosen, catalogue).quantities}["underlay_tape"]

    rolls = {q.unit: q.figure for q in measure_underlay(gable_roof(), job(), settings, catalogue).quantities}["roll"]
    assert tape(gable_roof()) == pytest.approx((rolls - 1) * 1.35)
    valley = next(edge.length_mm for edge in ell_roof().edges if edge.kind is EdgeKind.VALLEY)
    rolls = {q.unit: q.figure for q in measure_underlay(ell_roof(), job(), settings, catalogue).quantities}["roll"]
    assert tape(ell_roof()) == pytest.approx((rolls - 1) * 1.35 + 2 * (valley + 170.0) / 1000.0)
    assert tape(ell_roof(), underlay_tape_side_laps=True) > tape(ell_roof()) + 20.0


def test_low_pitch_is_laid_horizontally_on_support(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    roof = gable_roof(pitch_deg=8.0)
    need = measure_underlay(roof, job(UnderlayJob(direction="vertical")), settings, catalogue)
    codes = {finding.code: finding.severity for finding in need.findings}
    assert codes == {"underlay-laid-horizontal": Severity.WARN, "underlay-needs-support": Severity.NOTE}
    assert measure_underlay(gable_roof(pitch_deg=10.0), job(), settings, catalogue).findings == ()


def test_purlins_too_far_apart_are_said(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    wide = job(purlins=PurlinsJob(spacing_mm=1500.0))
    assert [f.code for f in measure_underlay(gable_roof(), wide, settings, catalogue).findings] == ["underlay-span"]
    exact = job(purlins=PurlinsJob(spacing_mm=1200.0))
    assert measure_underlay(gable_roof(), exact, settings, catalogue).findings == ()


def test_an_unknown_roll_is_refused_by_name(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    with pytest.raises(JobError, match=r"no roof underlay 'felt'.*roof_underlay_1350"):
        measure_underlay(gable_roof(), job(UnderlayJob(roll="felt")), settings, catalogue)


def test_mesh_can_be_left_out(gable_roof: Make, settings: Settings, catalogue: Catalogue) -> None:
    bare = replace(
        settings, values={**settings.values, "safety_mesh": replace(settings.values["safety_mesh"], value=False)}
    )
    assert [q.unit for q in measure_underlay(gable_roof(), job(), bare, catalogue).quantities] == ["roll", "each", "m"]


def test_underlay_goes_up_a_wall_at_the_head_and_at_the_side(
    lean_to: Make, settings: Settings, catalogue: Catalogue
) -> None:
    """6 x 3 m at 10 degrees against walls at its head and its right: level strips are 6000 + 75 up the side wall long;
    upright ones 3000 / cos 10 + 20 into the gutter + 75 up the head wall. 75 and 40 more where the job sets 115."""
    rafter = 3000.0 / cos(radians(10.0))
    set_up = Settings(
        {**settings.values, "underlay_up_wall_mm": replace(settings.values["underlay_up_wall_mm"], value=115.0)}
    )
    for chosen, up in ((settings, 75.0), (set_up, 115.0)):
        level = lengths(lean_to(), "P1", "horizontal", chosen, catalogue)
        upright = lengths(lean_to(), "P1", "vertical", chosen, catalogue)
        assert level == pytest.approx([6000.0 + up] * len(level))
        assert upright == pytest.approx([rafter + 20.0 + up] * len(upright))
