"""Two results held against each other by where things lie, whole and by hand, on plans typed here."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin
from typing import Any

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.differences import Change
from takeoff.model.snapshot import SeenEdge, SeenLine, SeenPipe, SeenPlane, SeenSheet, SeenSide, Snapshot
from takeoff.order.comparing.compare import compare
from takeoff.order.comparing.lay_over import Motion, lay_over
from takeoff.order.comparing.match_places import pair_best, pair_planes, pair_sheets, pair_sides
from takeoff.order.comparing.reissue import refuse_other_lengths, superseded


def box(x: float, y: float, wide: float, deep: float) -> tuple[tuple[float, float], ...]:
    return ((x, y), (x + wide, y), (x + wide, y + deep), (x, y + deep))


def plane(name: str, ring: Any, *sheets: SeenSheet, **more: Any) -> SeenPlane:
    parts: dict[str, Any] = {
        "origin": (0.0, 0.0), "level": (1.0, 0.0), "pitch_deg": 30.0, "bearing_deg": 90.0, "area_m2": 80.0,
        "fascia_height_mm": 2400.0, "covering": "sheets", "profile": "wavy", "start_side": "left",
    } | more  # fmt: skip
    return SeenPlane(id=name, roof="main", ring=ring, sheets=sheets, **parts)


def sheet(mark: str, u0: float, u1: float, v0: float, v1: float, bought: float = 4000.0, **more: Any) -> SeenSheet:
    parts: dict[str, Any] = {"left_mm": 4000.0, "right_mm": 4000.0, "foot": "square", "top": "square"} | more
    return SeenSheet(mark, u0, u1, v0, v1, bought, **parts)


def side(name: str, a: Any, b: Any, *own: str, **terms: str) -> SeenSide:
    return SeenSide(name, a, b, terms, frozenset(own))


def edge(name: str, kind: str, a: Any, b: Any, *planes: str, long: float = 0.0) -> SeenEdge:
    return SeenEdge(name, kind, a, b, long or ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5, planes)


def seen(**parts: Any) -> Snapshot:
    empty: dict[str, Any] = {
        "name": "house", "terms": {}, "planes": (), "edges": (), "sides": (), "walls": (), "pipes": (), "lines": (),
        "withheld": False,
    }  # fmt: skip
    return Snapshot(**(empty | parts))


def test_pairs_of_the_highest_score_first() -> None:
    scores = {("a", "x"): 1.0, ("a", "y"): 3.0, ("b", "y"): 5.0, ("b", "z"): 4.0, ("c", "z"): -2.0}
    found = pair_best("abcd", "xyzw", lambda one, two: scores.get((one, two)))
    assert (found.both, found.gone, found.new) == ((("a", "x"), ("b", "y"), ("c", "z")), ("d",), ("w",))
    # of a score alike to a millionth those nearest in their order
    assert pair_best("ab", "xy", lambda one, two: 1.0 + 1e-8 * (one == "a" and two == "y")).both == (
        ("a", "x"),
        ("b", "y"),
    )
    assert pair_best("ab", "xy", lambda one, two: 1.0 + 1e-4 * (one == "a" and two == "y")).both == (
        ("b", "x"),
        ("a", "y"),
    )


@pytest.mark.parametrize(("shift", "paired"), [(8100.0, True), (8300.0, False), (10000.0, False), (12000.0, False)])
def test_planes_are_one_where_a_tenth_of_both_is_common(shift: float, paired: bool) -> None:
    # of two squares of 100 m2, 8.1 m apart, 19 of 181 are common; 8.3 m apart, 17 of 183
    old, new = plane("P1", box(0.0, 0.0, 10000.0, 10000.0)), plane("Q1", box(shift, 0.0, 10000.0, 10000.0))
    assert pair_planes([old], [new], Motion()).both == (((old, new),) if paired else ())


@pytest.mark.parametrize(
    ("one", "two", "turn", "pitch", "paired"),
    [
        (90.0, 149.0, 0.0, 30.0, True),
        (90.0, 151.0, 0.0, 30.0, False),
        (90.0, 31.0, 0.0, 30.0, True),
        (90.0, 29.0, 0.0, 30.0, False),
        (350.0, 20.0, 0.0, 30.0, True),  # through north
        (20.0, 350.0, 0.0, 30.0, True),
        (90.0, 0.0, 90.0, 30.0, True),  # the plan turned by 90 degrees anticlockwise
        (90.0, 180.0, 90.0, 30.0, False),
        (90.0, 270.0, 0.0, 1.5, True),  # so flat that it faces nowhere
        (90.0, 270.0, 0.0, 1.6, False),
    ],
)
def test_planes_that_face_further_apart_are_not_one(
    one: float, two: float, turn: float, pitch: float, paired: bool
) -> None:
    ring = box(-5000.0, -5000.0, 10000.0, 10000.0)
    old = plane("P1", ring, bearing_deg=one, pitch_deg=45.0)
    new = plane("Q1", ring, bearing_deg=two, pitch_deg=pitch)
    assert pair_planes([old], [new], Motion(turn)).both == (((old, new),) if paired else ())
    swapped = replace(old, pitch_deg=pitch), replace(new, pitch_deg=45.0)
    assert pair_planes([swapped[0]], [swapped[1]], Motion(turn)).both == ((swapped,) if paired else ())


def test_planes_are_laid_over_before_they_are_paired() -> None:
    old = plane("P1", box(0.0, 0.0, 10000.0, 5000.0))
    new = plane("Q1", box(27000.0, 1000.0, 5000.0, 10000.0), bearing_deg=0.0)
    # (x, y) to (-y, x), and 32 m east and 1 m north of that
    assert pair_planes([old], [new], Motion(90.0, (32000.0, 1000.0))).both == ((old, new),)


def test_sheets_of_a_plane_by_what_they_cover() -> None:
    """The old plane begins 1 m east and 0.5 m north of the new one, whose level axis runs (0.6, 0.8) and which rises at 60
    degrees: 1 m along it, and (-0.8 + 0.3) / cos 60 = -1 m up. The old sheet so covers 1 to 2 m by -1 to 2 m. Of 4 m2 and
    3 m2 in all it has 1 with the first: a quarter; of 3.5 m2 it has 1 with the second."""
    old_sheet = sheet("P1.01", 0.0, 1000.0, 0.0, 3000.0)
    first, second = sheet("Q1.01", 1500.0, 2500.0, 0.0, 2000.0), sheet("Q1.02", 1000.0, 2000.0, 1000.0, 2500.0)
    old = plane("P1", (), old_sheet, origin=(1000.0, 500.0), level=(0.6, 0.8), pitch_deg=60.0)

    def paired(*new_sheets: SeenSheet) -> list[str]:
        new = plane("Q1", (), *new_sheets, level=(0.6, 0.8), pitch_deg=60.0)
        return [two.mark for _, two in pair_sheets(old, new, Motion()).both]

    assert paired(first, second) == ["Q1.02"]
    assert paired(first) == ["Q1.01"]
    # beside it, above it, left of it and below it
    assert paired(sheet("a", 2000.0, 3000.0, 0.0, 1000.0), sheet("b", 1000.0, 2000.0, 2001.0, 3000.0)) == []
    assert paired(sheet("c", 0.0, 1000.0, 0.0, 1000.0), sheet("d", 1000.0, 2000.0, -2000.0, -1001.0)) == []
    assert [paired(sheet("e", 1999.0, 3000.0, 0.0, 1000.0)), paired(sheet("f", 0.0, 1001.0, 1999.0, 3000.0))] == [
        ["e"],
        ["f"],
    ]
    # half common of 0.9 m2 is more than 0.45 of 1.2
    near, wide = sheet("n", 1000.0, 2000.0, -1000.0, 1000.0), sheet("w", 1000.0, 2000.0, -1000.0, 6000.0)
    assert paired(wide, near) == ["n"]


def test_sheets_of_a_plane_that_hardly_rises() -> None:
    # at 89.9 degrees cos is 0.0017, of which no more than 0.01 is believed: 10 mm up are a metre, not 5.7
    old = plane("P1", (), sheet("P1.01", 0.0, 1000.0, 0.0, 1000.0), origin=(0.0, 10.0), pitch_deg=89.9)
    new = plane("Q1", (), sheet("Q1.01", 0.0, 1000.0, 1500.0, 2000.0), pitch_deg=89.9)
    assert len(pair_sheets(old, new, Motion()).both) == 1
    assert pair_sheets(replace(old, pitch_deg=0.0), replace(new, pitch_deg=0.0), Motion()).both == ()
    # what only touches is not common
    for touching in (sheet("a", 1000.0, 2000.0, 0.0, 1000.0), sheet("b", 0.0, 1000.0, 1000.0, 2000.0)):
        level = replace(old, origin=(0.0, 0.0), pitch_deg=0.0)
        assert pair_sheets(level, replace(new, sheets=(touching,), pitch_deg=0.0), Motion()).both == ()


@pytest.mark.parametrize(
    ("a", "b", "paired"),
    [
        ((0.0, 3000.0), (10000.0, 3000.0), True),
        ((0.0, 3001.0), (10000.0, 3001.0), False),
        # 2 m shorter: as much further off
        ((1000.0, 5000.0), (9000.0, 5000.0), True),
        ((1000.0, 5001.0), (9000.0, 5001.0), False),
        ((-1000.0, 5000.0), (11000.0, 5000.0), True),
        # the other way, and turned by 11 and 12 degrees: the cosine is 0.9816 and 0.9781
        ((10000.0, 0.0), (0.0, 0.0), False),
        ((0.0, 0.0), (10000.0 * cos(radians(11.0)), 10000.0 * sin(radians(11.0))), True),
        ((0.0, 0.0), (10000.0 * cos(radians(12.0)), 10000.0 * sin(radians(12.0))), False),
        ((0.0, 0.0), (10000.0 * cos(radians(11.0)), -10000.0 * sin(radians(11.0))), True),
    ],
)
def test_sides_that_run_the_same_way_and_lie_near(a: Any, b: Any, paired: bool) -> None:
    old, new = side("S1", (0.0, 0.0), (10000.0, 0.0)), side("T1", a, b)
    assert pair_sides([old], [new], Motion()).both == (((old, new),) if paired else ())


def test_the_nearest_side_is_taken() -> None:
    """Old ones 1 m and 2 m from new ones; laid over, they lie on each other."""
    old = [side("S1", (0.0, 0.0), (10000.0, 0.0)), side("S2", (0.0, 2000.0), (10000.0, 2000.0))]
    new = [side("T1", (0.0, 2900.0), (10000.0, 2900.0)), side("T2", (0.0, 900.0), (10000.0, 900.0))]
    assert [(one.id, two.id) for one, two in pair_sides(old, new, Motion()).both] == [("S2", "T1"), ("S1", "T2")]
    assert [(one.id, two.id) for one, two in pair_sides(old[:1], new, Motion(shift=(0.0, 2800.0))).both] == [
        ("S1", "T1")
    ]


# a hipped outline, no side as long as another
OUTLINE = [((0.0, 0.0), (9000.0, 0.0)), ((9000.0, 0.0), (11000.0, 7000.0)), ((11000.0, 7000.0), (500.0, 6000.0)),
           ((500.0, 6000.0), (0.0, 0.0))]  # fmt: skip


def _outline(motion: Motion) -> Snapshot:
    return seen(
        edges=tuple(edge(f"E{at}", "eave", motion.place(a), motion.place(b)) for at, (a, b) in enumerate(OUTLINE))
    )


@pytest.mark.parametrize(
    ("turn", "shift", "words"),
    [
        (0.0, (0.0, 0.0), ""),
        (0.0, (700.0, -1300.0), "old plan shifted by 700 mm east and -1300 mm north"),
        (40.0, (0.0, 0.0), "old plan turned by 40.0 degrees"),
        (-130.0, (-2500.0, 800.0), "old plan turned by -130.0 degrees and shifted by -2500 mm east and 800 mm north"),
        (180.0, (100.0, 100.0), "old plan turned by -180.0 degrees and shifted by 100 mm east and 100 mm north"),
    ],
)
def test_a_plan_is_laid_over_as_it_was_moved(turn: float, shift: Any, words: str) -> None:
    found = lay_over(_outline(Motion()), _outline(Motion(turn, shift)))
    assert (found.turn_deg - turn) % 360.0 == pytest.approx(0.0, abs=1e-6) or (turn - found.turn_deg) % 360.0 < 1e-6
    assert found.shift == pytest.approx(shift, abs=1e-3)
    assert found.words == words


def test_a_motion_of_a_place_by_hand() -> None:
    motion = Motion(90.0, (10.0, 20.0))
    assert motion.place((3.0, 4.0)) == pytest.approx((6.0, 23.0))
    assert motion.turn((3.0, 4.0)) == pytest.approx((-4.0, 3.0))


OLD_ROOF = (
    plane("P1", box(0.0, 0.0, 9000.0, 4000.0), sheet("P1.01", 0.0, 800.0, 0.0, 4000.0),
          sheet("P1.02", 800.0, 1600.0, 0.0, 4000.0), sheet("P1.03", 1600.0, 2400.0, 0.0, 4000.0, left_mm=3000.0),
          sheet("P1.04", 2400.0, 3200.0, 0.0, 4000.0, top="raked"), sheet("P1.05", 9000.0, 9800.0, 0.0, 900.0, 900.0),
          sheet("P1.06", 3200.0, 4000.0, 0.0, 500.0, 500.0, cut_from="P1.01"),
          sheet("P1.07", 4000.0, 4800.0, 0.0, 500.0, 500.0, cut_from="P1.02")),
    plane("P2", box(30000.0, 0.0, 4000.0, 4000.0), sheet("P2.01", 0.0, 800.0, 0.0, 4000.0), area_m2=16.0),
)  # fmt: skip
NEW_ROOF = (
    plane("Q1", box(0.0, 0.0, 9000.0, 4000.0), sheet("Q1.01", 0.0, 800.0, 0.0, 4000.0, 4010.0),
          sheet("Q1.02", 800.0, 1600.0, 0.0, 4000.0, cut_from="Q1.01"),
          sheet("Q1.03", 1600.0, 2400.0, 0.0, 4000.0, left_mm=3001.0, right_mm=3990.0, top="apex"),
          sheet("Q1.04", 2400.0, 3200.0, 0.0, 4000.0, top="square"), sheet("Q1.05", 7000.0, 7800.0, 0.0, 900.0, 950.0),
          sheet("Q1.06", 3200.0, 4000.0, 0.0, 500.0, 510.0, cut_from="Q1.01"),
          sheet("Q1.07", 4000.0, 4800.0, 0.0, 500.0, 500.0, cut_from="Q1.03"),
          pitch_deg=30.006, area_m2=80.01, fascia_height_mm=2402.0, covering="other", profile="", start_side="right"),
    plane("Q3", box(50000.0, 0.0, 3000.0, 3000.0), sheet("Q3.01", 0.0, 800.0, 0.0, 3000.0, 3000.0, cut_from="Q3.02"), area_m2=9.0),
)  # fmt: skip


def test_planes_and_sheets_that_are_not_as_they_were() -> None:
    found = compare(seen(planes=OLD_ROOF), seen(planes=NEW_ROOF))
    names = ("P1", "Q1")
    assert found.changes == (
        Change("plane", "pitch", *names, "30.00 deg", "30.01 deg", "+0.01 deg"),
        Change("plane", "area", *names, "80.00 m2", "80.01 m2", "+0.01 m2"),
        Change("plane", "fascia height", *names, "2400 mm", "2402 mm", "+2 mm"),
        Change("plane", "covering", *names, "sheets", "other"),
        Change("plane", "profile", *names, "wavy", "none"),
        Change("plane", "laid from", *names, "left", "right"),
        Change("plane", "plane", "P2", "", "16.00 m2", "gone"),
        Change("plane", "plane", "", "Q3", "", "new, 9.00 m2"),
        Change("sheet", "bought", "P1.01", "Q1.01", "4000 mm", "4010 mm", "+10 mm"),
        Change("sheet", "bought", "P1.02", "Q1.02", "4000 mm", "from Q1.01"),
        Change("sheet", "left side", "P1.03", "Q1.03", "3000 mm", "3001 mm", "+1 mm"),
        Change("sheet", "right side", "P1.03", "Q1.03", "4000 mm", "3990 mm", "-10 mm"),
        Change("sheet", "top", "P1.04", "Q1.04", "raked", "square"),
        Change("sheet", "length alone", "P1.06", "Q1.06", "500 mm", "510 mm", "+10 mm"),
        Change("sheet", "bought", "P1.07", "Q1.07", "from P1.02", "from Q1.03"),
        Change("sheet", "bought", "P1.05", "", "900 mm", "gone", "-900 mm"),
        Change("sheet", "bought", "", "Q1.05", "", "new, 950 mm", "+950 mm"),
        Change("sheet", "bought", "P2.01", "", "4000 mm", "gone", "-4000 mm"),
        Change("sheet", "bought", "", "Q3.01", "", "new, from Q3.02"),
    )
    assert (found.matched_planes, found.matched_sheets, found.old, found.new) == (1, 6, "house", "house")


def test_what_is_said_of_a_job_and_of_its_sides_that_is_not_as_it_was() -> None:
    old = seen(
        terms={"a": "1", "b": "2", "product x": "p", "product z": "p", "setting s": "v"},
        sides=(side("S1", (0.0, 0.0), (9000.0, 0.0), "kind", "over", kind="hip", pitch="30", over="600"),
               side("S2", (40000.0, 0.0), (49000.0, 0.0))),
        walls=(side("W1", (0.0, 0.0), (9000.0, 0.0), "window W1", **{"window W1": "900"}),),
    )  # fmt: skip
    new = seen(
        terms={"a": "1", "b": "3", "c": "4", "product y": "q", "product z": "q"},
        sides=(side("T1", (0.0, 0.0), (9000.0, 0.0), "kind", "more", kind="gable", pitch="35", more="1"),),
        walls=(side("V1", (0.0, 0.0), (9000.0, 0.0), "window W1", **{"window W1": "1200"}),
               side("V2", (0.0, 70000.0), (9000.0, 70000.0))),
        withheld=True,
    )  # fmt: skip
    assert compare(old, new).changes == (
        Change("term", "the order", "", "", "given", "withheld by a stop finding"),
        Change("term", "b", "", "", "2", "3"),
        Change("term", "product z", "", "", "p", "q"),
        Change("term", "setting s", "", "", "v", "not given"),
        Change("term", "c", "", "", "not given", "4"),
        Change("term", "kind", "S1", "T1", "hip", "gable"),
        Change("term", "over", "S1", "T1", "600", "not given"),
        Change("term", "more", "S1", "T1", "not given", "1"),
        Change("term", "outline", "S2", "", "there", "gone"),
        Change("wall", "window W1", "W1", "V1", "900", "1200"),
        Change("wall", "wall", "", "V2", "", "new"),
    )


def test_edges_of_one_kind_between_the_same_planes() -> None:
    """The nearer of two eaves of a plane is the one; a hip is no eave, and the edge of another plane none of this."""
    ring = box(0.0, 0.0, 9000.0, 4000.0)
    old = seen(
        planes=(plane("P1", ring),),
        edges=(edge("E1", "eave", (0.0, 0.0), (4000.0, 0.0), "P1"), edge("E2", "eave", (5000.0, 0.0), (9000.0, 100.0), "P1"),
               edge("H1", "hip", (0.0, 0.0), (3000.0, 3000.0), "P1"), edge("E9", "eave", (0.0, 0.0), (1000.0, 0.0), "P9")),
    )  # fmt: skip
    new = seen(
        planes=(plane("Q1", ring),),
        edges=(edge("F1", "eave", (5000.0, 0.0), (9000.0, 100.0), "Q1", long=4004.0), edge("F2", "eave", (0.0, 0.0), (4000.0, 0.0), "Q1"),
               edge("V1", "valley", (0.0, 0.0), (3000.0, 3000.0), "Q1", long=4300.0)),
    )  # fmt: skip
    assert compare(old, new).changes == (
        Change("edge", "eave, length", "E2", "F1", "4001 mm", "4004 mm", "+3 mm"),
        Change("edge", "hip", "H1", "", "4243 mm", "gone"),
        Change("edge", "eave", "E9", "", "1000 mm", "gone"),
        Change("edge", "valley", "", "V1", "", "new, 4300 mm"),
    )


def test_downpipes_by_place() -> None:
    """Moved by 500 mm (300 and 400), by half a millimetre, and one more than 3 m off, which is another."""
    old = seen(
        pipes=(
            SeenPipe("D1", (0.0, 0.0), 2400.0, 30.0),
            SeenPipe("D2", (9000.0, 0.0), 2400.0, 30.0),
            SeenPipe("D3", (20000.0, 0.0), 2400.0, 30.0),
        )
    )
    new = seen(
        pipes=(
            SeenPipe("C1", (300.0, 400.0), 2401.0, 30.006),
            SeenPipe("C2", (9000.4, 0.0), 2400.4, 30.004),
            SeenPipe("C3", (23001.0, 0.0), 2400.0, 30.0),
        )
    )
    assert compare(old, new).changes == (
        Change("downpipe", "place", "D1", "C1", "", "moved", "500 mm"),
        Change("downpipe", "height", "D1", "C1", "2400 mm", "2401 mm", "+1 mm"),
        Change("downpipe", "roof drained", "D1", "C1", "30.00 m2", "30.01 m2", "+0.01 m2"),
        Change("downpipe", "downpipe", "D3", "", "there", "gone"),
        Change("downpipe", "downpipe", "", "C3", "", "new"),
    )


def bought(name: str, item: str, count: float, each: float = 0.0, called: str = "", **more: Any) -> SeenLine:
    total, unit = (count * each / 1000.0, "m") if each else (count, "box")
    return SeenLine(
        name, more.get("where", "purlins"), item, called or item, each, more.get("unit", "each"), count, total, unit
    )


def test_lines_of_the_order() -> None:
    """10 and 2 x 6 m are 72 m, then 11 x 6 m and 1.5 m more: 67.5 m."""
    old = seen(lines=(bought("L1", "rail", 10.0, 6000.0, "Rail"), bought("L2", "rail", 2.0, 6000.0, "Rail"), bought("L3", "nail", 2.0),
                      bought("L4", "tape", 1200.0, called="Tape"), bought("L5", "same", 1.0, called="One name")))  # fmt: skip
    new = seen(lines=(bought("M1", "rail", 11.0, 6000.0, "Rail"), bought("M2", "rail", 1.0, 1500.0, "Rail"), bought("M3", "nail", 2.0),
                      bought("M4", "tape", 2400.5, called="Tape"), bought("M5", "same", 1.0, called="Other name"),
                      bought("M6", "clip", 3.0)))  # fmt: skip
    assert compare(old, new).changes == (
        Change("order line", "Rail, all lengths", "", "", "72.000 m", "67.500 m", "-4.500 m"),
        Change("order line", "Rail, 6000 mm", "L1", "M1", "12 each", "11 each", "-1 each"),
        Change("order line", "Tape", "L4", "M4", "1,200 each", "2,400.5 each", "+1,200.5 each"),
        Change("order line", "same", "L5", "M5", "One name", "Other name"),
        Change("order line", "Rail, 1500 mm", "", "M2", "none", "1 each", "+1 each"),
        Change("order line", "clip", "", "M6", "none", "3 each", "+3 each"),
    )


def issued(lengths: dict[str, float], lines: tuple[SeenLine, ...] = (), **more: Any) -> Snapshot:
    pieces = [sheet(mark, 0.0, 1.0, 0.0, 1.0, mm) for mark, mm in lengths.items()]
    return seen(planes=(plane("P1", (), *pieces),), lines=lines, **({"job": "house", "revision": "A"} | more))


def refusal(new: Snapshot, old: Snapshot | None) -> str:
    try:
        refuse_other_lengths(new, old, "the folder")
    except UsageError as error:
        return str(error)
    return ""


def test_one_letter_stands_for_one_order() -> None:
    head, tail = (
        "the folder holds revision A with other lengths: ",
        "; give this one a letter of its own with --revision",
    )
    old = issued(
        {"P1.01": 3000.0, "P1.02": 2000.0},
        (bought("L1", "rail", 2.0, 6000.0), bought("L2", "rail", 3.0, 6000.0), bought("L3", "nail", 9.0)),
    )
    assert refusal(old, old) == refusal(old, None) == ""
    # half a millimetre is another length, less is none; lines of one length are one; what has none is not looked at
    assert refusal(replace(old, planes=issued({"P1.01": 3000.49, "P1.02": 2000.0}).planes), old) == ""
    moved = replace(old, planes=issued({"P1.01": 3000.5, "P1.03": 1000.0}).planes)
    assert refusal(moved, old) == f"{head}P1.01 3000, now 3000 mm, P1.02 2000, now 0 mm, P1.03 0, now 1000 mm{tail}"
    lines = (bought("L1", "rail", 5.5, 6000.0), bought("L3", "nail", 1.0), bought("L4", "board", 1.0, 4200.0))
    more = "rail 6000 mm: 5, now 5.5, board 4200 mm: 0, now 1"
    assert refusal(replace(old, lines=lines), old) == f"{head}{more}{tail}"
    both = f"{head}P1.01 3000, now 3000 mm, P1.02 2000, now 0 mm, P1.03 0, now 1000 mm and 2 more{tail}"
    assert refusal(replace(moved, lines=lines), old) == both
    for other in (replace(moved, revision="B"), replace(moved, job="shed"), replace(moved, withheld=True)):
        assert refusal(other, old) == ""
    assert refusal(moved, replace(old, withheld=True)) == ""


def test_what_a_revision_takes_the_place_of() -> None:
    assert superseded("B", "A", None) == "A"
    assert superseded("A", "A", None) == ""
    assert superseded("C", "A", issued({}, revision="B")) == "B"
    assert superseded("B", "A", issued({}, revision="B")) == ""
