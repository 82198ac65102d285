"""What an item is called on paper: the name of its sort or product, then what sets it apart, then what it comes in."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from takeoff.model.items import Item, ItemKind, Mark, MarkKind

Value = float | str | tuple[float, ...]


def _sides(value: Value) -> tuple[float, ...]:
    return value if isinstance(value, tuple) else ()


def _number(value: Value) -> float:
    return value if isinstance(value, float | int) else 0.0


# what each mark says; "" where it is said otherwise
_WORDS: Mapping[MarkKind, Callable[[Value], str]] = {
    MarkKind.CALLED: lambda value: "",
    MarkKind.WAYS: lambda value: "",
    MarkKind.SIZE: lambda value: "",
    MarkKind.GIRTH: lambda value: f"girth {_number(value):.0f}",
    MarkKind.FOLDS: lambda value: f"{_number(value):.0f} folds",
    MarkKind.BEND: lambda value: f"{_number(value):.0f}°",
    MarkKind.WAY: str,
    MarkKind.HAND: str,
    MarkKind.RIBBED: lambda value: "for ribbed sheets",
    MarkKind.PIPE: lambda value: f"for {_number(value):.0f} mm",
    MarkKind.SPREAD: lambda value: "{:.0f} wide x {:.0f} long".format(*_sides(value)),
    MarkKind.LONG: lambda value: f"{_number(value):.0f} long",
    MarkKind.LENGTH: lambda value: f"{_number(value):.0f} mm",
    MarkKind.THICK: lambda value: f"{_number(value):.2f} mm",
    MarkKind.COLOUR: str,
    MarkKind.MADE_AS: str,
    MarkKind.PIPES: lambda value: f"lengths for {_number(value):.0f} pipe{'s' if _number(value) > 1 else ''}",
    MarkKind.FITS: str,
    MarkKind.ROOF: lambda value: f"roof {value}",
}


def item_words(item: Item) -> str:
    """The item without what it comes in: "Ridge flashing, girth 370, 5 folds, 130°"."""
    said = {mark.kind: mark.value for mark in item.marks}
    name = str(said.get(MarkKind.CALLED, item.name))
    if MarkKind.WAYS in said:
        name = f"{_number(said[MarkKind.WAYS]):.0f}-way {name}"
    if MarkKind.SIZE in said:
        name += " " + " x ".join(f"{side:g}" for side in _sides(said[MarkKind.SIZE]))
    parts = [name, *(words for mark in item.marks if (words := mark_words(mark)))]
    return ", ".join(["spare sheet", *parts] if item.kind is ItemKind.SPARE_SHEET else parts)


def mark_words(mark: Mark) -> str:
    """What a mark says behind the name, "" for one that is part of the name."""
    return _WORDS[mark.kind](mark.value)


def item_name(item: Item) -> str:
    """The item as it stands on an order line: "Staple for underlay, box of 5000"."""
    pack = item.pack
    if pack is None or pack.holds <= 0.0:
        return item_words(item)
    of = "" if item.sold_in == "each" else f" {item.sold_in}"
    return f"{item_words(item)}, {pack.word} of {pack.holds:g}{of}"


def words_of(item_id: str, items: Mapping[str, Item]) -> str:
    """An item by its id, without what it comes in; the id itself where there is no such item."""
    return item_words(items[item_id]) if item_id in items else item_id
