"""Records: the standard library's dataclasses, with methods that are made when they are first called.

A run loads some 450 classes of records and makes about half of them; writing and compiling six methods for each took a
fifth of a second, more than the libraries for numbers and polygons together. Here a class is given its fields and slots
by the standard library, and a stand-in for each method, which puts the real one in its place when it is called. What
comes out is the same: `fields`, `replace`, `asdict`, equality, hash, words, pickles and the error on a change.

    >>> @dataclass(frozen=True, slots=True)
    ... class Point:
    ...     x: float
    ...     y: float = 0.0
    >>> Point(1.0), Point(1.0) == Point(1.0, 0.0), hash(Point(1.0)) == hash((1.0, 0.0))
    (Point(x=1.0, y=0.0), True, True)
"""

from __future__ import annotations

from dataclasses import MISSING, Field, FrozenInstanceError, fields
from dataclasses import dataclass as _standard
from functools import cache
from reprlib import recursive_repr
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable
    from dataclasses import dataclass as dataclass
else:

    def dataclass(*, slots: bool, frozen: bool = False, eq: bool = True, init: bool = True) -> Callable[[type], type]:
        """What the standard library's decorator of that name makes of a class without `__post_init__`."""
        return lambda cls: _record(_standard(init=False, repr=False, eq=False, slots=slots)(cls), frozen, eq, init)


def _record(cls: type, frozen: bool, eq: bool, init: bool) -> type:
    """The class with its methods; those that it states itself stay."""
    own = {name for name, stated in cls.__dict__.items() if stated is not None}
    made: dict[str, Any] = {"__repr__": _words}
    if frozen:
        made |= {"__setattr__": _refuse, "__delattr__": _refuse, "__getstate__": _state, "__setstate__": _restore}
    if eq:
        made["__eq__"] = _stand_in(cls, "__eq__", _equality_text)
        made["__hash__"] = _stand_in(cls, "__hash__", _hash_text) if frozen else None
    if init:
        made["__init__"] = _stand_in(cls, "__init__", _frozen_init_text if frozen else _init_text)
    for name, method in made.items():
        if name not in own:
            setattr(cls, name, method)
    return cls


def _stand_in(cls: type, name: str, text: Callable[[tuple[Field[Any], ...]], str]) -> Callable[..., Any]:
    """A method that makes the real one, puts it in its place and answers by it."""

    def method(self: Any, *args: Any, **kwargs: Any) -> Any:
        return real()(self, *args, **kwargs)

    @cache
    def real() -> Callable[..., Any]:
        listed = fields(cls)
        known: dict[str, Any] = {"MISSING": MISSING}
        for field in listed:
            known |= {f"put_{field.name}": getattr(getattr(cls, field.name, None), "__set__", None)}
            known |= {f"given_{field.name}": field.default, f"make_{field.name}": field.default_factory}
        exec(text(listed), known)
        made: Callable[..., Any] = known[name]
        made.__qualname__ = f"{cls.__qualname__}.{name}"
        setattr(cls, name, made)
        return made

    method.__name__ = name
    return method


def _init_text(listed: tuple[Field[Any], ...]) -> str:
    return _init(listed, "self.{0} = {1}")


def _frozen_init_text(listed: tuple[Field[Any], ...]) -> str:
    """Values are put into their slots directly: assigning is refused."""
    return _init(listed, "put_{0}(self, {1})")


def _init(listed: tuple[Field[Any], ...], put: str) -> str:
    taken, lines = [], ["  pass"]
    for field in listed:
        name = value = field.name
        if field.default_factory is not MISSING:
            taken.append(f"{name}=MISSING")
            value = f"make_{name}() if {name} is MISSING else {name}"
        else:
            taken.append(name if field.default is MISSING else f"{name}=given_{name}")
        lines.append("  " + put.format(name, value))
    return f"def __init__({', '.join(['self', *taken])}):\n" + "\n".join(lines)


def _equality_text(listed: tuple[Field[Any], ...]) -> str:
    ours, theirs = (_held(listed, who) for who in ("self", "other"))
    same = "other.__class__ is self.__class__"
    return f"def __eq__(self, other):\n  return {ours} == {theirs} if {same} else NotImplemented"


def _hash_text(listed: tuple[Field[Any], ...]) -> str:
    return f"def __hash__(self):\n  return hash({_held(listed, 'self')})"


def _held(listed: tuple[Field[Any], ...], who: str) -> str:
    return "(" + "".join(f"{who}.{field.name}, " for field in listed if field.compare) + ")"


@recursive_repr("...")
def _words(self: Any) -> str:
    said = ", ".join(f"{field.name}={getattr(self, field.name)!r}" for field in fields(self) if field.repr)
    return f"{type(self).__qualname__}({said})"


def _refuse(self: Any, name: str, *_value: Any) -> None:
    raise FrozenInstanceError(f"cannot change field {name!r} of {type(self).__qualname__}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, field.name) for field in fields(self)]


def _restore(self: Any, state: list[Any]) -> None:
    for field, value in zip(fields(self), state, strict=True):
        object.__setattr__(self, field.name, value)
