"""Sheets shorter than a mill runs: cut from a longer one, and the list says which."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from takeoff.model.job.site import Site
from takeoff.model.settings import Settings
from takeoff.model.sheets import PlaneSheets, SheetPiece


def cut_from_longer(placed: Sequence[PlaneSheets], site: Site, settings: Settings) -> tuple[PlaneSheets, ...]:
    """The same sheets with `cut_from` set on pieces under the mill's least run.

    The longer sheet, of the same profile, is the nearest in laying order on the same plane, else on another, that still
    stays within the longest piece the site takes (an ordinary truck where it says nothing). Where a roof has no sheet
    long enough, short ones are cut from the longest short one. A short sheet that finds none is left: it is bought at
    the least run.
    """
    least = settings.number("least_run_mm")
    limit = site.longest_piece_mm or settings.number("ordinary_truck_mm")
    pieces = [piece for sheets in placed for piece in sheets.pieces]
    short = sorted((p for p in pieces if p.order_mm < least), key=lambda p: (-p.order_mm, p.strip, pieces.index(p)))
    long = [p for p in pieces if p.order_mm >= least]
    used = {p.mark: p.order_mm for p in pieces}
    hosts: dict[str, str] = {}
    alone: list[SheetPiece] = []
    for piece in short:
        choices = [
            p
            for p in (*long, *alone)
            if p.profile == piece.profile and used[p.mark] + piece.order_mm <= max(limit, least)
        ]
        if not choices:
            alone.append(piece)
            continue
        host = min(choices, key=lambda p: _distance(piece, p))
        hosts[piece.mark] = host.mark
        used[host.mark] += piece.order_mm
    return tuple(replace(sheets, pieces=tuple(_hosted(p, hosts) for p in sheets.pieces)) for sheets in placed)


def _hosted(piece: SheetPiece, hosts: Mapping[str, str]) -> SheetPiece:
    host = hosts.get(piece.mark, "")
    return piece if piece.cut_from == host else replace(piece, cut_from=host)


def _distance(piece: SheetPiece, host: SheetPiece) -> tuple[bool, int, int, int, float]:
    """How far a host lies from a short piece: another roof plane, a short host, strips between."""
    return (
        host.plane != piece.plane,
        abs(host.strip - piece.strip),
        host.strip,
        host.part,
        host.order_mm,
    )
