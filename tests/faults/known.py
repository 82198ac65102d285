"""Which tests run which function, and which of them a fault is shown to."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import TypedDict

from draw import Drawn

ROOT = Path(__file__).resolve().parents[2]
_RECORD = "tests/golden/"
_MOST_TESTS = 500  # of those chosen, each with whatever its fixtures cost


class Rows(TypedDict):
    """Seconds of each test; [module, line of the function, tests that run it]; tests that fail without a fault."""

    seconds: dict[str, float]
    functions: list[list[object]]
    red: list[str]


@dataclass(slots=True)
class TestMap:
    """Seconds of each test, and the tests that run a function: (module, line of the function) -> tests. With line 0,
    the tests that run anything of the module."""

    __test__ = False  # no class of tests

    seconds: dict[str, float] = field(default_factory=dict)
    by_function: dict[tuple[str, int], set[str]] = field(default_factory=dict)

    def chosen(self, drawn: Drawn, budget_s: float) -> list[str]:
        """The tests that run the fault's function, as far as the budget goes: those of files that name its module for
        half of it, then the quickest, three at least of either. For what stands in no function, all that name it."""
        every = {test for test in self._run_by(drawn) if not test.startswith(_RECORD)}
        naming = self._that_name(drawn.module)
        named = self._quickest(budget_s / 2.0, 3, naming & every if drawn.fault.function_line else naming)
        return [*named, *(test for test in self._quickest(budget_s / 2.0, 3, every) if test not in named)]

    def rest(self, drawn: Drawn, shown: Iterable[str], budget_s: float) -> list[str]:
        """Whatever else runs it but the record, quickest first, as far as the budget goes."""
        other = {test for test in self._run_by(drawn) if not test.startswith(_RECORD)} - set(shown)
        return self._quickest(budget_s, 0, other, len(other))

    def record(self, drawn: Drawn, budget_s: float) -> list[str]:
        """Those of the record of the samples that run it, quickest first; one at least."""
        # every sample loads the whole package
        every = self._run_by(drawn) if drawn.fault.function_line else set(self.seconds)
        return self._quickest(budget_s, 1, {test for test in every if test.startswith(_RECORD)})

    def _run_by(self, drawn: Drawn) -> set[str]:
        return self.by_function.get((drawn.module, drawn.fault.function_line), set())

    def _that_name(self, module: str) -> set[str]:
        """Tests of the files that name a module: what it works out while it is loaded stands in no function."""
        *folders, name = Path(module).with_suffix("").parts
        package = ".".join(("takeoff", *folders))
        named = re.compile(
            rf"{re.escape(package)}\.{name}\b|from {re.escape(package)} import (?:\([^)]*|[^(\n]*)\b{name}\b"
        )
        files = {test.partition("::")[0] for test in self.seconds}
        naming = {file for file in files if named.search(_text_of(file))}
        return {test for test in self.seconds if test.partition("::")[0] in naming and not test.startswith(_RECORD)}

    def _quickest(self, budget_s: float, least: int, every: set[str], most: int = _MOST_TESTS) -> list[str]:
        found: list[str] = []
        spent = 0.0
        for test in sorted(every, key=lambda test: (self.seconds.get(test, 0.0), test)):
            spent += self.seconds.get(test, 0.0)
            if len(found) >= least and (spent > budget_s or len(found) == most):
                break
            found.append(test)
        return found


@cache
def _text_of(file: str) -> str:
    return (ROOT / file).read_text("utf-8") if (ROOT / file).exists() else ""


def read_rows(files: Iterable[Path], places: Mapping[int, tuple[str, int]]) -> Rows:
    """What a shared fixture calls counts for every test of its file: it is set up for the first of them only. A test
    that failed without a fault is left out, since it would fail with one as well."""
    seconds: dict[str, float] = {}
    shared: dict[str, set[int]] = {}
    own: dict[str, set[int]] = {}
    red: set[str] = set()
    for file in files:
        for line in file.read_text(encoding="utf-8").splitlines():
            row = json.loads(line)
            test = row["test"]
            if row["red"]:
                red.add(test)
            seconds[test] = seconds.get(test, 0.0) + row["seconds"]
            own.setdefault(test, set()).update(row["ran"])
            if row["phase"] == "setup":
                shared.setdefault(test.partition("::")[0], set()).update(row["ran"])
    tests: dict[int, set[str]] = {}
    for test in red:
        del seconds[test], own[test]
    for test, ran in own.items():
        for number in ran | shared.get(test.partition("::")[0], set()):
            tests.setdefault(number, set()).add(test)
    functions: list[list[object]] = [[*places[number], sorted(names)] for number, names in sorted(tests.items())]
    return {"seconds": seconds, "functions": functions, "red": sorted(red)}
