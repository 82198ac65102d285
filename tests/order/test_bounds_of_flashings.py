"""The bounds of flashings, of what holds and seals sheets, and of any line at all, whole and by hand, on made-up edges."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.items import ItemKind, Pack
from takeoff.model.measured import FlashingRun, Need, PlaneScrews, PurlinLine
from takeoff.model.runs import RunDemand
from takeoff.model.walls import Corner, Elevation, Opening
from takeoff.order.bounds.bounded import Case
from takeoff.order.bounds.fixing_bounds import roof_screws, sealing, touch_up
from takeoff.order.bounds.flashing_bounds import (
    flashing_lengths,
    flashing_runs,
    flashing_screws,
    junctions,
    laps_at_most,
    soft_edges,
    valley_clips,
)
from takeoff.order.bounds.order_bounds import line_ceilings, spare_sheets

sys.path.insert(0, str(Path(__file__).parent))

from made_up_case import (
    AROUND_M,
    RAKE_M,
    ROUND_TRAPEZE,
    WORKING,
    case,
    check,
    edge,
    item,
    line,
    line_of_edge,
    plan,
    plane,
    roof,
    sheet,
    sheets,
)


def flashing(name: str, kind: str, net_mm: float, **more: Any) -> FlashingRun:
    ends = more.pop("dressed", (0.0, 0.0))
    girth = more.pop("girth", 0.0)
    return FlashingRun(name, "", EdgeKind(kind), "", net_mm, *ends, girth, 0, 0.0, "", WORKING, **more)


def test_runs_of_flashings_against_their_edges() -> None:
    hips = [*ROUND_TRAPEZE, line_of_edge("H2", EdgeKind.HIP, 2000.0)]
    runs = [flashing("a", "hip", 4500.0), flashing("b", "hip", 2001.0), flashing("c", "valley", 700.0)]
    long = RAKE_M + 2.0

    def rows(kind: str, at: float, slack: float, figure: float, own: float, *refs: str) -> list[Any]:
        words = (f"{len(refs)} edges of {at:.2f} m", f"{kind} flashings", refs)
        return [(figure, at - slack, at + slack, "m", *words), (own, len(refs), len(refs), "runs", *words)]

    check(
        flashing_runs(case(roofs=(roof([], hips),), roofing={"flashings": runs})),
        *rows("verge", 4.0, 0.002, 0.0, 0.0, "B1"),
        *rows("ridge", 4.0, 0.002, 0.0, 0.0, "R1"),
        *rows("hip", long, 0.004, 6.501, 2.0, "H1", "H2"),
        *rows("valley", 0.0, 0.002, 0.7, 1.0),
    )


@pytest.mark.parametrize(("dressed", "each"), [((300.0, 350.0), 0.65), ((300.0, 150.0), 0.5)])
def test_what_flashings_are_cut_to(dressed: tuple[float, float], each: float) -> None:
    """Verge, ridge and hip, 12.47 m, less 2 mm each or more by both dressings, half a metre at least. A demand that no run
    is cut to and one of another trade do not count."""
    runs = [flashing("a", "hip", 1.0, dressed=dressed), flashing("b", "hip", 1.0, dressed=(10.0, 20.0))]
    needs = [
        Need(
            "flashings", demands=(RunDemand("a", "f", 5000.0), RunDemand("z", "f", 9000.0), RunDemand("b", "f", 7000.0))
        ),
        Need("purlins", demands=(RunDemand("a", "f", 700.0),)),
    ]
    at = 8.0 + RAKE_M
    check(
        flashing_lengths(case(roofing={"flashings": runs, "needs": needs})),
        (12.0, at - 0.006, at + 3.0 * each, "m", "3 edges of 12.47 m with their dressings", "", ()),
    )


def test_soft_edge_against_what_is_dressed_and_what_is_bought() -> None:
    """3 m at both edges and 2 m at one, less both edges of the metre that lies on the site; at most both edges of 6 m."""
    both, one, none = (SimpleNamespace(soft_edges=count) for count in (2, 1, 0))
    runs = [
        flashing("a", "hip", 3000.0, item="f1", section=both),
        flashing("b", "hip", 2000.0, item="f1", section=one),
        flashing("c", "hip", 8000.0, item="f1", section=none),
        flashing("d", "hip", 9000.0, item="f1"),
    ]
    plans = [plan("f1", [(6000, (5000,))], site=[(1500, (1000,))]), plan("rail", [(9000, ())], site=[(900, (800,))])]
    order = {"plans": plans, "lines": [line("soft_edge", 9.0)]}
    words = "flashings of 6.00 m bought, two edges at most"
    check(
        soft_edges(case(roofing={"flashings": runs}, order=order)),
        (9.0, 6.0, 12.0, "m", words, "", ()),
    )
    assert list(soft_edges(case(roofing={"flashings": runs}, order={"plans": plans}))) == []


TOP, BEND, STAR = (5000.0, 5000.0, 3000.0), (33000.0, 3000.0, 1000.0), (80000.0, 0.0, 3000.0)
MEETING = [
    # two hips rise from an eave and meet a ridge, which ends alone
    edge("E1", EdgeKind.EAVE, (0.0, 0.0, 0.0), (10000.0, 0.0, 0.0)),
    edge("H1", EdgeKind.HIP, (0.0, 0.0, 0.0), TOP),
    edge("H2", EdgeKind.HIP, (10000.0, 0.0, 0.0), TOP),
    edge("R1", EdgeKind.RIDGE, TOP, (5000.0, 9000.0, 3000.0)),
    edge("V1", EdgeKind.VALLEY, (20000.0, 0.0, 0.0), (20000.0, 3000.0, 2000.0)),
    # a hip with no eave at its foot, and a ridge at its head, which ends alone
    edge("H3", EdgeKind.HIP, (30000.0, 0.0, 0.0), BEND),
    edge("R2", EdgeKind.RIDGE, BEND, (36000.0, 3000.0, 1000.0)),
    edge("S1", EdgeKind.APRON_SIDE, (40000.0, 0.0, 0.0), (40000.0, 3000.0, 1000.0)),
    edge("A1", EdgeKind.APRON_HEAD, (40000.0, 3000.0, 1000.0), (43000.0, 3000.0, 1000.0)),
    line_of_edge("T1", EdgeKind.HEAD, 3000.0),
    line_of_edge("B1", EdgeKind.VERGE, 4000.0),
    line_of_edge("C1", EdgeKind.PITCH_CHANGE, 3000.0),
    line_of_edge("G1", EdgeKind.INTERNAL_GUTTER, 3000.0),
    # five ridges that leave one place
    *(edge(f"R{at + 3}", EdgeKind.RIDGE, STAR, (80000.0 + 1000.0 * at, 9000.0, 3000.0)) for at in range(5)),
]


def _junctions(edges: list[Any], *bought: tuple[str, float]) -> Case:
    lines = [line(f"junction_{name}", count, of=item(f"junction_{name}")) for name, count in bought]
    return case(roofs=(roof([], edges),), order={"lines": lines})


def test_pieces_where_flashings_meet() -> None:
    made = _junctions(
        MEETING, ("3_way", 1.0), ("4_way", 2.0), ("valley_foot", 1.0), ("valley_foot_on_roof", 2.0), ("bend", 3.0),
        ("valley_foot_at_bare_eave", 4.0), ("ridge_end", 5.0), ("saddle", 6.0), ("kick_out_left", 7.0), ("hip_end", 8.0),
        ("kick_out_right", 8.0), ("apron_end", 9.0), ("apron_corner_hollow", 10.0), ("apron_corner", 1.0),
    )  # fmt: skip
    each = ("each",)
    check(
        junctions(made),
        (1.0, 1.0, 1.0, *each, "places where 3 ridges and hips meet, 1", "3-way", ()),
        (2.0, 0.0, 0.0, *each, "places where 4 ridges and hips meet, 0", "4-way", ()),
        (0.0, 1.0, 1.0, *each, "places where 5 ridges and hips meet, 1", "5-way", ()),
        (0.0, 1.0, 1.0, *each, "places where valleys end at their head, 1", "valley head", ()),
        (7.0, 0.0, 1.0, *each, "1 valleys", "valley feet", ()),
        (8.0, 0.0, 3.0, *each, "3 hips", "hip end", ()),
        (3.0, 0.0, 1.0, *each, "places where two ridges or hips meet, 1", "bend", ()),
        # the ridge of the hipped end, both ends of the bent pair, and five ridges of the star
        (11.0, 0.0, 8.0, *each, "places where one ridge or hip ends alone, 8", "ridge ends", ()),
        (15.0, 0.0, 1.0, *each, "1 side aprons", "kick-outs", ()),
        (9.0, 0.0, 2.0, *each, "ends of head aprons, 2", "apron end", ()),
        (11.0, 0.0, 1.0, *each, "1 places where two walls meet the roof", "apron corners", ()),
        (0.0, 0.0, 4.0, *each, "4 ends of free heads", "head corners", ()),
        (0.0, 0.0, 4.0, *each, "4 ends of verges", "barge bends", ()),
        (0.0, 0.0, 2.0, *each, "2 ends of changes of pitch", "change corners", ()),
        (0.0, 0.0, 2.0, *each, "2 ends of internal gutters", "gutter ends", ()),
        # three at the hipped end, one pair of the bent ridge, one at the wall, ten of the star
        (0.0, 0.0, 15.0, *each, "15 pairs of flashings that meet", "site mitres", ()),
    )


def test_pieces_where_nothing_meets() -> None:
    """An eave asks for no piece and is looked at for kick-outs alone; a piece that is bought is bounded all the same."""
    eave = [line_of_edge("E1", EdgeKind.EAVE, 3000.0)]
    kicks = (0.0, 0.0, 0.0, "each", "0 side aprons", "kick-outs", ())
    check(junctions(_junctions(eave)), kicks)
    bought = [
        ("4_way", 1.0),
        ("5_way", 1.0),
        ("valley_foot", 1.0),
        ("ridge_end", 1.0),
        ("head_corner_up", 1.0),
        ("site_mitre", 1.0),
    ]
    check(
        junctions(_junctions(eave, *bought)),
        (1.0, 0.0, 0.0, "each", "places where 4 ridges and hips meet, 0", "4-way", ()),
        (1.0, 0.0, 0.0, "each", "0 valleys", "valley feet", ()),
        (1.0, 0.0, 0.0, "each", "places where one ridge or hip ends alone, 0", "ridge ends", ()),
        kicks,
        (1.0, 0.0, 0.0, "each", "0 ends of free heads", "head corners", ()),
        (1.0, 0.0, 0.0, "each", "0 pairs of flashings that meet", "site mitres", ()),
    )


def test_clips_of_valley_trays() -> None:
    """Both edges of 5 and 2 m at a metre: 2 x (6 + 3) to 2 x (7 + 4), a hundredth to spare at each end or edge."""
    valleys = [line_of_edge("V1", EdgeKind.VALLEY, 5000.0), line_of_edge("V2", EdgeKind.VALLEY, 2000.0)]
    lines = {"lines": [line("valley_clip", 20.0)]}
    made = case({"valley_clip_spacing_mm": 1000}, roofs=(roof([], valleys),), order=lines)
    check(
        valley_clips(made),
        (20.0, 17.96, 22.02, "each", "valleys of 7.00 m at 1000 mm, both edges", "valley clip", ()),
    )
    assert list(valley_clips(case({"valley_clip_spacing_mm": 0}, roofs=(roof([], valleys),)))) == []
    assert len(list(valley_clips(case({"valley_clip_spacing_mm": 500}, roofs=(roof([], valleys),))))) == 1
    assert list(valley_clips(case({"valley_clip_spacing_mm": 1000}))) == []


def test_screws_of_flashings() -> None:
    """A verge of 4 m and a head of 3 at half a metre: 8 and 6 spacings, one or two more each, a tenth to spare, in tens."""
    edges = [*ROUND_TRAPEZE, line_of_edge("T1", EdgeKind.HEAD, 3000.0)]
    values = {"flashing_screw_spacing_mm": 500, "flashing_screw_box": 10, "screw_spare_percent": 10}

    def found(**change: Any) -> list[Any]:
        lines = {"lines": [line("flashing_screw", 2.0, "box")]}
        return list(flashing_screws(case(values | change, roofs=(roof([], change.pop("edges", edges)),), order=lines)))

    low, high = 1.1 * (8.99 + 6.99) / 10.0, 1.1 * (10.01 + 8.01) / 10.0 + 1.0
    check(found(), (2.0, low, high, "box", "2 edges of 7.00 m at 500 mm", "", ()))
    assert found(flashing_screw_spacing_mm=0) == found(flashing_screw_box=0) == found(edges=edges[:1]) == []
    assert len(found(flashing_screw_box=1)) == 1


SCREWS = {"screw_spare_percent": 10, "screw_box": 100}


def _timber(role: str, across: float, name: str = "P1") -> PurlinLine:
    return PurlinLine("r", name, role, 1, (5000.0, 900.0), (5000.0 - across, 900.0))


TIMBER = [_timber("purlin", 3810.0), _timber("eave", 1524.0), _timber("valley board", 2286.0), _timber("outrigger", 7000.0),
          _timber("hole trimmer", 7000.0), _timber("purlin", 9000.0, "P2")]  # fmt: skip


def _screwed(change: dict[str, float], *pieces: Any, **roofing: Any) -> Case:
    known = {
        "screw": item("screw", sort="roof_screw"), "clip": item("clip", sort="sheet_clip"), "nail": item("nail"),
    }  # fmt: skip
    parts = {"screws": [PlaneScrews("P2", "", 1, 1, 65, ()), PlaneScrews("P1", "", 6, 4, 65, ())], "purlins": TIMBER}
    lines = [line("screw", 2.0, "box"), line("clip", 1.0, "box"), line("nail", 9.0)]
    laid = sheets(*(pieces or (sheet("a"), sheet("b"))))
    return case(SCREWS | change, roofing=parts | {"sheets": [laid]} | roofing, items=known, order={"lines": lines})


def test_screws_of_sheets() -> None:
    """Rows 5, 2 and 3 covers across, with 4, 6 and 6 screws a sheet. Least nine tenths of 4 x 4 + 1 x 6, the valley board
    left out. Most 7 x 4 + 2, 4 x 6 + 2 and 5 x 6 + 2, and 6 more on each of two sheets; a tenth to spare, in hundreds, a
    box more for each item and one."""
    words = "timber that runs 7.6 m across under the sheets"
    check(
        roof_screws(_screwed({})),
        (3.0, 1.1 * 0.9 * 22.0 / 100.0, 1.1 * 100.0 / 100.0 + 3.0, "box", words, "", ()),
    )
    # a clear sheet may be held by screws of another row
    check(
        roof_screws(_screwed({}, sheet("a"), sheet("b", clear=True))),
        (3.0, 0.0, 1.1 * 100.0 / 100.0 + 3.0, "box", words, "", ()),
    )
    # without a pattern two screws a line at most
    check(roof_screws(_screwed({}, screws=())), (3.0, 0.0, 1.1 * 6.0 / 100.0 + 3.0, "box", words, "", ()))
    # a line shorter than a cover is sure of none
    short = [_timber("purlin", 381.0), _timber("ridge", 76.2)]
    (bound,) = roof_screws(_screwed({}, purlins=short))
    assert (bound.low, bound.high) == pytest.approx((0.0, 1.1 * (12.0 + 14.6 + 12.0) / 100.0 + 3.0))


def test_screws_are_not_bounded_without_boxes_or_timber() -> None:
    assert list(roof_screws(_screwed({"screw_box": 0}))) == list(roof_screws(_screwed({}, purlins=()))) == []
    assert len(list(roof_screws(_screwed({"screw_box": 1})))) == 1
    # 0.76 m of timber is enough to look at
    assert len(list(roof_screws(_screwed({}, purlins=[_timber("purlin", 762.0)])))) == 1


def test_the_screws_of_several_planes_are_summed() -> None:
    other = [replace(timber, plane="P3") for timber in TIMBER[:2]]
    laid = [sheets(sheet("a"), sheet("b")), sheets(sheet("c"), name="P3")]
    screws = [PlaneScrews("P1", "", 6, 4, 65, ()), PlaneScrews("P3", "", 2, 3, 65, ())]
    (bound,) = roof_screws(_screwed({}, sheets=laid, purlins=[*TIMBER, *other], screws=screws))
    # P3: least 0.9 x (4 x 3 + 1 x 2); most 7 x 3 + 2, 4 x 2 + 2 and 3
    assert bound.low == pytest.approx(1.1 * 0.9 * (22.0 + 14.0) / 100.0)
    assert bound.high == pytest.approx(1.1 * (100.0 + 36.0) / 100.0 + 3.0)
    assert bound.from_what == "timber that runs 13.0 m across under the sheets"


SEAL = {
    "flashing_lap_mm": 150, "rivet_spacing_mm": 50, "rivets_a_junction": 10, "rivets_an_end_lap": 6, "rivet_spare_percent": 5,
    "rivet_box": 100, "sealant_tube_mm": 9000, "sealant_beads": 2, "sealant_a_junction_mm": 250,
}  # fmt: skip
# verge, ridge and hip, half a metre more each, over 3 m less a lap, and one
LAPS = (4500.0 + 4500.0 + 500.0 + 1000.0 * RAKE_M) / 2850.0 + 3.0
# two holes: four sides and a metre at each corner
HOLES = (SimpleNamespace(width_mm=400.0, length_mm=600.0), SimpleNamespace(width_mm=150.0, length_mm=50.0))
ROUND_MM = 8000.0 + 4800.0


def _sealed(change: dict[str, float], **roofing: Any) -> Case:
    runs = [
        flashing("a", "hip", 1.0, girth=300.0, stock_mm=6000), flashing("b", "hip", 1.0, girth=200.0, stock_mm=3000),
    ]  # fmt: skip
    laid = sheets(sheet("a", lap_mm=200.0), sheet("b", lap_mm=0.5), sheet("c"))
    parts = {"flashings": runs, "sheets": [laid], "holes": HOLES}
    lines = [line("rivet", 2.0, "box"), line("sealant", 5.0, "tube")]
    return case(SEAL | change, roofing=parts | roofing, order={"lines": lines})


def test_rivets_and_sealant() -> None:
    """Four edges have eight ends. Rivets: a lap of 300 mm girth takes 7 at 50 mm; 10 a junction, 6 an end lap, 256 round
    the holes and 8 each. Sealant: two beads on each lap and end lap of 845 mm, 250 mm a junction, one round the holes."""
    words = "at most 8 laps of flashings, 2 end laps of sheets, 2 holes"
    rivets = (LAPS * 7.0 + 80.0 + 12.0 + ROUND_MM / 50.0 + 16.0) * 1.05 / 100.0 + 1.0
    tubes = ((LAPS * 300.0 + 2 * 845.0) * 2.0 + 2000.0 + ROUND_MM) / 9000.0 + 1.0
    check(
        sealing(_sealed({})),
        (2.0, 0.0, rivets, "box", words, "rivets", ()),
        (5.0, 0.0, tubes, "tube", words, "sealant", ()),
    )
    assert laps_at_most(_sealed({})) == pytest.approx(LAPS)


def test_what_is_not_sealed_is_not_bounded() -> None:
    def of(change: dict[str, float], **roofing: Any) -> list[str]:
        return [bound.of for bound in sealing(_sealed(change, **roofing))]

    assert of({"rivet_spacing_mm": 0}) == of({"rivet_box": 0}) == ["sealant"]
    assert of({"sealant_tube_mm": 0}) == ["rivets"]
    assert of({"rivet_spacing_mm": 1, "rivet_box": 1, "sealant_tube_mm": 1}) == ["rivets", "sealant"]
    # stock that is no longer than its lap makes any number of laps
    assert of({"flashing_lap_mm": 3000}) == of({"flashing_lap_mm": 4000}) == of({}, flashings=()) == []
    assert of({"flashing_lap_mm": 2999}) == ["rivets", "sealant"]
    # no flashing and no lap: its girth and the width of a sheet are nothing, not a millimetre
    (rivets, tubes) = sealing(_sealed({}, sheets=(), holes=()))
    assert tubes.high == pytest.approx((LAPS * 600.0 + 2000.0) / 9000.0 + 1.0)
    assert rivets.from_what == "at most 8 laps of flashings, 0 end laps of sheets, 0 holes"


def test_touch_up_paint() -> None:
    """20 m2 at 50 m2 a bottle: 0.4, a thousandth less, or a thousandth more and a bottle."""
    made = case({"touch_up_m2": 50}, order={"lines": [line("touch_up", 1.0, "bottle")]})
    check(touch_up(made), (1.0, 0.3996, 1.4004, "bottle", "20.00 m2 of planes at 50 m2 a bottle", "", ()))
    small = roof([plane("P1", ((0.0, 0.0), (800.0, 0.0), (800.0, 800.0), (0.0, 800.0)))])
    assert list(touch_up(case({"touch_up_m2": 0}))) == list(touch_up(case({"touch_up_m2": 50}, roofs=()))) == []
    assert len(list(touch_up(case({"touch_up_m2": 1}, roofs=(small,))))) == 1


WALL = Elevation(
    "W1", 1, 5000.0, 2400.0, ((0.0, -50.0), (5000.0, -50.0), (5000.0, 2350.0), (0.0, 2350.0)), -50.0,
    (Opening("D1", 1000.0, 0.0, 1000.0, 2000.0),), Corner("external", 90.0), Corner("external", 90.0), (0.0, 0.0), True,
    0.0, (0.0, 0.0), (5000.0, 0.0),
)  # fmt: skip
ROOF_M2, ROOF_M = 20.0, AROUND_M
WALL_M2, WALL_M = 12.0, 2.0 * (5.0 + 2.4 + 1.0) + AROUND_M


def _most(each_m2: float, each_m: float, house: float, area: float = ROOF_M2, edges: float = ROOF_M) -> float:
    return each_m2 * area + each_m * edges + house


FELT = SimpleNamespace(width_mm=1500.0, length_mm=20000.0)  # 30 m2
BOX, BOARD = Pack("box", "", 250.0), ItemKind.BOARD


@pytest.mark.parametrize(
    ("bought", "most"),
    [
        (line("a", 7.0), _most(100.0, 50.0, 500.0) + 1.0),
        (line("a", 7.0, delivery="walls"), _most(100.0, 50.0, 500.0, WALL_M2, WALL_M) + 1.0),
        (line("a", 7.0, "m2", delivery="purlins"), _most(4.0, 2.0, 5.0) + 1.0),
        (line("a", 7.0, "L", delivery="underlay"), _most(0.5, 0.5, 5.0) + 1.0),
        (line("a", 7.0, "tube", delivery="flashings"), _most(0.1, 0.3, 4.0) + 1.0),
        (line("a", 7.0, "bottle", delivery="rainwater"), _most(0.1, 0.0, 4.0) + 1.0),
        (line("a", 7.0, "tin"), _most(0.1, 0.1, 4.0) + 1.0),
        # two bars of 6 m without a piece make up a whole pack, and stand on top; not where it is sold by number
        (line("rail", 7.0, "m"), _most(10.0, 10.0, 20.0) + 1.0 + 12.0),
        (line("rail", 7.0), _most(100.0, 50.0, 500.0) + 1.0),
        (line("felt", 7.0, "roll"), _most(4.0, 2.0, 5.0) / 30.0 + 1.0),
        (line("a", 7.0, "box", of=item("a", pack=BOX)), _most(100.0, 50.0, 500.0) / 250.0 + 1.0),
        (line("a", 7.0, "m", of=item("a", pack=BOX)), _most(10.0, 10.0, 20.0) + 1.0),
        # boards of 20 mm: one and a half times 50 lie on a square metre
        (line("a", 7.0, "m", delivery="walls", of=item("a", kind=BOARD)), _most(75.0, 10.0, 20.0, WALL_M2, WALL_M) + 1.0),
        (line("a", 7.0, "each", delivery="walls", of=item("a", kind=BOARD)), _most(100.0, 50.0, 500.0, WALL_M2, WALL_M) + 1.0),
        (line("a", 7.0, "kg"), None),
        (line("a", 7.0, labour=True), None),
        (line("a", 7.0, of=item("a", kind=ItemKind.SPARE_SHEET)), None),
    ],
)  # fmt: skip
def test_any_line_of_the_order(bought: Any, most: float | None) -> None:
    bought = replace(bought, refs=("a", "b", "c", "d"))
    made = case(
        elevations=(WALL,),
        cladding={"boards": [SimpleNamespace(cover_mm=135.0), SimpleNamespace(cover_mm=20.0)]},
        catalogue=SimpleNamespace(rolls={"felt": FELT}),
        order={
            "lines": [bought],
            "plans": [plan("rail", [(6000, ()), (5000, (4000,)), (6000, ())]), plan("b", [(900, ())])],
        },
    )
    area, edges = (WALL_M2, WALL_M) if bought.delivery == "walls" else (ROOF_M2, ROOF_M)
    words = f"{area:.1f} m2 and {edges:.1f} m of edges"
    rows = [(7.0, 0.0, most, bought.total_unit, words, bought.of.name, ("a", "b", "c"))] if most is not None else []
    check(line_ceilings(made), *rows)


def test_spare_sheets() -> None:
    """Two spares of each of two groups, as long as the longest laid: 4 of 4 m. A clear one is neither."""
    groups = [SimpleNamespace(clear=clear) for clear in (False, True, False)]
    laid = sheets(sheet("a", order_mm=4000.0), sheet("b", order_mm=5000.0, clear=True), sheet("c", order_mm=3000.0))
    spare = item("spare", kind=ItemKind.SPARE_SHEET)
    lines = [line("spare", 3.0, each_mm=4000.0, of=spare), line("sheet", 3.0, each_mm=4000.0)]
    made = case({"spare_sheets": 2}, roofing={"sheets": [laid], "groups": groups}, order={"lines": lines})
    check(spare_sheets(made), (12.0, 0.0, 16.001, "m", "4 of 4.000 m, the longest laid", "", ()))
    made = case({"spare_sheets": 2}, roofing={"groups": groups})
    check(spare_sheets(made), (0.0, 0.0, 0.001, "m", "4 of 0.000 m, the longest laid", "", ()))
