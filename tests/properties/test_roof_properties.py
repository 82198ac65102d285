"""What must hold for every roof raised from an outline: it closes, and its figures do not depend on how it is drawn."""

from __future__ import annotations

from collections import defaultdict
from math import cos, radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.basics.polygons import rings_area
from takeoff.basics.vectors import distance2
from takeoff.model.edge_kinds import INNER_KINDS, EdgeKind
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.job import Job
from takeoff.model.job.roofs import RoofJob
from takeoff.model.roof import Roof
from takeoff.read.job.settings import resolve_settings
from takeoff.shape.outline.roof_from_outline import roof_from_outline

SETTINGS = resolve_settings(Job(job="check"))
Outline = list[tuple[float, float]]
Drawn = tuple[Outline, dict[int, EdgeJob]]

repeatable = settings(derandomize=True, max_examples=40, deadline=None, database=None)


@st.composite
def drawn(draw: st.DrawFn) -> Drawn:
    """A house of columns side by side, their fronts and backs stepping in and out by decimetres; a pitch an edge, some
    ends gables."""
    columns = draw(st.integers(1, 4))
    front: Outline = []
    back: Outline = []
    x = 0.0
    for _ in range(columns):
        y0, y1 = 100.0 * draw(st.integers(-25, 0)), 100.0 * draw(st.integers(40, 90))
        width = 100.0 * draw(st.integers(30, 80))
        front += [(x, y0), (x + width, y0)]
        back += [(x, y1), (x + width, y1)]
        x += width
    ring = _without_straight([*front, *reversed(back)])
    pitches = draw(st.lists(st.sampled_from([15.0, 22.5, 25.0, 30.0]), min_size=len(ring), max_size=len(ring)))
    same = draw(st.booleans())
    edges = {n + 1: EdgeJob(pitch_deg=pitches[0] if same else pitch) for n, pitch in enumerate(pitches)}
    if draw(st.booleans()):
        lengths = [distance2(a, b) for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)]
        edges[lengths.index(max(lengths)) % len(ring) + 1] = EdgeJob(kind="gable")
    return ring, edges


def _without_straight(ring: Outline) -> Outline:
    points = [p for i, p in enumerate(ring) if p != ring[i - 1]]
    return [
        p
        for i, p in enumerate(points)
        if not (points[i - 1][0] == p[0] == points[(i + 1) % len(points)][0])
        and not (points[i - 1][1] == p[1] == points[(i + 1) % len(points)][1])
    ]


def _raised(outline: Outline, edges: dict[int, EdgeJob], north_deg: float = 0.0) -> Roof:
    return roof_from_outline(RoofJob(outline=outline, edges=edges), north_deg, SETTINGS)


def _by_kind(roof: Roof) -> dict[EdgeKind, float]:
    total: dict[EdgeKind, float] = defaultdict(float)
    for edge in roof.edges:
        total[edge.kind] += edge.length_mm
    return dict(total)


def _planes(roof: Roof) -> list[tuple[float, float, float]]:
    return sorted(
        (p.pitch_deg, round(p.bearing_deg, 3) % 360.0, round(p.area_mm2, -1)) for p in roof.planes if p.area_mm2 > 1e3
    )


def _same_figures(one: Roof, other: Roof) -> None:
    lengths, others = _by_kind(one), _by_kind(other)
    for kind in {*lengths, *others}:
        assert lengths.get(kind, 0.0) == pytest.approx(others.get(kind, 0.0), abs=0.5), kind
    for (pitch, bearing, area), (pitch2, bearing2, area2) in zip(_planes(one), _planes(other), strict=True):
        assert (pitch, bearing) == (pitch2, pytest.approx(bearing2, abs=2e-3))
        assert area == pytest.approx(area2, abs=200.0)


@repeatable
@given(drawn())
def test_planes_add_up_to_the_outline(house: Drawn) -> None:
    roof = _raised(*house)
    outline = rings_area(roof.outline_mm)
    assert sum(p.plan_area_mm2 for p in roof.planes) == pytest.approx(outline, rel=1e-9)
    for plane in roof.planes:
        assert plane.area_mm2 * cos(radians(plane.pitch_deg)) == pytest.approx(plane.plan_area_mm2, rel=1e-7)
        assert rings_area(plane.rings_uv) == pytest.approx(plane.area_mm2, rel=1e-12)
        assert min(u for ring in plane.rings_uv for u, _ in ring) == 0.0
        assert min(v for ring in plane.rings_uv for _, v in ring) == 0.0


@repeatable
@given(drawn())
def test_every_inner_edge_joins_two_faces_and_every_ring_side_is_an_edge(house: Drawn) -> None:
    roof = _raised(*house)
    faces = {face.id for face in (*roof.planes, *roof.uprights)}
    for edge in roof.edges:
        assert set(edge.faces) <= faces
        assert len(edge.faces) >= 2 or edge.outline_edges
        if edge.kind in INNER_KINDS:
            assert len(edge.faces) == 2
    for plane in roof.planes:
        sides = defaultdict(int)
        for ring in plane.rings_uv:
            for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
                sides[frozenset((_rounded(a), _rounded(b)))] += 1
        for edge in roof.edges_of(plane.id):
            ends = frozenset((_rounded(plane.frame.to_plane(edge.a_mm)), _rounded(plane.frame.to_plane(edge.b_mm))))
            sides[ends] -= 1
        assert set(sides.values()) == {0}


def _rounded(point: tuple[float, float]) -> tuple[float, float]:
    return (round(point[0], 3) + 0.0, round(point[1], 3) + 0.0)


@repeatable
@given(drawn())
def test_eaves_and_gables_run_along_the_whole_outline(house: Drawn) -> None:
    outline, edges = house
    roof = _raised(outline, edges)
    round_it = sum(distance2(a, b) for a, b in zip(outline, (*outline[1:], outline[0]), strict=True))
    free = sum(edge.plan_length_mm for edge in roof.edges if edge.outline_edges)
    assert free == pytest.approx(round_it, rel=1e-9)


@repeatable
@given(drawn(), st.floats(-1e9, 1e9), st.floats(-1e9, 1e9))
def test_shifting_changes_nothing(house: Drawn, dx: float, dy: float) -> None:
    outline, edges = house
    shifted = [(x + dx, y + dy) for x, y in outline]
    one, other = _raised(outline, edges), _raised(shifted, edges)
    _same_figures(one, other)
    assert [p.outline_edges for p in one.planes] == [p.outline_edges for p in other.planes]


@repeatable
@given(drawn(), st.floats(0.0, 360.0))
def test_turning_plan_and_north_alike_changes_nothing(house: Drawn, turn_deg: float) -> None:
    outline, edges = house
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    turned = [(c * x - s * y, s * x + c * y) for x, y in outline]
    _same_figures(_raised(outline, edges), _raised(turned, edges, north_deg=turn_deg))


@repeatable
@given(drawn(), st.integers(1, 7))
def test_starting_elsewhere_only_renumbers(house: Drawn, start: int) -> None:
    outline, edges = house
    k = start % len(outline)
    moved = {(n - 1 - k) % len(outline) + 1: edge for n, edge in edges.items()}
    one, other = _raised(outline, edges), _raised(outline[k:] + outline[:k], moved)
    _same_figures(one, other)
    renumbered = sorted(tuple(sorted((n - 1 - k) % len(outline) + 1 for n in p.outline_edges)) for p in one.planes)
    assert renumbered == sorted(p.outline_edges for p in other.planes)


@repeatable
@given(drawn())
def test_typing_the_points_clockwise_keeps_every_figure(house: Drawn) -> None:
    """The edges of the reversed ring are the same lines: edge n of it runs from point n of the reversed ring."""
    outline, edges = house
    count = len(outline)
    backward = outline[::-1]
    moved = {(count - 1 - n) % count + 1: edge for n, edge in edges.items()}
    _same_figures(_raised(outline, edges), _raised(backward, moved))


@repeatable
@given(drawn())
def test_mirroring_turns_bearings_over_and_nothing_else(house: Drawn) -> None:
    outline, edges = house
    one, other = _raised(outline, edges), _raised([(-x, y) for x, y in outline], edges)
    for kind, length in _by_kind(one).items():
        assert _by_kind(other)[kind] == pytest.approx(length, abs=0.5)
    mirrored = sorted((p, round(-bearing % 360.0, 3) % 360.0, a) for p, bearing, a in _planes(one))
    for (pitch, bearing, area), (pitch2, bearing2, area2) in zip(mirrored, _planes(other), strict=True):
        assert (pitch, area) == (pitch2, pytest.approx(area2, abs=200.0))
        assert bearing == pytest.approx(bearing2, abs=2e-3)


@repeatable
@given(drawn())
def test_heights_agree_with_the_pitch_over_the_eave(house: Drawn) -> None:
    """Every corner of a plane stands over its eave by its level distance from it times the tangent of the pitch."""
    roof = _raised(*house)
    for plane in roof.planes:
        for ring in plane.rings_uv:
            for _, v in ring:
                z = plane.frame.origin_mm[2] + v * sin(radians(plane.pitch_deg))
                assert z >= plane.fascia_height_mm - 1e-6
        for edge in roof.edges_of(plane.id):
            for point in (edge.a_mm, edge.b_mm):
                _, v = plane.frame.to_plane(point)
                assert plane.frame.origin_mm[2] + v * sin(radians(plane.pitch_deg)) == pytest.approx(point[2], abs=1e-5)
