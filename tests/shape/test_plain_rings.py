"""The ring of slabs side by side: by hand, and as it is walked where their order does not say it."""

from __future__ import annotations

from random import Random

from takeoff.shape.strips.slabs import Slab, rings_of


def test_two_slabs_under_a_rake_by_hand() -> None:
    """The middle of a straight foot is no corner; the knee of the top is one."""
    slabs = (Slab(0.0, 600.0, 0.0, 0.0, 3000.0, 3000.0), Slab(600.0, 1000.0, 0.0, 0.0, 3000.0, 2800.0))
    assert rings_of(slabs) == (((0.0, 0.0), (1000.0, 0.0), (1000.0, 2800.0), (600.0, 3000.0), (0.0, 3000.0)),)


def test_any_order_of_the_slabs_gives_the_same_ring() -> None:
    random = Random(2)
    for _ in range(60):
        us = [0.0]
        for _ in range(random.randint(1, 4)):
            us.append(us[-1] + random.choice((83.0, 679.0, 762.0)))
        feet = [random.choice((0.0, 0.0, 120.0)) for _ in us]
        tops = [random.choice((2400.0, 2400.0, 3100.0, 120.005)) for _ in us]
        slabs = [Slab(us[n], us[n + 1], feet[n], feet[n + 1], tops[n], tops[n + 1]) for n in range(len(us) - 1)]
        assert rings_of(slabs) == rings_of(slabs[::-1])


def test_slabs_of_different_heights_step() -> None:
    slabs = (Slab(0.0, 600.0, 0.0, 0.0, 3000.0, 3000.0), Slab(600.0, 1000.0, 0.0, 0.0, 2000.0, 2000.0))
    (ring,) = rings_of(slabs)
    assert ring == ((0.0, 0.0), (1000.0, 0.0), (1000.0, 2000.0), (600.0, 2000.0), (600.0, 3000.0), (0.0, 3000.0))
