"""A sheet of A4 across, in mm of paper, as SVG: the few marks that distributions and maps are made of."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor, log10
from xml.sax.saxutils import escape

from takeoff.basics.vectors import Point2
from takeoff.write.words.words import plain

WIDE, HIGH = 297.0, 210.0
INK, GREY = "#111111", "#b4b4b4"
# five greys of one hue from light to dark: told apart in print without colour too
STEPS = ("#e4edf4", "#b7cfe0", "#7fa8c6", "#467ca6", "#17476e")


def sheet(title: str, body: Sequence[str]) -> str:
    """The whole document."""
    size = f'width="{WIDE:g}mm" height="{HIGH:g}mm" viewBox="0 0 {WIDE:g} {HIGH:g}"'
    head = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="Arial, Helvetica, sans-serif">',
        f"<title>{escape(plain(title))}</title>",
        f'<rect width="{WIDE:g}" height="{HIGH:g}" fill="#ffffff"/>',
        words((15.0, 12.0), title, 5.0),
    ]
    return "\n".join([*head, *body, "</svg>\n"])


def words(at: Point2, text: str, size: float = 3.2, anchor: str = "start") -> str:
    """A line of text."""
    place = f'x="{at[0]:.2f}" y="{at[1]:.2f}" font-size="{size:g}" text-anchor="{anchor}"'
    return f'<text {place} fill="{INK}">{escape(plain(text))}</text>'


def line(points: Sequence[Point2], colour: str = INK, wide: float = 0.3) -> str:
    """Joined lines."""
    where = " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
    return f'<polyline points="{where}" fill="none" stroke="{colour}" stroke-width="{wide:g}"/>'


def area(points: Sequence[Point2], fill: str, edge: str = INK, wide: float = 0.1) -> str:
    """A filled ring."""
    where = " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
    return f'<polygon points="{where}" fill="{fill}" stroke="{edge}" stroke-width="{wide:g}"/>'


def box(left: float, top: float, wide: float, high: float, fill: str) -> str:
    """A filled rectangle with a fine edge."""
    where = f'x="{left:.2f}" y="{top:.2f}" width="{wide:.2f}" height="{high:.2f}"'
    return f'<rect {where} fill="{fill}" stroke="{INK}" stroke-width="0.15"/>'


def round_steps(least: float, most: float, about: int = 6) -> list[float]:
    """Round figures from `least` or below to `most` or above, about so many.

    >>> round_steps(0.0, 237.0)
    [0.0, 50.0, 100.0, 150.0, 200.0, 250.0]
    """
    raw = max(most - least, 1e-9) / about
    power = 10.0 ** floor(log10(raw))
    step = next(power * times for times in (1.0, 2.0, 5.0, 10.0) if power * times >= raw - 1e-12)
    first, last = floor(least / step + 1e-9), ceil(most / step - 1e-9)
    return [round(step * n, 10) for n in range(first, max(last, first + 1) + 1)]
