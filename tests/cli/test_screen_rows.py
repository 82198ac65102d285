"""What the screen says a delivery brings, and what lies on the roof, added up by hand from the lines and the edges."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from takeoff.cli import app
from takeoff.model.order import OrderLine
from takeoff.pipeline import run_file
from takeoff.write.words.item_names import item_name

HIPPED = Path(__file__).resolve().parents[2] / "geometry_samples" / "hip_12x8" / "job.yaml"


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> str:
    out = tmp_path_factory.mktemp("hipped")
    done = CliRunner().invoke(app, ["run", str(HIPPED), "--out", str(out)], env={"COLUMNS": "200"})
    assert done.exit_code == 0
    return " ".join(done.output.split())


def test_lengths_of_one_item_are_added_up(shown: str) -> None:
    order = run_file(HIPPED).order
    assert order is not None
    by_item: dict[str, list[OrderLine]] = {}
    for line in order.lines:
        if line.each_mm and line.delivery in ("purlins", "roof sheets", "flashings"):
            by_item.setdefault(item_name(line.of), []).append(line)
    assert max(len(lines) for lines in by_item.values()) > 3
    for name, lines in by_item.items():
        count, metres = sum(line.count for line in lines), sum(line.count * line.each_mm / 1000.0 for line in lines)
        assert f"{name} {count:g} {metres:,.2f} m" in shown


def test_edges_of_one_kind_are_added_up(shown: str) -> None:
    """By hand: 12 x 8 m of walls, the sides listed in the sample's own words; a hip at 45 degrees in plan is the
    half depth times root 2 in plan, and up 25 degrees over the half depth."""
    (roof,) = run_file(HIPPED).roofs
    xs, ys = zip(*roof.outline_mm[0], strict=True)
    long, deep = (max(xs) - min(xs)) / 1000.0, (max(ys) - min(ys)) / 1000.0
    assert f"eave {2.0 * (long + deep):.2f} m" in shown
    assert f"ridge {long - deep:.2f} m" in shown
