"""The whole result as JSON, for programs: our records as they are, named, versioned, the same bytes every time.

Lengths in mm, areas in mm2 or m2, angles in degrees: the suffix of each name says it. A reader looks at "format" and
"version" first; a field that is added keeps the version, one that changes its meaning raises it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum
from math import isfinite
from typing import Any

from pydantic import BaseModel

from takeoff import __version__
from takeoff.basics.errors import TakeoffError
from takeoff.model.basis import Basis, Quantity, Setting, Term
from takeoff.model.issues import Standing
from takeoff.model.items import Item, Made
from takeoff.model.order import OrderLine, Takeoff
from takeoff.model.sheets import SheetPiece
from takeoff.model.snapshot import RESULT_FORMAT, RESULT_VERSION
from takeoff.write.data.json_text import JsonText
from takeoff.write.words.item_names import item_name
from takeoff.write.words.used import used_products

_INNER = "\n "  # before each part
_SHARED = (Basis, Term, Quantity, SheetPiece)  # of which one and the same stands at several places
_PLACES = 9  # a millionth of a micrometre: far below the format's use, far above the noise of the last bits


def result_json(takeoff: Takeoff) -> str:
    """The takeoff as JSON text. Raises TakeoffError for a figure that is not finite."""
    return result_bytes(takeoff).decode("utf-8")


def result_bytes(takeoff: Takeoff) -> bytes:
    """The takeoff as JSON in UTF-8, part by part: the text of a house never stands in memory as a whole. Raises
    TakeoffError for a figure that is not finite."""
    writer = JsonText(_number, _simpler, shared=_SHARED)
    try:
        parts = [
            f"{writer.text(name)}: {writer.text(value, _INNER)}".encode() for name, value in _parts(takeoff).items()
        ]
    except TakeoffError:
        result_data(takeoff)  # says where in the result it is
        raise
    return b"".join((f"{{{_INNER}".encode(), f",{_INNER}".encode().join(parts), b"\n}\n"))


def json_text(value: Any) -> str:
    """A value as JSON text: what `to_plain` makes of it, an entry a line. Raises TakeoffError where it cannot be."""
    return JsonText(_number, _simpler).text(value)


def result_data(takeoff: Takeoff) -> dict[str, Any]:
    """The takeoff as dicts, lists, texts and numbers. Of the catalogue only the products it uses are kept. Raises
    TakeoffError for a figure that is not finite."""
    return {name: to_plain(value, f"result.{name}") for name, value in _parts(takeoff).items()}


def _parts(takeoff: Takeoff) -> dict[str, Any]:
    """What the result is made of, by name."""
    result = {
        "format": RESULT_FORMAT,
        "version": RESULT_VERSION,
        "program": f"takeoff {__version__}",
        "job_hash": takeoff.job_hash,
        "stopped": takeoff.stopped,
        "job": takeoff.job,
        "settings": {name: _setting(setting) for name, setting in takeoff.settings.values.items()},
        "used": {used.stage: used.settings for used in takeoff.used},
        "products": [{"group": type(product).__name__, **_fields(product)} for product in used_products(takeoff)],
    }
    for name in ("roofs", "elevations", "roofing", "rainwater", "cladding"):
        result[name] = getattr(takeoff, name)
    result["items"] = [item_data(item) for item in takeoff.items.values()]
    for name in ("measures", "order", "findings"):
        result[name] = getattr(takeoff, name)
    if takeoff.office is not None:
        result["office"] = takeoff.office
    if takeoff.issued is not None:
        result["issued"] = issued_data(takeoff.issued)
    if takeoff.supersedes:
        result["supersedes"] = takeoff.supersedes
    if takeoff.site is not None:
        result["site"] = takeoff.site
    return result


def _setting(setting: Setting) -> dict[str, Any]:
    """A setting as it was taken; what else it might be stands in the catalogue and in the job's schema."""
    return {"name": setting.name, "value": setting.value, "unit": setting.unit, "basis": setting.basis,
            "says": setting.says}  # fmt: skip


def to_plain(value: Any, where: str = "result") -> Any:
    """A record, or anything made of records, as dicts, lists, texts and numbers. Raises TakeoffError where it cannot
    be."""
    if value is None or (isinstance(value, bool | int) and not isinstance(value, Enum)):
        return value
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, str):
        return value
    if isinstance(value, float):
        return _number(value, where)
    if isinstance(value, BaseModel):
        return to_plain(value.model_dump(mode="json"), where)
    if isinstance(value, Mapping):
        return {str(key): to_plain(entry, f"{where}.{key}") for key, entry in value.items()}
    if isinstance(value, tuple | list):
        return [to_plain(entry, f"{where}[{i}]") for i, entry in enumerate(value)]
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, OrderLine):
        return to_plain(_order_line(value), where)
    if isinstance(value, Item | Made):
        return value.id
    if is_dataclass(value):
        return to_plain(_fields(value), where)
    raise TakeoffError(f"{where}: {type(value).__name__} cannot be written as data")


def _simpler(value: Any) -> Any:
    """One step of `to_plain`: what is written for a value of a type of its own; a record is written as it is."""
    if isinstance(value, Enum):
        return value.value
    for kind in (int, str, float):
        if isinstance(value, kind):
            return kind(value)
    if isinstance(value, BaseModel):
        return value.model_dump(mode="json")
    if isinstance(value, Mapping):
        return dict(value)
    if isinstance(value, tuple | list):
        return list(value)
    if isinstance(value, OrderLine):
        return _order_line(value)
    if isinstance(value, Item | Made):
        return value.id
    return value if is_dataclass(value) else to_plain(value)


def _fields(value: Any) -> dict[str, Any]:
    return {field.name: getattr(value, field.name) for field in fields(value)}


def _order_line(line: OrderLine) -> dict[str, Any]:
    """A line with the id of its item and what it is called."""
    own = _fields(line)
    del own["of"]
    return {"id": own.pop("id"), "delivery": own.pop("delivery"), "item": line.item, "name": item_name(line.of), **own}


def issued_data(standing: Standing) -> dict[str, Any]:
    """How the order stands to the book of issues, each line with its state in a word."""
    lines = [{**_fields(line), "to_order": line.to_order, "state": line.state} for line in standing.lines]
    return {**_fields(standing), "lines": lines}


def item_data(item: Item) -> dict[str, Any]:
    """An item as data: what it is, who asks for it, what it is sold in, its mass, and its name."""
    pack = {"word": item.pack.word, "holds": item.pack.holds} if item.pack is not None else None
    return {
        "id": item.id,
        "name": item_name(item),
        "kind": item.kind.value,
        "trade": item.trade.value,
        "delivery": item.delivery,
        "sold_in": item.sold_in,
        "pack": pack,
        "kg_per_m": item.mass.kg_per_m if item.mass is not None else None,
        "product": item.product,
        "spare_of": item.spare_of,
    }


def _number(value: float, where: str = "result") -> float | int:
    if not isfinite(value):
        raise TakeoffError(f"{where}: {value} is not a figure that can be written")
    rounded = round(value, _PLACES)
    return int(rounded) if rounded == int(rounded) and abs(rounded) < 1e15 else rounded
