"""The index of outputs: what is written is what was asked for, and a former run's files of other kinds go or are kept."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from takeoff.basics.errors import UsageError
from takeoff.model.order import Takeoff
from takeoff.write.files import KINDS, groups, kinds_of, write_all

ROOT = Path(__file__).resolve().parents[2]
SAMPLE = ROOT / "geometry_samples" / "lean_to" / "job.yaml"
ALWAYS = {"takeoff.json", "manifest.json"}


def written(takeoff: Takeoff, out: Path, only: str | None) -> set[str]:
    return {path.name for path in write_all(takeoff, out, only=only).paths}


def test_each_group_writes_its_own_and_the_data(sample: Takeoff, tmp_path: Path) -> None:
    every = written(sample, tmp_path / "all", "all")
    parts = [written(sample, tmp_path / group, group) for group in groups()[:-1]]
    assert all(part > ALWAYS for part in parts)
    assert set().union(*parts) == every
    assert sum(len(part - ALWAYS) for part in parts) == len(every - ALWAYS), "no file stands in two groups"
    assert {name.rpartition(".")[2] for name in written(sample, tmp_path / "drawn", "dxf")} == {"dxf", "json"}


def test_words_are_taken_as_people_type_them() -> None:
    assert kinds_of(" Order , site,") == tuple(kind for kind in KINDS if kind.group in ("order", "site", ""))
    assert kinds_of("svg,ALL") == KINDS
    names = [kind.name for kind in kinds_of("dxf, Order_Sheet.xlsx")]
    assert names == ["order_sheet.xlsx", "*.dxf", "takeoff.json"], "a file by its own name, without its group's papers"
    assert kinds_of(None) == tuple(kind for kind in KINDS if kind.usual)


@pytest.mark.parametrize("only", ["order,sight", "", " , ", "takeoff.json", "x" * 500])
def test_another_word_is_refused_with_those_there_are(only: str, sample: Takeoff, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match=r"^--only: .*choose among order, site, .*, all$") as caught:
        write_all(sample, tmp_path / "out", only=only)
    assert len(caught.value.faults) == 1
    assert not (tmp_path / "out").exists()


def test_what_a_former_run_wrote_of_other_kinds_is_taken_away_and_what_was_edited_kept(
    sample: Takeoff, tmp_path: Path
) -> None:
    write_all(sample, tmp_path, only="all")
    (tmp_path / "roof_plan.svg").write_text("notes of somebody")
    done = write_all(sample, tmp_path, only="order")
    assert done.kept == (("roof_plan.svg", "roof_plan.svg.kept-1"),)
    left = {path.name for path in tmp_path.iterdir()}
    assert left == {path.name for path in done.paths} | {"roof_plan.svg.kept-1"}
    assert {"order_sheet.xlsx", "order_purlins.pdf", *ALWAYS} <= left
    assert "site.pdf" not in left


def test_who_asks_for_no_paper_does_not_wait_for_the_library_of_papers(tmp_path: Path) -> None:
    """In a process of its own: neither what prints papers nor what makes the page and the models is loaded."""
    code = (
        "import sys; from takeoff import pipeline;"
        f"pipeline.write_files(pipeline.run_file({str(SAMPLE)!r}), {str(tmp_path)!r}, only='order_sheet.xlsx,dxf,svg');"
        "print([name for name in sys.modules if name.startswith(('reportlab', 'takeoff.write.papers.print',"
        " 'takeoff.write.house_view', 'takeoff.write.models'))])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stdout == "[]\n"
    assert {path.suffix for path in tmp_path.iterdir()} == {".xlsx", ".dxf", ".svg", ".json"}
