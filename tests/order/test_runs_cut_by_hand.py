"""The door of the optimiser by hand: whole plans, what is refused, what is said, site lengths and whole packs."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest

from takeoff.basics.errors import JobError, TakeoffError
from takeoff.model.findings import Finding, Severity
from takeoff.model.runs import CutPiece, CutPlan, Joint, LeftOver, OnHand, RunDemand, StockBar, StockChoice
from takeoff.order.cut_stock import runs as of_runs
from takeoff.order.cut_stock.joints import Way
from takeoff.order.cut_stock.problem import Answer, Bar, Stock
from takeoff.order.cut_stock.runs import cut_all, cut_runs
from takeoff.order.cut_stock.site_lengths import (
    SiteCut,
    _filled,
    _pruned,
    _shortest_that_hold,
    cut_from_site,
    left_over,
)
from takeoff.order.cut_stock.whole_boards import spare_told, whole_packs


def run(name: str, length: float, *splits: float, **more: Any) -> RunDemand:
    return RunDemand(name, "rail", length, splits, **more)


def stock(*lengths: int, **more: Any) -> StockChoice:
    return StockChoice("rail", lengths, **more)


def test_a_plan_whole() -> None:
    """10 m with a lap of 200 on 5 m: two of 5.1 m out of 5.4 m, and 2 m out of 2.4 m. Two rows whose joints stand together
    are told so."""
    demands = [
        run("A", 10000.0, 5000.0, lap_mm=200.0, row=1, stagger_mm=900.0, tell=True, refs=("P1",), group="P1"),
        run("B", 10000.0, 5000.0, lap_mm=200.0, row=2, stagger_mm=900.0, tell=True, group="P1", offset_mm=100.0),
        run("C", 2000.0, row=9),
    ]
    plan = cut_runs(demands, stock(2400, 5400))
    bars = tuple(
        StockBar("rail", number, 5400, (piece,))
        for number, piece in enumerate(
            (
                CutPiece("A.1", "A", 0.0, 5100, ("P1",)), CutPiece("A.2", "A", 4900.0, 5100, ("P1",)),
                CutPiece("B.1", "B", 0.0, 5100), CutPiece("B.2", "B", 4900.0, 5100),
            ), start=1)
    )  # fmt: skip
    assert plan == CutPlan(
        "rail",
        (*bars, StockBar("rail", 5, 2400, (CutPiece("C.1", "C", 0.0, 2000),))),
        24000,
        24000,
        22000.0,
        400.0,
        "proven: nothing shorter can be bought",
        (Joint("A", 1, 5000.0, 200.0, False), Joint("B", 2, 5000.0, 200.0, False)),
        (
            Finding(
                "joints-in-line", Severity.NOTE, "P1: joints of 2 rows stand less than 900 mm from those of a row beside: A to B.",
                "Where they must not, a third piece goes into every other row: `settings: {purlin_joints: staggered}`.",
                ("A", "B", "P1"),
            ),
        ),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("one", "choice", "why"),
    [
        (run("A", 7000.0), stock(6000), "7000 mm of rail cannot be cut from stock of 6000 mm: no joint is allowed in it."),
        (run("A", 7000.4, 500.0), stock(6000, 4000), ("7001 mm of rail cannot be cut from stock of 6000 mm: 6500 mm of it have no"
         " allowed joint.")),
        (run("A", 7000.0, 3000.0, lap_mm=4100.0, least_mm=900.0), stock(6000), ("7000 mm of rail cannot be cut from stock of 6000 mm:"
         " no allowed joints give pieces of 900 mm or more with laps of 4100 mm.")),
        (run("A", 7000.0, 6000.0, least_mm=1200.0), stock(6000), ("7000 mm of rail cannot be cut from stock of 6000 mm: no allowed"
         " joints give pieces of 1200 mm or more with laps of 0 mm.")),
        (run("A", 5995.0), stock(6000, trim_mm=10.0), ("5995 mm of rail cannot be cut from stock that gives 5990 mm when its ends are"
         " docked: no joint is allowed in it.")),
        (run("A", 5995.0), stock(6000, supply=(0,)), "5995 mm of rail cannot be cut from stock of 0 mm: no joint is allowed in it."),
    ],
)  # fmt: skip
def test_what_no_stock_makes(one: RunDemand, choice: StockChoice, why: str) -> None:
    plan = cut_runs([replace(one, refs=("P1",))], choice)
    advice = "Name a longer stock length, or allow a joint."
    assert plan.findings == (Finding("run-longer-than-stock", Severity.STOP, f"A: {why}", advice, ("A", "P1")),)
    assert (plan.bars, plan.bought_mm, plan.bound_mm) == ((), 0, 0)


def test_what_a_short_supply_leaves() -> None:
    plan = cut_runs(
        [run(f"R{n}", mm) for n, mm in enumerate((5000.0, 5000.0, 5500.0, 4000.0))], stock(6000, supply=(1,))
    )
    text = "rail: the stock at hand does not hold "
    (found,) = plan.findings
    left = Counter({5000: 2, 5500: 1, 4000: 1})
    left.subtract(piece.length_mm for bar in plan.bars for piece in bar.pieces)
    words = ", ".join(f"{n} x {mm} mm" for mm, n in sorted(left.items(), reverse=True) if n)
    advice = "Raise the supply of a length or name another length."
    assert found == Finding("stock-runs-out", Severity.STOP, f"{text}{words}.", advice)
    assert plan.proof == "the supply does not hold every piece"
    open_ = Answer((Bar(6000, (5000,)), Bar(6000, (5000,))), 11000, (), "greedy")
    assert of_runs._gap(open_) == "at most 1000 mm above the least that can be bought"


def test_every_fault_is_told() -> None:
    demands = [
        run("A", 0.0), run("A", 1.0), run("B", float("inf")), run("C", 1.0, float("nan")), run("D", 1.0, lap_mm=-1.0),
        run("E", 1.0, least_mm=-0.1), run("F", 1.0, stagger_mm=-2.0), run("G", 1.0, offset_mm=float("nan")), run("H", 0.1),
    ]  # fmt: skip
    choice = stock(6000, 0, supply=(1,), kerf_mm=float("nan"), trim_mm=-1.0, pack=0)
    with pytest.raises(JobError) as told:
        cut_runs(demands, choice)
    least = "lap, least piece and stagger are at least 0."
    assert told.value.faults == (
        "A: two runs have this name.",
        "A: a run of 0.0 mm cannot be cut: its length must be above 0.",
        "B: a run of inf mm cannot be cut: its length must be above 0.",
        "C: a run of 1.0 mm cannot be cut: its length must be above 0.",
        f"D: {least}",
        f"E: {least}",
        f"F: {least}",
        "G: a run of 1.0 mm cannot be cut: its length must be above 0.",
        "rail: give one supply for each of the 2 stock lengths, or none.",
        "rail: stock lengths are at least 1 mm and supplies at least 0.",
        "rail: a kerf of nan mm: a kerf is at least 0.",
        "rail: a trim of -1.0 mm: a trim is at least 0.",
        "rail: a pack holds one length or more, and is not of a limited supply.",
    )
    for bad in (stock(6000, supply=(-1,)), stock(6000, supply=(None, 1)), stock(6000, supply=(2,), pack=2)):
        with pytest.raises(JobError):
            cut_runs([run("A", 1.0)], bad)
    cut_runs([run("A", 1.0)], stock(1, supply=(1,), pack=1, kerf_mm=0.0, trim_mm=0.0))
    with pytest.raises(TakeoffError) as ours:
        cut_runs([replace(run("A", 1.0), item="b"), replace(run("B", 1.0), item="a")], stock(6000))
    assert ours.value.faults == ("runs of a, b were given stock of rail.",)
    with pytest.raises(JobError) as missing:
        cut_all([run("A", 1.0), replace(run("B", 1.0), item="post")], [StockChoice("board", (1,))])
    none = "no stock lengths are given for"
    assert missing.value.faults == (
        f"{none} rail: name at least one length.",
        f"{none} post: name at least one length.",
    )


def test_how_runs_stand() -> None:
    """Whole millimetres, up, crumbs forgiven: row, start, the longest first, joints anywhere after none, joints, lap, least
    piece and stagger."""
    one = run("A", 3000.005, 1000.5, row=2, offset_mm=10.3, lap_mm=5.0, least_mm=6.0, stagger_mm=7.0)
    assert of_runs._stand(one) == (2, 11, -3000, (False, 1001, 5, 6, 7))
    assert of_runs._stand(replace(one, splits_mm=None)) == (2, 11, -3000, (True, 5, 6, 7))
    # groups by the lengths in them, the least first, then by what is in them; rows from the lowest, then by name
    demands = [run("a", 10.0, group="S"), run("b", 30.0, row=2, group="N"), run("c", 20.0, row=1, group="N"), run("d", 30.0, row=2, group="E"),
               run("e", 20.0, row=1, group="E"), run("g", 30.0, row=2, group="E"), run("f", 30.0, row=2, group="E")]  # fmt: skip
    assert "".join(each.id for each in of_runs._in_order(demands)) == "acbedfg"
    crumbs = of_runs._without_crumbs(run("A", 0.001, 0.126, offset_mm=5.004))
    assert (crumbs.length_mm, crumbs.splits_mm, crumbs.offset_mm) == (0.01, (0.13,), 5.0)
    assert of_runs._without_crumbs(replace(run("A", 9.0), splits_mm=None)).splits_mm is None


def test_pieces_are_named_in_the_order_of_their_runs() -> None:
    two = Way((500.0,), (0.0, 500.0), (500, 300))
    one = Way((), (0.0,), (500,))
    answer = Answer((Bar(1000, (500, 500)),), 1000, (), "greedy")
    placed = [(run("A", 800.0), two), (run("B", 500.0), one)]
    bars, site = of_runs._named("rail", placed, answer, (SiteCut(400, "back", (300,)),))
    assert bars == (StockBar("rail", 1, 1000, (CutPiece("A.1", "A", 0.0, 500), CutPiece("B.1", "B", 0.0, 500))),)
    assert site == (StockBar("rail", 2, 400, (CutPiece("A.2", "A", 500.0, 300),), "back"),)
    with pytest.raises(TakeoffError) as told:
        of_runs._named("rail", placed, answer, ())
    assert told.value.faults == ("rail: pieces of the runs and pieces of the bars differ.",)
    short = replace(answer, missing_mm=(300,))
    assert of_runs._named("rail", placed, short, ())[1] == ()


def test_stock_that_is_to_be_had() -> None:
    assert of_runs._stock(stock(6000, 4800)) == [Stock(6000), Stock(4800)]
    some = stock(4800, 6000, 9, 5400, 4800, supply=(2, None, 3, 0, 1), trim_mm=8.5)
    assert of_runs._stock(some)[:2] == [Stock(4800, 2), Stock(6000, None)]
    assert of_runs._sizes(some) == [5991, 4791]
    assert of_runs._sizes(stock(10, trim_mm=8.5)) == [1]
    assert of_runs._counts([Way((), (), (5, 5, 3)), Way((), (), (3,))]) == {5: 2, 3: 2}


SITE = stock(6000, kerf_mm=2.5, trim_mm=9.5)


def test_site_lengths_are_filled() -> None:
    """Of 4 m docked by 10 and a cut of 3: 2000 + 1987 + 3 = 3990; then 1900 alone out of 2 m, whose 1990 hold no 2000."""
    pieces = Counter({2000: 2, 1987: 1, 1900: 1})
    assert _filled(pieces, [(4000, "a"), (2000, "b"), (50, "c")], SITE) == (
        SiteCut(4000, "a", (2000, 1987)),
        SiteCut(2000, "b", (1900,)),
    )
    assert _filled(Counter({3990: 1}), [(4000, "a")], SITE) == (SiteCut(4000, "a", (3990,)),)
    assert _filled(Counter({3991: 1, 5: 0}), [(4000, "a")], SITE) == ()
    assert pieces == Counter({2000: 2, 1987: 1, 1900: 1})


def test_cuts_go_to_the_shortest_length_that_holds_them() -> None:
    """1987 + 2000 take 4000 with their cut and docking, one of 1900 takes 1910."""
    cuts = (SiteCut(5000, "a", (2000, 1987)), SiteCut(4000, "b", (1900,)))
    lengths = [(5000, "a"), (4000, "b"), (4000, "a"), (1910, "z"), (1909, "y")]
    assert _shortest_that_hold(cuts, lengths, SITE) == (SiteCut(4000, "a", (2000, 1987)), SiteCut(1910, "z", (1900,)))
    assert _shortest_that_hold(cuts, [(5000, "a"), (4000, "b")], SITE) == (
        SiteCut(5000, "a", (2000, 1987)),
        SiteCut(4000, "b", (1900,)),
    )


def bought(rest: Counter[int]) -> tuple[int, int]:
    """Six metres for every piece over 3 m, and for each two others."""
    long = sum(n for mm, n in rest.items() if mm > 3000)
    short = sum(n for mm, n in rest.items() if mm <= 3000)
    return 6000 * (long + -(-short // 2)), 0


def test_lengths_that_save_nothing_stay() -> None:
    """Of three short pieces one alone saves a length; which holds least is put back first."""
    pieces = Counter({1000: 3})
    cuts = (SiteCut(1500, "a", (1000,)), SiteCut(1200, "b", (1000,)))
    assert _pruned(cuts, pieces, bought) == (SiteCut(1500, "a", (1000,)),)
    assert _pruned(cuts, Counter({1000: 4}), bought) == cuts
    assert cut_from_site(Counter({1000: 2}), stock(6000, on_hand=(OnHand(1200, 1),)), bought) == ()
    assert cut_from_site(pieces, stock(6000, on_hand=(OnHand(1200, 1, "b"), OnHand(1100, 1, "c"))), bought) == (
        SiteCut(1100, "c", (1000,)),
    )


def test_what_is_left_after_the_job() -> None:
    """6 m docked by 10 with 2.9 m and a cut of 3 in it leave 3087; a length without a piece is whole; of two on the site one
    was cut."""
    choice = replace(SITE, on_hand=(OnHand(4000, 2, "b"), OnHand(900, 1)))
    piece = CutPiece("A.1", "A", 0.0, 2900)
    bars = (StockBar("rail", 1, 6000, (piece,)), StockBar("rail", 2, 6000, ()), StockBar("rail", 3, 6000, (piece,)))
    site = (StockBar("rail", 4, 4000, (piece,), "b"),)
    whole = [LeftOver("rail", 6000, 1), LeftOver("rail", 4000, 1, True, "b"), LeftOver("rail", 3087, 2)]
    rest = LeftOver("rail", 1087, 1, True, "b")
    assert left_over(bars, site, choice, 1088.0) == (*whole, LeftOver("rail", 900, 1, True))
    assert left_over(bars, site, choice, 1087.0) == (*whole, rest, LeftOver("rail", 900, 1, True))
    full = (StockBar("rail", 1, 2913, (piece,)),)
    assert left_over(full, (), SITE, 0.0) == ()


def test_lengths_in_whole_packs() -> None:
    """Two of 6 m and one of 4 m in packs of four: 8 x ... 24 + 16 m; all three out of 6 m are one pack, 24 m."""
    plain = Answer((Bar(6000, (5900,)), Bar(6000, (5900,)), Bar(4000, (3900,))), 16000, (), "greedy")
    found = whole_packs({5900: 2, 3900: 1}, [Stock(6000), Stock(4000)], (0, 0), 4, plain)
    assert found == Answer(
        (Bar(6000, (5900,)), Bar(6000, (5900,)), Bar(6000, (3900,)), Bar(6000, ())), 16000, (), "greedy"
    )
    # in packs of one or of what there is nothing is made up
    assert whole_packs({5900: 2, 3900: 1}, [Stock(6000), Stock(4000)], (0, 0), 1, plain).bought_mm == 16000
    for none in (Answer((), 0, (), "greedy"), replace(plain, missing_mm=(1,))):
        assert whole_packs({5900: 2}, [Stock(6000)], (0, 0), 4, none) is none
    bars = (
        StockBar("rail", 1, 6000, ()),
        StockBar("rail", 2, 4000, ()),
        StockBar("rail", 3, 6000, ()),
        StockBar("rail", 4, 6000, (CutPiece("a", "a", 0.0, 1),)),
    )
    text = "rail: whole packs of 4 leave 2 x 6000 mm, 1 x 4000 mm uncut."
    advice = "Ask whether a pack may be split, or name other lengths that are sold under stock_mm of the walls."
    assert spare_told("rail", bars, 4) == (Finding("spare-lengths-in-packs", Severity.NOTE, text, advice),)
    assert spare_told("rail", bars[3:], 4) == ()
    plan = cut_runs([run(f"R{n}", mm) for n, mm in enumerate((5900.0, 5900.0, 3900.0))], stock(6000, 4000, pack=4))
    assert ([bar.stock_mm for bar in plan.bars], plan.bound_mm, len(plan.findings)) == ([6000] * 4, 16000, 1)


def test_site_lengths_of_a_plan_and_rows_kept_apart() -> None:
    """4 m out of 4.2 m that lies there; the other 4 m are bought. Two rows joined only on 5.5 m take a third piece."""
    plan = cut_runs([run("A", 4000.0), run("B", 4000.0)], stock(4800, 6000, on_hand=(OnHand(4200, 1, "back"),)))
    assert [(bar.stock_mm, bar.mark) for bar in plan.all_bars] == [(4800, ""), (4200, "back")]
    assert (plan.placed_mm, plan.waste_mm, plan.bound_mm) == (8000.0, 800.0, 4800)
    rows = [
        run(
            f"R{n}",
            11000.0,
            *(100.0 + 900.0 * k for k in range(13)),
            row=n,
            stagger_mm=900.0,
            spare_joints=1,
            least_mm=1000.0,
        )
        for n in (1, 2)
    ]
    apart = cut_runs(rows, stock(6000))
    assert sorted(Counter(joint.run for joint in apart.joints).values()) == [1, 2]
    assert all(joint.clear for joint in apart.joints)
    inline = cut_runs([replace(row, spare_joints=0) for row in rows], stock(6000))
    assert [joint.at_mm for joint in inline.joints] == [5500.0, 5500.0]


def test_a_short_supply_takes_one_joint_more_and_then_another() -> None:
    """Two runs of 9 m: one out of 6 + 3 m; the other out of three of 3 m. Where 3 m runs out too what is missing is told of
    the first plan, with fewest joints."""
    demands = [run(f"R{n}", 9000.0, 3000.0, 6000.0, row=3 * n) for n in range(2)]
    plan = cut_runs(demands, stock(6000, 3000, supply=(1, None)))
    assert ([bar.stock_mm for bar in plan.bars], len(plan.joints), plan.findings) == (
        [6000, 3000, 3000, 3000, 3000],
        3,
        (),
    )
    short = cut_runs(demands, stock(6000, 3000, supply=(1, 3)))
    assert (short.findings[0].text, len(short.joints)) == ("rail: the stock at hand does not hold 1 x 6000 mm.", 2)
    # out of 2.25 m alone it is four
    four = [run("R", 9000.0, 2250.0, 3000.0, 4500.0, 6000.0, 6750.0)]
    more = cut_runs(four, stock(2250))
    assert [bar.stock_mm for bar in more.bars] == [2250] * 4


def test_how_many_lengths_and_which_are_asked_for() -> None:
    from takeoff.model.runs import Objective

    demands = [run("A", 5900.0), run("B", 3500.0), run("C", 2300.0), run("D", 2300.0)]
    three = (6000, 3600, 2400)
    assert len({bar.stock_mm for bar in cut_runs(demands, stock(*three, most_lengths=1)).bars}) == 1
    fewest = cut_runs(demands, stock(*three, objective=Objective.FEWEST_LENGTHS))
    assert {bar.stock_mm for bar in fewest.bars} == {6000}
    (plan,) = cut_all(demands, [stock(*three)])
    assert plan.bought_mm == 14400


def test_site_lengths_are_left_where_no_less_is_bought_or_pieces_are_missing() -> None:
    lying = (OnHand(2600, 1, "x"),)
    # everything out of the site: nothing is bought
    alone = cut_runs([run("A", 2500.0)], stock(3000, on_hand=lying))
    assert (alone.bars, alone.bought_mm, [bar.mark for bar in alone.site_bars]) == ((), 0, ["x"])
    assert (alone.bound_mm, alone.proof) == (0, "proven: nothing shorter can be bought")
    # 2.9 m comes out of 3 m with or without it
    kept = cut_runs([run("A", 2900.0)], stock(3000, on_hand=lying))
    assert (kept.site_bars, kept.bought_mm) == ((), 3000)
    missing = cut_runs([run("A", 2500.0), run("B", 2900.0)], stock(3000, supply=(1,), on_hand=lying))
    assert (missing.site_bars, len(missing.findings)) == ((), 1)


def test_two_laps_of_a_run_are_two() -> None:
    plan = cut_runs([run("A", 11000.0, 4000.0, 7500.0, lap_mm=100.0)], stock(4100))
    assert (plan.laps_mm, plan.placed_mm, [piece.length_mm for bar in plan.bars for piece in bar.pieces]) == (
        200.0,
        11000.0,
        [4050, 3600, 3550],
    )
