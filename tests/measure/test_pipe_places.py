"""Where pipes may stand, on a ring, over a lower roof and under windows, and what another pipe drains: by hand."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from math import radians, tan
from pathlib import Path

import numpy as np
import pytest

from takeoff import run
from takeoff.measure.rainwater.deciding import _asked
from takeoff.measure.rainwater.downpipes import limits_of
from takeoff.measure.rainwater.limits import INSIDE, OPENING, VALLEY, Limits
from takeoff.measure.rainwater.placing import ROOM, PipeGround
from takeoff.measure.rainwater.polish import _moves
from takeoff.measure.rainwater.roof_ends import rises_at_end
from takeoff.measure.rainwater.sizing import pipe_capacity
from takeoff.measure.rainwater.spreaders import may_lie_below
from takeoff.measure.rainwater.stretches import stretches
from takeoff.model.edge_kinds import EdgeKind
from takeoff.read.job.job_file import parse_job

sys.path.insert(0, str(Path(__file__).parent))

from downpipe_houses import RECTANGLE, job_of, plans, shaped


def test_what_another_pipe_drains_is_told_by_the_tightest_of_the_tables_columns() -> None:
    _, _, chosen = shaped(job_of(RECTANGLE, {"method": "e1_as1"}))
    known = replace(chosen, pipe=replace(chosen.pipe, table_m2=(60.0, 50.0)))
    other = replace(chosen.pipe, table_m2=(120.0, 90.0))
    assert known.pipe_times(other) == pytest.approx(1.8)
    # a pipe of the job's own has no row in the table, and nothing is told of it, whichever way round
    unknown = replace(chosen, pipe=replace(chosen.pipe, table_m2=()))
    assert (known.pipe_times(unknown.pipe), unknown.pipe_times(other)) == (0.0, 0.0)


def test_a_run_with_room_between_its_marked_places_alone_has_a_place() -> None:
    """Where an outlet has room over a lower roof between 3.0 and 3.3 m only, none of the wall's ends, corners or even
    shares (40 m / 4, half way) lies; a place every 100 mm does."""
    roofs, gutters, chosen = shaped(job_of(RECTANGLE))
    parts = stretches(gutters[0])
    ground = PipeGround(gutters[0], parts, roofs[0], chosen.settings, 4, has_room=lambda along: 3000.0 < along < 3300.0)
    assert not ground.good
    assert not ground.nowhere
    limits = limits_of(pipe_capacity("e1_as1", chosen.pipe, 25.0, chosen.rain, chosen.settings), chosen)
    found = ground.field(limits).places_mm
    assert len(found) > 0
    assert 3000.0 < found.min() < found.max() < 3300.0


def test_a_pipe_moves_back_over_the_seam_of_a_ring() -> None:
    """Gutter round 12 x 8 m: 40 m. Of two pipes at 0.3 and 20.2 m the first may go on to 20.2 m or back over the seam to
    20.2 m from the other side: to every place but that of the other pipe."""
    roofs, gutters, chosen = shaped(job_of(RECTANGLE))
    ground = PipeGround(gutters[0], stretches(gutters[0]), roofs[0], chosen.settings, 2)
    limits = limits_of(pipe_capacity("e1_as1", chosen.pipe, 25.0, chosen.rain, chosen.settings), chosen)
    field = ground.field(limits)
    free = _moves(field, np.array([300.0, 20200.0]), 0)
    assert free.min() < -19000.0
    assert free.max() > 19000.0
    assert len(free) == len(field.places_mm) - 1


@pytest.mark.parametrize("side", range(4))
def test_a_roof_that_begins_at_the_fascia_lies_under_the_gutter_on_every_side(side: int) -> None:
    """A hip of 10 x 10 m without eaves, and a lower roof that stands against one of its walls from corner to corner: the
    outlets on that side, half a gutter out, are over the lower roof."""
    corners = [[0, 0], [10000, 0], [10000, 10000], [0, 10000]]
    (ax, ay), (bx, by) = corners[side], corners[(side + 1) % 4]
    ox, oy = (by - ay) * 0.3, (ax - bx) * 0.3  # 3 m out
    lower = [[bx, by], [ax, ay], [ax + ox, ay + oy], [bx + ox, by + oy]]
    edges = {1: {"kind": "wall"}, 2: {"kind": "gable"}, 4: {"kind": "gable"}}
    roofs = [
        {"name": "house", "outline": corners, "pitch_deg": 25, "fascia_height_mm": 5000},
        {
            "name": "lean-to",
            "outline": lower,
            "pitch_deg": 8,
            "fascia_height_mm": 2600,
            "edges": edges,
            "below": "house",
        },
    ]
    taken = run(parse_job(json.dumps({"job": "by hand", "roofs": roofs})))
    _, _, chosen = shaped(job_of(RECTANGLE))
    gutter = next(gutter for gutter in taken.gutters if gutter.roof == "house")
    assert [roof.name for roof in may_lie_below(gutter, taken.roofs, chosen)] == ["house", "lean-to"]


@pytest.mark.parametrize(("ux", "uy"), [(1, 0), (0, 1), (-1, 0), (0, -1)])
def test_a_line_ends_against_a_roof_that_rises_along_it(ux: int, uy: int) -> None:
    """A gabled roof whose near eave lies across the way (ux, uy): a level line that comes along that way to the eave's end
    meets a slope of tan 25, which rises neither way to the side; one that leaves it meets none."""

    def at(along: float, across: float) -> list[float]:
        return [along * ux - across * uy, along * uy + across * ux]

    corners = [at(0, 0), at(8000, 0), at(8000, 10000), at(0, 10000)]
    roof = {1: {"kind": "gable"}, 3: {"kind": "gable"}}
    (roofs, _, _) = shaped(job_of(corners, roof={"edges": roof}))
    eaves = {edge.outline_edges: edge for edge in roofs[0].edges if edge.kind is EdgeKind.EAVE}
    near, far = eaves[(4,)], eaves[(2,)]
    end = next(place for place in (near.a_mm, near.b_mm) if place[:2] == pytest.approx((0.0, 0.0), abs=1e-6))
    before, beyond = (end[0] - 1000 * ux, end[1] - 1000 * uy, end[2]), (end[0] + 1000 * ux, end[1] + 1000 * uy, end[2])
    ((rise, aside),) = rises_at_end(before, end, {far.id}, roofs, (uy, -ux))
    assert (rise, aside) == pytest.approx((tan(radians(25)), 0.0), abs=1e-9)
    assert rises_at_end(beyond, end, {far.id}, roofs) == []


def test_a_limit_that_is_none_is_not_asked_for() -> None:
    roofs, gutters, chosen = shaped(job_of(RECTANGLE))
    ground = PipeGround(gutters[0], stretches(gutters[0]), roofs[0], chosen.settings, 4)
    limits = Limits(0.0, 12000.0, 12000.0, 50e6, 2000.0, 600.0)
    # a hip has no valley, no inside corner, no opening under its eaves and no roof below it
    names = ("capacity", "the gutter's own section", VALLEY, INSIDE, OPENING, ROOM)
    assert [_asked(name, ground, limits) for name in names] == [False] * 6
    assert _asked("capacity", ground, replace(limits, capacity_mm2=60e6))
    assert _asked("gutter length per outlet", ground, limits)


def test_a_search_that_would_take_long_says_what_each_limit_asks_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """40 m round a hip: length and spacing of 12 m ask for 4 pipes each, nothing else for as many."""
    monkeypatch.setattr("takeoff.measure.rainwater.deciding._MOST_STEPS", 10)
    (plan,) = plans(job_of(RECTANGLE))
    assert plan.decided_by == "gutter length per outlet and spacing between outlets"
