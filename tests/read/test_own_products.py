"""An office's own products and tables: taken as they are given, with their basis, and refused with their place."""

from __future__ import annotations

from io import BytesIO

import pytest
from openpyxl import load_workbook

from takeoff.basics.errors import JobError
from takeoff.model.basis import Status
from takeoff.model.job.job import Job
from takeoff.pipeline import run
from takeoff.read.job.job_file import parse_job
from takeoff.read.job.settings import resolve_settings
from takeoff.read.office.office_file import parse_office
from takeoff.write.workbook.workbook import workbook_bytes

OFFICE = """
profiles:
  our_rib: {name: Our rib, kind: trapezoidal, cover_mm: 760, overall_mm: 800, rib_pitch_mm: 190, depth_mm: 29,
    least_pitch_deg: 3, kg_per_m: {0.55: 4.6}, basis: roller's sheet of May}
gutters:
  our_box: {name: Our box, system: bracketed_metal, area_mm2: 8200, width_mm: 130, lengths_mm: [6000], basis: sheet of May}
rolls: {ours: {name: Our underlay, use: roof, width_mm: 1350, length_mm: 25000, basis: printed on the roll}}
flashings: {our_ridge: {name: Our ridge, edge_kind: ridge, stock_mm: 7200, basis: the folder's longest}}
settings: {rainwater_gutter: our_box}
tables: {brackets_basis: our own rule, brackets: [{spacing_mm: 600}]}
"""
JOB = """job: Hut
roofs: [{outline: [[0, 0], [6000, 0], [6000, 4000], [0, 4000]], pitch_deg: 20, covering: {profile: our_rib}}]
underlay: {roll: ours}
flashings: {ridge: our_ridge}
"""


def test_a_job_is_made_of_the_offices_products_and_says_so() -> None:
    office = parse_office(OFFICE)
    takeoff = run(parse_job(JOB, office=office), office=office)
    assert takeoff.order is not None
    profile = takeoff.catalogue.profiles["our_rib"]
    assert (profile.basis["*"].status, profile.basis["*"].source) == (Status.SET_IN_OFFICE, "roller's sheet of May")
    names = {line.of.product for line in takeoff.order.lines}
    assert {"our_rib", "our_box", "our_ridge"} <= names
    assert {line.each_mm for line in takeoff.order.lines if line.of.product == "our_box"} == {6000.0}
    book = load_workbook(BytesIO(workbook_bytes(takeoff)))
    basis = [str(cell.value) for row in book["Basis"].iter_rows() for cell in row]
    assert {"Our rib", "Our box", "Our ridge"} <= set(basis)
    assert any("sheet of May" in text for text in basis)


def test_the_jobs_profile_of_the_same_name_goes_before_the_offices() -> None:
    office = parse_office(OFFICE)
    own = (
        "profiles: {our_rib: {kind: trapezoidal, cover_mm: 700, overall_mm: 740, rib_pitch_mm: 175, depth_mm: 29, "
        "least_pitch_deg: 3}}\n"
    )
    takeoff = run(parse_job(JOB + own, office=office), office=office)
    assert takeoff.catalogue.profiles["our_rib"].cover_mm == 700
    assert takeoff.catalogue.profiles["our_rib"].basis["*"].status is Status.SET_IN_JOB


def test_without_the_office_its_products_are_unknown() -> None:
    with pytest.raises(JobError, match="unknown profile our_rib"):
        parse_job(JOB)


def test_own_rows_stand_before_those_of_the_code_and_only_there() -> None:
    office = parse_office(OFFICE)
    own = resolve_settings(Job(job="x"), office).rules.rain.brackets
    assert own[0].spacing_mm == 600
    assert own[0].basis.words() == "set in the office file: our own rule"
    code = resolve_settings(Job(job="x")).rules.rain.brackets
    assert all(row in own for row in code if (row.below_width_mm, row.snow) != (0.0, False))
    assert resolve_settings(Job(job="x", code="au"), office).rules == resolve_settings(Job(job="x", code="au")).rules


def test_a_span_table_of_the_office_stops_what_it_does_not_allow() -> None:
    """A row of 900 between for five ribs of 0.55: purlins at 1200 are too far apart, as a code's own row would say."""
    table = "tables: {spans_basis: the roller's table, spans: [{family: five_rib, bmt_mm: 0.55, end_mm: 600, internal_mm: 900}]}"
    office = parse_office(OFFICE.split("tables:")[0] + table)
    job = JOB.replace("4000]", "9000]").replace("our_rib}", "our_rib, bmt_mm: 0.55}") + "purlins: {spacing_mm: 1200}\n"
    takeoff = run(parse_job(job, office=office), office=office)
    told = [finding for finding in takeoff.findings if finding.severity == "stop"]
    assert any("900" in finding.text for finding in told)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("gutters: {a: {name: b, system: pvc, area_mm2: 1, width_mm: 1, lengths_mm: [6000]}}", "gutters.a.basis: is needed"),
        ("gutters: {a: {name: b, system: tin, area_mm2: 1, width_mm: 1, lengths_mm: [], basis: c}}", "gutters.a.system: must be"),
        ("boards: {a: {name: b, kind: plain, direction: either, width_mm: 9, cover_mm: 10, thickness_mm: 1, lengths_mm: [1], basis: c}}", "boards.a.cover_mm: 10 is more than width_mm 9"),
        ("flashings: {a: {name: b, edge_kind: rigde, stock_mm: 6000, basis: c}}", "unknown edge kind rigde; did you mean ridge?"),
        ("tables: {spans: [{family: five_rib, bmt_mm: 0.5, end_mm: 1, internal_mm: 1}]}", "tables.spans: needs spans_basis"),
        ("tables: {spans_basis: a, spans: [{family: five_ribs, bmt_mm: 0.5, end_mm: 1, internal_mm: 1}]}", "unknown family five_ribs; did you mean five_rib?"),
        ("tables: {screws_basis: a, screws: [{family: five_rib, bmt_mm: 0.5, by_zone: [C2]}]}", "needs a pattern for each wind zone"),
        ("tables: {screws_basis: a, screws: [{family: five_rib, bmt_mm: 0.5, end: Q9, internal: C2}]}", "unknown pattern Q9"),
        ("tables: {needed_basis: a, needed_areas_m2: [30], needed: [{mm_per_h: 90, types: [A, B]}]}", "has 2 types for 1 catchments"),
        ("tables: {code: nzz}", "unknown code nzz; did you mean nz?"),
    ],
)  # fmt: skip
def test_faults_have_their_place(text: str, said: str) -> None:
    with pytest.raises(JobError) as caught:
        parse_office(text)
    assert any(said in fault for fault in caught.value.faults), caught.value.faults
    assert all(fault.startswith("office.yaml:1:") for fault in caught.value.faults)
