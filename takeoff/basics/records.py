"""Frozen records with slots: what every stage takes and gives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields
from operator import attrgetter
from typing import Any, TypeVar, dataclass_transform

T = TypeVar("T")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def record(kind: type[T], /) -> type[T]:
    """Make a class a frozen record with slots, as `dataclass(frozen=True, slots=True)` does, in two thirds of its time.

    How records compare, hash and are shown is the same for all of them, so it is written here once; the standard
    library writes and compiles it for each class, and some 450 are made at every start. What a class brings is kept.

    >>> @record
    ... class Bar:
    ...     length_mm: int
    ...     marks: tuple[str, ...] = ()
    >>> Bar(6000), Bar(6000) == Bar(6000, ()), len({Bar(6000), Bar(5400), Bar(6000)})
    (Bar(length_mm=6000, marks=()), True, 2)
    """
    own = set(vars(kind))
    made = dataclass(frozen=True, slots=True, eq=False, repr=False)(kind)
    compared = _values_of(tuple([one.name for one in fields(made) if one.compare]))  # type: ignore[arg-type]
    shown = tuple([one.name for one in fields(made) if one.repr])  # type: ignore[arg-type]

    def equal(self: Any, other: object) -> Any:
        return compared(self) == compared(other) if other.__class__ is self.__class__ else NotImplemented

    def hashed(self: Any) -> int:
        return hash(compared(self))

    def in_words(self: Any) -> str:
        return f"{self.__class__.__qualname__}({', '.join([f'{name}={getattr(self, name)!r}' for name in shown])})"

    for name, method in (("__eq__", equal), ("__hash__", hashed), ("__repr__", in_words)):
        if name not in own:
            setattr(made, name, method)
    return made


def _values_of(names: tuple[str, ...]) -> Callable[[Any], tuple[Any, ...]]:
    """What takes the values under these names out of a record."""
    if len(names) > 1:
        return attrgetter(*names)
    return lambda one: tuple([getattr(one, name) for name in names])
