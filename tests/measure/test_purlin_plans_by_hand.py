"""What purlins are laid by, and what is handed on to the rules of rows and trimmers: by hand. Lengths in mm."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from planes_by_hand import EAVE, on, plane

from takeoff.measure.roofing.purlins import purlins
from takeoff.measure.roofing.purlins.purlin_rows import Row, RowRules
from takeoff.measure.roofing.purlins.purlin_timbers import PurlinTimber
from takeoff.measure.roofing.purlins.trimmers import Trimmer
from takeoff.model.basis import Term
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.measured import PurlinLine
from takeoff.model.roof import Covering

VALUES: dict[str, Any] = {
    "purlin_first_row_mm": 50.0, "purlin_close_row_mm": 200.0, "purlin_least_row_mm": 300.0, "purlin_even_spacing": True,
    "internal_gutter_width_mm": 340.0, "purlin_least_bay_mm": 250.0, "lap_is_end": False, "purlin_supports_from": "left",
    "purlin_joints": "staggered", "valley_board_section": "140x20", "outrigger_section": "90x45", "hip_trimmer_offset_mm": 100.0,
    "valley_boards_a_side": 1.6, "hole_trimmer_over_mm": 400.0, "outrigger_back_ratio": 2.0, "outrigger_spacing_mm": 880.0,
    "purlin_spacing_mm": 850.0, "purlin_supports_mm": 910.0, "sheet_bmt_mm": 0.4, "ridge_row_mm": 120.0,
}  # fmt: skip


def settings(**more: Any) -> Any:
    known = VALUES | more
    return SimpleNamespace(
        number=known.__getitem__,
        word=known.__getitem__,
        flag=known.__getitem__,
        term=lambda name: Term(name, known[name], ""),
    )


def timber(name: str, width: float) -> PurlinTimber:
    return PurlinTimber(name, name, width, 45.0, (6000,), ())


def plan(**more: Any) -> Any:
    limits = SimpleNamespace(end_mm=640.0, terms=())
    parts: dict[str, Any] = {
        "purlin": timber("purlin", 70.0), "valley": timber("valley", 140.0), "outrigger": timber("outrigger", 90.0), "gauge_mm": 850.0,
        "limits": limits, "supports_mm": 910.0, "setting_out": "left", "zone": "high", "settings": settings(),
        "lines_only": False,
    } | more  # fmt: skip
    return SimpleNamespace(**parts)


@pytest.mark.parametrize(("joints", "spare"), [("staggered", 1), ("in line", 0)])
def test_what_purlins_are_laid_by(joints: str, spare: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """The job's gauge, else the setting's; lengths that the job has once each, the shortest first."""
    made: list[Any] = []

    def of_section(section: str, stock: Any, catalogue: Any, term: Any) -> PurlinTimber:
        made.append((section, stock, term))
        return timber(section, 1.0)

    monkeypatch.setattr(purlins, "timber_of", of_section)
    monkeypatch.setattr(
        purlins, "purlin_section", lambda job, supports, settings: (f"90x{supports:.0f}", Term("section", 1.0, ""))
    )
    monkeypatch.setattr(purlins, "span_limits", lambda *given: ("limits", given[:3]))
    monkeypatch.setattr(purlins, "wind_zone", lambda site, settings: ("high", Term("zone", 2.0, "")))
    job: Any = SimpleNamespace(spacing_mm=None, supports_mm=None, stock_mm=[6000, 4800, 6000])
    roof_job: Any = SimpleNamespace(covering=SimpleNamespace(bmt_mm=None, profile="rib"))
    catalogue: Any = SimpleNamespace(profiles={"rib": "the rib"})
    own = settings(purlin_joints=joints)
    found = purlins._plan(job, roof_job, None, own, catalogue)  # type: ignore[arg-type]
    assert found == purlins._Plan(
        purlin=timber("90x910", 1.0), valley=timber("140x20", 1.0), outrigger=timber("90x45", 1.0), gauge_mm=850.0,
        limits=("limits", ("the rib", 0.4, 850.0)), supports_mm=910.0, setting_out="left", spare_joints=spare, zone="high",  # type: ignore[arg-type]
        settings=own, terms=(Term("section", 1.0, ""), own.term("purlin_spacing_mm"), own.term("purlin_supports_mm"), Term("zone", 2.0, "")),
    )  # fmt: skip
    stock = (4800, 6000)
    assert made == [
        ("90x910", stock, Term("section", 1.0, "")),
        ("140x20", stock, own.term("valley_board_section")),
        ("90x45", stock, own.term("outrigger_section")),
    ]


def test_rows_of_a_plane(monkeypatch: pytest.MonkeyPatch) -> None:
    """Half the gutter's width clears it. Two parts of one row have letters; a row at an edge names it."""
    asked: list[Any] = []
    rows = [
        Row(50.0, (0.0, 6000.0), "eave", "E1"),
        Row(900.0, (0.0, 2000.0), "purlin"),
        Row(900.4, (2500.0, 6000.0), "purlin"),
        Row(1750.0, (0.0, 6000.0), "purlin"),
    ]
    told = Finding("hole", Severity.NOTE, "a hole")
    monkeypatch.setattr(purlins, "rows_of", lambda *given: asked.append(given) or "whole")
    monkeypatch.setattr(purlins, "penetration_trimmers", lambda *given: asked.append(given) or "framed")
    monkeypatch.setattr(purlins, "cut_rows", lambda *given: asked.append(given) or tuple(rows))
    monkeypatch.setattr(purlins, "row_findings", lambda *given: asked.append(given) or [told])
    monkeypatch.setattr(purlins, "_top_distances", lambda *given: ({"R1": 120.0}, "words of the band"))
    monkeypatch.setattr(purlins, "widest_bay_mm", lambda *given: asked.append(given) or 777.0)
    bays: list[Any] = []
    monkeypatch.setattr(purlins, "_check_bays", lambda plan, plane, widest, laid: bays.append(widest))
    added: list[Any] = []
    monkeypatch.setattr(
        purlins,
        "_add",
        lambda plan, timber, plane, line, refs, group, laid: added.append((timber.name, line, refs, group)),
    )
    of, own, laid = plane(), plan(), SimpleNamespace(findings=[])
    purlins._lay_rows(own, of, ["edges"], [2000.0], ["holes"], laid)  # type: ignore[arg-type, list-item]
    rules = RowRules(50.0, 850.0, 70.0, 200.0, 300.0, True, 170.0, 640.0, 250.0, False)
    assert asked == [
        (of, ["edges"], rules, {"R1": 120.0}, [2000.0]),
        (of, ["holes"], 70.0, 910.0, "left"),
        ("whole", ["holes"], "framed", 70.0, 300.0),
        (of, "whole", ["holes"], 70.0),
        (of, "whole", 300.0),
    ]
    assert laid.findings == [told, Finding("flashing-row-band", Severity.NOTE, "P1: words of the band.", refs=("P1",))]
    assert bays == [777.0]
    lines = [
        ("PU1.01", "eave", 1, (0.0, 50.0), (6000.0, 50.0)), ("PU1.02a", "purlin", 2, (0.0, 900.0), (2000.0, 900.0)),
        ("PU1.02b", "purlin", 2, (2500.0, 900.4), (6000.0, 900.4)), ("PU1.03", "purlin", 3, (0.0, 1750.0), (6000.0, 1750.0)),
    ]  # fmt: skip
    assert added == [
        ("purlin", PurlinLine(run, "P1", role, number, a, b), ("P1", "E1") if number == 1 else ("P1",), "P1")
        for run, role, number, a, b in lines
    ]
    purlins._lay_rows(plan(lines_only=True), of, [], [], [], SimpleNamespace(findings=[]))  # type: ignore[arg-type]
    assert (len(asked), bays) == (9, [777.0])  # no bay is asked for where lines alone are


def test_timbers_of_a_plane(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each kind counted by itself; boards of the valley and outriggers are other timber. A verge that is level has none."""
    asked: list[Any] = []

    def trimmer(role: str, edge: str, number: int) -> Trimmer:
        return Trimmer(role, edge, number, ((1.0, 2.0), (3.0, 4.0)))

    def kept(name: str, *made: Trimmer) -> Any:
        return lambda *given: asked.append((name, given[1:])) or list(made)

    monkeypatch.setattr(
        purlins, "hip_trimmers", kept("hip", trimmer("hip trimmer", "H1", 1), trimmer("hip trimmer", "H2", 1))
    )
    monkeypatch.setattr(purlins, "valley_boards", kept("valley", trimmer("valley board", "V1", 2)))
    monkeypatch.setattr(purlins, "hole_trimmers", kept("hole", trimmer("hole trimmer", "hole 1", 1)))
    monkeypatch.setattr(purlins, "penetration_trimmers", kept("framed", trimmer("hole trimmer", "X1", 3)))
    monkeypatch.setattr(purlins, "outriggers", kept("outriggers", trimmer("outrigger", "B1", 1)))
    monkeypatch.setattr(purlins, "verge_overhang_mm", lambda job, edges: 450.0)
    monkeypatch.setattr(purlins, "flashing_row", lambda zone, pitch, settings: (130.0, (), ""))
    added: list[Any] = []
    monkeypatch.setattr(
        purlins,
        "_add",
        lambda plan, timber, plane, line, refs, group, laid: added.append(
            (timber.name, line.run, line.role, line.row, refs, group)
        ),
    )
    up = on(EdgeKind.VERGE, (6000.0, 0.0), (6000.0, 4000.0), (-1.0, 0.0), "B1")
    level = on(EdgeKind.VERGE, (0.0, 4000.0), (6000.0, 4000.5), (0.0, -1.0), "B2")
    purlins._lay_trimmers(plan(), plane(), [EAVE, up, level], None, ["hole"], SimpleNamespace())  # type: ignore[arg-type, list-item]
    edges = [EAVE, up, level]
    assert asked == [
        ("hip", (edges, 100.0, 70.0)), ("valley", (edges, 2, 140.0)), ("hole", (edges, 400.0)), ("framed", (["hole"], 70.0, 910.0, "left")),
        ("outriggers", (up, 450.0, 2.0, 880.0, (50.0, 130.0))),
    ]  # fmt: skip
    assert added == [
        ("purlin", "HT1.01", "hip trimmer", 1, ("P1", "H1"), "P1 H1"), ("purlin", "HT1.02", "hip trimmer", 1, ("P1", "H2"), "P1 H2"),
        ("valley", "VB1.01", "valley board", 2, ("P1", "V1"), "P1 V1"), ("purlin", "TR1.01", "hole trimmer", 1, ("P1", "hole 1"), "P1 hole 1"),
        ("purlin", "TR1.02", "hole trimmer", 3, ("P1", "X1"), "P1 X1"), ("outrigger", "OR1.01", "outrigger", 1, ("P1", "B1"), "P1 B1"),
    ]  # fmt: skip


def test_laps_and_holes_go_to_their_own_plane(monkeypatch: pytest.MonkeyPatch) -> None:
    """A lap's row lies under its middle; a plane without sheets has no purlins."""
    laid: list[Any] = []
    monkeypatch.setattr(purlins, "edges_on", lambda roof, of: f"edges of {of.id}")
    monkeypatch.setattr(
        purlins,
        "_lay_rows",
        lambda plan, of, edges, laps, holes, _: laid.append((of.id, edges, laps, [one.id for one in holes])),
    )
    monkeypatch.setattr(
        purlins,
        "_lay_trimmers",
        lambda plan, of, edges, job, holes, _: laid.append((of.id, edges, job, [one.id for one in holes])),
    )
    planes = [
        SimpleNamespace(id=name, covering=covering)
        for name, covering in (("P1", Covering.SHEETS), ("P2", Covering.OTHER), ("P3", Covering.SHEETS))
    ]
    holes: Any = [SimpleNamespace(id=name, plane=of) for name, of in (("X1", "P3"), ("X2", "P1"), ("X3", "P3"))]
    laps = [("P3", 4000.0, 150.0), ("P1", 3000.0, 250.0), ("P3", 8000.0, 150.0)]
    purlins._lay(None, SimpleNamespace(planes=planes), "job", laps, holes, None)  # type: ignore[arg-type]
    assert laid == [
        ("P1", "edges of P1", [3125.0], ["X2"]), ("P1", "edges of P1", "job", ["X2"]),
        ("P3", "edges of P3", [4075.0, 8075.0], ["X1", "X3"]), ("P3", "edges of P3", "job", ["X1", "X3"]),
    ]  # fmt: skip
