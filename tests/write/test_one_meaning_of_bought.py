"""Explain, compare, measured, the cutting list and the mill order name one length for one sheet. Common practice."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from takeoff.model.bought_lengths import bought_lengths
from takeoff.model.order import Takeoff
from takeoff.order.comparing.remeasured import mark_changes
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.read.results.result_file import parse_result
from takeoff.screen import offcuts_words, shown
from takeoff.write.data.result_json import result_json
from takeoff.write.explain.explain_words import explain

SAMPLES = Path(__file__).resolve().parents[2] / "geometry_samples"


@cache
def paired() -> Takeoff:
    text = (SAMPLES / "hip_12x8" / "job.yaml").read_text(encoding="utf-8")
    return run(parse_job(f"{text}\nsettings: {{buy_raked_pairs: true}}\n"))


def test_every_sheet_is_bought_once_and_everywhere_alike() -> None:
    takeoff = paired()
    assert takeoff.order is not None
    bought = bought_lengths(takeoff.order)
    seen = {s.mark: s for plane in parse_result(result_json(takeoff), "there").planes for s in plane.sheets}
    changed = {change.mark: change for change in mark_changes(takeoff, takeoff)}
    lines = [line for line in takeoff.order.lines if line.id and line.each_mm > 0.0]
    assert any(one.length_mm is None for one in bought.values())
    for mark, one in bought.items():
        (said,) = explain(takeoff, mark)
        assert changed[mark].old == changed[mark].new == one.words
        if one.length_mm is None:
            assert seen[mark].cut_from == one.cut_from
            assert said.facts[0].startswith(f"out of the length bought for {one.cut_from}")
        else:
            assert (seen[mark].bought_mm, seen[mark].cut_from) == (one.length_mm, "")
            assert said.facts[0].startswith(f"bought {one.length_mm:.0f} mm for a reach of ")
        (line,) = [line for line in lines if mark in line.refs and line.total_unit == "m" and line.kg > 0.0][:1]
        assert line.each_mm == (one.length_mm or bought[one.cut_from].length_mm)


def test_the_screen_rounds_half_up_like_the_order() -> None:
    """376.025 lies below its half in binary: half up it is 376.03."""
    assert shown(376.025) == "376.03"
    assert offcuts_words(110.0, 100.0) == "offcuts 10.00 m2, 9.1 % of bought, 10.0 % of net"


def test_two_millimetres_out_of_line_are_no_note() -> None:
    """Crests over 5 mm out of line across a ridge are noted, common practice."""
    assert paired().settings.number("crests_out_of_line_mm") == 5.0
