"""The planting of faults itself: what is found in a text, what is drawn, and that the list of equivalent ones is true."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest

import takeoff

sys.path.insert(0, str(Path(__file__).parent))

from draw import draw, listed, modules, room_of, shares
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
