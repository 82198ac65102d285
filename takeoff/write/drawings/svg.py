"""A drawing as SVG: pure text, light background, one group a layer. Paper mm, so it prints at its scale."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import cos, hypot, radians, sin

from takeoff.basics.vectors import Point2
from takeoff.write.drawings.drawing import Circle, Dimension, Drawing, Fill, Item, Line, Polyline, Text
from takeoff.write.drawings.layers import LAYERS, Layer
from takeoff.write.words.words import plain
from takeoff.write.words.xml_text import escaped

_CAPITAL = 0.72  # height of capitals over the font size, common to sans serif faces
_STROKE = 1.5  # half an oblique stroke that ends a dimension line [paper mm]
_RIMS = '<g data-layer="RIM" fill="#ffffff" stroke="#ffffff" stroke-linejoin="round" aria-hidden="true">'
_LETTERS = 'fill="#111111" stroke="none"'
_GAP = 1.0  # between a measured point and its extension line [paper mm]


def svg_text(drawing: Drawing) -> str:
    """The drawing as an SVG document. Fills lie below lines, lines below texts; layers in the order of the table.

    A white rim keeps letters legible over lines: it is a text of its own below all words, since few readers but
    browsers know how to paint the rim of a letter before the letter.
    """
    width, height = drawing.paper_mm
    size = f'width="{_n(width)}mm" height="{_n(height)}mm" viewBox="0 0 {_n(width)} {_n(height)}"'
    body = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="Arial, Helvetica, sans-serif">',
        f"<title>{escaped(plain(drawing.title))}</title>",
        f'<rect width="{_n(width)}" height="{_n(height)}" fill="#ffffff"/>',
    ]
    place = _placer(drawing)
    for wanted in ((Fill,), (Line, Polyline, Circle, Dimension)):
        for name, layer in LAYERS.items():
            items = [item for item in drawing.items if item.layer == name and isinstance(item, wanted)]
            if items:
                body.append(_group(layer, items, drawing, place))
    body += _words(drawing, place)
    body.append("</svg>\n")
    return "\n".join(body)


def _words(drawing: Drawing, place: Callable[[Point2], Point2]) -> list[str]:
    """Rims of all words, then the words a group a layer."""
    said = [item.figure(drawing) if isinstance(item, Dimension) else item for item in drawing.items]
    texts = [item for item in said if isinstance(item, Text)]
    if not texts:
        return []

    def put(item: Text, rim: bool) -> str:
        return _text(place(item.at_mm), item, item.height_mm / drawing.scale, rim)

    parts = [_RIMS, *(put(item, True) for item in texts), "</g>"]
    for name in LAYERS:
        of_layer = [put(item, False) for item in texts if item.layer == name]
        if of_layer:
            parts += [f'<g data-layer="{name}" {_LETTERS}>', *of_layer, "</g>"]
    return parts


def _placer(drawing: Drawing) -> Callable[[Point2], Point2]:
    left, foot = drawing.corner_mm
    scale, height = float(drawing.scale), drawing.paper_mm[1]

    def place(point: Point2) -> Point2:
        return (point[0] - left) / scale, height - (point[1] - foot) / scale

    return place


def _group(layer: Layer, items: Sequence[Item], drawing: Drawing, place: Callable[[Point2], Point2]) -> str:
    dash = f' stroke-dasharray="{" ".join(_n(part) for part in layer.dash_mm)}"' if layer.dash_mm else ""
    style = (
        f'fill="none" stroke="{layer.colour}" stroke-width="{_n(layer.weight_mm)}"{dash} '
        'stroke-linecap="round" stroke-linejoin="round"'
    )
    inside = "\n".join(_element(item, layer, drawing, place) for item in items)
    return f'<g data-layer="{layer.name}" {style}>\n{inside}\n</g>'


def _element(item: Item, layer: Layer, drawing: Drawing, place: Callable[[Point2], Point2]) -> str:
    match item:
        case Line():
            return _line(place(item.a_mm), place(item.b_mm))
        case Polyline():
            tag = "polygon" if item.closed else "polyline"
            return f'<{tag} points="{_points([place(point) for point in item.points_mm])}"/>'
        case Circle():
            x, y = place(item.at_mm)
            return f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(item.radius_mm / drawing.scale)}"/>'
        case Fill():
            rings = " ".join(f"M{_points([place(point) for point in ring])}Z" for ring in item.rings_mm)
            return f'<path d="{rings}" fill="{_shaded(layer.colour, item.shade)}" fill-rule="evenodd" stroke="none"/>'
        case Dimension():
            return _dimension(item, drawing, place)
        case Text():
            raise ValueError("words are drawn after all lines")


def _dimension(item: Dimension, drawing: Drawing, place: Callable[[Point2], Point2]) -> str:
    feet = item.feet()
    parts = [_line(place(feet[0]), place(feet[1]))]
    along = radians(item.angle_deg)
    for point, foot in zip((item.a_mm, item.b_mm), feet, strict=True):
        far = hypot(foot[0] - point[0], foot[1] - point[1])
        gap = _GAP * drawing.scale
        if far > gap:
            t = gap / far
            start = (point[0] + (foot[0] - point[0]) * t, point[1] + (foot[1] - point[1]) * t)
            past = (foot[0] + (foot[0] - point[0]) * t, foot[1] + (foot[1] - point[1]) * t)
            parts.append(_line(place(start), place(past)))
        x, y = place(foot)
        dx, dy = _STROKE * cos(along + radians(45)), _STROKE * sin(along + radians(45))
        parts.append(_line((x - dx, y + dy), (x + dx, y - dy)))
    return "\n".join(parts)


def _text(at: Point2, item: Text, height: float, rim: bool) -> str:
    anchor = {"left": "", "centre": ' text-anchor="middle"', "right": ' text-anchor="end"'}[item.align]
    drop = height / 2.0 if item.middle else 0.0
    turn = f' transform="rotate({_n(-item.angle_deg)} {_n(at[0])} {_n(at[1])})"' if item.angle_deg else ""
    width = f' stroke-width="{_n(height / 6)}"' if rim else ""
    return (
        f'<text x="{_n(at[0])}" y="{_n(at[1] + drop)}" font-size="{_n(height / _CAPITAL)}"{width}{anchor}{turn}>'
        f"{escaped(plain(item.text))}</text>"
    )


def _line(a: Point2, b: Point2) -> str:
    return f'<line x1="{_n(a[0])}" y1="{_n(a[1])}" x2="{_n(b[0])}" y2="{_n(b[1])}"/>'


def _points(points: list[Point2]) -> str:
    return " ".join(f"{_n(x)},{_n(y)}" for x, y in points)


def _shaded(colour: str, shade: float) -> str:
    parts = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return "#" + "".join(f"{round(255 - (255 - part) * shade):02x}" for part in parts)


def _n(value: float) -> str:
    # hundredths of a millimetre on paper: finer than any plotter, and no "-0"
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
