"""Runs cut from stock: joints on supports, laps, stagger; worked by hand beside each."""

from __future__ import annotations

from itertools import pairwise

import pytest

from takeoff.basics.errors import JobError, TakeoffError
from takeoff.model.findings import Severity
from takeoff.model.runs import Objective, RunDemand, StockChoice
from takeoff.order.cut_stock.joints import ways_to_cut
from takeoff.order.cut_stock.runs import cut_all, cut_runs

SUPPORTS = tuple(900.0 * n for n in range(1, 30))


def purlin(name: str, length: float, row: int = 0, **more) -> RunDemand:
    given = {"splits_mm": SUPPORTS, "stagger_mm": 900.0, **more}
    return RunDemand(name, "purlin", length, row=row, **given)


def stock(*lengths: int, item: str = "purlin", **more) -> StockChoice:
    return StockChoice(item, lengths, **more)


def pieces_of(plan, run: str):
    found = [piece for bar in plan.bars for piece in bar.pieces if piece.run == run]
    return sorted(found, key=lambda piece: piece.start_mm)


def assert_covers(plan, run: RunDemand) -> None:
    pieces = pieces_of(plan, run.id)
    assert pieces[0].start_mm == 0.0
    end = pieces[-1].start_mm + pieces[-1].length_mm
    assert run.length_mm - 0.02 <= end < run.length_mm + 1.0
    for a, b in pairwise(pieces):
        overlap = a.start_mm + a.length_mm - b.start_mm
        assert run.lap_mm - 0.02 <= overlap < run.lap_mm + 1.0


def test_no_more_different_lengths_than_asked_for() -> None:
    pieces = (2300, 2900, 3500, 4100, 4700, 5300, 5900)
    runs = [RunDemand(f"R{n}", "x", float(mm)) for n, mm in enumerate(pieces)]
    lengths = tuple(range(2400, 6001, 300))
    free = cut_runs(runs, StockChoice("x", lengths))
    few = cut_runs(runs, StockChoice("x", lengths, most_lengths=2))
    assert len({bar.stock_mm for bar in free.bars}) > 2
    assert len({bar.stock_mm for bar in few.bars}) <= 2
    assert free.bought_mm <= few.bought_mm
    assert sorted(piece.length_mm for bar in few.bars for piece in bar.pieces) == sorted(pieces)


def test_a_run_that_fits_has_no_joint():
    plan = cut_runs([purlin("A", 5990.0)], stock(6000, 7200))
    assert [(bar.stock_mm, [p.length_mm for p in bar.pieces]) for bar in plan.bars] == [(6000, [5990])]
    assert plan.joints == ()


def test_a_long_purlin_is_joined_once_on_a_support():
    # 10 000 from 6000: joint on a support from 4000 to 6000: 4500 or 5400, pieces 4500 + 5500 or 5400 + 4600
    run = purlin("A", 10000.0)
    plan = cut_runs([run], stock(6000))
    assert [joint.at_mm for joint in plan.joints] in ([4500.0], [5400.0])
    assert_covers(plan, run)


def test_joints_of_neighbouring_rows_are_a_support_apart():
    runs = [purlin(f"R{n}", 10000.0, row=n) for n in range(5)]
    plan = cut_runs(runs, stock(6000))
    at = [joint.at_mm for joint in plan.joints]
    assert len(at) == 5
    assert all(abs(a - b) >= 900.0 for a, b in pairwise(at))
    assert all(joint.clear for joint in plan.joints)


def test_rows_that_start_elsewhere_are_staggered_on_the_roof_not_along_themselves():
    # row 1 starts 900 further along: its joint at 4500 of itself lies at 5400 on the roof
    runs = [purlin("A", 10000.0), purlin("B", 10000.0, row=1, offset_mm=900.0)]
    plan = cut_runs(runs, stock(6000))
    a, b = (joint.at_mm for joint in plan.joints)
    assert abs((b + 900.0) - a) >= 900.0


def test_other_groups_are_not_neighbours():
    # with one joint possible each, 6300 of 12 600 from 6300, a neighbour would be marked
    same = [purlin("A", 12600.0), purlin("B", 12600.0, row=1)]
    apart = [purlin("A", 12600.0, group="N"), purlin("B", 12600.0, row=1, group="S")]
    assert [joint.clear for joint in cut_runs(same, stock(6300)).joints] == [False, False]
    assert [joint.clear for joint in cut_runs(apart, stock(6300)).joints] == [True, True]


def test_fewest_joints_come_before_stagger():
    plan = cut_runs([purlin("A", 12600.0), purlin("B", 12600.0, row=1)], stock(6300))
    assert [joint.at_mm for joint in plan.joints] == [6300.0, 6300.0]


def test_extra_joints_are_taken_only_when_asked_and_when_they_save():
    # 4000 of 3000 + 3000 wastes 2000; with one joint in each 3000-long run (at 1500) nothing changes: no joint
    runs = [purlin(f"R{n}", 4000.0, row=3 * n, splits_mm=(2000.0,)) for n in range(3)]
    plain = cut_runs(runs, stock(6000))
    assert (plain.bought_mm, len(plain.joints)) == (18000, 0)
    saved = cut_runs(runs, stock(6000), extra_joints=1)
    assert (saved.bought_mm, len(saved.joints)) == (12000, 1)


def test_no_piece_is_shorter_than_the_least():
    # 6400 from 6000 at supports of 200: 6000 + 400 is refused with a least piece of 1500
    run = purlin("A", 6400.0, splits_mm=tuple(200.0 * n for n in range(1, 32)), least_mm=1500.0)
    plan = cut_runs([run], stock(6000))
    assert min(piece.length_mm for piece in pieces_of(plan, "A")) >= 1500
    assert_covers(plan, run)


@pytest.mark.parametrize(
    ("length", "count"), [(5956.0, 1), (6000.0, 1), (6000.5, 2), (11850.0, 2), (11851.0, 3), (17700.0, 3), (17701.0, 4)]
)
def test_lapped_flashings_count_as_the_formula_says(length, count):
    # pieces = ceil((R - 150) / (6000 - 150)): common practice, no source; 11 850 = 6000 + 6000 - 150
    run = RunDemand("hip", "flashing", length, None, 150.0, 300.0)
    plan = cut_runs([run], stock(6000, item="flashing"))
    assert len(pieces_of(plan, "hip")) == count
    assert plan.laps_mm == 150.0 * (count - 1)
    assert_covers(plan, run)


def test_a_hip_with_its_dressings_does_not_come_out_of_one_length():
    # 5956 on the roof + 75 at the eave + 150 at the junction (common practice, no source) = 6181
    plan = cut_runs([RunDemand("hip", "flashing", 6181.0, None, 150.0, 300.0)], stock(6000, item="flashing"))
    assert sorted(piece.length_mm for piece in pieces_of(plan, "hip"))[0] >= 300
    assert len(pieces_of(plan, "hip")) == 2
    # 6331 of metal for 6181 of cover
    assert sum(piece.length_mm for piece in pieces_of(plan, "hip")) == 6331


def test_laps_over_supports_are_centred_on_them():
    run = purlin("A", 10000.0, lap_mm=300.0, splits_mm=(5400.0,))
    pieces = pieces_of(cut_runs([run], stock(6000)), "A")
    # to 5400 + 150, and from 5400 - 150
    assert [(p.start_mm, p.length_mm) for p in pieces] == [(0.0, 5550), (5250.0, 4750)]


def test_waste_laps_and_placed_add_up_to_bought():
    runs = [RunDemand(f"r{n}", "flashing", 7000.0 + 431.5 * n, None, 150.0, 300.0, row=n) for n in range(6)]
    plan = cut_runs(runs, stock(6000, 4800, item="flashing", kerf_mm=2.5))
    assert plan.placed_mm + plan.laps_mm + plan.waste_mm == plan.bought_mm
    assert plan.bought_mm == sum(bar.stock_mm for bar in plan.bars)
    assert plan.waste_mm > 0.0
    assert sum(run.length_mm for run in runs) <= plan.placed_mm <= sum(run.length_mm for run in runs) + 2 * len(runs)


def test_kerfs_of_half_millimetres_are_taken_as_whole_ones():
    # 2 x 2999 + 2.5 -> 3 = 6001
    runs = [RunDemand("a", "batten", 2999.0), RunDemand("b", "batten", 2999.0)]
    assert len(cut_runs(runs, stock(6000, item="batten", kerf_mm=2.5)).bars) == 2
    assert len(cut_runs(runs, stock(6000, item="batten", kerf_mm=2.0)).bars) == 1


def test_a_crumb_of_floating_point_buys_no_millimetre():
    runs = [RunDemand("a", "batten", 3000.0000001), RunDemand("b", "batten", 2999.9999999)]
    assert len(cut_runs(runs, stock(6000, item="batten")).bars) == 1


def test_a_run_without_joints_that_no_stock_holds_stops_the_order():
    plan = cut_runs([purlin("A", 8000.0, splits_mm=()), purlin("B", 4000.0)], stock(6000))
    assert [(f.code, f.severity, f.refs) for f in plan.findings] == [("run-longer-than-stock", Severity.STOP, ("A",))]
    assert [p.run for bar in plan.bars for p in bar.pieces] == ["B"]


def test_supports_too_far_apart_stop_the_order_and_say_which_stretch():
    plan = cut_runs([purlin("A", 8000.0, splits_mm=(500.0, 7500.0))], stock(6000))
    assert "7000 mm of it have no allowed joint" in plan.findings[0].text


def test_a_short_supply_of_long_stock_takes_more_joints():
    # 9000 from 6000 + 3000 with two 6000s; the third run must be three of 3000
    runs = [purlin(f"R{n}", 9000.0, row=2 * n, splits_mm=(3000.0, 6000.0)) for n in range(3)]
    plan = cut_runs(runs, stock(6000, 3000, supply=(2, None)))
    assert plan.findings == ()
    assert sorted(bar.stock_mm for bar in plan.bars) == [3000] * 5 + [6000] * 2
    assert len(plan.joints) == 4


def test_a_supply_that_holds_no_plan_stops_the_order():
    plan = cut_runs([purlin("A", 4000.0), purlin("B", 4000.0)], stock(6000, supply=(1,)))
    assert [f.code for f in plan.findings] == ["stock-runs-out"]
    assert "1 x 4000 mm" in plan.findings[0].text
    assert plan.bound_mm == 0


def test_fewest_lengths_is_passed_on():
    runs = [purlin("A", 5900.0), purlin("B", 3500.0)]
    assert [b.stock_mm for b in cut_runs(runs, stock(6000, 3600)).bars] == [6000, 3600]
    plan = cut_runs(runs, stock(6000, 3600, objective=Objective.FEWEST_LENGTHS))
    assert [b.stock_mm for b in plan.bars] == [6000, 6000]


def test_order_of_demands_does_not_matter():
    runs = [purlin(f"R{n}", 7000.0 + 333.0 * n, row=n) for n in range(7)]
    assert cut_runs(runs, stock(4800, 6000)) == cut_runs(runs[::-1], stock(6000, 4800))


def test_names_of_runs_do_not_matter():
    """Fascia of a house of 12 x 9 m with a porch of 2 m, joints on rafters 900 apart, typed from each corner in turn."""
    sides = [(12040.0, 620.0), (9040.0, 920.0), (12040.0, 620.0), (9040.0, 920.0), (2000.0, 100.0), (2000.0, 100.0)]
    bought = set()
    for start in range(len(sides)):
        runs = []
        for n, (mm, first) in enumerate(sides[start:] + sides[:start]):
            rafters = tuple(first + 900.0 * k for k in range(14) if first + 900.0 * k < mm)
            runs.append(purlin(f"R{n}", mm, splits_mm=rafters, stagger_mm=0.0, least_mm=1200.0))
        plan = cut_runs(runs, stock(*range(3600, 6001, 300)))
        bought.add(tuple(sorted(bar.stock_mm for bar in plan.bars)))
    assert len(bought) == 1


def test_crumbs_of_floating_point_take_no_joint_more():
    """Two lapped pieces of a whole 6 m: 6000 + 6000 - 150 = 11 850; a ten thousandth of a millimetre more is the same."""
    for crumb in (0.0, 1e-4, -1e-4, 4e-3):
        plan = cut_runs([RunDemand("A", "purlin", 11850.0 + crumb, None, lap_mm=150.0)], stock(3000, 6000))
        assert [bar.stock_mm for bar in plan.bars] == [6000, 6000]


def test_items_are_cut_apart_in_the_order_of_their_stock():
    runs = [purlin("A", 4000.0), RunDemand("w1", "board", 2000.0)]
    plans = cut_all(runs, [stock(5400, item="board"), stock(6000), stock(9000, item="unused")])
    assert [(p.item, p.bought_mm) for p in plans] == [("board", 5400), ("purlin", 6000)]


def test_an_item_without_stock_is_named():
    with pytest.raises(JobError, match="board"):
        cut_all([RunDemand("w1", "board", 2000.0)], [stock(6000)])


def test_runs_of_another_item_are_our_own_fault():
    with pytest.raises(TakeoffError, match="board"):
        cut_runs([RunDemand("w1", "board", 2000.0)], stock(6000))


@pytest.mark.parametrize(
    ("run", "choice", "word"),
    [
        (purlin("A", 0.0), stock(6000), "above 0"),
        (purlin("A", float("nan")), stock(6000), "above 0"),
        (purlin("A", 100.0, lap_mm=-1.0), stock(6000), "at least 0"),
        (purlin("A", 100.0), stock(6000, supply=(1, 2)), "one supply"),
        (purlin("A", 100.0), stock(0), "at least 1 mm"),
        (purlin("A", 100.0), stock(6000, kerf_mm=-1.0), "kerf"),
    ],
)
def test_nonsense_is_refused_in_words(run, choice, word):
    with pytest.raises(JobError, match=word):
        cut_runs([run], choice)


def test_ways_hold_every_choice_of_one_joint_and_no_other():
    # 10 000 from 6000: x <= 6000 and 10 000 - x <= 6000: supports 4500 and 5400
    run = purlin("A", 10000.0)
    assert sorted(way.joints_mm for way in ways_to_cut(run, [6000])) == [(4500.0,), (5400.0,)]
    assert ways_to_cut(purlin("A", 10000.0, splits_mm=()), [6000]) == ()


def test_docked_ends_come_off_every_bar_and_are_bought():
    # 5990 of each 6000 is of use: two of 2995 fit, two of 3000 do not; three bars of 6000 for three of 3000
    runs = [RunDemand(f"A{n}", "board", 2995.0) for n in range(2)]
    plan = cut_runs(runs, stock(6000, item="board", trim_mm=10.0))
    assert (plan.bought_mm, plan.bound_mm, plan.waste_mm) == (6000, 6000, 10)
    runs = [RunDemand(f"A{n}", "board", 3000.0) for n in range(3)]
    plan = cut_runs(runs, stock(6000, item="board", trim_mm=10.0))
    assert (plan.bought_mm, plan.bound_mm, plan.waste_mm) == (18000, 18000, 9000)


def test_docking_and_saw_cuts_both_come_off():
    # 2 x 2994 + one cut of 3 = 5991 > 5990; 2 x 2993 + 3 = 5989
    for length, bars in ((2994.0, 2), (2993.0, 1)):
        runs = [RunDemand(f"A{n}", "board", length) for n in range(2)]
        assert len(cut_runs(runs, stock(6000, item="board", kerf_mm=3.0, trim_mm=10.0)).bars) == bars


def test_no_piece_is_as_long_as_docked_stock():
    plan = cut_runs([RunDemand("A", "board", 5995.0)], stock(6000, item="board", trim_mm=10.0))
    assert [finding.code for finding in plan.findings] == ["run-longer-than-stock"]
    assert "gives 5990 mm when its ends are docked" in plan.findings[0].text


def test_a_scarf_takes_its_thickness_from_both_boards():
    # studs at 600, boards of 6000 docked to 5990, scarfs of 18: 10 800 joins at 5400 only, 5400 + 9 each; from 4800
    # the other board would be 6009; laps 18 are shown apart: 12 000 = 10 800 + 18 + 1182
    splits = tuple(600.0 * n for n in range(1, 18))
    run = RunDemand("A", "board", 10800.0, splits, 18.0, 600.0)
    plan = cut_runs([run], stock(6000, item="board", trim_mm=10.0))
    assert [piece.length_mm for piece in pieces_of(plan, "A")] == [5409, 5409]
    assert (plan.bought_mm, plan.placed_mm, plan.laps_mm, plan.waste_mm) == (12000, 10800, 18, 1182)
    assert_covers(plan, run)


def test_the_fewest_lengths_are_chosen_of_docked_stock():
    # 5990 comes out of 6000 only; one length for both pieces is 6000: 12 000, although 3000 + 6000 would be 9000
    runs = [RunDemand("A", "board", 5990.0), RunDemand("B", "board", 2990.0)]
    plan = cut_runs(runs, stock(3000, 6000, item="board", trim_mm=10.0, objective=Objective.FEWEST_LENGTHS))
    assert [bar.stock_mm for bar in plan.bars] == [6000, 6000]
    assert cut_runs(runs, stock(3000, 6000, item="board", trim_mm=10.0)).bought_mm == 9000


@pytest.mark.parametrize("trim", [-1.0, float("nan")])
def test_a_trim_that_is_no_length_is_refused(trim):
    with pytest.raises(JobError, match="a trim is at least 0"):
        cut_runs([purlin("A", 1000.0)], stock(6000, trim_mm=trim))
