"""The sheet Rainwater: spouting by run, downpipes with the limit that decided, stock lengths, what else is bought."""

from __future__ import annotations

from collections.abc import Mapping

from takeoff.basics.rounding import half_up
from takeoff.basics.vectors import Point2, distance2
from takeoff.model.drainage import METHOD_WORDS, Downpipe, DownpipePlan, GutterRun
from takeoff.model.order import Order, Takeoff
from takeoff.write.words.bought import site_words
from takeoff.write.words.item_names import item_name
from takeoff.write.words.words import number, plain, refs_words, value_words, whole
from takeoff.write.workbook.order_fields import fields_words, rainwater_fields
from takeoff.write.workbook.workbook_page import Cell, Formula, Lines
from takeoff.write.workbook.workbook_runs import bar_groups, needs_of, plans_of


def fill_rainwater(page: Lines, takeoff: Takeoff, order: Order) -> None:
    """A block a gutter run, then stock lengths and the quantities bought as they are."""
    if not takeoff.gutters:
        page.note("No spouting in this order.")
        return
    for run in takeoff.gutters:
        _run(page, run)
        plan = takeoff.gutter_plan(run.id)
        if plan is not None:
            _pipes(page, takeoff, run, plan)
        page.gap()
    needs = needs_of(takeoff, ("rainwater",))
    page.group("Bought, and labour")
    page.note(fields_words(rainwater_fields()))
    page.heading(("", "what", "length mm", "count", "", "", "cut into, mm"), (False, False, True, True, True, True))
    for cut_plan, name in plans_of(order, needs, takeoff.items):
        for bar in cut_plan.site_bars:
            cuts = " + ".join(str(piece.length_mm) for piece in bar.pieces)
            page.line(("", f"{name}{site_words(cut_plan, bar)}", bar.stock_mm, 1, None, None, cuts))
        for bars in bar_groups(cut_plan):
            cuts = " + ".join(str(piece.length_mm) for piece in bars[0].pieces)
            page.line(("", name, bars[0].stock_mm, len(bars), None, None, cuts))
    for line in order.lines:
        if line.delivery == "rainwater" and line.each_mm <= 0.0:
            words = "labour" if line.labour else line.unit if line.unit != "each" else ""
            page.line(("", plain(item_name(line.of)), None, line.count, None, None, words))


def _run(page: Lines, run: GutterRun) -> None:
    ends = "runs round the roof, no stop ends" if run.ring else "one left and one right stop end"
    page.group(f"{plain(run.id)}: {ends}")
    first = page.row
    for leg in run.legs:
        area = half_up(leg.plan_catchment_mm2 / 1e6, 2)
        edges = ", ".join(str(edge) for edge in leg.outline_edges)
        words = f"edge {edges} of the job" if edges else ""
        page.line((run.id, f"leg along {plain(leg.edge)}", half_up(leg.length_mm, 0), 1, area, None, words))
    last = page.row - 1
    length = sum(half_up(leg.length_mm, 0) for leg in run.legs)
    area = half_up(sum(half_up(leg.plan_catchment_mm2 / 1e6, 2) for leg in run.legs), 2)
    cells: tuple[Cell, ...] = (
        run.id,
        "whole run",
        Formula(f"SUM(C{first}:C{last})", length),
        Formula(f"SUM(D{first}:D{last})", float(len(run.legs))),
        Formula(f"ROUND(SUM(E{first}:E{last}),2)", area),
        None,
        f"steepest plane that drains here: {number(run.pitch_deg, 1)} degrees",
    )
    page.line(cells, total=True)
    for source, area_m2 in _received(run).items():
        page.note(f"Of this area {number(area_m2)} m2 comes from {source}.")
    for (kind, angle), count in _corner_counts(run).items():
        page.line((run.id, f"{kind} corner", None, count, None, None, f"{number(angle, 1)} degrees between the legs"))


def _received(run: GutterRun) -> Mapping[str, float]:
    """Plan area [m2] that roofs above bring, by where it comes from."""
    found: dict[str, float] = {}
    for water in run.received:
        source = f"the spreader of {water.pipe}" if water.pipe else f"roof {water.roof}, off eaves without spouting"
        found[source] = found.get(source, 0.0) + water.plan_catchment_mm2 / 1e6
    return found


def _corner_counts(run: GutterRun) -> Mapping[tuple[str, float], int]:
    counts: dict[tuple[str, float], int] = {}
    for corner in run.corners:
        key = (plain(corner.kind), half_up(corner.angle_deg, 1))
        counts[key] = counts.get(key, 0) + 1
    return counts


def _pipes(page: Lines, takeoff: Takeoff, run: GutterRun, plan: DownpipePlan) -> None:
    """A row a pipe, with its place and the section of gutter it asks for; then a row a limit and what it asks for."""
    name = takeoff.job.rainwater.gutter or takeoff.settings.word("rainwater_gutter")
    gutter = takeoff.catalogue.gutters.get(name)
    for pipe in plan.pipes:
        area, height = half_up(pipe.catchment_mm2 / 1e6, 2), half_up(pipe.height_mm, 0)
        off, where = _place(takeoff, run, pipe)
        words = [where] if where else []
        led = [tank.name for tank in takeoff.job.tanks if tank.pipes is None or pipe.id in tank.pipes]
        tank = f", to tank {plain(led[0])}" if led and not pipe.onto else ""
        what = f"downpipe, gutter to roof {plain(pipe.onto)}, spreader" if pipe.onto else "downpipe, gutter to ground"
        if pipe.gutter_mm2 > 0.0 and gutter is not None and not run.internal:
            short = pipe.gutter_mm2 > gutter.area_mm2 + 1e-6
            words.append(f"needs {whole(pipe.gutter_mm2)} mm2{': TOO SMALL' if short else ''}")
        page.line((pipe.id, what, height, 1, area, off, "; ".join(words)))
        for share in pipe.shares:
            of = f"of the wall {plain(share.plane)} above" if share.wall else f"of {plain(share.plane)}"
            wind = f"{number(share.wind_mm2 / 1e6, 2)} m2 in wind"
            pitch = "" if share.wall else f" at {number(share.pitch_deg, 1)} degrees"
            page.line(("", of, None, None, half_up(share.area_mm2 / 1e6, 2), None, f"{wind}{pitch}{tank}"))
    if gutter is not None and not run.internal:
        page.line(
            (
                run.id,
                f"section of {plain(gutter.name)}",
                None,
                None,
                None,
                None,
                f"{whole(gutter.area_mm2)} mm2; needs are by the area rule",
            )
        )
    values = {term.name: term for term in plan.working.terms}
    method = METHOD_WORDS.get(plan.method, plan.method)
    page.line((run.id, f"downpipes, by {method}", None, plan.count, None, None, f"decided by {plain(plan.decided_by)}"))
    for limit, count in plan.limits:
        term = values.get(_LIMIT_TERMS.get(limit, ""))
        said = f"limit {value_words(term.value, term.unit)}" if term is not None else ""
        page.line((run.id, f"{plain(limit)} asks for", None, count, None, None, said))


# the term of a plan's working that holds the value of a limit
_LIMIT_TERMS = {
    "capacity": "plan area one pipe may drain",
    "gutter length per outlet": "gutter_length_per_outlet_mm",
    "spacing between outlets": "downpipe_spacing_mm",
    "downpipe near a valley": "valley_to_downpipe_mm",
}


def _place(takeoff: Takeoff, run: GutterRun, pipe: Downpipe) -> tuple[float | None, str]:
    """Distance along the eave from the nearest corner of the outline [mm], and which corner and edge that is.

    Corners are numbered as the job types its points, edge n running from corner n on.
    """
    roof = next((roof for roof in takeoff.roofs if roof.name == run.roof), None)
    corners = [point for ring in roof.outline_mm for point in ring] if roof is not None else []
    if not corners:
        return None, ""
    number_, corner = min(enumerate(corners, start=1), key=lambda pair: (distance2(pair[1], pipe.at_mm[:2]), pair[0]))
    leg = min(run.legs, key=lambda leg: _off(leg.a_mm[:2], leg.b_mm[:2], pipe.at_mm[:2]))
    edges = refs_words(map(str, leg.outline_edges))
    return half_up(distance2(corner, pipe.at_mm[:2]), 0), f"corner {number_}, edge {edges}"


def _off(a: Point2, b: Point2, point: Point2) -> float:
    """How far a point lies off the stretch from a to b: the detour over it."""
    return distance2(a, point) + distance2(point, b) - distance2(a, b)
