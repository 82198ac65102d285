"""Identity is a record: no module takes an id or a printed name apart to learn what a thing is."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import takeoff
from takeoff.basics.errors import TakeoffError
from takeoff.measure.item_book import item_book
from takeoff.model.items import DELIVERIES, Item, ItemKind, Mark, MarkKind, Pack, Trade
from takeoff.model.measured import Need
from takeoff.model.runs import RunDemand
from takeoff.pipeline import run_file
from takeoff.read.catalogue import default_settings, load_catalogue
from takeoff.read.job.settings import default_rules
from takeoff.write.words.item_names import item_name, mark_words

PACKAGE = Path(takeoff.__file__).parent
SAMPLES = Path(__file__).parents[2] / "geometry_samples"

# what takes a text apart, and the names under which ids and printed names go
_APART = {
    "startswith",
    "endswith",
    "removeprefix",
    "removesuffix",
    "split",
    "rsplit",
    "partition",
    "rpartition",
    "index",
}
_IDENTITIES = {
    "item",
    "item_id",
    "id",
    "profile",
    "profile_id",
    "board",
    "flashing",
    "run",
    "name",
    "product",
    "family",
}
# ids and words that are no items: a plane's number in the ids of its purlins, the number printed for a line, what a
# measuring form calls a length, what somebody typed, the unit at the end of a field's name, and names of files: one that
# ends in a dot is no plain name on every system, and one kept beside ours says behind .kept- whose it was
_OTHERWISE = {
    "measure/roofing/purlins/purlins.py: plane.id.removeprefix",
    "write/workbook/workbook_prices.py: line.id.removeprefix",
    "write/data/measure_form.py: item.startswith",
    "write/drawings/check_dimensions.py: name.startswith",
    "write/explain/explain_words.py: name.startswith",
    "write/workbook/workbook_checks.py: name.endswith",
    "listing.py: field.name.endswith",
    "basics/manifest.py: name.endswith",
    "write/atomic.py: name.rpartition",
    "web/uploads.py: name.rpartition",  # the end of a file that was given
    "read/three_mf.py: name.rpartition",  # a name of XML with its space before it
}
_TYPED = ("read/lists/", "read/job/", "read/mesh.py")


def taken_apart(source: str) -> list[str]:
    """Calls that take an id or a name apart: `line.item.startswith`, `profile.removesuffix` ..."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in _APART:
            text = node.func.value
            last = text.attr if isinstance(text, ast.Attribute) else text.id if isinstance(text, ast.Name) else ""
            if last in _IDENTITIES:
                found.append(ast.unparse(node.func))
    return found


def test_no_module_takes_an_id_or_a_name_apart() -> None:
    found = {
        f"{path.relative_to(PACKAGE).as_posix()}: {call}"
        for path in PACKAGE.rglob("*.py")
        if not path.relative_to(PACKAGE).as_posix().startswith(_TYPED)
        for call in taken_apart(path.read_text(encoding="utf-8"))
    }
    assert found <= _OTHERWISE


@pytest.mark.parametrize(
    "source",
    [
        'line.item.startswith("sheet ")',
        'head, _, tail = item.rpartition(" ")',
        'board.name.split(",")',
        'profile.removesuffix("_clear")',
        "x = [run for run in runs if run.item.endswith('_ribbed')]",
    ],
)
def test_the_rule_itself_sees_a_fault(source: str) -> None:
    assert taken_apart(source)


def test_every_row_of_the_catalogue_is_whole() -> None:
    rows = load_catalogue().items
    assert {row.kind for row in rows.values()} == set(ItemKind) - {ItemKind.SPARE_SHEET}
    settings = default_settings()
    assert [row.id for row in rows.values() if row.pack is not None and row.pack.setting not in settings] == []
    assert {row.sold_in for row in rows.values()} <= {"each", "length", "m", "m2", "L", "roll", "tube", "tin", "bottle"}


def test_every_line_of_an_order_is_an_item_of_its_delivery() -> None:
    found = run_file(SAMPLES / "cottage_with_flue" / "job.yaml")
    assert found.order is not None
    for line in found.order.lines:
        assert line.of == found.items[line.item]
        assert line.of.delivery == line.delivery
        assert line.delivery in DELIVERIES
        assert (line.of.kind is ItemKind.LABOUR) is line.labour
        assert not line.kg or line.of.mass is not None or line.of.kind.value.endswith("sheet")


def test_every_mark_has_its_words() -> None:
    values = {MarkKind.SPREAD: (505.0, 1750.0), MarkKind.SIZE: (70.0, 45.0)}
    for kind in MarkKind:
        words = mark_words(Mark(kind, values.get(kind, 3.0)))
        assert bool(words) is (kind not in (MarkKind.CALLED, MarkKind.WAYS, MarkKind.SIZE))


def test_names_are_made_of_what_the_item_is() -> None:
    """As a folder and a merchant read them: sort, sizes, hand, then what it comes in."""
    marks = (
        Mark(MarkKind.GIRTH, 266.0),
        Mark(MarkKind.FOLDS, 4.0),
        Mark(MarkKind.BEND, 90.0),
        Mark(MarkKind.HAND, "left"),
    )
    barge = Item("barge_266_90_left", "Barge flashing", ItemKind.FLASHING, Trade.FLASHINGS, "length", marks)
    assert item_name(barge) == "Barge flashing, girth 266, 4 folds, 90°, left"
    ways = Item(
        "junction_5_way", "junction, made on site", ItemKind.PIECE, Trade.FLASHINGS, "each", (Mark(MarkKind.WAYS, 5.0),)
    )
    assert item_name(ways) == "5-way junction, made on site"
    mesh = Item(
        "mesh", "Safety mesh", ItemKind.ROLL, Trade.UNDERLAY, "m2", pack=Pack("roll", "safety_mesh_roll_m2", 90.0)
    )
    assert item_name(mesh) == "Safety mesh, roll of 90 m2"


def test_an_item_that_nothing_makes_is_a_fault_of_ours() -> None:
    need = Need("purlins", demands=(RunDemand("R1", "purlin_71x46", 900.0),))
    with pytest.raises(TakeoffError, match="nothing in the catalogue makes the item purlin_71x46"):
        item_book((need,), (), load_catalogue(), default_rules())
