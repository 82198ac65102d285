"""What is laid under the plan to be traced: a picture, the lines of a drawing, a page of a PDF.

It is kept in memory for the house while the page runs, never in the job.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from io import BytesIO
from math import hypot
from pathlib import Path
from tempfile import TemporaryDirectory
from weakref import WeakKeyDictionary

from takeoff.basics.errors import UnreadableFileError, UsageError
from takeoff.basics.records import record
from takeoff.basics.vectors import Point2
from takeoff.model.drawings import RawDrawing, RawPath
from takeoff.model.faces import MM_PER_UNIT
from takeoff.read.outlines.drawing_files import is_drawing, read_drawing
from takeoff.web.house import House
from takeoff.web.pdf_page import page_of_pdf

MOST_BYTES = 24_000_000
_MOST_PIXELS = 40_000_000
_FIRST_WIDE_MM = 20_000.0  # a picture of no known scale is laid as wide as a house is long
_FAR_MM = 1e6  # a drawing on a survey grid is laid at 0, 0
_LEAST_MM, _MOST_MM = 1e-3, 1e6  # a pixel, at least and at most
_TURNED = range(5, 9)  # pictures of these orientations lie on their side


@record
class UnderPlan:
    """What is laid under: `data` of a `mime` type that the browser draws, its size in pixels (of a drawing: its own
    units), millimetres of the plan for a pixel, where its lower left corner lies [mm].

    `pages` and `page` of a PDF, `paper_mm` the millimetres of its paper for a pixel, 0 for other files. `scaled`:
    whether anybody said how large it is.
    """

    name: str
    mime: str
    data: bytes
    wide: float
    high: float
    mm: float
    x: float = 0.0
    y: float = 0.0
    opacity: float = 0.5
    pages: int = 1
    page: int = 1
    paper_mm: float = 0.0
    scaled: bool = False
    source: bytes = b""

    def shown(self, href: str) -> dict[str, object]:
        """What the plan draws: its address, place and size on the plan."""
        size = {"wide": self.wide * self.mm, "high": self.high * self.mm}
        return {"href": href, "x": self.x, "y": self.y, "opacity": self.opacity, **size}

    def moved(self, dx: float, dy: float) -> UnderPlan:
        """Moved by so much."""
        return replace(self, x=self.x + dx, y=self.y + dy)

    def measured(self, a: Point2, b: Point2, length_mm: float) -> UnderPlan:
        """Scaled so that two points of the plan on it are so far apart; the first stays. UsageError where they are one
        point, or the scale is none."""
        apart = hypot(b[0] - a[0], b[1] - a[1])
        if apart <= 0 or length_mm <= 0:
            raise UsageError("click two points that lie apart, and type the length between them.")
        return self._times(length_mm / apart, a)

    def at_scale(self, one_to: float) -> UnderPlan:
        """Drawn on its sheet at 1 to so much. UsageError for what has no sheet."""
        if not self.paper_mm:
            raise UsageError("only a page of a PDF has a sheet of a known size: scale it by two points.")
        if not 1 <= one_to <= 10_000:
            raise UsageError("type the scale of the sheet as it stands on it: 100 for 1 to 100.")
        return self._times(self.paper_mm * one_to / self.mm, (self.x, self.y))

    def _times(self, factor: float, still: Point2) -> UnderPlan:
        mm = self.mm * factor
        if not _LEAST_MM <= mm <= _MOST_MM:
            raise UsageError("that makes the picture no house's size: click and type again.")
        x, y = still[0] + (self.x - still[0]) * factor, still[1] + (self.y - still[1]) * factor
        return replace(self, mm=mm, x=x, y=y, scaled=True)


def read_under(name: str, data: bytes, page: int = 1) -> UnderPlan:
    """A file as what can be laid under the plan, by the ending of its name. Raises UnreadableFileError for files that
    cannot be, and for larger ones than are read."""
    if len(data) > MOST_BYTES:
        raise UnreadableFileError(f"{name}: more than {MOST_BYTES // 1_000_000} MB; save a smaller picture or layer")
    ending = Path(name).suffix.lower()
    if ending in (".png", ".jpg", ".jpeg"):
        return _picture(name, data)
    if ending == ".pdf":
        png, pages, paper_mm = page_of_pdf(name, data, page)
        laid = _picture(name, png)
        return replace(laid, pages=pages, page=page, paper_mm=paper_mm, source=data)
    if is_drawing(name):
        return _drawing(name, data)
    raise UnreadableFileError(f"{name}: lay a PNG, JPEG, PDF or DXF file under the plan")


def _picture(name: str, data: bytes) -> UnderPlan:
    from PIL import Image, UnidentifiedImageError

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of its size, which is looked at here
            with Image.open(BytesIO(data), formats=("PNG", "JPEG")) as image:
                kind, (wide, high) = str(image.format), image.size
                turned = kind == "JPEG" and image.getexif().get(0x0112) in _TURNED
                if wide * high > _MOST_PIXELS:
                    raise UnreadableFileError(
                        f"{name}: more than {_MOST_PIXELS // 1_000_000} million pixels; make it smaller"
                    )
                image.load()
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError, SyntaxError, ValueError) as err:
        if isinstance(err, UnreadableFileError):
            raise
        raise UnreadableFileError(f"{name}: is no PNG or JPEG picture that can be read; save it again") from None
    wide, high = (high, wide) if turned else (wide, high)
    return UnderPlan(name, f"image/{kind.lower()}", data, float(wide), float(high), _FIRST_WIDE_MM / wide)


def _drawing(name: str, data: bytes) -> UnderPlan:
    with TemporaryDirectory(prefix="takeoff_under_") as folder:
        path = Path(folder) / f"plan{Path(name).suffix.lower()}"
        path.write_bytes(data)
        try:
            raw = read_drawing(path)
        except UnreadableFileError as err:
            raise UnreadableFileError(*(fault.replace(path.name, name, 1) for fault in err.faults)) from None
    points = [point for one in raw.paths for point in (*one.points, *_tops(one))]
    low = (min(x for x, _ in points), min(y for _, y in points))
    wide, high = max(x for x, _ in points) - low[0], max(y for _, y in points) - low[1]
    margin = max(wide, high, 1e-6) * 0.01
    low, wide, high = (low[0] - margin, low[1] - margin), wide + 2 * margin, high + 2 * margin
    mm = next((factor for unit, factor in MM_PER_UNIT.items() if unit == raw.unit), 0.0)
    near = mm and max(map(abs, low)) * mm < _FAR_MM
    x, y = (low[0] * mm, low[1] * mm) if near else (0.0, 0.0)
    picture = _lines(raw, low, wide, high)
    return UnderPlan(name, "image/svg+xml", picture, wide, high, mm or _FIRST_WIDE_MM / wide, x, y, scaled=bool(mm))


def _lines(raw: RawDrawing, low: Point2, wide: float, high: float) -> bytes:
    """The lines as an SVG picture: figures alone, no word of the file."""
    scale = 4000.0 / max(wide, high)
    paths = "".join(_path(one, low, high, scale) for one in raw.paths)
    size = f'width="{wide * scale:.0f}" height="{high * scale:.0f}" viewBox="0 0 {wide * scale:.2f} {high * scale:.2f}"'
    style = 'fill="none" stroke="#1a1a1a" stroke-width="4"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}><path {style} d="{paths}"/></svg>'.encode("ascii")


def _sides(path: RawPath) -> list[tuple[Point2, Point2, float]]:
    """The sides of a path: from, to, and the bulge."""
    ends = (*path.points[1:], path.points[0]) if path.closed and path.points else path.points[1:]
    bulges = (*path.bulges, *(0.0 for _ in path.points))
    return list(zip(path.points, ends, bulges, strict=False))


def _tops(path: RawPath) -> list[Point2]:
    """The middles of a path's arcs, off their chords to the right by half the chord and the bulge."""
    return [
        ((a[0] + b[0] + (b[1] - a[1]) * bulge) / 2.0, (a[1] + b[1] - (b[0] - a[0]) * bulge) / 2.0)
        for a, b, bulge in _sides(path)
        if bulge
    ]


def _path(path: RawPath, low: Point2, high: float, scale: float) -> str:
    """One path; the side of an arc is an arc: its radius is chord (1 + b2) / 4b of the tangent b of a quarter of its
    angle."""

    def place(point: Point2) -> Point2:
        return ((point[0] - low[0]) * scale, (high - (point[1] - low[1])) * scale)

    words = ["M{:.2f} {:.2f}".format(*place(point)) for point in path.points[:1]]
    for start, end, bulge in _sides(path):
        a, b = place(start), place(end)
        if abs(bulge) < 1e-6:
            words.append(f"L{b[0]:.2f} {b[1]:.2f}")
        else:
            radius = hypot(b[0] - a[0], b[1] - a[1]) * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
            words.append(f"A{radius:.2f} {radius:.2f} 0 {int(abs(bulge) > 1)} {int(bulge < 0)} {b[0]:.2f} {b[1]:.2f}")
    return "".join(words)


@dataclass(slots=True)
class Laid:
    """What lies under the plan of one house, and who draws it anew. `number` goes up with each picture."""

    under: UnderPlan | None = None
    number: int = 0
    routed: bool = False
    drawers: list[Callable[[], None]] = field(default_factory=list)

    def lay(self, under: UnderPlan | None) -> None:
        """Another thing, or the same in another place; None takes it away."""
        if under is None or self.under is None or under.data is not self.under.data:
            self.number += 1
        self.under = under
        for draw in tuple(self.drawers):
            draw()


_LAID: WeakKeyDictionary[House, Laid] = WeakKeyDictionary()


def laid_of(house: House) -> Laid:
    """What lies under the plan of a house."""
    return _LAID.setdefault(house, Laid())
