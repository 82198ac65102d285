"""What every kind of item becomes in an SVG and on a page of a PDF, by hand: at 1:20 on a paper of 420 x 297 whose lower
left corner is at (-400, -200) [mm]. Operators of a page as ISO 32000-1 has them (from memory)."""

from __future__ import annotations

from math import cos, radians, sin, sqrt
from types import SimpleNamespace
from typing import Any

import pytest
from drawn_by_hand import same

from takeoff.write.drawings import pdf
from takeoff.write.drawings.drawing import Circle, Dimension, Drawing, Fill, Item, Line, Polyline, Text
from takeoff.write.drawings.layers import LAYERS
from takeoff.write.drawings.pdf import OnPage, page_operators, strokes
from takeoff.write.drawings.svg import svg_text
from takeoff.write.letters.pdf_letters import CAPITAL

RING = ((0.0, 0.0), (400.0, 0.0), (400.0, 200.0))
HOLE = ((100.0, 20.0), (300.0, 20.0), (300.0, 100.0))
# feet at (0, 100) and (400, 100): a lies 100 off them, b 15, less than the gap of 20
LEVEL = Dimension("DIM", (0.0, 0.0), (400.0, 85.0), (50.0, 100.0), 0.0)
TICK = 1.5 * 20.0 / sqrt(2.0)


def sheet(*items: Item) -> Drawing:
    return Drawing("a", "A & B", 20, (420.0, 297.0), (-400.0, -200.0), items, 2.5)


def body(*items: Item) -> str:
    """An SVG without its head: 20 mm right and 10 mm up lies the drawing's origin, so at (20, 287)."""
    head = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="420mm" height="297mm" viewBox="0 0 420 297" '
        'font-family="Arial, Helvetica, sans-serif">\n<title>A &amp; B</title>\n'
        '<rect width="420" height="297" fill="#ffffff"/>\n'
    )
    text = svg_text(sheet(*items))
    assert text.startswith(head)
    assert text.endswith("</svg>\n")
    return text[len(head) : -len("</svg>\n")]


def group(layer: str, style: str, inside: str) -> str:
    ends = 'stroke-linecap="round" stroke-linejoin="round"'
    return f'<g data-layer="{layer}" fill="none" {style} {ends}>\n{inside}\n</g>\n'


def test_an_empty_svg_is_its_paper() -> None:
    assert body() == ""


def test_lines_of_an_svg_by_hand() -> None:
    eave = 'stroke="#111111" stroke-width="0.7"'
    assert body(Line("ROOF-EAVE", (0.0, 0.0), (401.0, 203.0))) == group(
        "ROOF-EAVE", eave, '<line x1="20" y1="287" x2="40.05" y2="276.85"/>'
    )
    assert body(Polyline("ROOF-EAVE", RING), Polyline("ROOF-EAVE", RING, closed=False)) == group(
        "ROOF-EAVE", eave,
        '<polygon points="20,287 40,287 40,277"/>\n<polyline points="20,287 40,287 40,277"/>',
    )  # fmt: skip
    assert body(Circle("ROOF-VALLEY", (0.0, 100.0), 50.0)) == group(
        "ROOF-VALLEY",
        'stroke="#111111" stroke-width="0.5" stroke-dasharray="4 2"',
        '<circle cx="20" cy="282" r="2.5"/>',
    )


def test_a_fill_of_an_svg_lies_below_all_lines_in_a_lighter_colour() -> None:
    """#bb is 187: half way to white 255 - 68 / 2 = 221, dd; #1f4e8c at a quarter c7d3e2: 255 - 224 / 4 = 199,
    255 - 177 / 4 = 210.75, 255 - 115 / 4 = 226.25."""
    plane = Fill("ROOF-PLANE", (RING, HOLE), 0.5)
    clear = Fill("SHEET-CLEAR", (RING,), 0.25)
    line = Line("ROOF-EAVE", (0.0, 0.0), (400.0, 0.0))
    rings = "M20,287 40,287 40,277Z M25,286 35,286 35,282Z"
    found = body(line, clear, plane)
    assert found == (
        group("ROOF-PLANE", 'stroke="#bbbbbb" stroke-width="0.13"', f'<path d="{rings}" fill="#dddddd" fill-rule="evenodd" stroke="none"/>')
        + group("SHEET-CLEAR", 'stroke="#1f4e8c" stroke-width="0.18"',
                '<path d="M20,287 40,287 40,277Z" fill="#c7d3e2" fill-rule="evenodd" stroke="none"/>')
        + group("ROOF-EAVE", 'stroke="#111111" stroke-width="0.7"', '<line x1="20" y1="287" x2="40" y2="287"/>')
    )  # fmt: skip


def test_a_dimension_of_an_svg_by_hand() -> None:
    """Its line 5 mm of paper up; from a an extension line from 1 mm off it to 1 mm past the line, none from b, which is
    nearer; ticks 1.06 mm either way; its figure 2.25 mm over the line, letters of 2.5 / 0.72 = 3.47."""
    wanted = [
        '<line x1="20" y1="282" x2="40" y2="282"/>', '<line x1="20" y1="286" x2="20" y2="281"/>',
        '<line x1="18.94" y1="283.06" x2="21.06" y2="280.94"/>', '<line x1="38.94" y1="283.06" x2="41.06" y2="280.94"/>',
    ]  # fmt: skip
    words = '<text x="30" y="281" font-size="3.47"{} text-anchor="middle">400</text>'
    assert body(LEVEL) == (
        group("DIM", 'stroke="#111111" stroke-width="0.18"', "\n".join(wanted))
        + '<g data-layer="RIM" fill="#ffffff" stroke="#ffffff" stroke-linejoin="round" aria-hidden="true">\n'
        + words.format(' stroke-width="0.42"')
        + '\n</g>\n<g data-layer="DIM" fill="#111111" stroke="none">\n'
        + words.format("")
        + "\n</g>\n"
    )


@pytest.mark.parametrize(
    ("item", "wanted"),
    [
        (Text("TEXT", (0.0, 0.0), "a<b", 72.0), 'x="20" y="287" font-size="5"{}>a&lt;b'),
        (Text("TEXT", (0.0, 0.0), "a", 72.0, 0.0, "right", True), 'x="20" y="288.8" font-size="5"{} text-anchor="end">a'),
        (Text("TEXT", (0.0, 0.0), "a", 72.0, 30.0), 'x="20" y="287" font-size="5"{} transform="rotate(-30 20 287)">a'),
    ],
)  # fmt: skip
def test_words_of_an_svg_by_hand(item: Text, wanted: str) -> None:
    """72 are 3.6 mm of paper: letters of 5, half of them 1.8, a rim of a sixth."""
    rims, words = body(item).split("</g>\n", 1)
    assert (
        rims.splitlines()[1]
        == f"<text {wanted.format(chr(32) + chr(115) + 'troke-width=' + chr(34) + '0.6' + chr(34))}</text>"
    )
    assert words == f'<g data-layer="TEXT" fill="#111111" stroke="none">\n<text {wanted.format("")}</text>\n</g>\n'


# ---- pages of a PDF

TYPED: Any = SimpleNamespace(shows=lambda words, size, bold: f"{words} {size:.3f} {bold}")
HALF = OnPage(10.0, 5.0, 0.5)
POINT = 72.0 / 25.4


def at(x: float, y: float) -> str:
    """On a page at half its size: half of what is 20 and 10 mm more on its own paper, 10 and 5 mm in."""
    return f"{(10.0 + (x / 20.0 + 20.0) / 2.0) * POINT:.2f} {(5.0 + (y / 20.0 + 10.0) / 2.0) * POINT:.2f}"


def page(*items: Item) -> list[str]:
    first, *lines, last = page_operators(TYPED, sheet(*items), HALF).split("\n")
    assert (first, last) == ("q 1 J 1 j", "Q")
    return lines


def test_lines_of_a_page_are_one_path_a_layer() -> None:
    """#111111 is 17 / 255 = 0.067; the valley's dashes of 4 and 2 and its weight of 0.5 at half their size."""
    a, b, c = at(0.0, 0.0), at(400.0, 0.0), at(400.0, 200.0)
    valley = Line("ROOF-VALLEY", (0.0, 0.0), (400.0, 200.0))
    found = page(Polyline("ROOF-EAVE", RING), valley, Polyline("ROOF-EAVE", RING, closed=False))
    assert found == [
        f"0.067 0.067 0.067 RG {0.35 * POINT:.2f} w [] 0 d",
        f"{a} m {b} l {c} l h",
        f"{a} m {b} l {c} l",
        "S",
        f"0.067 0.067 0.067 RG {0.25 * POINT:.2f} w [{2.0 * POINT:.2f} {POINT:.2f}] 0 d",
        f"{a} m {c} l",
        "S",
    ]
    assert page() == []


def test_a_fill_of_a_page_by_hand() -> None:
    """#1f4e8c is 31, 78 and 140 of 255: at a quarter 1 - 224 / 1020, 1 - 177 / 1020 and 1 - 115 / 1020."""
    (found,) = page(Fill("SHEET-CLEAR", (RING, HOLE), 0.25))
    outer = f"{at(0.0, 0.0)} m {at(400.0, 0.0)} l {at(400.0, 200.0)} l h"
    inner = f"{at(100.0, 20.0)} m {at(300.0, 20.0)} l {at(300.0, 100.0)} l h"
    assert found == f"0.780 0.826 0.887 rg {outer} {inner} f*"


def test_a_circle_of_a_page_by_hand() -> None:
    """Four curves from its right side over its top; handles 0.5523 of the radius of 50."""
    _, path, _ = page(Circle("DOWNPIPE", (100.0, 60.0), 50.0))
    k = 0.5523 * 50.0
    quarters = [
        ((50.0, k), (k, 50.0), (0.0, 50.0)), ((-k, 50.0), (-50.0, k), (-50.0, 0.0)),
        ((-50.0, -k), (-k, -50.0), (0.0, -50.0)), ((k, -50.0), (50.0, -k), (50.0, 0.0)),
    ]  # fmt: skip
    wanted = [at(150.0, 60.0), *(at(100.0 + x, 60.0 + y) for quarter in quarters for x, y in quarter)]
    found = [float(word) for word in path.split() if word not in "mch"]
    assert found == pytest.approx([float(word) for pair in wanted for word in pair.split()], abs=0.011)
    assert "".join(word for word in path.split() if word in "mch") == "mcccch"


def lines_of(item: Dimension) -> list[Any]:
    return [points for points, closed in strokes(item, sheet()) if not closed]


def test_the_lines_of_a_dimension_by_hand() -> None:
    tick = ((-TICK, 100.0 - TICK), (TICK, 100.0 + TICK))
    there = tuple((x + 400.0, y) for x, y in tick)
    same(lines_of(LEVEL), [((0, 100), (400, 100)), ((0, 20), (0, 120)), tick, there])
    # a gap of 20 exactly leaves no line, a little more does; from above it comes down
    for y, count in ((80.0, 4), (79.0, 5), (121.0, 5)):
        found = lines_of(Dimension("DIM", (0.0, 0.0), (400.0, y), (50.0, 100.0), 0.0))
        assert len(found) == count
    same(found[3], ((400, 101), (400, 80)))
    # aslant: feet 100 to the left of (0, 0) and (80, 60), ticks 45 degrees on
    along = Dimension("DIM", (0.0, 0.0), (80.0, 60.0), (-60.0, 80.0), 36.86989764584402)
    turn = radians(36.86989764584402 + 45.0)
    x, y = 30.0 * cos(turn), 30.0 * sin(turn)
    line, first, tick_a, second, tick_b = lines_of(along)
    same(line, ((-60, 80), (20, 140)))
    same((first, second), (((-12, 16), (-72, 96)), ((68, 76), (8, 156))))
    same((tick_a, tick_b), (((-60 - x, 80 - y), (-60 + x, 80 + y)), ((20 - x, 140 - y), (20 + x, 140 + y))))


def test_what_has_no_lines_has_no_strokes() -> None:
    for item in (Circle("DIM", (0.0, 0.0), 1.0), Text("TEXT", (0.0, 0.0), "a", 1.0), Fill("DIM", (RING,))):
        assert list(strokes(item, sheet())) == []


def test_words_of_a_page_have_their_rims_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """Letters of 60 are 1.5 mm here, in points 4.252; a face's capitals are 0.729 of its size."""
    monkeypatch.setattr(pdf, "width", lambda words, size, bold: 2.0 * len(words) * size * (3.0 if bold else 1.0))
    high = 1.5 * POINT
    size = high / CAPITAL
    turn = radians(30.0)
    c, s = cos(turn), sin(turn)
    x, y = (20.0 + 0.0) * POINT, (10.0 + 0.0) * POINT
    rows = [
        (Text("TEXT", (0.0, 0.0), "ab", 60.0), False, 0.0, 0.0, 0.0),
        (Text("TEXT", (0.0, 0.0), "ab", 60.0, 0.0, "right"), False, 4.0 * size, 0.0, 0.0),
        (Text("TEXT", (0.0, 0.0), "ab", 60.0, 30.0, "centre", True), False, 2.0 * size, high / 2.0, 30.0),
        (Text("HOLD", (0.0, 0.0), "ab", 60.0, 30.0, "centre", True), True, 6.0 * size, high / 2.0, 30.0),
    ]
    wanted = []
    for _, bold, back, drop, angle in rows:
        c, s = cos(radians(angle)), sin(radians(angle))
        wanted.append(
            f"{c:.4f} {s:.4f} {-s:.4f} {c:.4f} {x - back * c + drop * s:.2f} {y - back * s - drop * c:.2f} Tm "
            f"ab {size:.3f} {bold}"
        )
    found = page(*(row[0] for row in rows))
    rims = [f"{high / 6.0:.2f} w {word}" for word in wanted]
    assert found == [
        "/Span <</ActualText ()>> BDC", "q 1 1 1 RG [] 0 d BT 1 Tr", *rims, "ET Q", "EMC", "BT 0.0667 g", *wanted, "ET",
    ]  # fmt: skip


def test_the_figure_of_a_dimension_is_among_the_words() -> None:
    """2.5 / 2 + 1 = 2.25 mm of paper over the middle of its line, letters of 2.5."""
    found = page(LEVEL)[-2]
    assert found.endswith(f" Tm 400 {1.25 * POINT / CAPITAL:.3f} False")
    assert float(found.split()[5]) == pytest.approx(float(at(0.0, 145.0).split()[1]) - 0.625 * POINT, abs=0.011)


BOX = (0.0, 0.0, 1000.0, 500.0)


@pytest.mark.parametrize(
    ("item", "shown"),
    [
        (Circle("DIM", (0.0, 0.0), 1.0), True), (Circle("DIM", (1000.0, 500.0), 1.0), True), (Circle("DIM", (-1.0, 0.0), 9.0), False),
        (Circle("DIM", (0.0, -1.0), 9.0), False), (Circle("DIM", (1001.0, 500.0), 9.0), False), (Circle("DIM", (1000.0, 501.0), 9.0), False),
        (Text("TEXT", (500.0, 250.0), "a", 1.0), True), (Text("TITLE", (500.0, 250.0), "a", 1.0), False),
        (Line("HOLD", (500.0, 250.0), (500.0, 260.0)), False), (Line("DIM", (-5.0, -5.0), (5.0, 5.0)), True),
        (Line("DIM", (-5.0, 5.0), (1005.0, 5.0)), False), (Polyline("DIM", ((-9.0, 0.0), (-8.0, 0.0), (9.0, 9.0))), True),
        # a fill by its outline, a dimension by its line
        (Fill("DIM", (((-9.0, -9.0), (2000.0, -9.0), (2000.0, 900.0)), HOLE)), False), (Fill("DIM", (HOLE,)), True),
        (Dimension("DIM", (50.0, 50.0), (90.0, 50.0), (0.0, -50.0), 0.0), False),
        (Dimension("DIM", (50.0, -50.0), (90.0, -50.0), (0.0, 50.0), 0.0), True),
    ],
)  # fmt: skip
def test_what_of_a_drawing_a_part_shows(item: Item, shown: bool) -> None:
    assert pdf._is_shown(item, BOX) is shown


def test_a_part_is_moved_to_its_own_corner() -> None:
    """100 right of and 60 over the corner of what is shown: 2.5 and 1.5 mm at half the size."""
    part = OnPage(10.0, 5.0, 0.5, (200.0, 40.0, 1000.0, 500.0))
    text = page_operators(TYPED, sheet(Line("DIM", (300.0, 100.0), (200.0, 40.0))), part)
    ends = f"{12.5 * POINT:.2f} {6.5 * POINT:.2f} m {10.0 * POINT:.2f} {5.0 * POINT:.2f} l"
    assert text.split("\n")[2] == ends


def test_layers_are_drawn_in_the_order_of_their_table() -> None:
    names = list(LAYERS)
    lines = page(*(Line(name, (0.0, 0.0), (1.0, 0.0)) for name in reversed(names)))
    assert [line for line in lines if line.endswith("d")] == [
        f"{' '.join(f'{int(one.colour[k : k + 2], 16) / 255.0:.3f}' for k in (1, 3, 5))} RG {one.weight_mm * 0.5 * POINT:.2f} w "
        f"[{' '.join(f'{part * 0.5 * POINT:.2f}' for part in one.dash_mm)}] 0 d"
        for one in LAYERS.values()
    ]
