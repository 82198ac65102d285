"""A sheet of one slab, by hand; and as the same sheet in two slabs side by side, a second way."""

from __future__ import annotations

from random import Random

import pytest

from takeoff.measure.sheeting.sheet_ends import end_points, ends_of, sides_mm, tried_ends
from takeoff.model.sheets import CutShape, EndCut
from takeoff.read.job.settings import default_rules
from takeoff.shape.strips.slabs import Slab, _is_stout, rings_of

SETTINGS = default_rules()


def test_a_sheet_raked_at_both_ends() -> None:
    """800 wide; its foot falls 800 to the right, its top is level; 3000 at its left side, 3800 at its right, its long side."""
    slab = Slab(100.0, 900.0, 0.0, -800.0, 3000.0, 3000.0, "valley", "ridge")
    foot, top, bought = tried_ends((slab,), 0.0, SETTINGS)
    assert foot == EndCut(CutShape.RAKED, ("valley",), pytest.approx(45.0), "right")
    assert top == EndCut(CutShape.SQUARE, ("ridge",))
    ends = ends_of((slab,), 0.0, SETTINGS)
    assert (ends.reach_mm, ends.bought.mm, ends.notched) == (3800.0, bought, False)
    assert sides_mm((slab,)) == (3000.0, 3800.0)
    assert end_points((slab,), top=False) == ((100.0, 0.0), (900.0, -800.0))
    assert rings_of((slab,)) == (((100.0, 0.0), (900.0, -800.0), (900.0, 3000.0), (100.0, 3000.0)),)


def test_hands_of_either_end() -> None:
    """A top that rises to the right has its long side there; a foot that rises to the right has its long side left."""
    rising = Slab(0.0, 800.0, 0.0, 100.0, 2000.0, 2100.0)
    assert [cut.hand for cut in tried_ends((rising,), 0.0, SETTINGS)[:2]] == ["left", "right"]
    assert [cut.hand for cut in tried_ends((rising.mirrored(),), 0.0, SETTINGS)[:2]] == ["right", "left"]
    assert tried_ends((rising,), 0.0, SETTINGS)[0].edges == ()


def test_an_end_within_the_limit_is_square() -> None:
    """1.745 in 1000 is a tenth of a degree, as the cut is asked for here."""
    for rise, shape in ((1.745, CutShape.SQUARE), (1.746, CutShape.RAKED), (-1.746, CutShape.RAKED)):
        slab = Slab(0.0, 1000.0, 0.0, 0.0, 2000.0, 2000.0 + rise)
        assert tried_ends((slab,), 0.0, SETTINGS, 0.1)[1].shape is shape


def test_a_sheet_too_narrow_to_cut_is_square() -> None:
    sliver = Slab(0.0, 0.4, 0.0, 0.0, 100.0, 300.0)
    assert [cut.shape for cut in tried_ends((sliver,), 0.0, SETTINGS)[:2]] == [CutShape.SQUARE] * 2
    assert not _is_stout(sliver)


def test_what_ends_on_a_point_is_no_four_sided_ring() -> None:
    tip = Slab(0.0, 800.0, 0.0, 0.0, 0.0, 800.0)
    assert not _is_stout(tip)
    assert rings_of((tip,)) == (((0.0, 0.0), (800.0, 0.0), (800.0, 800.0)),)
    # 1 mm high at one end: its corners are 1 x 800 / (800 + 800) = 0.5 mm apart from what lies between their neighbours
    assert [_is_stout(Slab(0.0, 800.0, 0.0, 0.0, high, 800.0)) for high in (0.99, 1.01)] == [False, True]


def test_as_the_same_sheet_in_two_slabs() -> None:
    random = Random(3)
    for _ in range(200):
        left, wide = random.uniform(-500.0, 500.0), random.choice((random.uniform(1.0, 20.0), 845.0))
        feet = random.uniform(-400.0, 400.0), random.uniform(-400.0, 400.0)
        tops = [foot + random.choice((0.0, random.uniform(0.0, 5.0), random.uniform(50.0, 4000.0))) for foot in feet]
        if tops == list(feet):
            continue
        whole = Slab(left, left + wide, *feet, *tops, random.choice(("", "eave")), "hip")
        half = left + wide / 2.0
        low, high = whole.foot_at(half), whole.top_at(half)
        halves = (
            Slab(left, half, feet[0], low, tops[0], high, whole.foot_edge, "hip"),
            Slab(half, left + wide, low, feet[1], high, tops[1], whole.foot_edge, "hip"),
        )
        one, two = ends_of((whole,), 20.0, SETTINGS), ends_of(halves, 20.0, SETTINGS)
        assert (one.foot.shape, one.foot.edges, one.foot.hand) == (two.foot.shape, two.foot.edges, two.foot.hand)
        assert (one.top.shape, one.top.edges, one.top.hand) == (two.top.shape, two.top.edges, two.top.hand)
        rakes = (two.foot.rake_deg, two.top.rake_deg, two.reach_mm, two.bought.mm)
        assert (one.foot.rake_deg, one.top.rake_deg, one.reach_mm, one.bought.mm) == pytest.approx(rakes)
        assert one.notched is two.notched is False
        assert sides_mm((whole,)) == pytest.approx(sides_mm(halves))
        assert [list(ring) for ring in rings_of((whole,))] == [list(map(pytest.approx, r)) for r in rings_of(halves)]
