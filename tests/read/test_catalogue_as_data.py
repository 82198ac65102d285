"""Every setting, product, item and rule of the catalogue against its files, read here by the YAML library alone.

A second reading: what stands in a file must stand in the record, field by field, and nothing else.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import fields
from importlib import resources
from typing import Any

import pytest
import yaml

from takeoff.basics.errors import TakeoffError
from takeoff.model.basis import Basis, Status
from takeoff.model.value_types import ValueKind, ValueType
from takeoff.read import catalogue as catalogues
from takeoff.read import codes as code_folders
from takeoff.read.catalogue import PRODUCTS, SETTING_FILES, basis_of_row

ROOT = resources.files("takeoff.catalogue")


@pytest.fixture(autouse=True, scope="module")
def _read_anew() -> Iterator[None]:
    """What was read before these tests is forgotten, so that they read it themselves."""
    _forget()
    yield
    _forget()


def _forget() -> None:
    for module in (catalogues, code_folders):
        for held in vars(module).values():
            if hasattr(held, "cache_clear"):
                held.cache_clear()


def plain(*names: str) -> Any:
    """A file as its words and numbers: dates and yes stay words."""
    path = ROOT.joinpath(*names)
    return yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader) if path.is_file() else {}


CODES = ("au", "nz")
SOURCES = {
    key: value for name in CODES for key, value in plain("codes", name, "code.yaml").get("sources", {}).items()
} | plain("sources.yaml")
OWNER = {key: name for name in CODES for key in plain("codes", name, "code.yaml").get("sources", {})}


def basis(row: Any) -> Basis:
    source = row.get("source", "")
    said = {key: row.get(key, "") for key in ("clause", "via", "holds")}
    return Basis(Status(row["status"]), source=SOURCES.get(source, ""), code=OWNER.get(source, ""), **said)


def same(value: object, word: Any) -> bool:
    """Whether a value is what a word of a file says: figures by their size, lists entry by entry."""
    if isinstance(value, bool):
        return word in (("true",) if value else ("false",))
    if isinstance(value, int | float):
        return float(word) == float(value)
    if isinstance(value, tuple | list):
        return len(value) == len(word) and all(same(one, other) for one, other in zip(value, word, strict=True))
    if isinstance(value, dict):
        return len(value) == len(word) and all(same(value[float(key)], one) for key, one in word.items())
    return str(value) == word


def test_sources_and_codes() -> None:
    assert catalogues.codes() == CODES
    assert dict(catalogues.sources()) == SOURCES
    assert dict(catalogues._code_of()) == OWNER
    assert catalogues.default_code() == "nz"


def kind_of(row: Any, products: Any) -> ValueType:
    kind = ValueKind(row["type"])
    if kind is ValueKind.NUMBER:
        return ValueType(kind, float(row["least"]), float(row["most"]), whole=row.get("whole") == "true")
    if kind is ValueKind.CHOICE:
        return ValueType(kind, words=tuple(row.get("of", ())))
    if kind is ValueKind.PRODUCT:
        fitting = [name for name, one in products[row["of"]].items() if row.get("use") in (None, one.get("use"))]
        return ValueType(kind, words=tuple(fitting), group=row["of"])
    return ValueType(kind)


def test_every_setting_is_what_its_file_says() -> None:
    products = {file: plain("products", f"{file}.yaml") for file in PRODUCTS}
    rows = {name: row for file in SETTING_FILES for name, row in plain("settings", f"{file}.yaml").items()}
    for code in ("", *CODES):
        over = plain("codes", code or "nz", "settings.yaml")
        found = catalogues.default_settings(code)
        assert list(found) == list(rows)
        for name, row in rows.items():
            setting, now = found[name], {**row, **over.get(name, {})}
            typed = kind_of(row, products)
            words = tuple(over[name]["of"]) if "of" in over.get(name, {}) else typed.words
            kept = (setting.name, setting.unit, setting.says, setting.type)
            assert kept == (
                name,
                row["unit"],
                row["says"],
                ValueType(typed.kind, typed.least, typed.most, typed.whole, words, typed.group),
            ), name
            assert same(setting.value, now["value"]), name
            assert setting.basis == basis(over.get(name, row)), name


@pytest.mark.parametrize("file", PRODUCTS)
def test_every_product_is_what_its_file_says(file: str) -> None:
    held = getattr(catalogues.load_catalogue(), file)
    rows = plain("products", f"{file}.yaml")
    assert list(held) == list(rows)
    for name, row in rows.items():
        product = held[name]
        assert product.id == name
        assert dict(product.basis) == {key: basis(one) for key, one in row["basis"].items()}
        for key, word in row.items():
            assert key == "basis" or same(getattr(product, key), word), (name, key)


def test_every_item_is_what_its_file_says() -> None:
    held = catalogues.load_catalogue().items
    rows = plain("items.yaml")
    assert list(held) == list(rows)
    for name, row in rows.items():
        item = held[name]
        assert (item.id, item.name, str(item.kind.value), item.sold_in) == (
            name,
            row["name"],
            row["kind"],
            row["sold_in"],
        )
        assert (None if item.pack is None else (item.pack.word, item.pack.setting)) == (
            (row["in"], row["pack"]) if "pack" in row else None
        )


TABLES = {
    "screws": {"screws": "rows"}, "spans": {"spans": "spans", "on_foot": "on_foot"}, "sheets": {"pitches": "pitch", "end_laps": "end_laps"},
    "flashings": {"covers": "categories", "expansion": "expansion", "valleys": "valleys"},
}  # fmt: skip
RAIN = (
    "brackets",
    "longest",
    "movement",
    "types",
    "needed",
    "pipes",
    "overflow",
    "bursts",
    "freeboard",
    "internal",
    "towns",
)
WALLS = ("board_laps", "trimmers", "ventilation")


def rows_match(records: Any, held: Any, name: str) -> None:
    rows = held.get(name, [])
    assert len(records) == len(rows), name
    for record, row in zip(records, rows, strict=True):
        named = {field.name for field in fields(record)}
        assert record.basis == basis(row if "status" in row else held[f"{name}_basis"]), (name, row)
        for key, word in row.items():
            if key in named and key.endswith("basis"):
                assert getattr(record, key) == basis(word)
            elif key in named:
                assert same(getattr(record, key), word), (name, key, row)


@pytest.mark.parametrize("code", CODES)
def test_every_rule_of_a_code_is_what_its_files_say(code: str) -> None:
    rules, head = code_folders.rule_set(code), plain("codes", code, "code.yaml")
    assert (rules.id, rules.name, rules.source, rules.edition, rules.date) == (
        code,
        *(head[key] for key in ("name", "source", "edition", "date")),
    )
    assert [(zone.id, zone.speed_m_s) for zone in rules.zones] == [
        (row["id"], float(row["speed_m_s"])) for row in head["wind_zones"]
    ]
    assert rules.zone_basis == basis(head["wind_basis"])
    assert (None if rules.silent is None else rules.silent.id) == head.get("silent")
    for file, named in TABLES.items():
        for where, name in named.items():
            rows_match(getattr(rules, where), plain("codes", code, f"{file}.yaml"), name)
    water, walls = plain("codes", code, "rainwater.yaml"), plain("codes", code, "walls.yaml")
    for name in RAIN:
        rows_match(getattr(rules.rain, name), water, name)
    assert list(rules.rain.needed_areas_m2) == [float(area) for area in water.get("needed_areas_m2", [])]
    for name in WALLS:
        rows_match(getattr(rules.walls, name), walls, name)
    patterns = plain("codes", code, "screws.yaml").get("patterns", {})
    assert [(one.id, one.screws, one.of, one.says, one.basis) for one in rules.patterns] == [
        (name, int(row["screws"]), int(row["of"]), row["says"], basis(row)) for name, row in patterns.items()
    ]


def test_the_version_of_the_catalogue_goes_with_each_of_its_files(
    tmp_path: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = tmp_path / "catalogue"
    shutil.copytree(str(ROOT), root)
    monkeypatch.setattr(catalogues, "catalogue_root", lambda: root)
    seen = {catalogues.catalogue_version.__wrapped__()}
    for path in (
        "sources.yaml",
        "items.yaml",
        "settings/model.yaml",
        "products/rolls.yaml",
        "codes/au/walls.yaml",
        "codes/nz/code.yaml",
    ):
        root.joinpath(path).write_text(root.joinpath(path).read_text(encoding="utf-8") + "\n# more\n", encoding="utf-8")
        seen.add(catalogues.catalogue_version.__wrapped__())
    assert len(seen) == 7


def test_where_no_code_is_named_the_default_codes_values_hold(tmp_path: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    root = tmp_path / "catalogue"
    shutil.copytree(str(ROOT), root)
    over = root.joinpath("codes", "nz", "settings.yaml")
    held = over.read_text(encoding="utf-8") if over.exists() else ""
    over.write_text(held + "hip_trim_mm: {value: 33, status: common_practice}\n", encoding="utf-8")
    with monkeypatch.context() as patch:
        patch.setattr(catalogues, "catalogue_root", lambda: root)
        _forget()
        found = [catalogues.default_settings(code)["hip_trim_mm"].value for code in ("", "nz", "au")]
    _forget()
    assert (found[0], found[1]) == (33, 33)
    assert found[2] != 33


# ------------------------------------------------------------ faults of data


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ({"value": 1, "unit": "mm", "type": "flag"}, "w: give value, unit, type, says and status"),
        (7, "w: give value, unit, type, says and status"),
        ({"value": 1, "unit": "mm", "type": "flag", "says": "x", "most": 3, "limit": 3, "status": "memory"}, "w: unknown field limit"),
        ({"value": 1, "unit": "mm", "type": "size", "says": "x", "status": "memory"}, f"w: type must be one of {', '.join(ValueKind)}"),
        ({"value": 1, "unit": "mm", "type": "number", "least": 3, "says": "x", "status": "memory"}, "w: a number needs least and most"),
        ({"value": 1, "unit": "mm", "type": "number", "most": 3, "says": "x", "status": "memory"}, "w: a number needs least and most"),
        ({"value": 1, "unit": "", "type": "product", "of": "bricks", "says": "x", "status": "memory"}, f"w: a product is of one of {', '.join(PRODUCTS)}"),
        ({"value": 1, "unit": "", "type": "flag", "says": "x"}, f"w: needs a status, one of {', '.join(Status)}"),
        ({"value": 1, "unit": "", "type": "flag", "says": "x", "status": "guessed"}, f"w: needs a status, one of {', '.join(Status)}"),
    ],
)  # fmt: skip
def test_rows_of_settings_that_are_refused(row: Any, says: str) -> None:
    with pytest.raises(TakeoffError) as caught:
        catalogues._setting("x", row, "w")
    assert caught.value.faults == (says,)


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ({"status": "seen", "source": "nowhere"}, "w: source nowhere is not in sources.yaml"),
        ({"status": "seen"}, "w: status seen needs a source"),
        ({"status": "seen_restated"}, "w: status seen_restated needs a source"),
    ],
)
def test_bases_that_are_refused(row: Any, says: str) -> None:
    with pytest.raises(TakeoffError) as caught:
        basis_of_row(row, "w")
    assert caught.value.faults == (says,)


ROLL = {"name": "n", "width_mm": 1350, "length_mm": 37000, "use": "roof"}


def test_rows_of_products_that_are_refused() -> None:
    memory = {"*": {"status": "common_practice"}}
    for row, says in (
        ({**ROLL, "colour": "red", "basis": memory}, "w: unknown field colour"),
        (ROLL, "w: needs a basis, by field or '*' for all"),
        ({**ROLL, "basis": {}}, "w: needs a basis, by field or '*' for all"),
    ):
        with pytest.raises(TakeoffError) as caught:
            catalogues._product(PRODUCTS["rolls"], "x", row, "w")
        assert caught.value.faults == (says,)
    with pytest.raises(TakeoffError, match=r"^w: .*missing"):
        catalogues._product(PRODUCTS["rolls"], "x", {"basis": memory}, "w")
    with pytest.raises(TakeoffError, match=r"^w: kind must be one of "):
        catalogues._profile_word("kind", "wavy", "w")
    with pytest.raises(TakeoffError, match=r"^w: shape must be one of "):
        catalogues._profile_word("shape", "wavy", "w")
    with pytest.raises(TakeoffError, match=r"^w: basis of \*: needs a status, one of "):
        catalogues._product(PRODUCTS["rolls"], "x", {**ROLL, "basis": {"*": {}}}, "w")
