"""Nails, staples, tape, mesh and clips of a roof; bounds of an order's size; measures of a roof; masses of items: by hand,
whole records. Steel 7.85 kg a square metre and millimetre (its density), the rest settings."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import replace
from math import cos, radians
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest

from takeoff.basics.errors import JobError, TakeoffError
from takeoff.measure import size_bounds
from takeoff.measure.item_book import flashing_mass, item_book, make_item, spare_of, standing_items, timber_mass
from takeoff.measure.other_codes import other_code_findings
from takeoff.measure.roof_measures import measure_roof
from takeoff.measure.size_bounds import check_size
from takeoff.measure.sundries import framing_nails, mesh_quantities, underlay_sundries, valley_clips
from takeoff.measure.terms import number_or, product_term, quantity, run_working, word_or
from takeoff.measure.wind import wind_zone, zone_finding
from takeoff.model.basis import SET_IN_JOB, Basis, Quantity, Status, Term, Working
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import ItemKind, Made, Mark, MarkKind, Mass, Trade
from takeoff.model.job.job import Job
from takeoff.model.job.site import Site
from takeoff.model.measured import FlashingRun, Need, PurlinLine
from takeoff.model.products import Catalogue
from takeoff.model.roof import Covering, Roof
from takeoff.model.runs import RunDemand
from takeoff.model.settings import Settings
from takeoff.model.walls import Elevation

sys.path.insert(0, str(Path(__file__).parent))

from own_tables import SEEN, rules, with_values

Build = Callable[..., Roof]


# --- sundries -------------------------------------------------------------------------------------------------------------


def line(
    role: str, plane: str, b: tuple[float, float] = (0.0, 3000.0), a: tuple[float, float] = (0.0, 0.0)
) -> PurlinLine:
    return PurlinLine("R", plane, role, 1, a, b)


def test_nails_of_outriggers_and_trimmers(settings: Settings, gable_roof: Build) -> None:
    """Two outriggers of six; a trimmer 3000 up at a gauge of 900 is four pieces, one down by 900.5 is one, one that is level
    too: 12 + 2 x 6 x 2 = 36, a tenth more are 39.6."""
    lines = (
        line("outrigger", "P1"), line("outrigger", "P2"), line("hip trimmer", "P2"), line("purlin", "P9"),
        line("hole trimmer", "P3", (500.0, 100.0), (0.0, 1000.5)), line("hole trimmer", "P1", (900.0, 0.0)),
    )  # fmt: skip
    terms = (Term("outriggers", 2, "each"), Term("pieces of trimmer between rows", 6, "each"))
    names = ("outrigger_nails", "trimmer_nails_an_end", "purlin_fixing_spare_percent")
    rule = "outriggers x nails + pieces of trimmer x 2 ends x nails, with spares"
    working = Working(rule, (*terms, *(settings.term(name) for name in names)))
    wanted = Quantity("main framing nails", "framing_nail", 40.0, "each", ("P1", "P2", "P3"), working)
    assert framing_nails(gable_roof(), lines, 900.0, settings) == (wanted,)
    assert framing_nails(gable_roof(), (line("purlin", "P1"),), 900.0, settings) == ()
    assert framing_nails(gable_roof(), lines[:1], 900.0, settings)[0].figure == 7.0  # 6.6
    # from 5000 up to 6800 two pieces of 900; one nail is told; ten and a tenth are eleven, not a crumb more
    far = (line("hole trimmer", "P1", (0.0, 6800.0), (0.0, 5000.0)),)
    single = with_values(settings, outrigger_nails=1, trimmer_nails_an_end=1, purlin_fixing_spare_percent=0)
    assert framing_nails(gable_roof(), far, 900.0, single)[0].figure == 4.0
    assert framing_nails(gable_roof(), lines[:1], 900.0, single)[0].figure == 1.0
    tenth = with_values(single, purlin_fixing_spare_percent=10)
    assert framing_nails(gable_roof(), lines[:1] * 10, 900.0, tenth)[0].figure == 11.0
    exact = with_values(settings, purlin_fixing_spare_percent=0)
    assert framing_nails(gable_roof(), lines[:1], 900.0, exact)[0].figure == 6.0


def test_staples_and_tape_of_underlay(settings: Settings) -> None:
    """10.05 m2 at 6 a m2 are 60.3; tape over 2.5 m of end laps, with the side laps 9.5."""
    refs = ("P1", "P2")
    staples = Quantity(
        "underlay staples", "underlay_staple", 61.0, "each", refs,
        Working("true area x staples a m2", (Term("true area", 10.05, "m2"), settings.term("underlay_staples_m2"))),
    )  # fmt: skip

    def tape(figure: float, by: Settings) -> Quantity:
        terms = (
            Term("end laps and both sides of valley strips", 2.5, "m"),
            Term("side laps", 7.0, "m"),
            by.term("underlay_tape_side_laps"),
        )
        return Quantity(
            "underlay tape",
            "underlay_tape",
            figure,
            "m",
            refs,
            Working("end laps and valley strips, side laps where set", terms),
        )

    assert underlay_sundries(10.05, 2500.0, 7000.0, refs, settings) == (staples, tape(2.5, settings))
    sides = with_values(settings, underlay_tape_side_laps=True)
    assert underlay_sundries(10.05, 2500.0, 7000.0, refs, sides) == (staples, tape(9.5, sides))
    assert underlay_sundries(0.0, 0.0, 7000.0, refs, settings) == ()
    assert [each.id for each in underlay_sundries(0.0, 0.1, 0.0, refs, settings)] == ["underlay tape"]
    assert [
        each.id for each in underlay_sundries(1.0, 9.0, 0.0, refs, with_values(settings, underlay_tape_roll_m=0))
    ] == ["underlay staples"]
    assert underlay_sundries(10.0, 0.0, 0.0, refs, settings)[0].figure == 60.0
    # told to a thousandth; 0.07 x 100 are seven, not a crumb of floating point more; a roll of a metre is one
    crumb = with_values(settings, underlay_staples_m2=100, underlay_tape_roll_m=1)
    staples, tape_ = underlay_sundries(0.07, 2500.6789, 7000.1234, refs, crumb)
    assert (staples.figure, tape_.figure) == (7.0, pytest.approx(2.5006789))
    assert [term.value for term in tape_.working.terms[:2]] == [2.501, 7.0]
    assert underlay_sundries(10.05678, 0.0, 0.0, refs, settings)[0].working.terms[0].value == 10.057


def test_safety_mesh(settings: Settings) -> None:
    """33 m2 of rolls 1800 wide that lap 150: 33 x 1800 / 1650 = 36; staples 4 a m2 are 132."""
    refs, sheet = ("P1",), Term("true area of sheeted planes", 33.0, "m2")
    names = ("safety_mesh", "safety_mesh_width_mm", "safety_mesh_lap_mm")
    rule = "true area x width / (width - side lap)"
    mesh = Quantity(
        "safety mesh",
        "safety_mesh",
        pytest.approx(36.0),
        "m2",
        refs,
        Working(rule, (sheet, *(settings.term(n) for n in names))),
    )  # type: ignore[arg-type]
    held = Working("true area x staples a m2", (sheet, settings.term("mesh_staples_m2")))
    assert mesh_quantities(33.0, refs, settings) == (
        mesh,
        Quantity("mesh staples", "mesh_staple", 132.0, "each", refs, held),
    )
    assert mesh_quantities(33.1, refs, settings)[1].figure == 133.0
    assert [each.id for each in mesh_quantities(33.0, refs, with_values(settings, mesh_staples_m2=0))] == [
        "safety mesh"
    ]
    assert mesh_quantities(33.0, refs, with_values(settings, safety_mesh=False)) == ()


def test_clips_of_valley_trays(settings: Settings, gable_roof: Build) -> None:
    """Trays of 3000 and 3000.6 at 600: 2 x 6 and 2 x 7; one of 100 has four."""

    def run(edge: str, net: float, kind: EdgeKind = EdgeKind.VALLEY) -> FlashingRun:
        return FlashingRun("F", edge, kind, "v", net, 0.0, 0.0, 500.0, 4, 180.0, "", Working(""))

    working = Working("both edges of each tray: ceil(length / spacing) + 1", (settings.term("valley_clip_spacing_mm"),))
    wanted = Quantity("main valley clips", "valley_clip", 30.0, "each", ("E1", "E2", "E4"), working)
    runs = (run("E1", 3000.0), run("E2", 3000.6), run("E3", 9000.0, EdgeKind.HIP), run("E4", 100.0))
    assert valley_clips(gable_roof(), runs, settings) == (wanted,)
    assert valley_clips(gable_roof(), runs[2:3], settings) == ()


# --- bounds ---------------------------------------------------------------------------------------------------------------


def sized(
    roof: Roof,
    settings: Settings,
    catalogue: Catalogue,
    standing: tuple[tuple[float, float], ...] = (),
    **given: object,
) -> list[str]:
    """Faults of a roof and of walls (so wide, so high) in a job."""
    ring = {"outline": [[0, 0], [1000, 0], [1000, 1000]], "pitch_deg": 20, "name": "main"}
    job = Job.model_validate_json(json.dumps({"job": "x", "roofs": [ring], **given}))
    found = [cast(Elevation, SimpleNamespace(width_mm=wide, height_mm=high, base_mm=-50.0)) for wide, high in standing]
    try:
        check_size((roof,), found, job, settings, catalogue)
    except JobError as error:
        return list(error.faults)
    return []


def words(figure: str, what: str, most: str) -> str:
    return (
        f"the order would hold some {figure} {what}, more than the {most} of one job; is a size or a cover mistyped? else"
        " split the job into several"
    )


def test_how_much_one_order_may_hold(
    settings: Settings, catalogue: Catalogue, gable_roof: Build, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A gable of 10 x 8 m at 20 degrees in corrugate of 762: 14 strips a slope of 4257; purlins at 900 are 10 x 4.257 x 2 /
    0.9 = 94.6 m, in pieces of 6 m sixteen. A wall of 6 x 2.4 m in boards of 155 or, narrower, of 110."""
    roof = gable_roof(10_000.0, 8000.0, 20.0)
    assert catalogue.profiles["corrugated"].cover_mm == 762
    spaced = with_values(settings, purlin_spacing_mm=900)
    slope = 4000.0 / cos(radians(20))
    assert sized(roof, spaced, catalogue) == []

    def bound(name: str, figure: float, **more: object) -> list[str]:
        with monkeypatch.context() as patch:
            patch.setattr(size_bounds, name, figure)
            return sized(roof, spaced, catalogue, **more)  # type: ignore[arg-type]

    assert (bound("MOST_PLANES", 2), bound("MOST_PLANES", 1)) == ([], [words("2", "planes", "1")])
    assert (bound("MOST_SHEETS", 28), bound("MOST_SHEETS", 27)) == ([], [words("28", "sheets", "27")])
    site = {"longest_piece_mm": 2000}
    assert bound("MOST_SHEETS", 83, site=site) == [words("84", "sheets", "83")]  # lapped twice
    metres = 2 * 10 * slope / 900
    assert bound("MOST_ROWS_M", metres + 0.001) == []
    assert bound("MOST_ROWS_M", metres - 0.001) == [words("95", "metres of purlins", "95")]
    assert bound("MOST_ROWS_M", 60, purlins={"spacing_mm": 600}) == [words("142", "metres of purlins", "60")]
    assert (bound("MOST_DRAWN", 16), bound("MOST_DRAWN", 15)) == ([], [words("16", "pieces on one drawing", "15")])
    walls = {"height_mm": 2400, "zones": [{"board": "bevel_187", "walls": [1]}, {"board": "bevel_142", "walls": [2]}]}
    two = ((6000.0, 2350.0), (3000.0, 2350.0))
    with monkeypatch.context() as patch:
        patch.setattr(size_bounds, "MOST_BOARDS_M", 9 * 2400 / 110)
        assert sized(roof, spaced, catalogue, two, walls=walls) == []
        patch.setattr(size_bounds, "MOST_BOARDS_M", 9 * 2400 / 110 - 1)
        assert sized(roof, spaced, catalogue, two, walls=walls) == [words("196", "metres of boards", "195")]
        patch.setattr(size_bounds, "MOST_BOARDS_M", 9e9)
        patch.setattr(size_bounds, "MOST_DRAWN", 21)
        # 6 x 2400 / 110 are 130.9 m, 22 pieces
        assert sized(roof, spaced, catalogue, two, walls=walls) == [words("22", "pieces on one drawing", "21")]  # type: ignore[arg-type]
        own = {"height_mm": 2400, "zones": [{"board": {"width_mm": 90, "cover_mm": 80}}]}
        assert sized(roof, spaced, catalogue, ((6000.0, 2350.0),), walls=own) == [
            words("30", "pieces on one drawing", "21")
        ]
        bare = {"height_mm": 2400, "zones": []}
        assert sized(roof, spaced, catalogue, ((6000.0, 2350.0),), walls=bare) == [
            words("24", "pieces on one drawing", "21")
        ]
        assert sized(roof, spaced, catalogue, ((6000.0, 2350.0),)) == []
    level = replace(
        roof,
        planes=tuple(
            replace(plane, covering=next(c for c in Covering if c is not Covering.SHEETS)) for plane in roof.planes
        ),
    )
    with monkeypatch.context() as patch:
        patch.setattr(size_bounds, "MOST_SHEETS", 0)
        assert sized(level, spaced, catalogue) == []
    assert (size_bounds.MOST_PLANES, size_bounds.MOST_SHEETS, size_bounds.MOST_DRAWN) == (1000, 8000, 6000)
    assert (size_bounds.MOST_ROWS_M, size_bounds.MOST_BOARDS_M) == (60_000.0, 100_000.0)


# --- measures -------------------------------------------------------------------------------------------------------------


def test_measures_of_a_lean_to(lean_to: Build) -> None:
    """6 x 3 m at 10 degrees, with its two uprights of 2.5 and 1.5 m2: every figure with its working."""
    roof = lean_to(6000.0, 3000.0, 10.0)
    uprights = tuple(replace(face, area_mm2=area) for face, area in zip(roof.uprights, (2.5e6, 1.5e6), strict=True))
    found = {each.id: each for each in measure_roof(replace(roof, uprights=uprights))}
    by = Basis(Status.DERIVED, "measured on the roof's shape")
    slope = 3.0 / cos(radians(10))

    def term(name: str, value: float, unit: str, ref: str) -> Term:
        return Term(name, pytest.approx(value), unit, by, ref)  # type: ignore[arg-type]

    def row(name: str, item: str, value: float, unit: str, refs: tuple[str, ...], rule: str, *terms: Term) -> Quantity:
        return Quantity(name, item, pytest.approx(value), unit, refs, Working(rule, terms))  # type: ignore[arg-type]

    plan, pitch = term("plan area", 18.0, "m2", "P1"), term("pitch", 10.0, "degrees", "P1")
    faces = "sum over the faces"
    wanted = [
        row("area.P1", "roof plane P1, true area", 6 * slope, "m2", ("P1",), "plan area / cos(pitch)", plan, pitch),
        row("plan_area.P1", "roof plane P1, plan area", 18.0, "m2", ("P1",), "area inside the plane's border, in plan", plan),
        row("pitch.P1", "roof plane P1, pitch", 10.0, "degrees", ("P1",), "pitch of the plane", pitch),
        row("area.main", "roof main, true area", 6 * slope, "m2", ("P1",), faces, term("area of P1", 6 * slope, "m2", "P1")),
        row("plan_area.main", "roof main, plan area", 18.0, "m2", ("P1",), faces, term("plan area of P1", 18.0, "m2", "P1")),
        row(
            "upright_area.main", "roof main, upright faces", 4.0, "m2", ("W1", "W2"), faces,
            term("area of W1", 2.5, "m2", "W1"), term("area of W2", 1.5, "m2", "W2"),
        ),
        *(
            row(f"{key}.main.{kind.value.replace(' ', '_')}", f"roof main, {kind}, {says}", long, "m", (edge,),
                f"sum over the {kind} edges", term(f"{of} of {edge}", long, "m", edge))
            for kind, edge, true, flat in (
                (EdgeKind.EAVE, "E1", 6.0, 6.0), (EdgeKind.VERGE, "E4", slope, 3.0),
                (EdgeKind.APRON_SIDE, "E2", slope, 3.0), (EdgeKind.APRON_HEAD, "E3", 6.0, 6.0),
            )
            for key, says, of, long in (("length", "true length", "length", true), ("plan_length", "plan length", "plan length", flat))
        ),
    ]  # fmt: skip
    assert set(found) == {each.id for each in wanted}
    assert [found[each.id] for each in wanted] == wanted


# --- items ----------------------------------------------------------------------------------------------------------------


def test_masses_of_a_metre(settings: Settings) -> None:
    """300 of girth at 0.55: 0.3 x (0.55 x 7.85 + 0.15); 90 x 45 at 500 kg a cubic metre: 2.025."""
    own = with_values(settings, flashing_bmt_mm=0.55)
    names = ("flashing_bmt_mm", "steel_kg_per_m2_mm", "coating_kg_per_m2")
    terms = (Term("girth", 300.0, "mm"), *(own.term(name) for name in names))
    assert flashing_mass(300.0, own) == Mass(pytest.approx(1.34025), terms)  # type: ignore[arg-type]
    section = (Term("section", "90 x 45", "mm x mm"), settings.term("timber_kg_per_m3"))
    assert timber_mass(90.0, 45.0, settings) == Mass(pytest.approx(2.025), section)  # type: ignore[arg-type]


def test_items_with_their_masses(settings: Settings, catalogue: Catalogue) -> None:
    """A timber of the catalogue, one of a size, a board by width and thickness, a flashing by its girth; what has no known
    section has none."""

    def mass(of: str, product: str = "", *marks: Mark) -> float | None:
        made = make_item(Made("x", of, marks, product), Trade.ROOFING, catalogue, settings).mass
        return made.kg_per_m if made is not None else None

    sorts: dict[ItemKind, list[str]] = {}
    for name, row in catalogue.items.items():
        sorts.setdefault(row.kind, []).append(name)
    timber, board, flashing = (sorts[kind][0] for kind in (ItemKind.TIMBER, ItemKind.BOARD, ItemKind.FLASHING))
    assert mass(timber, "nog_90x45") == pytest.approx(2.025)
    assert mass(timber, "", Mark(MarkKind.SIZE, (180.0, 20.0))) == pytest.approx(1.8)
    assert mass(timber, "", Mark(MarkKind.LONG, 5.0)) is None
    assert mass(board, "bevel_187") == pytest.approx(187 * 18 * 500 / 1e6)
    assert mass(board, "none such") is None
    assert mass(flashing, "", Mark(MarkKind.GIRTH, 400.0)) == pytest.approx(flashing_mass(400.0, settings).kg_per_m)
    assert mass(flashing) is None
    with pytest.raises(TakeoffError, match=r"^catalogue/items\.yaml has no nonsense$"):
        mass("nonsense")


def test_the_book_of_items(settings: Settings, catalogue: Catalogue) -> None:
    """By id, whoever asks; an item that nobody makes is a fault of ours."""
    fascia = Made("my fascia", "fascia board", (Mark(MarkKind.SIZE, (180.0, 20.0)),))
    asked = Need(
        "rainwater",
        (Quantity("q", "Gutter bracket", 1.0, "each", (), Working("")),),
        (RunDemand("F1", "my fascia", 9.0),),
        items=(fascia,),
    )
    book = item_book((asked,), (), catalogue, settings)
    assert list(book) == ["Gutter bracket", "my fascia"]
    assert (book["my fascia"].trade, book["my fascia"].sort) == (Trade.RAINWATER, "fascia board")
    with pytest.raises(TakeoffError, match=r"^cladding: nothing in the catalogue makes the item no such$"):
        item_book((Need("cladding", (), (RunDemand("X", "no such", 9.0),)),), (), catalogue, settings)
    sheet = book["my fascia"]
    assert (spare_of(sheet).id, spare_of(sheet).kind, spare_of(sheet).spare_of) == (
        "spare my fascia",
        ItemKind.SPARE_SHEET,
        "my fascia",
    )
    standing = standing_items(catalogue)
    assert standing["nog_90x45"] == Made("nog_90x45", "timber", (Mark(MarkKind.CALLED, "nog 90 x 45"),), "nog_90x45")
    assert standing["Gutter bracket"] == Made("Gutter bracket", "Gutter bracket")


# --- words ----------------------------------------------------------------------------------------------------------------


def test_values_of_the_job_before_settings(settings: Settings) -> None:
    assert number_or(None, settings, "stud_mm") == (600.0, settings.term("stud_mm"))
    assert number_or(450.0, settings, "stud_mm") == (450.0, Term("stud_mm", 450.0, "mm", SET_IN_JOB))
    assert word_or(None, settings, "fascia_kind") == ("by_gutter", settings.term("fascia_kind"))
    assert word_or("none", settings, "fascia_kind") == ("none", Term("fascia_kind", "none", "word", SET_IN_JOB))
    assert run_working("r", 5.0, "E1", Term("t", 1, "mm")) == Working(
        "r", (Term("length", 5.0, "mm", ref="E1"), Term("t", 1, "mm"))
    )
    assert quantity("n", "i", 2.0, "m", ("E1",), "r", Term("t", 1, "mm")) == Quantity(
        "n", "i", 2.0, "m", ("E1",), Working("r", (Term("t", 1, "mm"),))
    )
    product = SimpleNamespace(basis={"*": SEEN})
    assert product_term(product, "width_mm", 5.0, "mm") == Term("width_mm", 5.0, "mm", SEEN)  # type: ignore[arg-type]


def test_the_wind_zone_that_was_taken(settings: Settings) -> None:
    own = with_values(settings, rules(), wind_zone_if_not_given="very_high")
    assert wind_zone(Site(wind_zone="low"), own) == ("low", Term("wind zone", "low", "", SET_IN_JOB))
    assert wind_zone(Site(), own) == ("very_high", own.term("wind_zone_if_not_given"))
    text = "The job gives no wind zone: very high was taken for screws, purlin fixings and flashing cover."
    advice = "Add to the job: `site: {wind_zone: very_high}` (one of low, very_high, extra_high)."
    assert zone_finding(Site(), own) == (Finding("wind-zone-not-given", Severity.WARN, text, advice),)
    none = with_values(own, replace(own.rules, zones=()))
    assert zone_finding(Site(), none)[0].advice == "Add to the job: `site: {wind_zone: very_high}`."
    assert zone_finding(Site(wind_zone="low"), own) == ()


def test_values_of_another_country_are_told_with_their_sources(settings: Settings) -> None:
    found = other_code_findings(settings, ["gutter_length_per_outlet_mm", "stud_mm", "screws_end"])
    sources = [settings.values[name].basis.source for name in ("gutter_length_per_outlet_mm", "screws_end")]
    text = f"2 values are another country's, taken where the code of {settings.rules.name} is silent; the sheet Basis marks each."
    (told,) = found
    assert (told.code, told.severity, told.text, told.advice) == (
        "value-of-another-code",
        Severity.NOTE,
        text,
        "Check them against the local code.",
    )
    assert sorted(told.source.split("; ")) == sorted(sources)
    assert other_code_findings(settings, ["stud_mm"]) == ()
