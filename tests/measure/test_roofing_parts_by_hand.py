"""What the roofing story is put together from: groups at the mill, rows and laps by plane, and words at valley feet. By
hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from sheets_by_hand import line, piece, sheets

from takeoff.measure.item_book import called
from takeoff.measure.roofing import roofing
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made, Mark, MarkKind
from takeoff.model.measured import Need, RoofScrews
from takeoff.model.roof import Covering
from takeoff.model.sheets import SheetGroup

RIB: Any = SimpleNamespace(id="rib", name="Five Rib")
WAVY: Any = SimpleNamespace(id="wavy", name="Corrugated")


def test_what_groups_of_sheets_are_on_the_order() -> None:
    """One alone has no number; a thickness of none and no colour are not said; the first of several is 1."""
    plain = SheetGroup(RIB, 0.0, "", ())
    (alone,) = roofing.named_groups([plain])
    assert alone == replace(plain, item=Made("sheet rib", "sheet", called("Five Rib"), "rib", "sheet rib"))
    thick, clear = SheetGroup(RIB, 0.55, "grey", ()), SheetGroup(WAVY, 0.0, "", (), clear=True)
    first, second, third = roofing.named_groups([thick, clear, SheetGroup(RIB, 0.4, "", ())])
    marks = (*called("Five Rib"), Mark(MarkKind.THICK, 0.55), Mark(MarkKind.COLOUR, "grey"))
    assert first.item == Made("sheet rib 1", "sheet", marks, "rib", "sheet rib")
    assert second.item == Made("sheet wavy 2", "clear_sheet", called("Corrugated"), "wavy", "sheet wavy")
    assert third.item == Made(
        "sheet rib 3", "sheet", (*called("Five Rib"), Mark(MarkKind.THICK, 0.4)), "rib", "sheet rib"
    )
    assert roofing.named_groups([]) == ()


def test_sheets_of_one_profile_thickness_and_colour_are_one_order() -> None:
    """The setting's 0.4 where a roof gives none; a roof without sheets makes no group."""

    def roof(profile: str, bmt: float | None, colour: str, *metal: str) -> Any:
        covering = SimpleNamespace(profile=profile, bmt_mm=bmt, colour=colour)
        return SimpleNamespace(roof_job=SimpleNamespace(covering=covering), metal=metal)

    house: Any = SimpleNamespace(
        settings=SimpleNamespace(number={"sheet_bmt_mm": 0.4}.__getitem__),
        catalogue=SimpleNamespace(profiles={"rib": RIB, "wavy": WAVY}),
    )
    roofs = [
        roof("rib", None, "", "P1", "P2"), roof("rib", 0.55, "", "P3"), roof("rib", 0.4, "", "P4"), roof("rib", 0.4, "red", "P5"),
        roof("wavy", 0.4, ""), roof("wavy", 0.55, "", "P6"),
    ]  # fmt: skip
    found = roofing._metal_groups(roofs, house)
    assert [(group.profile, group.bmt_mm, group.colour, group.planes) for group in found] == [
        (RIB, 0.4, "", ("P1", "P2", "P4")), (RIB, 0.55, "", ("P3",)), (RIB, 0.4, "red", ("P5",)), (WAVY, 0.55, "", ("P6",)),
    ]  # fmt: skip


def test_heights_of_rows_by_plane() -> None:
    """Level timbers only, halfway between their ends, each height once and to a thousandth."""
    rows = (
        line("a", "purlin", 2, (0.0, 950.0), (3000.0, 950.0)),
        line("b", "purlin", 2, (3000.0, 950.0), (6000.0, 950.0004)),
        line("c", "eave", 1, (0.0, 50.0), (6000.0, 51.0)),
        line("d", "ridge", 1, (0.0, 3000.0), (6000.0, 3000.0), plane="P2"),
        line("e", "hip trimmer", 1, (0.0, 0.0), (3000.0, 3000.0)),
    )
    assert roofing._rows_by_plane(rows) == {"P1": (50.5, 950.0), "P2": (3000.0,)}


def test_where_sheets_are_end_lapped() -> None:
    """Where an upper part begins, and how long the part under it laps: of the same strip and run."""
    parts = (
        piece("P1.01a", 0.0, 0.0, 4150.0, lap_mm=150.0),
        piece("P1.01b", 0.0, 4000.0004, 8250.0, part=1, lap_mm=250.0),
        piece("P1.01c", 0.0, 8000.0, 9000.0, part=2),
        piece("P1.02a", 800.0, 0.0, 4150.0, strip=2, lap_mm=150.0),
        piece("P1.02b", 800.0, 4000.0, 8000.0, strip=2, part=1),
        piece("P1.03-2b", 1600.0, 5000.0, 8000.0, strip=3, run=2, part=1),
    )
    assert roofing._lap_lines((sheets(*parts), replace(sheets(), plane="P2"))) == (
        ("P1", 4000.0, 150.0), ("P1", 5000.0, 0.0), ("P1", 8000.0, 250.0)
    )  # fmt: skip


def test_words_at_the_feet_of_valleys(monkeypatch: pytest.MonkeyPatch) -> None:
    told = Finding("foot", Severity.NOTE, "past the eave")
    known = Finding("known", Severity.NOTE, "said before")
    asked: list[Any] = []
    answers = [(told,), ()]

    def feet(*given: Any) -> Any:
        asked.append(given)
        return answers.pop(0)

    monkeypatch.setattr(roofing, "foot_findings", feet)
    needs = (Need("purlins"), Need("flashings", findings=(known,)), Need("fixings"))
    measured = roofing._Roof(SimpleNamespace(), (), (), (), (), (), (), {}, needs, ())  # type: ignore[arg-type]
    house: Any = SimpleNamespace(job=SimpleNamespace(bare_edges={"main": (3, 4)}), in_place=("all",))
    main: Any = SimpleNamespace(name="main")
    found = roofing._with_feet(measured, main, "in place", house)  # type: ignore[arg-type]
    assert found == replace(measured, needs=(needs[0], Need("flashings", findings=(known, told)), needs[2]))
    assert roofing._with_feet(measured, SimpleNamespace(name="porch"), "in place", house) is measured  # type: ignore[arg-type]
    assert asked == [("in place", (3, 4), ("all",)), ("in place", (), ("all",))]


def test_the_pattern_of_screws_of_a_roof(monkeypatch: pytest.MonkeyPatch) -> None:
    """By the widest bay of its sheeted planes; of each plane its own roof's."""
    bays = {"P1": 900.0, "P2": 1200.0, "P3": 1800.0}
    monkeypatch.setattr(roofing, "widest_bay_of", lambda plane, lines, settings: bays[plane.id])
    monkeypatch.setattr(roofing, "wind_zone", lambda site, settings: ("high", None))
    monkeypatch.setattr(roofing, "roof_screws", lambda *given: given)
    settings: Any = SimpleNamespace(number={"sheet_bmt_mm": 0.4}.__getitem__, term=lambda name: name)
    house: Any = SimpleNamespace(settings=settings, job=SimpleNamespace(site=None), profile_of=lambda job: RIB)
    planes = [SimpleNamespace(id=name, covering=Covering.SHEETS) for name in ("P1", "P2")]
    planes.append(SimpleNamespace(id="P3", covering=Covering.OTHER))
    job: Any = SimpleNamespace(covering=SimpleNamespace(bmt_mm=None))
    found = roofing._roof_screws(SimpleNamespace(planes=planes), job, (), house)  # type: ignore[arg-type]
    assert found == (RIB, 0.4, 1200.0, "high", settings)
    assert roofing._roof_screws(SimpleNamespace(planes=planes[2:]), job, (), house)[2] == 0.0  # type: ignore[arg-type, index]
    one, two = RoofScrews(3, 2, "", ()), RoofScrews(4, 4, "", ())
    roofs: Any = [SimpleNamespace(screws={"P1": one, "P2": one}), SimpleNamespace(screws={"P9": two})]
    assert roofing._patterns(roofs) == {"P1": one, "P2": one, "P9": two}


def test_the_depth_of_the_purlins(monkeypatch: pytest.MonkeyPatch) -> None:
    """The second size of a section is its depth; supports as the job has them, else as set."""
    asked: list[float] = []

    def section(job: Any, supports: float, settings: Any) -> tuple[str, None]:
        asked.append(supports)
        return "70x45.5", None

    monkeypatch.setattr(roofing, "purlin_section", section)
    settings: Any = SimpleNamespace(
        number={"purlin_supports_mm": 900.0}.__getitem__, term=lambda name: name, unit=lambda name: "mm"
    )
    for given in (None, 1200.0):
        job: Any = SimpleNamespace(purlins=SimpleNamespace(supports_mm=given))
        assert roofing._timber_depth(job, settings) == 45.5
    assert asked == [900.0, 1200.0]
