"""The catalogue's data files -> products and default settings, each value with its basis.

A row that names no basis, or a source that sources.yaml does not list, is a fault of ours and raises at once: a
figure without a source must not reach an order.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from functools import cache
from hashlib import sha256
from importlib import resources
from importlib.resources.abc import Traversable
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
    ProfileShape,
    Roll,
    Timber,
    WallDetail,
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
    "wall_details": WallDetail,
}
SETTING_FILES = ("order", "roofing", "model", "rainwater", "cladding")
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
# a code may say these of a setting; its unit, bounds and meaning are everybody's
OVERLAY_KEYS = frozenset(("value", "of", "status", "source", "clause", "via", "holds"))


@cache
def catalogue_root() -> Traversable:
    """The folder of the catalogue's data."""
    return resources.files("takeoff.catalogue")


@cache
def codes() -> tuple[str, ...]:
    """Names of the codes of practice: the folders in catalogue/codes."""
    return tuple(sorted(path.name for path in catalogue_root().joinpath("codes").iterdir() if path.is_dir()))


@cache
def code_data(code: str, file: str) -> Mapping[Any, Any]:
    """A data file of a code; nothing where its folder has none of that name."""
    held = catalogue_root().joinpath("codes", code, f"{file}.yaml")
    return _data("codes", code, f"{file}.yaml") if held.is_file() else {}


@cache
def default_code() -> str:
    """The code that is taken where a job names none."""
    marked = [code for code in codes() if code_data(code, "code").get("default")]
    if len(marked) != 1:
        raise TakeoffError("catalogue/codes: mark one code as default in its code.yaml")
    return marked[0]


def _data(*names: str) -> Mapping[Any, Any]:
    where = catalogue_root()
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
    """Published sources by id, those of the codes among them."""
    own = [code_data(code, "code").get("sources", {}) for code in codes()]
    rows = [*_data("sources.yaml").items(), *(row for held in own for row in held.items())]
    return {str(key): str(value) for key, value in rows}


@cache
def _code_of() -> Mapping[str, str]:
    """By id of a source the code whose own it is."""
    return {str(source): code for code in codes() for source in code_data(code, "code").get("sources", {})}


def basis_of_row(row: Mapping[Any, Any], where: str) -> Basis:
    """The basis that a row of data names. Raises TakeoffError for one without, or with a source nobody lists."""
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
        code=_code_of().get(source, ""),
    )


def default_settings(code: str = "") -> Mapping[str, Setting]:
    """Every setting by name: those of catalogue/settings with what a code puts in their place, the default code where
    none is named."""
    return _settings_of(code or default_code())


@cache
def _settings_of(code: str) -> Mapping[str, Setting]:
    found = dict(_common_settings())
    for name, row in code_data(code, "settings").items():
        where = f"catalogue/codes/{code}/settings.yaml: {name}"
        if name not in found:
            raise TakeoffError(f"{where}: no setting of catalogue/settings is called so")
        found[str(name)] = _overlaid(found[str(name)], row, where)
    return found


def _overlaid(setting: Setting, row: Any, where: str) -> Setting:
    """A setting with a code's value, basis and, where it gives them, words."""
    stray = [str(key) for key in row if key not in OVERLAY_KEYS]
    if stray or "value" not in row:
        raise TakeoffError(f"{where}: give value and a basis; {stray[0] if stray else 'value'} is not right")
    words = tuple(str(word) for word in row["of"]) if "of" in row else setting.type.words
    basis = basis_of_row(row, where)
    return replace(setting, value=row["value"], basis=basis, type=replace(setting.type, words=words))


@cache
def _setting_rows(file: str) -> Mapping[Any, Any]:
    return _data("settings", f"{file}.yaml")


@cache
def _common_settings() -> Mapping[str, Setting]:
    """Every setting of catalogue/settings by name."""
    found: dict[str, Setting] = {}
    for file in SETTING_FILES:
        for name, row in _setting_rows(file).items():
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
    return Setting(name, row["value"], str(row["unit"]), basis_of_row(row, where), str(row["says"]), _type(row, where))


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
            values["basis"] = {str(k): basis_of_row(v, f"{where}: basis of {k}") for k, v in value.items()}
        elif key in allowed and isinstance(value, dict):
            # YAML keys that look like numbers are read as text
            values[str(key)] = {float(number): amount for number, amount in value.items()}
        elif key in allowed:
            values[str(key)] = tuple(value) if isinstance(value, list) else value
            if key in ("kind", "shape") and record is Profile:
                values[str(key)] = _profile_word(str(key), value, where)
        else:
            raise TakeoffError(f"{where}: unknown field {key}")
    if not values.get("basis"):
        raise TakeoffError(f"{where}: needs a basis, by field or '*' for all")
    try:
        return record(**values)
    except TypeError as err:
        raise TakeoffError(f"{where}: {err}") from None


def _profile_word(key: str, value: Any, where: str) -> ProfileKind | ProfileShape:
    words: type[ProfileKind] | type[ProfileShape] = ProfileKind if key == "kind" else ProfileShape
    try:
        return words(str(value))
    except ValueError:
        raise TakeoffError(f"{where}: {key} must be one of {', '.join(words)}") from None


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
    names += [("products", f"{file}.yaml") for file in PRODUCTS]
    for code in codes():
        held = sorted(path.name for path in catalogue_root().joinpath("codes", code).iterdir() if path.is_file())
        names += [("codes", code, name) for name in held]
    for name in names:
        found.update(catalogue_root().joinpath(*name).read_bytes())
    return found.hexdigest()


def _items() -> Mapping[str, ItemRow]:
    """Sorts of item of catalogue/items.yaml by id."""
    found: dict[str, ItemRow] = {}
    settings = {name for file in SETTING_FILES for name in _setting_rows(file)}
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
