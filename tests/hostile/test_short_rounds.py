"""A short seeded round of every kind, the checks seen to find a planted fault, and every finding kept in `found`."""

from __future__ import annotations

import importlib
import json
import random
import time
from pathlib import Path

import pytest
from rounds import houses, jobs
from rounds.house_checks import faults_of, sheet_items
from rounds.outcome import MOST_SECONDS, take_off

from takeoff.write.data.result_json import result_json

HERE = Path(__file__).resolve().parent
FOUND = sorted(path.parent for path in (HERE / "found").glob("*/finding.json"))


@pytest.mark.parametrize(
    ("kind", "count"),
    [
        ("jobs", 40),
        ("houses", 6),
        ("roofs", 40),
        ("lists", 120),
        ("office", 60),
        ("rain", 60),
        ("meshes", 8),
        ("models", 24),
        ("drawings", 4),
        ("maps", 25),
        ("writing", 2),
    ],
)
def test_a_short_round(kind: str, count: int, tmp_path: Path) -> None:
    case = importlib.import_module(f"rounds.{kind}").case
    wrong = []
    for number in range(count):
        folder = tmp_path / str(number)
        folder.mkdir()
        outcome = case(random.Random(f"{kind} 7 {number}"), folder)
        if outcome.wrong:
            wrong.append(f"case {number}: {outcome.wrong}")
    assert wrong == []


def test_the_checks_find_what_is_planted() -> None:
    job, outline = houses.house(random.Random(5))
    data = json.loads(result_json(take_off(json.dumps(job), Path())))
    assert faults_of(data, outline) == []
    plants = {
        "area": lambda d: d["roofs"][0]["planes"][0].update(area_mm2=d["roofs"][0]["planes"][0]["area_mm2"] * 1.01),
        "outline": lambda d: d["roofs"][0]["planes"].pop(),
        "an end lies": lambda d: d["roofs"][0]["edges"][0]["a_mm"].__setitem__(2, 9e3),
        "cut 0 times": lambda d: d["order"]["blanks"].pop(),
        "on the order": lambda d: next(line for line in d["order"]["lines"] if line["item"] in sheet_items(d)).update(
            count=99
        ),
        "mm cut from": lambda d: d["order"]["plans"][0]["bars"][0].update(stock_mm=10),
        "not covered": lambda d: d["roofing"]["sheets"][0]["pieces"].__delitem__(slice(2, None)),
        "bought": lambda d: d["roofing"]["sheets"][0]["pieces"][0].update(order_mm=1),
    }
    for words, plant in plants.items():
        broken = json.loads(json.dumps(data))
        plant(broken)
        assert any(words in fault for fault in faults_of(broken, outline)), words


def test_what_was_found_once(tmp_path: Path) -> None:
    assert {folder.name: wrong for folder in FOUND if (wrong := again(folder, tmp_path / folder.name))} == {}


def again(folder: Path, scratch: Path) -> str:
    """What is wrong with a case that was a finding once, "" now that it is none."""
    begin = time.process_time()
    wrong = outcome_again(folder, scratch)
    took = time.process_time() - begin
    return wrong or (f"took {took:.1f} s" if took > MOST_SECONDS else "")


def outcome_again(folder: Path, scratch: Path) -> str:
    """As `again`, whatever it costs."""
    facts = json.loads((folder / "finding.json").read_text(encoding="utf-8"))
    if facts["kind"] in ("jobs", "houses"):
        text = (folder / "job.yaml").read_text(encoding="utf-8", errors="surrogatepass")
        return jobs.run_case(text, folder).wrong if facts["kind"] == "jobs" else houses.run_case(text).wrong
    scratch.mkdir()
    case = importlib.import_module(f"rounds.{facts['kind']}").case
    return str(case(random.Random(f"{facts['kind']} {facts['seed']} {facts['number']}"), scratch).wrong)
