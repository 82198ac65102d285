"""Which section an edge needs, how far it covers, where it is lapped from and what it is bought in: by hand, every setting
another. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin
from types import SimpleNamespace
from typing import Any

import pytest

from takeoff.measure.roofing.flashings import flashing_cover, flashings
from takeoff.measure.roofing.flashings.flashing_cover import Cover, cover_category, flashing_row, pitch_band
from takeoff.measure.roofing.flashings.flashing_shapes import SHAPES, Wanted
from takeoff.measure.roofing.flashings.flashings import _cover_findings, _demand, _lap_from, _stock, _stock_mm
from takeoff.measure.roofing.flashings.fold_sections import (
    Edging,
    apron,
    barge,
    cap,
    head_cap,
    lining,
    pitch_change,
    tray,
)
from takeoff.model.basis import SET_IN_JOB, Basis, Status, Term, Working
from takeoff.model.code_rules import ValleyRow
from takeoff.model.edge_kinds import EdgeKind
from takeoff.model.findings import Finding, Severity
from takeoff.model.products import Profile, ProfileKind
from takeoff.model.roof import RoofEdge
from takeoff.model.runs import AlongBought, RunDemand, StockChoice

SEEN = Basis(Status.SEEN, "a book", "a clause")
RIB = Profile("rib", "Rib", ProfileKind.TRAPEZOIDAL, 760.0, 800.0, 190.0, 29.0, False, 940.0, {0.4: 4.0}, {"*": SEEN})
WAVE = replace(RIB, id="wave", kind=ProfileKind.CORRUGATED, rib_pitch_mm=76.0, depth_mm=18.0)
VALUES: dict[str, Any] = {
    "flashing_edge_mm": 20.0, "flashing_hem_mm": 10.0, "flashing_kick_mm": 15.0, "valley_return_mm": 25.0, "ridge_gap_mm": 60.0,
    "hip_trim_mm": 27.0, "flashing_cover_b_mm": 130.0, "flashing_cover_c_mm": 200.0, "valley_gap_mm": 52.0, "valley_cover_mm": 81.0,
    "flashing_crests_b": 2.0, "flashing_ribs_b": 1.0, "flashing_turn_down_smooth_b_mm": 53.0, "verge_trim_mm": 3.0,
    "flashing_upstand_profiled_b_mm": 75.0, "flashing_upstand_smooth_b_mm": 115.0, "flashing_upstand_profiled_c_mm": 90.0,
    "flashing_upstand_smooth_c_mm": 140.0, "apron_head_trim_mm": 26.0, "apron_side_trim_mm": 4.0, "head_trim_mm": 5.0,
    "pitch_change_under_mm": 28.0, "pitch_change_up_mm": 101.0, "internal_gutter_width_mm": 301.0, "internal_gutter_depth_mm": 102.0,
    "internal_gutter_flange_mm": 61.0, "flashing_wall_profiled": True, "flashing_category": "by_zone", "square_to_wind_deg": 1.0,
    "flashing_length_mm": 0.0, "flashing_lap_mm": 150.0, "flashing_least_piece_mm": 300.0,
    "flashing_row_b_8_15_mm": 90.0, "flashing_row_b_15_30_mm": 110.0, "flashing_row_b_30_45_mm": 120.0,
}  # fmt: skip
EDGING = Edging(20.0, 10.0, 15.0, 25.0)
COVER = Cover("b", Term("cover category", "B", ""))


def term(name: str, value: Any = None) -> Term:
    return Term(name, VALUES.get(name) if value is None else value, "")


def settings(valleys: Any = (), rules: Any = None, **more: Any) -> Any:
    known = VALUES | more
    return SimpleNamespace(
        number=known.__getitem__, word=known.__getitem__, flag=known.__getitem__, term=lambda name: Term(name, known[name], ""),
        rules=rules or SimpleNamespace(valleys=valleys), basis=lambda name: SimpleNamespace(words=lambda: f"source of {name}"),
    )  # fmt: skip


def edge(between: float = 130.0, convex: bool = True) -> RoofEdge:
    ends = (0.0, 0.0, 0.0), (5000.0, 0.0, 0.0)
    return RoofEdge("X1", "main", EdgeKind.RIDGE, "N1", "N2", *ends, ("P1",), 5000.0, 5000.0, 0.0, between, convex)


def wanted(
    profile: Profile = WAVE, *, own: Any = None, of: RoofEdge | None = None, category: str = "b", rain: float = 100.0
) -> Wanted:
    return Wanted(of or edge(), (25.0, 40.0), replace(COVER, category=category), profile, own or settings(), rain)


def shaped(kind: EdgeKind, **more: Any) -> Any:
    return SHAPES[kind](wanted(**more))


def shared(*names: str) -> tuple[Term, ...]:
    return (COVER.term, *(term(name) for name in (*names, "flashing_edge_mm", "flashing_hem_mm")))


def test_caps_of_ridges_and_hips() -> None:
    """Half the gap of 60 and 130 of cover; 27 back from a hip and 130."""
    ridge, hip = shaped(EdgeKind.RIDGE), shaped(EdgeKind.HIP)
    assert (ridge.bent, ridge.angle_deg, ridge.soft_edges, ridge.hand, ridge.way) == (
        cap(160.0, 130.0, EDGING),
        130.0,
        2,
        "",
        "",
    )
    assert ridge.terms == shared("ridge_gap_mm", "flashing_cover_b_mm")
    assert (hip.bent, hip.terms) == (cap(157.0, 130.0, EDGING), shared("hip_trim_mm", "flashing_cover_b_mm"))


def test_trays_of_valleys() -> None:
    """26 of gap and 81 of cover a side; a code's own table may ask for more between the returns: 300 / 2 - 25 = 125 a side."""
    names = ("valley_gap_mm", "valley_cover_mm", "valley_return_mm")
    plain = shaped(EdgeKind.VALLEY)
    assert (plain.bent, plain.terms) == (tray(107.0, 130.0, EDGING), shared(*names))

    def row(to: float, wide: float) -> ValleyRow:
        known: Any = dict.fromkeys(ValleyRow.__dataclass_fields__, 0.0)
        return ValleyRow(**known | {"to_mm_per_h": to, "width_mm": wide, "basis": SEEN})

    rows = (row(100.0, 240.0), row(150.0, 300.0), row(200.0, 310.0))
    for rain, wing, width in (
        (100.0, 107.0, 240.0),
        (100.1, 125.0, 300.0),
        (150.1, 130.0, 310.0),
        (900.0, 130.0, 310.0),
    ):
        found = shaped(EdgeKind.VALLEY, own=settings(rows), rain=rain)
        least = Term("least width of the sheet", width, "mm", SEEN)
        assert (found.bent, found.terms) == (tray(wing, 130.0, EDGING), (*shared(*names), least))


@pytest.mark.parametrize(
    ("profile", "wide", "deep", "name"),
    [(WAVE, 152.0, 18.0, "flashing_crests_b"), (RIB, 190.0, 29.0, "flashing_ribs_b")],
)
def test_flashings_along_the_sheets(profile: Profile, wide: float, deep: float, name: str) -> None:
    """Over two crests or one rib; a face as deep as the profile and 53 more."""
    over = (term(name), Term("rib_pitch_mm", profile.rib_pitch_mm, "mm", SEEN))
    down = (Term("depth_mm", deep, "mm", SEEN), term("flashing_turn_down_smooth_b_mm"))
    verge = shaped(EdgeKind.VERGE, profile=profile)
    assert (verge.bent, verge.angle_deg, verge.hand, verge.soft_edges) == (
        barge(wide + 3.0, deep + 53.0, EDGING),
        90.0,
        "right",
        0,
    )
    assert verge.terms == (*shared("verge_trim_mm", "flashing_kick_mm"), *over, *down)
    side = shaped(EdgeKind.APRON_SIDE, profile=profile)
    assert (side.bent, side.angle_deg, side.hand) == (apron(75.0, 10.0, wide + 4.0, 90.0, EDGING), 90.0, "left")
    assert side.terms == (*shared("apron_side_trim_mm"), *over, term("flashing_upstand_profiled_b_mm"))
    head = shaped(EdgeKind.HEAD, profile=profile)
    assert (head.bent, head.angle_deg, head.soft_edges) == (head_cap(135.0, deep + 53.0, 25.0, EDGING), 65.0, 1)
    assert head.terms == (*shared("head_trim_mm", "flashing_cover_b_mm", "flashing_kick_mm"), *down)


@pytest.mark.parametrize(
    ("profiled", "category", "upstand", "hem", "cover"),
    [(True, "b", 75.0, 10.0, 130.0), (False, "b", 115.0, 10.0, 130.0), (True, "c", 90.0, 0.0, 200.0), (False, "c", 140.0, 10.0, 200.0)],
)  # fmt: skip
def test_aprons(profiled: bool, category: str, upstand: float, hem: float, cover: float) -> None:
    """The wall stands plumb, the roof falls away at 25: 115 between them; no hem on a profiled upstand of category C."""
    found = shaped(EdgeKind.APRON_HEAD, own=settings(flashing_wall_profiled=profiled), category=category)
    assert (found.bent, found.angle_deg, found.soft_edges) == (
        apron(upstand, hem, 26.0 + cover, 115.0, EDGING),
        115.0,
        1,
    )
    wall = f"flashing_upstand_{'profiled' if profiled else 'smooth'}_{category}_mm"
    assert found.terms == (*shared("apron_head_trim_mm", f"flashing_cover_{category}_mm"), term(wall))


def test_changes_of_pitch_and_linings() -> None:
    """Hollow, from 40 down to 25: it flattens by 15; convex, from 25 down to 40, it steepens."""
    names = ("pitch_change_up_mm", "pitch_change_under_mm", "flashing_cover_b_mm")
    for convex, upper, bend, way in ((False, 40.0, 15.0, "hollow"), (True, 25.0, -15.0, "convex")):
        found = shaped(EdgeKind.PITCH_CHANGE, of=edge(165.0, convex))
        assert (found.bent, found.angle_deg, found.way) == (pitch_change(101.0, 158.0, upper, bend, EDGING), 165.0, way)
        assert (found.terms, found.soft_edges) == ((*shared(*names), Term("steeper pitch", 40.0, "deg")), 1)
    gutter = shaped(EdgeKind.INTERNAL_GUTTER)
    names = ("internal_gutter_width_mm", "internal_gutter_depth_mm", "internal_gutter_flange_mm")
    assert (gutter.bent, gutter.angle_deg, gutter.terms) == (lining(301.0, 102.0, 61.0), 90.0, tuple(map(term, names)))


def rows(*covers: tuple[str, float, float]) -> Any:
    found = [
        SimpleNamespace(category=name, zones=("high",), from_deg=low, below_deg=high, basis=SEEN)
        for name, low, high in covers
    ]
    return SimpleNamespace(covers=found, silent=None, name="the code")


@pytest.fixture
def zones(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(flashing_cover, "zone_in", lambda rules, zone, settings: zone if zone == "high" else None)


@pytest.mark.usefixtures("zones")
def test_the_category_of_a_cover() -> None:
    """From its pitch on, below its end; the wider of two, with a doubt."""
    own = settings(rules=rows(("a", 10.0, 20.0), ("c", 18.0, 30.0), ("b", 18.0, 19.0)))
    for pitch, category in ((10.0, "a"), (17.999, "a"), (18.0, "c"), (20.0, "c"), (29.999, "c")):
        found = cover_category("high", pitch, own)
        assert (found.category, found.term) == (
            category,
            Term("cover category", category.upper(), "", SEEN, flashing_cover.zone_words("high")),
        )
    words = flashing_cover.zone_words("high")
    doubts = {pitch: cover_category("high", pitch, own).doubt for pitch in (17.0, 18.5, 19.5, 25.0)}
    stands = f"{words} wind at {{}} degrees stands under categories"
    assert doubts == {17.0: "", 18.5: f"{stands.format(18)} A and B and C: the wider cover C was taken",
                      19.5: f"{stands.format(20)} A and C: the wider cover C was taken", 25.0: ""}  # fmt: skip
    none = f"no table gives a category for {words} wind: B was taken"
    for pitch in (9.9, 30.0):
        assert cover_category("high", pitch, own) == Cover("b", term("flashing_category"), none)
    fixed = settings(flashing_category="c")
    assert cover_category("high", 20.0, fixed) == Cover("c", term("flashing_category", "c"))
    beyond = cover_category("extra", 20.0, own)
    assert (beyond.category, beyond.doubt) == (
        "c",
        f"{flashing_cover.zone_words('extra')} wind is beyond the table of the code: the widest cover, C, was taken",
    )
    # a code without a table reads the one that serves
    silent = SimpleNamespace(covers=[], silent=rows(("a", 0.0, 90.0)), name="other")
    assert cover_category("high", 20.0, settings(rules=silent)).category == "a"


def test_bands_of_pitch() -> None:
    limit = "{:g} degrees is the limit of two bands: the lower band was taken"
    outside = "{:g} degrees is outside the table of 8 to 45 degrees: the nearest band was taken"
    rows_ = {8.0: ("8_15", ""), 7.9: ("8_15", outside), 14.9: ("8_15", ""), 15.0: ("8_15", limit), 15.1: ("15_30", ""), 30.0: ("15_30", limit),
             30.1: ("30_45", ""), 45.0: ("30_45", ""), 45.1: ("30_45", outside)}  # fmt: skip
    assert {pitch: pitch_band(pitch) for pitch in rows_} == {
        pitch: (band, words.format(pitch)) for pitch, (band, words) in rows_.items()
    }
    found = flashing_row("high", 20.0, settings(flashing_category="b"))
    assert found == (
        110.0,
        (term("flashing_category", "b"), Term("pitch", 20.0, "deg"), term("flashing_row_b_15_30_mm")),
        "",
    )


def ground(lee: str = "east", north: float = 0.0, longest: float | None = None, **more: Any) -> Any:
    return SimpleNamespace(
        lee=lee, north_deg=north, settings=settings(**more), site=SimpleNamespace(longest_piece_mm=longest)
    )


def test_where_a_level_flashing_is_lapped_from() -> None:
    """The lee end in the east of a line that runs east or west; of one that runs north the left end of its first plane."""

    def line(turn: float) -> RoofEdge:
        return replace(edge(), b_mm=(5000.0 * cos(radians(turn)), 5000.0 * sin(radians(turn)), 0.0))

    first: Any = SimpleNamespace(frame=SimpleNamespace(u=(0.0, -1.0, 0.0)))
    for turn, words in ((0.0, "the lee end (east)"), (180.0, "the lee end (east)"), (45.0, "the lee end (north-east)"),
                        (225.0, "the lee end (north-east)"), (-45.0, "the lee end (south-east)"),
                        (90.0, "the north end (square to the wind: no lee end)"), (88.9, "the lee end (north)")):  # fmt: skip
        assert _lap_from(ground(), line(turn), first) == words
    assert _lap_from(ground(north=90.0), line(90.0), first) == "the lee end (east)"
    assert _lap_from(ground("west"), line(0.0), first) == "the lee end (west)"


def test_what_flashings_are_bought_in() -> None:
    product: Any = SimpleNamespace(stock_mm=6000, basis={"*": SEEN})
    own = Term("stock_mm", 6000, "mm", SEEN)
    site = Term("longest_piece_mm", 4800.0, "mm", SET_IN_JOB)
    assert _stock_mm(ground(), product) == (6000, own)
    assert _stock_mm(ground(flashing_length_mm=7500.0), product) == (7500, term("flashing_length_mm", 7500.0))
    assert _stock_mm(ground(longest=4800.0), product) == (4800, site)
    assert _stock_mm(ground(longest=6000.0), product) == (6000, own)
    run: Any = SimpleNamespace(run="FX1", item="cap", net_mm=5000.0, dress_a_mm=75.0, dress_b_mm=150.0, edge="X1", working=Working("w"),
                               stock_mm=6000, section=SimpleNamespace(soft_edges=2))  # fmt: skip
    assert _demand(run, settings()) == RunDemand(
        "FX1", "cap", 5225.0, None, 150.0, 300.0, refs=("X1",), working=Working("w")
    )
    assert _stock(run) == StockChoice("cap", (6000,), along=(AlongBought("soft_edge", 2),))
    run.section = None
    assert _stock(run) == StockChoice("cap", (6000,))
    assert flashings._girth(SimpleNamespace(bent=cap(160.0, 130.0, EDGING))) == 2 * (160 + 20 + 10)  # type: ignore[arg-type]


def test_what_is_said_of_covers() -> None:
    doubt = Finding(
        "flashing-cover-doubt",
        Severity.NOTE,
        "Flashing cover: it is.",
        "Ask the designer.",
        source="source of flashing_category",
    )
    baffle = Finding(
        "flashing-baffle", Severity.NOTE, "Category C flashings across the sheets need a baffle, which is not in this order.",
        "Have it designed with the flashings.", source="source of flashing_category",
    )  # fmt: skip
    assert _cover_findings({"": None, "it is": None}, [], settings()) == [doubt]
    run: Any = None
    assert _cover_findings({}, [run], settings(flashing_category="c")) == [baffle]
    assert _cover_findings({}, [], settings(flashing_category="c")) == _cover_findings({}, [run], settings()) == []
