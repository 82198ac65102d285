"""Published instances with a proven optimum: OR-Library bin packing (Falkenauer, 1996) and others named in the file.

The file is read from the folder named by TAKEOFF_DATA; without it these tests are skipped.
"""

from __future__ import annotations

import json
import os
import runpy
from pathlib import Path

import pytest

from takeoff.order.cut_stock.columns import generate
from takeoff.order.cut_stock.master import LinearMaster
from takeoff.order.cut_stock.problem import Stock, make_problem

FOLDER = os.environ.get("TAKEOFF_DATA", "")
FILE = Path(FOLDER) / "cutting_stock.jsonl"
SCRIPT = Path(__file__).parents[1] / "crosschecks" / "cutting_stock_jsonl.py"
QUICK = (
    "falkenauer_u120_00",
    "falkenauer_u250_08",
    "falkenauer_u500_02",
    "falkenauer_t120_00",
    "own_perfect_05",
    "own_perfect_29",
    "own_board_15",
    "PM_u060_06",
    "textbook_paper_roll_5600",
    "textbook_chvatal_100",
)

pytestmark = pytest.mark.skipif(not FOLDER or not FILE.is_file(), reason="TAKEOFF_DATA names no folder with instances")


def _results(tmp_path: Path, names: tuple[str, ...]) -> list[tuple[dict, dict]]:
    """Instance and result, through the script that solves a file."""
    entries = [json.loads(line) for line in FILE.read_text(encoding="utf-8").splitlines()]
    chosen = [entry for entry in entries if not names or entry["name"] in names]
    source, target = tmp_path / "in.jsonl", tmp_path / "out.jsonl"
    source.write_text("".join(json.dumps(entry) + "\n" for entry in chosen), encoding="utf-8")
    assert runpy.run_path(str(SCRIPT))["main"]([str(source), str(target)]) == 0
    results = [json.loads(line) for line in target.read_text(encoding="utf-8").splitlines()]
    assert [result["name"] for result in results] == [entry["name"] for entry in chosen]
    return list(zip(chosen, results, strict=True))


def test_known_optima_are_reached_on_a_few_of_each_kind(tmp_path):
    pairs = _results(tmp_path, QUICK)
    assert len(pairs) == len(QUICK)
    for entry, result in pairs:
        assert result["bars"] == entry["optimum_bars"], entry["name"]
        assert result["bound"] <= entry["optimum_bars"], entry["name"]


def test_the_linear_bound_of_the_textbook_rolls_is_its_published_value():
    # Chvatal, Linear Programming (1983), chapter 13: 452.25 rolls of 100
    entries = [json.loads(line) for line in FILE.read_text(encoding="utf-8").splitlines()]
    entry = next(entry for entry in entries if entry["name"] == "textbook_chvatal_100")
    problem = make_problem(dict(entry["pieces"]), [Stock(entry["stock_length"])], 0)
    relaxed = generate(LinearMaster(problem), problem.demands, problem.supplies, 100)
    assert float(relaxed.bound_mm) == pytest.approx(45225.0, abs=0.01)


@pytest.mark.long
def test_known_optima_are_reached_on_nearly_all_within_ten_seconds_each(tmp_path):
    pairs = _results(tmp_path, ())
    reached = sum(result["bars"] == entry["optimum_bars"] for entry, result in pairs)
    assert reached >= 0.95 * len(pairs)
    for entry, result in pairs:
        assert result["bound"] <= entry["optimum_bars"] <= result["bars"] <= entry["ffd_bars"], entry["name"]
        assert result["seconds"] < 10.0, entry["name"]
