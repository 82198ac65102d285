"""Random small files of block and flow style with comments everywhere: what is asked is what reads back, and comments that
stand on lines of their own outside of what was changed are still there.

What an edit means is told here in the plainest way, by changing nested lists and maps in place.
"""

from __future__ import annotations

import copy
import re
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from takeoff.model.job_edits import GONE, Edit
from takeoff.read.job.yaml_tree import read_yaml
from takeoff.write.job_text.edits import edited_text

KEYS = st.one_of(st.sampled_from(["a", "b", "c", "d_mm", "true", "7", "two words"]), st.integers(1, 5))
SINGLES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-9999, 99999),
    st.sampled_from([0.5, 2450.25, 1e-7, 3.0]),
    st.sampled_from(["x", "grey", "12", "no", "a: b", "a #b", "", "it's", 'q"q', "two\nlines", "null", "[", "é"]),
)
VALUES = st.recursive(
    SINGLES,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(KEYS, inner, max_size=3)),
    max_leaves=6,
)
COMMENTS = st.sampled_from(["", "", "", "  # note", "   # a: 1, [x"])


def word(value: Any) -> str:
    """A single value, quoted whenever it is a text: written by this test alone."""
    if isinstance(value, str):
        return '"' + value.replace('"', '\\"').replace("\n", "\\n") + '"'
    if isinstance(value, float):
        return f"{value:.8f}"
    return "null" if value is None else str(value).lower()


@st.composite
def written(draw: st.DrawFn, value: Any, indent: int, flow: bool) -> str:
    """A value's text from just after its key or dash, to the end of its last line without the break."""
    if not isinstance(value, dict | list) or not value:
        text = {"{}": "{}", "[]": "[]"}.get(repr(value)) or word(value)
        return (
            " "
            + ("" if value is None and not flow and draw(st.booleans()) else text)
            + ("" if flow else draw(COMMENTS))
        )
    pairs = list(value.items()) if isinstance(value, dict) else [(None, one) for one in value]
    if flow or draw(st.booleans()):
        many = draw(st.booleans())
        begin = ("\n" + " " * (indent + 2)) if many else ""
        parts = [
            begin
            + ("" if key is None else word(key) + ":")
            + draw(written(one, indent + 2, True)).removeprefix(" " * (key is None))
            for key, one in pairs
        ]
        joint = [
            part + ("," if n + 1 < len(parts) or draw(st.booleans()) else "") + (draw(COMMENTS) if many else "")
            for n, part in enumerate(parts)
        ]
        inside = "".join(joint) if many else " ".join(joint)
        signs = "[]" if isinstance(value, list) else "{}"
        close = "\n" + " " * indent if many else ""
        return f" {signs[0]}{inside}{close}{signs[1]}" + ("" if flow else draw(COMMENTS))
    lines = draw(st.sampled_from(["", "  # head"]))
    for key, one in pairs:
        lines += draw(st.sampled_from(["", "", f"\n{' ' * indent}# above", "\n", "\n# left"]))
        lines += f"\n{' ' * indent}" + ("-" if key is None else word(key) + ":") + draw(written(one, indent + 2, False))
    return lines


@st.composite
def files(draw: st.DrawFn) -> tuple[str, Any]:
    value = draw(st.dictionaries(KEYS, VALUES, min_size=1, max_size=4))
    text = draw(written(value, 0, False)).lstrip(" \n")
    text = text[text.index("\n") + 1 :] if text.startswith("# head\n") else text
    text += draw(st.sampled_from(["", "\n", "\n# the end\n"]))
    return (text.replace("\n", "\r\n") if draw(st.booleans()) else text), value


@st.composite
def edits(draw: st.DrawFn, value: Any) -> Edit:
    """An edit that can be made in a value: somewhere that is, or one step past it."""
    path: list[str | int] = []
    while isinstance(value, dict | list):
        steps = list(value) if isinstance(value, dict) else list(range(len(value)))
        if not steps or (path and draw(st.integers(0, 4)) == 0):
            new = draw(KEYS) if isinstance(value, dict) else draw(st.integers(0, len(value)))
            return Edit((*path, new), draw(VALUES), insert=isinstance(value, list))
        path.append(draw(st.sampled_from(steps)))
        value = value[path[-1]]
    return Edit(tuple(path), draw(st.one_of(VALUES, st.just(GONE))))


def in_place(value: Any, edit: Edit) -> Any:
    """The edit made by the plainest means."""
    made = copy.deepcopy(value)
    at = made
    for step in edit.path[:-1]:
        at = at[step]
    last: Any = edit.path[-1]
    if edit.value is GONE:
        del at[last]
    elif edit.insert:
        at.insert(last, edit.value)
    else:
        at[last] = edit.value
    return made


def alike(one: Any, two: Any) -> bool:
    if isinstance(one, dict) and isinstance(two, dict):
        return set(one) == set(two) and all(alike(one[key], two[key]) for key in one)
    if isinstance(one, list) and isinstance(two, list):
        return len(one) == len(two) and all(map(alike, one, two))
    return one == two and (type(one) is bool) == (type(two) is bool)


@settings(max_examples=250, deadline=None)
@given(st.data())
def test_what_is_asked_reads_back(data: st.DataObject) -> None:
    text, value = data.draw(files())
    assert alike(read_yaml(text).value, value), text
    for _ in range(2):
        edit = data.draw(edits(value))
        wanted = in_place(value, edit)
        made = edited_text(text, [edit])
        tree = read_yaml(made)
        assert tree.faults == []
        assert alike(tree.value, wanted), (text, edit, made)
        text, value = made, wanted
        if not value:
            break


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_a_single_value_changes_alone_and_back(data: st.DataObject) -> None:
    text, value = data.draw(files())
    edit = data.draw(edits(value))
    old: Any = value
    for step in edit.path:
        old = old.get(step, GONE) if isinstance(old, dict) else old[step] if step < len(old) else GONE
    if old is GONE or old is None or isinstance(old, dict | list) or edit.insert or edit.value is GONE:
        return
    new = 4711 if not isinstance(edit.value, int | float | str) or edit.value == "" else edit.value
    made = edited_text(text, [Edit(edit.path, new)])
    before, after = text.splitlines(), made.splitlines()
    assert len(before) == len(after)
    assert sum(one != two for one, two in zip(before, after, strict=True)) <= 1
    again = edited_text(made, [Edit(edit.path, old)])
    assert alike(read_yaml(again).value, value)
    assert comments(again) == comments(made) == comments(text)


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_what_is_put_in_takes_no_comment_away(data: st.DataObject) -> None:
    text, value = data.draw(files())
    edit = data.draw(edits(value))
    at: Any = value
    for step in edit.path[:-1]:
        at = at[step]
    if edit.insert or (edit.value is not GONE and isinstance(at, dict) and edit.path[-1] not in at):
        assert comments(edited_text(text, [edit])) == comments(text)


def comments(text: str) -> list[str]:
    """The comments of a file of this test, in order of their words; a value holds none of these words."""
    return sorted(re.findall("# (?:note|a: 1, .x|head|above|left|the end)", text))
