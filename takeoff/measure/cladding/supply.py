"""How boards are sold: fixed lengths to be cut with least waste, or metres of random lengths with a percentage."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from math import ceil, radians, tan

from takeoff.basics.rounding import round_up_mm
from takeoff.measure.cladding.soffits import SOFFIT_JOINTER, SOFFIT_VENT
from takeoff.measure.cladding.wall_sheet_trims import SHEET_TRIMS
from takeoff.measure.cladding.wall_trims import FLASHINGS
from takeoff.measure.item_book import called
from takeoff.model.basis import SET_IN_JOB, Quantity, Term, Working
from takeoff.model.findings import Finding, Severity
from takeoff.model.items import Made
from takeoff.model.job.walls import WallsJob
from takeoff.model.products import Board, Catalogue, basis_of
from takeoff.model.runs import AtCutEnds, AtJoints, RunDemand, StockChoice
from takeoff.model.settings import Settings

CLOSER = "base_closer"
END_SEALER = "end sealer"
# what is bought in one length of its own: the setting that says which
ONE_LENGTH = {
    CLOSER: "closer_stock_mm",
    SOFFIT_JOINTER: "soffit_jointer_stock_mm",
    SOFFIT_VENT: "soffit_vent_stock_mm",
    **dict.fromkeys((*FLASHINGS, *SHEET_TRIMS), "wall_flashing_stock_mm"),
}


def stock_lengths(board: Board, walls: WallsJob) -> tuple[int, ...]:
    """Lengths a board is sold in: those of the job, else those of the catalogue [mm]."""
    return tuple(sorted(walls.stock_mm)) if walls.stock_mm else board.lengths_mm


def longest_piece(board: Board, walls: WallsJob, settings: Settings) -> int:
    """The longest piece that can be cut from a board as it is sold, ends docked (setting board_docking_mm) [mm]."""
    return max(stock_lengths(board, walls)) - ceil(settings.number("board_docking_mm"))


def scarf_mm(thickness_mm: float, settings: Settings) -> float:
    """What two boards share at a running joint: thickness / tan(setting board_scarf_deg) [mm].

    At 45 degrees (renovation guide: running joints) an 18 mm board takes 18 mm; butted boards take nothing.
    """
    return round(thickness_mm / tan(radians(settings.number("board_scarf_deg"))), 3)


def sold_at_random(settings: Settings) -> bool:
    """Whether boards come in random lengths."""
    return settings.word("board_supply") == "random"


def random_metres(
    runs: Iterable[RunDemand], board: Board, settings: Settings, bundle_m2: float = 0.0
) -> tuple[tuple[Quantity, ...], tuple[Finding, ...]]:
    """Boards as metres of random lengths: net metres plus setting random_extra_pct, rounded up to random_step_mm.

    Where runs without an allowed joint are longer than setting random_common_mm, a note asks for that many boards of
    the longest of them: shorter ones come out of any pack. With `bundle_m2` they are whole bundles that cover so much.
    """
    wanted = tuple(runs)
    net_mm = sum(run.length_mm for run in wanted)
    extra, step = settings.number("random_extra_pct"), settings.number("random_step_mm")
    metres = round_up_mm(net_mm * (1.0 + extra / 100.0), step) / 1000.0
    common = settings.number("random_common_mm")
    whole = [run.length_mm for run in wanted if not run.splits_mm and run.length_mm > common]
    terms = [
        Term("lengths of all boards", round(net_mm / 1000.0, 3), "m", None, f"{len(wanted)} boards"),
        settings.term("board_supply"),
        settings.term("random_extra_pct"),
        settings.term("random_step_mm"),
    ]
    rule = "metres = lengths of all boards, openings deducted, x (1 + extra), rounded up to the step"
    notes: tuple[Finding, ...] = ()
    if whole:
        least = round_up_mm(max(whole), step)
        rule += "; of these so many boards of the least length or longer"
        terms += [Term("long boards", len(whole), "each"), Term("least length", least, "mm")]
        notes = (
            Finding(
                code="random-lengths-least",
                severity=Severity.NOTE,
                text=f"{board.name}: not less than {len(whole)} of {least / 1000.0:.1f} m or longer.",
                advice="Write it on the order: these boards have no place for a joint.",
            ),
        )
    refs = tuple(dict.fromkeys(ref for run in wanted for ref in run.refs))
    quantity = Quantity(f"cladding.{board.id}", board.id, metres, "m", refs, Working(rule, tuple(terms)))
    if bundle_m2 > 0.0:
        quantity, spare = _in_bundles(quantity, board, bundle_m2)
        notes += spare
    return (quantity,), notes


def _in_bundles(metres: Quantity, board: Board, bundle_m2: float) -> tuple[Quantity, tuple[Finding, ...]]:
    """Metres as whole bundles: bundles = ceil(metres x cover / what a bundle covers), and what they hold too much."""
    asked_m2 = metres.figure * board.cover_mm / 1000.0
    bundles = ceil(asked_m2 / bundle_m2 - 1e-9)
    terms = (
        Term("measured", round(metres.figure, 3), "m"),
        Term("board cover_mm", board.cover_mm, "mm", basis_of(board, "cover_mm"), board.id),
        Term("pack_m2", bundle_m2, "m2", SET_IN_JOB),
        *metres.working.terms,
    )
    rule = f"{metres.working.rule}; bundles = metres x cover / what a bundle covers, whole ones"
    left = bundles * bundle_m2 - asked_m2
    spare = Finding(
        code="spare-boards-in-bundles",
        severity=Severity.NOTE,
        text=f"{board.name}: whole bundles cover {bundles * bundle_m2:.2f} m2, {left:.2f} m2 more than is asked for.",
        advice="Ask whether a bundle may be split.",
    )
    told = (spare,) if left > 0.005 else ()
    return replace(metres, figure=float(bundles), unit="bundle", working=Working(rule, terms)), told


def stock_choices(
    runs: Iterable[RunDemand],
    boards: Mapping[str, Board],
    walls: WallsJob,
    settings: Settings,
    catalogue: Catalogue,
    packs: Mapping[str, int],
    joints: Mapping[str, AtJoints],
) -> tuple[StockChoice, ...]:
    """What every item of the runs may be cut from, in the order the items first come up. `packs`: how many of one
    length a pack of a board holds; `joints`: what holds a running joint of a board besides.

    Raises JobError where a setting names a timber the catalogue does not know.
    """
    kerf, docked = settings.number("board_kerf_mm"), settings.number("board_docking_mm")
    choices: list[StockChoice] = []
    for item in dict.fromkeys(run.item for run in runs):
        if item in boards:
            lengths, pack = stock_lengths(boards[item], walls), packs.get(item, 1)
            sealed = sealed_ends(settings)
            held = (joints[item],) if item in joints else ()
            cuts = StockChoice(item, lengths, kerf_mm=kerf, trim_mm=docked, pack=pack)
            choices.append(replace(cuts, at_ends=sealed, at_joints=held))
        elif item in ONE_LENGTH:
            choices.append(StockChoice(item, (round(settings.number(ONE_LENGTH[item])),)))
        else:
            choices.append(StockChoice(item, catalogue.timbers[item].lengths_mm, kerf_mm=kerf, trim_mm=docked))
    return tuple(choices)


def sealed_ends(settings: Settings) -> tuple[AtCutEnds, ...]:
    """The sealer on cut ends of boards, by setting end_sealer_ml_per_end; none where that is 0."""
    ml = settings.number("end_sealer_ml_per_end")
    return (AtCutEnds(END_SEALER, ml, settings.term("end_sealer_ml_per_end")),) if ml > 0.0 else ()


def own_boards(boards: Mapping[str, Board], catalogue: Catalogue) -> tuple[Made, ...]:
    """Boards that the job describes, as items; those of the catalogue stand there."""
    return tuple(
        Made(board.id, "board", called(board.name), board.id)
        for board in boards.values()
        if board.id not in catalogue.boards
    )
