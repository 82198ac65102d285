"""The planting of faults itself: what is found in a text, what is drawn, and that the list of equivalent ones is true."""

from __future__ import annotations

import ast
import json
import sys
from pathlib import Path

import pytest

import takeoff

sys.path.insert(0, str(Path(__file__).parent))

from draw import Drawn, draw, listed, modules, room_of, shares
from known import TestMap, read_rows
from run import BrokenSuiteError, refuse_broken, run_tests
from sites import faults_in
from touched import numbered

TEXT = '''"""A module. 1 + 1 in a docstring is no site."""

LIMIT: float = 2.5


def f(a: int, b: int = 3) -> str:
    """Half of it."""
    if a < b and b:
        a += 2
    return f"{a - 1}" + g(a, b) + str(-a * b)  # an é before what follows
'''


@pytest.fixture(scope="module")
def texts() -> dict[str, str]:
    return modules(Path(takeoff.__file__).parent)


def test_each_kind_of_fault_is_found_where_it_stands() -> None:
    found = {(f.function, f.kind, f.before, f.after) for f in faults_in(TEXT)}
    assert found == {
        ("", "doubled", "2.5", "5.0"),
        ("f", "one off", "3", "4"),
        ("f", "limit", "a < b", "a <= b"),
        ("f", "dropped", "a < b and b", "a < b"),
        ("f", "sign", "a += 2", "a -= 2"),
        ("f", "one off", "2", "1"),
        ("f", "sign", "f'{a - 1}' + g(a, b) + str(-a * b)", "f'{a - 1}' + g(a, b) - str(-a * b)"),
        ("f", "dropped", "f'{a - 1}' + g(a, b) + str(-a * b)", "f'{a - 1}' + g(a, b)"),
        ("f", "swapped", "g(a, b)", "g(b, a)"),
        ("f", "doubled", "-a * b", "2 * (-a * b)"),
        ("f", "dropped", "-a * b", "-a"),
        ("f", "sign", "-a", "a"),
    }


def test_a_planted_text_differs_by_that_fault_alone() -> None:
    whole = ast.dump(ast.parse(TEXT))
    for fault in faults_in(TEXT):
        planted = fault.planted(TEXT)
        assert ast.dump(ast.parse(planted)) != whole
        assert planted.count("\n") == TEXT.count("\n")
        assert planted.endswith("# an é before what follows\n")


def test_brackets_keep_what_was_bound() -> None:
    (fault,) = (f for f in faults_in("x = a * (b + c)\n") if f.kind == "sign")
    assert eval(fault.planted("x = a * (b + c)\n").partition("=")[2], {"a": 2, "b": 5, "c": 3}) == 4


def test_rooms_and_shares() -> None:
    assert [
        room_of(name) for name in ("cli.py", "write/drawings/dxf.py", "measure/roofing/a/b.py", "measure/c.py")
    ] == [
        "front",
        "write",
        "measure/roofing",
        "measure",
    ]
    assert shares({"a": 700, "b": 200, "c": 100}, 10) == {"a": 7, "b": 2, "c": 1}
    assert shares({"a": 1, "b": 1, "c": 1}, 2) == {"a": 1, "b": 1, "c": 0}


def test_a_seed_draws_the_same_faults_in_every_room(texts: dict[str, str]) -> None:
    some = {module: text for module, text in texts.items() if room_of(module) in ("basics", "order", "front")}
    drawn, _ = draw(some, 7, 60)
    assert len({each.key for each in drawn}) == 60
    assert {each.room for each in drawn} == {"basics", "order", "front"}
    assert [each.key for each in drawn] == [each.key for each in draw(some, 7, 60)[0]]
    assert {each.key for each in drawn} != {each.key for each in draw(some, 8, 60)[0]}


def test_what_is_listed_as_equivalent_stands_in_the_package_with_a_reason(texts: dict[str, str]) -> None:
    same, not_run = listed()
    keys = {
        (Path(module).stem, f.function, f.kind, f.before, f.after, f.nth)
        for module, text in texts.items()
        if Path(module).stem in {key[0] for key in same}
        for f in faults_in(text)
    }
    assert sorted(set(same) - keys) == []
    assert all(len(why) > 15 for why in (*same.values(), *not_run.values()))


def test_a_numbered_copy_says_each_function_that_is_called() -> None:
    text, lines = numbered(TEXT, 40)
    assert lines == {40: 6}
    body = ast.parse(text).body
    assert ast.unparse(body[1]) == "import touched as _touched"
    function = next(node for node in body if isinstance(node, ast.FunctionDef))
    assert ast.unparse(function.body[1]) == "_touched.touch(40)"


def _suite(folder: Path, text: str) -> Path:
    (folder / "tests").mkdir(parents=True)
    (folder / "rows").mkdir()
    (folder / "tests" / "test_made_up.py").write_text(text, encoding="utf-8")
    for plugin in ("touched.py", "touched_by.py"):
        (folder / plugin).write_text(Path(__file__).with_name(plugin).read_text(encoding="utf-8"), encoding="utf-8")
    return folder


def _mapped(folder: Path, *more: str) -> None:
    """The run that finds out which test runs what, as far as its judgement."""
    rows = folder / "rows"
    arguments = ["-p", "touched_by", "--maxfail=1000", *more, "tests"]
    plain = {"PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}  # starts quicker
    code, said = run_tests(folder, arguments, 60.0, {"TAKEOFF_TOUCHED": str(rows), **plain})
    refuse_broken(code, said, read_rows(rows.glob("*.jsonl"), {}))


GREEN = "def test_green():\n    pass\n"
RED = "def test_red():\n    assert 1 + 1 == 3\n"


def test_a_suite_that_runs_is_taken(tmp_path: Path) -> None:
    _mapped(_suite(tmp_path / "made", GREEN))


@pytest.mark.parametrize(
    ("text", "more", "words"),
    [
        (GREEN, ["-p", "no_such_plugin"], "0 passed and 0 failed"),  # breaks before it collects
        ("VALUE = 1\n", [], "ended with exit code 5, 0 passed"),  # finds no test
        (f"import no_such_module\n{GREEN}", [], "0 passed"),
        (RED + GREEN, [], r"1 passed and 1 failed\ntests/test_made_up.py::test_red"),
    ],
)
def test_a_suite_that_cannot_judge_is_refused(tmp_path: Path, text: str, more: list[str], words: str) -> None:
    with pytest.raises(BrokenSuiteError, match=words):
        _mapped(_suite(tmp_path / "made", text), *more)


def test_what_fails_without_a_fault_does_not_judge(tmp_path: Path) -> None:
    """Ten tests call function 1 and one of them is red, in its setting up."""
    rows = [{"test": f"t.py::{i}", "phase": "call", "seconds": 1.0, "red": False, "ran": [1]} for i in range(10)]
    rows.append({"test": "t.py::9", "phase": "setup", "seconds": 1.0, "red": True, "ran": []})
    file = tmp_path / "1.jsonl"
    file.write_text("\n".join(map(json.dumps, rows)), encoding="utf-8")
    found = read_rows([file], {1: ("a.py", 3)})
    assert found["red"] == ["t.py::9"]
    assert found["functions"] == [["a.py", 3, [f"t.py::{i}" for i in range(9)]]]
    assert set(found["seconds"]) == {f"t.py::{i}" for i in range(9)}
    refuse_broken(1, "", found)


def test_what_stands_in_no_function_is_shown_to_tests_that_name_its_module() -> None:
    """The figure at the head of a module is worked out while it is loaded, when no function runs."""
    room = "tests/faults/test_faults.py"  # it names takeoff.basics.nearest here, and calls nothing of it
    known = TestMap({f"{room}::test_a": 1.0, f"{room}::test_b": 2.0, "tests/golden/test_samples.py::test_c": 3.0})
    fault = faults_in("LIMIT = 2.5\n")[0]
    drawn = Drawn("basics", "basics/nearest.py", fault)
    assert known.chosen(drawn, 20.0) == [f"{room}::test_a", f"{room}::test_b"]
    assert known.record(drawn, 20.0) == ["tests/golden/test_samples.py::test_c"]
    assert known.chosen(Drawn("basics", "basics/ne.py", fault), 20.0) == []
    inside = faults_in("def f() -> float:\n    return 2.5\n")[0]
    assert known.chosen(Drawn("basics", "basics/nearest.py", inside), 20.0) == []


def test_what_stands_in_a_function_is_shown_to_those_that_name_its_module_then_the_quickest_then_the_rest() -> None:
    room = "tests/faults/test_faults.py"  # it names takeoff.basics.nearest here
    seconds = {f"{room}::test_a": 3.0, "tests/b.py::test_b": 1.0, "tests/c.py::test_c": 2.0, "tests/d.py::test_d": 4.0}
    slow = {"tests/e.py::test_e": 50.0, "tests/f.py::test_f": 60.0, "tests/golden/g.py::test_g": 1.0}
    inside = faults_in("def f() -> float:\n    return 2.5\n")[0]
    known = TestMap(seconds | slow, {("basics/nearest.py", 1): {*seconds, *slow}})
    drawn = Drawn("basics", "basics/nearest.py", inside)
    chosen = known.chosen(drawn, 2.0)  # three at least of the quickest
    assert chosen == [f"{room}::test_a", "tests/b.py::test_b", "tests/c.py::test_c"]
    assert known.record(drawn, 20.0) == ["tests/golden/g.py::test_g"]
    assert known.rest(drawn, chosen, 100.0) == ["tests/d.py::test_d", "tests/e.py::test_e"]
    assert known.rest(drawn, chosen, 120.0) == ["tests/d.py::test_d", "tests/e.py::test_e", "tests/f.py::test_f"]
