"""Counts do not go by crumbs of floating point, and choices not by which corner of the house was typed first.

Every house here is the same to a hundred thousandth of a millimetre; hand arithmetic beside each.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from math import cos, radians, sin

import pytest

from takeoff.measure.cladding.cladding import measure_cladding
from takeoff.measure.rainwater.rainwater import measure_rainwater
from takeoff.measure.roofing.fixings.roof_fixings import measure_fixings
from takeoff.measure.roofing.flashings.flashings import measure_flashings
from takeoff.measure.roofing.flashings.hole_flashings import rivets_of
from takeoff.model.job.roofs import RoofJob
from takeoff.model.job.site import Site
from takeoff.model.job.walls import WallsJob, ZoneJob
from takeoff.model.products import Catalogue
from takeoff.model.roof import Roof
from takeoff.model.runs import RunDemand, StockChoice
from takeoff.model.settings import Settings
from takeoff.order.cut_stock.runs import cut_all, cut_runs
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.walls.walls import elevations
from takeoff.shape.water.drainage import trace_all_gutters

CRUMBS = (0.0, 1e-5, -1e-5)


def test_rivets_round_a_hole(settings: Settings) -> None:
    """40 spacings round an edge are 40 rivets."""
    spacing = settings.number("penetration_rivet_mm")
    assert {rivets_of(40.0 * spacing + crumb, settings) for crumb in CRUMBS} == {40}


def test_screws_along_a_flashing(gable_roof: Callable[..., Roof], settings: Settings, catalogue: Catalogue) -> None:
    """A barge of 8 spacings has 9 screws."""
    roof = gable_roof()
    barge = next(
        run for run in measure_flashings(roof, RoofJob(), Site(), settings, catalogue)[0] if run.kind == "verge"
    )
    spacing = settings.number("flashing_screw_spacing_mm")
    found = set()
    for crumb in CRUMBS:
        run = replace(barge, net_mm=8.0 * spacing + crumb)
        need = measure_fixings((), (), roof, settings, catalogue.profiles, (run,), screws={})
        figure = next(quantity for quantity in need.quantities if quantity.item == "flashing_screw")
        found |= {term.value for term in figure.working.terms if term.name == "counted"}
    assert found == {9}


@pytest.mark.parametrize("left", [1445, 1460, 1500, 1580, 1595])
def test_vertical_boards_are_moved_alike(left: int, settings: Settings, catalogue: Catalogue) -> None:
    """6000 is 43 boards of 135 and two rips of 97.5: they may move by 30, six steps of 5, and by no crumb less."""
    moves = set()
    for crumb in CRUMBS:
        wall = {"name": "wall", "width_mm": 6000.0 + crumb, "height_mm": 2350, "left": "none", "right": "none"}
        hole = {"wall": 1, "from_left_mm": left, "sill_mm": 900, "width_mm": 1205, "height_mm": 1200}
        zone = {"board": {"width_mm": 150, "cover_mm": 135, "kind": "shiplap"}, "direction": "vertical"}
        job = WallsJob.model_validate({"elevations": [wall], "zones": [zone], "openings": [hole], "ground_mm": -450})
        boards = measure_cladding(elevations(job, (), 0.0, settings), job, (), settings, catalogue).boards[0]
        moves.add(tuple(round(mark, 2) for mark in boards.marks_mm))
    assert len(moves) == 1


ELL = [(0, 0), (16798, 0), (16798, 7161), (8518, 7161), (8518, 12768), (0, 12768)]


def test_downpipes_of_a_ring_stand_alike_whichever_corner_is_typed_first(catalogue: Catalogue) -> None:
    """59.132 m round: 5 pipes of 12 m apart. From some corners 6 were ordered."""
    found = set()
    for start in range(len(ELL)):
        roof = {"outline": ELL[start:] + ELL[:start], "pitch_deg": 25, "fascia_height_mm": 2400}
        job = parse_job(json.dumps({"job": "any", "roofs": [roof]}))
        settings = resolve_settings(job)
        roofs = (roof_from_outline(job.roofs[0], 0.0, settings),)
        plan = measure_rainwater(trace_all_gutters(roofs), roofs, job, settings, catalogue).downpipes[0]
        x0, y0, _ = roofs[0].origin_mm
        found.add(tuple(sorted((round(pipe.at_mm[0] + x0), round(pipe.at_mm[1] + y0)) for pipe in plan.pipes)))
    assert len(found) == 1
    assert len(found.pop()) == 5


@pytest.mark.parametrize("side", [12000.0, 6000.0])
def test_pipes_of_walls_as_long_as_the_spacing(side: float, catalogue: Catalogue) -> None:
    found = set()
    for crumb in CRUMBS:
        ring = [(0, 0), (side + crumb, 0), (side + crumb, 8000), (0, 8000)]
        job = parse_job(
            json.dumps({"job": "any", "roofs": [{"outline": ring, "pitch_deg": 25, "fascia_height_mm": 2400}]})
        )
        settings = resolve_settings(job)
        roofs = (roof_from_outline(job.roofs[0], 0.0, settings),)
        plan = measure_rainwater(trace_all_gutters(roofs), roofs, job, settings, catalogue).downpipes[0]
        found.add(tuple(round(pipe.along_mm) for pipe in plan.pipes))
    assert len(found) == 1


WALL_CRUMBS = (0.0, 0.001, 0.003, 0.005, 0.009, 0.02, 0.3, 0.48, -0.003, -0.49)


@pytest.mark.parametrize("crumb", WALL_CRUMBS)
@pytest.mark.parametrize("docked", [0, 10])
def test_a_face_of_whole_lengths_buys_them_whatever_its_crumbs(
    crumb: float, docked: int, settings: Settings, catalogue: Catalogue
) -> None:
    """16 courses of twice the stock over ten studs, butted; a third of them may be joined on one row of studs each.

    Five courses have the stud in the middle: two whole lengths each. Eleven have not: the fewest pieces are three, of
    4, 3 and 3 studs, no two of which come out of one length of 5: 5 x 2 + 11 x 3 = 43 at the most. Pieces of 4, 5 and 1
    studs buy less: 5 x 2 + 11 x 2 = 32, and one length for each four pieces of one stud, 35 at the least. The closer is
    two lengths.
    """
    whole = 3000 - docked
    wall = {"name": "wall", "width_mm": 2 * whole + crumb, "height_mm": 2350, "left": "none", "right": "none"}
    walls = {"elevations": [wall], "zones": [{"board": "bevel_187"}], "ground_mm": -450, "stock_mm": [3000]}
    job = WallsJob.model_validate({**walls, "stud_mm": whole / 5})
    asked = {"board_docking_mm": float(docked), "board_scarf_deg": 90.0}
    values = {name: replace(settings.values[name], value=value) for name, value in asked.items()}
    own = replace(settings, values={**settings.values, **values})
    need = measure_cladding(elevations(job, (), 0.0, own), job, (), own, catalogue).needs[0]
    plans = {plan.item: plan for plan in cut_all(need.demands, need.stock)}
    assert all(plan.findings == () for plan in plans.values())
    assert 35 <= len(plans["bevel_187"].bars) <= 43
    assert sum(1 for bar in plans["bevel_187"].bars for piece in bar.pieces if piece.length_mm == whole) >= 10
    assert docked or len(plans["base_closer"].bars) == 2


@pytest.mark.parametrize("length", [6000.0, 6000.003, 6000.009, 6000.3, 6000.48, 5999.6])
@pytest.mark.parametrize("lap", [0.0, 18.0])
def test_a_run_that_prints_as_lengths_buys_them(length: float, lap: float) -> None:
    """Two lengths of 3000 are 6000, less the lap that they share."""
    run = RunDemand("R1", "any", length - lap, None, lap_mm=lap)
    plan = cut_runs([run], StockChoice("any", (3000,)))
    assert [bar.stock_mm for bar in plan.bars] == [3000, 3000]
    over = cut_runs([replace(run, length_mm=6000.6 - lap)], StockChoice("any", (3000,)))
    assert len(over.bars) == 3


def test_a_turned_house_of_whole_lengths_buys_the_same(settings: Settings, catalogue: Catalogue) -> None:
    """5924 on framing is 6000 on the face between two outside corners (38 each way): base closer 4 x 2 x 3000."""
    bought = []
    for turn in (0.0, 37.0, 11.7, 81.3):
        c, s = cos(radians(turn)), sin(radians(turn))
        ring = [(x * c - y * s, x * s + y * c) for x, y in ((0, 0), (5924, 0), (5924, 5924), (0, 5924))]
        roof = RoofJob(wall_line=ring, eave_overhang_mm=600, fascia_height_mm=2450, pitch_deg=25)
        made = (roof_from_outline(roof, 0.0, settings),)
        job = WallsJob(height_mm=2450, ground_mm=-450, stock_mm=[3000], zones=[ZoneJob(board="bevel_187")])
        need = measure_cladding(elevations(job, made, 0.0, settings), job, made, settings, catalogue).needs[0]
        plans = cut_all(need.demands, need.stock)
        assert all(plan.findings == () for plan in plans)
        bought.append({plan.item: sorted(bar.stock_mm for bar in plan.bars) for plan in plans})
    assert bought[0]["base_closer"] == [3000] * 8
    assert bought[1:] == bought[:1] * 3
