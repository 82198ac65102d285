"""Ids of products and names of settings in a text, said in words: no id of the program reaches a person."""

from __future__ import annotations

import re

from takeoff.model.order import Takeoff
from takeoff.write.words.item_names import item_words
from takeoff.write.words.words import name_words, plain

_ID = re.compile(r"[A-Za-z0-9]+(?:_[A-Za-z0-9]+)+")


def called(found: str, takeoff: Takeoff) -> str:
    """What an id is called: items of the order and products by their names, settings by their words in quotes; a word
    that is no id stays."""
    if found in takeoff.items:
        return item_words(takeoff.items[found])
    catalogue = takeoff.catalogue
    for group in (
        catalogue.rolls, catalogue.timbers, catalogue.flashings, catalogue.downpipes, catalogue.gutters,
        catalogue.boards, catalogue.profiles,
    ):  # fmt: skip
        if found in group:
            return group[found].name
    return f"'{name_words(found)}'" if found in takeoff.settings.values else found


def spoken(text: str, takeoff: Takeoff) -> str:
    """A text with every id in it said in words, control characters gone. What stands between backquotes is a line to
    paste into the job file: it stays as it is."""
    return "`".join(part if i % 2 else _said(part, takeoff) for i, part in enumerate(plain(text).split("`")))


def _said(text: str, takeoff: Takeoff) -> str:
    if "_" not in text:  # every id has one
        return text
    for item in takeoff.items.values():
        if " " in item.id and "_" in item.id:
            text = text.replace(item.id, item_words(item))
    return _ID.sub(lambda match: called(match[0], takeoff), text)
