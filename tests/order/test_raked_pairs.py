"""Pairs of cut sheets: which ends come from one length, and the choice that saves most. Common practice, no source.

A raked offcut turned end for end, face up, keeps its hand and changes the side of its lap. The blank of a pair of rakes
is the two short sides + one rake over the overall width (845 / cos 25 = 932.4 mm at 25 degrees) + both allowances.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from math import cos, radians

import networkx as nx
import pytest
from shapely import Polygon
from shapely.affinity import rotate, translate

from takeoff.basics.tolerances import TOLERANCES
from takeoff.measure.roofing.sheets.sheets import place_sheets
from takeoff.model.job.roofs import CoveringJob, RoofJob
from takeoff.model.job.site import Site
from takeoff.model.products import Profile
from takeoff.model.sheets import CutShape, PairPlan, PlaneSheets, SheetPiece
from takeoff.order.sheets import raked_pairs
from takeoff.order.sheets.raked_pairs import Half, PairRule, _Pairable, halves_of, pair_length, pair_raked, why_not
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


def rule(profile: Profile = CORRUGATED, limit_mm: float = 12000.0) -> PairRule:
    return PairRule.of(profile, limit_mm, SETTINGS)


def half(piece: SheetPiece, profile: Profile = CORRUGATED) -> Half:
    (found,) = halves_of(piece, profile)
    return found


def refusal(a: SheetPiece, b: SheetPiece, profile: Profile = CORRUGATED, limit_mm: float = 12000.0) -> str:
    return why_not(half(a), half(b), rule(profile, limit_mm))


def test_left_hip_of_north_with_left_hip_of_south(hip: dict[str, SheetPiece]) -> None:
    """Allowed: both laid from the east, so north from its left and south from its right; both rakes of one hand.

    The trimmed hip meets the trimmed foot (50 - 25 x 1.4889) / k = 11.6 outside the corner. P3.03 reaches from there over
    2 x 762 + 845 = 2369, / cos 25 = 2613.9; P1.13 begins 12011.6 - 12 x 762 + 11.6 = 2879.2 from there, / cos 25 = 3176.8.
    2613.9 + 3176.8 - 932.4 + 2 x 50 = 4958.3, bought 4960.
    """
    north, south = hip["P3.03"], hip["P1.13"]
    assert (north.top.hand, south.top.hand) == ("right", "right")
    assert (north.start_side, south.start_side) == ("left", "right")
    assert refusal(north, south) == ""
    assert north.reach_mm + south.reach_mm == pytest.approx(2613.9 + 3176.8, abs=0.1)
    assert pair_length(half(north), half(south), rule()) == 4960.0


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


def test_square_and_ripped_sheets_are_no_halves(hip: dict[str, SheetPiece]) -> None:
    assert halves_of(hip["P1.08"], CORRUGATED) == ()  # square
    ripped = replace(hip["P1.13"], corners_mm=tuple((u * 0.5, v) for u, v in hip["P1.13"].corners_mm))
    assert halves_of(ripped, CORRUGATED) == ()
    assert halves_of(replace(hip["P1.13"], notched=True), CORRUGATED) == ()


def test_ends_cut_to_two_lines_and_tips_are_halves_by_their_outline(hip: dict[str, SheetPiece]) -> None:
    for mark in ("P1.06", "P2.06", "P1.16"):  # a ridge end, an apex, a tip
        assert not half(hip[mark]).simple


def test_other_rakes_profiles_and_lengths_are_refused(hip: dict[str, SheetPiece]) -> None:
    north, south = hip["P3.03"], hip["P1.13"]
    steeper = replace(north, top=replace(north.top, rake_deg=north.top.rake_deg + 0.2))
    assert refusal(steeper, south) == "not the same rake"
    assert refusal(replace(north, profile="other"), south) == "not the same profile"
    assert refusal(north, south, limit_mm=4959.0) == "together longer than the longest piece"


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


def test_a_full_pair_saves_one_rake_over_the_overall_width(hip: dict[str, SheetPiece]) -> None:
    """845 / cos 25 = 932.4: lengths in steps of 10 save 920 to 940."""
    assert 845.0 / cos(radians(25.0)) == pytest.approx(932.4, abs=0.05)
    plan = pair_raked(lay(HIP), CORRUGATED, Site(), SETTINGS)
    simple = [pair for pair in plan.pairs if half(hip[pair.first]).simple and half(hip[pair.second]).simple]
    assert simple
    assert {pair.saving_mm for pair in simple} <= {920.0, 930.0, 940.0}
    assert plan.saving_mm == sum(pair.saving_mm for pair in plan.pairs)


@pytest.mark.parametrize("outline", [HIP, ELL], ids=["hip", "ell"])
@pytest.mark.parametrize("lay_from", ["east", "north", "south-west"])
@pytest.mark.parametrize("longest", [None, 5000.0])
@pytest.mark.parametrize("half_turn_same", [False, True])
def test_no_choice_of_pairs_saves_more(
    outline: list[tuple[float, float]], lay_from: str, longest: float | None, half_turn_same: bool
) -> None:
    """Against an independent general matching (networkx) over all pairs that `why_not` allows."""
    profile = replace(CORRUGATED, half_turn_same=half_turn_same)
    sheets = lay(outline, lay_from)
    plan = pair_raked(sheets, profile, Site(longest_piece_mm=longest), SETTINGS)
    pieces = pieces_of(sheets, "corrugated")
    guests = guests_of(pieces)
    by = rule(profile, longest or 12000.0)
    halves = [h for p in pieces.values() for h in halves_of(p, profile, guests.get(p.mark, ()), by.least_mm)]
    graph = nx.Graph()
    for i, a in enumerate(halves):
        for b in halves[i + 1 :]:
            marks = (a.piece.mark, b.piece.mark)
            if marks[0] != marks[1] and not why_not(a, b, by):
                saved = a.alone_mm + b.alone_mm - pair_length(a, b, by)
                held = graph.get_edge_data(*marks, {"weight": 0.0})["weight"]
                graph.add_edge(*marks, weight=max(saved, held))
    most = sum(graph.edges[edge]["weight"] for edge in nx.max_weight_matching(graph))
    assert plan.saving_mm == pytest.approx(most)
    assert plan.proof
    check(plan, sheets)


def check(plan: PairPlan, sheets: tuple[PlaneSheets, ...]) -> None:
    """Every piece once; in every blank the pieces, turned as said, lie inside it, and where one lies over the other both
    allowances of 50 lie between them."""
    pieces = {piece.mark: piece for plane in sheets for piece in plane.pieces}
    marks = [part.mark for blank in plan.blanks for part in blank.pieces]
    assert sorted(marks) == sorted(pieces)
    for blank in plan.blanks:
        placed = []
        for part in blank.pieces:
            piece = pieces[part.mark]
            shape = Polygon(piece.corners_mm)
            if part.turned:
                shape = translate(rotate(shape, 180.0, origin=(0.0, 0.0)), 845.0, piece.reach_mm)
            placed.append(translate(shape, 0.0, part.start_mm))
        for number, shape in enumerate(placed):
            assert shape.bounds[1] >= -1e-6
            assert shape.bounds[3] <= blank.length_mm + 1e-6
            for other in placed[number + 1 :]:
                own = [part.mark for part in blank.pieces][:2]
                gap = 0.0 if any(pieces[mark].cut_from for mark in own) else 99.0
                assert translate(shape, 0.0, gap).intersection(other).area < 1.0


def test_laps_lie_on_the_right_side_in_a_pair() -> None:
    """In the blank, a turned piece's lap lies on the side of its fellow's lap; not turned, both as on their planes."""
    sheets = lay(ELL)
    pieces = {piece.mark: piece for plane in sheets for piece in plane.pieces}
    plan = pair_raked(sheets, CORRUGATED, Site(), SETTINGS)
    swap = {"left": "right", "right": "left"}
    pairs = [
        blank.pieces[:2]
        for blank in plan.blanks
        if {frozenset((pair.first, pair.second)) for pair in plan.pairs}
        & {frozenset(part.mark for part in blank.pieces[:2])}
    ]
    assert {part.turned for pair in pairs for part in pair} == {True, False}
    for pair in pairs:
        sides = [swap[pieces[p.mark].lap_side] if p.turned else pieces[p.mark].lap_side for p in pair]
        assert sides[0] == sides[1]


def test_pieces_of_houses_alike_pair_as_if_each_two_were_asked() -> None:
    """Three houses of one shape and one of another, laid from both ends: every two pieces by the plain loop."""
    shapes = [(HIP, "east"), (HIP, "west"), (HIP, "east"), (ELL, "east")]
    own_rule = rule()
    halves = [
        found
        for outline, lee in shapes
        for piece in pieces_of(lay(outline, lee), CORRUGATED.id).values()
        if (found := halves_of(piece, CORRUGATED))
    ]
    plain = {}
    for i, j in combinations(range(len(halves)), 2):
        ways = [(a, b) for a in halves[i] for b in halves[j] if not why_not(a, b, own_rule)]
        if ways:
            plain[i, j] = min(ways, key=lambda ends: pair_length(ends[0], ends[1], own_rule))
    assert plain
    pairable = _Pairable(halves, own_rule)
    assert {edge: ends for edge in combinations(range(len(halves)), 2) if (ends := pairable.ends(edge))} == plain
    worth, every = pairable.worth()
    assert every
    assert worth.keys() == plain.keys()
    share = TOLERANCES.leaning_mm / len({place for edge in plain for place in edge})
    for edge, (a, b) in plain.items():
        near = (1.0 if a.piece.plane == b.piece.plane else 0.5) - 0.4 * abs(a.alone_mm - b.alone_mm) / own_rule.limit_mm
        saved = a.alone_mm + b.alone_mm - pair_length(a, b, own_rule)
        assert worth[edge] == pytest.approx(saved + share * near, abs=1e-9)


def test_of_too_many_pairs_the_best_of_each_piece_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    """Against the plain sorting of every piece's pairs, for houses alike and unlike."""
    shapes = [(HIP, "east"), (HIP, "west"), (ELL, "east"), (HIP, "east"), (ELL, "west")]
    halves = [
        found
        for outline, lee in shapes
        for piece in pieces_of(lay(outline, lee), CORRUGATED.id).values()
        if (found := halves_of(piece, CORRUGATED))
    ]
    whole, _ = _Pairable(halves, rule()).worth()
    monkeypatch.setattr(raked_pairs, "MOST_EDGES", 1)
    monkeypatch.setattr(raked_pairs, "BEST", 7)
    few, every = _Pairable(halves, rule()).worth()
    plain = {
        edge
        for place in range(len(halves))
        for edge in sorted((e for e in whole if place in e), key=lambda e: (-whole[e], e))[:7]
    }
    assert not every
    assert few == {edge: whole[edge] for edge in plain}
    assert len(few) < len(whole)
