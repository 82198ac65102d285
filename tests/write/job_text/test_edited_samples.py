"""Edits of every value of every sample, and of files with very many entries: what was not asked for stays."""

from __future__ import annotations

import copy
import difflib
from collections.abc import Iterator
from pathlib import Path
from time import process_time
from typing import Any

import pytest

from takeoff.model.job_edits import GONE, Edit
from takeoff.read.job.yaml_tree import read_yaml
from takeoff.write.job_text.edits import edited_text

SAMPLES = sorted(Path("geometry_samples").glob("*/job.yaml"))


def differing(old: str, new: str) -> tuple[list[str], list[str]]:
    """Lines that are only in the old and only in the new text."""
    lines = list(difflib.ndiff(old.splitlines(), new.splitlines()))
    return [line[2:] for line in lines if line[0] == "-"], [line[2:] for line in lines if line[0] == "+"]


def paths(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    """Every path with what stands there."""
    yield path, value
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, one in inside:
        yield from paths(one, (*path, step))


def other(value: Any) -> Any:
    """Another value of the same kind."""
    if isinstance(value, bool):
        return not value
    return value + 7 if isinstance(value, int | float) else f"{value} x"


@pytest.mark.parametrize("path", SAMPLES, ids=[path.parent.name for path in SAMPLES])
def test_one_line_differs_for_every_value_of_every_sample(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    for where, value in paths(read_yaml(text).value):
        if isinstance(value, dict | list):
            continue
        made = edited_text(text, [Edit(where, other(value))])
        gone, come = differing(text, made)
        assert (len(gone), len(come)) == (1, 1), where
        assert gone[0].partition("#")[2] == come[0].partition("#")[2]
        assert edited_text(made, [Edit(where, value)]) == text


@pytest.mark.parametrize("path", SAMPLES, ids=[path.parent.name for path in SAMPLES])
def test_a_key_put_in_and_taken_out_of_every_map_leaves_the_text(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    for where, value in paths(read_yaml(text).value):
        if isinstance(value, dict):
            made = edited_text(text, [Edit((*where, "zz_new"), "word")])
            gone, come = differing(text, made)
            assert (len(gone), len(come)) in ((0, 1), (1, 1)), where
            assert edited_text(made, [Edit((*where, "zz_new"), GONE)]) == text
        elif isinstance(value, list):
            made = edited_text(text, [Edit((*where, len(value)), copy.deepcopy(value[-1]))])
            assert edited_text(made, [Edit((*where, len(value)), GONE)]) == text


def test_a_small_change_of_a_huge_file_is_quick() -> None:
    """Four thousand openings, one moved: read twice, not once an entry."""
    row = "    - {wall: 1, name: W1, from_left_mm: 1500, sill_mm: 900, width_mm: 1800, height_mm: 1200}\n"
    text = "job: many\nwalls:\n  openings:\n" + row * 4000
    began = process_time()
    made = edited_text(text, [Edit(("walls", "openings", 2500, "sill_mm"), 905)])
    assert differing_count(text, made) == 1
    assert process_time() - began < 20


def differing_count(old: str, new: str) -> int:
    return sum(a != b for a, b in zip(old.splitlines(), new.splitlines(), strict=True))


def test_more_changes_than_are_worth_it_write_that_list_anew_and_no_more() -> None:
    row = "    - {wall: 1, name: 'W1'}   # as drawn\n"
    text = "job: many\nwalls:   # all\n  openings:\n" + row * 200 + "  height_mm: 2450   # frame\n"
    made = edited_text(text, [Edit(("walls", "openings"), [{"wall": 2, "name": "W9"}])])
    assert made == "job: many\nwalls:   # all\n  openings:\n    - {wall: 2, name: W9}\n  height_mm: 2450   # frame\n"


def test_many_entries_at_once_keep_their_comments() -> None:
    text = "a:\n" + "".join(f"  - {{wall: {n}, x: 1, y: 2}}   # {n}\n" for n in range(60))
    made = edited_text(text, [Edit(("a",), [{"wall": n + 1, "x": 1, "z": 3} for n in range(60)])])
    assert made == "a:\n" + "".join(f"  - {{wall: {n + 1}, x: 1, z: 3}}   # {n}\n" for n in range(60))
