"""Where runs may be joined and which way is taken: by hand, and told again without any haste."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from itertools import combinations, pairwise
from math import ceil

import pytest

from takeoff.model.runs import RunDemand
from takeoff.order.cut_stock.choose import Chooser, _nearer, neighbours, too_near
from takeoff.order.cut_stock.greedy import fullest_bars
from takeoff.order.cut_stock.joints import Way, piece_mm, ways_to_cut, whole_mm
from takeoff.order.cut_stock.problem import Stock, make_problem, rank


def test_a_length_as_the_saw_is_told_it() -> None:
    lengths = (0.0, 0.4, 1.0, 1.009, 1.02, 2999.99, 3000.0, 3000.005, 3000.02)
    assert [whole_mm(mm) for mm in lengths] == [1, 1, 1, 1, 2, 3000, 3000, 3000, 3001]
    # less than half a millimetre over a length of stock prints as that length, and is; 0.49 is the last
    lengths = (3000.48, 3000.495, 3000.5, 3001.3, 2999.4, 6000.2, 4000.2)
    assert [piece_mm(mm, (6000, 3000)) for mm in lengths] == [3000, 3001, 3001, 3002, 3000, 6000, 4001]


def run(length: float, splits: tuple[float, ...] | None = None, **more: float) -> RunDemand:
    return RunDemand("R", "x", length, splits, **more)  # type: ignore[arg-type]


def of(way: Way) -> tuple[tuple[float, ...], tuple[float, ...], tuple[int, ...]]:
    return way.joints_mm, way.starts_mm, way.pieces_mm


def test_a_run_that_fits_is_not_joined() -> None:
    for splits in (None, (), (500.0,)):
        assert [of(way) for way in ways_to_cut(run(6000.0, splits), (6000, 4800))] == [((), (0.0,), (6000,))]
    assert ways_to_cut(run(6000.6, ()), (6000, 4800)) == ()
    assert ways_to_cut(run(6000.0, ()), ()) == ()
    assert ways_to_cut(run(6000.0, None), ()) == ()


def test_what_just_fits() -> None:
    """A whole length may be joined once more; one that prints as a whole length is that length; no stock holds nothing."""
    assert [way.pieces_mm for way in ways_to_cut(run(6000.0, (2500.0,)), (6000,), 1)] == [(2500, 3500)]
    assert ways_to_cut(run(6000.0, (2500.0,)), (6000,), 2) == ()
    assert [way.pieces_mm for way in ways_to_cut(run(9000.3, (6000.3,)), (6000,))] == [(6000, 3000)]
    assert [way.pieces_mm for way in ways_to_cut(run(9200.0, (4600.0,), least_mm=4600.005), (6000,))] == [(4600, 4600)]
    for none in (run(0.5, ()), run(1.5, (1.0,)), run(1.5, None), run(0.5, None)):
        assert ways_to_cut(none, ()) == ()
    # two lapped lengths of 6 m cover 11,850, as printed
    for length, count in ((11850.4, 2), (11850.6, 3)):
        assert {len(way.pieces_mm) for way in ways_to_cut(run(length, lap_mm=150.0), (6000,))} == {count}


def test_joints_on_supports_the_longest_first_piece_first_then_the_shortest() -> None:
    """9 m of lengths up to 6 m, with a lap of 200 mm: a piece passes its joint by 100 mm, so that joints stand from 3.1 to
    5.9 m. The one at 9 m is its end, those at 0 and beyond it are none."""
    splits = (0.0, 3000.0, 3100.0, 4500.0, 4500.0, 5900.0, 6000.0, 9000.0, 9500.0)
    ways = ways_to_cut(run(9000.0, splits, lap_mm=200.0), (6000, 4800))
    assert [of(way) for way in ways] == [
        ((5900.0,), (0.0, 5800.0), (6000, 3200)),
        ((4500.0,), (0.0, 4400.0), (4600, 4600)),
        ((3100.0,), (0.0, 3000.0), (3200, 6000)),
    ]
    # with a least piece of 3.3 m only one is left; with 4.6 m too, with 4.7 m none
    for least, count in ((3200.0, 3), (3210.0, 1), (4600.0, 1), (4600.02, 0), (4700.0, 0)):
        assert len(ways_to_cut(run(9000.0, splits, lap_mm=200.0, least_mm=least), (6000, 4800))) == count


@pytest.mark.parametrize("seed", range(25))
def test_every_way_to_join_on_supports(seed: int) -> None:
    """By trying every choice of joints: those with the fewest pieces, and with one more; no piece longer than stock."""
    chance = random.Random(seed)
    ends = (0.0, chance.choice((0.5, 99.5)), 100.0)
    splits = tuple(sorted([*ends, *(float(chance.randrange(5, 96)) for _ in range(5))]))
    one = run(100.0, splits, lap_mm=chance.choice((0.0, 4.0)), least_mm=chance.choice((0.0, 9.0)))
    stock = (chance.choice((30, 45, 60)), 20)
    by_count: dict[int, set[Way]] = {}
    inside = sorted({x for x in splits if 0.0 < x < 100.0})
    for count in range(len(inside) + 1):
        for joints in combinations(inside, count):
            stops = (0.0, *joints, 100.0)
            half = one.lap_mm / 2.0
            pieces = [b - a + half * ((a > 0.0) + (b < 100.0)) for a, b in pairwise(stops)]
            if all(max(one.least_mm, 0.0) <= piece <= stock[0] for piece in pieces):
                starts = tuple(a - half if a else 0.0 for a in stops[:-1])
                by_count.setdefault(count + 1, set()).add(Way(joints, starts, tuple(map(ceil, pieces))))
    fewest = min(by_count, default=99)
    for more in range(3):
        assert set(ways_to_cut(one, stock, more)) == by_count.get(fewest + more, set())


def test_lapped_lengths_joined_anywhere() -> None:
    """12 m of lengths of 6 and 5 m lapped by 200 mm: (12,000 - 200) / (6,000 - 200) asks for three pieces, 12.4 m together.
    Two of 6 m leave 0.4 m, two of 5 m 2.4 m, at either end; 4133.3 three times, cut as 4134; first pieces shorter by
    a quarter of a length: 4.5 m and 6 m leave 1.9 m, 3 and 6 m 3.4 m, 1.5 and 6 m 4.9 m."""
    pieces = [way.pieces_mm for way in ways_to_cut(run(12000.0, lap_mm=200.0), (6000, 5000))]
    assert pieces == [
        (6000, 6000, 400),
        (400, 6000, 6000),
        (5000, 5000, 2400),
        (2400, 5000, 5000),
        (4134, 4134, 4132),
        (4500, 6000, 1900),
        (3000, 6000, 3400),
        (1500, 6000, 4900),
    ]
    first, *_, last = ways_to_cut(run(12000.0, lap_mm=200.0), (6000, 5000))
    # the middle of a lap: 5.9 m, then 5.8 m further on; each piece after the first begins 100 mm before it
    assert of(first) == ((5900.0, 11700.0), (0.0, 5800.0, 11600.0), (6000, 6000, 400))
    assert of(last) == ((1400.0, 7200.0), (0.0, 1300.0, 7100.0), (1500, 6000, 4900))


@pytest.mark.parametrize(
    ("length", "more", "pieces"),
    [
        # a stagger of 2 m: first pieces of 4 and 2 m; no piece under 1.5 m
        (10000.0, {"stagger_mm": 2000.0}, [(6000, 4000), (4000, 6000), (5000, 5000)]),
        (9000.0, {"stagger_mm": 2500.0}, [(6000, 3000), (3000, 6000), (4500, 4500), (3500, 5500)]),
        (7000.0, {"stagger_mm": 3000.0, "least_mm": 1500.0}, [(3500, 3500), (3000, 4000)]),
        (7000.0, {"stagger_mm": 3000.0, "least_mm": 1000.0}, [(6000, 1000), (1000, 6000), (3500, 3500), (3000, 4000)]),
        # no piece that its lap takes up
        (6100.0, {"lap_mm": 100.0}, [(6000, 200), (200, 6000), (3100, 3100), (4500, 1700), (3000, 3200), (1500, 4700)]),
        (6001.0, {"stagger_mm": 9000.0}, [(6000, 1), (1, 6000), (3001, 3000)]),
        (6000.2, {}, [(6000,)]),
        (6000.0, {"lap_mm": 6000.0}, [(6000,)]),
        (6001.0, {"lap_mm": 6000.0}, None),
    ],
)
def test_pieces_joined_anywhere(length: float, more: dict[str, float], pieces: list[tuple[int, ...]] | None) -> None:
    found = [way.pieces_mm for way in ways_to_cut(run(length, **more), (6000,))]
    assert found == (pieces or [])


def test_a_piece_more_than_the_fewest_joined_anywhere() -> None:
    """5 m in two pieces of lengths up to 6 m, and 9 m in three: equal ones, and those of a first piece of 4.5, 3 or 1.5."""
    assert [way.pieces_mm for way in ways_to_cut(run(5000.0), (6000,), 1)] == [
        (2500, 2500),
        (4500, 500),
        (3000, 2000),
        (1500, 3500),
    ]
    assert [way.pieces_mm for way in ways_to_cut(run(9000.0), (6000, 4000), 1)] == [
        (4000, 4000, 1000),
        (1000, 4000, 4000),
        (3000, 3000, 3000),
        (1500, 6000, 1500),
    ]


def beside(*rows: tuple[str, int, int]) -> list[list[int]]:
    return neighbours(
        [
            RunDemand(f"R{n}", "x", 1.0, group=group, row=row, rows_apart=apart)
            for n, (group, row, apart) in enumerate(rows)
        ]
    )


def test_the_rows_beside_a_row() -> None:
    # rows 1, 2, 3 and 5 of one slope, two runs in row 2, another slope
    rows = [("N", 1, 1), ("N", 2, 1), ("N", 3, 1), ("N", 5, 1), ("N", 2, 1), ("S", 2, 1)]
    assert beside(*rows) == [[1, 4], [0, 2], [1, 4], [], [0, 2], []]
    # the one at 5 asks for two rows: 3 is beside it too, and it beside 3
    rows[3] = ("N", 5, 2)
    assert beside(*rows) == [[1, 4], [0, 2], [1, 4, 3], [2], [0, 2], []]
    rows[3] = ("N", 5, 3)
    assert beside(*rows) == [[1, 4], [0, 2, 3], [1, 4, 3], [1, 4, 2], [0, 2, 3], []]
    assert beside() == []


def test_joints_that_are_too_near() -> None:
    """The larger stagger, less 0.01 mm of crumbs, where they stand on the house: 100 further along one row."""
    a = RunDemand("a", "x", 9000.0, stagger_mm=900.0, offset_mm=100.0)
    b = RunDemand("b", "x", 9000.0, stagger_mm=600.0, offset_mm=-50.0)
    # a joint at 5,000 of a stands at 5,100; those of b from 4,250.01 to 6,049.99 are too near
    joints = (4249.0, 4250.0, 4250.005, 4250.02, 5000.0, 6049.98, 6049.995, 6050.0, 6051.0)
    assert too_near(a, 5000.0, b, joints) == [4250.02, 5000.0, 6049.98]
    # and from b the other way: 4,950 is 4,850 of a, from 3,950.01 to 5,749.99
    assert too_near(b, 5000.0, a, (3950.0, 3950.02, 5749.98, 5750.0)) == [3950.02, 5749.98]


@pytest.mark.parametrize(
    ("here", "there", "gap", "count"),
    [
        ((), (5.0,), 1.0, 0),
        ((5.0,), (), 1.0, 0),
        ((10.0,), (0.0, 5.0, 5.1, 10.0, 14.9, 15.0, 99.0), 5.0, 3),
        ((10.0, 20.0), (12.0, 18.0), 5.0, 2),
        ((10.0, 13.0), (12.0, 11.0), 5.0, 4),
        ((10.0, 30.0), (28.0, 33.0), 3.0, 1),
        ((-10.0,), (-12.0, 12.0), 3.0, 1),
        ((10.0,), (10.0,), 0.0, 0),
    ],
)
def test_how_many_joints_of_two_rows_are_too_near(
    here: tuple[float, ...], there: tuple[float, ...], gap: float, count: int
) -> None:
    assert _nearer(here, sorted(there), gap) == count


def chooser(
    ways: Sequence[Sequence[Way]], stock: Sequence[Stock], rows: Sequence[int] | None = None, **more: bool | int
) -> Chooser:
    runs = [
        RunDemand(f"R{n}", "x", 100.0, row=row, stagger_mm=9.0, offset_mm=float(n % 3))
        for n, row in enumerate(rows if rows is not None else range(len(ways)))
    ]
    return Chooser(runs, ways, stock, **{"kerf_mm": 0} | more)  # type: ignore[arg-type]


def test_prices_by_which_a_way_is_taken() -> None:
    """Cut from bars of their own: 20 mm come thrice out of 69 with a cut of 3 mm, docked by 3, so 23 mm each, or 24 from
    one of 24; 60 mm out of 69; 21 out of 24 exactly, 22 out of 69 twice, 34.5 each."""
    way = Way((20.0, 80.0), (), (20, 60, 21))
    one = chooser([[way, Way((), (), (22, 22))]], [Stock(69), Stock(24)], kerf_mm=3, trim_mm=3)
    assert one._alone(0, 0) == 23.0 + 69.0 + 24.0
    assert one._alone(0, 1) == 34.5 + 34.5
    assert one._alone(0, 0) == 116.0
    assert (one._longest_first(0, 0), one._longest_first(0, 1)) == (-20.0, -22.0)
    assert (one._evened(0, 0), one._evened(0, 1)) == (40.0, 0.0)


def test_what_is_made_least_first() -> None:
    ways = [[Way((), (), (60, 30))], [Way((), (), (30,))]]
    stock = [Stock(100), Stock(40)]
    # 60 + 30 out of 100, 30 out of 40
    for more, score in (
        ({}, (0, 3, 7, 140)),
        ({"joints_save": True}, (0, 7, 140, 3)),
        ({"apart": True}, (0, 7, 3, 140)),
        ({"apart": True, "joints_save": True}, (0, 7, 3, 140)),
    ):
        one = chooser(ways, stock, **more)
        assert one._rated(7, one._mark([0, 0]), 3) == score
        assert one.budget == 20000 - 3
        assert one._bought(one._mark([0, 0]), 3) == (0, 140)
        assert one.budget == 20000 - 3  # the same pieces are packed once
    # one bar of 60 is all there is: 30 + 30 mm, or 60 mm; the other is missing
    one = chooser(ways, [Stock(60, 1)])
    assert one._bought(one._mark([0, 0]), 3) == (60, 60)


@pytest.mark.parametrize(
    ("more", "best", "clashes", "count", "behind"),
    [
        ({}, (5, 0, 0, 0), 9, 9, False),  # with pieces missing anything may be better
        ({}, (0, 4, 2, 0), 2, 4, False),
        ({}, (0, 4, 2, 0), 3, 4, True),
        ({}, (0, 4, 2, 0), 3, 3, False),
        ({}, (0, 4, 2, 0), 0, 5, True),
        ({"apart": True}, (0, 2, 4, 0), 2, 4, False),
        ({"apart": True}, (0, 2, 4, 0), 2, 5, True),
        ({"apart": True}, (0, 2, 4, 0), 1, 9, False),
        ({"apart": True, "joints_save": True}, (0, 2, 4, 0), 2, 5, True),
        ({"joints_save": True}, (0, 2, 0, 4), 2, 9, False),
        ({"joints_save": True}, (0, 2, 0, 4), 3, 0, True),
    ],
)
def test_what_no_length_can_make_better(
    more: dict[str, bool], best: tuple[int, int, int, int], clashes: int, count: int, behind: bool
) -> None:
    assert chooser([[Way((), (), (1,))]], [Stock(9)], **more)._behind(best, clashes, count) is behind


def test_a_mark_tells_pieces_apart() -> None:
    ways = [[Way((), (), (60, 30))], [Way((), (), (30, 60))], [Way((), (), (30,))], [Way((), (), (60, 20))]]
    one = chooser(ways, [Stock(100)])
    assert one._mark([0, 0, 0, 0]) == 3 + (3 << 32) + (1 << 64)
    assert [marks[0] for marks in one._marks] == [1 + (1 << 32), 1 + (1 << 32), 1 << 32, 1 + (1 << 64)]


class Plain:
    """The same choice with every sum made anew each time."""

    def __init__(self, one: Chooser) -> None:
        self.one = one

    def clashes(self, chosen: Sequence[int], run: int, way: int, others: Sequence[int]) -> int:
        runs, ways = self.one.runs, self.one.ways
        return sum(
            len(too_near(runs[run], at, runs[other], ways[other][chosen[other]].joints_mm))
            for other in self.one.beside[run]
            if other in others
            for at in ways[run][way].joints_mm
        )

    def score(self, chosen: Sequence[int]) -> tuple[int, int, int, int]:
        one = self.one
        everyone = range(len(chosen))
        pairs = sum(self.clashes(chosen, run, chosen[run], everyone) for run in everyone) // 2
        pieces = Counter(piece for run in everyone for piece in one.ways[run][chosen[run]].pieces_mm)
        problem = make_problem(pieces, one.stock, one.kerf_mm, one.trim_mm)
        missing, bought, _, _ = rank(problem, fullest_bars(problem))
        if one.apart:
            return missing, pairs, pieces.total(), bought
        if one.joints_save:
            return missing, pairs, bought, pieces.total()
        return missing, pieces.total(), pairs, bought

    def start(self, price: str) -> list[int]:
        one, chosen = self.one, list[int]()
        for run, ways in enumerate(one.ways):
            fewest = min(len(way.pieces_mm) for way in ways)
            chosen.append(
                min(
                    (n for n, way in enumerate(ways) if one.apart or len(way.pieces_mm) == fewest),
                    key=lambda n: (
                        self.clashes([*chosen, 0], run, n, range(run)),
                        len(ways[n].pieces_mm),
                        getattr(one, price)(run, n),
                        n,
                    ),
                )
            )
        return chosen

    def choose(self) -> list[int]:
        one, everyone = self.one, range(len(self.one.runs))
        chosen = min((self.start(price) for price in ("_alone", "_longest_first", "_evened")), key=self.score)
        again = True
        while again:
            again = False
            for run in everyone:
                for way in range(len(one.ways[run])):
                    trial = [*chosen[:run], way, *chosen[run + 1 :]]
                    now = self.clashes(chosen, run, chosen[run], everyone)
                    then = self.clashes(chosen, run, way, everyone)
                    longer = len(one.ways[run][way].pieces_mm) >= len(one.ways[run][chosen[run]].pieces_mm)
                    if not (longer and then > now) and self.score(trial) < self.score(chosen):
                        chosen, again = trial, True
        return chosen


def of_all_sorts(seed: int) -> Chooser:
    """Six runs of 40 mm in five rows, each with a few ways of two or three pieces."""
    chance = random.Random(seed)
    ways = []
    for _ in range(6):
        options = []
        for _ in range(chance.randrange(1, 5)):
            joints = tuple(sorted(float(chance.randrange(5, 35)) for _ in range(chance.randrange(3))))
            stops = (0, *map(int, joints), 40)
            options.append(Way(joints, stops[:-1], tuple(max(1, b - a) for a, b in pairwise(stops))))
        ways.append(options)
    supply = chance.choice((None, None, 3))
    more = chance.choice(({}, {"joints_save": True}, {"apart": True}))
    cuts = {"kerf_mm": chance.choice((0, 2)), "trim_mm": chance.choice((0, 1))}
    return chooser(ways, [Stock(50, supply), Stock(41, supply), Stock(39)], [1, 2, 2, 3, 4, 5], **more, **cuts)


@pytest.mark.parametrize("seed", range(40))
def test_the_way_taken_is_the_one_that_slow_sums_take(seed: int) -> None:
    one = of_all_sorts(seed)
    chosen = one.choose()
    assert chosen == Plain(one).choose()
    runs = range(len(chosen))
    assert one.in_line(chosen) == {n for n in runs if Plain(one).clashes(chosen, n, chosen[n], runs)}
    assert one._all_clashes(chosen) == sum(Plain(one).clashes(chosen, n, chosen[n], runs) for n in runs) // 2
    # what was remembered of pieces is what a plan of them buys, and each was paid for once
    pieces = dict(enumerate(one.lengths_mm))
    for mark in one._packed:
        count = sum(mark >> 32 * place & 0xFFFFFFFF for place in pieces)
        one.budget += count
    assert one.budget == 20000
    for mark, known in one._known.items():
        found = {piece: n for place, piece in pieces.items() if (n := mark >> 32 * place & 0xFFFFFFFF)}
        problem = make_problem(found, one.stock, one.kerf_mm, one.trim_mm)
        assert known == rank(problem, fullest_bars(problem))[:2]


@pytest.mark.parametrize(("budget", "taken"), [(5, 2), (4, 0), (3, 0), (2, 0), (1, 0)])
def test_no_more_is_tried_once_the_budget_is_used(budget: int, taken: int) -> None:
    """60 + 40 mm out of 70 and 50, 55 + 45 mm no better, 50 + 50 mm out of 50 twice: each takes two off the budget, so
    that the last is looked at only where something is left after four."""
    ways = [[Way((at,), (), (int(at), 100 - int(at))) for at in (60.0, 55.0, 50.0)]]
    one = chooser(ways, [Stock(70), Stock(50)])
    one.budget = budget
    assert one._improved([0]) == [taken]


@pytest.mark.parametrize("more", [{"apart": True}, {"joints_save": True}, {}])
def test_joints_are_moved_clear_one_after_another(more: dict[str, bool]) -> None:
    """Beside a row joined at 11 and 21 mm: at 10 and 20 both stand too near, at 10 and 33 one, at 1 and 33 none."""
    ways = [
        [Way((10.0, 20.0), (), (10, 10, 20)), Way((10.0, 33.0), (), (10, 23, 7)), Way((1.0, 33.0), (), (1, 32, 7))],
        [Way((10.0, 20.0), (), (10, 10, 20))],
    ]
    one = chooser(ways, [Stock(40)], **more)
    assert [one._clashes([0, 0], 0, way) for way in range(3)] == [2, 1, 0]
    assert one._all_clashes([0, 0]) == 2
    assert one._improved([0, 0]) == [2, 0]
    assert chooser([ways[0][:2], ways[1]], [Stock(40)], **more)._improved([0, 0]) == [1, 0]


def test_one_way_each_leaves_no_choice() -> None:
    one = chooser([[Way((), (), (9,))]] * 3, [Stock(9)])
    assert (one.choose(), one.budget) == ([0, 0, 0], 20000)
