"""Solve a file of one-length cutting-stock instances, one JSON object a line.

    python tests/crosschecks/cutting_stock_jsonl.py IN OUT

IN: {"name", "stock_length", "pieces": [[length, demand], ...]} a line, further keys are passed over; no kerf.
OUT: {"name", "bars", "bound", "seconds"} a line: bars used, proven lower bound in bars, time taken.
Every bar list has been counted again in whole numbers before its line is written.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

from takeoff.order.cut_stock.problem import Stock
from takeoff.order.cut_stock.solve import cut_least


def solved(line: str) -> dict[str, object]:
    """The result of one instance. Raises ValueError for bars that do not hold the pieces."""
    entry = json.loads(line)
    length = int(entry["stock_length"])
    pieces: dict[int, int] = {}
    for size, demand in entry["pieces"]:
        pieces[int(size)] = pieces.get(int(size), 0) + int(demand)
    start = time.perf_counter()
    answer = cut_least(pieces, [Stock(length)])
    seconds = time.perf_counter() - start
    cut = sorted(piece for bar in answer.bars for piece in bar.pieces_mm)
    if cut != sorted(size for size, demand in pieces.items() for _ in range(demand)):
        raise ValueError(f"{entry['name']}: the bars do not hold every piece once")
    if any(sum(bar.pieces_mm) > length for bar in answer.bars):
        raise ValueError(f"{entry['name']}: a bar holds more than its length")
    bound = -(-answer.bound_mm // length)
    return {"name": entry["name"], "bars": len(answer.bars), "bound": bound, "seconds": round(seconds, 3)}


def main(arguments: list[str]) -> int:
    """0 done, 2 usage."""
    if len(arguments) != 2:
        print(__doc__, file=sys.stderr)
        return 2
    source, target = Path(arguments[0]), Path(arguments[1])
    with source.open(encoding="utf-8") as lines, target.open("w", encoding="utf-8") as out:
        for line in lines:
            if line.strip():
                out.write(json.dumps(solved(line)) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
