"""Holes and clear sheets of all roofs of a job: who is asked for what, in which order, and what comes of it. By hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from made_up_holes import hole, plane, roof
from sheets_by_hand import piece, sheets

from takeoff.basics.errors import Fault
from takeoff.measure.roofing.openings import roof_openings
from takeoff.measure.roofing.openings.roof_openings import (
    Openings,
    clear_groups,
    clear_of,
    find_openings,
    holes_on,
    opening_need,
    sealed_edges_mm,
)
from takeoff.model.findings import Finding, Severity
from takeoff.model.measured import Need
from takeoff.model.openings import HoleInSheet
from takeoff.model.sheets import SheetGroup

TOLD = Finding("near", Severity.WARN, "near an edge")
ANY: Any = None


def test_holes_are_numbered_through_the_job(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two holes of the hall, so that the porch begins at 3, in the order of the roofs and not of the job; each by its own
    profile."""
    asked: list[Any] = []

    def holes(own: Any, job: Any, settings: Any, first: int) -> Any:
        asked.append((own.name, job.name, settings, first))
        return SimpleNamespace(
            holes=(f"hole {first}",), faults=(f"fault of {own.name}",), findings=(f"finding {first}",)
        )

    def spans(own: Any, lights: Any, cover: float) -> Any:
        asked.append((own.name, lights, cover))
        return (f"span of {own.name}",), (f"no place on {own.name}",)

    monkeypatch.setattr(roof_openings, "find_holes", holes)
    monkeypatch.setattr(roof_openings, "clear_spans", spans)

    def job(name: str, profile: str, *penetrations: str) -> Any:
        covering = SimpleNamespace(profile=profile)
        return SimpleNamespace(
            name=name, covering=covering, penetrations=penetrations, rooflight_sheets=f"lights of {name}"
        )

    whole: Any = SimpleNamespace(roofs=[job("porch", "rib", "c"), job("hall", "wavy", "a", "b"), job("shed", "rib")])
    roofs: Any = [SimpleNamespace(name=name) for name in ("hall", "porch", "shed")]
    profiles: Any = {"wavy": SimpleNamespace(cover_mm=762.0), "rib": SimpleNamespace(cover_mm=760.0)}
    found = find_openings(roofs, whole, "settings", profiles)  # type: ignore[arg-type]
    firsts = {"hall": 1, "porch": 3, "shed": 4}
    assert found == Openings(
        {name: (f"hole {first}",) for name, first in firsts.items()},  # type: ignore[misc]
        {name: (f"span of {name}",) for name in firsts},  # type: ignore[misc]
        {name: (f"finding {first}",) for name, first in firsts.items()},  # type: ignore[misc]
        tuple(text for name in firsts for text in (f"fault of {name}", f"no place on {name}")),
    )
    assert asked[::2] == [(name, name, "settings", first) for name, first in firsts.items()]
    assert asked[1::2] == [
        ("hall", "lights of hall", 762.0),
        ("porch", "lights of porch", 760.0),
        ("shed", "lights of shed", 760.0),
    ]


def test_holes_on_the_sheets_of_their_plane() -> None:
    """A hole of 100 by 200 about (3000, 2000) lies in the second of sheets from 2400 on, 550 to 650 from its left; the same
    place on another plane is clear."""
    low, high = piece("P1.04", 2400.0, 100.0, 4000.0), piece("P1.05", 3200.0, 100.0, 4000.0)
    clear = replace(sheets(replace(low, mark="P2.04", clear=True)), plane="P2")
    one = replace(hole(), centre_uv=(3000.0, 2000.0), length_mm=200.0)
    other = replace(one, id="X2", name="Flue", plane="P2")
    found, faults = holes_on([other, one], [sheets(low, high), clear])
    assert [(each.id, each.sheets) for each in found] == [
        ("X2", (HoleInSheet("P2.04", 550.0, 650.0, 1800.0, 2000.0),)),
        ("X1", (HoleInSheet("P1.04", 550.0, 650.0, 1800.0, 2000.0),)),
    ]
    assert [(str(fault), fault.path) for fault in faults if isinstance(fault, Fault)] == [
        ("roof main: penetration Flue lies in the clear sheet P2.04", ("roofs", "main", "penetrations"))
    ]


def test_what_is_needed_for_holes(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []
    needs: list[Need | None] = [Need("flashings", ("q",)), None]  # type: ignore[arg-type]

    def measured(*given: Any) -> Need | None:
        asked.append(given)
        return needs[bool(not given[1])]

    monkeypatch.setattr(roof_openings, "measure_hole_flashings", measured)
    own = roof(plane())
    told = Openings({}, {}, {"main": (TOLD,)}, ())
    silent = Openings({}, {}, {"main": ()}, ())
    found = [opening_need(own, openings, holes, "p", "s", "t") for holes in ((1,), ()) for openings in (told, silent)]  # type: ignore[arg-type]
    assert found == [
        (Need("flashings", ("q",), findings=(TOLD,)),),  # type: ignore[arg-type]
        (Need("flashings", ("q",)),),  # type: ignore[arg-type]
        (Need("flashings", findings=(TOLD,)),),
        (),
    ]
    assert asked == [(own, holes, "p", "s", "t") for holes in ((1,), (1,), (), ())]


def test_edges_that_are_sealed(monkeypatch: pytest.MonkeyPatch) -> None:
    """By the pitch of each hole's own plane; those without an edge are left out."""
    monkeypatch.setattr(roof_openings, "riveted_mm", lambda hole, profile, site, pitch, settings: hole.width_mm * pitch)
    own = roof(plane("P1"), replace(plane("P2"), pitch_deg=0.005))
    holes = [hole(plane="P2"), hole(plane="P1"), hole(plane="P1", width_mm=0.0)]
    assert sealed_edges_mm(own, holes, ANY, ANY, ANY) == (0.5, 6000.0)


def test_clear_sheets_are_an_order_of_their_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """Metal and clear of each plane; of each profile one group, in the order they come."""
    clear = piece("P1.02", 800.0, 0.0, 1000.0, clear=True)
    one, two = sheets(piece("P1.01", 0.0, 0.0, 1000.0), clear), sheets(piece("P1.01", 0.0, 0.0, 1000.0))
    metal, apart = clear_of([two, one])
    assert [len(each.pieces) for each in metal] == [1, 1]
    assert [(each.profile, each.pieces) for each in apart] == [("wavy_clear", (clear,))]
    ribbed, last = replace(apart[0], profile="rib_clear"), replace(apart[0], plane="P9")
    profiles: Any = {name: SimpleNamespace(id=name) for name in ("wavy", "rib")}
    monkeypatch.setattr(
        roof_openings, "clear_profile", lambda profile, settings: SimpleNamespace(id=f"{profile.id}_clear", of=settings)
    )
    groups = clear_groups([apart[0], ribbed, last], profiles, "settings")  # type: ignore[arg-type]
    made = [SimpleNamespace(id=f"{name}_clear", of="settings") for name in ("wavy", "rib")]
    assert groups == (
        SheetGroup(made[0], 0.0, "", (apart[0], last), clear=True),  # type: ignore[arg-type]
        SheetGroup(made[1], 0.0, "", (ribbed,), clear=True),  # type: ignore[arg-type]
    )
