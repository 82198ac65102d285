"""Gutters, fascia and barge boards counted by hand on a 12 x 8 m hip, an L of 6 m wings and a gabled house."""

from __future__ import annotations

import json
from math import ceil

import pytest

from takeoff.basics.errors import JobError
from takeoff.measure.item_book import item_book
from takeoff.measure.rainwater.chosen import choose
from takeoff.measure.rainwater.fascia import fascia_need
from takeoff.measure.rainwater.gutters import brackets_on, corner_allowance_mm, gutter_need, within_longest
from takeoff.measure.rainwater.rainwater import measure_rainwater
from takeoff.measure.rainwater.stretches import stretches
from takeoff.model.job.job import Job
from takeoff.model.measured import Need, RainwaterMeasured
from takeoff.model.roof import Roof
from takeoff.order.cut_stock.runs import cut_all
from takeoff.pipeline import Stage, run
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline
from takeoff.shape.water.drainage import trace_all_gutters

RECTANGLE = [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]
ELL = [[0, 0], [12000, 0], [12000, 6000], [6000, 6000], [6000, 12000], [0, 12000]]
BAY = [[0, 0], [5000, 0], [6000, -1000], [8000, -1000], [9000, 0], [14000, 0], [14000, 8000], [0, 8000]]
GABLES = {2: {"kind": "gable"}, 4: {"kind": "gable"}}


def job_of(outline: list[list[int]], rainwater: dict[str, object] | None = None, **more: object) -> Job:
    edges = more.pop("edges", {})
    roof = {"outline": outline, "pitch_deg": 25, "fascia_height_mm": 2450, "edges": edges}
    return parse_job(json.dumps({"job": "by hand", "roofs": [roof], "rainwater": rainwater or {}, **more}))


def take_off(job: Job) -> tuple[tuple[Roof, ...], RainwaterMeasured]:
    settings = resolve_settings(job)
    roofs = tuple(roof_from_outline(roof, job.north_deg, settings) for roof in job.roofs)
    gutters = trace_all_gutters(roofs, job.bare_edges)
    return roofs, measure_rainwater(gutters, roofs, job, settings, load_catalogue())


def gutter_part(job: Job) -> Need:
    _, measured = take_off(job)
    longest = job.site.longest_piece_mm
    return gutter_need(
        measured.gutters, measured.downpipes, longest, choose(job, resolve_settings(job), load_catalogue())
    )


def count(need: Need, name: str) -> float:
    return next((q.figure for q in need.quantities if q.id == name), 0.0)


def lengths(need: Need, item: str) -> list[float]:
    return [round(demand.length_mm, 3) for demand in need.demands if demand.item == item]


def test_mitred_lengths_go_to_the_long_point() -> None:
    need = gutter_part(job_of(RECTANGLE))
    # 125 mm of gutter at each of two external corners
    assert lengths(need, "gutter quad_125") == [12250, 8250, 12250, 8250]


def test_an_inside_corner_adds_nothing() -> None:
    need = gutter_part(job_of(ELL))
    # the two legs at the inside corner have one external corner each
    assert lengths(need, "gutter quad_125") == [12250, 6250, 6125, 6125, 6250, 12250]
    assert (count(need, "gutter external corners"), count(need, "gutter internal corners")) == (5, 1)


def test_the_allowance_follows_the_corner() -> None:
    assert corner_allowance_mm(125, 90) == pytest.approx(125.0)
    assert corner_allowance_mm(125, 135) == pytest.approx(51.777, abs=1e-3)  # 125 x tan 22.5
    assert corner_allowance_mm(100, 60) == pytest.approx(173.205, abs=1e-3)  # 100 x tan 60


def test_a_bay_of_45_degree_corners() -> None:
    need = gutter_part(job_of(BAY))
    front = next(demand for demand in need.demands if abs(demand.length_mm - 2103.553) < 0.01)
    assert front.length_mm == pytest.approx(2000 + 2 * 51.777, abs=0.01)
    assert count(need, "gutter external corners") == 6
    assert count(need, "gutter internal corners") == 2


def test_corner_fittings_take_their_legs_off() -> None:
    need = gutter_part(job_of(RECTANGLE, {"gutter": "pvc_125"}))
    assert lengths(need, "gutter pvc_125") == [11800, 7800, 11800, 7800]
    corners = next(q for q in need.quantities if q.id == "gutter external corners")
    assert "fitting" in corners.item
    assert all(demand.lap_mm == 0.0 for demand in need.demands)


def test_a_ring_has_no_stop_ends_and_gables_have_two_of_each() -> None:
    ring, gabled = gutter_part(job_of(RECTANGLE)), gutter_part(job_of(RECTANGLE, edges=GABLES))
    for hand in ("left", "right"):
        assert count(ring, f"gutter {hand} stop ends") == 0
        assert count(gabled, f"gutter {hand} stop ends") == 2
    assert lengths(gabled, "gutter quad_125") == [12000, 12000]


@pytest.mark.parametrize(
    ("length_mm", "spacing_mm", "brackets"),
    [
        (12000, 1200, 11),
        (12000.4, 1200, 11),
        (12001, 1200, 12),
        (11999, 1200, 11),
        (8000, 1200, 8),
        (300, 1200, 2),
        (8000, 500, 17),
    ],
)
def test_brackets_stand_at_both_ends_and_never_too_far_apart(
    length_mm: float, spacing_mm: float, brackets: int
) -> None:
    assert brackets_on(length_mm, spacing_mm) == brackets


def test_brackets_of_a_house() -> None:
    # 12 m and 8 m at 750: 16 and 11 spaces, one bracket more on each
    assert count(gutter_part(job_of(RECTANGLE)), "gutter brackets") == 2 * 17 + 2 * 12
    assert count(gutter_part(job_of(RECTANGLE, {"gutter": "pvc_125"})), "gutter brackets") == 2 * 25 + 2 * 17


def test_joiners_are_one_less_than_the_fewest_pieces() -> None:
    # 12250 of 8000 lapping 25 is 2 pieces, 8250 is 2: four joints
    assert count(gutter_part(job_of(RECTANGLE)), "gutter joiners") == 4
    # 11800 of 5000 is 3 pieces, 7800 is 2
    assert count(gutter_part(job_of(RECTANGLE, {"gutter": "pvc_125"})), "gutter joiners") == 2 * 2 + 2 * 1


def test_no_length_longer_than_can_be_brought() -> None:
    assert within_longest((3000, 5000, 8000), 6000) == (3000, 5000)
    assert within_longest((3000, 5000), 2000) == (3000,)
    (stock,) = gutter_part(job_of(RECTANGLE, site={"longest_piece_mm": 6000})).stock
    assert max(stock.lengths_mm) == 6000


def test_one_outlet_a_downpipe() -> None:
    job = job_of(RECTANGLE)
    _, measured = take_off(job)
    assert count(gutter_part(job), "gutter outlets") == sum(plan.count for plan in measured.downpipes) == 4


def test_straight_legs_are_one_stretch() -> None:
    split = [[0, 0], [7000, 0], [12000, 0], [12000, 8000], [0, 8000]]
    _, measured = take_off(job_of(split))
    assert [round(part.length_mm) for part in stretches(measured.gutters[0])].count(12000) == 2
    assert lengths(gutter_part(job_of(split)), "gutter quad_125") == [12250, 8250, 12250, 8250]


def test_fascia_to_its_long_point_and_barges_cut_plumb() -> None:
    job = job_of(RECTANGLE, edges=GABLES)
    roofs, _ = take_off(job)
    need = fascia_need(roofs, None, choose(job, resolve_settings(job), load_catalogue()))
    assert lengths(need, "fascia board") == [12000, 12000]
    # 4 m at 25 degrees is 4413.5 up the slope, plus 180 x tan 25 = 83.9 for the plumb cuts
    assert lengths(need, "barge board") == pytest.approx([4413.511 + 83.935] * 4, abs=0.01)


def test_fascia_corners() -> None:
    job = job_of(ELL)
    roofs, _ = take_off(job)
    need = fascia_need(roofs, None, choose(job, resolve_settings(job), load_catalogue()))
    assert lengths(need, "fascia board") == [12040, 6040, 6020, 6020, 6040, 12040]


def test_clip_on_gutter_hangs_on_metal_fascia() -> None:
    job = job_of(RECTANGLE, {"gutter": "box_125"})
    roofs, measured = take_off(job)
    items = {demand.item for need in measured.needs for demand in need.demands}
    assert "metal fascia" in items
    assert "fascia board" not in items
    codes = {finding.code for need in measured.needs for finding in need.findings}
    assert "gutter-fall" in codes  # all gutters fall, those on metal fascia too
    board = job_of(RECTANGLE, settings={"fascia_kind": "none"})
    assert not fascia_need(roofs, None, choose(board, resolve_settings(board), load_catalogue())).demands


def test_movement_is_told() -> None:
    # 12 m x 0.012 x 75 = 10.8 mm
    need = gutter_part(job_of(RECTANGLE))
    text = next(finding.text for finding in need.findings if finding.code == "gutter-movement")
    assert "moves 11 mm" in text


def test_a_long_straight_gutter_has_its_expansion_joint_in_the_order() -> None:
    long = [[0, 0], [19800, 0], [19800, 8000], [0, 8000]]
    # 19.8 m of steel on moving brackets needs none below 25 m
    assert count(gutter_part(job_of(long, edges=GABLES)), "gutter expansion joints") == 0
    need = gutter_part(job_of(long, edges=GABLES, settings={"gutter_held": "fastened_through"}))
    # fastened through in lengths up to 12 m: one each side; 8 m stock makes 2 joints a side, one of them this
    assert (count(need, "gutter expansion joints"), count(need, "gutter joiners")) == (2, 2)
    note = next(finding for finding in need.findings if finding.code == "gutter-movement")
    assert "expansion joint is in the order" in note.advice
    short = gutter_part(job_of(RECTANGLE, edges=GABLES))
    assert count(short, "gutter expansion joints") == 0
    assert "expansion" not in next(f.advice for f in short.findings if f.code == "gutter-movement")
    assert count(gutter_part(job_of(long, {"gutter": "pvc_125"}, edges=GABLES)), "gutter expansion joints") == 0
    own = gutter_part(job_of(long, edges=GABLES, settings={"gutter_expansion_over_mm": 9900}))
    assert count(own, "gutter expansion joints") == 2


def test_brackets_as_the_job_says() -> None:
    closer = gutter_part(job_of(RECTANGLE, edges=GABLES, settings={"gutter_bracket_mm": 500}))
    assert count(closer, "gutter brackets") == 2 * 25


def test_a_table_of_another_code_is_marked() -> None:
    need = gutter_part(job_of([[0, 0], [26000, 0], [26000, 8000], [0, 8000]], edges=GABLES, code="au"))
    joints = next(q for q in need.quantities if q.id == "gutter expansion joints")
    (basis,) = (term.basis for term in joints.working.terms if term.name == "longest without an expansion joint")
    assert basis is not None
    assert basis.holds == "New Zealand, taken where the code of Australia is silent"


def test_seams_are_riveted_and_sealed_and_brackets_screwed() -> None:
    need = gutter_part(job_of(ELL))
    # ELL: 5 external and 1 internal corner, lengths 12.25, 6.25, 6.125, 6.125, 6.25, 12.25 in 8 m stock: 2 joints,
    # and the outlets; a ring has no stop ends
    outlets = count(need, "gutter outlets")
    joints = count(need, "gutter joiners") + count(need, "gutter expansion joints")
    assert joints == 2
    seams = 5 + 1 + 2 + outlets
    assert count(need, "gutter rivet") == ceil(seams * 8 * 1.1 - 1e-9)
    assert count(need, "gutter sealant") == ceil(seams * 500 / 10000)
    assert count(need, "gutter bracket screw") == ceil(count(need, "gutter brackets") * 2 * 1.1 - 1e-9)
    labour = {q.id for q in need.quantities if q.labour}
    assert labour == {"gutter joiners", "gutter external corners", "gutter internal corners"}
    pvc = gutter_part(job_of(ELL, {"gutter": "pvc_125"}))
    assert count(pvc, "gutter rivet") == 0
    assert count(pvc, "gutter cement") == 1
    (cement,) = (q.working for q in pvc.quantities if q.id == "gutter cement")
    assert cement.rule == "seams / what a tin serves, whole tins"
    assert (cement.terms[-1].name, cement.terms[-1].value) == ("gutter_cement_seams", 40)
    assert not any(q.labour for q in pvc.quantities)


def test_fascia_is_joined_on_rafters_and_no_piece_is_short() -> None:
    # 12 000 + 2 x 20 = 12 040 is 40 mm more than two lengths of 6 m: three pieces, joints on rafters set out at 900
    # from the middle of the plane: 20 + 6000 +- 900 k
    job = job_of(RECTANGLE)
    roofs, _ = take_off(job)
    need = fascia_need(roofs, None, choose(job, resolve_settings(job), load_catalogue()), 900.0)
    front = need.demands[0]
    assert front.length_mm == pytest.approx(12040)
    assert front.splits_mm is not None
    assert all(round((at - 6020.0) / 900.0, 6).is_integer() for at in front.splits_mm)
    plan = next(plan for plan in cut_all(need.demands, need.stock))
    pieces = [piece for bar in plan.bars for piece in bar.pieces if piece.run == front.id]
    assert len(pieces) == 3
    assert min(piece.length_mm for piece in pieces) >= 1200
    # 12 040 / 900: 14 bays, 15 places; 8 040 / 900: 9 bays, 10 places; 2 nails each, 10 % spare
    assert count(need, "fascia nail") == ceil((15 + 10) * 2 * 2 * 1.1 - 1e-9)


def test_an_unknown_gutter_is_refused() -> None:
    job = job_of(RECTANGLE)
    wrong = job.model_copy(update={"rainwater": job.rainwater.model_copy(update={"gutter": "quad_126"})})
    with pytest.raises(JobError, match="did you mean quad_125"):
        choose(wrong, resolve_settings(job), load_catalogue())


def test_every_line_of_the_order_has_its_own_id() -> None:
    for rainwater in ({}, {"gutter": "pvc_115"}, {"gutter": "box_125"}):
        _, measured = take_off(job_of(ELL, rainwater))
        ids = [q.id for need in measured.needs for q in need.quantities]
        demands = [d.id for need in measured.needs for d in need.demands]
        assert len(set(ids)) == len(ids)
        assert len(set(demands)) == len(demands)
        items = {d.item for need in measured.needs for d in need.demands}
        assert items == {s.item for need in measured.needs for s in need.stock}
        assert items <= set(item_book(measured.needs, (), load_catalogue(), resolve_settings(job_of(ELL, rainwater))))


def test_a_crumb_of_an_edge_carries_no_fascia() -> None:
    """A corner 2 mm out of line beside a gable leaves a head of 0.2 mm: no board, and no stop of the program."""
    outline = [[0, 0], [9000, 0], [9000, 2998.1374649333698], [14000, 2999.3850695751753], [14000, 7995.013519485146]]
    outline += [[5004.31504278793, 8000], [5000, 5000], [0, 5000]]
    roof = {"name": "m", "outline": outline, "pitch_deg": 25, "fascia_height_mm": 2400, "edges": {2: {"kind": "gable"}}}
    job = Job.model_validate({"job": "crumb", "roofs": [roof]}, strict=False)
    takeoff = run(job, until=Stage.MEASURE)
    boards = [d for need in takeoff.rainwater.needs for d in need.demands if d.item == "fascia board"]
    assert boards
    assert min(board.length_mm for board in boards) > 1.0
