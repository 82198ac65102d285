"""The whole result as JSON, for programs: our records as they are, named, versioned, the same bytes every time.

Lengths in mm, areas in mm2 or m2, angles in degrees: the suffix of each name says it. A reader looks at "format" and
"version" first; a field that is added keeps the version, one that changes its meaning raises it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum
from math import isfinite
from typing import Any

from pydantic import BaseModel

from takeoff import __version__
from takeoff.basics.errors import TakeoffError
from takeoff.model.basis import Setting
from takeoff.model.issues import Standing
from takeoff.model.items import Item, Made
from takeoff.model.order import OrderLine, Takeoff
from takeoff.model.snapshot import RESULT_FORMAT, RESULT_VERSION
from takeoff.write.words.item_names import item_name
from takeoff.write.words.used import used_products

_PLACES = 9  # a millionth of a micrometre: far below the format's use, far above the noise of the last bits


def result_json(takeoff: Takeoff) -> str:
    """The takeoff as JSON text. Raises TakeoffError for a figure that is not finite."""
    return json.dumps(result_data(takeoff), ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def result_data(takeoff: Takeoff) -> dict[str, Any]:
    """The takeoff as dicts, lists, texts and numbers. Of the catalogue only the products it uses are kept. Raises
    TakeoffError for a figure that is not finite."""
    result = {
        "format": RESULT_FORMAT,
        "version": RESULT_VERSION,
        "program": f"takeoff {__version__}",
        "job_hash": takeoff.job_hash,
        "stopped": takeoff.stopped,
        "job": takeoff.job,
        "settings": {name: _setting(setting) for name, setting in takeoff.settings.values.items()},
        "used": {used.stage: used.settings for used in takeoff.used},
        "products": [
            {"group": type(product).__name__, **_record(product, f"products.{product.id}")}
            for product in used_products(takeoff)
        ],
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
    return {name: to_plain(value, f"result.{name}") for name, value in result.items()}


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
        return _order_line(value, where)
    if isinstance(value, Item | Made):
        return value.id
    if is_dataclass(value):
        return _record(value, where)
    raise TakeoffError(f"{where}: {type(value).__name__} cannot be written as data")


def _record(value: Any, where: str) -> dict[str, Any]:
    return {field.name: to_plain(getattr(value, field.name), f"{where}.{field.name}") for field in fields(value)}


def _order_line(line: OrderLine, where: str) -> dict[str, Any]:
    """A line with the id of its item and what it is called."""
    own = _record(line, where)
    del own["of"]
    return {"id": own.pop("id"), "delivery": own.pop("delivery"), "item": line.item, "name": item_name(line.of), **own}


def issued_data(standing: Standing) -> dict[str, Any]:
    """How the order stands to the book of issues, each line with its state in a word."""
    lines = [{**_record(line, "issued"), "to_order": line.to_order, "state": line.state} for line in standing.lines]
    return {**_record(standing, "issued"), "lines": [to_plain(line, "issued") for line in lines]}


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


def _number(value: float, where: str) -> float | int:
    if not isfinite(value):
        raise TakeoffError(f"{where}: {value} is not a figure that can be written")
    rounded = round(value, _PLACES)
    return int(rounded) if rounded == int(rounded) and abs(rounded) < 1e15 else rounded
