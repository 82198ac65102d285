"""A drawing says the same on a page of a PDF as in its SVG and DXF: every line, circle, fill and word, at its place.

The PDF is read as text: operators m, l, c, h, S, f*, Tm as ISO 32000-1 has them (from memory).
"""

from __future__ import annotations

import io
import math
import re
from itertools import pairwise
from xml.etree import ElementTree

import ezdxf
import pytest
from reportlab.pdfgen.canvas import Canvas

from takeoff.model.order import Takeoff
from takeoff.write.drawings.drawing import Circle, Dimension, Drawing, Fill, Line, Polyline, Text
from takeoff.write.drawings.dxf import dxf_text
from takeoff.write.drawings.pdf import POINT, OnPage, page_operators
from takeoff.write.drawings.svg import svg_text
from takeoff.write.files import drawings
from takeoff.write.letters.pdf_letters import Typed, width, wrapped

SVG = "{http://www.w3.org/2000/svg}"
Segment = tuple[tuple[float, float], tuple[float, float]]


def operators(drawing: Drawing, at: OnPage | None = None) -> str:
    return page_operators(Typed(Canvas(io.BytesIO(), invariant=1)), drawing, at or OnPage())


def segments(a: tuple[float, float], b: tuple[float, float]) -> Segment:
    """A stretch in hundredths of a paper mm, the lesser end first."""
    one, other = sorted((round(x, 1), round(y, 1)) for x, y in (a, b))
    return one, other


def in_pdf(text: str) -> list[Segment]:
    """Stroked stretches of a page in paper mm; curves left out."""
    found: list[Segment] = []
    path: list[Segment] = []
    start = at = (0.0, 0.0)
    for line in text.split("\n"):
        words = line.split()
        if "BT" in words or "Tm" in words:
            continue
        numbers: list[float] = []
        for word in words:
            if re.fullmatch(r"-?[0-9.]+", word):
                numbers.append(float(word) / POINT)
                continue
            if word == "m":
                start = at = (numbers[-2], numbers[-1])
            elif word == "l":
                path.append(segments(at, (numbers[-2], numbers[-1])))
                at = (numbers[-2], numbers[-1])
            elif word == "c":
                at = (numbers[-2], numbers[-1])
            elif word == "h" and at != start:
                path.append(segments(at, start))
            elif word == "S":
                found, path = [*found, *path], []
            elif word == "f*":
                path = []
            numbers = []
    return found


def in_svg(text: str, high: float) -> list[Segment]:
    """Stretches of lines and outlines of an SVG in paper mm, y up."""
    found = []
    for element in ElementTree.fromstring(text).iter():
        points: list[tuple[float, float]] = []
        if element.tag == f"{SVG}line":
            points = [(float(element.get(f"x{i}", "")), float(element.get(f"y{i}", ""))) for i in (1, 2)]
        elif element.tag in (f"{SVG}polygon", f"{SVG}polyline"):
            pairs = (pair.split(",") for pair in (element.get("points") or "").split())
            points = [(float(x), float(y)) for x, y in pairs]
            points += points[:1] if element.tag == f"{SVG}polygon" else []
        found += [segments((a[0], high - a[1]), (b[0], high - b[1])) for a, b in pairwise(points)]
    return found


def near(one: list[Segment], other: list[Segment]) -> bool:
    """Whether every stretch of each is within 0.2 mm of one of the other."""

    def known(of: list[Segment]) -> set[tuple[int, ...]]:
        return {tuple(round(v / 0.2) for point in each for v in point) for each in of}

    def within(each: Segment, among: set[tuple[int, ...]]) -> bool:
        cells = [round(v / 0.2) for point in each for v in point]
        steps = [(a + i, b + j, c + k, d + m) for a, b, c, d in [cells] for i in (-1, 0, 1) for j in (-1, 0, 1)
                 for k in (-1, 0, 1) for m in (-1, 0, 1)]  # fmt: skip
        turned = [(c, d, a, b) for a, b, c, d in steps]
        return any(step in among for step in (*steps, *turned))

    ours, theirs = known(one), known(other)
    return all(within(each, theirs) for each in one) and all(within(each, ours) for each in other)


@pytest.fixture(scope="module")
def drawn(sample: Takeoff) -> tuple[Drawing, ...]:
    return drawings(sample)


def test_the_lines_of_every_drawing_are_those_of_its_svg(drawn: tuple[Drawing, ...]) -> None:
    for drawing in drawn:
        pdf, svg = in_pdf(operators(drawing)), in_svg(svg_text(drawing), drawing.paper_mm[1])
        assert len(pdf) == len(svg) > 3, drawing.name
        assert near(pdf, svg), drawing.name


def test_the_lines_of_a_drawing_are_those_of_its_dxf(drawn: tuple[Drawing, ...]) -> None:
    drawing = next(one for one in drawn if one.name == "roof_plan")
    space = ezdxf.read(io.StringIO(dxf_text(drawing, None))).modelspace()
    lines = [(tuple(entity.dxf.start)[:2], tuple(entity.dxf.end)[:2]) for entity in space.query("LINE")]
    left, foot = drawing.corner_mm
    placed = [segments(*(((x - left) / drawing.scale, (y - foot) / drawing.scale) for x, y in pair)) for pair in lines]
    pdf = in_pdf(operators(drawing))
    assert placed
    assert near([*placed, *pdf], pdf)


def test_every_word_stands_once_in_the_pdf_and_in_the_svg_at_one_place(drawn: tuple[Drawing, ...]) -> None:
    for drawing in drawn:
        texts = [item.figure(drawing) if isinstance(item, Dimension) else item for item in drawing.items]
        texts = [text for text in texts if isinstance(text, Text)]
        body = operators(drawing).split("EMC")[1]
        assert body.count(" Tm ") == len(texts), drawing.name
        in_drawing = svg_text(drawing).split('aria-hidden="true">')[1].split("</g>", 1)[1]
        assert in_drawing.count("<text ") == len(texts), drawing.name


def one_of_each() -> Drawing:
    items = (
        Fill("ROOF-PLANE", (((0.0, 0.0), (1000.0, 0.0), (1000.0, 1000.0)),), 0.5),
        Line("ROOF-HIP", (0.0, 0.0), (1000.0, 2000.0)),
        Polyline("ROOF-EAVE", ((0.0, 0.0), (1000.0, 0.0), (1000.0, 500.0)), True),
        Circle("DOWNPIPE", (500.0, 500.0), 100.0),
        Text("TEXT", (1000.0, 1000.0), "E1", 35.0, 90.0, "centre", True),
        Text("HOLD", (1000.0, 1500.0), "HOLD", 50.0),
    )
    return Drawing("each", "each", 10, (300.0, 300.0), (-100.0, -100.0), items)


def test_a_part_that_is_shown_is_moved_made_smaller_and_comes_without_frame_and_hold() -> None:
    text = operators(one_of_each(), OnPage(20.0, 30.0, 0.5, (0.0, 0.0, 1500.0, 2500.0)))
    x, y = 20.0 * POINT, 30.0 * POINT
    far = (x + 1000 / 10 * 0.5 * POINT, y + 2000 / 10 * 0.5 * POINT)
    assert f"{x:.2f} {y:.2f} m {far[0]:.2f} {far[1]:.2f} l" in text
    assert text.split("EMC")[1].count(" Tm ") == 1


def test_a_word_turns_about_its_middle() -> None:
    """Half the width back along the way it runs, half its height down across it, at 90 degrees: (h/2, -w/2)."""
    drawing = one_of_each()
    size = 35.0 / 10 * POINT / 0.729
    wide, half = width("E1", size), 35.0 / 10 * POINT / 2.0
    x, y = (1100.0 / 10 * POINT + half, 1100.0 / 10 * POINT - wide / 2.0)
    assert re.search(rf"0\.0000 1\.0000 -1\.0000 0\.0000 {x:.2f} {y:.2f} Tm", operators(drawing))


def test_a_circle_of_four_curves_is_round() -> None:
    """Points at half of each curve lie on the circle to 3 parts in ten thousand."""
    line = next(line for line in operators(one_of_each()).split("\n") if line.endswith("c h"))
    numbers = [float(word) for word in re.findall(r"-?[0-9.]+", line)]
    points = list(zip(numbers[::2], numbers[1::2], strict=True))
    centre, radius = (60.0 * POINT, 60.0 * POINT), 10.0 * POINT
    for k in range(0, 12, 3):
        a, b, c, d = points[k : k + 4]
        x, y = ((a[i] + 3 * b[i] + 3 * c[i] + d[i]) / 8.0 for i in (0, 1))
        assert math.hypot(x - centre[0], y - centre[1]) == pytest.approx(radius, rel=3e-4)


def test_words_are_broken_to_the_room_they_have() -> None:
    text = "the quick brown " + "x" * 60
    lines = wrapped(text, 80.0, 9.0)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(width(line, 9.0) <= 80.0 for line in lines)
    assert wrapped("", 80.0, 9.0) == ("",)
    assert wrapped("one line", width("one line", 9.0), 9.0) == ("one line",)
