"""Ids of products and names of settings in a text, said in words: no id of the program reaches a person."""

from __future__ import annotations

import re
from collections.abc import Mapping

from takeoff.model.order import Takeoff
from takeoff.write.words.item_names import item_words
from takeoff.write.words.words import name_words, plain

_ID = re.compile(r"[A-Za-z0-9]+(?:_[A-Za-z0-9]+)+")


def names_of(takeoff: Takeoff) -> Mapping[str, str]:
    """What each id is called: settings by their words in quotes, products and items of the order by their names."""
    found = {name: f"'{name_words(name)}'" for name in takeoff.settings.values}
    catalogue = takeoff.catalogue
    groups = (
        catalogue.profiles, catalogue.boards, catalogue.gutters, catalogue.downpipes, catalogue.flashings,
        catalogue.timbers, catalogue.rolls,
    )  # fmt: skip
    found |= {product.id: product.name for group in groups for product in group.values()}
    found |= {item.id: item_words(item) for item in takeoff.items.values()}
    return found


def spoken(text: str, takeoff: Takeoff) -> str:
    """A text with every id in it said in words, control characters gone. What stands between backquotes is a line to
    paste into the job file: it stays as it is."""
    return "`".join(part if i % 2 else _said(part, takeoff) for i, part in enumerate(plain(text).split("`")))


def _said(text: str, takeoff: Takeoff) -> str:
    names = names_of(takeoff)
    for item in takeoff.items.values():
        if " " in item.id and "_" in item.id:
            text = text.replace(item.id, item_words(item))
    return _ID.sub(lambda match: names.get(match[0], match[0]), text)
