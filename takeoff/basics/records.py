"""Frozen records with slots: what every stage takes and gives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING, Field, FrozenInstanceError, dataclass, field, fields
from functools import cache
from types import CodeType, FunctionType
from typing import Any, TypeVar, dataclass_transform

T = TypeVar("T")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def record(kind: type[T], /) -> type[T]:
    """Make a class a frozen record with slots: what `dataclass(frozen=True, slots=True)` makes, 20 times as fast.

    Some 450 records are made at every start, and the standard library reads every annotation three times, makes each
    class anew and writes and compiles six methods for it. Here all with as many fields share the code that fills their
    slots; how one compares and hashes is written when it is first asked for; all else is alike for all. What a class
    brings itself is kept. A field that is no part of `__init__` is filled by `__post_init__`; fields by keyword alone,
    and annotations that are no fields (`ClassVar`, `InitVar`), are not provided for.

    >>> @record
    ... class Bar:
    ...     length_mm: int
    ...     marks: tuple[str, ...] = ()
    >>> Bar(6000), Bar(6000) == Bar(6000, ()), len({Bar(6000), Bar(5400), Bar(6000)})
    (Bar(length_mm=6000, marks=()), True, 2)
    """
    brought = dict(vars(kind))
    inherited = {name: one for base in kind.__mro__[:0:-1] for name, one in getattr(base, _FIELDS, {}).items()}
    held = inherited | _own_fields(kind)
    for name in ("__dict__", "__weakref__", *held):  # slots take their places
        brought.pop(name, None)
    known: dict[str, Any] = {"MISSING": MISSING}
    parts = {
        "__init__": _filling(kind, tuple(held.values()), known),
        **_ALIKE,
        **brought,
        "__qualname__": kind.__qualname__,
        "__slots__": tuple(name for name in held if name not in inherited),
        "__match_args__": tuple(name for name, one in held.items() if one.init),
        _FIELDS: held,
        _ACCOUNT: getattr(_Standard, _ACCOUNT),
    }
    made: Any = type(kind)(kind.__name__, kind.__bases__, parts)  # type: ignore[misc]
    for place, name in enumerate(made.__match_args__):
        known[f"fill_{place}"] = getattr(made, name).__set__
    for name in ("__eq__", "__hash__"):
        if name not in brought:
            setattr(made, name, _at_first(made, name))
    kept: type[T] = made
    return kept


@dataclass(frozen=True, slots=True)
class _Standard:
    """A record as the standard library makes it: its account of how stands in all of ours."""

    one: int


_FIELDS, _ACCOUNT = "__dataclass_fields__", "__dataclass_params__"
_SORT: Any = fields(_Standard)[0]  # what tells its fields from annotations that are none


def _own_fields(kind: type[Any]) -> dict[str, Any]:
    """The fields that a kind of record brings, by name. Raises ValueError for a default that may change."""
    found: dict[str, Any] = {}
    for name, said in vars(kind).get("__annotations__", {}).items():
        given = vars(kind).get(name, MISSING)
        one: Any = given if isinstance(given, Field) else field(default=given)
        if one.default.__class__.__hash__ is None:
            raise ValueError(f"{kind.__qualname__}.{name}: a default that may change; give it a default_factory")
        one.name, one.type, one.kw_only, one._field_type = name, said, False, _SORT._field_type
        found[name] = one
    return found


def _filling(kind: type[Any], every: tuple[Any, ...], known: dict[str, Any]) -> Callable[..., None]:
    """The `__init__` of a kind of record: the code of all that have as many fields, with its own names put in; what
    fills its slots is looked up in `known`. Raises TypeError for a field that must be given behind one that need
    not."""
    held = [one for one in every if one.init]
    anew = tuple(one.default_factory is not MISSING for one in held)
    needed = [one.default is MISSING and not new for one, new in zip(held, anew, strict=True)]
    if needed != sorted(needed, reverse=True):
        raise TypeError(f"{kind.__qualname__}: a field that must be given stands behind one that need not")
    known.update((f"new_{place}", one.default_factory) for place, one in enumerate(held))
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
    hashed = name == "__hash__"
    held = [one.name for one in fields(kind) if one.compare and not (hashed and one.hash is False)]
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
