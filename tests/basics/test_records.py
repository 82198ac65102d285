"""Records made with methods on demand are held against the standard library's own dataclasses, the judge of each case."""

from __future__ import annotations

import copy
import dataclasses
import inspect
import pickle
import sys
from collections.abc import Callable
from dataclasses import field
from typing import Any, Generic, TypeVar

import pytest

from takeoff.basics import records

T = TypeVar("T")


def _both(make: Callable[[Any], type]) -> tuple[type, type]:
    return make(records.dataclass), make(dataclasses.dataclass)


def _frozen(dataclass: Any) -> type:
    @dataclass(frozen=True, slots=True)
    class Sample:
        """A record of every kind of field."""

        a: float
        b: tuple[int, ...] = ()
        c: dict[str, int] = field(default_factory=dict, compare=False)
        d: str = field(default="d", repr=False)

        @property
        def twice(self) -> float:
            return 2 * self.a

    return Sample


def _plain(dataclass: Any) -> type:
    @dataclass(slots=True)
    class Sample:
        """A record that may be changed."""

        a: int
        b: list[int] = field(default_factory=list)

    return Sample


def _without_eq(dataclass: Any) -> type:
    @dataclass(frozen=True, slots=True, eq=False)
    class Sample(Generic[T]):
        """One that is itself alone, of any type."""

        of: T

        def __hash__(self) -> int:
            return 7

    return Sample


def _own_words(dataclass: Any) -> type:
    @dataclass(frozen=True, slots=True)
    class Sample:
        """One that says itself how it reads and compares."""

        a: int

        def __repr__(self) -> str:
            return f"<{self.a}>"

        def __eq__(self, other: object) -> bool:
            return True

    return Sample


@pytest.mark.parametrize("make", [_frozen, _plain])
@pytest.mark.parametrize("given", [((1,), {}), ((), {"a": 2, "b": (3,)}), ((4, (5,)), {})])
def test_same_fields_words_equality_and_hash(make: Any, given: tuple[tuple[Any, ...], dict[str, Any]]) -> None:
    ours, theirs = (kind(*given[0], **given[1]) for kind in _both(make))
    again = type(ours)(*given[0], **given[1])
    assert repr(ours) == repr(theirs)
    assert dataclasses.asdict(ours) == dataclasses.asdict(theirs)
    assert ours == again
    assert ours != theirs
    assert ours.__eq__(theirs) is NotImplemented
    assert ours != dataclasses.replace(ours, a=99)
    assert dataclasses.replace(ours, a=99).a == 99
    assert type(ours).__match_args__ == type(theirs).__match_args__
    assert type(ours).__slots__ == type(theirs).__slots__
    assert not hasattr(ours, "__dict__")
    if make is _frozen:
        assert hash(ours) == hash(theirs) == hash(again)
        assert ours.twice == theirs.twice
    else:
        with pytest.raises(TypeError):
            hash(ours)


def test_each_default_is_made_anew() -> None:
    kind = _plain(records.dataclass)
    first, second = kind(1), kind(1)
    first.b.append(3)
    assert second.b == []
    first.a = 5
    assert first.a == 5


@pytest.mark.parametrize("change", [lambda one: setattr(one, "a", 2), lambda one: delattr(one, "a")])
def test_a_frozen_record_is_not_changed(change: Callable[[Any], None]) -> None:
    one = _frozen(records.dataclass)(1)
    with pytest.raises(dataclasses.FrozenInstanceError, match="'a'"):
        change(one)
    assert one.a == 1


@pytest.mark.parametrize("given", [((), {}), ((1, (), {}, "d", 5), {}), ((1,), {"z": 1}), ((1,), {"a": 1})])
def test_wrong_values_are_refused_as_ever(given: tuple[tuple[Any, ...], dict[str, Any]]) -> None:
    for kind in _both(_frozen):
        with pytest.raises(TypeError):
            kind(*given[0], **given[1])


def test_what_a_class_states_itself_stays() -> None:
    for kind in _both(_without_eq):
        assert hash(kind(1)) == 7
        assert kind(1) != kind(1)
    for kind in _both(_own_words):
        assert (repr(kind(1)), hash(kind(1))) == ("<1>", hash((1,)))
        assert kind(1) == kind(2)


def test_a_record_is_copied_and_pickled() -> None:
    kind = _frozen(records.dataclass)
    kind.__qualname__ = "Pickled"
    sys.modules[__name__].__dict__["Pickled"] = kind
    one = kind(1, (2,), {"x": 3})
    assert pickle.loads(pickle.dumps(one)) == one == copy.deepcopy(one)
    assert copy.deepcopy(one).c == {"x": 3}
    assert copy.deepcopy(one).c is not one.c


def test_a_method_is_made_once_and_then_stands_by_itself() -> None:
    kind = _frozen(records.dataclass)
    before = kind.__init__
    kind(1)
    assert kind.__init__ is not before
    assert list(inspect.signature(kind).parameters) == ["a", "b", "c", "d"]
    assert before.__get__(kind(1), kind)(2) is None
