"""Records are frozen dataclasses with slots: whatever the standard library's own decorator gives, ours gives too."""

from __future__ import annotations

import pickle
from copy import copy, deepcopy
from dataclasses import FrozenInstanceError, dataclass, field, fields, is_dataclass, replace

import pytest

from takeoff.basics.records import record


@record
class Bar:
    length_mm: int
    marks: tuple[str, ...] = ()
    seen: list[int] = field(default_factory=list, compare=False, repr=False)


@record
class Named(Bar):
    name: str = "a"


@record
class One:
    value: object


@record
class Bare:
    pass


@record
class Own:
    first: int
    second: int

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Own) and self.first == other.first

    def __hash__(self) -> int:
        return hash(self.first)

    def __repr__(self) -> str:
        return f"own {self.first}"


@dataclass(frozen=True, slots=True)
class Standard:
    """What a record is held against."""

    length_mm: int
    marks: tuple[str, ...] = ()
    seen: list[int] = field(default_factory=list, compare=False, repr=False)


def test_records_compare_by_their_values_and_their_class() -> None:
    assert Bar(1, ("a",)) == Bar(1, ("a",), [7])
    assert Bar(1, ("a",)) != Bar(1, ("b",))
    assert Bar(2) != Bar(1)
    assert Bar(1) != Named(1)
    assert Bar(1) != (1, ())
    assert One(1) == One(1.0)
    assert One(1) != One(2)
    assert Bare() == Bare()
    assert Bare() != One(())


def test_a_field_that_must_be_given_stands_before_those_that_need_not() -> None:
    class Turned:
        length_mm: int = 1
        name: str

    with pytest.raises(TypeError, match="Turned"):
        record(Turned)
    with pytest.raises(TypeError):
        dataclass(Turned)
    with pytest.raises(TypeError, match="length_mm"):
        Bar()  # type: ignore[call-arg]


def test_equal_records_have_one_hash_and_it_is_the_standard_one() -> None:
    assert len({Bar(1), Bar(1, (), [7]), Bar(2), Bar(1, ("a",))}) == 3
    assert hash(Bar(3, ("x",))) == hash(Standard(3, ("x",))) == hash((3, ("x",)))
    assert hash(One(3)) == hash((3,))
    assert hash(Bare()) == hash(())
    with pytest.raises(TypeError):
        hash(One([]))


def test_a_field_that_is_compared_alone_has_no_say_in_the_hash() -> None:
    """As `dataclass` has it: `field(hash=False)`, for what cannot be hashed."""

    @record
    class Sold:
        name: str
        sizes: dict[str, int] = field(hash=False)

    assert hash(Sold("a", {"x": 1})) == hash(("a",))
    assert Sold("a", {"x": 1}) == Sold("a", {"x": 1}) != Sold("a", {"x": 2})


def test_records_are_shown_as_the_standard_ones_are() -> None:
    assert repr(Bar(3, ("x",), [1])) == repr(Standard(3, ("x",), [1])).replace("Standard", "Bar")
    assert repr(Named(1)) == "Named(length_mm=1, marks=(), name='a')"
    assert repr(One(Bare())) == "One(value=Bare())"


def test_records_are_frozen_have_slots_and_are_dataclasses() -> None:
    bar = Bar(1)
    with pytest.raises(FrozenInstanceError):
        bar.length_mm = 2  # type: ignore[misc]
    with pytest.raises(FrozenInstanceError):
        del bar.marks  # type: ignore[misc]
    assert not hasattr(bar, "__dict__")
    assert is_dataclass(bar)
    assert [one.name for one in fields(bar)] == ["length_mm", "marks", "seen"]
    assert replace(bar, length_mm=5) == Bar(5)
    assert Bar(1).seen is not bar.seen
    match bar:
        case Bar(length, marks):
            assert (length, marks) == (1, ())


def test_copies_are_equal() -> None:
    named = Named(4, ("m",), [1], "b")
    for other in (copy(named), deepcopy(named), pickle.loads(pickle.dumps(named))):
        assert other == named
        assert other.seen == [1]
        assert type(other) is Named


def test_what_a_class_brings_itself_is_kept() -> None:
    assert Own(1, 2) == Own(1, 3)
    assert hash(Own(1, 2)) == hash(1)
    assert repr(Own(1, 2)) == "own 1"


def test_fields_are_those_that_the_standard_library_would_make() -> None:
    """Every account of a field, and of the record, against the library's own for the same class."""

    class Piece:
        length_mm: int
        marks: tuple[str, ...] = ()
        seen: list[int] = field(default_factory=list, compare=False, repr=False)
        whole: bool = field(init=False, compare=False)

    class Longer(Piece):
        name: str = "a"
        marks: tuple[str, ...] = ("b",)

    ours, theirs = record(Piece), dataclass(frozen=True, slots=True)(Piece)
    assert [repr(one) for one in fields(ours)] == [repr(one) for one in fields(theirs)]
    assert ours.__match_args__ == theirs.__match_args__ == ("length_mm", "marks", "seen")
    longer = record(type("Longer", (ours,), dict(vars(Longer))))
    assert [one.name for one in fields(longer)] == ["length_mm", "marks", "seen", "whole", "name"]
    assert longer(1) == longer(1, ("b",), name="a")
    assert longer.__slots__ == ("name",)


def test_a_default_that_may_change_is_refused_as_the_standard_library_does() -> None:
    class Changing:
        marks: list[str] = []  # noqa: RUF012

    for make in (record, dataclass):
        with pytest.raises(ValueError, match="default_factory"):
            make(Changing)
