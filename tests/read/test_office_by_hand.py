"""The office file and what it brings, by hand: its own products and tables among those of catalogue and code, every fault whole,
every bound of its fields at it and just beyond."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from takeoff.basics.errors import JobError, UnreadableFileError
from takeoff.model.basis import Basis, Status
from takeoff.model.code_rules import FootRow, ScrewPattern, ScrewRow, SpanRow
from takeoff.model.findings import Finding, Severity
from takeoff.model.job.job import Job
from takeoff.model.office import Office
from takeoff.model.products import Roll
from takeoff.model.rain_rules import BracketRow, GutterTypeRow, NeededRow, PipeRow
from takeoff.model.supplied import SiteMeasure
from takeoff.read.catalogue import load_catalogue
from takeoff.read.codes import rule_set
from takeoff.read.fingerprint import files_named, fingerprint, is_of_job
from takeoff.read.job import job_bounds
from takeoff.read.job.job_bounds import bound_faults
from takeoff.read.job.settings import resolve_settings
from takeoff.read.office.office_file import find_office, parse_office
from takeoff.read.office.own_faults import FAMILIES
from takeoff.read.office_products import with_office_products, with_office_tables
from takeoff.read.own_profiles import mass_findings, with_own_profiles

OURS = Basis(Status.SET_IN_OFFICE, source="sheet of May")


def office(**more: Any) -> Office:
    return Office.model_validate(more)


def refused(text: str) -> tuple[str, ...]:
    with pytest.raises(JobError) as caught:
        parse_office(text, "o.yaml")
    return caught.value.faults


# ------------------------------------------------------------ the file


def test_which_office_file_is_read(tmp_path: Path) -> None:
    assert find_office(tmp_path) is None
    (tmp_path / "office.yaml").write_text("settings: {hip_trim_mm: 30}\n", encoding="utf-8-sig")
    here = find_office(tmp_path)
    assert here is not None
    assert here.settings == {"hip_trim_mm": 30.0}
    other = tmp_path / "other"
    other.mkdir()
    assert find_office(other, tmp_path) == find_office(other, tmp_path / "office.yaml") == here
    with pytest.raises(UnreadableFileError):
        find_office(tmp_path, other)
    (other / "office.yaml").write_bytes(b"a: \xff")
    with pytest.raises(UnreadableFileError) as caught:
        find_office(other)
    assert caught.value.faults == (f"{other / 'office.yaml'}: byte 3 is not UTF-8 text; save the file as UTF-8",)
    assert parse_office("") == Office()


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        ("- a\n", ("o.yaml:1:1: an office file is a list of keys and values: the firm, its suppliers, its rates",)),
        ("a: [\n", ("o.yaml:2:1: not YAML here: something begun and not finished before this",)),
        ("suppliers:\n  rooof: {name: x, order_number: '{jb}-{number:3}'}\n", (
            "o.yaml:2:10: suppliers.rooof: unknown delivery rooof; known: flashings, purlins, rainwater, roof sheets, underlay, walls",
            "o.yaml:2:34: suppliers.rooof.order_number: unknown field {jb}; did you mean job?",
            "o.yaml:2:34: suppliers.rooof.order_number: unknown field {number}; known: {job}, {revision}, {delivery}, {date}")),
        ("suppliers:\n  walls: {name: x, order_number: '{'}\n", ("o.yaml:2:34: suppliers.walls.order_number: has a brace that is not closed, or one too many; what may stand between braces: {job}, {revision}, {delivery}, {date}",)),
        ("suppliers:\n  walls: {name: x, order_number: '{date}{date:3}{job!r}'}\n", (
            "o.yaml:2:34: suppliers.walls.order_number: unknown field {date}; did you mean date?", "o.yaml:2:34: suppliers.walls.order_number: unknown field {job}; did you mean job?")),
        ("rates: {extra_percent: {walls: 3, wall: 3}}\n", ("o.yaml:1:41: rates.extra_percent.wall: unknown delivery wall; did you mean walls?",)),
        ("profiles: {p: {kind: trapezoidal, cover_mm: 760, overall_mm: 700, rib_pitch_mm: 190, depth_mm: 29, least_pitch_deg: 3, basis: x}}\n",
         ("o.yaml:1:62: profiles.p.overall_mm: 700 is less than cover_mm 760; overall is the whole width of a sheet",)),
        ("settings: {hip_trim_mn: 3}\n", ("o.yaml:1:12: settings.hip_trim_mn: unknown setting; did you mean hip_trim_mm?",)),
        ("boards: {b: {name: n, kind: plain, direction: either, width_mm: 100, cover_mm: 101, thickness_mm: 20, lengths_mm: [3000], basis: x}}\n", ("o.yaml:1:80: boards.b.cover_mm: 101 is more than width_mm 100",)),
        ("flashings: {f: {name: n, edge_kind: rigde, stock_mm: 3000, basis: x}}\n", ("o.yaml:1:37: flashings.f.edge_kind: unknown edge kind rigde; did you mean ridge?",)),
        ("downpipes: {d: {name: n, area_mm2: 4000, lengths_mm: [3000], table_m2: [1, 2, 3], basis: x}}\n", ("o.yaml:1:72: downpipes.d.table_m2: needs four bands or none, has 3",)),
    ],
)  # fmt: skip
def test_faults_of_an_office_file(text: str, faults: tuple[str, ...]) -> None:
    assert refused(text) == faults


TABLE = {"spans": [{"family": "corrugate", "bmt_mm": 0.4, "end_mm": 900, "internal_mm": 1200}]}


@pytest.mark.parametrize(
    ("tables", "faults"),
    [
        (TABLE, ["tables.spans: needs spans_basis: where its figures come from"]),
        ({"code": "nx"}, ["tables.code: unknown code nx; known: au, nz"]),
        ({"needed_areas_m2": [20, 10], "needed": [{"mm_per_h": 100, "types": ["A"]}], "needed_basis": "x"},
         ["tables.needed[1].types: has 1 types for 2 catchments of needed_areas_m2", "tables.needed_areas_m2: goes from the least to the largest, each once"]),
        ({"needed_areas_m2": [10, 10]}, ["tables.needed_areas_m2: goes from the least to the largest, each once"]),
        ({"on_foot": [{"family": "corugate", "bmt_mm": 0.4}], "on_foot_basis": "x"}, ["tables.on_foot[1].family: unknown family corugate; did you mean corrugate?"]),
        ({"screws": [{"family": "corrugate", "bmt_mm": 0.4, "end": "Z"}], "screws_basis": "x"}, ["tables.screws[1]: needs by_zone, or end and internal", "tables.screws[1]: unknown pattern Z; known: 5T2, 5T3, 5T4, 6T3, 6T5, C2, C3, C4, C5, none"]),
        ({"code": "nz", "screws": [{"family": "corrugate", "bmt_mm": 0.4, "by_zone": ["O"]}], "patterns": {"O": {"screws": 1, "of": 2, "says": "x"}}, "screws_basis": "x"},
         ["tables.screws[1].by_zone: needs a pattern for each wind zone: low, medium, high, very_high, extra_high"]),
    ],
)  # fmt: skip
def test_faults_of_own_tables(tables: Any, faults: list[str]) -> None:
    told = [fault.split(": ", 1)[1] for fault in refused(json.dumps({"tables": tables}))]
    assert told == faults
    assert {"corrugate", "five_rib", "six_rib", "tray_narrow"} <= set(FAMILIES)
    assert "tray" not in FAMILIES


# ------------------------------------------------------------ products and tables


def test_own_products_among_those_of_the_catalogue() -> None:
    roll = {"name": "Ours", "use": "roof", "width_mm": 1000, "length_mm": 20000, "basis": "sheet of May"}
    gutter = {
        "name": "Box",
        "system": "pvc",
        "area_mm2": 8200,
        "width_mm": 130,
        "lengths_mm": [4000, 6000],
        "basis": "sheet of May",
    }
    theirs = load_catalogue()
    found = with_office_products(theirs, office(rolls={"ours": roll}, gutters={"quad_125": gutter}))
    assert found.rolls["ours"] == Roll("ours", "Ours", "roof", 1000.0, 20000.0, {"*": OURS})
    assert list(found.rolls) == [*theirs.rolls, "ours"]
    made = found.gutters["quad_125"]
    assert (made.name, made.lengths_mm, made.bracket_mm, made.basis) == ("Box", (4000, 6000), 0.0, {"*": OURS})
    assert (len(found.gutters), found.downpipes, found.boards, found.flashings) == (
        len(theirs.gutters),
        theirs.downpipes,
        theirs.boards,
        theirs.flashings,
    )
    assert with_office_products(theirs, None) is theirs


@pytest.mark.parametrize("code", ["au", "nz"])
def test_own_tables_before_those_of_the_code(code: str) -> None:
    """A row of the code that the office gives otherwise is left out; needed takes the place of the whole table."""
    rules = rule_set(code)
    screw, foot = rules.screws[0], (rules.on_foot or (FootRow("six_rib", 0.99, OURS),))[0]
    span = (rules.spans or (SpanRow("six_rib", 0.99, 1.0, 1.0, OURS),))[0]
    kind, bracket = (rules.rain.types or (GutterTypeRow("Q", "any", OURS),))[0], rules.rain.brackets[0]
    pipe = (rules.rain.pipes or (PipeRow("Q", OURS, round_mm=99.0),))[0]
    may = "sheet of May"
    tables = {
        "code": code, "patterns": {"O": {"screws": 1, "of": 2, "says": "every other"}},
        "screws": [{"family": screw.family, "bmt_mm": screw.bmt_mm, "end": "O", "internal": "O"}], "screws_basis": may,
        "spans": [{"family": span.family, "bmt_mm": span.bmt_mm, "end_mm": 1, "internal_mm": 2}], "spans_basis": may,
        "on_foot": [{"family": foot.family, "bmt_mm": foot.bmt_mm}], "on_foot_basis": may,
        "brackets": [{"spacing_mm": 600, "below_width_mm": bracket.below_width_mm, "snow": bracket.snow}], "brackets_basis": may,
        "types": [{"type": kind.type, "shape": "any"}], "types_basis": may,
        "pipes": [{"types": "Q", "round_mm": pipe.round_mm, "wide_mm": pipe.wide_mm, "deep_mm": pipe.deep_mm}], "pipes_basis": may,
        "needed_areas_m2": [10, 20], "needed": [{"mm_per_h": 100, "types": ["Q", "Q"]}], "needed_basis": may,
    }  # fmt: skip
    found = with_office_tables(rules, office(tables=tables), "other")
    assert found.patterns == (ScrewPattern("O", 1, 2, "every other", OURS), *rules.patterns)
    assert found.screws[0] == ScrewRow(screw.family, screw.bmt_mm, OURS, end="O", internal="O")
    assert found.screws[1:] == tuple(
        row for row in rules.screws if (row.family, row.bmt_mm) != (screw.family, screw.bmt_mm)
    )
    assert found.spans == (SpanRow(span.family, span.bmt_mm, 1.0, 2.0, OURS), *rules.spans[1:])
    assert found.on_foot == (FootRow(foot.family, foot.bmt_mm, OURS), *rules.on_foot[1:])
    assert found.rain.brackets == (
        BracketRow(600.0, OURS, below_width_mm=bracket.below_width_mm, snow=bracket.snow),
        *rules.rain.brackets[1:],
    )
    assert found.rain.types == (GutterTypeRow(kind.type, "any", OURS), *rules.rain.types[1:])
    own = PipeRow("Q", OURS, round_mm=pipe.round_mm, wide_mm=pipe.wide_mm, deep_mm=pipe.deep_mm)
    assert found.rain.pipes == (own, *rules.rain.pipes[1:])
    assert (found.rain.needed, found.rain.needed_areas_m2) == ((NeededRow(100.0, ("Q", "Q"), OURS),), (10.0, 20.0))
    bare = office(tables={"brackets": tables["brackets"], "brackets_basis": "x"})
    kept = with_office_tables(rules, bare, code).rain
    assert (kept.needed, kept.needed_areas_m2) == (rules.rain.needed, rules.rain.needed_areas_m2)
    for other in (None, office(), office(tables={"code": "xx"})):
        assert with_office_tables(rules, other, code) is rules
    assert with_office_tables(rules, bare, "xx") is rules


RIB = {
    "kind": "trapezoidal",
    "cover_mm": 760,
    "overall_mm": 800,
    "rib_pitch_mm": 190,
    "depth_mm": 29,
    "least_pitch_deg": 3,
}


def test_own_profiles_and_their_girth() -> None:
    """Physics: kg/m = girth x (thickness x 7.85 + coating): 4.6 kg/m at 0.55 and 3.4 at 0.40, the mean of the two girths."""
    job = Job.model_validate(
        {
            "job": "a",
            "profiles": {
                "rib": {**RIB, "kg_per_m": {0.55: 4.6, 0.40: 3.4}},
                "bare": RIB,
                "told": {**RIB, "girth_mm": 950},
            },
        }
    )
    settings = resolve_settings(job)
    steel, coating = settings.number("steel_kg_per_m2_mm"), settings.number("coating_kg_per_m2")
    mean = (1000 * 4.6 / (0.55 * steel + coating) + 1000 * 3.4 / (0.40 * steel + coating)) / 2
    held = with_own_profiles(load_catalogue(), job, settings).profiles
    assert held["rib"].girth_mm == pytest.approx(mean)
    assert held["rib"].basis["girth_mm"] == Basis(Status.DERIVED, clause="from the mass given at 0.55 mm, 0.4 mm")
    assert (held["bare"].girth_mm, held["told"].girth_mm) == (800.0, 950.0)
    assert held["bare"].basis["girth_mm"].clause == "the overall width stands in for the girth: mass is a little low"
    assert held["told"].basis["girth_mm"].status is Status.SET_IN_JOB
    theirs = office(
        profiles={
            "rib": {**RIB, "name": "Ours", "overall_mm": 810, "basis": "sheet of May"},
            "only": {**RIB, "basis": "sheet of May"},
        }
    )
    both = with_own_profiles(load_catalogue(), job, settings, theirs).profiles
    assert (both["rib"].overall_mm, both["only"].basis["*"]) == (800.0, OURS)
    catalogue = load_catalogue()
    assert with_own_profiles(catalogue, Job(job="a"), settings).profiles is catalogue.profiles


def test_thicknesses_whose_mass_is_not_given() -> None:
    def job(**covering: Any) -> Job:
        roof = {"outline": [(0, 0), (9000, 0), (9000, 6000)], "pitch_deg": 25, "covering": covering}
        return Job.model_validate(
            {
                "job": "a",
                "roofs": [roof, {**roof, "name": "b"}],
                "profiles": {"rib": {**RIB, "kg_per_m": {0.55: 4.6}}, "bare": RIB},
            }
        )

    def findings(made: Job) -> tuple[Finding, ...]:
        settings = resolve_settings(made)
        return mass_findings(made, with_own_profiles(load_catalogue(), made, settings), settings)

    assert findings(job(profile="rib", bmt_mm=0.55)) == ()
    assert findings(job(profile="corrugated", bmt_mm=0.48)) == ()
    (told,) = findings(job(profile="rib", bmt_mm=0.4))
    assert (told.severity, "0.4" in told.text, "rib" in told.text) == (Severity.NOTE, True, True)
    assert len(findings(job(profile="bare", bmt_mm=0.4))) in (0, 1)


# ------------------------------------------------------------ fingerprints and bounds


def test_a_fingerprint_goes_with_every_file_that_is_named(tmp_path: Path) -> None:
    job = Job.model_validate({
        "job": "a", "roofs": [{"name": "x", "shape": {"file": "a.obj"}}, {"name": "y", "outline": [(0, 0), (1, 0), (1, 1)]}, {"name": "z", "mesh": {"file": "b.obj"}}],
        "walls": {"drawn_elevations": [{"file": "w.dxf", "layer": "N"}]}, "rain": {"file": "r.csv"},
    })  # fmt: skip
    assert files_named(job, tmp_path) == tuple(tmp_path / name for name in ("a.obj", "b.obj", "w.dxf", "r.csv"))
    assert files_named(Job(job="a"), tmp_path) == ()
    marks = [fingerprint(job, tmp_path, "text")]
    for name in ("a.obj", "b.obj", "w.dxf", "r.csv"):
        (tmp_path / name).write_text(name, encoding="utf-8")
        marks.append(fingerprint(job, tmp_path, "text"))
    marks += [
        fingerprint(job, tmp_path, "other"),
        fingerprint(job, tmp_path),
        fingerprint(job, tmp_path, "text", office=office(settings={"hip_trim_mm": 3.0})),
    ]
    assert len(set(marks)) == 8
    assert {len(mark) for mark in marks} == {16}
    taped = fingerprint(job, tmp_path, "text", (SiteMeasure("P1", "eave", 4000.0),))
    assert (len(taped), taped[:17]) == (25, f"{marks[4]}-")
    assert taped != fingerprint(job, tmp_path, "text", (SiteMeasure("P1", "eave", 4000.5),))
    assert [is_of_job(mark, job, tmp_path, "text") for mark in (marks[4], taped, marks[3], marks[4] + "x")] == [
        True,
        True,
        False,
        False,
    ]


def test_as_much_as_one_job_may_hold(monkeypatch: pytest.MonkeyPatch) -> None:
    names = ("MOST_CORNERS", "MOST_OPENINGS", "MOST_HOLES", "MOST_WALLS", "MOST_ZONES", "MOST_PIPES", "MOST_ACROSS_MM")
    assert [getattr(job_bounds, name) for name in names] == [1000, 500, 500, 500, 200, 500, 500_000.0]
    opening = {"wall": 1, "from_left_mm": 0, "sill_mm": 0, "width_mm": 900, "height_mm": 900}
    ring = [(0, 0), (9000, 0), (9000, 500_000)]
    job = Job.model_validate({
        "job": "a",
        "roofs": [{"name": "x", "wall_line": ring, "outline": [*ring[:2], (1, 600_001)], "courtyards": [ring], "penetrations": [{"kind": "pipe", "at": (1, 1)}] * 2, "rooflight_sheets": [{"edge": 1, "from_left_mm": 0}]}, {"name": "y", "outline": [(0, 0), (500_001, 0), (1, 1)]}],
        "rainwater": {"downpipes_at": [(1, 1)] * 2},
        "walls": {"openings": [opening] * 2, "elevations": [{"name": "a", "width_mm": 500_000, "height_mm": 2400}, {"name": "b", "width_mm": 600_500, "height_mm": 2400}], "zones": [{"board": "x"}] * 2},
    })  # fmt: skip
    long = "m across, more than the 500 m of one job; is a figure mistyped?"
    assert bound_faults(job) == [
        (("roofs", 1, "outline"), f"is 500.0 {long}"),
        (("walls", "elevations", 1, "width_mm"), f"is 600.5 {long}"),
    ]
    limits = {"MOST_CORNERS": 9, "MOST_OPENINGS": 2, "MOST_HOLES": 3, "MOST_WALLS": 2, "MOST_ZONES": 2, "MOST_PIPES": 2}
    for name, most in limits.items():
        monkeypatch.setattr(job_bounds, name, most)
    assert len(bound_faults(job)) == 2
    for name, most in limits.items():
        monkeypatch.setattr(job_bounds, name, most - 1)
    said = [
        (("roofs",), "9 corners of outlines, more than the 8 of one job; split it into several"), (("roofs",), "3 holes and clear sheets, more than the 2 of one job; split it into several"),
        (("rainwater", "downpipes_at"), "2 downpipes, more than the 1 of one job; split it into several"), (("walls", "openings"), "2 openings, more than the 1 of one job; split it into several"),
        (("walls", "elevations"), "2 walls, more than the 1 of one job; split it into several"), (("walls", "zones"), "2 zones, more than the 1 of one job; split it into several"),
    ]  # fmt: skip
    assert bound_faults(job)[:6] == said
