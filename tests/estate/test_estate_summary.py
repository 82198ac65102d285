"""What is said of an estate as a whole: sums, odd houses, the spread and the map."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest
from houses_of_a_map import USUAL, feature, rectangle, write_sequence

from takeoff.estate.many import Wanted, take_many
from takeoff.model.estate import FIGURES, EstateSummary, HouseResult, HouseState
from takeoff.read.estates.attributes import attribute_place, misspelt
from takeoff.write.estate.estate_map import estate_map
from takeoff.write.estate.gather import gather, summary_of
from takeoff.write.estate.histograms import estate_spread
from takeoff.write.estate.paper import STEPS, round_steps

FACTS = EstateSummary("lots", "csv", False, 0, (), (), {})
SVG = "{http://www.w3.org/2000/svg}"


def row(number: int, **figures: float) -> HouseResult:
    """A house of 100 m2 and a little, bought 1.1 times over."""
    usual = {name: 0.0 for name, _, _ in FIGURES}
    usual |= {"roof_m2": 100.0 + number, "roof_plan_m2": 90.0, "catchment_m2": 90.0, "bought_over_net": 1.1}
    usual |= {"ridge_m": 30.0 + number % 3}
    x = 50.0 * number
    ring = ((x, 0.0), (x + 10.0, 0.0), (x + 10.0, 9.0), (x, 9.0))
    return HouseResult(number, f"lot {number}", HouseState.DONE, figures=usual | figures, ring_m=ring)


def test_sums_and_spread_by_hand() -> None:
    said = summary_of(gather(row(n) for n in (1, 2, 3)), FACTS)
    assert said.totals["roof_m2"] == pytest.approx(101 + 102 + 103)
    assert said.spread["roof_m2"] == (101.0, 102.0, 103.0)
    assert "bought_over_net" not in said.totals  # a ratio has no sum
    assert said.whole
    assert said.houses == 3


@pytest.mark.parametrize(
    ("figures", "what"),
    [
        ({"roof_m2": 4000.0, "ridge_m": 1000.0}, "roof_m2"),
        ({"bought_over_net": 1.9}, "bought_over_net"),
        ({"catchment_m2": 45.0}, "catchment over plan"),
        ({"ridge_m": 400.0}, "ridges, hips and valleys over roof"),
    ],
)
def test_the_house_that_is_not_like_the_others_comes_first(figures: dict[str, float], what: str) -> None:
    rows = [row(n) for n in range(1, 40)]
    rows[17] = row(18, **figures)
    odd = summary_of(gather(rows), FACTS).odd
    assert len(odd) == 10
    assert (odd[0].number, odd[0].what) == (18, what)
    assert odd[0].spreads > 3.0


def test_reasons_that_differ_in_figures_alone_are_one() -> None:
    late = [HouseResult(n, f"lot {n}", HouseState.REFUSED, f"edge {n} of lot {n} is {n}.5 mm") for n in range(1, 8)]
    ((why, count, one),) = summary_of(gather(late), FACTS).refusals
    assert (count, one) == (7, "lot 1")
    assert why == "refused: edge 1 of lot 1 is 1.5 mm"  # the first house's own words


def texts(svg: str) -> str:
    return " | ".join("".join(node.itertext()) for node in ET.fromstring(svg).iter(f"{SVG}text"))


def test_the_map_shades_houses_and_leaves_those_without_figures_white() -> None:
    rows = [row(n, bought_over_net=1.0 + 0.02 * n) for n in range(1, 11)]
    rows.append(replace(row(11), state=HouseState.REFUSED, figures={}))
    found = gather(rows)
    drawn = ET.fromstring(estate_map(found, summary_of(found, FACTS)))
    fills = [node.get("fill") for node in drawn.iter(f"{SVG}polygon")]
    assert [fills.count(step) for step in STEPS] == [2, 2, 2, 2, 2]  # a fifth of the houses each
    assert fills[-1] == "#ffffff"
    assert "1 not taken off" in texts(ET.tostring(drawn, encoding="unicode"))
    left, right = (min(float(p.split(",")[0]) for p in str(node.get("points")).split()) for node in
                   (next(drawn.iter(f"{SVG}polygon")), list(drawn.iter(f"{SVG}polygon"))[-1]))  # fmt: skip
    metres = re.search(r"(\d+) m$", texts(ET.tostring(drawn, encoding="unicode")))
    assert metres is not None
    (bar,) = [node for node in drawn.iter(f"{SVG}polyline") if node.get("stroke-width") == "0.6"]
    ends = [float(point.split(",")[0]) for point in str(bar.get("points")).split()]
    assert (right - left) / 500.0 == pytest.approx((ends[1] - ends[0]) / float(metres[1]), rel=1e-3)  # lots 50 m apart


def test_a_town_is_drawn_as_squares_and_stays_small() -> None:
    found = gather(row(n, bought_over_net=1.0 + (n % 7) / 50) for n in range(1, 4500))
    drawn = estate_map(found, summary_of(found, FACTS))
    assert 50 < drawn.count("<rect") < 200
    assert len(drawn) < 60_000


def test_nothing_taken_off_is_said_on_both_pictures() -> None:
    found = gather([HouseResult(1, "lot", HouseState.LATE, "late")])
    said = summary_of(found, FACTS)
    assert "nothing to show" in texts(estate_spread(found, said))
    assert "nothing to draw" in texts(estate_map(found, said))


def test_bars_count_every_house_once() -> None:
    found = gather(row(n) for n in range(1, 200))
    said = summary_of(found, FACTS)
    drawn = ET.fromstring(estate_spread(found, said))
    bars = [float(node.get("height", "0")) for node in drawn.iter(f"{SVG}rect")][1:21]
    tallest = max(bars)
    counts = [0.0] * 20
    for n in range(1, 200):  # 101 to 299 m2 in twenty bars from 100 to 300
        counts[min(19, int(n / 10))] += 1
    assert [bar / tallest for bar in bars] == pytest.approx([count / max(counts) for count in counts], abs=0.02)


def test_a_hostile_name_is_text(tmp_path: Path) -> None:
    name = '<script>alert("x")</script>&'
    source = write_sequence(tmp_path / "a.geojsonl", [feature(rectangle(12, 8), {**USUAL, "id": name})])
    take_many(Wanted(source, tmp_path / "out"))
    for picture in ("spread.svg", "map.svg"):
        text = (tmp_path / "out" / picture).read_text()
        ET.fromstring(text)
        assert "<script" not in text
    formula = write_sequence(tmp_path / "b.geojsonl", [feature(rectangle(12, 8), {**USUAL, "id": "=1+1"})])
    take_many(Wanted(formula, tmp_path / "other"))
    assert ",'=1+1," in (tmp_path / "other" / "houses.csv").read_text()


def test_attributes_that_are_nearly_a_jobs_are_told() -> None:
    assert dict(misspelt(("pitch", "suburb", "fascia_height"))) == {
        "pitch": "pitch_deg",
        "fascia_height": "fascia_height_mm",
    }
    assert attribute_place("site.wind_zone") == ("job", "site", "wind_zone")
    assert attribute_place("covering.colour") == ("covering", "colour")
    assert attribute_place("roofs") == attribute_place("outline") == attribute_place("x.y") == ()


def test_round_steps() -> None:
    assert round_steps(1.03, 1.49, 5) == [1.0, 1.1, 1.2, 1.3, 1.4, 1.5]
    assert round_steps(0.0, 0.0)[0] == 0.0
