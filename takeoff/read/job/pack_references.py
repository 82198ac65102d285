"""Packs of boards that clash: with how boards are sold, with what a zone is clad in, with another zone's pack."""

from __future__ import annotations

from takeoff.model.job.job import Job
from takeoff.model.job.walls import BoardJob
from takeoff.model.office import Office
from takeoff.read.job.rise_references import Fault
from takeoff.read.job.settings import resolve_settings


def pack_faults(job: Job, office: Office | None = None) -> list[Fault]:
    """Faults of the keys pack_pieces and pack_m2 of zones. (path, sentence) each.

    A pack of pieces holds boards of one length, a bundle by area random ones; a board has one pack, wherever it is
    laid.
    """
    zones = job.walls.zones if job.walls is not None else []
    random = resolve_settings(job, office).word("board_supply") == "random"
    faults: list[Fault] = []
    known: list[tuple[str | BoardJob | None, int, float]] = []
    for i, zone in enumerate(zones):
        key = "pack_pieces" if zone.pack_pieces is not None else "pack_m2"
        size = zone.pack_pieces if zone.pack_pieces is not None else zone.pack_m2
        if size is None:
            continue
        at = ("walls", "zones", i, key)
        if zone.pack_pieces is not None and zone.pack_m2 is not None:
            faults.append((at, "give the pieces of a pack or what it covers, not both"))
        elif zone.board is None:
            faults.append((at, f"is for boards; a zone of direction {zone.direction} has none"))
        elif zone.pack_pieces is not None and random:
            faults.append((at, "is for boards of fixed lengths; random ones (board_supply) have pack_m2"))
        elif zone.pack_m2 is not None and not random:
            faults.append(
                (at, "is for random lengths (board_supply: random); boards of fixed lengths have pack_pieces")
            )
        else:
            other = [(n, own) for board, n, own in known if board == zone.board and own != size]
            faults += [(at, f"is {size:g}, but zone {n} has {own:g} of the same board") for n, own in other[:1]]
        known.append((zone.board, i + 1, size))
    return faults
