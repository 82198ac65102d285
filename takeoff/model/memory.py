"""What was worked out is not worked out again while its inputs, and every setting that it read, are the same.

A piece of work is a function of records. Its result is kept under its inputs, by value, with the settings it asked for
as they then were; it is given again where all of these are equal, and whoever asks is noted as having asked for them,
so that the page of bases stays right. Nothing is kept unless a Memory is in use (`Memory.used`).
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, TypeVar

from pydantic import BaseModel

from takeoff.basics.records import record
from takeoff.basics.superseding import look_up
from takeoff.model.basis import Setting
from takeoff.model.settings import Settings

KEPT = 3000  # results: some twenty runs of a house with walls
_VARIANTS = 4  # of one piece of work on the same inputs under other settings

T = TypeVar("T")


@dataclass(frozen=True, slots=True, eq=False)
class Same:
    """An input that is the same only where it is the very same record: large ones that are loaded once."""

    of: object

    def __hash__(self) -> int:
        return id(self.of)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Same) and self.of is other.of


class _Hashed:
    """An input by value, its hash worked out once: a key is looked up, kept and moved, and a house is large."""

    __slots__ = ("_hash", "of")

    def __init__(self, of: object) -> None:
        """Raises TypeError for what cannot be hashed."""
        self.of, self._hash = of, hash(of)

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Hashed) and (self.of is other.of or self.of == other.of)


@record
class _Kept:
    """One result with the settings that were read for it."""

    read: tuple[Setting, ...]
    result: Any

    def holds(self, settings: Settings) -> bool:
        """Whether every setting that was read is as it was then: equal, and of the same type."""
        return all(_same(settings.values.get(before.name), before) for before in self.read)


def _same(now: Setting | None, before: Setting) -> bool:
    return now is before or (now is not None and now == before and type(now.value) is type(before.value))


class Memory:
    """Results of a session, the longest unused of them forgotten beyond `most`.

    `worked` and `recalled` count, by kind of work, what was worked out and what was not.
    """

    def __init__(self, most: int = KEPT) -> None:
        self.most = most
        self.worked: dict[str, int] = {}
        self.recalled: dict[str, int] = {}
        self._kept: OrderedDict[tuple[Hashable, ...], list[_Kept]] = OrderedDict()

    def __len__(self) -> int:
        return len(self._kept)

    @contextmanager
    def used(self) -> Iterator[None]:
        """Work done within remembers here."""
        token = _IN_USE.set(self)
        try:
            yield
        finally:
            _IN_USE.reset(token)

    def find(self, key: tuple[Hashable, ...], settings: Settings) -> _Kept | None:
        """The result of that work on those inputs under these settings, if it is known."""
        variants = self._kept.get(key)
        if variants is None:
            return None
        self._kept.move_to_end(key)
        return next((kept for kept in variants if kept.holds(settings)), None)

    def keep(self, key: tuple[Hashable, ...], kept: _Kept) -> None:
        """Remember a result, and forget the longest unused beyond the most."""
        self._kept[key] = [kept, *self._kept.get(key, ())][:_VARIANTS]
        self._kept.move_to_end(key)
        while len(self._kept) > self.most:
            self._kept.popitem(last=False)


_IN_USE: ContextVar[Memory | None] = ContextVar("memory in use", default=None)
_NO_SETTINGS = Settings({})


def recalled(what: str, inputs: tuple[object, ...], settings: Settings, work: Callable[[Settings], T]) -> T:
    """The result of `work`, done now or remembered.

    `what` names the kind of work; `inputs` are all that it depends on but settings, and it asks only those it is
    given. What it raises is raised, and not remembered. Raises Superseded where newer work waits.
    """
    memory = _IN_USE.get()
    if memory is None:
        return work(settings)
    look_up()
    key = (what, Same(settings.rules), *(key_of(value) for value in inputs))
    kept = memory.find(key, settings)
    counts = memory.worked if kept is None else memory.recalled
    counts[what] = counts.get(what, 0) + 1
    if kept is None:
        asked = settings.watched()
        result = work(asked)
        kept = _Kept(tuple(settings.values[name] for name in asked.noted or ()), result)
        memory.keep(key, kept)
    if settings.noted is not None:
        settings.noted.update(setting.name for setting in kept.read)
    found: T = kept.result
    return found


def recalled_plain(what: str, inputs: tuple[object, ...], work: Callable[[], T]) -> T:
    """As `recalled`, for work that asks for no settings."""
    return recalled(what, inputs, _NO_SETTINGS, lambda _: work())


def key_of(value: object) -> Hashable:
    """A value as it is compared: records and numbers by themselves, parts of a job by what they say, mappings and
    lists by what they hold."""
    if isinstance(value, BaseModel):
        return type(value), value.model_dump_json(), value.model_dump_json(exclude_unset=True)
    if isinstance(value, Mapping):
        return tuple((key_of(name), key_of(held)) for name, held in value.items())
    if isinstance(value, list):
        return tuple(key_of(held) for held in value)
    try:
        return _Hashed(value)
    except TypeError:
        if isinstance(value, tuple):
            return _Hashed(tuple(key_of(held) for held in value))
        if is_dataclass(value):
            return _Hashed((type(value), *(key_of(getattr(value, field.name)) for field in fields(value))))
        raise
