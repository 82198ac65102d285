"""Ids of products and names of settings in a text, said in words: no id of the program reaches a person."""

from __future__ import annotations

import re
from collections.abc import Mapping

from takeoff.model.order import Takeoff
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
    for need in (*takeoff.roofing.needs, *takeoff.rainwater.needs, *takeoff.cladding.needs):
        found |= dict(need.names)
    return found


def spoken(text: str, takeoff: Takeoff) -> str:
    """A text with every id in it said in words, control characters gone."""
    names = names_of(takeoff)
    return plain(_ID.sub(lambda match: names.get(match[0], match[0]), text))
