"""A new job's text is taken by the reader, and says what was asked."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from takeoff.basics.errors import JobError, UsageError
from takeoff.model.job_edits import Edit
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.yaml_tree import read_yaml
from takeoff.write.job_text.edits import edited_text
from takeoff.write.job_text.new_job import new_job_text

DAY = datetime.date(2026, 3, 2)
SQUARE = [(0.0, 0.0), (12000.4, 0.0), (12000.0, 7999.5), (0.0, 8000.0)]


def test_an_empty_page_becomes_a_house_with_its_first_outline() -> None:
    text = new_job_text("New house", DAY)
    with pytest.raises(JobError) as caught:
        parse_job(text)
    assert [fault.split(": ", 1)[1] for fault in caught.value.faults] == [
        "nothing to take off: give roofs, walls or both"
    ]
    roof = {"name": "main", "outline": [[0, 0], [12000, 0], [12000, 8000], [0, 8000]], "pitch_deg": 25}
    made = edited_text(text, [Edit(("roofs",), [roof])])
    assert made.startswith(text.removesuffix(" []\n"))
    assert made.endswith(
        "roofs:\n  - name: main\n    outline: [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]\n    pitch_deg: 25\n"
    )
    assert edited_text(text, [Edit(("roofs", 0), roof)]) == made
    job = parse_job(made)
    assert (job.job, job.date, job.roofs[0].pitch_deg) == ("New house", DAY, 25)


@pytest.mark.parametrize("drawn_is", ["wall_line", "outline"])
def test_a_drawn_ring_is_a_house_that_is_taken_off(drawn_is: str) -> None:
    text = new_job_text("Hut", DAY, SQUARE, drawn_is, 22.5)  # type: ignore[arg-type]
    roof = parse_job(text).roofs[0]
    assert getattr(roof, drawn_is) == [(0, 0), (12000, 0), (12000, 8000), (0, 8000)]
    assert roof.pitch_deg == 22.5
    assert run(parse_job(text)).order is not None
    assert len(text.splitlines()) < 20


@pytest.mark.parametrize("name", ["</script><b>x", "\u202ecod", "12", "a: b # c", "x\ty", "{name}"])
def test_any_name_reads_back(name: str) -> None:
    assert read_yaml(new_job_text(name, DAY)).value == {
        "job": name,
        "revision": "A",
        "date": "2026-03-02",
        "north_deg": 0,
        "roofs": [],
    }


def test_what_is_no_outline_is_refused() -> None:
    with pytest.raises(UsageError, match="three points"):
        new_job_text("x", DAY, SQUARE[:2])


def test_its_figures_are_those_of_the_starter() -> None:
    starter = read_yaml(Path("templates/starter.yaml").read_text(encoding="utf-8")).value
    ours = read_yaml(new_job_text("x", DAY, SQUARE)).value
    for key in ("eave_overhang_mm", "fascia_height_mm", "pitch_deg"):
        assert ours["roofs"][0][key] == starter["roofs"][0][key]  # type: ignore[index, call-overload]
