"""Fewest different lengths: an order of one or two stock lengths is quicker to load, to stack and to pick from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import combinations
from math import comb

from takeoff.order.cut_stock.bounds import material_bound
from takeoff.order.cut_stock.problem import Answer, Problem, Stock, make_problem
from takeoff.order.cut_stock.solve import cut_problem

# choices of lengths of one size that are looked at; with more than this the longest lengths are taken first
CHOICES = 60


def cut_fewest(pieces_mm: Mapping[int, int], stock: Iterable[Stock], kerf_mm: int = 0, trim_mm: int = 0) -> Answer:
    """Cut pieces {length_mm: count} from as few different stock lengths as can be; then as `cut_least` among those.

    The bound is that of the fewest lengths [mm]: the least over all choices of that many. One unlimited length as long
    as the longest piece always serves; more lengths are needed only when supplies run out.
    Raises JobError for impossible input (see `make_problem`).
    """
    problem = make_problem(pieces_mm, stock, kerf_mm, trim_mm)
    if not problem.count:
        return Answer((), 0, (), "greedy")
    numbers = range(len(problem.stock_mm))
    for size in range(1, len(problem.stock_mm) + 1):
        if comb(len(numbers), size) > CHOICES:
            break
        best = _best_of([part for chosen in combinations(numbers, size) if (part := _part(problem, chosen))])
        if best is not None:
            return best
    return cut_problem(problem)


def cut_few(pieces_mm: Mapping[int, int], stock: Iterable[Stock], kerf_mm: int, trim_mm: int, most: int) -> Answer:
    """Cut pieces {length_mm: count} from at most `most` different stock lengths, as little bought as was found.

    From the plan of least length the stock length whose loss costs least is dropped, one after another; the bound is
    that of the lengths left [mm]. Where supplies leave pieces over, more lengths are used. Raises JobError as
    `make_problem`.
    """
    problem = make_problem(pieces_mm, stock, kerf_mm, trim_mm)
    answer = cut_problem(problem)
    while problem.count and len(used := sorted({bar.length_mm for bar in answer.bars})) > most:
        kept = tuple(s for s, length in enumerate(problem.stock_mm) if length in used)
        fewer = [tuple(s for s in kept if s != gone) for gone in kept]
        best = _best_of([part for chosen in fewer if chosen and (part := _part(problem, chosen))])
        if best is None:
            return answer
        answer = best
    return answer


def _part(problem: Problem, chosen: tuple[int, ...]) -> Problem | None:
    """The problem with only the chosen stock lengths; None where they cannot hold the longest piece or the total."""
    lengths = tuple(problem.stock_mm[s] for s in chosen)
    supplies = tuple(problem.supplies[s] for s in chosen)
    rooms = tuple(problem.rooms[s] for s in chosen)
    room = sum(each * n for each, n in zip(rooms, supplies, strict=True))
    need = sum(width * n for width, n in zip(problem.widths, problem.demands, strict=True))
    if problem.widths[0] > rooms[0] or need > room:
        return None
    limited = tuple(problem.limited[s] for s in chosen)
    return Problem(problem.lengths_mm, problem.demands, lengths, supplies, limited, problem.kerf_mm, problem.trim_mm)


def _best_of(parts: list[Problem]) -> Answer | None:
    """The least bought complete plan; parts whose material alone is more than a plan already found are passed over."""
    best: Answer | None = None
    ranked = sorted((material_bound(part), number) for number, part in enumerate(parts))
    bounds: list[int] = []
    for least, number in ranked:
        if best is not None and least > best.bought_mm:
            break
        answer = cut_problem(parts[number])
        bounds.append(answer.bound_mm)
        if not answer.missing_mm and (best is None or _key(answer) < _key(best)):
            best = answer
    if best is None:
        return None
    return Answer(best.bars, min([*bounds, best.bought_mm]), (), best.method)


def _key(answer: Answer) -> tuple[int, int]:
    return answer.bought_mm, len(answer.bars)
