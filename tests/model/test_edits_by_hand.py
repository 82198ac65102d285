"""Changes of a job as data: what is set, put in, taken out and renamed, and every refusal, word for word."""

from __future__ import annotations

from math import inf, nan

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.job_edits import GONE, Edit, edited_value, made_for, path_words, plain, same_value, value_at

JOB = {"job": "x", "roofs": [{"pitch_deg": 20, "edges": {2: {"kind": "gable"}}}, {"pitch_deg": 30}], "site": None}


def test_what_stands_at_a_path() -> None:
    assert value_at(JOB, ("roofs", 1, "pitch_deg")) == 30
    assert value_at(JOB, ("roofs", 0, "edges", 2, "kind")) == "gable"
    assert value_at(JOB, ()) is JOB
    for path in (("roofs", 2), ("roofs", -1), ("roofs", "0"), ("walls",), ("job", 0), ("site", "rain")):
        assert value_at(JOB, path) is None


@pytest.mark.parametrize(
    ("edit", "after"),
    [
        (Edit(("job",), "y"), {**JOB, "job": "y"}),
        (Edit((), [1]), [1]),
        (Edit(("code",), "nz"), {**JOB, "code": "nz"}),
        (Edit(("site", "rain"), 90), {**JOB, "site": {"rain": 90}}),
        (Edit(("tanks", 0, "volume_l"), 9), {**JOB, "tanks": [{"volume_l": 9}]}),
        (Edit(("edges", 3, "kind"), "hip"), {**JOB, "edges": {3: {"kind": "hip"}}}),
        (Edit(("roofs", 1, "pitch_deg"), 31), {**JOB, "roofs": [JOB["roofs"][0], {"pitch_deg": 31}]}),
        (Edit(("roofs", 2, "pitch_deg"), 5), {**JOB, "roofs": [*JOB["roofs"], {"pitch_deg": 5}]}),
        (Edit(("roofs", 1), 7, insert=True), {**JOB, "roofs": [JOB["roofs"][0], 7, JOB["roofs"][1]]}),
        (Edit(("roofs", 2), 7, insert=True), {**JOB, "roofs": [*JOB["roofs"], 7]}),
        (Edit(("roofs", 0), GONE), {**JOB, "roofs": [JOB["roofs"][1]]}),
        (Edit(("job",), GONE), {"roofs": JOB["roofs"], "site": None}),
        (Edit(("walls",), GONE), JOB),
        (Edit(("site", "rain"), GONE), JOB),
        (Edit(("job",), "name", rename=True), {"name": "x", "roofs": JOB["roofs"], "site": None}),
        (Edit(("job",), "job", rename=True), JOB),
        (Edit(("tanks", 0), 5, insert=True), {**JOB, "tanks": [5]}),
    ],
)  # fmt: skip
def test_one_change(edit: Edit, after: object) -> None:
    before = repr(JOB)
    found = edited_value(JOB, [edit])
    assert found == after
    assert list(found) == list(after)  # type: ignore[call-overload]
    assert repr(JOB) == before


def test_changes_one_after_another_and_below_a_renamed_key() -> None:
    edits = [
        Edit(("roofs", 0, "edges", 2), 4, rename=True),
        Edit(("roofs", 0, "edges", 4, "kind"), "hip"),
        Edit(("roofs", 1), GONE),
    ]
    assert edited_value(JOB, edits)["roofs"] == [{"pitch_deg": 20, "edges": {4: {"kind": "hip"}}}]  # type: ignore[index]
    assert made_for((0, "a", 1, 0), "v") == [{"a": {1: ["v"]}}]
    assert made_for((), "v") == "v"


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (Edit((), GONE), "the whole job cannot be taken out or called otherwise"),
        (Edit((), "y", rename=True), "the whole job cannot be taken out or called otherwise"),
        (Edit(("job", "name"), 1), "job.name: job is a single value and holds nothing"),
        (Edit(("roofs", 0, "pitch_deg", 0), 1), "roofs[0].pitch_deg[0]: roofs[0].pitch_deg is a single value and holds nothing"),
        (Edit(("roofs", "first"), 1), "roofs.first: roofs is a list; first is no place in it"),
        (Edit(("roofs", True), 1), "roofs[True]: roofs is a list; True is no place in it"),
        (Edit(("roofs", 3), 1), "roofs[3]: the list has 2 entries"),
        (Edit(("roofs", -1), 1), "roofs[-1]: the list has 2 entries"),
        (Edit(("roofs", 2), GONE), "roofs[2]: the list has 2 entries"),
        (Edit(("roofs", 0), "x", rename=True), "roofs[0]: an entry of a list has no name to change"),
        (Edit(("job",), 1, insert=True), "job: only a list takes an entry in between"),
        (Edit(("tanks", 1), 1, insert=True), "tanks[1]: only a list takes an entry in between"),
        (Edit(("walls",), "w", rename=True), "walls is not in the job"),
        (Edit(("walls", "zones"), "w", rename=True), "walls.zones is not in the job"),
        (Edit(("site", "rain"), "w", rename=True), "site.rain is not in the job"),
        (Edit(("job",), "roofs", rename=True), "job cannot be called roofs: no key, or one that is there already"),
        (Edit(("job",), True, rename=True), "job cannot be called True: no key, or one that is there already"),
        (Edit(("job",), None, rename=True), "job cannot be called None: no key, or one that is there already"),
    ],
)  # fmt: skip
def test_changes_that_cannot_be(edit: Edit, says: str) -> None:
    with pytest.raises(UsageError) as caught:
        edited_value(JOB, [edit])
    assert str(caught.value) == says


def test_plain_values_and_those_that_are_none() -> None:
    given = {"a": (1, [2.5, None]), 3: {"b": True}}
    assert plain(given) == {"a": [1, [2.5, None]], 3: {"b": True}}
    assert plain(10**28 - 1) == 10**28 - 1
    endless = "a number without end, or too large, cannot be written into a job"
    for value, says in (
        (inf, endless), (nan, endless), (10**28, endless), (-(10**28), endless), (1.1e28, endless),
        ({1.5: 1}, "a key of a job is a word or a whole number, not 1.5"),
        ({True: 1}, "a key of a job is a word or a whole number, not True"),
        ("a\ud800", "half a character cannot be written into a job"),
        ("\udfff", "half a character cannot be written into a job"),
        ({1, 2}, "a set cannot be written into a job"),
    ):  # fmt: skip
        with pytest.raises(UsageError) as caught:
            plain([value])
        assert str(caught.value) == says
    assert plain("\ud7ff\ue000") == "\ud7ff\ue000"


def test_values_that_read_alike() -> None:
    assert same_value({"a": [6, "x"]}, {"a": [6.0, "x"]})
    for one, other in (
        (True, 1), ({"a": 1}, {"b": 1}), ({"a": 1}, {"a": 1, "b": 2}), ([1, 2], [1]), ([1], {"a": 1}), ({"a": True}, {"a": 1}), ("6", 6),
    ):  # fmt: skip
        assert not same_value(one, other)
    assert same_value(True, True)
    assert same_value(None, None)


def test_paths_for_a_person() -> None:
    assert path_words(("roofs", 0, "edges", 5)) == "roofs[0].edges[5]"
    assert path_words((5, "a")) == "5.a"
    assert path_words(()) == "the whole job"
