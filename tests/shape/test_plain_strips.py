"""Strips cut straight out of the columns of a plain area: by hand, and as the general way cuts them, a second way."""

from __future__ import annotations

from random import Random

import pytest

from takeoff.basics.vectors import Ring2
from takeoff.measure.sheeting.sheet_ends import tried_ends
from takeoff.read.job.settings import default_rules
from takeoff.shape.strips import strips
from takeoff.shape.strips.sheeted_area import SheetedArea
from takeoff.shape.strips.slabs import Slab, columns_of, rings_of
from takeoff.shape.strips.strips import StripRun, Widths, cut_strips, is_crumb, tried_strips

SETTINGS = default_rules()
WIDTHS = Widths(1000.0, 1100.0)
# a hip end cut off at its top: it rises 1 in 1 from either side
HIP: Ring2 = ((0.0, 0.0), (6000.0, 0.0), (4000.0, 2000.0), (2000.0, 2000.0))


def area(*rings: Ring2) -> SheetedArea:
    return SheetedArea(rings, tuple(tuple(f"s{n}" for n in range(len(ring))) for ring in rings))


def test_a_column_between_every_two_corners() -> None:
    columns = columns_of((HIP,), (("eave", "right", "top", "left"),))
    assert [(one.u0, one.u1, one.foot[2], one.top[2]) for one in columns] == [
        (0.0, 2000.0, "eave", "left"),
        (2000.0, 4000.0, "eave", "top"),
        (4000.0, 6000.0, "eave", "right"),
    ]
    assert columns[0].between(500.0, 1500.0) == Slab(500.0, 1500.0, 0.0, 0.0, 500.0, 1500.0, "eave", "left")
    assert columns[2].between(4500.0, 6000.0) == Slab(4500.0, 6000.0, 0.0, 0.0, 1500.0, 0.0, "eave", "right")


def test_no_columns_where_anything_lies_over_anything() -> None:
    hole: Ring2 = ((2500.0, 500.0), (2500.0, 900.0), (3000.0, 900.0), (3000.0, 500.0))
    mouth: Ring2 = ((0.0, 0.0), (3000.0, 0.0), (3000.0, 900.0), (900.0, 1000.0), (3000.0, 1100.0), (3000.0, 2000.0), (0.0, 2000.0))  # fmt: skip
    assert columns_of((HIP, hole), (("",) * 4, ("",) * 4)) == columns_of((mouth,), (("",) * 7,)) == ()
    assert columns_of((), ()) == ()


def test_a_sheet_is_one_slab_where_it_has_no_corner() -> None:
    """From 250 outside: lines at 750, 1750, ... and lap sides 100 on; corners at 2000 and 4000."""
    runs = cut_strips(area(HIP), -250.0, "left", WIDTHS)
    assert [[(slab.u0, slab.u1) for slab in run.sheet] for run in runs] == [
        [(0.0, 850.0)],
        [(750.0, 1850.0)],
        [(1750.0, 2000.0), (2000.0, 2850.0)],
        [(2750.0, 3850.0)],
        [(3750.0, 4000.0), (4000.0, 4850.0)],
        [(4750.0, 5850.0)],
        [(5750.0, 6000.0)],
    ]
    assert [[(slab.u0, slab.u1) for slab in run.cover] for run in runs[:3]] == [
        [(0.0, 750.0)],
        [(750.0, 1750.0)],
        [(1750.0, 2000.0), (2000.0, 2750.0)],
    ]
    assert runs[2].sheet[0] == Slab(1750.0, 2000.0, 0.0, 0.0, 1750.0, 2000.0, "s0", "s3")


def _plain(start: float, ring: Ring2 = HIP, widths: Widths = WIDTHS) -> bool:
    columns = columns_of((ring,), (("",) * len(ring),))
    count = strips.strip_count(columns[-1].u1 - start, widths)
    return strips._plain(columns, start, count, widths)


def test_no_side_of_a_sheet_comes_near_a_corner() -> None:
    """Corners at 2000 and 4000 from lines every 1000, and from lap sides 100 on: within 0.5 mm they are one."""
    outside = (250.0, 0.6, 0.4, 0.0, 999.6, 999.4, 99.4, 99.6, 100.4, 100.6)
    assert [_plain(-at) for at in outside] == [True, True, False, False, False, True, True, False, False, True]


def test_the_ends_of_an_area_are_no_lines() -> None:
    """From 0 the first line is at 1000; of 1500 the last lap side would be at 2100, past the end."""
    square: Ring2 = ((0.0, 0.0), (1500.0, 0.0), (1500.0, 900.0), (0.0, 900.0))
    assert _plain(0.0, square)
    assert not _plain(0.0, ((0.0, 0.0), (1000.2, 0.0), (1500.0, 0.0), (1500.0, 900.0), (0.0, 900.0)))


def test_a_plain_area_goes_on_no_higher_and_no_lower() -> None:
    """A step down to the right is the end of its sheet; seen from the right it is a step up, which the general way
    minds."""
    down: Ring2 = ((0.0, 0.0), (5000.0, 0.0), (5000.0, 1500.0), (2250.0, 1500.0), (2250.0, 3000.0), (0.0, 3000.0))
    up = tuple((5000.0 - u, v) for u, v in reversed(down))
    assert (_plain(0.0, down), _plain(0.0, up)) == (True, False)


def test_what_is_asked_of_strips_that_are_tried() -> None:
    """As above: the second sheet, from 750 to 1850, lies between two corners and is raked as all that lies there; it
    reaches 1850 up. The third, with a corner in it, is asked for itself, and so is the first, which begins at the end."""
    found = tried_strips(area(HIP), -250.0, "left", WIDTHS)
    left, level = (0.0, 0.0, 0.0, 2000.0, "s0", "s3"), (0.0, 0.0, 2000.0, 2000.0, "s0", "s2")
    assert found[:4] == [
        ((Slab(0.0, 850.0, 0.0, 0.0, 0.0, 850.0, "s0", "s3"),), 850.0),
        ((Slab(0.0, 2000.0, *left),), 1850.0),
        ((Slab(1750.0, 2000.0, 0.0, 0.0, 1750.0, 2000.0, "s0", "s3"), Slab(2000.0, 2850.0, *level)), 2000.0),
        ((Slab(2000.0, 4000.0, *level),), 2000.0),
    ]
    assert [reach for _, reach in found] == [850.0, 1850.0, 2000.0, 2000.0, 2000.0, 1250.0, 250.0]
    other = tried_strips(area(HIP), 6250.0, "right", WIDTHS)
    assert other[1] == ((Slab(4000.0, 6000.0, 0.0, 0.0, 2000.0, 0.0, "s0", "s1"),), 1850.0)
    assert tried_strips(area(HIP), 0.0, "left", WIDTHS) == []  # lines meet corners


def test_a_sliver_is_not_tried() -> None:
    """3 m high: thinner than half a millimetre it is a crumb, though of more than 100 mm2."""
    for wide, sheets in ((0.49, 0), (0.51, 1)):
        sliver: Ring2 = ((0.0, 0.0), (wide, 0.0), (wide, 3000.0), (0.0, 3000.0))
        assert len(tried_strips(area(sliver), 0.0, "left", WIDTHS)) == sheets
    for high, sheets in ((0.19, 0), (0.21, 1)):
        flat: Ring2 = ((0.0, 0.0), (500.0, 0.0), (500.0, high), (0.0, high))
        assert len(tried_strips(area(flat), 0.0, "left", WIDTHS)) == sheets


def test_what_is_tried_is_what_is_laid() -> None:
    """Ends and lengths of all sheets of many areas, from either side; flat ones among them, that end in crumbs."""
    random, plain = Random(7), 0
    for n in range(150):
        ring = _ring(random)
        if n % 10 == 0:
            far = max(u for u, _ in ring)
            ring = ((0.0, 0.0), (far, 0.0), (0.0, random.uniform(0.2, 4.0)))
        shape, widths = area(ring), random.choice((WIDTHS, Widths(762.0, 845.0)))
        side, shift = random.choice(("left", "right")), random.choice((0.0, random.uniform(0.0, 700.0)))
        us = [u for u, _ in ring]
        start = min(us) - shift if side == "left" else max(us) + shift
        tried = tried_strips(shape, start, side, widths)
        if tried:
            found = [tried_ends(slabs, 0.0, SETTINGS, 0.1, reach) for slabs, reach in tried]
            laid = [run.sheet for run in cut_strips(shape, start, side, widths) if not is_crumb(run.sheet)]
            wanted = [tried_ends(sheet, 0.0, SETTINGS, 0.1) for sheet in laid]
            assert [(foot.shape, foot.hand, top.shape, top.hand, mm) for foot, top, mm in found] == [
                (foot.shape, foot.hand, top.shape, top.hand, mm) for foot, top, mm in wanted
            ]
            plain += 1
    assert plain > 100


def _told(runs: tuple[StripRun, ...]) -> list[object]:
    """Runs by their outlines and the edges that they follow, whatever slabs they are made of."""
    return [
        (
            run.strip,
            run.run,
            [[(pytest.approx(u, abs=1e-6), pytest.approx(v, abs=1e-6)) for u, v in ring] for ring in rings_of(slabs)],
            tuple(dict.fromkeys(slab.foot_edge for slab in slabs)),
            tuple(dict.fromkeys(slab.top_edge for slab in slabs)),
        )
        for run in runs
        for slabs in (run.cover, run.sheet)
    ]


def _ring(random: Random) -> Ring2:
    """A foot and a top between 3 and 15 m long with up to three breaks each; now and then it ends on a point."""
    long = random.uniform(3000.0, 15000.0)
    feet = [0.0, *sorted(random.uniform(0.0, long) for _ in range(random.randint(0, 2))), long]
    tops = [0.0, *sorted(random.uniform(0.0, long) for _ in range(random.randint(0, 3))), long]
    low = [(u, random.uniform(-800.0, 0.0)) for u in feet]
    high = [(u, random.uniform(100.0, 5000.0)) for u in tops]
    if random.random() < 0.4:
        high[0] = low[0]
    if random.random() < 0.4:
        high[-1] = low[-1]
    points = [*low, *reversed(high)]
    return tuple(point for n, point in enumerate(points) if point != points[n - 1])


def test_as_the_general_way_cuts_them(monkeypatch: pytest.MonkeyPatch) -> None:
    random, plain = Random(5), 0
    for _ in range(150):
        shape, widths = area(_ring(random)), random.choice((WIDTHS, Widths(762.0, 845.0), Widths(762.0, 845.0, False)))
        side, shift = random.choice(("left", "right")), random.choice((0.0, random.uniform(0.0, 700.0)))
        us = [u for u, _ in shape.rings[0]]
        start = min(us) - shift if side == "left" else max(us) + shift
        found = cut_strips(shape, start, side, widths)
        with monkeypatch.context() as only:
            only.setattr(strips, "_plain", lambda *_: False)
            general = cut_strips(shape, start, side, widths)
        plain += found != general
        assert _told(general) == _told(found)
    assert plain > 120
