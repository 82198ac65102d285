"""A template of the order sheet made into prepared parts by the library: see `prepared`."""

from __future__ import annotations

import datetime
import io
import re
from collections.abc import Mapping
from hashlib import sha256
from typing import Any
from zipfile import BadZipFile

from takeoff.basics.errors import TakeoffError
from takeoff.write.workbook.prepared import RELATIONS, SHEETS, Prepared, PreparedRow, PreparedSheet
from takeoff.write.workbook.steady import library_parts
from takeoff.write.workbook.workbook_grid import BOX_INSIDE, BOX_LAST, BOXES, GROUP_WORDS

_STYLE = re.compile("takeoff (.+)")
_DAY = datetime.date(1917, 7, 17)  # stands nowhere else in a template
_MERGED = "XFD1048575:XFD1048576"  # the last cells that a sheet can have
_TEXT = re.compile(r".*\.(xml|rels|vml)")
_OF_SHEET = re.compile("xl/worksheets/")
_FORMATS = re.compile(r"<cellXfs[^>]*>(.*)</cellXfs>", re.DOTALL)
_FORMAT = re.compile(r"<xf [^>]*(?:/>|(?<!/)>.*?</xf>)", re.DOTALL)
_ROWS = re.compile(r"<sheetData */>|<sheetData>.*</sheetData>", re.DOTALL)
_ENTRY = re.compile(r"<sheet [^>]*/>")
_NAME = re.compile(r"<definedName [^>]*localSheetId=[^>]*>[^<]*</definedName>")
_TYPE = re.compile(r'<Override PartName="/xl/worksheets/[^>]*/>')
_RELATION = re.compile(r"<Relationship [^>]*/worksheets/[^>]*/>")


def prepare(template: bytes) -> Prepared:
    """The parts of a template, given as a file's bytes. Raises TakeoffError for one that is no workbook, and for a cell
    of it that is no text or number."""
    from openpyxl.worksheet.cell_range import MultiCellRange

    book = _book(template)
    lines = [line for sheet in book.worksheets for line in (sheet.column_dimensions, sheet.row_dimensions)]
    # those of whole columns and rows are numbered as they are asked for
    own = len({*range(len(book._cell_styles)), *(one.style_id for held in lines for one in held.values())})
    styles = _styles(book)
    held = [(_rows(sheet), tuple(map(str, sheet.merged_cells.sorted()))) for sheet in book.worksheets]
    rights = [sheet.oddFooter.right.text or "" for sheet in book.worksheets]
    for sheet in book.worksheets:
        sheet.oddFooter.left.text, sheet.oddFooter.right.text = "[[left]]", "[[right]]"
        sheet.merged_cells, sheet.print_area = MultiCellRange([_MERGED]), None
    book.active, book.properties.title = 0, "[[title]]"
    parts = library_parts(book, _DAY)
    told = parts["xl/workbook.xml"].decode("utf-8")
    entries, names = _ENTRY.findall(told), _NAME.findall(told)
    sheets = {}
    for place, sheet in enumerate(book.worksheets):
        path = sheet.path[1:]
        before, after = _around(parts[path].decode("utf-8"))
        names_of = "".join(name for name in names if f' localSheetId="{place}"' in name)
        relations = parts.get(RELATIONS.format(number=place + 1), b"").decode("utf-8")
        sheets[sheet.title] = PreparedSheet(
            sheet.title, _open(entries[place]), _open(names_of), before, after, *held[place], rights[place], relations
        )
    formats = _FORMATS.search(parts["xl/styles.xml"].decode("utf-8"))
    found = tuple(_FORMAT.findall(formats[1])) if formats else ()
    return Prepared(sha256(template).hexdigest(), found, own, styles, sheets, _others(parts))


def _book(template: bytes) -> Any:
    from openpyxl import load_workbook

    try:
        return load_workbook(io.BytesIO(template), keep_links=False)
    except (BadZipFile, KeyError) as err:
        raise TakeoffError("templates/order_sheet.xlsx: this is no workbook; make the template again") from err


def _styles(book: Any) -> dict[str, int]:
    """The number of each style's format by its name, with those that only cells of ours have: words that run on over
    the cells beside them, and the cells of a merged box behind its first."""
    from openpyxl.styles import Alignment

    scratch = book.create_sheet()
    found: dict[str, int] = {}
    for name in book.named_styles:
        if ours := _STYLE.fullmatch(name):
            scratch["A1"].style = name
            found[ours[1]] = scratch["A1"].style_id
    scratch["A2"].style = "takeoff group"
    scratch["A2"].alignment = Alignment(wrap_text=False, vertical="center")
    found[GROUP_WORDS] = scratch["A2"].style_id
    for name in BOXES:
        for last, span in (("C3", "B3:C3"), ("D4", "B4:D4")):
            scratch[last].style = f"takeoff {name}"
            scratch.merge_cells(span)
        found[BOX_INSIDE.format(name)], found[BOX_LAST.format(name)] = scratch["C4"].style_id, scratch["D4"].style_id
    book.remove(scratch)
    return found


def _rows(sheet: Any) -> tuple[PreparedRow, ...]:
    rows = []
    for number, row in enumerate(sheet.iter_rows(), start=1):
        for cell in row:
            if cell.data_type not in ("s", "n"):
                raise TakeoffError(f"templates/order_sheet.xlsx: {sheet.title}!{cell.coordinate} is no text or number")
        sizes = "".join(f' {name}="{value}"' for name, value in dict(sheet.row_dimensions[number]).items())
        rows.append((number, sizes, tuple((cell.column, cell.style_id, cell.value) for cell in row)))
    return tuple(rows)


def _around(sheet: str) -> tuple[str, str]:
    """What stands before and after the rows of a sheet."""
    before, after = _ROWS.split(sheet)
    before = re.sub(r'<dimension ref="[^"]*"', '<dimension ref="[[dimension]]"', before)
    return before, re.sub(r"<mergeCells.*</mergeCells>", "[[merged]]", after)


def _open(text: str) -> str:
    """What the workbook says of a sheet, with places for its number, which counts from one, and its place, from 0."""
    text = re.sub(r'( sheetId="| r:id="rId)[0-9]+"', r'\1[[number]]"', text)
    return re.sub(r' localSheetId="[0-9]+"', ' localSheetId="[[place]]"', text)


def _others(parts: Mapping[str, bytes]) -> dict[str, str | bytes]:
    """All parts but the sheets, with places for what differs."""
    others: dict[str, str | bytes] = {}
    for name, data in parts.items():
        if _OF_SHEET.match(name):
            others[SHEETS] = ""
        else:
            others[name] = _opened(data.decode("utf-8")) if _TEXT.fullmatch(name) else data
    return others


def _opened(text: str) -> str:
    """A part with places for cell formats and dates, for what is said of sheets, and for numbers behind those of the
    sheets."""
    text = _FORMATS.sub("[[formats]]", text).replace(_DAY.isoformat(), "[[date]]")
    for found, place in ((_ENTRY, "[[entries]]"), (_TYPE, "[[types]]"), (_RELATION, "[[relations]]")):
        text = found.sub("", found.sub(place, text, count=1))
    text = _NAME.sub("", text).replace("<definedNames />", "<definedNames></definedNames>")
    text = text.replace("</definedNames>", "[[names]]</definedNames>")
    return re.sub(r'Id="rId[0-9]+"', 'Id="[[next]]"', text) if "[[relations]]" in text else text
