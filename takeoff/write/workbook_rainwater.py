"""The sheet Rainwater: spouting by run, downpipes with the limit that decided, stock lengths, what else is bought."""

from __future__ import annotations

from collections.abc import Mapping

from takeoff.basics.rounding import half_up
from takeoff.model.drainage import DownpipePlan, GutterRun
from takeoff.model.order import Order, Takeoff
from takeoff.write.words import number, plain, working_words
from takeoff.write.workbook_page import Cell, Formula, Page
from takeoff.write.workbook_runs import bar_groups, needs_of, plans_of


def fill_rainwater(page: Page, takeoff: Takeoff, order: Order) -> None:
    """A block a gutter run, then stock lengths and the quantities bought as they are."""
    if not takeoff.gutters:
        page.note("No spouting in this order.")
        return
    for run in takeoff.gutters:
        _run(page, run)
        plan = takeoff.gutter_plan(run.id)
        if plan is not None:
            _pipes(page, plan)
        page.gap()
    needs = needs_of(takeoff, ("rainwater",))
    page.group("Bought")
    page.heading(("", "what", "length mm", "count", "", "", "cut into, mm"), (False, False, True, True, True, True))
    for cut_plan, name in plans_of(order, needs):
        for bars in bar_groups(cut_plan):
            cuts = " + ".join(str(piece.length_mm) for piece in bars[0].pieces)
            page.line(("", name, bars[0].stock_mm, len(bars), None, None, cuts))
    for need in needs:
        for quantity in need.quantities:
            words = quantity.unit if quantity.unit != "each" else ""
            page.line(
                (
                    "",
                    plain(dict(need.names).get(quantity.item, quantity.item)),
                    None,
                    half_up(quantity.figure, 2),
                    None,
                    None,
                    words,
                )
            )


def _run(page: Page, run: GutterRun) -> None:
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
    for (kind, angle), count in _corner_counts(run).items():
        page.line((run.id, f"{kind} corner", None, count, None, None, f"{number(angle, 1)} degrees between the legs"))


def _corner_counts(run: GutterRun) -> Mapping[tuple[str, float], int]:
    counts: dict[tuple[str, float], int] = {}
    for corner in run.corners:
        key = (plain(corner.kind), half_up(corner.angle_deg, 1))
        counts[key] = counts.get(key, 0) + 1
    return counts


def _pipes(page: Page, plan: DownpipePlan) -> None:
    for pipe in plan.pipes:
        area = half_up(pipe.catchment_mm2 / 1e6, 2)
        height = half_up(pipe.height_mm, 0)
        page.line((pipe.id, "downpipe, gutter to ground", height, 1, area, half_up(pipe.along_mm, 0), ""))
    limits = ", ".join(f"{plain(name)} asks for {count}" for name, count in plan.limits)
    page.note(f"{plan.count} downpipes by {plain(plan.method)}; decided by {plain(plan.decided_by)}. {limits}.")
    page.note(working_words(plan.working))
