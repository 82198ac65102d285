"""Recesses that lean, lie any way round or are none: which are roofed over, how wide they are, whose front runs on."""

from __future__ import annotations

from math import cos, radians, sin

import pytest

from takeoff.shape.outline.recesses import Bridged, Recess, bridge_recesses

Point = tuple[float, float]
Ring = tuple[Point, ...]

NUMBERS = tuple(range(1, 9))
TURNS = range(10, 370, 35)


def bridged(ring: Ring) -> Bridged:
    numbers = range(1, len(ring) + 1)
    return bridge_recesses([ring], [numbers], dict.fromkeys(numbers, 600.0))


def turned(ring: Ring, turn: float) -> Ring:
    c, s = cos(radians(turn)), sin(radians(turn))
    return tuple((300.0 + c * x - s * y, -700.0 + s * x + c * y) for x, y in ring)


def mirrored(ring: Ring) -> Ring:
    """Left for right, walked the same way round."""
    return tuple((9000.0 - x, y) for x, y in ring[::-1])


def niche(start_y: float = 4000.0, end_y: float = 4000.0, far_y: float | None = None) -> Ring:
    """9 m wide, a recess 1 m wide down to y 1000 in its northern side (edges 4 to 6): the front east of it ends at
    `start_y`, the one west of it begins at `end_y` and ends at `far_y`."""
    west = end_y if far_y is None else far_y
    return (
        (0.0, 0.0), (9000.0, 0.0), (9000.0, start_y), (5000.0, start_y), (5000.0, 1000.0), (4000.0, 1000.0), (4000.0, end_y), (0.0, west),
    )  # fmt: skip


@pytest.mark.parametrize("flip", [False, True])
def test_a_leaning_recess_is_as_wide_as_its_mouth(flip: bool) -> None:
    """A side that leans out by 200 over 3000: 1200 at the mouth, square to the other side; 1000 at the back."""
    ring = list(niche())
    ring[3] = (5200.0, 4000.0)
    found = bridged(mirrored(tuple(ring)) if flip else tuple(ring)).recesses
    # its sides are 3006.7 (the root of 3000^2 + 200^2) and 3000 long
    edges = (2, 3, 4) if flip else (4, 5, 6)
    assert found == (Recess(edges, pytest.approx(1200.0), pytest.approx(3006.6593), 1200.0),)
    ring[3] = (5201.0, 4000.0)
    assert bridged(mirrored(tuple(ring)) if flip else tuple(ring)).recesses == ()
    # leaning in by 100, it is widest at its back
    ring[3] = (4900.0, 4000.0)
    (narrower,) = bridged(mirrored(tuple(ring)) if flip else tuple(ring)).recesses
    assert narrower.width_mm == pytest.approx(1000.0)


@pytest.mark.parametrize("flip", [False, True])
def test_a_throat_before_a_wider_room_is_no_recess(flip: bool) -> None:
    """One side steps back 300 behind the mouth: its front is that step, which runs the other way."""
    ring = (
        (0.0, 0.0), (9000.0, 0.0), (9000.0, 4000.0), (5000.0, 4000.0), (5000.0, 1000.0), (4300.0, 1000.0), (4300.0, 2500.0), (4600.0, 2500.0),
        (4600.0, 4000.0), (0.0, 4000.0),
    )  # fmt: skip
    ring = mirrored(ring) if flip else ring
    assert bridged(ring) == Bridged((ring,), (tuple(range(1, 11)),), ())


@pytest.mark.parametrize("flip", [False, True])
def test_a_side_typed_in_two_pieces_is_left_as_it_is(flip: bool) -> None:
    """A regression figure: only a side that ends at its front closes a recess."""
    ring = niche()
    ring = (*ring[:6], (4000.0, 2500.0), *ring[6:])
    ring = mirrored(ring) if flip else ring
    assert bridged(ring).rings == (ring,)


@pytest.mark.parametrize("turn", [0, 90, 180, 270, *TURNS])
def test_sides_that_both_run_on_are_no_recess_whichever_way(turn: int) -> None:
    """Two bends of two degrees: the sides are in line but for the way."""
    dx, dy = 2000.0 * cos(radians(2.0)), 2000.0 * sin(radians(2.0))
    ring = (
        (0.0, 0.0), (10000.0, 0.0), (10000.0, 6000.0), (8000.0, 6000.0), (8000.0 - dx, 6000.0 - dy), (7000.0 - dx, 6000.0 - dy),
        (7000.0 - 2.0 * dx, 6000.0), (0.0, 6000.0),
    )  # fmt: skip
    ring = turned(ring, turn)
    found = bridge_recesses([ring], [NUMBERS], dict.fromkeys(NUMBERS, 900.0))
    assert found == Bridged((ring,), (NUMBERS,), ())


@pytest.mark.parametrize("turn", [0, *TURNS])
@pytest.mark.parametrize("out", [10.0, -10.0, 1200.0, -1200.0])
def test_the_front_that_stands_less_far_out_gives_way(turn: int, out: float) -> None:
    """The front east of the recess ends at 4000, the one west of it `out` further out: it closes at the shallower."""
    found = bridged(turned(niche(4000.0, 4000.0 + out), turn))
    # the front further in runs on to the other's side: east's to x = 4000, else west's to x = 5000
    east, west = ((4000.0, 4000.0), (4000.0, 4000.0 + out)), ((5000.0, 4000.0), (5000.0, 4000.0 + out))
    ring = ((0.0, 0.0), (9000.0, 0.0), (9000.0, 4000.0), *(east if out > 0.0 else west), (0.0, 4000.0 + out))
    assert found.numbers == ((1, 2, 3, 6, 7, 8) if out > 0.0 else (1, 2, 3, 4, 7, 8),)
    for point, expected in zip(found.rings[0], turned(ring, turn), strict=True):
        assert point == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize("turn", [0, 90, 180, 270, 45])
def test_fronts_at_an_angle_are_not_in_line(turn: int) -> None:
    """West's front falls back 6 over 4000 (0.0015), from 0.5 under the east's end: it runs on to y 4001 at x 5000.

    Nearer than 2 mm, but at more than a thousandth: neither front's corner goes to the middle of the mouth.
    """
    found = bridged(turned(niche(4000.0, 3999.5, 3993.5), turn))
    ring = ((0.0, 0.0), (9000.0, 0.0), (9000.0, 4000.0), (5000.0, 4000.0), (5000.0, 4001.0), (0.0, 3993.5))
    assert found.numbers == ((1, 2, 3, 4, 7, 8),)
    for point, expected in zip(found.rings[0], turned(ring, turn), strict=True):
        assert point == pytest.approx(expected, abs=1e-6)


def test_fronts_that_begin_level_and_part() -> None:
    """Level at the mouth, west's front falls away by 200 over 4000: it runs on 1000, to 50 over the east's."""
    found = bridged(niche(4000.0, 4000.0, 3800.0))
    assert found.rings == (
        ((0.0, 0.0), (9000.0, 0.0), (9000.0, 4000.0), (5000.0, 4000.0), (5000.0, pytest.approx(4050.0)), (0.0, 3800.0)),
    )
    assert found.numbers == ((1, 2, 3, 4, 7, 8),)


@pytest.mark.parametrize(("lean", "in_line"), [(0.0009, True), (-0.0009, True), (0.0011, False), (-0.0011, False)])
def test_in_line_within_a_thousandth(lean: float, in_line: bool) -> None:
    found = bridged(niche(4000.0, 4000.0, 4000.0 + 4000.0 * lean))
    assert (len(found.rings[0]) == 5) is in_line


@pytest.mark.parametrize(("end", "lean"), [(2.4, 0.0009), (-2.4, -0.0009)])
def test_how_far_fronts_lie_apart_is_measured_off_the_first(end: float, lean: float) -> None:
    """2.4 off the line of the east's front, 1.5 only where west's front has reached x 5000: not in line."""
    ring = niche(4000.0, 4000.0 + end, 4000.0 + end + 4000.0 * lean)
    assert len(bridged(ring).rings[0]) == 6


@pytest.mark.parametrize("turn", [0, 90, 45])
def test_a_leaning_front_that_runs_on_keeps_its_way_on_either_side(turn: int) -> None:
    """As above, left for right: the front that is met first falls back, and goes on to the far side of the recess."""
    found = bridged(turned(mirrored(niche(4000.0, 3999.5, 3993.5)), turn))
    ring = ((0.0, 0.0), (9000.0, 0.0), (9000.0, 3993.5), (4000.0, 4001.0), (4000.0, 4000.0), (0.0, 4000.0))
    due = turned(ring, turn)
    assert len(found.rings[0]) == len(due)
    for point in found.rings[0]:
        assert min(abs(point[0] - x) + abs(point[1] - y) for x, y in due) < 1e-6
