"""A workbook as bytes: the value of every formula stored beside it, and nothing in it that depends on the clock.

The library that makes the workbook stores formulas without values: a spreadsheet program recalculates them on opening,
but previews on a phone and readers that only take values show blanks. The values computed here stand beside them.
"""

from __future__ import annotations

import datetime
import io
import zipfile
from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

# worksheet title -> cell -> value
CachedValues = Mapping[str, Mapping[str, float]]

_EPOCH = datetime.date(2000, 1, 1)


def steady_zip(book: Workbook, values: CachedValues, date: datetime.date | None) -> bytes:
    """The workbook as bytes, with `values` beside its formulas and `date` for its dates (none: 1 January 2000).

    Formulas on a sheet that `values` does not name are left without. Raises TakeoffError when a named sheet has a
    formula without a value or a value without a formula.
    """
    from takeoff.write.workbook.sheet_rows import SheetWriter

    moment = datetime.datetime.combine(date or _EPOCH, datetime.time())
    book.properties.creator = "takeoff"
    book.properties.created = book.properties.modified = moment
    raw = io.BytesIO()
    SheetWriter(book, zipfile.ZipFile(raw, "w", zipfile.ZIP_STORED), values).save()
    steady = io.BytesIO()
    with zipfile.ZipFile(raw) as source, zipfile.ZipFile(steady, "w", zipfile.ZIP_DEFLATED) as target:
        for name in source.namelist():
            info = zipfile.ZipInfo(name, date_time=moment.timetuple()[:6])
            info.compress_type = zipfile.ZIP_DEFLATED
            info.create_system = 3
            info.external_attr = 0o644 << 16
            target.writestr(info, source.read(name))
    return steady.getvalue()
