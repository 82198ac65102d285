"""A fault of any stage names file, line and column: the place in the text that a person goes to."""

from __future__ import annotations

from pathlib import Path

import pytest

from takeoff.basics.errors import Fault, JobError, ShapeError, faults_at
from takeoff.pipeline import run_file
from takeoff.read.job.fault_places import placed_faults

TWO = """\
job: Two roofs
roofs:
  - name: house
    outline: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]]
    pitch_deg: 25
  - name: shed
    outline:
      - [0, -9000]
      - [4000, -9000]
      - [4000, -5000]
      - [0, -5000]
    pitch_deg: 20
    edges:
      3: {kind: gable}
"""
PIPE = "{kind: pipe, diameter_mm: 80, at: "
WALLS = """\
job: Two roofs
walls:
  height_mm: 2400
  elevations:
    - {name: north, width_mm: 5000, height_mm: 2400}
  zones: [{board: bevel_187}]
  openings:
    - {wall: 1, from_left_mm: 4500, sill_mm: 900, width_mm: 1200, height_mm: 900}
"""
BY_HAND = {
    # what is changed in TWO: (where it is to be seen, words of the fault)
    "bow": (
        "      - [4000, -5000]\n      - [0, -5000]\n",
        "      - [0, -5000]\n      - [4000, -5000]\n",
        "9:9",
        "edges 2 and 4 cross",
    ),
    "twice": ("      - [4000, -9000]\n", "      - [4000, -9000]\n      - [4000, -9000]\n", "9:9", "has no length"),
    "hole in the air": (
        "    edges:\n",
        f"    penetrations:\n      - {PIPE}[2000, -7000]}}\n      - {PIPE}[50000, 0]}}\n    edges:\n",
        "15:9",
        "lies on no plane",
    ),
    "opening beyond its wall": (
        "job: Two roofs\n",
        WALLS,
        "8:7",
        "past the right end",
    ),
}


@pytest.mark.parametrize("case", sorted(BY_HAND))
def test_a_fault_of_a_later_stage_stands_at_its_line(case: str, tmp_path: Path) -> None:
    old, new, place, words = BY_HAND[case]
    assert TWO.count(old) == 1
    (tmp_path / "job.yaml").write_text(TWO.replace(old, new), encoding="utf-8")
    with pytest.raises((JobError, ShapeError)) as fault:
        run_file(tmp_path)
    found = [text for text in fault.value.faults if words in text]
    assert found, fault.value.faults
    assert found[0].startswith(f"job.yaml:{place}: "), found
    assert all(text.startswith("job.yaml:") for text in fault.value.faults)


def test_a_fault_that_says_no_place_names_the_file() -> None:
    assert placed_faults(("nothing closes",), TWO, "job.yaml") == ("job.yaml: nothing closes",)


@pytest.mark.parametrize(
    ("fault", "place"),
    [
        ("roofs[2].edges[3]: text", "14:10"),  # edges are named by their number, lists count from 1
        ("roofs[2].covering.profile: text", "6:5"),  # not in the file: the roof that it lacks in
        ("roof shed: text", ""),
        ("Edges 1 and 2: text", ""),
        (Fault("text", "roofs", "shed", "edge", 2), "9:9"),
        (Fault("text", "roofs", "house", "edge", 4), "4:48"),
        (Fault("text", "roofs", "shed", "pitch_deg"), "12:16"),
    ],
)
def test_addresses_and_paths(fault: str, place: str) -> None:
    due = f"job.yaml:{place}: {fault}" if place else f"job.yaml: {fault}"
    assert placed_faults((fault,), TWO, "job.yaml") == (due,)


def test_an_edge_of_a_courtyard_is_counted_on() -> None:
    text = "job: A\nroofs:\n  - outline: [[0, 0], [9, 0], [9, 6]]\n    courtyards:\n      - [[1, 1], [2, 1], [2, 2]]\n"
    assert placed_faults((Fault("x", "roofs", "main", "edge", 5),), text, "j") == ("j:5:18: x",)


def test_what_knows_its_place_already_keeps_it() -> None:
    inner, plain = faults_at([Fault("a", "edge", 3), "b"], "roofs", "main")
    assert isinstance(inner, Fault)
    assert isinstance(plain, Fault)
    assert inner.path == ("roofs", "main", "edge", 3)
    assert plain.path == ("roofs", "main")
