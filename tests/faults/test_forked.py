"""Faults shown in a fork of a process that has the tests loaded: a made-up package of one module, and its tests."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from forked import NOT_HERE, SEEN, UNSEEN, Loaded

MODULE = '''from functools import cache

FOOT = 3


class Shed:
    """A shed."""

    def __init__(self, wide: int) -> None:
        self.wide = wide

    @property
    def area(self) -> int:
        return self.wide * FOOT + 0 * self.wide


@cache
def doubled(length: int, times: int = 2) -> int:
    return length * times


HEAD = doubled(4)
'''
TESTS = """from takeoff.sheds import Shed, doubled


def test_area():
    assert Shed(4).area == 12


def test_doubled():
    assert doubled(4) == 8


def test_red_without_a_fault():
    assert Shed(4).area == 13
"""
FILE = "tests/test_sheds.py"


@pytest.fixture(scope="module")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Loaded]:
    folder = tmp_path_factory.mktemp("made_up")
    (folder / "takeoff").mkdir()
    (folder / "tests").mkdir()
    (folder / "takeoff" / "__init__.py").write_text("", encoding="utf-8")
    (folder / "takeoff" / "sheds.py").write_text(MODULE, encoding="utf-8")
    (folder / FILE).write_text(TESTS, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PYTEST_DISABLE_PLUGIN_AUTOLOAD", "1")  # starts quicker
        process = Loaded(folder)
    yield process
    process.close()


def test_a_process_may_load_some_files_alone(tmp_path: Path) -> None:
    (tmp_path / "tests").mkdir()
    (tmp_path / "takeoff").mkdir()
    (tmp_path / "takeoff" / "__init__.py").write_text("", encoding="utf-8")
    (tmp_path / "takeoff" / "sheds.py").write_text(MODULE, encoding="utf-8")
    (tmp_path / "tests" / "test_broken.py").write_text("import no_such_module", encoding="utf-8")
    (tmp_path / FILE).write_text(TESTS, encoding="utf-8")
    process = Loaded(tmp_path, [FILE])
    answer = process.shown("sheds.py", MODULE.replace("self.wide * FOOT", "self.wide + FOOT"), [FILE], 1.0)
    process.close()
    assert answer == {"word": SEEN, "by": f"{FILE}::test_area"}


@pytest.mark.parametrize(
    ("before", "after", "tests", "word", "by"),
    [
        ("self.wide * FOOT", "self.wide + FOOT", ["test_area"], SEEN, "test_area"),  # in a property
        (
            "length * times",
            "length + times + 1",
            ["test_doubled"],
            SEEN,
            "test_doubled",
        ),  # remembered since it was loaded
        ("length * times", "length + times + 1", ["test_area", "test_doubled"], SEEN, "test_doubled"),
        ("0 * self.wide", "0 - 0", ["test_area", "test_doubled"], UNSEEN, ""),
        ("0 * self.wide", "0 - 0", ["test_area", "test_red_without_a_fault"], UNSEEN, ""),  # it sees nothing
        ("self.wide * FOOT", "self.wide + FOOT", ["test_red_without_a_fault"], NOT_HERE, ""),  # none is left to judge
        ("FOOT = 3", "FOOT = 4", ["test_area"], NOT_HERE, ""),
        ("times: int = 2", "times: int = 3", ["test_doubled"], NOT_HERE, ""),
        ("self.wide * FOOT", "self.wide + FOOT", ["no_such_test"], NOT_HERE, ""),
    ],
)
def test_a_fault_is_seen_by_the_tests_that_see_it(
    loaded: Loaded, before: str, after: str, tests: list[str], word: str, by: str
) -> None:
    answer = loaded.shown("sheds.py", MODULE.replace(before, after), [f"{FILE}::{test}" for test in tests], 1.0)
    assert answer == {"word": word, "by": f"{FILE}::{by}" if by else ""}


def test_a_file_stands_for_its_tests(loaded: Loaded) -> None:
    answer = loaded.shown("sheds.py", MODULE.replace("self.wide * FOOT", "self.wide + FOOT"), [FILE], 1.0)
    assert answer == {"word": SEEN, "by": f"{FILE}::test_area"}


def test_a_process_that_has_ended_says_that_it_cannot(tmp_path: Path) -> None:
    (tmp_path / "tests").mkdir()
    process = Loaded(tmp_path)
    process.close()
    assert process.shown("sheds.py", MODULE, [FILE], 1.0) == {"word": NOT_HERE, "by": ""}
