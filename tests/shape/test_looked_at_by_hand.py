"""A look at a drawing or a model, and what is said of the ring taken from one: whole records by hand."""

from __future__ import annotations

from typing import Any

import pytest
from made_roofs import box

from takeoff.model.drawings import RawDrawing, RawPath
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.roofs import RoofJob, ShapeJob
from takeoff.model.looked import Looked, LookedLayer, LookedRing, LookedRow
from takeoff.shape.imported.drawn import ring_findings as saying
from takeoff.shape.imported.drawn.drawn_rings import DrawnRing, DrawnRings, OpenChain
from takeoff.shape.imported.drawn.look_at_drawing import look_at_drawing
from takeoff.shape.imported.drawn.ring_choice import Candidate, candidates_of, of_part
from takeoff.shape.imported.drawn.ring_units import UnitFound

HOUSE = ((1000.0, 500.0), (10000.0, 500.0), (10000.0, 6500.0), (1000.0, 6500.0))
COURT = box(3000.0, 2000.0, 5000.0, 3000.0)


def path(layer: str, points: Any, closed: bool = True, **more: Any) -> RawPath:
    return RawPath(layer, tuple(points), closed, **more)


def raw(*paths: RawPath, **more: Any) -> RawDrawing:
    return RawDrawing("plan.dxf", "dxf", paths, **more)


def looked(layer: str, number: int, points: Any, size: tuple[float, float], first: int, **more: Any) -> LookedRing:
    edges = tuple(
        ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
        for (ax, ay), (bx, by) in zip(points, (*points[1:], points[0]), strict=True)
    )
    plain: dict[str, Any] = {"name": "", "area_mm2": size[0] * size[1], **more}
    return LookedRing(
        layer=layer,
        number=number,
        points_mm=points,
        length_mm=size[0],
        width_mm=size[1],
        first_edge=first,
        edges_mm=edges,
        **plain,
    )


def test_a_drawing_looked_at() -> None:
    """A house with a court and a shed on one layer; a pane in a wall, drawn on another; a row of lines that does not close."""
    shed, pane = box(20000.0, 0.0, 24000.0, 3000.0), box(7000.0, 1000.0, 8000.0, 2000.0)
    row = ((0.0, 9000.0), (4000.0, 9000.0), (4000.0, 11000.0))
    drawn = raw(
        path("ROOF", HOUSE, name="house"), path("ROOF", COURT), path("roof", shed), path("GLASS", pane), path("ROOF", row[:2], False), path("ROOF", row[1:], False),
        path("GLASS", ((0.0, 0.0), (9.0, 0.0)), False), unit="mm", unit_words="its header says mm", left_out=(("text", 3), ("hatch", 1)),
    )  # fmt: skip
    found = look_at_drawing(drawn)
    line = "shape: {{file: plan.dxf, layer: ROOF, part: {}, unit: mm, edge_is: outline}}"
    rings = (
        looked("ROOF", 1, HOUSE, (9000.0, 6000.0), 1, name="house", line=line.format(1)), looked("ROOF", 2, COURT, (2000.0, 1000.0), 5, court_of=1),
        looked("roof", 3, shed, (4000.0, 3000.0), 1, line=line.format(3).replace("ROOF", "roof")), looked("GLASS", 1, pane, (1000.0, 1000.0), 1),
    )  # fmt: skip
    assert found == Looked(
        file="plan.dxf", kind="dxf", unit="mm", unit_why="its header says mm, and its size is a house's",
        layers=(LookedLayer("ROOF", 5, 3, 1), LookedLayer("GLASS", 2, 1, 0)), rings=rings,
        open_rows=(LookedRow(row, "2 lines on ROOF stay open by 4472 mm between (0, 9000) and (4000, 11000)"),), lines=(rings[0].line, rings[2].line),
        notes=(
            "not read, since they are no lines, arcs or polylines in plan: 3 text, 1 hatch",
            "1 small rings inside others, on GLASS, are no roofs; drawn_elevations of the walls takes windows and doors by their layers, with the wall they are in",
        ),
    )  # fmt: skip


def test_a_drawing_whose_unit_nobody_can_tell() -> None:
    """696 x 384 is 6.96 x 3.84 m in cm, 17.68 x 9.75 m in inches."""
    found = look_at_drawing(raw(path("", box(0.0, 0.0, 696.0, 384.0))), layer="")
    assert (found.unit, found.unit_why, found.lines) == ("", "the file states none", ())
    assert found.could_be == (("cm", "6.96 x 3.84 m"), ("in", "17.68 x 9.75 m"))
    assert found.notes == ("say the unit with --unit for the lines that name each ring in a job",)
    told = look_at_drawing(raw(path("", box(0.0, 0.0, 696.0, 384.0))), unit="in")
    assert (told.unit, told.could_be, told.rings[0].length_mm) == ("in", (), pytest.approx(17678.4))
    assert told.lines == ("shape: {file: plan.dxf, part: 1, unit: in, edge_is: outline}",)
    odd = look_at_drawing(
        raw(path("A", box(0.0, 0.0, 69.6, 38.4)), path("B", box(0.0, 0.0, 9.0, 9.0))), layer="c", unit="m"
    )
    assert odd.notes == ("it has no lines on a layer c", "the unit m is in doubt: a house is 3 to 60 m long")
    assert look_at_drawing(raw(path("A", box(0.0, 0.0, 69.6, 38.4))), layer="a", unit="m").notes == (
        "the unit m is in doubt: a house is 3 to 60 m long",
    )


def test_rings_that_cross_or_are_drawn_twice_are_told() -> None:
    tie = ((0.0, 0.0), (9000.0, 6000.0), (9000.0, 0.0), (0.0, 5000.0))
    found = look_at_drawing(raw(path("A", tie), path("B", HOUSE), path("A", HOUSE)), unit="mm")
    by = {(ring.layer, ring.number): ring for ring in found.rings}
    # y = 2 x / 3 and y = 5000 - 5 x / 9
    crossed = "ring: edges 1 and 3 cross or touch at (4091, 2727); give the points in order round the roof"
    assert by["A", 1].fault == crossed
    assert by["B", 1].fault == ""
    assert "ring 1 on B is drawn on A too" in found.notes


def ring(number: int = 2, layer: str = "ROOF", points: Any = HOUSE, **more: Any) -> DrawnRing:
    return DrawnRing(layer, number, tuple(points), 9000.0, 6000.0, **more)


def chain(lines: int = 2, length: float = 3000.0, layer: str = "roof", fork: Any = None) -> OpenChain:
    return OpenChain(layer, lines, length, 0.25, ((1.5, 2.25), (1.75, 2.5)), fork, ())


def drawn(*open_chains: OpenChain, unit: UnitFound | None = None) -> DrawnRings:
    return DrawnRings("plan.dxf", unit or UnitFound("mm", "why"), 9000.0, 6000.0, (), open_chains)


def test_rows_of_lines_that_make_no_ring() -> None:
    assert (
        saying.chain_words(chain(), True) == "2 lines on roof stay open by 0.25 mm between (1.5, 2.25) and (1.75, 2.5)"
    )
    assert (
        saying.chain_words(chain(1, layer=""), False) == "1 line stay open by 0.25 between (1.5, 2.25) and (1.75, 2.5)"
    )
    assert (
        saying.chain_words(chain(fork=(7.125, 8.0)), True)
        == "2 lines on roof meet three and more at (7.125, 8): leave the outline alone on a layer"
    )
    several = drawn(*(chain(n, 1000.0 * n) for n in (1, 4, 2, 3, 5, 6, 7)))
    words = saying.open_words(several).split("; ")
    assert [one.split(" ")[0] for one in words] == ["7", "6", "5", "4", "3", "2", "1"][: len(words)]
    assert saying.open_words(drawn()) == ""
    nobody = drawn(chain(), unit=UnitFound(None, "why"))
    assert "0.25 between" in saying.open_words(nobody)


def test_what_is_said_of_the_ring_that_was_taken() -> None:
    one = Candidate(
        ring(name="house", joined=1, arcs=1, gap_mm=0.06, also_on=("A", "B")),
        (ring(4, points=COURT, joined=2, arcs=3),),
    )
    found = saying.ring_findings(
        RoofJob(name="main"),
        ShapeJob(file="plan.dxf"),
        drawn(chain(length=2999.0), chain(3, 3000.0), chain(9, 9000.0, "other")),
        one,
    )
    said = "roof main: its outline is ring 2 house on ROOF: 9.00 x 6.00 m, 52.00 m2, 4 corners of plan.dxf; edges are numbered as they are drawn"
    arcs = "became straight sides that lie no further than 10 mm off, each an edge of its own"
    cut = "curved roofs are built of straight parts; draw the sides that will be built"
    assert [(f.code, f.severity, f.text, f.advice) for f in found] == [
        ("drawing-outline-taken", Severity.NOTE, said, ""), ("drawing-unit-taken", Severity.NOTE, "roof main: the unit of plan.dxf is mm: why", ""),
        ("drawing-line-taken", Severity.WARN, "roof main: nothing says which line plan.dxf shows; the outer face of the fascia was taken",
         "say `edge_is: outline` or `edge_is: wall_line` in its shape"),
        ("drawing-ring-repeated", Severity.NOTE, "roof main: the same ring is drawn on A, B too; it was taken once", ""),
        ("drawing-points-joined", Severity.FIXED, "roof main: 1 point of ring 2 within 0.5 mm of another were made one", "edges are numbered without them"),
        ("drawing-gaps-closed", Severity.FIXED, "roof main: gaps of up to 0.06 mm between the lines of ring 2 were closed", ""),
        ("drawing-arcs-cut", Severity.WARN, f"roof main: 1 arc of ring 2 {arcs}", cut),
        ("drawing-points-joined", Severity.FIXED, "roof main: 2 points of ring 4 within 0.5 mm of another were made one", "edges are numbered without them"),
        ("drawing-arcs-cut", Severity.WARN, f"roof main: 3 arcs of ring 4 {arcs}", cut),
        ("drawing-courtyards-taken", Severity.NOTE, "roof main: ring 4 inside it is a courtyard of it", ""),
        ("drawing-lines-open", Severity.NOTE, "roof main: of layer ROOF 3 lines on roof stay open by 0.25 mm between (1.5, 2.25) and (1.75, 2.5); left out", ""),
    ]  # fmt: skip
    two = Candidate(ring(layer="", gap_mm=0.05), (ring(4, points=COURT), ring(5, points=COURT)))
    shape = ShapeJob(file="plan.dxf", edge_is="wall_line")
    plain = saying.ring_findings(RoofJob(name="main"), shape, drawn(chain(layer="")), two)
    assert [f.text for f in plain if f.code != "drawing-unit-taken"] == [
        "roof main: its wall line is ring 2: 9.00 x 6.00 m, 50.00 m2, 4 corners of plan.dxf; edges are numbered as they are drawn",
        "roof main: rings 4, 5 inside it are courtyards of it", "roof main: of layer plan.dxf 2 lines stay open by 0.25 mm between (1.5, 2.25) and (1.75, 2.5); left out",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("unit", "finding"),
    [
        (UnitFound("cm", "the job says so", True), Finding("drawing-unit-odd", Severity.WARN,
         "r: the unit of plan.dxf is cm: the job says so, but its largest shape is no house's size", "is the unit right? a house is 3 to 60 m long")),
        (UnitFound("cm", "no other makes a house of it", True), Finding("drawing-unit-taken", Severity.WARN, "r: the unit of plan.dxf is cm: no other makes a house of it",
         "say `unit: cm` in its shape")),
        (UnitFound("cm", "the job says so"), Finding("drawing-unit-taken", Severity.NOTE, "r: the unit of plan.dxf is cm: the job says so")),
    ],
)  # fmt: skip
def test_what_is_said_of_the_unit(unit: UnitFound, finding: Finding) -> None:
    assert saying._unit_findings("r", drawn(unit=unit)) == [finding]


def test_candidates_and_the_courtyards_in_them() -> None:
    """A ring in a ring in a ring: court, and a candidate again; left out, what lies in it moves up."""
    outer = ring(1, points=box(0.0, 0.0, 90.0, 90.0))
    court, inner = (
        ring(2, points=box(10.0, 10.0, 80.0, 80.0), inside=1, name="yard"),
        ring(3, points=box(20.0, 20.0, 30.0, 30.0), inside=2),
    )
    beside = ring(4, "B", box(200.0, 0.0, 210.0, 10.0))
    rings = DrawnRings("plan.dxf", UnitFound("mm", "why"), 9.0, 9.0, (outer, court, inner, beside), ())
    every = candidates_of(rings)
    assert every == (Candidate(outer, (court,)), Candidate(inner), Candidate(beside))
    assert (every[0].area_mm2, every[0].edges, every[0].doubtful) == (8100.0 - 4900.0, 8, court)
    assert Candidate(outer, (inner,)).doubtful is None
    left = candidates_of(rings, ShapeJob(file="plan.dxf", leave_out=["yard"]))
    assert left == (Candidate(outer, (inner,)), Candidate(beside))
    assert candidates_of(rings, ShapeJob(file="plan.dxf", use=[3, 1])) == (Candidate(outer, (inner,)),)
    assert candidates_of(rings, ShapeJob(file="plan.dxf", use=[1, 2], leave_out=[1])) == (Candidate(court),)
    assert of_part(every, "4") == (every[2],)
    assert of_part((every[0], Candidate(court)), "yard") == (Candidate(court),)
    assert of_part(every, "9") == ()
