"""A change of a job file changes its own characters; everything else stays as it was typed.

Expected texts are written by hand. Whether a text says what was asked is judged by the reader of jobs, and what was asked
by a second, plain way of making the edits that stands below.
"""

from __future__ import annotations

import difflib
from typing import Any

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import GONE, Edit, edited_value
from takeoff.read.job.yaml_tree import read_yaml
from takeoff.write.job_text.edits import edited_text

JOB = """\
# a house
job: New house   # as on the plans
site: {wind_zone: high, rain_mm_per_h: 110}
roofs:
  - name: main
    # outside of framing
    wall_line: [[0, 0], [14200, 0], [14200, 8400], [0, 8400]]   # edge 1 south
    pitch_deg: 25
    edges:
      2: {kind: gable}   # the street
      4: {kind: gable}
      # 3: {kind: wall}
# walls below
walls:
  height_mm: 2450
  zones:
    - {direction: horizontal, board: bevel_187}
  openings:
    - {wall: 1, name: W1, from_left_mm: 1500}
    # the door
    - {wall: 1, name: D1, from_left_mm: 5100}   # oak
    - {wall: 2, name: W2, from_left_mm: 900}
"""


def one(text: str, path: tuple[str | int, ...], value: Any, insert: bool = False) -> str:
    """The text after one edit, which the reader of jobs takes."""
    made = edited_text(text, [Edit(path, value, insert)])
    assert read_yaml(made).faults == []
    return made


def differing(old: str, new: str) -> tuple[list[str], list[str]]:
    """Lines that are only in the old and only in the new text."""
    lines = list(difflib.ndiff(old.splitlines(), new.splitlines()))
    return [line[2:] for line in lines if line[0] == "-"], [line[2:] for line in lines if line[0] == "+"]


CASES: list[tuple[str, tuple[str | int, ...], Any, list[str], list[str]]] = [
    ("a text", ("job",), "Barn", ["job: New house   # as on the plans"], ["job: Barn   # as on the plans"]),
    (
        "a point of an outline in a row",
        ("roofs", 0, "wall_line", 1, 0),
        14250.0,
        ["    wall_line: [[0, 0], [14200, 0], [14200, 8400], [0, 8400]]   # edge 1 south"],
        ["    wall_line: [[0, 0], [14250, 0], [14200, 8400], [0, 8400]]   # edge 1 south"],
    ),
    (
        "a corner more, the whole outline given",
        ("roofs", 0, "wall_line"),
        [[0, 0], [14200, 0], [14200, 8400], [6000, 8400], [0, 8400]],
        ["    wall_line: [[0, 0], [14200, 0], [14200, 8400], [0, 8400]]   # edge 1 south"],
        ["    wall_line: [[0, 0], [14200, 0], [14200, 8400], [6000, 8400], [0, 8400]]   # edge 1 south"],
    ),
    ("a new key of a block map", ("roofs", 0, "eave_overhang_mm"), 600, [], ["    eave_overhang_mm: 600"]),
    (
        "a new key of a flow map",
        ("site", "longest_piece_mm"),
        12000,
        ["site: {wind_zone: high, rain_mm_per_h: 110}"],
        ["site: {wind_zone: high, rain_mm_per_h: 110, longest_piece_mm: 12000}"],
    ),
    ("an edge", ("roofs", 0, "edges", 3), {"kind": "wall"}, [], ["      3: {kind: wall}"]),
    (
        "an edge's kind",
        ("roofs", 0, "edges", 2, "kind"),
        "hip",
        ["      2: {kind: gable}   # the street"],
        ["      2: {kind: hip}   # the street"],
    ),
    ("a section that lacks", ("rainwater", "gutter"), "quad_125", [], ["rainwater: {gutter: quad_125}"]),
    (
        "an opening more",
        ("walls", "openings", 3),
        {"wall": 3, "name": "W3"},
        [],
        ["    - {wall: 3, name: W3}"],
    ),
    ("an opening gone", ("walls", "openings", 1), GONE, ["    - {wall: 1, name: D1, from_left_mm: 5100}   # oak"], []),
    ("edges gone", ("roofs", 0, "edges"), GONE, JOB.splitlines()[8:12], []),
    (
        "a key of a flow map gone",
        ("site", "wind_zone"),
        GONE,
        ["site: {wind_zone: high, rain_mm_per_h: 110}"],
        ["site: {rain_mm_per_h: 110}"],
    ),
    (
        "one word for a map",
        ("walls", "zones", 0, "board"),
        {"width_mm": 150, "cover_mm": 135.5},
        ["    - {direction: horizontal, board: bevel_187}"],
        ["    - {direction: horizontal, board: {width_mm: 150, cover_mm: 135.5}}"],
    ),
    (
        "all openings gone",
        ("walls", "openings"),
        [],
        JOB.splitlines()[17:],
        ["  openings: []"],
    ),
    ("the same again", ("roofs", 0, "pitch_deg"), 25.0, [], []),
    (
        "a second roof",
        ("roofs", 1),
        {"name": "porch", "outline": [[0, -2400], [3000, -2400], [3000, 0]], "pitch_deg": 8},
        [],
        ["  - name: porch", "    outline: [[0, -2400], [3000, -2400], [3000, 0]]", "    pitch_deg: 8"],
    ),
]


@pytest.mark.parametrize(
    ("path", "value", "gone", "come"), [case[1:] for case in CASES], ids=[case[0] for case in CASES]
)
@pytest.mark.parametrize("newline", ["\n", "\r\n"], ids=["lf", "crlf"])
@pytest.mark.parametrize("end", [False, True], ids=["no-last-newline", "last-newline"])
def test_only_these_lines_differ(
    path: tuple[str | int, ...], value: Any, gone: list[str], come: list[str], newline: str, end: bool
) -> None:
    text = "\ufeff" + JOB.rstrip("\n").replace("\n", newline) + (newline if end else "")
    made = one(text, path, value)
    assert differing(text, made) == (gone, come)
    assert made.startswith("\ufeff")
    assert made.endswith(newline) == end
    assert made.count("\r") == (made.count("\n") if newline == "\r\n" else 0)


WHOLE: list[tuple[str, tuple[str | int, ...], Any, bool, str]] = [
    ("", ("job",), "Hut", False, "job: Hut\n"),
    ("# nothing yet", ("roofs", 0, "name"), "main", False, "# nothing yet\nroofs:\n  - {name: main}"),
    (
        "walls:\njob: a\n",
        ("walls", "openings", 0),
        {"wall": 1},
        False,
        "walls:\n  openings:\n    - {wall: 1}\njob: a\n",
    ),
    ("a:   # note\nb: 2\n", ("a",), "x", False, "a: x   # note\nb: 2\n"),
    ("a:   # note\n  - 1\n  - 2\nb: 2\n", ("a",), 7, False, "a: 7   # note\nb: 2\n"),
    ("a: 1   # note\nb: 2\n", ("a",), [{"c": 1}], False, "a:   # note\n  - {c: 1}\nb: 2\n"),
    ("a: [1, 2]\n", ("a", 0), 0, True, "a: [0, 1, 2]\n"),
    ("a: [1, 2]\n", ("a", 2), 3, False, "a: [1, 2, 3]\n"),
    ("a: []\n", ("a", 0), 3, False, "a: [3]\n"),
    ("a: { }\n", ("a", 2, "kind"), "gable", False, "a:\n  2: {kind: gable}\n"),
    ("a:\n- 1\n# two\n- 2\nb: 1\n", ("a", 1), 9, True, "a:\n- 1\n- 9\n# two\n- 2\nb: 1\n"),
    ("a:\n- 1\n- 2\nb: 1\n", ("a", 2), 3, False, "a:\n- 1\n- 2\n- 3\nb: 1\n"),
    ("a:\n  # first\n  - 1\n", ("a", 0), 0, True, "a:\n  # first\n  - 0\n  - 1\n"),
    ("a: 'yes'   # y\n", ("a",), "it's", False, "a: 'it''s'   # y\n"),
    ('a: "x"\n', ("a",), "y", False, 'a: "y"\n'),
    ("a: x\n", ("a",), "12:30 # no", False, "a: '12:30 # no'\n"),
    ("a: x\n", ("a",), "12", False, "a: '12'\n"),
    ("a: x\n", ("a",), "12:30", False, "a: 12:30\n"),
    ("a: 1\n", ("a",), -0.0, False, "a: 0\n"),
    ("a: 1\n", ("a",), 0.00001, False, "a: 0.00001\n"),
    ("a: 1\n", ("a",), 1e21, False, "a: 1000000000000000000000\n"),
    ("a: |\n  one\n  two\nb: 1\n", ("a",), "x", False, "a: x\nb: 1\n"),
    ("a: |\n  one\nb: 1\n", ("c",), 2, False, "a: |\n  one\nb: 1\nc: 2\n"),
    (
        "a: [   # points\n  [0, 0],   # one\n  [1, 0],\n  # before the last\n  [2, 0]   # three\n]\n",
        ("a", 2),
        GONE,
        False,
        "a: [   # points\n  [0, 0],   # one\n  [1, 0],\n  # before the last\n]\n",
    ),
    (
        "a: [   # points\n  [0, 0],   # one\n  [2, 0]   # three\n]\n",
        ("a", 2),
        [3, 0],
        False,
        "a: [   # points\n  [0, 0],   # one\n  [2, 0],   # three\n  [3, 0]\n]\n",
    ),
    ("- name: a   # x\n  b: 1\n", (0, "name"), GONE, False, "- b: 1\n"),
    ('{"a": 1, "b": [2]}', ("c",), "d", False, '{"a": 1, "b": [2], "c": "d"}'),
    ("a: {b: 1}\n", ("a", "b"), GONE, False, "a: {}\n"),
    ("a:\n  b: 1   # x\nc: 2\n", ("a", "b"), GONE, False, "a: {}\nc: 2\n"),
    ("a: 1\n", ("b", "c"), GONE, False, "a: 1\n"),
    ("a: 1\n...\n", ("b",), 2, False, "a: 1\nb: 2\n...\n"),
    ("? a\n: 1\n", ("b",), 2, False, "? a\n: 1\nb: 2\n"),
]


@pytest.mark.parametrize(("text", "path", "value", "insert", "expected"), WHOLE)
def test_small_texts_by_hand(text: str, path: tuple[str | int, ...], value: Any, insert: bool, expected: str) -> None:
    assert one(text, path, value, insert) == expected


@pytest.mark.parametrize(
    "name",
    [
        "<b>x</b>",
        "</script>",
        "\u202egnirts",
        "a\tb",
        "two\nlines",
        "{x",
        "- a",
        "null",
        "~",
        "",
        " x",
        "é ü",
        "🏠",
        "#",
        "a: b",
        "-",
        "?",
        "!x",
        "&a",
        "*a",
        "%",
        "@",
        "`",
        "'",
        '"',
        "x ",
        "a #b",
        "[1]",
        "\u2028",
        "\x85",
        "\x00",
        "1e5",
        ".inf",
        "0x10",
        "017",
        "---",
        "...",
    ],
)
def test_hostile_names_read_back(name: str) -> None:
    for text in ("job: x   # n\n", "job: 'x'   # n\n", 'job: "x"   # n\n', "{job: x}\n"):
        made = one(text, ("job",), name)
        assert read_yaml(made).value == {"job": name}
        assert made.splitlines()[0].endswith(("# n", "}"))
        assert not any(ord(char) in (0, 0x85, 0x2028, 0x202E) for char in made)


@pytest.mark.parametrize(
    ("text", "edit", "words"),
    [
        (JOB, Edit(("job", "x"), 1), "single value"),
        (JOB, Edit(("roofs", 4), {}), "has 1 entries"),
        (JOB, Edit(("roofs", -1), {}), "has 1 entries"),
        (JOB, Edit(("roofs", "main"), {}), "no place in it"),
        (JOB, Edit(("roofs", 1), GONE), "has 1 entries"),
        (JOB, Edit((), GONE), "cannot be taken out"),
        (JOB, Edit(("job",), float("nan")), "without end"),
        (JOB, Edit(("job",), object()), "cannot be written"),
        (JOB, Edit(("job",), "\ud800"), "half a character"),
        (JOB, Edit(("site", "x"), 1, insert=True), "only a list"),
        ("a: [1\nb: 2", Edit(("a",), 1), "2:"),
        ("a: 1\n---\na: 2\n", Edit(("a",), 1), "more than one document"),
        ("[" * 200 + "]" * 200, Edit((0,), 1), "deeper"),
    ],
)
def test_what_cannot_be_is_said(text: str, edit: Edit, words: str) -> None:
    with pytest.raises(UsageError, match=words):
        edited_text(text, [edit])


@pytest.mark.parametrize(
    ("text", "path", "value"),
    [
        ("x: 1\na: [b: 1, c]   # odd\ny: 2   # kept\n", ("a", 0, "z"), 2),
        ("x: 1\na:\n  ? b\n  : 1\n  ? c\n  : [1, 2]\ny: 2   # kept\n", ("a", "b"), [{"d": 1}]),
        ("x: 1\na: |+\n  one\n\n\n# kept\n", ("b",), 1),
        ("x: 1\na: |+\n  one\n\n\ny: 2   # kept\n", ("a",), GONE),
        ("x: 1\na: {b, c}\ny: 2   # kept\n", ("a", "b"), 5),
        ("x: 1\na: !m &n {b: 1}\ny: 2   # kept\n", ("a", "b"), {"c": [1]}),
        ("x: 1\na:\n  - - 1\n    - 2\n  -\n    - 3\ny: 2   # kept\n", ("a", 1), GONE),
        ("x: 1\na:\n  - - 1\n    - 2\n  -\n    - 3\ny: 2   # kept\n", ("a", 0, 0), GONE),
    ],
)
def test_odd_ways_of_writing_lose_nothing(text: str, path: tuple[str | int, ...], value: Any) -> None:
    made = one(text, path, value)
    assert read_yaml(made).value == edited_value(read_yaml(text).value, [Edit(path, value)])
    assert "# kept" in made


def test_a_file_with_a_fault_is_changed_where_it_can_be() -> None:
    twice = "a: 1\nb: 2\na: 3   # again\n"
    assert edited_text(twice, [Edit(("b",), 5)]) == "a: 1\nb: 5\na: 3   # again\n"
    with pytest.raises(UsageError, match="twice"):
        edited_text("a: [b: 1]\nc: 2\nc: 3\n", [Edit(("a", 0, "d"), 1)])


def test_a_key_is_called_otherwise_where_it_stands() -> None:
    text = "roof:   # all of them\n  - {name: a, 'pich': 25}   # first\njob: x\n"
    made = edited_text(
        text, [Edit(("roof",), "roofs", rename=True), Edit(("roofs", 0, "pich"), "pitch_deg", rename=True)]
    )
    assert made == "roofs:   # all of them\n  - {name: a, 'pitch_deg': 25}   # first\njob: x\n"
    edges = [Edit(("edges", 4), 5, rename=True), Edit(("edges", 3), 4, rename=True)]
    assert edited_text("edges:\n  3: {a: 1}\n  4: {b: 2}   # b\n", edges) == "edges:\n  4: {a: 1}\n  5: {b: 2}   # b\n"
    for path, name in (
        (("job",), "roof"),
        (("x",), "y"),
        ((), "y"),
        (("roof", 0), "y"),
        (("z", "x"), "y"),
        (("job",), 1.5),
    ):
        with pytest.raises(UsageError):
            edited_text(text, [Edit(path, name, rename=True)])


EDGES = "edges:\n  1: {kind: gable}   # front\n  3: {kind: wall}   # shed\n  4: {pitch_deg: 15}   # back\nx: 1\n"


@pytest.mark.parametrize(
    ("new", "expected"),
    [
        ({1: "g", 4: "w", 5: "p"}, "  1: {kind: gable}   # front\n  4: {kind: wall}   # shed\n  5: {pitch_deg: 15}   # back\n"),
        ({1: "g", 2: "w", 3: "p"}, "  1: {kind: gable}   # front\n  2: {kind: wall}   # shed\n  3: {pitch_deg: 15}   # back\n"),
        ({1: "g", 3: "p"}, "  1: {kind: gable}   # front\n  3: {pitch_deg: 15}   # back\n"),
        ({1: "g", 2: "g", 4: "w", 5: "p"}, "  1: {kind: gable}   # front\n  4: {kind: wall}   # shed\n  5: {pitch_deg: 15}   # back\n  2: {kind: gable}\n"),
    ],
)  # fmt: skip
def test_edges_that_are_numbered_anew_keep_what_is_written_beside_them(new: dict[int, str], expected: str) -> None:
    values = {"g": {"kind": "gable"}, "w": {"kind": "wall"}, "p": {"pitch_deg": 15}}
    wanted = {key: values[one] for key, one in new.items()}
    assert one(EDGES, ("edges",), wanted) == f"edges:\n{expected}x: 1\n"
