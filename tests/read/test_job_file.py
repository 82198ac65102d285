"""The job file: what is read, and how every kind of fault is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from takeoff.basics.errors import JobError, UnreadableFileError
from takeoff.model.job.job import Job
from takeoff.read.job.job_file import parse_job, read_job

HOUSE = """\
job: Test house
roofs:
  - outline: [[0, 0], [12000, 0], [12000, 8000], [0, 8000]]
    pitch_deg: 25
"""


def faults(text: str) -> list[str]:
    with pytest.raises(JobError) as caught:
        parse_job(text)
    return list(caught.value.faults)


def test_an_outline_and_a_pitch_are_enough() -> None:
    job = parse_job(HOUSE)
    assert job.roofs[0].outline == [(0, 0), (12000, 0), (12000, 8000), (0, 8000)]
    assert job.roofs[0].pitch_deg == 25
    assert job.revision == "A"


def test_all_faults_of_a_level_come_at_once_with_line_and_column() -> None:
    text = HOUSE.replace("pitch_deg: 25", "pitch: 25\n    edges:\n      1: {kind: gabel}\n      2: {pitch_deg: 0}")
    assert faults(text) == [
        "job.yaml:4:5: roofs[1].pitch: unknown key; did you mean pitch_deg?",
        "job.yaml:6:17: roofs[1].edges[1].kind: must be eave, gable or wall, got 'gabel'; did you mean gable?",
        "job.yaml:7:22: roofs[1].edges[2].pitch_deg: must be at least 1.0, got 0",
    ]


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("north_deg: no", "job.yaml:5:12: north_deg: needs a number without a unit, got 'no'"),
        ("north_deg: 12:30", "job.yaml:5:12: north_deg: needs a number without a unit, got '12:30'"),
        ("north_deg: 017", "job.yaml:5:12: north_deg: needs a number without a unit, got '017'"),
        ("north_deg: .nan", "job.yaml:5:12: north_deg: needs a finite number, got nan"),
        ("north_deg: [1]", "job.yaml:5:12: north_deg: needs a number without a unit, got [1]"),
        ("date: 2026-13-02", "job.yaml:5:7: date: needs a date as 2026-03-02, got '2026-13-02'"),
        ("job: Again", "job.yaml:5:1: job: given twice, first on line 1"),
        ("site: {wind_zone: hihg}", "job.yaml:5:19: site.wind_zone: must be low, medium, high, very_high or extra_high, got 'hihg'; did you mean high?"),
        ("revision: &a [*a]", "job.yaml:5:11: an alias (*name) is not read in a job; write the value out"),
        ("walls: 3", "job.yaml:5:8: walls: needs keys and values, got 3"),
        ("settings: {hip_trim: 3}", "job.yaml:5:12: settings.hip_trim: unknown setting; did you mean hip_trim_mm?"),
        ("settings: {hip_trim_mm: wide}", "job.yaml:5:25: settings.hip_trim_mm: needs a number in mm, got 'wide'"),
        ("walls: {height_mm: 2400}", "job.yaml:5:8: walls: stand on the wall_line of a roof, or are given as elevations; there is neither"),
    ],
)  # fmt: skip
def test_a_fault_is_told_in_words(line: str, fault: str) -> None:
    assert fault in faults(HOUSE + line + "\n")


def test_yaml_1_1_does_not_turn_words_into_values() -> None:
    job = parse_job(HOUSE.replace("Test house", "no").replace("pitch_deg: 25", "pitch_deg: 2.5e1"))
    assert job.job == "no"
    assert job.roofs[0].pitch_deg == 25


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("pitch_deg: 25", "edges: {2: {kind: gable}}", "roofs[1]: needs pitch_deg, or a pitch on each of its eaves: edges 1, 3, 4 have none"),
        ("pitch_deg: 25", "pitch_deg: 25\n    edges: {5: {kind: gable}}", "roofs[1].edges[5]: there is no edge 5; the outline has edges 1 to 4"),
        ("pitch_deg: 25", "pitch_deg: 25\n    edges: {1: {kind: gable, pitch_deg: 3}}", "roofs[1].edges[1].pitch_deg: a gable edge is upright and has no pitch"),
        ("pitch_deg: 25", "pitch_deg: 25\n    covering: {profile: corugated}", "roofs[1].covering.profile: unknown profile corugated; did you mean corrugated?"),
        ("pitch_deg: 25", "pitch_deg: 25\n    below: shed", "roofs[1].below: unknown roof shed; there is no other"),
        ("pitch_deg: 25", "pitch_deg: 25\n    wall_line: [[0, 0], [900, 0], [900, 900]]", "roofs[1]: needs one of wall_line, outline or shape, has wall_line and outline"),
        ("000", "", "roofs[1].outline: is 12 mm across: lengths are millimetres, was this drawn in metres?"),
    ],
)  # fmt: skip
def test_a_broken_reference_is_told_in_words(old: str, new: str, fault: str) -> None:
    assert any(text.split(": ", 1)[1] == fault for text in faults(HOUSE.replace(old, new))), faults(
        HOUSE.replace(old, new)
    )


def test_two_points_are_no_outline() -> None:
    assert faults(HOUSE.replace(", [12000, 8000], [0, 8000]", "")) == [
        "job.yaml:3:14: roofs[1].outline: needs at least 3 points, has 2"
    ]


def test_what_is_not_yaml_is_placed() -> None:
    (fault,) = faults("job: x\nroofs: [")
    assert fault == "job.yaml:3:1: not YAML here: something begun and not finished before this"


@pytest.mark.parametrize(
    ("name", "content"), [("missing.yaml", None), ("latin.yaml", b"job: caf\xe9"), ("large.yaml", b"#" * 5_000_001)]
)
def test_a_file_that_cannot_be_read_says_why(tmp_path: Path, name: str, content: bytes | None) -> None:
    path = tmp_path / name
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(UnreadableFileError) as caught:
        read_job(path)
    assert name in str(caught.value)


def test_deep_nesting_is_a_fault_and_not_a_crash() -> None:
    assert any("nested deeper" in fault or "not YAML" in fault for fault in faults("job: " + "[" * 500 + "]" * 500))


def test_samples_and_starter_are_sound_jobs() -> None:
    root = Path(__file__).resolve().parents[2]
    jobs = sorted(root.glob("geometry_samples/*/job.yaml"))
    assert len(jobs) >= 4
    for path in [*jobs, root / "templates" / "starter.yaml"]:
        assert isinstance(read_job(path), Job)


def test_commented_openings_and_verandah_of_the_starter_are_sound_too() -> None:
    text = (Path(__file__).resolve().parents[2] / "templates" / "starter.yaml").read_text(encoding="utf-8")
    lines = text.splitlines()
    first = next(i for i, line in enumerate(lines) if line.startswith("    # penetrations:"))
    last = next(i for i, line in enumerate(lines) if "edges: {2: {kind: gable}, 3: {kind: wall}" in line)
    lines[first : last + 1] = [line.replace("# ", "", 1) for line in lines[first : last + 1]]
    job = parse_job("\n".join(lines))
    assert [hole.kind for hole in job.roofs[0].penetrations] == ["flue", "roof_window"]
    assert [roof.below for roof in job.roofs] == [None, "main"]
    assert len(job.roofs[0].rooflight_sheets) == 1
