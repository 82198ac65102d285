"""A workbook as bytes with nothing in it that depends on the clock: the same parts are the same file."""

from __future__ import annotations

import datetime
import io
import zipfile
from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

EPOCH = datetime.date(2000, 1, 1)  # for a workbook without a date


def steady_zip(parts: Iterable[tuple[str, bytes]], date: datetime.date | None) -> bytes:
    """The parts of a workbook, by their names in it, as one file; `date` for all its dates."""
    steady = io.BytesIO()
    with zipfile.ZipFile(steady, "w", zipfile.ZIP_DEFLATED) as target:
        for name, data in parts:
            info = zipfile.ZipInfo(name, date_time=(date or EPOCH).timetuple()[:6])
            info.compress_type = zipfile.ZIP_DEFLATED
            info.create_system = 3
            info.external_attr = 0o644 << 16
            target.writestr(info, data)
    return steady.getvalue()


def library_parts(book: Workbook, date: datetime.date | None) -> dict[str, bytes]:
    """The parts of a workbook as the library writes them, in its order, with `date` for its dates."""
    from openpyxl.writer.excel import ExcelWriter

    book.properties.creator = "takeoff"
    book.properties.created = book.properties.modified = datetime.datetime.combine(date or EPOCH, datetime.time())
    raw = io.BytesIO()
    ExcelWriter(book, zipfile.ZipFile(raw, "w", zipfile.ZIP_STORED)).save()
    with zipfile.ZipFile(raw) as archive:
        return {name: archive.read(name) for name in archive.namelist()}
