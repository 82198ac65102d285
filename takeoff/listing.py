"""What a job may set and name: the settings and the products of the catalogue, as lines for the screen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields
from typing import Any

from takeoff.basics.errors import UsageError
from takeoff.basics.nearest import did_you_mean
from takeoff.model.basis import Setting, Status
from takeoff.model.value_types import PATTERN_WORDS, ValueKind
from takeoff.read.catalogue import PRODUCTS, codes, default_settings, load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.write.words.words import basis_words, name_words, number, value_words


def setting_lines(word: str = "", status: str = "", code: str = "") -> Iterator[str]:
    """Every setting whose name or meaning holds the word, under a code: name, value and what it may be; then meaning
    and basis. `status` keeps those of one standing, such as memory.

    Raises UsageError, with the nearest name, where no setting is called so, and for a code or status there is not.
    """
    wanted = word.lower().replace(" ", "_")
    known = default_rules(_held_to(code, codes(), "code")).values
    standing = _held_to(status, Status, "status")
    found = [s for s in known.values() if wanted in s.name or word.lower() in s.says.lower()]
    found = [s for s in found if not status or s.basis.status.value == standing]
    if not found and not status:
        hint = did_you_mean(wanted, default_settings(), "; takeoff settings lists them all")
        raise UsageError(f"no setting is called {word!r}{hint}")
    for setting in found:
        yield f"{setting.name}: {_value(setting)}   ({allowed_words(setting)})"
        yield f"    {setting.says}; {basis_words(setting.basis)}"
    if status:
        yield from _products_of(word, standing)


def _products_of(word: str, status: str) -> Iterator[str]:
    """Values of products with one standing: product, field and basis; those whose id or name holds the word."""
    for group in PRODUCTS:
        products: Iterable[Any] = getattr(load_catalogue(), group).values()
        for product in products:
            for name, basis in product.basis.items():
                if basis.status.value == status and (word in product.id or word.lower() in product.name.lower()):
                    field = "all but what stands apart" if name == "*" else name_words(name)
                    yield f"{group} {product.id}: {field}; {basis_words(basis)}"


def _held_to(given: str, known: Iterable[str], what: str) -> str:
    """A word that is one of those there are, or "" where none is given."""
    names = tuple(known)
    if given and given not in names:
        raise UsageError(f"no {what} is called {given!r}{did_you_mean(given, names)}; {', '.join(names)}")
    return given


def allowed_words(setting: Setting) -> str:
    """What a setting may be set to: "0 to 500 mm", "mitre or fitting", "true or false"."""
    kind = setting.type
    if kind.kind is ValueKind.NUMBER:
        whole = "whole, " if kind.whole else ""
        return f"{whole}{number(kind.least)} to {number(kind.most)} {setting.unit}"
    if kind.kind is ValueKind.FLAG:
        return "true or false"
    if kind.words:
        return " or ".join(part for part in (", ".join(kind.words[:-1]), kind.words[-1]) if part)
    return PATTERN_WORDS[kind.kind]


def _value(setting: Setting) -> str:
    if isinstance(setting.value, bool):
        return "true" if setting.value else "false"
    return value_words(setting.value, setting.unit)


def product_lines(kind: str = "") -> Iterator[str]:
    """Every product of a kind, or of all: the id a job names it by, its name and its sizes.

    Raises UsageError, with the nearest kind, for one that does not exist.
    """
    if kind and kind not in PRODUCTS:
        raise UsageError(f"no kind of product is called {kind!r}{did_you_mean(kind, PRODUCTS)}; {', '.join(PRODUCTS)}")
    for group in (kind,) if kind else PRODUCTS:
        yield f"{group}:"
        products: Iterable[Any] = getattr(load_catalogue(), group).values()
        for product in products:
            yield f"  {product.id}: {product.name}"
            yield f"      {', '.join(size_words(product))}"


def size_words(product: Any) -> Iterator[str]:
    """The sizes of a product of the catalogue, a few words each."""
    for field in fields(product):
        value = getattr(product, field.name)
        if field.name in ("id", "name", "basis") or not value:
            continue
        unit = next((end[1:] for end in ("_mm2", "_mm", "_deg", "_m2") if field.name.endswith(end)), "")
        if isinstance(value, tuple):
            entries = " ".join(entry if isinstance(entry, str) else f"{entry:g}" for entry in value)
            yield f"{name_words(field.name)} {entries} {unit}".rstrip()
        elif not hasattr(value, "items"):
            yield f"{name_words(field.name)} {value_words(value, unit)}"
