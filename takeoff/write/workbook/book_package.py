"""The order sheet as a file: rows of filled pages, put into the prepared parts of the template."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import count

from takeoff.basics.letters import letters
from takeoff.write.words.xml_text import escaped
from takeoff.write.workbook.prepared import RELATIONS, SHEETS, Prepared, fill
from takeoff.write.workbook.steady import EPOCH, steady_zip
from takeoff.write.workbook.workbook_page import Cell, Formula, Page

_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
_RELATION = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet"
_SHEET = "xl/worksheets/sheet{number}.xml"
_NEXT = re.compile(re.escape("[[next]]"))


class _Formats(dict[int, str]):
    """What a cell says of its format, by the prepared format's number: the template's own keep theirs, others are
    numbered as they are met."""

    def __init__(self, prepared: Prepared) -> None:
        super().__init__({number: f' s="{number}"' if number else "" for number in range(prepared.own)})
        self._texts = prepared.formats

    def __missing__(self, number: int) -> str:
        self[number] = f' s="{len(self)}"'
        return self[number]

    def text(self) -> str:
        """All that were asked for, in the order of their numbers."""
        return f'<cellXfs count="{len(self)}">{"".join(self._texts[number] for number in self)}</cellXfs>'


def book_bytes(
    prepared: Prepared, pages: Sequence[Page], title: str, date: datetime.date | None, cached: bool = True
) -> bytes:
    """A workbook of pages as bytes. `date`: for all its dates, none: 1 January 2000; `cached` False leaves formulas
    without their values."""
    formats = _Formats(prepared)
    sheets = [_sheet(page, formats, cached) for page in pages]
    numbers = range(1, len(pages) + 1)
    values = {
        "title": escaped(title),
        "date": (date or EPOCH).isoformat(),
        "formats": formats.text(),
        "entries": "".join(fill(page.sheet.entry, {"number": str(n)}) for n, page in zip(numbers, pages, strict=True)),
        "names": "".join(_names(page, place) for place, page in enumerate(pages)),
        "types": "".join(f'<Override PartName="/{_SHEET.format(number=n)}" ContentType="{_TYPE}" />' for n in numbers),
        "relations": "".join(
            f'<Relationship Type="{_RELATION}" Target="/{_SHEET.format(number=n)}" Id="rId{n}" />' for n in numbers
        ),
    }
    return steady_zip(_parts(prepared, pages, sheets, values), date)


def _parts(
    prepared: Prepared, pages: Sequence[Page], sheets: Sequence[str], values: Mapping[str, str]
) -> Iterator[tuple[str, bytes]]:
    """Every part by its name, in the order of the library."""
    behind = count(len(pages) + 1)
    for name, part in prepared.parts.items():
        if name == SHEETS:
            for number, (page, sheet) in enumerate(zip(pages, sheets, strict=True), start=1):
                yield _SHEET.format(number=number), sheet.encode("utf-8")
                if page.sheet.relations:
                    yield RELATIONS.format(number=number), page.sheet.relations.encode("utf-8")
        elif isinstance(part, bytes):
            yield name, part
        else:
            yield name, fill(_NEXT.sub(lambda _: f"rId{next(behind)}", part), values).encode("utf-8")


def _names(page: Page, place: int) -> str:
    """What the workbook says of a sheet's print titles and print area."""
    title = escaped(page.sheet.title)
    area = f'<definedName name="_xlnm.Print_Area" localSheetId="{place}">\'{title}\'!{page.print_area}</definedName>'
    return fill(page.sheet.names, {"place": str(place)}) + area


def _sheet(page: Page, formats: _Formats, cached: bool) -> str:
    """One sheet as XML."""
    widest = max(max(row) for row in page.cells.values())
    merged = "".join(f'<mergeCell ref="{span}" />' for span in page.merged)
    values = {
        "dimension": f"A1:{_letters(widest)}{max(page.cells)}",
        "merged": f'<mergeCells count="{len(page.merged)}">{merged}</mergeCells>' if merged else "",
        "left": escaped(page.left),
        "right": escaped(page.right),
    }
    rows = "".join(_rows(page, formats, cached))
    return f"{fill(page.sheet.before, values)}<sheetData>{rows}</sheetData>{fill(page.sheet.after, values)}"


def _rows(page: Page, formats: _Formats, cached: bool) -> Iterator[str]:
    """Every row down to the last that has a cell; an empty row is a row too."""
    sizes = {row: size for row, size, _ in page.sheet.rows}
    sizes |= {row: f' ht="{height:.16g}" customHeight="1"' for row, height in page.heights.items()}
    for row in range(1, max(page.cells) + 1):
        yield f'<row r="{row}"{sizes.get(row, "")}>'
        cells = page.cells.get(row, {})
        for column in sorted(cells):
            of, value = cells[column]
            if of or value is not None:
                yield _cell(f"{_letters(column)}{row}", formats[of], value, cached)
        yield "</row>"


@lru_cache(maxsize=64)
def _letters(column: int) -> str:
    """The name of a column: A to Z, then AA; of ours all have one letter, a user's own template may use more."""
    return letters(column).upper()


def _cell(place: str, style: str, value: Cell, cached: bool) -> str:
    if value is None:
        return f'<c r="{place}"{style} t="n" />'
    if isinstance(value, Formula):
        given = f"<v>{float(value.value)!r}</v>" if cached else "<v />"
        return f'<c r="{place}"{style}><f>{escaped(value.text)}</f>{given}</c>'
    if isinstance(value, str):
        bare = value.strip()
        kept = ' xml:space="preserve"' if bare and bare != value else ""
        return f'<c r="{place}"{style} t="inlineStr"><is><t{kept}>{escaped(value)}</t></is></c>'
    return f'<c r="{place}"{style} t="n"><v>{value:.16g}</v></c>'
