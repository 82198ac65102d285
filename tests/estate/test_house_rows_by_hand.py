"""Jobs and rows of the houses of an estate by hand: attributes put in, figures, findings, sums, and houses without figures."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.errors import JobError, UsageError
from takeoff.estate import house_job, take_house
from takeoff.estate.house_job import Like, like_job
from takeoff.estate.house_rows import estate_figures, house_findings, summed_lines
from takeoff.estate.time_limit import OutOfTime
from takeoff.model.drawings import RawDrawing, RawPath
from takeoff.model.estate import FIGURES, EstateHouse, EstateSummary, HouseResult, HouseState, SummedLine
from takeoff.model.findings import Finding, Severity
from takeoff.model.quantities import HOUSE_FIGURES

RING = [[0.0, 0.0], [9.0, 0.0], [9.0, 6.0], [0.0, 6.0]]
POINTS = tuple((x, y) for x, y in RING)


# ------------------------------------------------------------ jobs of houses

LIKE_JOB = "job: p\ncode: nz\nsite: {wind_zone: high}\nroofs:\n  - wall_line: [[0, 0], [9000, 0], [9000, 6000]]\n    pitch_deg: 25\n    covering: {profile: corrugated}\n"


def test_what_houses_are_like(tmp_path: Path) -> None:
    assert like_job(None, "ft") == Like("ft", "outline", {}, {})
    path = tmp_path / "job.yaml"
    path.write_text(LIKE_JOB, encoding="utf-8")
    tree = {"code": "nz", "site": {"wind_zone": "high"}}
    roof = {"pitch_deg": 25.0, "covering": {"profile": "corrugated"}}
    assert like_job(path, "m") == Like("m", "wall_line", tree, roof)
    path.write_text(LIKE_JOB.replace("wall_line", "outline"), encoding="utf-8")
    assert like_job(path, "m").edge_is == "outline"
    with pytest.raises(UsageError, match=r"^--unit yd: coordinates are in mm, cm, m, in, ft$"):
        like_job(None, "yd")
    path.write_text("job: a\nwalls: {elevations: [{name: a, width_mm: 4000, height_mm: 2400}]}\n", encoding="utf-8")
    with pytest.raises(JobError, match=r"job.yaml: has 0 roofs; a job that others are like has one$"):
        like_job(path, "m")


def test_attributes_are_put_into_the_job_of_a_house() -> None:
    """What a house says goes before what it is like, and changes neither."""
    like = Like(
        "m",
        "outline",
        {"code": "nz", "site": {"wind_zone": "high", "corrosion_zone": "C"}},
        {"pitch_deg": 25, "covering": {"profile": "a"}},
    )
    said = (
        ("pitch_deg", 30),
        ("colour", "red"),
        ("site.wind_zone", "low"),
        ("ordering.deliver_to.phone", "1"),
        ("code.x", 2),
        ("edge_is", "wall_line"),
        ("edges", 7),
    )
    tree, roof, edge_is = house_job._filled(EstateHouse(1, "a", attributes=said), like)
    site = {"wind_zone": "low", "corrosion_zone": "C"}
    assert tree == {"code": {"x": 2}, "site": site, "ordering": {"deliver_to": {"phone": "1"}}}
    assert (roof, edge_is) == ({"pitch_deg": 30, "covering": {"profile": "a", "colour": "red"}}, "wall_line")
    assert like.job["site"]["wind_zone"] == "high"
    assert house_job._filled(EstateHouse(1, "a"), Like("m", "outline", {}, {})) == ({}, {}, "outline")
    with pytest.raises(JobError) as caught:
        house_job._checked({"job": "a", "roofs": [{"pitch_deg": "steep", "outline": RING}]}, "a")
    assert caught.value.faults == ("roofs[1].pitch_deg: needs a number without a unit, got 'steep'",)


# ------------------------------------------------------------ rows


def test_columns_of_the_table() -> None:
    """Counts whole, lengths to a millimetre and areas to a thousandth, pitches to a hundredth of a degree; and houses are
    counted by their states."""
    decimals = {name: count for name, count, _ in FIGURES}
    assert list(decimals) == ["corners", "planes", "steepest_deg", *HOUSE_FIGURES, "bought_over_net"]
    units = {"each": 0, "m": 3, "m2": 3}
    assert decimals == {"corners": 0, "planes": 0, "steepest_deg": 2, "bought_over_net": 4} | {
        name: units[name.rpartition("_")[2]] for name in HOUSE_FIGURES
    }
    summary = EstateSummary("m", "csv", False, 0, (), (), {"done": 3, "late": 1})
    assert (summary.houses, summary.whole) == (4, False)


def measured(**more: Any) -> Any:
    row = dict.fromkeys(HOUSE_FIGURES, 1.23456) | {"sheets_m2": 12.0, "sheeted_m2": 9.0}
    parts = [SimpleNamespace(unit="degrees", value=value) for value in (25.004, 30.006)] + [
        SimpleNamespace(unit="m2", value=99.0)
    ]
    outlines = (((0.0, 0.0), (9123.4, 0.0), (9123.4, 6005.1)), ((1.0, 1.0),))
    given = {"row": row, "parts": parts, "outlines_mm": outlines, "findings": ()}
    return SimpleNamespace(**{**given, **more})


def test_figures_of_a_house() -> None:
    """12 / 9 = 1.3333; three corners and one; the steeper of two pitches."""
    found = estate_figures(measured())
    assert list(found) == [name for name, _, _ in FIGURES]
    assert (found["corners"], found["planes"], found["steepest_deg"], found["bought_over_net"]) == (
        4.0,
        2.0,
        30.01,
        1.3333,
    )
    assert (found["roof_m2"], found["sheets_each"]) == (1.235, 1.0)
    bare = measured(
        parts=[], outlines_mm=(), row=dict.fromkeys(HOUSE_FIGURES, -0.0) | {"sheets_m2": 5.0, "sheeted_m2": 0.0}
    )
    none = estate_figures(bare)
    assert (none["steepest_deg"], none["bought_over_net"], str(none["corners"])) == (0.0, 0.0, "0.0")
    assert {str(value) for name, value in none.items() if name in HOUSE_FIGURES and name != "sheets_m2"} == {"0.0"}


def test_findings_and_lines_of_a_house() -> None:
    findings = [Finding("b", Severity.WARN, "t"), Finding("a", Severity.NOTE, "t"), Finding("b", Severity.WARN, "u")]
    assert list(house_findings(findings).items()) == [("a", ("note", 1)), ("b", ("warn", 2))]

    def line(item: str, count: float, total: float, kg: float, delivery: str = "roof", labour: bool = False) -> Any:
        return SimpleNamespace(
            delivery=delivery,
            item=item,
            unit="each",
            total_unit="m",
            count=count,
            total=total,
            kg=kg,
            labour=labour,
            of=item,
        )

    lines = [
        line("i", 2.0, 1.0004, 0.5004),
        line("j", 1.0, 3.0, 0.0),
        line("i", 3.0, 2.0004, 0.25),
        line("i", 9.0, 9.0, 9.0, "wall"),
        line("k", 1, 1, 1, labour=True),
    ]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("takeoff.estate.house_rows.item_name", lambda of: f"name of {of}")
        found = summed_lines(SimpleNamespace(order=SimpleNamespace(lines=lines)))  # type: ignore[arg-type]
    assert found == (
        SummedLine("roof", "i", "name of i", 5.0, "each", 3.001, "m", 0.75), SummedLine("roof", "j", "name of j", 1.0, "each", 3.0, "m", 0.0),
        SummedLine("wall", "i", "name of i", 9.0, "each", 9.0, "m", 9.0),
    )  # fmt: skip
    assert summed_lines(SimpleNamespace(order=None)) == ()  # type: ignore[arg-type]


DRAWN = EstateHouse(7, "seven", RawDrawing("m", "map", (RawPath("", POINTS, True),), "m", ""))


def test_houses_without_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    """What a house ends with is a row that says so, six hundred letters of it; its outline where it is in metres."""
    raised: list[BaseException] = [
        OutOfTime(), JobError("a", "b"), ValueError("x" * 700), UsageError("y" * 700),
    ]  # fmt: skip

    def taken(*_: object) -> HouseResult:
        raise raised.pop(0)

    monkeypatch.setattr(take_house, "_taken", taken)
    for state, why in (
        (HouseState.LATE, "took longer than the 2.5 s that a house may"), (HouseState.REFUSED, "a; b"), (HouseState.FAULT, f"ValueError: {'x' * 588}"), (HouseState.REFUSED, "y" * 600),
    ):  # fmt: skip
        assert take_house.take_house(DRAWN, Like("m", "outline", {}, {}), False, 2.5) == HouseResult(
            7, "seven", state, why, ring_m=POINTS
        )
    refused = EstateHouse(8, "eight", refused="is no feature")
    assert take_house.take_house(refused, Like("m", "outline", {}, {}), False, 2.5) == HouseResult(
        8, "eight", HouseState.REFUSED, "is no feature"
    )
    lost = take_house.lost_house(refused)
    assert lost == HouseResult(8, "eight", HouseState.LOST, "its process died while it was taken off, more than once")
    feet = EstateHouse(9, "nine", RawDrawing("m", "map", (RawPath("", POINTS, True),), "ft", ""))
    assert take_house.lost_house(feet).ring_m == ()


def test_the_row_of_a_house() -> None:
    stop, note = Finding("s", Severity.STOP, "z" * 400), Finding("n", Severity.NOTE, "t")
    row = take_house._row(DRAWN, measured(findings=(stop, note)), (stop,))
    assert (row.number, row.name, row.state, row.why) == (7, "seven", HouseState.STOPPED, f"{'z' * 400}; {'z' * 198}")
    assert (row.findings, row.ring_m) == ({"n": ("note", 1), "s": ("stop", 2)}, ((0.0, 0.0), (9.12, 0.0), (9.12, 6.01)))
    sound = take_house._row(DRAWN, measured(findings=(note,), outlines_mm=()), ())
    assert (sound.state, sound.why, sound.ring_m, sound.figures["corners"]) == (HouseState.DONE, "", (), 0.0)


def test_a_job_file_of_an_estate_and_where_its_faults_stand(tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(
        "job: a\nroofs:\n  - outline: [[0, 0], [9000, 0], [9000, 6000], [0, 6000]]\n    pitch_deg: 25\n",
        encoding="utf-8",
    )
    house = EstateHouse(1, "a", job_file=str(path))
    like = Like("m", "outline", {}, {})
    row = take_house.take_house(house, like, False, 0.0)
    assert (row.state, row.figures["corners"], row.figures["planes"]) == (HouseState.DONE, 4.0, 4.0)
    path.write_text(
        "job: a\nroofs:\n  - outline: [[0, 0], [9000, 0], [0, 6000], [9000, 6000]]\n    pitch_deg: 25\n",
        encoding="utf-8",
    )
    row = take_house.take_house(house, like, False, 0.0)
    assert row.state is HouseState.REFUSED
    assert row.why.startswith("job.yaml:3:")
