"""Raked pairs: which rakes come from one length, and the most of them. Common practice, no source.

A raked offcut turned end for end, face up, keeps its hand and changes the side of its lap. Saving of a full pair: one
rake difference over the cover, 762 / cos 25 = 840.8 mm at 25 degrees.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians

import networkx as nx
import pytest
from shapely import Polygon
from shapely.affinity import rotate, translate

from takeoff.measure.roofing.sheets.sheets import place_sheets
from takeoff.model.job.roofs import CoveringJob, RoofJob
from takeoff.model.job.site import Site
from takeoff.model.products import Profile
from takeoff.model.sheets import CutShape, EndCut, PairPlan, PlaneSheets, SheetPiece
from takeoff.order.sheets.raked_pairs import half_of, pair_length, pair_raked, why_not
from takeoff.order.sheets.sheet_blanks import guests_of, pieces_of
from takeoff.read.catalogue import load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.shape.outline.roof_from_outline import roof_from_outline

SETTINGS = default_rules()
CORRUGATED = load_catalogue().profiles["corrugated"]
HIP = [(0.0, 0.0), (12000.0, 0.0), (12000.0, 8000.0), (0.0, 8000.0)]
ELL = [(0.0, 0.0), (14200.0, 0.0), (14200.0, 8400.0), (9000.0, 8400.0), (9000.0, 12600.0), (0.0, 12600.0)]


def lay(outline: list[tuple[float, float]], lay_from: str = "east") -> tuple[PlaneSheets, ...]:
    job = RoofJob(
        outline=outline,
        pitch_deg=25.0,
        fascia_height_mm=2450.0,
        covering=CoveringJob(lay_from=lay_from),  # type: ignore[arg-type]
    )
    return place_sheets(roof_from_outline(job, 0.0, SETTINGS), job, Site(), 0.0, SETTINGS, CORRUGATED)


@pytest.fixture(scope="module")
def hip() -> dict[str, SheetPiece]:
    return pieces_of(lay(HIP), "corrugated")


def refusal(a: SheetPiece, b: SheetPiece, profile: Profile = CORRUGATED, limit_mm: float = 12000.0) -> str:
    first, second = half_of(a, profile), half_of(b, profile)
    assert first is not None
    assert second is not None
    return why_not(first, second, profile, limit_mm, SETTINGS)


def test_left_hip_of_north_with_left_hip_of_south(hip: dict[str, SheetPiece]) -> None:
    """Allowed: both laid from the east, so north from its left and south from its right; both rakes of one hand.

    P3.03 of 2670 and P1.13 of 3230: 5900 - 840.8 = 5059.2, bought 5060.
    """
    north, south = hip["P3.03"], hip["P1.13"]
    assert (north.top.hand, south.top.hand) == ("right", "right")
    assert (north.start_side, south.start_side) == ("left", "right")
    assert refusal(north, south) == ""
    first, second = half_of(north, CORRUGATED), half_of(south, CORRUGATED)
    assert first is not None
    assert second is not None
    assert pair_length(first, second, CORRUGATED, SETTINGS) == 5060.0


def test_the_two_rakes_at_one_hip_are_refused(hip: dict[str, SheetPiece]) -> None:
    """South and east meet at one hip: hands are opposite, face up they never pair."""
    south, east = hip["P1.03"], hip["P2.03"]
    assert set(south.top.edges) == set(east.top.edges)
    assert refusal(south, east) == "not the same hand"


def test_planes_laid_the_same_way_are_refused(hip: dict[str, SheetPiece]) -> None:
    """East and north, both from their left: turned, the lap would lie on the wrong side."""
    east, north = hip["P2.03"], hip["P3.04"]
    assert east.start_side == north.start_side == "left"
    assert refusal(east, north).startswith("both planes are laid the same way")
    assert refusal(east, north, replace(CORRUGATED, half_turn_same=True)) == ""


def test_a_sheet_with_a_ridge_end_or_both_hips_is_no_half(hip: dict[str, SheetPiece]) -> None:
    assert half_of(hip["P1.06"], CORRUGATED) is None  # ridge end
    assert half_of(hip["P2.06"], CORRUGATED) is None  # apex
    assert half_of(hip["P1.08"], CORRUGATED) is None  # square
    assert half_of(hip["P2.11"], CORRUGATED) is None  # narrow, and itself cut from another
    assert half_of(hip["P1.16"], CORRUGATED) is None  # narrower than a sheet


def test_other_rakes_profiles_and_lengths_are_refused(hip: dict[str, SheetPiece]) -> None:
    north, south = hip["P3.03"], hip["P1.13"]
    steeper = replace(north, top=EndCut(CutShape.RAKED, (), north.top.rake_deg + 0.2, "right"))
    assert refusal(steeper, south) == "not the same rake"
    assert refusal(replace(north, profile="other"), south) == "not the same profile"
    assert refusal(north, south, limit_mm=5059.0) == "together longer than the longest piece"


def test_a_hip_offcut_not_turned_fits_a_valley() -> None:
    """North wing plane of the L, laid from its left: its hip rises to the right and so does the foot at its valley."""
    pieces = pieces_of(lay(ELL), "corrugated")
    valley = next(p for p in pieces.values() if p.foot.shape is CutShape.RAKED and p.plane == "P3")
    hip_sheet = pieces["P3.02"]
    assert (hip_sheet.top.hand, valley.foot.hand) == ("right", "left")
    assert refusal(hip_sheet, valley) == ""
    other_way = replace(valley, start_side="right")
    assert refusal(hip_sheet, other_way).startswith("the planes are laid opposite ways")
    falls = replace(valley, foot=replace(valley.foot, hand="right"))
    assert refusal(hip_sheet, falls) == "the valley does not rise the way the hip does"


def test_a_full_pair_saves_one_rake_difference_over_the_cover() -> None:
    """762 / cos 25 = 840.8: lengths in steps of 10 save 840."""
    plan = pair_raked(lay(HIP), CORRUGATED, Site(), SETTINGS)
    assert plan.pairs
    assert {pair.saving_mm for pair in plan.pairs} == {840.0}
    assert 762.0 / cos(radians(25.0)) == pytest.approx(840.8, abs=0.05)
    assert plan.saving_mm == sum(pair.saving_mm for pair in plan.pairs)


@pytest.mark.parametrize("outline", [HIP, ELL], ids=["hip", "ell"])
@pytest.mark.parametrize("lay_from", ["east", "north", "south-west"])
@pytest.mark.parametrize("longest", [None, 5000.0])
@pytest.mark.parametrize("half_turn_same", [False, True])
def test_no_list_has_more_pairs(
    outline: list[tuple[float, float]], lay_from: str, longest: float | None, half_turn_same: bool
) -> None:
    """Against an independent general matching (networkx) over all pairs that `why_not` allows."""
    profile = replace(CORRUGATED, half_turn_same=half_turn_same)
    sheets = lay(outline, lay_from)
    plan = pair_raked(sheets, profile, Site(longest_piece_mm=longest), SETTINGS)
    pieces = pieces_of(sheets, "corrugated")
    guests = guests_of(pieces)
    halves = [h for p in pieces.values() if (h := half_of(p, profile, guests.get(p.mark, ()))) is not None]
    graph = nx.Graph()
    for i, a in enumerate(halves):
        for b in halves[i + 1 :]:
            if not why_not(a, b, profile, longest or 12000.0, SETTINGS):
                graph.add_edge(a.piece.mark, b.piece.mark)
    assert len(plan.pairs) == len(nx.max_weight_matching(graph, maxcardinality=True)) == plan.most_pairs
    check(plan, sheets)


def check(plan: PairPlan, sheets: tuple[PlaneSheets, ...]) -> None:
    """Every piece once; in every blank the pieces, turned as said, lie inside it and do not overlap."""
    pieces = {piece.mark: piece for plane in sheets for piece in plane.pieces}
    marks = [part.mark for blank in plan.blanks for part in blank.pieces]
    assert sorted(marks) == sorted(pieces)
    for blank in plan.blanks:
        placed = []
        for part in blank.pieces:
            piece = pieces[part.mark]
            shape = translate(Polygon(piece.outline_uv), -_sheet_left(piece), -piece.foot_v_mm)
            if part.turned:
                shape = translate(rotate(shape, 180.0, origin=(0.0, 0.0)), 845.0, piece.order_mm)
            placed.append(translate(shape, 0.0, part.start_mm))
        for number, shape in enumerate(placed):
            assert shape.bounds[1] >= -1e-6
            assert shape.bounds[3] <= blank.length_mm + 1e-6
            assert all(shape.intersection(other).area < 1.0 for other in placed[number + 1 :])


def _sheet_left(piece: SheetPiece) -> float:
    """Left edge of the whole sheet that the piece is cut from: a narrow one keeps the edge on its start side."""
    us = [u for u, _ in piece.outline_uv]
    return max(us) - 845.0 if piece.start_side == "right" else min(us)


def test_laps_lie_on_the_right_side_in_a_pair() -> None:
    """In the blank, a turned piece's lap lies on the side of its fellow's lap; not turned, both as on their planes."""
    sheets = lay(ELL)
    pieces = {piece.mark: piece for plane in sheets for piece in plane.pieces}
    plan = pair_raked(sheets, CORRUGATED, Site(), SETTINGS)
    swap = {"left": "right", "right": "left"}
    pairs = [
        blank.pieces[:2] for blank in plan.blanks if len(blank.pieces) > 1 and not pieces[blank.pieces[1].mark].cut_from
    ]
    assert {part.turned for pair in pairs for part in pair} == {True, False}
    for pair in pairs:
        sides = [swap[pieces[p.mark].lap_side] if p.turned else pieces[p.mark].lap_side for p in pair]
        assert sides[0] == sides[1]
