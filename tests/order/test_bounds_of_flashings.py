"""The bounds of flashings, whole and by hand, on made-up edges."""

from __future__ import annotations

import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.measured import FlashingRun, Need
from takeoff.model.runs import RunDemand
from takeoff.order.bounds.bounded import Case
from takeoff.order.bounds.flashing_bounds import (
    flashing_lengths,
    flashing_runs,
    flashing_screws,
    junctions,
    soft_edges,
    valley_clips,
)

sys.path.insert(0, str(Path(__file__).parent))

from made_up_case import (
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
    roof,
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
    """Both edges of 5 and 2 m at half a metre: 2 x (11 + 5) to 2 x (12 + 6), a hundredth to spare at each end or edge."""
    valleys = [line_of_edge("V1", EdgeKind.VALLEY, 5000.0), line_of_edge("V2", EdgeKind.VALLEY, 2000.0)]
    lines = {"lines": [line("valley_clip", 20.0)]}
    made = case({"valley_clip_spacing_mm": 500}, roofs=(roof([], valleys),), order=lines)
    check(
        valley_clips(made),
        (20.0, 31.96, 36.02, "each", "valleys of 7.00 m at 500 mm, both edges", "valley clip", ()),
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
