"""Frozen records with slots: what every stage takes and gives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING, FrozenInstanceError, dataclass, field, fields
from functools import cache
from types import CodeType, FunctionType
from typing import Any, TypeVar, dataclass_transform

T = TypeVar("T")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def record(kind: type[T], /) -> type[T]:
    """Make a class a frozen record with slots: what `dataclass(frozen=True, slots=True)` makes, in a third of its time.

    Some 450 records are made at every start, and the standard library writes and compiles six methods for each. Here
    all with as many fields share the code that fills their slots; how one compares and hashes is written when it is
    first asked for; all else is alike for all. What a class brings itself is kept. A field that is no part of
    `__init__` is filled by `__post_init__`; fields by keyword alone are not provided for.

    >>> @record
    ... class Bar:
    ...     length_mm: int
    ...     marks: tuple[str, ...] = ()
    >>> Bar(6000), Bar(6000) == Bar(6000, ()), len({Bar(6000), Bar(5400), Bar(6000)})
    (Bar(length_mm=6000, marks=()), True, 2)
    """
    own = set(vars(kind))
    kind.__doc__ = kind.__doc__ or kind.__name__  # for one without words the library reads and parses its signature
    made = dataclass(slots=True, init=False, eq=False, repr=False)(kind)
    compares = {name: _at_first(made, name) for name in ("__eq__", "__hash__")}
    for name, method in {"__init__": _filling(made), **compares, **_ALIKE}.items():
        if name not in own:
            setattr(made, name, method)
    return made


def _filling(kind: type[Any]) -> Callable[..., None]:
    """The `__init__` of a kind of record: the code of all that have as many fields, with its own names put in. Raises
    TypeError for a field that must be given behind one that need not."""
    held = [one for one in fields(kind) if one.init]
    anew = tuple(one.default_factory is not MISSING for one in held)
    needed = [one.default is MISSING and not new for one, new in zip(held, anew, strict=True)]
    if needed != sorted(needed, reverse=True):
        raise TypeError(f"{kind.__qualname__}: a field that must be given stands behind one that need not")
    known: dict[str, Any] = {"MISSING": MISSING}
    for place, one in enumerate(held):
        known[f"fill_{place}"] = getattr(kind, one.name).__set__
        known[f"new_{place}"] = one.default_factory
    code = _filling_code(anew, hasattr(kind, "__post_init__"))
    named = code.replace(co_varnames=("self", *(one.name for one in held)))
    made = FunctionType(named, known, "__init__", tuple(one.default for one in held[sum(needed) :]))
    made.__qualname__ = f"{kind.__qualname__}.__init__"
    return made


@cache
def _filling_code(anew: tuple[bool, ...], after: bool) -> CodeType:
    """What fills a record, its fields named by their places; compiled once for all records alike, some 30 kinds of
    them. `anew`: for each field whether it is made anew where it is not given; `after`: `__post_init__` follows."""
    fills = []
    for place, new in enumerate(anew):
        value = f"new_{place}() if _{place} is MISSING else _{place}" if new else f"_{place}"
        fills.append(f"fill_{place}(self, {value})")
    if after:
        fills.append("self.__post_init__()")
    takes = ", ".join(["self", *(f"_{place}" for place in range(len(anew)))])
    known: dict[str, Any] = {}
    exec(f"def __init__({takes}): {'; '.join(fills) or 'pass'}", known)
    code: CodeType = known["__init__"].__code__
    return code


def _at_first(kind: type, name: str) -> Callable[..., Any]:
    """The method until it is first called: it then writes the one that takes its place."""

    def first(*records: Any) -> Any:
        setattr(kind, name, _comparing(kind, name))
        return getattr(kind, name)(*records)

    return first


def _comparing(kind: type[Any], name: str) -> Callable[..., Any]:
    """How records of a kind compare, or their hash: as the standard library writes it, by what they hold."""
    held = [one.name for one in fields(kind) if one.compare]
    own, others = ("".join(["(", *(f"{whose}.{each}, " for each in held), ")"]) for whose in ("self", "other"))
    text = f"lambda self: hash({own})"
    if name == "__eq__":
        text = f"lambda self, other: {own} == {others} if other.__class__ is self.__class__ else NotImplemented"
    written: Callable[..., Any] = eval(text)
    return written


def _refuse(_record: Any, name: str, *_value: Any) -> None:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _in_words(record: Any) -> str:
    shown = [f"{one.name}={getattr(record, one.name)!r}" for one in fields(record) if one.repr]
    return f"{record.__class__.__qualname__}({', '.join(shown)})"


def _state(record: Any) -> list[Any]:
    """What a copy of a record, or one sent to another process, is filled with."""
    return [getattr(record, one.name) for one in fields(record)]


def _filled(record: Any, state: list[Any]) -> None:
    for one, value in zip(fields(record), state, strict=True):
        object.__setattr__(record, one.name, value)


_ALIKE: dict[str, Callable[..., Any]] = {
    "__repr__": _in_words,
    "__setattr__": _refuse,
    "__delattr__": _refuse,
    "__getstate__": _state,
    "__setstate__": _filled,
}
