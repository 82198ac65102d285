"""What panels fetch of a house as data: made once for each answer of the worker, in a thread, when somebody asks.

The page is told by a number alone that there is something newer; a panel that nobody looks at asks for nothing.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar
from weakref import WeakKeyDictionary

from takeoff.basics.errors import TakeoffError
from takeoff.model.order import Takeoff
from takeoff.web.house import House, News
from takeoff.web.order_view import COLUMNS, RIGHT, Data, Since, item_names, order_data
from takeoff.write.drawings.svg import svg_text
from takeoff.write.files import drawings
from takeoff.write.house_view.house_parts import house_parts
from takeoff.write.house_view.page_data import page_data
from takeoff.write.words.trade_words import trade_words

T = TypeVar("T")
NOT_YET = "There is no order yet: the house is being worked out."


@dataclass(slots=True)
class _Made:
    """What was made of one takeoff, by kind."""

    of: Takeoff | None
    found: dict[str, Any]


class Feed:
    """The data of a house. `number` grows with each answer of the worker that changes what is shown."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.number = 0
        self.shown: Takeoff | None = None  # what is drawn: the last shape or order that was right
        self._since = Since()
        self._names: dict[str, str] = {}
        self._before: Takeoff | None = None
        self._shown, self._ordered = _Made(None, {}), _Made(None, {})
        self._one = asyncio.Lock()
        house.hear(self._news)

    @property
    def known(self) -> Data | None:
        """The data of what is drawn, where they are made already."""
        found: Data | None = self._shown.found.get("house") if self._shown.of is self.shown else None
        return found

    async def house_data(self) -> Data | None:
        """Parts in space with their words; None where nothing was ever right."""
        takeoff = self.shown
        return None if takeoff is None else await self._make(self._shown, takeoff, "house", _house_data)

    async def house_json(self) -> bytes:
        """The same as JSON; "null" for none."""
        data = await self.house_data()
        return b"null" if data is None else await asyncio.to_thread(_json, data)

    async def order_json(self) -> bytes:
        """The order with its sheets plane by plane as JSON; "null" where there was never an order."""
        takeoff = self.house.ordered
        if takeoff is None:
            return b"null"
        since = Since(self._since.lines, dict(self._names))
        return await self._make(self._ordered, takeoff, "order", lambda found: _order_json(found, since))

    async def drawing_names(self) -> bytes:
        """Every drawing of the order, its name and title, as JSON."""
        found = await self._drawings()
        return _json([[drawing.name, drawing.title] for drawing in found.values()])

    async def drawing(self, name: str) -> bytes | None:
        """A drawing as SVG, the very file that is written; None for one that there is not."""
        found = (await self._drawings()).get(name)
        return None if found is None else await asyncio.to_thread(lambda: svg_text(found).encode("utf-8"))

    async def _drawings(self) -> dict[str, Any]:
        takeoff = self.house.ordered
        if takeoff is None:
            raise TakeoffError(NOT_YET)
        return await self._make(
            self._ordered, takeoff, "drawings", lambda found: {drawing.name: drawing for drawing in drawings(found)}
        )

    async def _make(self, made: _Made, takeoff: Takeoff, kind: str, make: Callable[[Takeoff], T]) -> T:
        async with self._one:
            if made.of is not takeoff:
                made.of, made.found = takeoff, {}
            if kind not in made.found:
                made.found[kind] = await asyncio.to_thread(make, takeoff)
            found: T = made.found[kind]
            return found

    def _news(self, news: News) -> None:
        if news is News.SHAPED:
            self.shown = self.house.shaped
        elif news is News.ORDERED:
            self.shown = self.house.ordered
            self._took(self.house.ordered)
        else:
            return
        self.number += 1

    def _took(self, takeoff: Takeoff | None) -> None:
        """An order has come: what it changed against the last, where there was one."""
        changes = self.house.changes
        ordered = self._before is not None and self._before.order is not None
        self._since = Since(changes.lines) if ordered and changes is not None else Since()
        if self._before is not None:
            self._names.update(item_names(self._before))
        self._before = takeoff


def _house_data(takeoff: Takeoff) -> Data:
    return page_data(takeoff, house_parts(takeoff), trade_words(takeoff))


def _order_json(takeoff: Takeoff, since: Since) -> bytes:
    planes = [
        {"m": plane["m"], "t": plane["t"], "b": plane["b"], "a": plane["a"], "s": list(map(_row, plane["s"]))}
        for plane in _house_data(takeoff)["planes"]
    ]
    return _json(order_data(takeoff, since) | {"columns": COLUMNS, "right": RIGHT, "planes": planes})


def _row(sheet: Data) -> Data:
    """A sheet of the list, without its shape."""
    return {key: words for key, words in sheet.items() if key != "g"}


def _json(data: object) -> bytes:
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode("utf-8")


_FEEDS: WeakKeyDictionary[House, Feed] = WeakKeyDictionary()


def feed_of(house: House) -> Feed:
    """The one feed of a house."""
    if house not in _FEEDS:
        _FEEDS[house] = Feed(house)
    return _FEEDS[house]
