"""Runs, crossings, notes and fixings of purlins as they are laid: by hand. Lengths in mm, rafters at 900 from the middle."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.basics.errors import JobError
from takeoff.basics.vectors import Point2
from takeoff.measure.roofing.purlins import purlin_fixings, purlins
from takeoff.measure.roofing.purlins.purlin_fixings import CrossingFixing
from takeoff.measure.roofing.purlins.purlin_timbers import PurlinTimber, purlin_section, timber_of
from takeoff.measure.roofing.purlins.purlins import verge_overhang_mm
from takeoff.model.basis import SET_IN_JOB, Basis, Quantity, Status, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.job.edges import EdgeJob
from takeoff.model.job.roofs import RoofJob
from takeoff.model.measured import PurlinLine
from takeoff.model.roof import Covering, Frame, RoofPlane
from takeoff.model.runs import RunDemand

SEEN = Basis(Status.SEEN, "a book", "a clause")
WIDE = ((0.0, 0.0), (14000.0, 0.0), (14000.0, 4000.0), (0.0, 4000.0))
PLANE = RoofPlane(
    "P1",
    "main",
    Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    (WIDE,),
    (1,),
    1,
    20.0,
    180.0,
    56e6,
    52e6,
)
TIMBER = PurlinTimber("purlin_70x45", "70 x 45", 70.0, 45.0, (4800, 6000), ())
VALUES: dict[str, Any] = {
    "purlin_least_piece_mm": 1000.0, "purlin_supports_from": "centre", "purlin_joints": "staggered", "outrigger_back_ratio": 2.0,
    "purlin_narrow_mm": 70.0, "purlin_narrow_supports_mm": 900.0, "purlin_least_row_mm": 300.0, "purlin_fixing_spare_percent": 10.0,
    "purlin_section": "70x45", "purlin_wide_section": "90x45",
}  # fmt: skip


def settings(given: bool = False, **more: Any) -> Any:
    known = VALUES | more
    return SimpleNamespace(
        number=known.__getitem__, word=known.__getitem__, term=lambda name: Term(name, known[name], ""), unit=lambda name: "",
        basis=lambda name: SimpleNamespace(words=lambda: f"source of {name}"), given=lambda name: given,
    )  # fmt: skip


END = Term("longest end span", 700.0, "mm")


def plan(supports: float = 900.0, spare: int = 1, timber: PurlinTimber = TIMBER, lines_only: bool = False) -> Any:
    limits = SimpleNamespace(end_mm=650.0, terms=(END,))
    return SimpleNamespace(purlin=timber, gauge_mm=900.0, limits=limits, supports_mm=supports, setting_out="centre", zone="high", spare_joints=spare,
                           settings=settings(), lines_only=lines_only)  # fmt: skip


def laid() -> Any:
    return SimpleNamespace(lines=[], demands=[], findings=[], items=[], crossings=0, widest_mm=0.0)


def add(line: PurlinLine, of: Any = None) -> Any:
    found = laid()
    purlins._add(of or plan(), TIMBER, PLANE, line, ("P1", "E1"), "P1", found)
    return found


def row(number: int, a: Point2, b: Point2, role: str = "purlin") -> PurlinLine:
    return PurlinLine(f"PU1.{number:02d}", "P1", role, number, a, b)


def test_a_row_of_purlin() -> None:
    """From 1000 to 12000: rafters from 1600 to 11500 lie under it, 12 of them; 11 m of 6 m lengths have one joint, and every
    other row one more to keep clear of it: 12 and both ends and the joints."""
    one = add(row(1, (1000.0, 50.0), (12000.0, 50.0)))
    rafters = tuple(600.0 + 900.0 * k for k in range(12))
    supports = (
        Term("supports", 900.0, "mm"),
        Term("purlin_least_piece_mm", 1000.0, ""),
        Term("purlin_supports_from", "centre", ""),
        Term("purlin_joints", "staggered", ""),
    )
    rule = "length of the row; joints on supports"
    length = Term("length", 11000.0, "mm", ref="P1")
    (demand,) = one.demands
    assert demand == RunDemand(
        "PU1.01", "purlin_70x45", 11000.0, pytest.approx(rafters), 0.0, 1000.0, 1, 900.0, "P1", ("P1", "E1"), 1000.0, "",
        Working(rule, (length, *supports)), 1, True,
    )  # fmt: skip
    assert (one.crossings, one.findings, [line.run for line in one.lines]) == (15, [], ["PU1.01"])
    # on the second row the end span stands under it
    two = add(row(2, (1000.0, 650.0), (12000.0, 650.0)))
    assert two.demands[0].working.terms == (length, *supports, Term("end span under it at most", 650.0, "mm"), END)
    # where two pieces meet on one rafter only every second row has one more
    assert [add(row(n, (1500.0, 50.0), (12500.0, 50.0))).crossings for n in (1, 2, 3)] == [16, 17, 16]
    assert add(row(2, (1500.0, 50.0), (12500.0, 50.0)), plan(spare=0)).crossings == 16
    # five or seven rafters and both ends; a millimetre over 6 m is a joint, crumbs are none
    for end, crossings in ((6050.0, 7), (7050.0, 9), (7050.005, 9), (7051.0, 10)):
        assert add(row(1, (1050.0, 50.0), (end, 50.0))).crossings == crossings
    only = add(row(1, (0.0, 50.0), (9000.0, 50.0)), plan(lines_only=True))
    assert (len(only.lines), only.demands, only.crossings) == (1, [], 0)


def test_an_outrigger_is_one_timber() -> None:
    found = add(row(1, (0.0, 50.0), (1800.0, 50.0), "outrigger"))
    working = Working(
        "over the gable wall and so far back inside it",
        (Term("length", 1800.0, "mm", ref="P1"), Term("outrigger_back_ratio", 2.0, "")),
    )
    assert found.demands == [
        RunDemand(
            "PU1.01", "purlin_70x45", 1800.0, (), row=1, group="P1", refs=("P1", "E1"), offset_mm=0.0, working=working
        )
    ]
    assert (found.crossings, found.findings) == (0, [])


def test_a_trimmer_that_no_rafter_can_joint() -> None:
    """Steep up the slope, 7 m of lengths of 6 m, no rafter under it between 1 and 6 m: joined anywhere, on a block."""
    found = add(row(1, (1700.0, 0.0), (1800.0, 7000.0), "hip trimmer"))
    (demand,) = found.demands
    assert (demand.splits_mm, demand.tell, demand.note) == (
        None,
        False,
        "hip trimmers: cut between purlin rows (dwangs)",
    )
    assert found.findings == [
        Finding(
            "purlin-joint-on-block", Severity.NOTE,
            "PU1.01: the hip trimmer of 7001 mm is longer than stock of 6000 mm, and no rafter under it gives a joint.",
            "Joint it on a block fixed between the rafters.", refs=("PU1.01", "P1"),
        )
    ]  # fmt: skip


@pytest.mark.parametrize(("widest", "told"), [(900.0, False), (900.4, False), (901.4, True)])
def test_a_bay_over_the_gauge(widest: float, told: bool) -> None:
    found = laid()
    found.widest_mm = 800.0
    purlins._check_bays(plan(), PLANE, widest, found)
    text = "P1: a bay of 901 mm is wider than the gauge of 900: a row there would be shorter than 300 mm."
    cure = (
        "Carry the sheets there on the trimmers, or let shorter rows be laid: `settings: {purlin_least_row_mm: 100}`."
    )
    one = Finding("purlin-bay-over-gauge", Severity.WARN, text, cure, ("P1",), source="source of purlin_least_row_mm")
    assert (found.findings, found.widest_mm) == ([one] if told else [], widest)
    purlins._check_bays(plan(), PLANE, 100.0, found)
    assert found.widest_mm == widest


@pytest.mark.parametrize(
    ("supports", "wide", "any_runs", "told"),
    [(900.0, 70.0, True, False), (900.005, 70.0, True, False), (901.0, 70.0, True, True), (901.0, 70.005, True, True), (901.0, 90.0, True, False), (901.0, 70.0, False, False)],
)  # fmt: skip
def test_a_narrow_purlin_on_supports_far_apart(supports: float, wide: float, any_runs: bool, told: bool) -> None:
    found = laid()
    found.demands = [None] if any_runs else []
    purlins._check_section(plan(supports, timber=replace(TIMBER, width_mm=wide)), found)
    text = "Purlins 70 x 45 on supports at 901 mm: the table's 70 mm wide purlin goes with supports at 900 mm."
    cure = "Take a wider purlin, `purlins: {section: 90x45}`, or closer supports."
    one = Finding("purlin-section-narrow", Severity.WARN, text, cure, source="source of purlin_narrow_mm")
    assert found.findings == ([one] if told else [])


def test_fixings_of_the_crossings(monkeypatch: pytest.MonkeyPatch) -> None:
    """45 crossings of two, a tenth more: 99; 50 are 110."""
    asked: list[tuple[float, float, str]] = []
    terms = (Term("rafter spacing", 900.0, "mm"),)

    def table(rafter: float, purlin: float, zone: str, _: Any) -> Any:
        asked.append((rafter, purlin, zone))
        return CrossingFixing("B", 2, "screws", terms) if zone == "high" else Finding("x", Severity.STOP, "none", "")

    monkeypatch.setattr(purlins, "crossing_fixing", table)
    roof: Any = SimpleNamespace(
        name="main", planes=(PLANE, replace(PLANE, id="P2", covering=Covering.OTHER), replace(PLANE, id="P3"))
    )
    found = laid()
    assert purlins._fixings(plan(), roof, found) == []
    for crossings, exact in ((45, 99.0), (50, 110.0), (46, 102.0)):
        found = laid()
        found.demands, found.crossings = [None], crossings
        (quantity,) = purlins._fixings(plan(), roof, found)
        rule = "type B: 2 a crossing of purlin and rafter, both sides of joints, with spares"
        all_terms = (Term("crossings", crossings, "each"), *terms, Term("purlin_fixing_spare_percent", 10.0, ""))
        assert quantity == Quantity(
            "main purlin fixings", "purlin_fixing_b", exact, "each", ("P1", "P3"), Working(rule, all_terms)
        )
        assert found.items == [Made("purlin_fixing_b", "purlin_fixing", (Mark(MarkKind.MADE_AS, "screws"),))]
    found.widest_mm = 700.0
    purlins._fixings(plan(), roof, found)
    assert asked == [(900.0, 900.0, "high")] * 3 + [(900.0, 700.0, "high")]
    low = plan()
    low.zone = "low"
    assert purlins._fixings(low, roof, found) == []
    assert found.findings == [Finding("x", Severity.STOP, "none", "")]


def test_how_far_a_verge_hangs_over() -> None:
    job = RoofJob(
        verge_overhang_mm=300.0,
        edges={1: EdgeJob(verge_overhang_mm=500.0), 2: EdgeJob(), 3: EdgeJob(verge_overhang_mm=0.0)},
    )
    assert [verge_overhang_mm(job, edges) for edges in ((1,), (2,), (9,), (1, 3), (3,), ())] == [
        500.0,
        300.0,
        300.0,
        500.0,
        0.0,
        300.0,
    ]


def test_sections_of_purlins() -> None:
    job: Any = SimpleNamespace(section=None)
    narrow, wide = ("70x45", Term("purlin_section", "70x45", "")), ("90x45", Term("purlin_wide_section", "90x45", ""))
    assert [purlin_section(job, mm, settings()) for mm in (900.0, 900.005, 900.1)] == [narrow, narrow, wide]
    assert purlin_section(job, 1200.0, settings(given=True)) == narrow
    own: Any = SimpleNamespace(section="140x45")
    assert purlin_section(own, 1200.0, settings()) == ("140x45", Term("purlin_section", "140x45", "", SET_IN_JOB))


def test_timber_of_a_section() -> None:
    known = SimpleNamespace(name="rail", lengths_mm=(3600, 6000), basis={"*": SEEN})
    framing = SimpleNamespace(name="framing", lengths_mm=(4800, 5400), basis={"*": SEEN})
    catalogue: Any = SimpleNamespace(timbers={"purlin_90x45": known, "purlin_70x45": framing})
    term = Term("purlin_section", "x", "")
    assert timber_of("90x45", (), catalogue, term) == PurlinTimber(
        "purlin_90x45", "rail", 90.0, 45.0, (3600, 6000), (term, Term("lengths_mm", "3600 to 6000", "mm", SEEN))
    )
    stock = Term("stock lengths", "2400 to 3000", "mm", SET_IN_JOB)
    assert timber_of("45x90", (2400, 3000), catalogue, term) == PurlinTimber(
        "purlin_45x90", "", 45.0, 90.0, (2400, 3000), (term, stock)
    )
    assert timber_of("10x999", (), catalogue, term).lengths_mm == (4800, 5400)
    for bad in ("9x45", "45x1000", "90", "90x45x3", "90xx", "9.5x45"):
        with pytest.raises(JobError) as told:
            timber_of(bad, (), catalogue, term)
        assert told.value.faults == (
            f"purlin_section: {bad!r} is no section; write width x depth in mm, such as 70x45.",
        )


def test_the_column_of_a_table_of_fixings() -> None:
    """The next as far apart or further, a hundredth of a millimetre forgiven; none beyond the last."""
    found = {
        mm: purlin_fixings._step(mm, (600, 900, 1200)) for mm in (1.0, 600.0, 600.009, 600.02, 900.0, 1200.005, 1200.02)
    }
    assert found == {1.0: 600, 600.0: 600, 600.009: 600, 600.02: 900, 900.0: 900, 1200.005: 1200, 1200.02: None}
