"""Trade words for rises are the rises they stand for; what cannot be built is refused by edge and by what to change."""

from __future__ import annotations

import pytest

from takeoff import pipeline
from takeoff.basics.errors import JobError, TakeoffError
from takeoff.model.findings import Severity
from takeoff.model.order import Takeoff
from takeoff.model.roof import Roof
from takeoff.read.job.job_file import parse_job

RECTANGLE = "[[0, 0], [12000, 0], [12000, 8000], [0, 8000]]"


def _takeoff(rest: str, outline: str = RECTANGLE) -> Takeoff:
    text = f"job: Check\nroofs:\n  - outline: {outline}\n    fascia_height_mm: 2400\n"
    return pipeline.run(
        parse_job(text + "".join(f"    {line}\n" for line in rest.split("\n"))), until=pipeline.Stage.SHAPE
    )


def _roof(rest: str) -> Roof:
    return _takeoff(rest).roofs[0]


def _faults(rest: str, outline: str = RECTANGLE) -> str:
    with pytest.raises(TakeoffError) as caught:
        _takeoff(rest, outline)
    return "\n".join(caught.value.faults)


TWO = "lower_pitch_deg: 60, to_mm: 1000, upper_pitch_deg: 20"
MANSARD = "{rise: [{pitch_deg: 60, up_to_mm: 1000}, {pitch_deg: 20}]}"
SPROCKET = "{rise: [{pitch_deg: 20, up_to_mm: 300}, {pitch_deg: 40}]}"
TOP = "{rise: [{pitch_deg: 40, up_to_mm: 1000}, {flat: true}]}"
GABLE = "{kind: gable}"


def _edges(one: str, two: str, three: str, four: str) -> str:
    return f"edges: {{1: {one}, 2: {two}, 3: {three}, 4: {four}}}"


def _all(edge: str) -> str:
    return _edges(edge, edge, edge, edge)


@pytest.mark.parametrize(
    ("words", "steps"),
    [
        (
            "pitch_deg: 30\nedges: {2: {half_hip_from_mm: 900}}",
            "pitch_deg: 30\nedges: {2: {rise: [{vertical: true, up_to_mm: 900}, {pitch_deg: 30}]}}",
        ),
        (
            "pitch_deg: 30\nedges: {2: {kind: gable, half_hip_from_mm: 900, pitch_deg: 40}}",
            "pitch_deg: 30\nedges: {2: {rise: [{vertical: true, up_to_mm: 900}, {pitch_deg: 40}]}}",
        ),
        (
            "pitch_deg: 30\nedges: {2: {gablet_from_mm: 1500}}",
            "pitch_deg: 30\nedges: {2: {rise: [{pitch_deg: 30, up_to_mm: 1500}, {vertical: true}]}}",
        ),
        (f"mansard: {{{TWO}}}", _all(MANSARD)),
        (f"pitch_deg: 30\nedges: {{1: {{mansard: {{{TWO}}}}}}}", f"pitch_deg: 30\nedges: {{1: {MANSARD}}}"),
        (
            f"gambrel: {{{TWO}}}\nedges: {{2: {GABLE}, 3: {{pitch_deg: 30}}, 4: {GABLE}}}",
            _edges(MANSARD, GABLE, "{pitch_deg: 30}", GABLE),
        ),
        (
            f"pitch_deg: 40\nsprocket: {{pitch_deg: 20, to_mm: 300}}\nedges: {{2: {GABLE}, 4: {GABLE}}}",
            _edges(SPROCKET, GABLE, SPROCKET, GABLE),
        ),
        ("pitch_deg: 40\nflat_top_at_mm: 1000", _all(TOP)),
        (
            f"mansard: {{{TWO}}}\nflat_top_at_mm: 1500",
            _all(MANSARD.replace("{pitch_deg: 20}", "{pitch_deg: 20, up_to_mm: 1500}, {flat: true}")),
        ),
        (  # the flat top lies over the roof's fascia, steps over each edge's own
            "pitch_deg: 40\nflat_top_at_mm: 1000\nedges: {3: {fascia_height_mm: 2700}}",
            _edges(TOP, TOP, "{fascia_height_mm: 2700, " + TOP[1:].replace("1000", "700"), TOP),
        ),
    ],
)
def test_a_word_is_the_rise_it_stands_for(words: str, steps: str) -> None:
    assert _roof(words) == _roof(steps)


@pytest.mark.parametrize(
    ("rest", "said"),
    [
        ("pitch_deg: 25\nedges: {1: {half_hip_from_mm: 900, gablet_from_mm: 1200}}",
         "roofs[1].edges[1]: give one of half_hip_from_mm and gablet_from_mm"),
        ("pitch_deg: 25\nedges: {1: {gablet_from_mm: 900, rise: [{pitch_deg: 3}]}}", "give one of rise and gablet_from_mm"),
        ("pitch_deg: 25\nedges: {1: {kind: eave, half_hip_from_mm: 900}}", "edges[1].kind: a half hip starts as a gable"),
        ("pitch_deg: 25\nedges: {1: {kind: gable, gablet_from_mm: 900}}", "edges[1].kind: a gablet stands on a hip end"),
        ("pitch_deg: 25\nedges: {1: {kind: wall, sprocket: {pitch_deg: 10, to_mm: 200}}}", "a sprocket starts at an eave"),
        ("mansard: {lower_pitch_deg: 20, to_mm: 900, upper_pitch_deg: 60}", "is steeper below than above, not 20 below 60"),
        ("pitch_deg: 25\nmansard: {lower_pitch_deg: 60, to_mm: 900, upper_pitch_deg: 20}", "the mansard gives both pitches"),
        ("pitch_deg: 25\nedges: {1: {pitch_deg: 30, gambrel: {lower_pitch_deg: 60, to_mm: 900, upper_pitch_deg: 20}}}",
         "edges[1].pitch_deg: the gambrel gives both pitches"),
        ("gambrel: {lower_pitch_deg: 60, to_mm: 900, upper_pitch_deg: 20}\nedges: {2: {half_hip_from_mm: 1500}}",
         "edges 2 have none"),
        ("pitch_deg: 25\nsprocket: {pitch_deg: 30, to_mm: 300}", "sprocket.pitch_deg: is flatter than the slope above it"),
        ("pitch_deg: 25\nmansard: {lower_pitch_deg: 60, to_mm: 900, upper_pitch_deg: 20}\nsprocket: {pitch_deg: 9, to_mm: 9}",
         "give one of mansard and sprocket"),
        ("flat_top_at_mm: 1900\n" + _all(TOP), "ends in a flat top, and so does the whole roof"),
    ],
)  # fmt: skip
def test_words_that_clash_are_refused_with_line_and_path(rest: str, said: str) -> None:
    with pytest.raises(JobError) as caught:
        _takeoff(rest)
    assert said in "\n".join(caught.value.faults)
    assert all(fault.startswith("job.yaml:") or ":" in fault for fault in caught.value.faults)


def test_a_flat_top_below_a_step_is_refused_by_edge() -> None:
    said = _faults("mansard: {lower_pitch_deg: 60, to_mm: 900, upper_pitch_deg: 20}\nflat_top_at_mm: 800")
    assert "edge 3: the flat top must lie above the height where its last step begins, which is 100 mm higher" in said


def test_a_roof_of_gables_alone_is_refused() -> None:
    assert "edges 1 to 4 all stand upright and never close; give one of them a pitch" in _faults(_all(GABLE))


def test_a_part_of_gables_alone_is_refused_by_its_edges() -> None:
    """A house of two blocks joined by a neck 5 m deep: the left block and the neck's sides are all upright."""
    outline = "[[0, 0], [6000, 0], [6000, 3000], [9000, 3000], [9000, 0], [15000, 0], [15000, 8000], [0, 8000]]"
    gables = ", ".join(f"{n}: {{kind: gable}}" for n in (1, 2, 3, 4, 6, 7, 8))
    said = _faults(f"pitch_deg: 25\nedges: {{{gables}}}", outline)
    assert "Edges 1, 2, 7, 8 enclose a part of the roof that no sloping plane reaches" in said
    assert "Give at least one of these edges a pitch" in said


def test_an_outline_that_crosses_itself_is_refused_at_the_place() -> None:
    said = _faults("pitch_deg: 25", "[[0, 0], [12000, 8000], [12000, 0], [0, 8000]]")
    assert "edges 1 and 3 cross or touch at (6000, 4000); give the points in order round the roof" in said


def test_a_courtyard_that_runs_out_of_the_house_is_refused_by_its_edges() -> None:
    said = _faults("pitch_deg: 25\ncourtyards: [[[4000, 3000], [14000, 3000], [14000, 5000], [4000, 5000]]]")
    assert "edges 2 and 5 cross" in said
    assert "edges 2 and 7 cross" in said


@pytest.mark.parametrize(
    ("rest", "said"),
    [
        ("pitch_deg: 25\nflat_top_at_mm: 3000", "edge 1: the flat top begins 3000 mm over its fascia"),
        ("pitch_deg: 25\nedges: {2: {half_hip_from_mm: 3000}}", "edge 2: step 2 of its rise begins 3000 mm"),
        ("pitch_deg: 25\nedges: {4: {gablet_from_mm: 1900}}", "edge 4: step 2 of its rise begins 1900 mm"),
    ],
)
def test_a_step_that_the_roof_never_reaches_is_said(rest: str, said: str) -> None:
    """12 x 8 m at 25 degrees ends at 4000 tan 25 = 1865 mm over the fascia."""
    warned = [f.text for f in _takeoff(rest).findings if f.code == "rise-not-reached"]
    assert any(said in text and "1865 mm" in text for text in warned)


def test_a_step_that_is_reached_is_not_a_finding() -> None:
    for rest in (
        "pitch_deg: 25\nflat_top_at_mm: 1800",
        "pitch_deg: 25\nedges: {2: {half_hip_from_mm: 1800}, 4: {gablet_from_mm: 1800}}",
    ):
        assert [f for f in _takeoff(rest).findings if f.severity is not Severity.NOTE] == []
