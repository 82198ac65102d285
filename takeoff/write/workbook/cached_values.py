"""A workbook as bytes: the value of every formula stored beside it, and nothing in it that depends on the clock.

The library that makes the workbook stores formulas without values: a spreadsheet program recalculates them on opening,
but previews on a phone and readers that only take values show blanks. The values computed here are put in afterwards.
"""

from __future__ import annotations

import datetime
import io
import re
import zipfile
from collections.abc import Mapping
from typing import TYPE_CHECKING
from xml.sax.saxutils import unescape

from takeoff.basics.errors import TakeoffError

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

# worksheet title -> cell -> value
CachedValues = Mapping[str, Mapping[str, float]]

_FORMULA = re.compile(r'(<c r="([A-Z]+[0-9]+)"[^>]*?)(?: t="[a-z]+")?><f>([^<]*)</f><v ?/?>(?:</v>)?</c>')
_EPOCH = datetime.date(2000, 1, 1)


def steady_zip(book: Workbook, values: CachedValues, date: datetime.date | None) -> bytes:
    """The workbook as bytes, with `values` beside its formulas and `date` for its dates (none: 1 January 2000).

    Formulas on a sheet that `values` does not name are left without. Raises TakeoffError when a named sheet has a
    formula without a value or a value without a formula.
    """
    from openpyxl.writer.excel import ExcelWriter

    moment = datetime.datetime.combine(date or _EPOCH, datetime.time())
    book.properties.creator = "takeoff"
    book.properties.created = book.properties.modified = moment
    raw = io.BytesIO()
    ExcelWriter(book, zipfile.ZipFile(raw, "w", zipfile.ZIP_DEFLATED)).save()
    parts = {f"xl/worksheets/sheet{i}.xml": sheet.title for i, sheet in enumerate(book.worksheets, start=1)}
    steady = io.BytesIO()
    with zipfile.ZipFile(raw) as source, zipfile.ZipFile(steady, "w", zipfile.ZIP_DEFLATED) as target:
        for name in source.namelist():
            data = source.read(name)
            if parts.get(name) in values:
                title = parts[name]
                data = inject(data.decode("utf-8"), values[title], title).encode("utf-8")
            info = zipfile.ZipInfo(name, date_time=moment.timetuple()[:6])
            info.compress_type = zipfile.ZIP_DEFLATED
            info.create_system = 3
            info.external_attr = 0o644 << 16
            target.writestr(info, data)
    return steady.getvalue()


def inject(xml: str, values: Mapping[str, float], title: str) -> str:
    """A worksheet's XML with each formula's value put in. Raises TakeoffError unless both sides match cell by cell."""
    left = dict(values)

    def fill(match: re.Match[str]) -> str:
        cell = match.group(2)
        if cell not in left:
            raise TakeoffError(f"order sheet: {title}!{cell} has a formula without a value: {unescape(match.group(3))}")
        return f"{match.group(1)}><f>{match.group(3)}</f><v>{left.pop(cell)!r}</v></c>"

    filled = _FORMULA.sub(fill, xml)
    if left or filled.count("<f>") != len(values):
        raise TakeoffError(f"order sheet: {title}: values without a formula: {', '.join(sorted(left)) or 'unknown'}")
    return filled
