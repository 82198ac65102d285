"""Bounds of the flashings: runs against edges by kind, pieces at junctions against the places where edge ends meet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf

from takeoff.basics.tolerances import TOLERANCES
from takeoff.model.edge_kinds import WALL_KINDS, EdgeKind, End
from takeoff.model.edge_kinds import Place as PlaceKind
from takeoff.model.roof import RoofEdge
from takeoff.order.bounds.bounded import Bounded, Case
from takeoff.order.bounds.ground import Place, edge_m, metres, places_of
from takeoff.order.bounds.line_bounds import counted, packed

DRESSED_M = 0.5  # both dressings of a flashing together
EDGE_M = 0.002
_FLASHED = tuple(kind for kind in EdgeKind if kind.row.flashing)
_CAPS = (EdgeKind.RIDGE, EdgeKind.HIP)


def flashing_runs(case: Case) -> Iterator[Bounded]:
    """Net metres of flashings of each kind against the edges of that kind that bound a sheeted plane."""
    runs = case.takeoff.roofing.flashings
    for kind in _FLASHED:
        edges = case.edges_of(kind)
        own = [run for run in runs if run.kind == kind.value]
        if edges or own:
            at, slack = metres(edges), EDGE_M * max(1, len(edges))
            words = f"{len(edges)} edges of {at:.2f} m"
            refs = tuple(edge.id for edge in edges)
            figure = sum(run.net_mm for run in own) / 1000.0
            yield Bounded(figure, at - slack, at + slack, "m", words, f"{kind.value} flashings", refs)
            yield Bounded(float(len(own)), len(edges), len(edges), "runs", words, f"{kind.value} flashings", refs)


def flashing_lengths(case: Case) -> Iterator[Bounded]:
    """Metres that flashings are cut to, dressings in, against all edges that carry one."""
    edges = case.edges_of(*_FLASHED)
    at = metres(edges)
    demands = [demand for need in case.takeoff.roofing.needs if need.trade == "flashings" for demand in need.demands]
    cut = {run.run for run in case.takeoff.roofing.flashings}
    figure = sum(demand.length_mm for demand in demands if demand.id in cut) / 1000.0
    words = f"{len(edges)} edges of {at:.2f} m with their dressings"
    most = max((run.dress_a_mm + run.dress_b_mm for run in case.takeoff.roofing.flashings), default=0.0) / 1000.0
    yield Bounded(figure, at - EDGE_M * len(edges), at + max(most, DRESSED_M) * len(edges), "m", words)


def soft_edges(case: Case) -> Iterator[Bounded]:
    """Soft edge against the edges it is dressed along and twice the flashings that are bought."""
    figure = counted(case, "soft_edge")
    if figure:
        bought = sum(plan.bought_mm for plan in case.order.plans if plan.item in _items(case)) / 1000.0
        own = [run for run in case.takeoff.roofing.flashings if run.section is not None and run.section.soft_edges]
        low = sum(run.net_mm * run.section.soft_edges for run in own if run.section is not None) / 1000.0
        # what lies on the site has its soft edge
        low -= 2.0 * sum(plan.site_mm for plan in case.order.plans if plan.item in _items(case)) / 1000.0
        yield Bounded(figure, low, 2.0 * bought, "m", f"flashings of {bought:.2f} m bought, two edges at most")


def _items(case: Case) -> frozenset[str]:
    return frozenset(run.item for run in case.takeoff.roofing.flashings)


def junctions(case: Case) -> Iterator[Bounded]:
    """Pieces at junctions on the order against the places where as many ridges and hips, or a valley's head, meet.

    Where wings are so nearly alike that ridges and hips end millimetres apart, ends are counted as one place and as
    several, and anything between is taken."""
    edges, places = case.edges, case.places
    apart = places_of(edges, TOLERANCES.same_point_mm)
    caps, caps_apart = ([len(_caps_at(place)) for place in each] for each in (places, apart))
    for ways in range(3, max([*caps, *caps_apart, 4]) + 1):
        low, high = sorted((float(caps.count(ways)), float(caps_apart.count(ways))))
        figure = counted(case, f"junction_{ways}_way")
        if high or figure:
            yield Bounded(
                figure, low, high, "each", f"places where {ways} ridges and hips meet, {high:.0f}", f"{ways}-way"
            )
    heads = float(sum(1 for place in places if any(e.kind is EdgeKind.VALLEY for e in place.high)))
    yield from _counted(case, "valley head", heads, heads, f"places where valleys end at their head, {heads:.0f}")
    feet = sum(1 for edge in edges if edge.kind is EdgeKind.VALLEY)
    ended = sum(counted(case, f"junction_valley_foot{end}") for end in ("", "_on_roof", "_at_bare_eave"))
    if feet or ended:
        yield Bounded(ended, 0.0, feet, "each", f"{feet} valleys", "valley feet")
    hips = sum(1 for edge in edges if edge.kind is EdgeKind.HIP)
    yield from _counted(case, "hip end", 0.0, hips, f"{hips} hips")
    two, one = (float(max(caps.count(n), caps_apart.count(n))) for n in (2, 1))
    yield from _counted(case, "bend", 0.0, two, f"places where two ridges or hips meet, {two:.0f}")
    ends = counted(case, "junction_ridge_end") + counted(case, "junction_saddle")
    if ends or one:
        yield Bounded(ends, 0.0, one, "each", f"places where one ridge or hip ends alone, {one:.0f}", "ridge ends")
    sides = sum(1 for edge in edges if edge.kind is EdgeKind.APRON_SIDE)
    kicks = counted(case, "junction_kick_out_left") + counted(case, "junction_kick_out_right")
    yield Bounded(kicks, 0.0, float(sides), "each", f"{sides} side aprons", "kick-outs")
    aprons = 2.0 * sum(1 for edge in edges if edge.kind is EdgeKind.APRON_HEAD)
    yield from _counted(case, "apron end", 0.0, aprons, f"ends of head aprons, {aprons:.0f}")
    yield from _corners(case, places)


def _corners(case: Case, places: Sequence[Place]) -> Iterator[Bounded]:
    """Corners of flashings against the places where two of their edges end; a mitre made on site against the pairs."""
    walls = sum(1 for place in places if len(place.ends(*WALL_KINDS)) == 2)
    tops = [kind for kind in EdgeKind if kind.row.place is PlaceKind.FREE and kind.row.end is End.TOP]
    heads, verges = (2.0 * sum(1 for place in places if place.ends(*kinds)) for kinds in (tops, [EdgeKind.VERGE]))
    changes = sum(len(place.ends(EdgeKind.PITCH_CHANGE)) for place in places)
    gutters = sum(len(place.ends(EdgeKind.INTERNAL_GUTTER)) for place in places)
    pairs = sum(n * (n - 1) // 2 for n in (len(place.ends(*_FLASHED)) for place in places))
    for start, most, words in (
        ("apron corner", walls, "places where two walls meet the roof"),
        ("head corner", heads, "ends of free heads"),
        ("barge bend", verges, "ends of verges"),
        ("change corner", changes, "ends of changes of pitch"),
        ("gutter end", gutters, "ends of internal gutters"),
        ("site mitre", pairs, "pairs of flashings that meet"),
    ):
        key = f"junction_{start.replace(' ', '_')}"
        figure = sum(line.count for line in case.order.lines if line.of.sort.startswith(key))
        if figure or most:
            yield Bounded(figure, 0.0, most, "each", f"{most:.0f} {words}", f"{start}s")


def _caps_at(place: Place) -> list[RoofEdge]:
    """Ridges and hips that end at a place, but for hips that come down to an eave there."""
    at_eave = bool(place.ends(EdgeKind.EAVE))
    low = [edge for edge in place.low if edge.kind in _CAPS and not (edge.kind is EdgeKind.HIP and at_eave)]
    return [*low, *(edge for edge in place.high if edge.kind in _CAPS)]


def _counted(case: Case, kind: str, low: float, high: float, words: str) -> Iterator[Bounded]:
    figure = counted(case, f"junction_{kind.replace('-', '_').replace(' ', '_')}")
    if figure or high:
        yield Bounded(figure, low, high, "each", words, kind)


def valley_clips(case: Case) -> Iterator[Bounded]:
    """Clips of valley trays against both edges of the valleys over their spacing."""
    edges = [edge_m(edge) for edge in case.edges_of(EdgeKind.VALLEY)]
    spacing = case.takeoff.settings.number("valley_clip_spacing_mm") / 1000.0
    if edges and spacing > 0.0:
        low, high = (2.0 * sum(length / spacing + more for length in edges) for more in (1.0, 2.0))
        words = f"valleys of {sum(edges):.2f} m at {spacing * 1000.0:g} mm, both edges"
        yield packed(case, "valley_clip", low - 2.0 * len(edges) * 0.01, high + len(edges) * 0.01, words)


def flashing_screws(case: Case) -> Iterator[Bounded]:
    """Screws of barges, caps and side aprons against their edges over the spacing, spares in."""
    edges = [edge_m(e) for e in case.edges_of(*(kind for kind in EdgeKind if kind.row.screwed))]
    settings = case.takeoff.settings
    spacing, box = settings.number("flashing_screw_spacing_mm") / 1000.0, settings.number("flashing_screw_box")
    spare = 1.0 + settings.number("screw_spare_percent") / 100.0
    if edges and spacing > 0.0 and box > 0.0:
        low, high = (spare * sum(length / spacing + more for length in edges) / box for more in (0.99, 2.01))
        words = f"{len(edges)} edges of {sum(edges):.2f} m at {spacing * 1000.0:g} mm"
        yield Bounded(counted(case, "flashing_screw"), low, high + 1.0, "box", words)


def laps_at_most(case: Case) -> float:
    """Most laps that the flashings can have: edges over the length of stock less its lap, and one more each."""
    lap = case.takeoff.settings.number("flashing_lap_mm")
    stock = min((run.stock_mm for run in case.takeoff.roofing.flashings), default=0)
    if stock <= lap:
        return inf
    edges = case.edges_of(*_FLASHED)
    return sum((edge_m(edge) + DRESSED_M) * 1000.0 / (stock - lap) + 1.0 for edge in edges)
