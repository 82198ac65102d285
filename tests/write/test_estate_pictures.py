"""The pictures of an estate by hand: where bars, houses, squares, keys and words lie on the sheet [mm of paper], and what
is gathered from the rows. Houses are made up."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from takeoff.model.estate import FIGURES, EstateSummary, HouseResult, HouseState, OddHouse, SummedLine
from takeoff.write.estate.estate_map import bands_of, estate_map
from takeoff.write.estate.gather import Gathered, gather, odd_houses, summary_of
from takeoff.write.estate.histograms import estate_spread
from takeoff.write.estate.paper import STEPS, area, box, line, round_steps, sheet, words

SVG = "{http://www.w3.org/2000/svg}"
INK, GREY = "#111111", "#b4b4b4"
FACTS = EstateSummary("lots", "csv", False, 0, (), (), {"done": 3, "refused": 1})

Text = tuple[str, float, float, float, str]
Stroke = tuple[str, float, tuple[tuple[float, float], ...]]
Rect = tuple[float, float, float, float, str]


def points(text: str | None) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in (point.split(",") for point in (text or "").split()))


def read(
    svg: str,
) -> tuple[list[Text], list[Stroke], list[Rect], list[tuple[str, float, tuple[tuple[float, float], ...]]]]:
    """Texts, lines, filled rectangles but the sheet itself, filled rings."""
    root = ET.fromstring(svg)
    texts = [
        (str(node.text), float(node.get("x", "")), float(node.get("y", "")), float(node.get("font-size", "")), node.get("text-anchor", ""))
        for node in root.iter(f"{SVG}text")
    ]  # fmt: skip
    strokes = [
        (node.get("stroke", ""), float(node.get("stroke-width", "")), points(node.get("points")))
        for node in root.iter(f"{SVG}polyline")
    ]
    rects = [
        (*(float(node.get(name, "0")) for name in ("x", "y", "width", "height")), node.get("fill", ""))
        for node in root.iter(f"{SVG}rect")
    ]
    rings = [
        (node.get("fill", ""), float(node.get("stroke-width", "")), points(node.get("points")))
        for node in root.iter(f"{SVG}polygon")
    ]
    return texts, strokes, rects[1:], rings  # type: ignore[return-value]


def house(number: int, ring: tuple[tuple[float, float], ...] = (), **figures: float) -> HouseResult:
    every = {name: 0.0 for name, _, _ in FIGURES}
    return HouseResult(number, f"lot {number}", HouseState.DONE, figures=every | figures, ring_m=ring)


def square(x: float, y: float, wide: float, high: float) -> tuple[tuple[float, float], ...]:
    return ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))


def test_marks_on_paper() -> None:
    assert words((1.0, 2.125), "a <b>", 3.0, "end") == (
        f'<text x="1.00" y="2.12" font-size="3" text-anchor="end" fill="{INK}">a &lt;b&gt;</text>'
    )
    assert (
        words((1.0, 2.0), "a") == f'<text x="1.00" y="2.00" font-size="3.2" text-anchor="start" fill="{INK}">a</text>'
    )
    assert line([(1.0, 2.0), (3.0, 4.5)]) == (
        f'<polyline points="1.00,2.00 3.00,4.50" fill="none" stroke="{INK}" stroke-width="0.3"/>'
    )
    assert area([(1.0, 2.0), (3.0, 4.5)], "#abc") == (
        f'<polygon points="1.00,2.00 3.00,4.50" fill="#abc" stroke="{INK}" stroke-width="0.1"/>'
    )
    assert box(1.0, 2.0, 3.0, 4.0, "#abc") == (
        f'<rect x="1.00" y="2.00" width="3.00" height="4.00" fill="#abc" stroke="{INK}" stroke-width="0.15"/>'
    )
    assert sheet("A & B", ["<g/>"]) == (
        '<svg xmlns="http://www.w3.org/2000/svg" width="297mm" height="210mm" viewBox="0 0 297 210" '
        'font-family="Arial, Helvetica, sans-serif">\n<title>A &amp; B</title>\n'
        '<rect width="297" height="210" fill="#ffffff"/>\n'
        f'<text x="15.00" y="12.00" font-size="5" text-anchor="start" fill="{INK}">A &amp; B</text>\n<g/>\n</svg>\n'
    )


@pytest.mark.parametrize(
    ("least", "most", "about", "steps"),
    [
        (100.0, 299.0, 5, [100, 150, 200, 250, 300]),  # 199 / 5 = 39.8, up to 50
        (100.0, 300.0, 4, [100, 150, 200, 250, 300]),  # exactly 50
        (0.0, 7.0, 6, [0, 2, 4, 6, 8]),  # 1.17, up to 2
        (0.0, 30.0, 6, [0, 5, 10, 15, 20, 25, 30]),
        (0.0, 600.0, 6, [0, 100, 200, 300, 400, 500, 600]),
        (1.0, 1.0, 5, [1.0, 1.0]),  # nothing to spread: a step too small to tell
        (-3.0, 3.0, 6, [-3, -2, -1, 0, 1, 2, 3]),
        (0.0, 5.3, 1, [0, 10]),
        (0.0, 4.9, 1, [0, 5]),
    ],
)
def test_round_steps_by_hand(least: float, most: float, about: int, steps: list[float]) -> None:
    assert round_steps(least, most, about) == pytest.approx(steps)


def test_a_map_of_three_houses() -> None:
    """300 m over 222 mm of paper, 100 m over 178: 300 / 222 = 1.35135 m a mm across, which is more. North is up: a point
    y m over the lowest lies 198 - y / 1.35135."""
    houses = [
        house(1, square(0.0, 0.0, 12.0, 10.0), bought_over_net=1.2),
        house(2, square(288.0, 90.0, 12.0, 10.0), bought_over_net=1.1),
        replace(house(3, square(100.0, 40.0, 13.5, 27.0)), state=HouseState.REFUSED, figures={}),
    ]
    texts, strokes, rects, rings = read(estate_map(gather(houses), FACTS))
    per = 300.0 / 222.0
    assert [(fill, wide) for fill, wide, _ in rings] == [(STEPS[4], 0.1), (STEPS[0], 0.1), ("#ffffff", 0.4)]
    for (_, _, drawn), one in zip(rings, houses, strict=True):
        wanted = [(15.0 + x / per, 198.0 - y / per) for x, y in one.ring_m]
        assert [value for point in drawn for value in point] == pytest.approx([v for p in wanted for v in p], abs=0.006)
    # the bands part fifths of 1.1 and 1.2
    key = [("bought over net", 245.0, 26.0, 3.2, "start")]
    for place, says in enumerate(("to 1.12", "to 1.14", "to 1.16", "to 1.18", "over 1.18")):
        key.append((says, 255.0, 34.5 + 8.0 * place, 3.0, "start"))
    key.append(("1 not taken off", 255.0, 78.5, 3.0, "start"))
    assert texts[1:-1] == key
    assert rects == [
        *((245.0, 30.0 + 8.0 * i, 8.0, 6.0, STEPS[i]) for i in range(5)),
        (245.0, 74.0, 8.0, 6.0, "#ffffff"),
    ]
    # the bar: 30 mm of paper are 40.5 m, so 50 m are drawn, 37 mm
    assert strokes == [(INK, 0.6, ((245.0, 190.0), (282.0, 190.0)))]
    assert texts[-1] == ("50 m", 282.0, 195.0, 3.0, "end")
    assert texts[0][0] == "lots: sheet bought over sheeted area"


def test_a_map_that_is_higher_than_wide_is_fitted_by_its_height() -> None:
    """356 m over 178 mm: 2 m a mm."""
    houses = [house(1, square(0.0, 0.0, 10.0, 10.0), bought_over_net=1.2), house(2, square(100.0, 346.0, 20.0, 10.0))]
    _, _, _, rings = read(estate_map(gather(houses), FACTS))
    assert rings[0][2] == ((15.0, 198.0), (20.0, 198.0), (20.0, 193.0), (15.0, 193.0))
    assert rings[1] == ("#ffffff", 0.4, ((65.0, 25.0), (75.0, 25.0), (75.0, 20.0), (65.0, 20.0)))


def test_bands_part_fifths_of_the_houses_that_have_a_figure() -> None:
    ring = square(0.0, 0.0, 1.0, 1.0)
    assert bands_of([(ring, value) for value in (0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, -1.0)]) == pytest.approx(
        (2, 3, 4, 5)
    )
    assert bands_of([(ring, 0.0)]) == ()


def test_outlines_on_one_spot_are_told_and_one_house_is_a_map() -> None:
    spot = [house(n, square(0.0, 0.0, 10.0, 8.0 + n), bought_over_net=1.0 + n) for n in (1, 2, 3)]
    texts, strokes, _, rings = read(estate_map(gather(spot), FACTS))
    assert texts[1] == ("All outlines lie on one spot: there is no map of them.", 15.0, 24.0, 3.2, "start")
    assert (strokes, rings) == ([], [])
    assert texts[2][0] == "bought over net"
    # corners 20 m apart are twice the sides of 10 m: a map; 19.9 m are not
    for apart, drawn in ((20.0, 2), (19.9, 0)):
        pair = [house(1, square(0.0, 0.0, 10.0, 8.0)), house(2, square(apart, 0.0, 10.0, 8.0))]
        assert len(read(estate_map(gather(pair), FACTS))[3]) == drawn
    assert len(read(estate_map(gather(spot[:1]), FACTS))[3]) == 1


def test_many_houses_are_squares_of_ground_by_their_middle() -> None:
    """4 001 houses: one corner each on a grid. 222 mm / 90 = 2.4667 mm a square."""
    far = (square(2212.0, 1772.0, 8.0, 8.0), 1.5)
    near = [(square(0.0, 0.0, 8.0, 8.0), 1.0 + n / 8000.0) for n in range(2, 4001)]
    without = (square(500.0, 500.0, 8.0, 8.0), 0.0)
    found = Gathered(places=[far, *near, without])
    _, _, rects, rings = read(estate_map(found, FACTS))
    side = 222.0 / 90.0
    assert rings == []
    # 10 m a mm: the near corner lies at (15, 198), square 6 across and 80 down; the far one at (236.2, 20.8)
    near_square = (6 * side, 80 * side, side, side, STEPS[2])  # the middle of its houses lies in the middle fifth
    far_square = (95 * side, 8 * side, side, side, STEPS[4])
    assert len(rects) == 2 + 6
    for drawn, wanted in zip(rects, (near_square, far_square), strict=False):
        assert drawn[:4] == pytest.approx(wanted[:4], abs=0.006)
        assert drawn[4] == wanted[4]
    few = Gathered(places=[far, *near[:-1], without])  # 4 000 in all
    assert estate_map(few, FACTS).count("<polygon") == 4000


def test_the_spread_of_three_houses() -> None:
    """Roofs of 100, 150 and 300 m2: steps of 50 from 100 to 300, 78 mm wide; bars of 10 m2 are 3.9 mm wide."""
    rows = [
        house(1, roof_m2=100.0, bought_over_net=1.1, catchment_m2=80.0),
        house(2, roof_m2=150.0, bought_over_net=1.2, catchment_m2=80.0),
        house(3, roof_m2=300.0, bought_over_net=1.3, catchment_m2=120.0),
    ]
    texts, strokes, rects, _ = read(estate_spread(gather(rows), FACTS))
    assert texts[0] == ("lots: 3 of 4 houses taken off", 15.0, 12.0, 5.0, "start")
    heads = [(says, x, y) for says, x, y, size, _ in texts if size == 3.5]
    assert heads == [
        ("Roof on the slope, m2", 22.0, 27.0), ("Sheet bought over sheeted area", 114.0, 27.0), ("Catchment in plan, m2", 206.0, 27.0),
    ]  # fmt: skip
    assert len(rects) == 60
    # one house at most in a bar: the highest is 52 mm of 1, whatever its step
    tall = [(x, y, wide, high) for x, y, wide, high, _ in rects[:20] if high > 0.0]
    assert tall == [(22.0, 32.0, 3.9, 52.0), (41.5, 32.0, 3.9, 52.0), (96.1, 32.0, 3.9, 52.0)]
    assert {fill for *_, fill in rects} == {STEPS[2]}
    for value, x in ((100, 22.0), (150, 41.5), (200, 61.0), (250, 80.5), (300, 100.0)):
        assert (INK, 0.25, ((x, 84.0), (x, 85.2))) in strokes
        assert (f"{value}", x, 89.0, 2.8, "middle") in texts
    assert (INK, 0.3, ((22.0, 84.0), (100.0, 84.0))) in strokes
    assert (INK, 0.5, ((41.5, 84.0), (41.5, 31.0))) in strokes  # the middle house
    told = [(says, x, y, size) for says, x, y, size, _ in texts if says.startswith("least")]
    assert told == [
        ("least 100, middle 150, most 300", 22.0, 94.5, 3.0),
        ("least 1.1, middle 1.2, most 1.3", 114.0, 94.5, 3.0),
        ("least 80, middle 80, most 120", 206.0, 94.5, 3.0),
    ]
    # up the right one: two houses in its first bar, steps of half a house: 13 mm each
    for value, y in ((0.0, 84.0), (0.5, 71.0), (1.0, 58.0), (1.5, 45.0), (2.0, 32.0)):
        assert (GREY, 0.2, ((206.0, y), (284.0, y))) in strokes
        assert (f"{value:g}", 204.5, y + 1.0, 2.8, "end") in texts
    bars = [(x, high) for x, _, _, high, _ in rects[40:] if high > 0.0]
    assert bars == [(206.0, 52.0), (280.1, 26.0)]


def test_what_lies_beyond_is_counted_in_the_last_bar_and_told() -> None:
    """1 000 houses of 100 to 200 m2 and one of 9 000: 99.5 % lie under 200."""
    rows = [
        house(n, roof_m2=100.0 + n / 10.0, bought_over_net=1.0 + n / 1000.0, catchment_m2=90.0 + n)
        for n in range(1, 1001)
    ]
    rows.append(house(1001, roof_m2=9000.0, bought_over_net=1.5, catchment_m2=95.0))
    texts, _, rects, _ = read(estate_spread(gather(rows), FACTS))
    assert "least 100, middle 150, most 9 000; 1 beyond" in [says for says, *_ in texts]
    bars = [high for *_, high, _ in rects[:20]]
    counts = [sum(1 for n in range(1, 1001) if 5 * i <= (n / 10.0) < 5 * (i + 1)) for i in range(20)]
    counts[19] += 2  # 200 itself, and the one beyond
    assert [bar / bars[1] for bar in bars] == pytest.approx([count / counts[1] for count in counts], abs=0.001)
    assert len([says for says, *_ in texts if "beyond" in says]) == 1


def test_odd_houses_stand_in_a_list_under_the_bars() -> None:
    odd = (
        OddHouse(7, "x" * 40, "roof_m2", 1234.5678, 150.1234, 9.87),
        OddHouse(8, "lot 8", "bought_over_net", 2.0, 1.1, 3.04),
    )
    texts, strokes, _, _ = read(estate_spread(gather([house(1, roof_m2=1.0)]), replace(FACTS, odd=odd)))
    assert ("Check by hand: the houses that are furthest from the others", 15.0, 110.0, 3.5, "start") in texts
    rows = [
        ("number", "house", "by its", "its figure", "middle", "usual spreads off"),
        ("7", "x" * 34, "roof, m2", "1 234.568", "150.123", "9.9"),
        ("8", "lot 8", "bought over net", "2", "1.1", "3"),
    ]
    for place, cells in enumerate(rows):
        y = 117.0 + 6.0 * place
        for x, cell in zip((15.0, 32.0, 100.0, 178.0, 206.0, 236.0), cells, strict=True):
            assert (cell, x, y, 3.0, "start") in texts
        assert (INK if place == 0 else GREY, 0.2, ((15.0, y + 1.8), (282.0, y + 1.8))) in strokes
    says = "Sheet bought: a length a sheet. Each house is reckoned by itself; nothing is an order."
    assert texts[-1] == (says, 15.0, 190.0, 3.0, "start")


def test_rows_are_gathered_once() -> None:
    item = SummedLine("roof sheets", "sheet", "Sheet", 2.0, "length", 8.5, "m", 40.0)
    done = replace(
        house(1, square(0.0, 0.0, 1.0, 1.0), bought_over_net=1.25, roof_m2=50.0),
        findings={"a": ("warn", 2), "b": ("note", 1)}, lines=(item, replace(item, item="ridge", name="Ridge")),
    )  # fmt: skip
    again = replace(
        house(2, roof_m2=70.0), findings={"a": ("warn", 3)}, lines=(replace(item, count=1.0, total=4.0, kg=20.0),)
    )
    stopped = HouseResult(3, "lot 3", HouseState.STOPPED, "pitch of 3.5 degrees on lot 3", findings={"a": ("stop", 1)}, ring_m=square(5.0, 5.0, 1.0, 1.0))  # fmt: skip
    late = HouseResult(4, "lot 4", HouseState.LATE)
    found = gather([done, again, stopped, late])
    assert found.states == Counter(done=2, stopped=1, late=1)
    assert (found.numbers, found.names) == ([1, 2], ["lot 1", "lot 2"])
    assert list(found.columns["roof_m2"]) == [50.0, 70.0]
    assert found.findings == {("a", "warn"): [5, 2], ("b", "note"): [1, 1], ("a", "stop"): [1, 1]}
    assert found.refusals == {
        ("stopped", "pitch of # degrees on ..."): ("stopped: pitch of 3.5 degrees on lot 3", "lot 3", 1),
        ("late", ""): ("late", "lot 4", 1),
    }
    assert found.places == [(done.ring_m, 1.25), (stopped.ring_m, 0.0)]
    key = ("roof sheets", "sheet", "length", "m")
    assert found.lines[key] == (replace(item, count=3.0, total=12.5, kg=60.0), 2)
    assert found.lines["roof sheets", "ridge", "length", "m"] == (replace(item, item="ridge", name="Ridge"), 1)
    said = summary_of(found, FACTS)
    assert said.states == {"done": 2, "late": 1, "stopped": 1}
    assert said.findings == (("a", "stop", 1, 1), ("a", "warn", 5, 2), ("b", "note", 1, 1))
    assert said.refusals == (("stopped: pitch of 3.5 degrees on lot 3", 1, "lot 3"), ("late", 1, "lot 4"))
    assert said.spread["roof_m2"] == (50.0, 60.0, 70.0)
    assert said.totals["roof_m2"] == 120.0
    assert said.odd == ()


def test_long_reasons_are_cut_and_the_most_frequent_come_first() -> None:
    found = gather(
        HouseResult(n, f"lot {n}", HouseState.REFUSED, "a" * 200 if n == 1 else f"b{'c' * (n % 24)}")
        for n in range(1, 100)
    )
    said = summary_of(found, FACTS)
    assert len(said.refusals) == 20
    assert [count for _, count, _ in said.refusals] == sorted((count for _, count, _ in said.refusals), reverse=True)
    words_of_first, _, count = found.refusals["refused", "a" * 160]
    assert (words_of_first, count) == ("refused: " + "a" * 160, 1)
    assert summary_of(Gathered(), FACTS).spread == {}


def test_how_odd_a_house_is() -> None:
    """Ratios bought over net of 1.0 seven times, and 2.0 once. Half of the houses do not differ from the middle, so the
    spread is the least one, 0.05: ln 2 / 0.05 = 13.863. Of seven houses none is odd."""
    columns = {name: np.ones(8) for name, _, _ in FIGURES}
    columns["bought_over_net"] = np.array([1.0] * 7 + [2.0])
    numbers, names = list(range(11, 19)), [f"lot {n}" for n in range(11, 19)]
    odd = odd_houses(numbers, names, columns)
    assert odd[0] == OddHouse(18, "lot 18", "bought_over_net", 2.0, 1.0, pytest.approx(np.log(2.0) / 0.05))
    assert [one.number for one in odd[1:]] == [11, 12, 13, 14, 15, 16, 17]  # equally usual: in their order
    assert odd_houses(numbers[:7], names[:7], {name: values[1:] for name, values in columns.items()}) == ()
    # where figures spread, the middle deviation times 1.4826: deviations of e^0.1n are 0.35 .. 0.05, their middle 0.2
    columns["bought_over_net"] = np.exp(0.1 * np.arange(8))
    columns |= {name: np.ones(8) for name in ("roof_m2",)}
    (most, *_) = odd_houses(numbers, names, columns)
    assert (most.number, most.spreads) == (11, pytest.approx(0.35 / (1.4826 * 0.2)))
    # catchment over plan, and ridges, hips and valleys over the roof
    columns["bought_over_net"] = np.ones(8)
    columns["catchment_m2"] = np.array([3.0] * 7 + [12.0])
    columns["roof_plan_m2"] = np.array([2.0] * 8)
    (most, *_) = odd_houses(numbers, names, columns)
    assert (most.number, most.what, most.figure, most.middle) == (18, "catchment over plan", 6.0, 1.5)
    columns["catchment_m2"] = np.array([3.0] * 8)
    columns |= {"ridge_m": np.array([1.0] * 7 + [9.0]), "hip_m": np.full(8, 2.0), "valley_m": np.full(8, 4.0)}
    columns["roof_m2"] = np.full(8, 10.0)
    (most, *_) = odd_houses(numbers, names, columns)
    assert (most.what, most.figure, most.middle) == ("ridges, hips and valleys over roof", 1.5, 0.7)
