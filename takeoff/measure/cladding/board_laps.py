"""Least laps of bevel-back boards where the job's code goes by their timber (Australia, HP22 7.5.2(2))."""

from __future__ import annotations

from dataclasses import replace

from takeoff.basics.nearest import did_you_mean
from takeoff.model.products import Board
from takeoff.model.settings import Settings


def timber_fault(timber: str | None, settings: Settings) -> str | None:
    """Why a timber that the job names is none of the code's table, in words; None where it is, where none is named, and
    by a code that knows one lap for all."""
    known = tuple(row.timber for row in settings.rules.walls.board_laps)
    if timber is None or not known or timber in known:
        return None
    return f"must be one of {', '.join(known)}, got {timber}{did_you_mean(timber, known)}"


def by_timber(board: Board, timber: str | None, settings: Settings) -> Board:
    """The board with the least lap of its timber. As it is where it is no bevel-back board, where the job sets
    least_lap_bevel_mm, and by a code that knows one lap for all."""
    laps = settings.rules.walls.board_laps
    if board.kind != "bevel_back" or not laps or settings.given("least_lap_bevel_mm"):
        return board
    named = timber or settings.word("board_timber")
    row = next((row for row in laps if row.timber == named), None)
    if row is None:
        return board
    basis = replace(row.basis, clause=f"{row.basis.clause}: {named.replace('_', ' ')}")
    return replace(board, least_lap_mm=row.lap_mm, basis={**board.basis, "least_lap_mm": basis})
