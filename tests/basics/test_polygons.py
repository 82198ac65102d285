"""Plane polygons against figures by hand."""

from __future__ import annotations

from takeoff.basics.polygons import clip_half_plane, foot_and_head, inside_rings


def test_a_short_level_line_on_the_way_to_the_peak_is_no_head() -> None:
    """Half a millimetre of it at 8, far from the left end: a doubled corner; the head is the peak at 12."""
    ring = ((0.0, 0.0), (20.0, 0.0), (15.0, 8.0), (14.5, 8.2), (10.0, 12.0))
    assert foot_and_head(ring) == ((0.0, 0.0), (20.0, 0.0), (10.0, 12.0), (10.0, 12.0))


def test_points_on_the_sides_of_a_ring_and_beside_them() -> None:
    """On a left or lower side a point is in, on a right or upper one it is not; from whichever corner the ring begins."""
    square = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]
    rows = {
        (0.0, 1.0): True,
        (4.0, 1.0): False,
        (1.0, 0.0): True,
        (1.0, 4.0): False,
        (-1.0, 1.0): False,
        (5.0, 1.0): False,
        (3.9, 3.9): True,
    }
    for start in range(4):
        ring = [*square[start:], *square[:start]]
        assert {point: inside_rings(point, [ring]) for point in rows} == rows
        assert {point: inside_rings(point, [ring[::-1]]) for point in rows} == rows


def test_a_small_ring_cut_by_a_line() -> None:
    """A square of one unit cut in half; a line along its side leaves it or takes all."""
    square = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    assert clip_half_plane(square, 1.0, 0.0, 0.5) == ((0.0, 0.0), (0.5, 0.0), (0.5, 1.0), (0.0, 1.0))
    assert clip_half_plane(square, 0.0, -1.0, -0.25) == ((1.0, 0.25), (1.0, 1.0), (0.0, 1.0), (0.0, 0.25))
    assert clip_half_plane(square, 1.0, 0.0, 1.0) == square
    assert clip_half_plane(square, 1.0, 0.0, 0.0) == ()
    assert clip_half_plane(square, 1.0, 0.0, -0.5) == ()


def test_points_within_a_unit_of_a_line_stand_on_it() -> None:
    """At the foot as at the head; a line that falls by more is not level."""
    for up, left, right in ((1.0, (0.0, 1.0), (20.0, 0.0)), (1.1, (5.0, 0.0), (20.0, 0.0))):
        ring = ((0.0, up), (5.0, 0.0), (20.0, 0.0), (20.0, 9.0), (0.0, 9.0))
        assert foot_and_head(ring)[:2] == (left, right)
    for down, head in ((1.0, (5.0, 8.0)), (1.1, (18.0, 9.0))):
        ring = ((0.0, 0.0), (20.0, 0.0), (20.0, 5.0), (18.0, 9.0), (5.0, 9.0 - down))
        assert foot_and_head(ring)[2:] == (head, (18.0, 9.0))
