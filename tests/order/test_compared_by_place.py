"""Two results held against each other, whole and by hand, on plans typed here."""

from __future__ import annotations

import random
import sys
from dataclasses import replace
from math import dist
from pathlib import Path
from typing import Any

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.differences import Change
from takeoff.model.snapshot import SeenEdge, SeenLine, SeenPipe, Snapshot
from takeoff.order.comparing.compare import compare
from takeoff.order.comparing.reissue import refuse_other_lengths, superseded

sys.path.insert(0, str(Path(__file__).parent))

from seen_plans import box, edge, plane, seen, sheet, side

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
    found = compare(seen(name="old", planes=OLD_ROOF), seen(name="new", planes=NEW_ROOF))
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
    assert (found.matched_planes, found.matched_sheets, found.old, found.new) == (1, 6, "old", "new")


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


def test_the_nearer_edge_up_the_plan_is_taken() -> None:
    """Two eaves of one plane at 3 and 6 m north, beside new ones at 2.9 and 6.2."""
    ring = box(0.0, 0.0, 9000.0, 9000.0)

    def eaves(name: str, of: str, *norths: float) -> tuple[SeenEdge, ...]:
        rows = enumerate(norths)
        return tuple(
            edge(f"{name}{at}", "eave", (0.0, y), (4000.0 + y, y + 50.0), of, long=1000.0 * y) for at, y in rows
        )

    old = seen(planes=(plane("P1", ring),), edges=eaves("E", "P1", 3000.0, 6000.0))
    new = seen(planes=(plane("Q1", ring),), edges=eaves("F", "Q1", 6200.0, 2900.0))
    assert [(one.old_name, one.new_name) for one in compare(old, new).changes] == [("E1", "F0"), ("E0", "F1")]


def test_the_nearer_edge_along_the_plan_is_taken() -> None:
    """And two at 3 and 6 m east, beside new ones at 2.9 and 6.2."""
    ring = box(-1000.0, 0.0, 9000.0, 9000.0)

    def verges(name: str, of: str, *easts: float) -> tuple[SeenEdge, ...]:
        rows = enumerate(easts)
        return tuple(
            edge(f"{name}{at}", "verge", (x, 0.0), (x + 50.0, 4000.0 + x), of, long=1000.0 * x) for at, x in rows
        )

    old = seen(planes=(plane("P1", ring),), edges=verges("B", "P1", 3000.0, 6000.0))
    new = seen(planes=(plane("Q1", ring),), edges=verges("C", "Q1", 6200.0, 2900.0))
    assert [(one.old_name, one.new_name) for one in compare(old, new).changes] == [("B1", "C0"), ("B0", "C1")]


@pytest.mark.parametrize("seed", range(4))
def test_each_edge_and_downpipe_is_found_by_its_own_place(seed: int) -> None:
    """Twelve edges of one plane anywhere, given in another order and 50 longer, are each their own. Twelve pipes that are moved
    by 30 east and 40 north are 50 mm off, but for those that another pipe stands near."""
    chance = random.Random(seed)
    ring = box(-30000.0, -30000.0, 60000.0, 60000.0)
    places = [tuple(chance.uniform(-20000.0, 20000.0) for _ in range(4)) for _ in range(12)]
    order = chance.sample(range(12), 12)

    def edges(name: str, of: str, numbers: Any, longer: float) -> Snapshot:
        own = [
            edge(f"{name}{n}", "eave", (a, b), (c, d), of, long=1000.0 * (n + 1) + longer)
            for n in numbers for a, b, c, d in (places[n],)
        ]  # fmt: skip
        return seen(planes=(plane(of, ring),), edges=tuple(own))

    found = compare(edges("E", "P1", range(12), 0.0), edges("F", "Q1", order, 50.0)).changes
    assert {(one.old_name, one.new_name) for one in found} == {(f"E{n}", f"F{n}") for n in range(12)}

    def pipes(name: str, numbers: Any, x: float, y: float) -> Snapshot:
        return seen(
            pipes=tuple(SeenPipe(f"{name}{n}", (places[n][0] + x, places[n][1] + y), 2400.0, 30.0) for n in numbers)
        )

    apart = [n for n in range(12) if all(dist(places[n][:2], places[m][:2]) > 3100.0 for m in range(12) if m != n)]
    found = compare(pipes("D", range(12), 0.0, 0.0), pipes("C", order, 30.0, 40.0)).changes
    assert {(f"D{n}", f"C{n}", "50 mm") for n in apart} <= {(one.old_name, one.new_name, one.by) for one in found}
    assert len(apart) > 5


def test_a_side_and_a_wall_that_are_new_or_gone() -> None:
    near, far = side("S1", (0.0, 0.0), (9000.0, 0.0)), side("S2", (0.0, 70000.0), (9000.0, 70000.0))
    without, with_both = seen(sides=(near,), walls=(near,)), seen(sides=(near, far), walls=(near, far))
    assert compare(without, with_both).changes == (
        Change("term", "outline", "", "S2", "", "new"), Change("wall", "wall", "", "S2", "", "new")
    )  # fmt: skip
    assert compare(with_both, without).changes == (
        Change("term", "outline", "S2", "", "there", "gone"), Change("wall", "wall", "S2", "", "there", "gone")
    )  # fmt: skip


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
    gone = replace(old, lines=(*old.lines[:2], bought("L9", "board", 1.0, 4200.0)))
    assert refusal(old, gone) == f"{head}board 4200 mm: 1, now 0{tail}"
    for other in (replace(moved, revision="B"), replace(moved, job="shed"), replace(moved, withheld=True)):
        assert refusal(other, old) == ""
    assert refusal(moved, replace(old, withheld=True)) == ""


def test_what_a_revision_takes_the_place_of() -> None:
    assert superseded("B", "A", None) == "A"
    assert superseded("A", "A", None) == ""
    assert superseded("C", "A", issued({}, revision="B")) == "B"
    assert superseded("B", "A", issued({}, revision="B")) == ""
