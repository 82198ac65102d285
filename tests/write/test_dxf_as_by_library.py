"""DXF files against the library that made the empty drawing: the same text to the last byte, whatever stands on them.

The library (ezdxf) is the judge: it draws the same record by itself and writes it.
"""

from __future__ import annotations

import datetime
import random
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import pytest

from takeoff.basics.files import template_path
from takeoff.write.drawings.drawing import Circle, Dimension, Drawing, Fill, Item, Line, Polyline, Text
from takeoff.write.drawings.dxf import TEMPLATE, dxf_text
from takeoff.write.drawings.dxf_library import empty_drawing, library_text
from takeoff.write.drawings.layers import LAYERS

SQUARE = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
FIVE = (*SQUARE, (-0.5, 0.5))
WORDS = ("P3.07", "", "a %%c b^J", "line\none\ttwo", "Māori ā 45°", "{braces} <<scale>> \\P", "x" * 300)
EVERY_KIND: tuple[Item, ...] = (
    Line("DIM", (0.1, -0.0), (1000.0, 1 / 3)),
    Polyline("ROOF-EAVE", SQUARE),
    Polyline("WALL-LINE", SQUARE[:2], closed=False),
    Polyline("WALL-LINE", ((0, 0), (1, 2)), closed=False),
    Circle("DOWNPIPE", (1e-17, 1e22), 3.5),
    Fill("FALL-ARROW", (SQUARE[:3],)),
    Fill("FALL-ARROW", (SQUARE,)),
    Fill("FALL-ARROW", (FIVE,)),
    Fill("SHEET-CLEAR", (SQUARE, FIVE), 0.5),
    Fill("ROOF-PLANE", (SQUARE,), 0.5),
    *(Text("TEXT", (1.0, 2.0), words, 3.5) for words in WORDS),
    *(
        Text("TITLE", (1.0, 2.0), "Eave 4 120", 2.5, angle, align, middle)
        for angle in (0.0, -0.0, 30.0, -90.0, 360.0)
        for align in ("left", "centre", "right")
        for middle in (False, True)
    ),
    *(
        Dimension("DIM", (0.0, 0.0), (3210.5, 40.0), (100.0, 900.0), angle)
        for angle in (0.0, -0.0, 90.0, -90.0, 180.0, 30.0, 1e-14, 89.99999999999999)
    ),
    Dimension("DIM", (0.0, 0.0), (0.4, 0.0), (0.0, 0.0), 0.0),  # shorter than its figure, on its own line
    Dimension("DIM", (5.0, 5.0), (5.0, 5.0), (0.0, 0.0), 17.0),  # nothing to measure
    Dimension("SHEET-LENGTH", (900.0, 3.0), (0.0, 3.0), (0.0, -700.0), 0.0),  # from right to left
)


@pytest.mark.parametrize("items", [(), EVERY_KIND[:10], EVERY_KIND], ids=["empty", "no dimension", "every kind"])
def test_same_text_as_the_library(items: tuple[Item, ...]) -> None:
    page = Drawing("a", "A", 75, (420.0, 297.0), (-1234.5, 678.25), items, 2.5)
    day = datetime.date(2026, 3, 2)
    assert dxf_text(page, day) == library_text(page, day)
    assert dxf_text(page) == library_text(page)


def test_same_text_for_dimensions_at_any_place_and_angle() -> None:
    drawn = random.Random(15)
    for scale in (1, 20, 100):
        at = lambda: (drawn.uniform(-3e4, 3e4), round(drawn.uniform(-3e4, 3e4), drawn.choice((0, 1, 9))))  # noqa: E731
        angle = lambda: drawn.choice((0.0, 90.0, 45.0, drawn.uniform(-180.0, 360.0)))  # noqa: E731
        items = tuple(Dimension("DIM", at(), at(), at(), angle()) for _ in range(60))
        page = Drawing("a", "A", scale, (297.0, 210.0), at(), items, 3.5)
        assert dxf_text(page) == library_text(page)


def test_the_empty_drawing_is_what_the_library_makes() -> None:
    """Renewed by `python -m takeoff.write.drawings.dxf_library templates/empty_drawing.txt`."""
    assert template_path(TEMPLATE).read_text("utf-8") == empty_drawing()


def test_every_layer_stands_in_the_empty_drawing() -> None:
    lines = set(template_path(TEMPLATE).read_text("utf-8").splitlines())
    assert set(LAYERS) <= lines
    assert {layer.says for layer in LAYERS.values()} <= lines


def test_same_bytes_from_many_threads() -> None:
    page = Drawing("a", "A", 50, (420.0, 297.0), (0.0, 0.0), EVERY_KIND)
    with ThreadPoolExecutor(4) as pool:
        texts = set(pool.map(lambda _: dxf_text(page), range(12)))
    assert texts == {dxf_text(page)}


def test_a_drawing_is_written_without_loading_the_library() -> None:
    code = (
        "import sys;from takeoff.write.drawings.drawing import Drawing;from takeoff.write.drawings.dxf import dxf_text;"
        "dxf_text(Drawing('a', 'A', 1, (1.0, 1.0), (0.0, 0.0), ()));sys.exit('ezdxf' in sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
