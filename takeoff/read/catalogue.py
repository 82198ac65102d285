"""The catalogue's data files -> products and default settings, each value with its basis.

A row that names no basis, or a source that sources.yaml does not list, is a fault of ours and raises at once: a
figure without a source must not reach an order.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from functools import cache
from hashlib import sha256
from importlib import resources
from typing import Any, TypeVar

from takeoff.basics.errors import TakeoffError
from takeoff.model.basis import Basis, Setting, Status
from takeoff.model.items import ItemKind, ItemRow, Pack
from takeoff.model.products import (
    Board,
    Catalogue,
    DownpipeProfile,
    FlashingProfile,
    GutterProfile,
    Profile,
    ProfileKind,
    Roll,
    Timber,
)
from takeoff.model.value_types import ValueKind, ValueType
from takeoff.read.job.yaml_tree import read_yaml

T = TypeVar("T")

# file name in catalogue/products -> record
PRODUCTS: dict[str, type[Any]] = {
    "profiles": Profile,
    "boards": Board,
    "gutters": GutterProfile,
    "downpipes": DownpipeProfile,
    "flashings": FlashingProfile,
    "timbers": Timber,
    "rolls": Roll,
}
SETTING_FILES = ("order", "roofing", "rainwater", "cladding")
SETTING_KEYS = frozenset(
    (
        "value",
        "unit",
        "type",
        "least",
        "most",
        "whole",
        "of",
        "use",
        "status",
        "source",
        "clause",
        "via",
        "holds",
        "says",
    )
)


def _data(*names: str) -> Mapping[Any, Any]:
    where = resources.files("takeoff.catalogue")
    for name in names:
        where = where.joinpath(name)
    tree = read_yaml(where.read_text(encoding="utf-8"))
    if tree.faults:
        raise TakeoffError(*(f"catalogue/{'/'.join(names)}:{line}:{col}: {text}" for line, col, text in tree.faults))
    if tree.value is None:
        return {}
    if not isinstance(tree.value, dict):
        raise TakeoffError(f"catalogue/{'/'.join(names)}: must be a mapping")
    return tree.value


@cache
def sources() -> Mapping[str, str]:
    """Published sources by id."""
    return {str(key): str(value) for key, value in _data("sources.yaml").items()}


def _basis(row: Mapping[Any, Any], where: str) -> Basis:
    try:
        status = Status(str(row["status"]))
    except (KeyError, ValueError):
        raise TakeoffError(f"{where}: needs a status, one of {', '.join(Status)}") from None
    source = str(row.get("source", ""))
    if source and source not in sources():
        raise TakeoffError(f"{where}: source {source} is not in sources.yaml")
    if not source and status in (Status.SEEN, Status.SEEN_RESTATED):
        raise TakeoffError(f"{where}: status {status} needs a source")
    return Basis(
        status=status,
        source=sources().get(source, ""),
        clause=str(row.get("clause", "")),
        via=str(row.get("via", "")),
        holds=str(row.get("holds", "")),
    )


@cache
def default_settings() -> Mapping[str, Setting]:
    """Every setting of catalogue/settings by name."""
    found: dict[str, Setting] = {}
    for file in SETTING_FILES:
        for name, row in _data("settings", f"{file}.yaml").items():
            where = f"catalogue/settings/{file}.yaml: {name}"
            if name in found:
                raise TakeoffError(f"{where}: is given twice")
            found[str(name)] = _setting(str(name), row, where)
    return found


def _setting(name: str, row: Any, where: str) -> Setting:
    needed = ("value", "unit", "type", "says")
    if not isinstance(row, dict) or any(key not in row for key in needed):
        raise TakeoffError(f"{where}: give {', '.join(needed)} and status")
    stray = [str(key) for key in row if key not in SETTING_KEYS]
    if stray:
        raise TakeoffError(f"{where}: unknown field {stray[0]}")
    return Setting(name, row["value"], str(row["unit"]), _basis(row, where), str(row["says"]), _type(row, where))


def _type(row: Mapping[Any, Any], where: str) -> ValueType:
    try:
        kind = ValueKind(str(row["type"]))
    except ValueError:
        raise TakeoffError(f"{where}: type must be one of {', '.join(ValueKind)}") from None
    if kind is ValueKind.NUMBER:
        if "least" not in row or "most" not in row:
            raise TakeoffError(f"{where}: a number needs least and most")
        return ValueType(kind, float(row["least"]), float(row["most"]), whole=bool(row.get("whole", False)))
    if kind is ValueKind.CHOICE:
        return ValueType(kind, words=tuple(str(word) for word in row.get("of", ())))
    if kind is ValueKind.PRODUCT:
        group = str(row.get("of"))
        if group not in PRODUCTS:
            raise TakeoffError(f"{where}: a product is of one of {', '.join(PRODUCTS)}")
        products = getattr(load_catalogue(), group).values()
        words = (product.id for product in products if "use" not in row or product.use == row["use"])
        return ValueType(kind, words=tuple(words), group=group)
    return ValueType(kind)


def _product(record: type[T], name: str, row: Mapping[Any, Any], where: str) -> T:
    values: dict[str, Any] = {"id": name}
    allowed = {f.name for f in fields(record)}  # type: ignore[arg-type]
    for key, value in row.items():
        if key == "basis":
            values["basis"] = {str(k): _basis(v, f"{where}: basis of {k}") for k, v in value.items()}
        elif key in allowed and isinstance(value, dict):
            # YAML keys that look like numbers are read as text
            values[str(key)] = {float(number): amount for number, amount in value.items()}
        elif key in allowed:
            values[str(key)] = tuple(value) if isinstance(value, list) else value
            if key == "kind" and record is Profile:
                values["kind"] = _profile_kind(value, where)
        else:
            raise TakeoffError(f"{where}: unknown field {key}")
    if not values.get("basis"):
        raise TakeoffError(f"{where}: needs a basis, by field or '*' for all")
    try:
        return record(**values)
    except TypeError as err:
        raise TakeoffError(f"{where}: {err}") from None


def _profile_kind(value: Any, where: str) -> ProfileKind:
    try:
        return ProfileKind(str(value))
    except ValueError:
        raise TakeoffError(f"{where}: kind must be one of {', '.join(ProfileKind)}") from None


@cache
def load_catalogue() -> Catalogue:
    """All products of catalogue/products. Raises TakeoffError for a row without a basis."""
    return Catalogue(
        **{
            file: {
                str(name): _product(record, str(name), row, f"catalogue/products/{file}.yaml: {name}")
                for name, row in _data("products", f"{file}.yaml").items()
            }
            for file, record in PRODUCTS.items()
        },
        items=_items(),
    )


@cache
def catalogue_version() -> str:
    """Fingerprint of the catalogue's data: it changes with any value, product or source."""
    found = sha256()
    names = [("sources.yaml",), ("items.yaml",), *(("settings", f"{file}.yaml") for file in SETTING_FILES)]
    for name in (*names, *(("products", f"{file}.yaml") for file in PRODUCTS)):
        found.update(resources.files("takeoff.catalogue").joinpath(*name).read_bytes())
    return found.hexdigest()


def _items() -> Mapping[str, ItemRow]:
    """Sorts of item of catalogue/items.yaml by id."""
    found: dict[str, ItemRow] = {}
    settings = {name for file in SETTING_FILES for name in _data("settings", f"{file}.yaml")}
    for name, row in _data("items.yaml").items():
        try:
            setting = str(row.get("pack", ""))
            pack = Pack(str(row["in"]), setting) if setting else None
            found[str(name)] = ItemRow(str(name), str(row["name"]), ItemKind(row["kind"]), str(row["sold_in"]), pack)
        except (KeyError, ValueError) as err:
            raise TakeoffError(f"catalogue/items.yaml: {name}: {err}") from None
        if setting and setting not in settings:
            raise TakeoffError(f"catalogue/items.yaml: {name}: there is no setting {setting}")
    return found
