"""Table of the optimiser over seeded house lists and, where TAKEOFF_DATA names a folder, its cutting-stock instances.

    python tests/benchmarks/cut_stock.py [number of house lists]

Columns: lists, of them bought at the proven bound, within 0.5 % of it, the worst gap, and seconds of one processor (median,
p90, worst): the clock's own seconds where the machine has nothing else to do.
House lists are invented: up to 300 pieces of boards, purlins, battens or flashings from up to 12 stock lengths.
"""

from __future__ import annotations

import json
import os
import random
import statistics
import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from takeoff.order.cut_stock.problem import Answer, Stock
from takeoff.order.cut_stock.solve import cut_least

LADDER_MM = tuple(range(2400, 7201, 300))


def house_list(seed: int) -> tuple[dict[int, int], list[Stock], int]:
    """A seeded list of 30 to 300 pieces with stock and kerf [mm]: repeated, raked or free lengths."""
    draw = random.Random(seed)
    count = draw.randint(30, 300)
    stock = sorted(draw.sample(LADDER_MM, draw.randint(5, 12)))
    longest = stock[-1]
    shape = draw.choice(("repeated", "raked", "free"))
    if shape == "repeated":
        kinds = [draw.randint(400, longest) for _ in range(draw.randint(13, 30))]
        lengths = [draw.choice(kinds) for _ in range(count)]
    elif shape == "raked":
        step, first = draw.randint(60, 400), draw.randint(300, 900)
        lengths = [first + step * (n % max(2, (longest - first) // step)) for n in range(count)]
    else:
        kinds = [draw.randint(250, longest) for _ in range(draw.randint(31, 91))]
        lengths = [draw.choice(kinds) for _ in range(count)]
    return dict(Counter(lengths)), [Stock(length) for length in stock], 3


def instances(folder: Path) -> Iterator[tuple[str, int, dict[int, int], int]]:
    """Name, stock length [mm], pieces and known least number of bars of each published instance."""
    with (folder / "cutting_stock.jsonl").open(encoding="utf-8") as lines:
        for line in lines:
            entry = json.loads(line)
            yield entry["name"], entry["stock_length"], dict(entry["pieces"]), entry["optimum_bars"]


def row(name: str, answers: list[Answer], seconds: list[float]) -> str:
    """One line of the table."""
    gaps = [(a.bought_mm - a.bound_mm) / a.bound_mm for a in answers]
    ranked = sorted(seconds)
    return (
        f"{name:<12} {len(answers):>5} {sum(a.proven for a in answers):>9} {sum(g <= 0.005 for g in gaps):>12} "
        f"{max(gaps):>9.3%} {statistics.median(ranked):>8.3f} {ranked[int(0.9 * (len(ranked) - 1))]:>7.3f} {ranked[-1]:>7.3f}"
    )


def main() -> None:
    """Print the table."""
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    print(
        f"{'lists':<12} {'count':>5} {'at bound':>9} {'within 0.5 %':>12} {'worst':>9} {'median':>8} {'p90':>7} {'max':>7}"
    )
    answers, seconds = [], []
    for seed in range(number):
        pieces, stock, kerf = house_list(seed)
        start = time.process_time()
        answers.append(cut_least(pieces, stock, kerf))
        seconds.append(time.process_time() - start)
    print(row("house", answers, seconds))
    print("   bars", sum(len(a.bars) for a in answers), "bought", sum(a.bought_mm for a in answers))
    methods = Counter(answer.method for answer in answers)
    print("   found by", ", ".join(f"{name} {n}" for name, n in sorted(methods.items())))
    folder = os.environ.get("TAKEOFF_DATA")
    if folder:
        answers, seconds, known = [], [], 0
        for _, length, pieces, optimum in instances(Path(folder)):
            start = time.process_time()
            answers.append(cut_least(pieces, [Stock(length)]))
            seconds.append(time.process_time() - start)
            known += len(answers[-1].bars) == optimum
        print(row("published", answers, seconds))
        print(f"   known optimum reached by {known} of {len(answers)}")


if __name__ == "__main__":
    main()
