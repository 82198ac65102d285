"""The door of the optimiser: runs wanted on the house in, bars to buy and every piece's place out."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import fields, replace
from itertools import pairwise
from math import ceil, isfinite
from operator import attrgetter

from takeoff.basics.errors import JobError, TakeoffError
from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.findings import Finding, Severity
from takeoff.model.memory import recalled_plain
from takeoff.model.runs import CutPiece, CutPlan, Joint, Objective, RunDemand, StockBar, StockChoice
from takeoff.order.cut_stock.choose import Chooser, neighbours, too_near
from takeoff.order.cut_stock.fewest import cut_few, cut_fewest
from takeoff.order.cut_stock.greedy import best_greedy
from takeoff.order.cut_stock.in_line import joints_in_line
from takeoff.order.cut_stock.joints import Way, ways_to_cut, whole_mm
from takeoff.order.cut_stock.problem import Answer, Stock, make_problem, rank
from takeoff.order.cut_stock.site_lengths import SiteCut, cut_from_site
from takeoff.order.cut_stock.solve import SEARCH_PIECES, cut_least
from takeoff.order.cut_stock.whole_boards import spare_told, whole_packs

# joints tried beyond the fewest, in every run, when the supply of long stock runs out
SPARE_JOINTS = 2

CRUMB_PLACES = 2  # decimals of a mm that a run is cut to: same_length_mm

_cut_by = attrgetter(*(field.name for field in fields(RunDemand) if field.name != "working"))

_Stand = tuple[int, int, int, tuple[int, ...]]


def cut_all(demands: Iterable[RunDemand], stocks: Iterable[StockChoice]) -> tuple[CutPlan, ...]:
    """One plan for each item that has runs, in the order of `stocks`. Raises JobError for a run whose item has none."""
    by_item: dict[str, list[RunDemand]] = defaultdict(list)
    for run in demands:
        by_item[run.item].append(run)
    choices = {choice.item: choice for choice in stocks}
    unknown = [item for item in by_item if item not in choices]
    if unknown:
        raise JobError(*(f"no stock lengths are given for {item}: name at least one length." for item in unknown))
    return tuple(_cut_once(by_item[item], choice) for item, choice in choices.items() if item in by_item)


def _cut_once(demands: Sequence[RunDemand], stock: StockChoice) -> CutPlan:
    """The runs cut, now or before: why a run is as long as it is has no say."""
    inputs = (tuple(map(_cut_by, demands)), stock)
    return recalled_plain("cut", inputs, lambda: cut_runs(demands, stock))


def cut_runs(demands: Sequence[RunDemand], stock: StockChoice, extra_joints: int = 0) -> CutPlan:
    """Cut the runs of one item from stock: joints where allowed and as few as can be, every piece in one bar.

    Runs longer than the longest stock are cut at allowed joints into the fewest pieces; `extra_joints` more are tried
    for every run where they save length. Joints of neighbouring rows are kept apart by their stagger where the allowed
    positions let them. `bound_mm` [mm] is the proven least for the pieces so chosen, not over all choices of joints.
    A run that stock cannot make, or pieces that a limited supply leaves over, are stop findings in the plan.
    What docking takes off each bar (`stock.trim_mm`) is bought, holds no piece and counts as waste.
    Raises JobError for lengths, kerf, trim or supply that are no lengths; TakeoffError when runs of several items are
    mixed.
    """
    _refuse_nonsense(demands, stock)
    runs = _in_order([_without_crumbs(run) for run in demands])
    sizes = _sizes(stock)
    ways = [_ways(run, sizes, extra_joints) for run in runs]
    findings = [_too_long(run, sizes, stock.trim_mm) for run, options in zip(runs, ways, strict=True) if not options]
    kept = [(run, options) for run, options in zip(runs, ways, strict=True) if options]
    chosen, answer = _cut(kept, stock, extra_joints)
    if answer.missing_mm:
        findings.append(_short_supply(stock.item, answer))
    placed = [(run, way) for (run, _), way in zip(kept, chosen, strict=True)]
    site: tuple[SiteCut, ...] = ()
    if stock.on_hand and not answer.missing_mm:
        site, answer = _with_site(stock, _counts(chosen), answer)
    if stock.pack > 1:
        bought = Counter(piece for bar in answer.bars for piece in bar.pieces_mm)
        answer = whole_packs(bought, _stock(stock), (ceil(stock.kerf_mm), ceil(stock.trim_mm)), stock.pack, answer)
    return _plan(stock, placed, answer, tuple(findings), site)


def _without_crumbs(run: RunDemand) -> RunDemand:
    """The run to 0.01 mm: what floating point adds to a length at its stock's own takes no joint more."""
    splits = None if run.splits_mm is None else tuple(round(at, CRUMB_PLACES) for at in run.splits_mm)
    length, offset = round(run.length_mm, CRUMB_PLACES), round(run.offset_mm, CRUMB_PLACES)
    length = max(length, TOLERANCES.same_length_mm)
    if (length, splits, offset) == (run.length_mm, run.splits_mm, run.offset_mm):
        return run
    return replace(run, length_mm=length, splits_mm=splits, offset_mm=offset)


def _in_order(demands: Sequence[RunDemand]) -> list[RunDemand]:
    """Runs group by group, row by row. Groups and runs stand by what they are, names only part what is alike: which
    corner of the house was typed first changes no figure."""
    groups: dict[str, list[_Stand]] = defaultdict(list)
    for run in demands:
        groups[run.group].append(_stand(run))
    lengths = {group: sorted((-stand[2] for stand in stands), reverse=True) for group, stands in groups.items()}
    contents = {group: sorted(stands) for group, stands in groups.items()}
    return sorted(
        demands,
        key=lambda run: (lengths[run.group], contents[run.group], run.group, _stand(run), run.id),
    )


def _stand(run: RunDemand) -> _Stand:
    """What parts a run from others of its item in whole mm: row, start along the rows, length (the longest first),
    joints, lap, least piece and stagger."""
    places = [run.offset_mm, run.length_mm, *(run.splits_mm or ()), run.lap_mm, run.least_mm, run.stagger_mm]
    start, length, *rest = (ceil(place - TOLERANCES.same_length_mm) for place in places)
    return run.row, start, -length, (run.splits_mm is None, *rest)


def _refuse_nonsense(demands: Sequence[RunDemand], stock: StockChoice) -> None:
    strangers = sorted({run.item for run in demands if run.item != stock.item})
    if strangers:
        raise TakeoffError(f"runs of {', '.join(strangers)} were given stock of {stock.item}.")
    names = [run.id for run in demands]
    faults = [f"{name}: two runs have this name." for name in sorted({name for name in names if names.count(name) > 1})]
    for run in demands:
        numbers = (run.length_mm, run.lap_mm, run.least_mm, run.stagger_mm, run.offset_mm, *(run.splits_mm or ()))
        if not all(isfinite(number) for number in numbers) or run.length_mm <= 0.0:
            faults.append(f"{run.id}: a run of {run.length_mm} mm cannot be cut: its length must be above 0.")
        if min(run.lap_mm, run.least_mm, run.stagger_mm) < 0.0:
            faults.append(f"{run.id}: lap, least piece and stagger are at least 0.")
    if stock.supply and len(stock.supply) != len(stock.lengths_mm):
        faults.append(f"{stock.item}: give one supply for each of the {len(stock.lengths_mm)} stock lengths, or none.")
    if any(length < 1 for length in stock.lengths_mm) or any(n is not None and n < 0 for n in stock.supply):
        faults.append(f"{stock.item}: stock lengths are at least 1 mm and supplies at least 0.")
    if not isfinite(stock.kerf_mm) or stock.kerf_mm < 0.0:
        faults.append(f"{stock.item}: a kerf of {stock.kerf_mm} mm: a kerf is at least 0.")
    if not isfinite(stock.trim_mm) or stock.trim_mm < 0.0:
        faults.append(f"{stock.item}: a trim of {stock.trim_mm} mm: a trim is at least 0.")
    if stock.pack < 1 or (stock.pack > 1 and stock.supply):
        faults.append(f"{stock.item}: a pack holds one length or more, and is not of a limited supply.")
    if stock.pack > 1 and (stock.most_lengths or stock.objective is Objective.FEWEST_LENGTHS):
        faults.append(f"{stock.item}: a number of lengths is not given beside packs, which choose their own.")
    if faults:
        raise JobError(*faults)


def _stock(stock: StockChoice) -> list[Stock]:
    supply = stock.supply or (None,) * len(stock.lengths_mm)
    return [Stock(length, n) for length, n in zip(stock.lengths_mm, supply, strict=True)]


def _sizes(stock: StockChoice) -> list[int]:
    """What can be cut from a bar of each length that is to be had, its trim taken off, longest first [mm]."""
    trim = ceil(stock.trim_mm)
    return sorted({s.length_mm - trim for s in _stock(stock) if s.supply != 0 and s.length_mm > trim}, reverse=True)


def _ways(run: RunDemand, sizes: Sequence[int], more: int) -> list[Way]:
    return [way for extra in range(more + 1) for way in ways_to_cut(run, sizes, extra)]


def _cut(
    kept: Sequence[tuple[RunDemand, list[Way]]], stock: StockChoice, extra_joints: int
) -> tuple[list[Way], Answer]:
    """The ways and the bars; when the supply runs out the runs may take a joint more, and once more again."""
    lengths, sizes = _stock(stock), _sizes(stock)
    kerf, trim = ceil(stock.kerf_mm), ceil(stock.trim_mm)
    endless = all(entry.supply is None for entry in lengths)
    runs = [run for run, _ in kept]
    ways = [options for _, options in kept]
    plain: tuple[list[Way], Answer] | None = None
    for spare in range(1, SPARE_JOINTS + 2):
        chooser = Chooser(runs, ways, lengths, kerf, extra_joints > 0, trim)
        chosen = chooser.settled() if endless else chooser.choose()
        if spare == 1 and (told := chooser.in_line(chosen)) and (apart := _kept_apart(chooser, told, stock)):
            chooser, ways = apart, list(apart.ways)
            chosen = chooser.settled() if endless else chooser.choose()
        chosen, answer = _cut_as_chosen(chooser, chosen, stock)
        picked = [options[number] for options, number in zip(ways, chosen, strict=True)]
        if not answer.missing_mm:
            return picked, answer
        plain = plain or (picked, answer)
        ways = [
            list(dict.fromkeys([*options, *ways_to_cut(run, sizes, extra_joints + spare)]))
            for run, options in zip(runs, ways, strict=True)
        ]
    return plain or (picked, answer)


def _kept_apart(chooser: Chooser, told: set[int], stock: StockChoice) -> Chooser | None:
    """A choice of ways with a joint more for rows whose joints stand in line; None where no row may take one."""
    sizes, runs, ways = _sizes(stock), chooser.runs, chooser.ways
    more = [
        [*options, *ways_to_cut(run, sizes, run.spare_joints)] if n in told and run.spare_joints else options
        for n, (run, options) in enumerate(zip(runs, ways, strict=True))
    ]
    more = [list(dict.fromkeys(options)) for options in more]
    if all(len(new) == len(old) for new, old in zip(more, ways, strict=True)):
        return None
    return Chooser(runs, more, chooser.stock, chooser.kerf_mm, trim_mm=chooser.trim_mm, apart=True)


def _cut_as_chosen(chooser: Chooser, chosen: list[int], stock: StockChoice) -> tuple[list[int], Answer]:
    """The ways in the end and the bars. A long list of a supply without end is chosen by price as it is cut, others are
    compared by quick plans, those of short supply were."""
    least = stock.objective is Objective.LEAST_LENGTH and not stock.most_lengths
    if all(entry.supply is None for entry in chooser.stock) and any(len(options) > 1 for options in chooser.ways):
        count = sum(len(options[way].pieces_mm) for options, way in zip(chooser.ways, chosen, strict=True))
        if least and not chooser.joints_save and count > SEARCH_PIECES:
            from takeoff.order.cut_stock.ways_by_price import cut_by_price  # the solver comes with it

            return cut_by_price(chooser, chosen)
        chosen = chooser.choose()
    return chosen, _answer(stock, chooser.pieces_of(chosen), chooser.stock, chooser.kerf_mm, chooser.trim_mm)


def _answer(choice: StockChoice, pieces: dict[int, int], lengths: Sequence[Stock], kerf: int, trim: int) -> Answer:
    if choice.objective is Objective.FEWEST_LENGTHS:
        return cut_fewest(pieces, lengths, kerf, trim)
    if choice.most_lengths:
        return cut_few(pieces, lengths, kerf, trim, choice.most_lengths)
    return cut_least(pieces, lengths, kerf, trim)


def _with_site(stock: StockChoice, pieces: dict[int, int], plain: Answer) -> tuple[tuple[SiteCut, ...], Answer]:
    """What is cut from lengths on the site, and what is then bought; as without them where no less is."""
    lengths, kerf, trim = _stock(stock), ceil(stock.kerf_mm), ceil(stock.trim_mm)

    def bought(rest: Counter[int]) -> tuple[int, int]:
        problem = make_problem(rest, lengths, kerf, trim)
        return rank(problem, best_greedy(problem))[:2] if rest else (0, 0)

    site = cut_from_site(Counter(pieces), stock, bought)
    rest = Counter(pieces)
    for cut in site:
        rest.subtract(cut.pieces_mm)
    answer = _answer(stock, dict(+rest), lengths, kerf, trim) if +rest else Answer((), 0, (), "greedy")
    return (site, answer) if site and answer.bought_mm < plain.bought_mm else ((), plain)


def _counts(ways: Iterable[Way]) -> dict[int, int]:
    counts: dict[int, int] = defaultdict(int)
    for way in ways:
        for piece in way.pieces_mm:
            counts[piece] += 1
    return dict(counts)


def _plan(
    stock: StockChoice,
    placed: Sequence[tuple[RunDemand, Way]],
    answer: Answer,
    findings: tuple[Finding, ...],
    site: tuple[SiteCut, ...],
) -> CutPlan:
    bars, site_bars = _named(stock.item, placed, answer, site)
    cut_mm = sum(bar.used_mm for bar in (*bars, *site_bars))
    laps_mm = sum(run.lap_mm * len(way.joints_mm) for run, way in placed)
    proof = "proven: nothing shorter can be bought" if answer.proven else _gap(answer)
    joints = tuple(_joints(placed))
    packs = spare_told(stock.item, bars, stock.pack)
    findings = (*findings, *joints_in_line([run for run, _ in placed], joints), *packs)
    return CutPlan(
        stock.item,
        bars,
        answer.bound_mm,
        answer.bought_mm,
        cut_mm - laps_mm,
        laps_mm,
        proof,
        joints,
        findings,
        site_bars,
    )


def _gap(answer: Answer) -> str:
    if answer.missing_mm:
        return "the supply does not hold every piece"
    return f"at most {answer.bought_mm - answer.bound_mm} mm above the least that can be bought"


def _named(
    item: str, placed: Sequence[tuple[RunDemand, Way]], answer: Answer, site: tuple[SiteCut, ...]
) -> tuple[tuple[StockBar, ...], tuple[StockBar, ...]]:
    """The bars with the pieces of the runs in them, bought and from the site; pieces of one length go out in run order.

    Raises TakeoffError where bars and pieces do not match one to one.
    """
    waiting: dict[int, list[CutPiece]] = defaultdict(list)
    for run, way in placed:
        for number, (start, piece) in enumerate(zip(way.starts_mm, way.pieces_mm, strict=True), start=1):
            waiting[piece].append(CutPiece(f"{run.id}.{number}", run.id, start, piece, run.refs))
    for pieces in waiting.values():
        pieces.reverse()
    bars = []
    for number, bar in enumerate(answer.bars, start=1):
        bars.append(StockBar(item, number, bar.length_mm, tuple(waiting[piece].pop() for piece in bar.pieces_mm)))
    site_bars = []
    for number, cut in enumerate(site, start=1 + len(bars)):
        cut_pieces = tuple(waiting[piece].pop() for piece in cut.pieces_mm)
        site_bars.append(StockBar(item, number, cut.length_mm, cut_pieces, cut.mark))
    if sum(len(pieces) for pieces in waiting.values()) != len(answer.missing_mm):
        raise TakeoffError(f"{item}: pieces of the runs and pieces of the bars differ.")
    return tuple(bars), tuple(site_bars)


def _joints(placed: Sequence[tuple[RunDemand, Way]]) -> list[Joint]:
    beside = neighbours([run for run, _ in placed])
    joints = []
    for number, (run, way) in enumerate(placed):
        others = [placed[other] for other in beside[number]]
        for at in way.joints_mm:
            near = any(too_near(run, at, other, other_way.joints_mm) for other, other_way in others)
            joints.append(Joint(run.id, run.row, at, run.lap_mm, not near))
    return joints


def _too_long(run: RunDemand, sizes: Sequence[int], trim_mm: float) -> Finding:
    stops = (0.0, *sorted(run.splits_mm or ()), run.length_mm)
    stretch = max(b - a for a, b in pairwise(stops))
    longest = max(sizes, default=0)
    if run.splits_mm == ():
        why = "no joint is allowed in it"
    elif run.splits_mm is not None and stretch > longest:
        why = f"{stretch:.0f} mm of it have no allowed joint"
    else:
        why = f"no allowed joints give pieces of {run.least_mm:.0f} mm or more with laps of {run.lap_mm:.0f} mm"
    gives = f"stock that gives {longest} mm when its ends are docked" if trim_mm else f"stock of {longest} mm"
    return Finding(
        code="run-longer-than-stock",
        severity=Severity.STOP,
        text=f"{run.id}: {whole_mm(run.length_mm)} mm of {run.item} cannot be cut from {gives}: {why}.",
        advice="Name a longer stock length, or allow a joint.",
        refs=(run.id, *run.refs),
    )


def _short_supply(item: str, answer: Answer) -> Finding:
    left = ", ".join(f"{n} x {length} mm" for length, n in sorted(_tally(answer.missing_mm).items(), reverse=True))
    return Finding(
        code="stock-runs-out",
        severity=Severity.STOP,
        text=f"{item}: the stock at hand does not hold {left}.",
        advice="Raise the supply of a length or name another length.",
    )


def _tally(lengths: Iterable[int]) -> dict[int, int]:
    counts: dict[int, int] = defaultdict(int)
    for length in lengths:
        counts[length] += 1
    return dict(counts)
